//! A day with a time of day, as people write it.

use jiff::civil::DateTime;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// A moment to the minute, site local standard time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Moment(pub DateTime);

impl TryFrom<String> for Moment {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let read = crate::units::dates::moment(&text);
        read.map(Self).map_err(|fault| fault.to_string())
    }
}

impl From<Moment> for String {
    fn from(moment: Moment) -> Self {
        written(moment.0)
    }
}

/// A moment as scenarios keep it.
pub(super) fn written(moment: DateTime) -> String {
    moment.strftime("%Y-%m-%d %H:%M").to_string()
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
            "pattern": "[0-9]{4}",
            "examples": ["2026-11-20 15:00"],
        })
    }
}
