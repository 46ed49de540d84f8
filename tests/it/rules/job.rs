//! Prices: each fuel has its own.

use super::{run, with};
use serde_json::{Value, json};

/// A burner's fuel is charged at the price of that fuel and of no other.
#[test]
fn analytic_each_fuel_has_its_own_price() {
    let kinds = ["propane", "natural_gas", "kerosene", "diesel"];
    for (place, fuel) in kinds.into_iter().enumerate() {
        let heater = json!({ "heater": { "kind": "indirect_fired", "fuel": fuel, "output": "5 kW", "efficiency": "80 %",
                                         "electrical_power": "0 W", "rent": ["0 $/day"] } });
        let price = |k: usize| 0.1 * (k + 1) as f64;
        let prices: serde_json::Map<String, Value> = kinds
            .iter()
            .enumerate()
            .map(|(k, kind)| ((*kind).to_owned(), json!(format!("{} $/kWh", price(k)))))
            .collect();
        let scenario = with(&[
            ("/setups/0/gear", json!([heater])),
            ("/prices", Value::Object(prices)),
        ]);
        let setup = run("compare", &scenario, &["--samples", "0"])["setups"][0].clone();
        let number = |key: &str| setup[key].as_f64().expect("a number");
        assert!(number("fuel_kwh") > 100.0, "{setup:#}");
        let cost = price(place) * number("fuel_kwh");
        assert!(
            (number("cost") / cost - 1.0).abs() < 1e-9,
            "{fuel}: {} {cost}",
            number("cost")
        );
    }
}
