//! The path of a room's air over curves of constant relative humidity: temperature across, humidity ratio up.

use super::Chart;
use super::axis::{self, XAxis};
use super::canvas::{Stroke, Type, words_area};
use super::crowd::{Crowd, Label};
use super::element::{Element, Ink};
use super::frame::Size;
use super::geometry::{clip_line, drawable, extent, thin};
use super::measure;
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

    /// Curves of constant relative humidity, and the names of those that have room for one.
    fn curves(
        &self,
        laid: &Laid,
        (cold, warm): (f64, f64),
        crowd: &mut Crowd,
    ) -> (Vec<Element>, Vec<Label>) {
        let (mut elements, mut names) = (Vec::new(), Vec::new());
        for humidity in CURVES {
            let saturation = humidity == 1.0;
            let points: Vec<(f64, f64)> = (0..=POINTS)
                .map(|i| cold + (warm - cold) * f64::from(i) / f64::from(POINTS))
                .map(|t| {
                    let pressure = humidity * air::saturation_pressure(t);
                    (t, air::humidity_ratio(pressure, self.pressure))
                })
                .filter(|(_, ratio)| drawable(*ratio))
                .map(|(t, ratio)| (self.temperature(t), self.ratio(ratio)))
                .collect();
            let stroke = if saturation {
                Stroke::solid(SOFT_INK, laid.look.line)
            } else {
                Stroke::solid(AXIS, 0.9)
            };
            let parts = clip_line(&points, &laid.ends);
            elements.extend(
                parts
                    .iter()
                    .map(|part| Element::new(part.clone(), Ink::Line(stroke))),
            );
            let Some(&end) = parts.last().and_then(|part| part.last()) else {
                continue;
            };
            let text = if saturation {
                format!("{}, saturated", percent(1.0))
            } else {
                percent(humidity)
            };
            let kind = Type::new(laid.look.tick).colour(SOFT_INK);
            let wide = measure::width(&text, kind.size, kind.weight);
            let (x, y) = (laid.x.at(end.0), laid.y.at(end.1));
            // Words stand left of a curve that leaves through the top, and on one that leaves at the right.
            let (left, baseline) = if y <= laid.area.top + 1.0 {
                let baseline = laid.area.top + (ASCENT + 0.3) * laid.look.tick;
                (x - 6.0 - wide, baseline)
            } else {
                (x - 4.0 - wide, y - 4.0)
            };
            let left = left.max(laid.area.left + 2.0);
            let room = words_area(left, baseline, &text, kind);
            if crowd.taken().iter().all(|other| !other.meets(&room)) {
                crowd.take(room.grown(3.0, 1.0));
                names.push(Label {
                    left,
                    baseline,
                    text,
                    kind,
                });
            }
        }
        (elements, names)
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
            notes: Vec::new(),
            more: Vec::new(),
        };
        let laid = lay_out(&plot, size);
        let celsius = |shown: f64| {
            if self.system == System::Us {
                crate::units::celsius(shown)
            } else {
                shown
            }
        };
        let mut crowd = Crowd::new(laid.area);
        let ends = (celsius(x_range.0), celsius(x_range.1));
        let (mut elements, mut names) = self.curves(&laid, ends, &mut crowd);
        let points: Vec<(f64, f64)> = path
            .iter()
            .map(|&(_, t, w)| (self.temperature(t), self.ratio(w)))
            .collect();
        let pixels: Vec<(f64, f64)> = points
            .iter()
            .map(|p| (laid.x.at(p.0), laid.y.at(p.1)))
            .collect();
        // A thin line: a room that follows the weather goes to and fro over the same ground. Words lie over it.
        let line = Stroke::solid(look.colour, laid.look.line);
        elements.extend(Element::lines(&points, &laid.ends, line));
        crowd.line(0, thin(&pixels));
        for (place, marker) in dated(&pixels) {
            let kind = Type::new(laid.look.tick).colour(INK);
            let text = format!("day {}", whole(path[place].0));
            // A path that winds about its own dots leaves no free place: then the words stand on it.
            names.extend(crowd.place_anyhow(0, &text, kind, pixels[place]));
            let marker = (marker, laid.look.marker * 1.25, look.colour);
            elements.push(Element::markers([points[place]], &laid.ends, marker));
        }
        laid.draw_over(elements, path.is_empty(), |canvas| {
            for label in &names {
                canvas.words_on_patch(label.left, label.baseline, &label.text, label.kind);
            }
        })
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
