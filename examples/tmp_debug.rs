#[allow(dead_code)]
#[path = "../tests/it/moisture_tests/pairs.rs"]
mod pairs;
#[allow(dead_code)]
#[path = "../tests/it/readings.rs"]
mod readings;
#[allow(dead_code)]
#[path = "../tests/it/concrete/rows.rs"]
mod rows;
fn main() {}
