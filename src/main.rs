//! The `coatday` command.
fn main() {}
