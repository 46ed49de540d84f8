//! The cells of one row: quantities within their limits, words of the log, a fault with its place for what is neither.

use super::columns::{Column, Layout, Placed, not_one_of};
use super::method::{AS_GIVEN, ConcreteKind, Method, Spread, emission_rate};
use super::parts::{Cell, shown};
use crate::scenario::{Collector, resolve};
use crate::units::ranges::Limit;
use crate::units::{self, Kind};
use std::ops::Range;

/// Longest name of a place, in characters: it stands in tables.
const LONGEST_PLACE: usize = 40;

const fn limit(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    (min, max): (f64, f64),
    why: &'static str,
) -> Limit {
    Limit {
        name,
        kind: Some(kind),
        unit,
        min,
        max,
        why,
    }
}

const HUMIDITY: Limit = limit(
    "relative humidity read in concrete",
    Kind::RelativeHumidity,
    "%",
    (1.0, 100.0),
    "a reading beyond that means a broken or wet sensor",
);
const RATE: Limit = limit(
    "emission rate read",
    Kind::MassFlux,
    "lb/1000 ft2/24 h",
    (0.0, 60.0),
    "wet concrete gives no more",
);
const GAIN: Limit = limit(
    "gain in mass of the dish",
    Kind::Mass,
    "g",
    (0.0, 100.0),
    "the salt takes no more",
);
const MASS_SHARE: Limit = limit(
    "water per dry mass",
    Kind::Fraction,
    "%",
    (0.0, 20.0),
    "concrete holds no more",
);
pub(super) const DEPTH: Limit = limit(
    "depth of the reading",
    Kind::Length,
    "mm",
    (0.0, 1500.0),
    "no floor is thicker",
);
pub(super) const TEMPERATURE: Limit = limit(
    "temperature on site",
    Kind::Temperature,
    "degC",
    (-40.0, 60.0),
    "people cannot work beyond that",
);
pub(super) const AIR_HUMIDITY: Limit = limit(
    "relative humidity of the air",
    Kind::RelativeHumidity,
    "%",
    (1.0, 100.0),
    "air is neither free of water nor above saturation",
);
pub(super) const TIME: Limit = limit(
    "time before or in the test",
    Kind::Duration,
    "days",
    (0.0, 3650.0),
    "a longer time is a typing slip",
);
pub(super) const SIDE: Limit = limit(
    "side of the ground square",
    Kind::Length,
    "mm",
    (0.0, 10_000.0),
    "give the spot, not the floor",
);
pub(super) const DISH_AREA: Limit = limit(
    "floor area under the dome",
    Kind::Area,
    "m2",
    (0.002, 1.0),
    "a dome is about as wide as a dinner plate",
);
const SHARE_OF_READING: Limit = limit(
    "standard deviation as a share of the reading",
    Kind::Fraction,
    "%",
    (0.1, 100.0),
    "beyond that it is no measurement",
);

const HUMIDITY_DEVIATION: Limit = limit(
    "standard deviation of a relative humidity",
    Kind::RelativeHumidity,
    "%",
    (0.1, 100.0),
    "beyond that it is no measurement",
);

/// A row whose cells are being read.
pub(super) struct Row<'a, 'b, 'c> {
    pub(super) layout: &'a Layout,
    pub(super) cells: &'a [Cell<'a>],
    pub(super) faults: &'b mut Collector<'c>,
    pub(super) good: bool,
}

impl Row<'_, '_, '_> {
    pub(super) fn fault(
        &mut self,
        column: Column,
        span: &Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.good = false;
        self.faults.add(column.name(), span, message, help);
    }

    pub(super) fn missing(&mut self, column: Column, help: &str) {
        let span = self
            .layout
            .find(column)
            .and_then(|placed| self.cells.get(placed.index))
            .or(self.cells.first())
            .map_or(0..0, |cell| cell.span.clone());
        let message = format!("The {} is missing.", column.name().replace('_', " "));
        self.fault(column, &span, message, help);
    }

    /// Text, place and column of a cell that is not empty.
    pub(super) fn given(&self, column: Column) -> Option<(String, Range<usize>, Placed)> {
        let placed = *self.layout.find(column)?;
        let cell = self.cells.get(placed.index)?;
        let text = cell.text.trim();
        (!text.is_empty()).then(|| (text.to_owned(), cell.span.clone(), placed))
    }

    pub(super) fn text(&self, column: Column) -> String {
        self.given(column).map_or_else(String::new, |(text, ..)| {
            text.chars().filter(|c| !c.is_control()).collect()
        })
    }

    pub(super) fn place(&mut self, default: Option<&str>) -> Option<String> {
        let (text, span) = match (self.given(Column::Place), default) {
            (Some((text, span, _)), _) => (text, span),
            (None, Some(text)) => (text.trim().to_owned(), 0..0),
            (None, None) => {
                self.missing(
                    Column::Place,
                    "Name the spot, such as \"A\" or \"grid C4\".",
                );
                return None;
            }
        };
        if text.chars().count() > LONGEST_PLACE {
            let message =
                format!("The name of the place is longer than {LONGEST_PLACE} characters.");
            self.fault(
                Column::Place,
                &span,
                message,
                "Shorten it and put the rest in the note.",
            );
            return None;
        }
        if text.chars().any(char::is_control) {
            self.fault(
                Column::Place,
                &span,
                "The name of the place contains control characters.",
                "Type it again.",
            );
            return None;
        }
        Some(text)
    }

    pub(super) fn method(&mut self, default: Option<&str>) -> Option<Method> {
        let words = Method::ALL.map(Method::word);
        let (text, span) = match (self.given(Column::Method), default) {
            (Some((text, span, _)), _) => (text, span),
            (None, Some(text)) => (text.to_owned(), 0..0),
            (None, None) => {
                let help = format!("Write {}.", crate::scenario::either(words));
                self.missing(Column::Method, &help);
                return None;
            }
        };
        let meant = resolve(&text, &words);
        let found = Method::ALL
            .into_iter()
            .find(|method| Some(method.word()) == meant);
        if found.is_none() {
            self.good = false;
            not_one_of(Column::Method.name(), &span, &text, &words, self.faults);
        }
        found
    }

    pub(super) fn concrete(&mut self) -> Option<ConcreteKind> {
        let (text, span, _) = self.given(Column::Concrete)?;
        let words = ["normal_weight", "lightweight"];
        match resolve(&text, &words) {
            Some("normal_weight") => Some(ConcreteKind::NormalWeight),
            Some("lightweight") => Some(ConcreteKind::Lightweight),
            _ => {
                self.good = false;
                not_one_of(Column::Concrete.name(), &span, &text, &words, self.faults);
                None
            }
        }
    }

    /// A quantity, none if the cell is empty or, with a fault, wrong.
    pub(super) fn amount(&mut self, column: Column, limit: &Limit) -> Option<f64> {
        let (text, span, placed) = self.given(column)?;
        match quantity(&with_unit(&text, placed), limit) {
            Ok(si) => Some(si),
            Err((message, help)) => {
                self.fault(column, &span, message, help);
                None
            }
        }
    }

    pub(super) fn value(
        &mut self,
        method: Method,
        dish_area: Option<f64>,
        exposure: Option<f64>,
    ) -> Option<f64> {
        let Some((text, span, placed)) = self.given(Column::Value) else {
            self.missing(Column::Value, example(method));
            return None;
        };
        let text = with_unit(&text, placed);
        let read = match method {
            Method::Probe | Method::Hood => quantity(&text, &HUMIDITY),
            Method::MassPercent => quantity(&text, &MASS_SHARE),
            Method::PlasticSheet => match resolve(&text, &["dry", "moist"]) {
                Some("dry") => Ok(0.0),
                Some("moist") => Ok(1.0),
                _ => Err((
                    format!(
                        "\"{}\" is not what a plastic sheet shows.",
                        shown(&text)
                    ),
                    "Write \"dry\" or \"moist\" (drops under it, or darker concrete). The sheet never gives an amount.".to_owned(),
                )),
            },
            Method::Dish => dish(&text, dish_area, exposure),
        };
        match read {
            Ok(value) => Some(value),
            Err((message, help)) => {
                self.fault(Column::Value, &span, message, help);
                None
            }
        }
    }

    pub(super) fn spread(&mut self, method: Method, value: f64) -> Option<Spread> {
        let usual = method.usual_spread(value);
        let Some((text, span, placed)) = self.given(Column::StandardDeviation) else {
            return usual;
        };
        let text = with_unit(&text, placed);
        let read = match method {
            Method::PlasticSheet => Err((
                "A plastic sheet has no standard deviation.".to_owned(),
                "Leave the field empty.".to_owned(),
            )),
            Method::Dish if units::parse(Kind::MassFlux, &text).is_err() => {
                quantity(&text, &SHARE_OF_READING).map(|share| share * value)
            }
            Method::Dish => quantity(&text, &RATE),
            Method::Probe | Method::Hood => quantity(&text, &HUMIDITY_DEVIATION),
            Method::MassPercent => quantity(&text, &MASS_SHARE),
        };
        match read {
            Ok(deviation) if deviation > 0.0 => Some(Spread {
                standard_deviation: deviation,
                source: AS_GIVEN,
            }),
            Ok(_) => {
                self.fault(
                    Column::StandardDeviation,
                    &span,
                    "No instrument reads without an error.",
                    "Give what its sheet or certificate says, or leave the field empty.",
                );
                None
            }
            Err((message, help)) => {
                self.fault(Column::StandardDeviation, &span, message, help);
                None
            }
        }
    }
}

type Read = Result<f64, (String, String)>;

/// The text of a cell, with the unit of its column if it is a plain number.
pub(super) fn with_unit(text: &str, placed: Placed) -> String {
    match placed.unit {
        Some(unit) if text.parse::<f64>().is_ok() => format!("{text} {unit}"),
        _ => text.to_owned(),
    }
}

fn quantity(text: &str, limit: &Limit) -> Read {
    let kind = limit.kind.unwrap_or(Kind::Fraction);
    let amount = units::parse_fitting(kind, text, &|si| limit.holds(si))
        .map_err(|fault| (fault.message, fault.help))?;
    let si = amount.si();
    if limit.holds(si) {
        Ok(si)
    } else {
        let fault = limit.fault(si, Some(&amount));
        Err((fault.message, fault.help))
    }
}

/// A rate, or a gain in mass to be divided by area and time.
fn dish(text: &str, area: Option<f64>, exposure: Option<f64>) -> Read {
    // A dish gains grams: pounds are the trade's short word for the rate.
    let gain = units::parse(Kind::Mass, text).ok();
    let Some(gain) = gain.filter(|gain| gain.unit.name != "lb") else {
        return quantity(text, &RATE).map_err(|(message, help)| {
            (
                message,
                format!(
                    "{help} Or give the gain in mass of the dish, such as \"1.6 g\", with dish_area and exposure."
                ),
            )
        });
    };
    let gain = if GAIN.holds(gain.si()) {
        gain.si()
    } else {
        return quantity(text, &GAIN);
    };
    let (Some(area), Some(exposure)) = (area, exposure) else {
        return Err((
            "A gain in mass alone gives no rate.".to_owned(),
            "Give dish_area (floor under the dome) and exposure too, or the rate itself."
                .to_owned(),
        ));
    };
    let rate = emission_rate(gain, area, exposure)
        .filter(|rate| RATE.holds(*rate))
        .ok_or_else(|| {
            (
                "Gain, area and exposure give a rate that no concrete has.".to_owned(),
                format!("Check the three. A rate goes from {}", RATE.in_words()),
            )
        })?;
    Ok(rate)
}

fn example(method: Method) -> &'static str {
    match method {
        Method::Probe | Method::Hood => "Write the relative humidity, such as \"82 %\".",
        Method::MassPercent => "Write the water by dry mass, such as \"4.2 %\".",
        Method::PlasticSheet => "Write \"dry\" or \"moist\".",
        Method::Dish => {
            "Write the rate, such as \"3.4 lb/1000 ft2/24 h\", or the gain in mass, such as \"1.6 g\"."
        }
    }
}
