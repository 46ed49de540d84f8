//! All integration tests, one module per room.
mod air;
mod air_command;
mod charts;
mod check;
mod cli;
mod column;
mod concrete;
mod delay;
mod document;
mod evaluate;
mod facade;
mod forecast;
mod format;
mod gear;
mod gear_keys;
mod help;
mod house;
mod moisture_log;
mod moisture_tests;
mod new;
mod not_computed;
mod odds;
mod old_floors;
mod page;
mod power;
mod preparation;
mod readings;
mod room;
mod rules;
mod scenario;
mod scenarios;
mod screens;
mod search;
mod simulation;
mod size;
mod spelling;
mod units;
mod verdict;
mod weather;

/// What was written, with plain blanks for those at which no line breaks.
fn plain(text: impl AsRef<[u8]>) -> String {
    String::from_utf8_lossy(text.as_ref()).replace('\u{a0}', " ")
}
