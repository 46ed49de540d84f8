//! A result for programs: one JSON object, its keys in the order of the record.

use serde::Serialize;

/// The object, indented.
///
/// # Errors
/// A record that JSON has no form for, such as a map whose keys are no text.
pub fn json(data: &impl Serialize) -> Result<String, String> {
    serde_json::to_string_pretty(data)
        .map_err(|fault| format!("The result cannot be written as JSON: {fault}."))
}
