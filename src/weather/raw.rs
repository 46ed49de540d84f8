//! From the numbers in a file to complete hours: gaps are filled, humidity becomes vapour pressure.
//!
//! What it computes: for each hour the temperature, vapour pressure, station pressure, wind and rain.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `t` | dry-bulb temperature | degC |
//! | `t_d` | dew point over water, also below 0 degC | degC |
//! | `phi` | relative humidity over water, also below 0 degC | 1 |
//! | `e` | vapour pressure | Pa |
//! | `e_w` | saturation vapour pressure over water | Pa |
//!
//! Equations: `e = e_w(t_d)` if the dew point is given, else `e = phi e_w(t)`; in both cases `e <= e_w(t)`. Over water at
//! all temperatures is the convention of the World Meteorological Organization (guide No. 8, annex 4.B), which station
//! data and the EPW and TMY3 formats follow. A gap of at most six hours is filled linearly between its neighbours.
//!
//! Valid range: that of [`super::text::Quantity::range`].
//!
//! Proof of accuracy: `analytic_short_gaps_are_filled_linearly` and `ref_dew_point_below_freezing_is_over_water` in
//! `tests/it/weather/epw.rs`.

use super::fault::{Faults, Notices, Position};
use super::text::{Column, QUANTITIES, Quantity};
use super::{ASSUMED, LIMITS};
use crate::air;
use crate::units::format::counted;

/// What a file says about one hour, in degC, fraction, Pa, m/s and mm.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct RawHour {
    /// Line in the file; 0 if the file has no row for the hour.
    pub(super) line: usize,
    pub(super) values: [Option<f64>; QUANTITIES],
    /// Hours over which the rain was collected, ending with this one; 0 counts as 1.
    pub(super) rain_hours: usize,
}

impl RawHour {
    pub(super) fn get(&self, quantity: Quantity) -> Option<f64> {
        self.values.get(quantity as usize).copied().flatten()
    }

    pub(super) fn set(&mut self, quantity: Quantity, value: Option<f64>) {
        if let Some(slot) = self.values.get_mut(quantity as usize) {
            *slot = value;
        }
    }
}

/// One complete hour of weather.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sample {
    /// degC.
    pub(super) temperature: f64,
    /// Pa.
    pub(super) vapour_pressure: f64,
    /// Station pressure, Pa; none if the source does not give it.
    pub(super) pressure: Option<f64>,
    /// m/s.
    pub(super) wind_speed: f64,
    /// Rain in the hour that ends at the sample's time, kg/(m2 s).
    pub(super) rain: f64,
}

/// Gaps in a series: hours without a value that follow each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Gap {
    first: usize,
    hours: usize,
    filled: bool,
}

/// Fills short gaps linearly and lists all gaps. In a `cyclic` series the last value precedes the first.
fn fill(values: &mut [Option<f64>], cyclic: bool) -> Vec<Gap> {
    let n = values.len();
    let mut gaps = Vec::new();
    let Some(known) = values.iter().position(Option::is_some) else {
        if n > 0 {
            gaps.push(Gap {
                first: 0,
                hours: n,
                filled: false,
            });
        }
        return gaps;
    };
    if known > 0 && !cyclic {
        gaps.push(Gap {
            first: 0,
            hours: known,
            filled: false,
        });
    }
    let end = if cyclic { known + n } else { n - 1 };
    let mut before = known;
    for i in known + 1..=end {
        let (Some(Some(b)), Some(Some(a))) =
            (values.get(i % n).copied(), values.get(before % n).copied())
        else {
            continue;
        };
        let hours = i - before - 1;
        if hours > 0 {
            let filled = hours <= LIMITS.longest_gap_hours;
            gaps.push(Gap {
                first: (before + 1) % n,
                hours,
                filled,
            });
            if filled {
                for k in 1..=hours {
                    if let Some(value) = values.get_mut((before + k) % n) {
                        *value = Some(a + (b - a) * k as f64 / (hours + 1) as f64);
                    }
                }
            }
        }
        before = i;
    }
    if before < end {
        gaps.push(Gap {
            first: before + 1,
            hours: end - before,
            filled: false,
        });
    }
    gaps
}

/// The hours of a file on their way to samples.
pub(super) struct Completion<'a, 'b> {
    pub(super) hours: &'a [RawHour],
    pub(super) columns: &'a [Column],
    /// A typical year, whose end joins its beginning.
    pub(super) cyclic: bool,
    pub(super) faults: &'a mut Faults<'b>,
    pub(super) notices: &'a mut Notices<'b>,
}

impl Completion<'_, '_> {
    /// The samples; none where a typical-year file has no rows.
    pub(super) fn samples(mut self) -> Vec<Option<Sample>> {
        let mut temperature = self.given(Quantity::Temperature);
        self.close(&mut temperature, Quantity::Temperature);
        let mut vapour = self.vapour_pressure(&temperature);
        let humidity = if self.column(Quantity::DewPoint).is_some() {
            Quantity::DewPoint
        } else {
            Quantity::RelativeHumidity
        };
        self.close(&mut vapour, humidity);
        let pressure = self.pressure();
        let wind = self.wind();
        let rain = self.rain();
        let mut capped = 0;
        let mut first = 0;
        let samples = (0..self.hours.len())
            .map(|i| {
                let temperature = temperature.get(i).copied().flatten()?;
                let saturation = air::saturation_pressure_over_water(temperature);
                let mut vapour_pressure = vapour.get(i).copied().flatten()?;
                if vapour_pressure > saturation {
                    vapour_pressure = saturation;
                    capped += 1;
                    first = if first == 0 { self.line(i) } else { first };
                }
                Some(Sample {
                    temperature,
                    vapour_pressure,
                    pressure: pressure.get(i).copied().flatten(),
                    wind_speed: wind.get(i).copied().flatten()?,
                    rain: rain.get(i).copied().unwrap_or_default(),
                })
            })
            .collect();
        if capped > 0 {
            self.notices.add(
                Position {
                    line: (first > 0).then_some(first),
                    ..Position::default()
                },
                capped,
                format!("In {capped} h the file has more water than air can hold. That air counts as saturated."),
            );
        }
        samples
    }

    fn line(&self, i: usize) -> usize {
        self.hours.get(i).map_or(0, |hour| hour.line)
    }

    fn column(&self, quantity: Quantity) -> Option<&Column> {
        self.columns
            .iter()
            .find(|column| column.quantity == quantity)
    }

    fn given(&self, quantity: Quantity) -> Vec<Option<f64>> {
        self.hours.iter().map(|hour| hour.get(quantity)).collect()
    }

    /// The place of an hour in the column of a quantity: its own line, or that of the next hour that has one.
    fn position(&self, hour: usize, quantity: Quantity) -> Position {
        let line = self
            .hours
            .iter()
            .skip(hour)
            .map(|hour| hour.line)
            .find(|line| *line > 0)
            .unwrap_or(0);
        match self.column(quantity) {
            Some(column) if line > 0 => column.position(line),
            _ => Position::named(quantity.name()),
        }
    }

    /// Number of rows that the file has inside a gap.
    fn rows(&self, gap: Gap) -> usize {
        let n = self.hours.len().max(1);
        (gap.first..gap.first + gap.hours)
            .filter(|i| self.line(i % n) > 0)
            .count()
    }

    /// Fills short gaps with a notice; a long gap in rows that exist is a fault.
    fn close(&mut self, values: &mut [Option<f64>], quantity: Quantity) {
        let gaps = fill(values, self.cyclic);
        self.tell_filled(&gaps, quantity);
        for gap in gaps {
            if gap.filled || self.rows(gap) == 0 {
                continue;
            }
            let position = self.position(gap.first, quantity);
            let reason = if gap.hours > LIMITS.longest_gap_hours {
                format!("gaps of up to {} h are filled", LIMITS.longest_gap_hours)
            } else {
                "a gap at the beginning or end of dated weather cannot be filled".to_owned()
            };
            self.faults.add(
                || position,
                || {
                    format!(
                        "There is no {} for {} h from here on, and {reason}. Put in the values, or use another source.",
                        quantity.name(),
                        gap.hours
                    )
                },
            );
        }
    }

    fn tell_filled(&mut self, gaps: &[Gap], quantity: Quantity) {
        let filled: Vec<_> = gaps.iter().filter(|gap| gap.filled).collect();
        if let Some(first) = filled.first() {
            let hours = filled.iter().map(|gap| gap.hours).sum();
            let message = format!(
                "The {} is missing in {hours} h, {} in all, the first here. The values between its neighbors are filled in.",
                quantity.name(),
                counted(filled.len(), "gap")
            );
            self.notices
                .add(self.position(first.first, quantity), hours, message);
        }
    }

    fn vapour_pressure(&mut self, temperature: &[Option<f64>]) -> Vec<Option<f64>> {
        let has_dew_point = self.column(Quantity::DewPoint).is_some();
        let (mut stand_ins, mut first) = (0, 0);
        let mut out = Vec::with_capacity(self.hours.len());
        for (hour, temperature) in self.hours.iter().zip(temperature) {
            let e = if let Some(dew_point) = hour.get(Quantity::DewPoint) {
                // Checked against the temperature in the same row, not against one that was filled in.
                if let Some(temperature) = hour.get(Quantity::Temperature)
                    && dew_point > temperature + LIMITS.most_supersaturation
                {
                    let column = self
                        .columns
                        .iter()
                        .find(|column| column.quantity == Quantity::DewPoint);
                    self.faults.add(
                        || column.map_or_else(Position::default, |column| column.position(hour.line)),
                        || {
                            format!(
                                "The dew point is {:.1} K above the temperature. Only {} K can be rounding. Check both values.",
                                dew_point - temperature,
                                LIMITS.most_supersaturation
                            )
                        },
                    );
                }
                Some(air::saturation_pressure_over_water(dew_point))
            } else {
                let e = match (hour.get(Quantity::RelativeHumidity), temperature) {
                    (Some(phi), Some(t)) => Some(phi * air::saturation_pressure_over_water(*t)),
                    _ => None,
                };
                if has_dew_point && e.is_some() {
                    stand_ins += 1;
                    first = if first == 0 { hour.line } else { first };
                }
                e
            };
            out.push(e);
        }
        if stand_ins > 0 {
            let position = self
                .column(Quantity::DewPoint)
                .map_or_else(Position::default, |c| c.position(first));
            self.notices.add(
                position,
                stand_ins,
                format!("The dew point is missing in {stand_ins} h, the first here. The relative humidity is used instead."),
            );
        }
        out
    }

    fn pressure(&mut self) -> Vec<Option<f64>> {
        let mut values = self.given(Quantity::Pressure);
        let gaps = fill(&mut values, self.cyclic);
        self.tell_filled(&gaps, Quantity::Pressure);
        let open: Vec<_> = gaps
            .iter()
            .filter(|gap| !gap.filled && self.rows(**gap) > 0)
            .copied()
            .collect();
        if let Some(first) = open.first() {
            let hours = open.iter().map(|gap| self.rows(*gap)).sum();
            let message = format!(
                "The pressure is missing in {hours} h, the first here. The standard pressure at the site's elevation is used."
            );
            self.notices.add(
                self.position(first.first, Quantity::Pressure),
                hours,
                message,
            );
        }
        values
    }

    fn wind(&mut self) -> Vec<Option<f64>> {
        let mut values = self.given(Quantity::WindSpeed);
        if values.iter().all(Option::is_none) {
            self.notices.add(
                Position::named(Quantity::WindSpeed.name()),
                self.hours.iter().filter(|hour| hour.line > 0).count(),
                super::wind_is_assumed(),
            );
            return vec![Some(ASSUMED.wind_speed); values.len()];
        }
        self.close(&mut values, Quantity::WindSpeed);
        values
    }

    /// Rain rates, kg/(m2 s). Depths collected over several hours are spread over those without a value of their own.
    fn rain(&mut self) -> Vec<f64> {
        let n = self.hours.len();
        let mut depth = self.given(Quantity::Rain);
        for (i, hour) in self.hours.iter().enumerate() {
            let span = hour.rain_hours.min(LIMITS.longest_rain_collection_hours);
            let Some(total) = hour.get(Quantity::Rain) else {
                continue;
            };
            if span < 2 || total <= 0.0 {
                continue;
            }
            let before: Vec<usize> = (1..span)
                .filter_map(|back| {
                    if self.cyclic {
                        Some((i + n - back % n) % n)
                    } else {
                        i.checked_sub(back)
                    }
                })
                .collect();
            let own = |k: &usize| self.hours.get(*k).and_then(|hour| hour.get(Quantity::Rain));
            let counted: f64 = before.iter().filter_map(own).sum();
            let empty: Vec<usize> = before
                .iter()
                .copied()
                .filter(|k| own(k).is_none())
                .collect();
            let share = (total - counted).max(0.0) / (empty.len() + 1) as f64;
            for k in empty.into_iter().chain([i]) {
                if let Some(value) = depth.get_mut(k) {
                    *value = Some(share);
                }
            }
        }
        let missing: Vec<usize> = (0..n)
            .filter(|i| self.line(*i) > 0 && depth.get(*i).copied().flatten().is_none())
            .collect();
        if let Some(first) = missing.first() {
            let message = format!(
                "The rain is missing in {} h, the first here. No rain is counted for them.",
                missing.len()
            );
            self.notices.add(
                self.position(*first, Quantity::Rain),
                missing.len(),
                message,
            );
        }
        // 1 mm of water is 1 kg/m2.
        depth
            .into_iter()
            .map(|mm| mm.unwrap_or(0.0) / super::hourly::HOUR)
            .collect()
    }
}
