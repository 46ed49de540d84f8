//! The path of a room's air over curves of constant relative humidity: temperature across, humidity ratio up.

use super::Chart;
use super::axis::{self, XAxis};
use super::canvas::{Anchor, Canvas, Stroke, Type};
use super::frame::Size;
use super::geometry::{clip_line, drawable, extent};
use super::plot::{Laid, Plot, lay_out};
use super::style::{ASCENT, AXIS, INK, Marker, SOFT_INK, series_look};
use crate::air;
use crate::units::format::{Shown, percent, whole};
use crate::units::{GRAINS_PER_POUND, Kind, System, fahrenheit};

/// A path over the chart of moist air.
#[derive(Debug, Clone, PartialEq)]
pub struct PsychrometricChart {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Units of the axes.
    pub system: System,
    /// Air pressure \[Pa\].
    pub pressure: f64,
    /// Day, temperature \[degC\] and humidity ratio \[kg/kg\], in order of time.
    pub path: Vec<(f64, f64, f64)>,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Curves of constant relative humidity; the last is saturation.
const CURVES: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];
/// Points along a curve: smooth at any size.
const POINTS: u32 = 120;
/// Room around the path, K and kg/kg, so that a room that hardly moves does not fill the chart with noise.
const AROUND: (f64, f64) = (4.0, 0.5e-3);
/// Least span of the axes, K and kg/kg.
const LEAST_SPAN: (f64, f64) = (15.0, 4e-3);
/// Dots on the path that carry their day.
const DATED: usize = 5;
/// Room that the words beside a dot take, in pixels.
const WORDS: f64 = 70.0;
/// Distance below which a dated dot would stand on its neighbour, in pixels.
const APART: f64 = 34.0;

impl PsychrometricChart {
    fn temperature(&self, celsius: f64) -> f64 {
        if self.system == System::Us {
            fahrenheit(celsius)
        } else {
            celsius
        }
    }

    fn ratio(&self, ratio: f64) -> f64 {
        ratio
            * if self.system == System::Us {
                GRAINS_PER_POUND
            } else {
                1000.0
            }
    }

    /// Ranges of temperature \[degC\] and humidity ratio \[kg/kg\].
    fn ranges(path: &[(f64, f64, f64)]) -> ((f64, f64), (f64, f64)) {
        let around = |range: Option<(f64, f64)>, usual: (f64, f64), by: f64, least: f64| {
            let (low, high) = range.unwrap_or(usual);
            let more = (0.5 * (least - (high - low))).max(by);
            (low - more, high + more)
        };
        let t = around(
            extent(path.iter().map(|p| p.1)),
            (10.0, 30.0),
            AROUND.0,
            LEAST_SPAN.0,
        );
        let (low, high) = around(
            extent(path.iter().map(|p| p.2)),
            (0.0, 0.015),
            AROUND.1,
            LEAST_SPAN.1,
        );
        (t, (low.max(0.0), high))
    }

    fn draw_curves(&self, canvas: &mut Canvas, laid: &Laid, (cold, warm): (f64, f64)) {
        for humidity in CURVES {
            let saturation = humidity == 1.0;
            let pixels: Vec<(f64, f64)> = (0..=POINTS)
                .map(|i| cold + (warm - cold) * f64::from(i) / f64::from(POINTS))
                .map(|t| {
                    let ratio =
                        air::humidity_ratio(humidity * air::saturation_pressure(t), self.pressure);
                    (t, ratio)
                })
                .filter(|(_, ratio)| drawable(*ratio))
                .map(|(t, ratio)| (laid.x.at(self.temperature(t)), laid.y.at(self.ratio(ratio))))
                .collect();
            let stroke = if saturation {
                Stroke::solid(SOFT_INK, laid.look.line)
            } else {
                Stroke::solid(AXIS, 0.9)
            };
            let parts = clip_line(&pixels, &laid.area);
            for part in &parts {
                canvas.polyline(part, stroke);
            }
            let Some(&(x, y)) = parts.last().and_then(|part| part.last()) else {
                continue;
            };
            let text = if saturation {
                format!("{}, saturated", percent(1.0))
            } else {
                percent(humidity)
            };
            let kind = Type::new(laid.look.tick).colour(SOFT_INK);
            // Words stand left of a curve that leaves through the top, and on one that leaves at the right.
            if y <= laid.area.top + 1.0 {
                let baseline = laid.area.top + (ASCENT + 0.3) * laid.look.tick;
                canvas.words_on_patch(x - 6.0, baseline, &text, kind.anchor(Anchor::End));
            } else {
                canvas.words_on_patch(x - 4.0, y - 4.0, &text, kind.anchor(Anchor::End));
            }
        }
    }
}

impl Chart for PsychrometricChart {
    fn draw(&self, size: Size) -> String {
        let path: Vec<(f64, f64, f64)> = self
            .path
            .iter()
            .copied()
            .filter(|(day, t, w)| drawable(*day) && drawable(*t) && drawable(*w))
            .collect();
        let (t_range, w_range) = Self::ranges(&path);
        let shown = |range: (f64, f64), turn: &dyn Fn(f64) -> f64| {
            axis::nice_range((turn(range.0), turn(range.1)), 6.0)
        };
        let x_range = shown(t_range, &|t| self.temperature(t));
        let y_range = shown(w_range, &|w| self.ratio(w));
        let look = series_look(0);
        let unit = |kind: Kind| Shown::of(kind, self.system).unit();
        let plot = Plot {
            title: &self.title,
            subtitle: &self.subtitle,
            x_label: &format!("Temperature, {}", unit(Kind::Temperature)),
            y_label: &format!("Humidity ratio, {}", unit(Kind::HumidityRatio)),
            footer: &self.footer,
            x_axis: XAxis::Numbers,
            x_range,
            y_range,
            limits: &[],
            marks: &[],
            ends: Vec::new(),
            more: Vec::new(),
        };
        let laid = lay_out(&plot, size);
        let mut canvas = Canvas::default();
        laid.draw_under(&mut canvas);
        if path.is_empty() {
            laid.say_empty(&mut canvas);
        }
        let celsius = |shown: f64| {
            if self.system == System::Us {
                crate::units::celsius(shown)
            } else {
                shown
            }
        };
        self.draw_curves(&mut canvas, &laid, (celsius(x_range.0), celsius(x_range.1)));
        let pixels: Vec<(f64, f64)> = path
            .iter()
            .map(|&(_, t, w)| (laid.x.at(self.temperature(t)), laid.y.at(self.ratio(w))))
            .collect();
        let dated = dated(&pixels);
        let middle = pixels.iter().map(|p| p.0).sum::<f64>() / pixels.len().max(1) as f64;
        for &(place, _) in &dated {
            let (Some(&spot), Some(&(day, ..))) = (pixels.get(place), path.get(place)) else {
                continue;
            };
            // On the side where less of the path lies, unless the words would leave the area.
            let right = spot.0 >= middle && spot.0 + WORDS < laid.area.right
                || spot.0 - WORDS < laid.area.left;
            let kind = Type::new(laid.look.tick).colour(INK);
            let (x, kind) = if right {
                (spot.0 + 9.0, kind)
            } else {
                (spot.0 - 9.0, kind.anchor(Anchor::End))
            };
            canvas.words_on_patch(
                x,
                spot.1 + 0.35 * laid.look.tick,
                &format!("day {}", whole(day)),
                kind,
            );
        }
        // A thin line: a room that follows the weather goes to and fro over the same ground. It lies over the words.
        for part in clip_line(&pixels, &laid.area) {
            canvas.polyline(&part, Stroke::solid(look.colour, laid.look.line));
        }
        for (place, marker) in dated {
            if let Some(&spot) = pixels.get(place) {
                canvas.marker(spot, marker, laid.look.marker * 1.25, look.colour);
            }
        }
        laid.draw_over(&mut canvas);
        laid.finish(canvas, &self.title)
    }
}

/// Points that carry their day: the last, the first, and between them some that stand free of all others.
fn dated(pixels: &[(f64, f64)]) -> Vec<(usize, Marker)> {
    let Some(last) = pixels.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut chosen = vec![(last, Marker::Circle)];
    let mut wanted = vec![0];
    wanted.extend((1..DATED).map(|i| last * i / DATED));
    for place in wanted {
        let free = |spot: (f64, f64)| {
            chosen.iter().all(|(other, _)| {
                pixels
                    .get(*other)
                    .is_some_and(|o| (o.0 - spot.0).hypot(o.1 - spot.1) >= APART)
            })
        };
        if let Some(&spot) = pixels.get(place)
            && free(spot)
        {
            let marker = if place == 0 {
                Marker::Ring
            } else {
                Marker::Circle
            };
            chosen.push((place, marker));
        }
    }
    chosen
}
