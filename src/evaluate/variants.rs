//! The same job with one thing different: what a wetting costs, what an assumption is worth.

use super::compare::{Accuracy, prepare, run_without_film};
use crate::job::change::{Case, Change, Wettings};
use crate::job::seconds_between;
use crate::scenario::RatioFrom;
use crate::scenario::model::{Curing, Finish, Scenario, Underside, WetCuring, WettingKind};
use crate::units::DAY;
use crate::units::format::{self, Said, fixed, number};
use crate::units::{Density, Duration, Temperature, UValue};
use crate::weather::Hourly;
use jiff::civil::Date;
use rayon::prelude::*;

/// Wettings costed one by one; more are only costed together.
const MOST_WETTINGS: usize = 12;

/// What one wetting costs.
#[derive(Clone, Debug, PartialEq)]
pub struct WettingCost {
    /// Its day; `None` for all of them together.
    pub date: Option<Date>,
    /// Where the water comes from; `None` for all of them together.
    pub kind: Option<WettingKind>,
    /// Days later than without it; `None` when there is no day with or without it.
    pub days: Option<f64>,
}

/// What an assumption is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumption {
    /// What was not given, and what was taken.
    pub taken: String,
    /// What it might be instead.
    pub instead: Vec<Instead>,
}

impl Assumption {
    /// Days by which it moves the date at most; what keeps the floor from drying moves it most.
    #[must_use]
    pub fn moves(&self) -> f64 {
        let days = self.instead.iter().map(|of| match of.later {
            Later::Days(days) => days.abs(),
            Later::NeverDry => f64::INFINITY,
            Later::NotComputed => 0.0,
        });
        days.fold(0.0, f64::max)
    }
}

/// What an assumption might be instead.
#[derive(Clone, Debug, PartialEq)]
pub struct Instead {
    /// In words.
    pub what: Said,
    /// What it does to the date.
    pub later: Later,
}

/// What a change does to a date.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Later {
    /// The targets are met so many days later; negative: sooner.
    Days(f64),
    /// They are not met in the time simulated.
    NeverDry,
    /// The solver gave up, which says nothing of the floor.
    NotComputed,
}

impl Later {
    /// The days, if there are any.
    #[must_use]
    pub fn days(self) -> Option<f64> {
        match self {
            Self::Days(days) => Some(days),
            Self::NeverDry | Self::NotComputed => None,
        }
    }
}

/// Days to the targets of a case; `Ok(None)` where they are not met in the time simulated, an error where the solver gave up.
fn days(case: &Case, weather: &Hourly, accuracy: Accuracy) -> Result<Option<f64>, ()> {
    let s = &case.scenario;
    let end = seconds_between(s.slab.placed, s.gear_on) + s.give_up_after().si();
    let job = case.job(weather, end);
    let setup = job.setups.first().ok_or(())?;
    let start = prepare(&job, accuracy).map_err(drop)?;
    let outcome = run_without_film(&job, setup, &start).map_err(drop)?;
    Ok(outcome.days_to_target)
}

/// What each wetting of the scenario costs with a setup that meets its targets after `base` days.
#[must_use]
pub fn wetting_costs(
    scenario: &Scenario,
    weather: &Hourly,
    setup: &str,
    base: f64,
    accuracy: Accuracy,
) -> Vec<WettingCost> {
    let wettings = scenario.slab.wettings.as_deref().unwrap_or_default();
    if wettings.is_empty() {
        return Vec::new();
    }
    let mut left_out: Vec<Option<usize>> = Vec::new();
    if wettings.len() <= MOST_WETTINGS {
        left_out.extend((0..wettings.len()).map(Some));
    }
    if wettings.len() != 1 {
        left_out.push(None);
    }
    let case = Case::of(scenario, setup, None);
    left_out
        .into_par_iter()
        .map(|index| {
            let which = index.map_or(Wettings::All, Wettings::One);
            let without = case.with([&Change::Without(which)]);
            WettingCost {
                date: index.map(|i| wettings[i].date),
                kind: index.map(|i| wettings[i].kind),
                days: days(&without, weather, accuracy)
                    .ok()
                    .flatten()
                    .map(|d| base - d),
            }
        })
        .collect()
}

/// What was taken for things not given, with what they might be instead. How far the alternatives lie apart is common
/// practice, no published source.
fn taken(scenario: &Scenario, yearly_mean: f64) -> Vec<(String, Vec<(Said, Change)>)> {
    let mut list: Vec<(String, Vec<(Said, Change)>)> = Vec::new();
    let slab = &scenario.slab;
    if slab.ratio_from() != RatioFrom::Given {
        let ratio = slab.water_cement_ratio();
        let from = match slab.ratio_from() {
            RatioFrom::Strength => " (from the strength)",
            RatioFrom::Given | RatioFrom::Default => "",
        };
        let other = |ratio: f64| (fixed(ratio, 2).into(), Change::WaterCementRatio(ratio));
        list.push((
            format!("water-cement ratio {}{from}", fixed(ratio, 2)),
            vec![other(ratio - 0.05), other(ratio + 0.05)],
        ));
    }
    if slab.cement_content.is_none() {
        let cement = slab.cement_content();
        let other = |share: f64, words: &str| {
            let content = Density::from_si(share * cement);
            (words.into(), Change::CementContent(content))
        };
        list.push((
            "usual cement content".into(),
            vec![other(0.9, "a tenth less"), other(1.1, "a tenth more")],
        ));
    }
    if slab.curing.is_none() {
        let wet = |days: f64| {
            let curing = Curing::Wet(WetCuring {
                lasts: Duration::from_si(days * DAY),
            });
            (format::days(days).into(), Change::Curing(curing))
        };
        list.push(("7 days of wet curing".into(), vec![wet(3.0), wet(14.0)]));
    }
    if slab.finish.is_none() && slab.surface_resistance.is_none() {
        list.push((
            "steel-troweled finish".into(),
            vec![("floated".into(), Change::Finish(Finish::Floated))],
        ));
    }
    if slab.underside.is_none() {
        list.push((
            "sealed underside".into(),
            vec![(
                "bare ground".into(),
                Change::Underside(Underside::BareGround),
            )],
        ));
    }
    let on_ground = matches!(
        slab.underside,
        Some(Underside::VapourRetarder(_) | Underside::BareGround)
    );
    if on_ground && slab.ground_temperature.is_none() {
        let other = |temperature: f64| {
            let shown = Temperature::from_si(temperature);
            (
                Said::new(|system| format::temperature(temperature, system)),
                Change::GroundTemperature(shown),
            )
        };
        list.push((
            "ground as warm as the year's mean".into(),
            vec![other(yearly_mean - 5.0), other(yearly_mean + 5.0)],
        ));
    }
    if scenario.room.air_changes_per_hour.is_none() && scenario.room.construction.is_none() {
        let other = |changes: f64| {
            (
                format!("{} per hour", number(changes, 1)).into(),
                Change::AirChanges(changes),
            )
        };
        let usual = scenario.room.air_changes_per_hour();
        list.push((
            format!("leakage of {} air changes per hour", number(usual, 1)),
            vec![other(0.4 * usual), other(2.0 * usual)],
        ));
    }
    if scenario.room.heat_loss.is_none() && scenario.room.u_value.is_none() {
        let other = |factor: f64, words: &str| {
            let value = UValue::from_si(factor * scenario.room.u_value().si());
            (words.into(), Change::UValue(value))
        };
        list.push((
            "the usual heat loss of such a building".into(),
            vec![other(0.5, "half"), other(2.0, "twice")],
        ));
    }
    list
}

/// What each default is worth in days with a setup that meets its targets after `base` days.
#[must_use]
pub fn assumptions(
    scenario: &Scenario,
    weather: &Hourly,
    setup: &str,
    base: f64,
    accuracy: Accuracy,
) -> Vec<Assumption> {
    let yearly_mean = weather.overall_mean().temperature;
    let case = Case::of(scenario, setup, None);
    taken(scenario, yearly_mean)
        .into_par_iter()
        .map(|(taken, changes)| Assumption {
            taken,
            instead: changes
                .into_par_iter()
                .map(|(what, change)| {
                    let later = match days(&case.with([&change]), weather, accuracy) {
                        Ok(Some(days)) => Later::Days(days - base),
                        Ok(None) => Later::NeverDry,
                        Err(()) => Later::NotComputed,
                    };
                    Instead { what, later }
                })
                .collect(),
        })
        .collect()
}
