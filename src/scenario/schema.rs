//! The JSON Schema of a scenario, made from the types of the model.

use super::american::american;
use super::model::Scenario;
use std::sync::LazyLock;

/// The JSON Schema of a scenario, for editors and for reading.
#[must_use]
pub fn schema() -> serde_json::Value {
    schema_of_scenario().clone()
}

/// The same, made once.
pub(crate) fn schema_of_scenario() -> &'static serde_json::Value {
    static SCHEMA: LazyLock<serde_json::Value> = LazyLock::new(|| {
        let mut schema = schemars::schema_for!(Scenario).to_value();
        tell_defaults(&mut schema);
        schema
    });
    &SCHEMA
}

/// Says the default of each key at the end of its description, for editors that show no more.
fn tell_defaults(schema: &mut serde_json::Value) {
    match schema {
        serde_json::Value::Object(members) => {
            let text = |key: &str| members.get(key).and_then(serde_json::Value::as_str);
            let value = match members.get("default") {
                Some(serde_json::Value::String(text)) => Some(american(&text.replace('_', " "))),
                Some(other) if other.is_number() => Some(other.to_string()),
                _ => text("x-without").map(str::to_owned),
            };
            let why = text("x-why").filter(|why| !why.is_empty());
            let words = match (value, why) {
                (Some(value), Some(why)) => format!(" Default {value}: {why}."),
                (Some(value), None) => format!(" Default {value}."),
                (None, Some(why)) => format!(" Default: {why}."),
                (None, None) => String::new(),
            };
            if let (false, Some(help)) = (words.is_empty(), text("description")) {
                let help = format!("{help}{words}");
                members.insert("description".to_owned(), help.into());
            }
            members.values_mut().for_each(tell_defaults);
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(tell_defaults),
        _ => {}
    }
}
