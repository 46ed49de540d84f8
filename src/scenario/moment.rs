//! A day with a time of day, as people write it.

use jiff::civil::DateTime;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// How to write one.
pub(super) const MOMENT_HELP: &str = "Write a day and a time of day, like \"2026-11-20 15:00\".";

/// A moment to the minute, site local standard time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Moment(pub DateTime);

/// The moment, only in the form `2026-11-20 15:00`, or with a `T` between day and time.
pub(super) fn as_moment(text: &str) -> Option<DateTime> {
    let shape = text.len() == 16
        && text.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            10 => byte == b' ' || byte == b'T',
            13 => byte == b':',
            _ => byte.is_ascii_digit(),
        });
    if shape { text.parse().ok() } else { None }
}

impl TryFrom<String> for Moment {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        as_moment(&text)
            .map(Self)
            .ok_or_else(|| MOMENT_HELP.to_owned())
    }
}

impl From<Moment> for String {
    fn from(moment: Moment) -> Self {
        moment.0.strftime("%Y-%m-%d %H:%M").to_string()
    }
}

impl JsonSchema for Moment {
    fn schema_name() -> Cow<'static, str> {
        "Moment".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "x-moment": true,
            "description": "A day and a time of day, site local standard time.",
            "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[0-9]{2}$",
            "examples": ["2026-11-20 15:00"],
        })
    }
}
