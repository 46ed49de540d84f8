//! Tests of the `scenario` room.
#[test]
fn show() {
    let s = schemars::schema_for!(coatday::scenario::model::Scenario);
    println!("{}", serde_json::to_string_pretty(&s).unwrap());
}
