//! All integration tests, one module per room.
mod air;
mod air_command;
mod cli;
mod column;
mod concrete;
mod floor_tests;
mod gear;
mod odds;
mod plan;
mod report;
mod room;
mod scenario;
mod scenarios;
mod site;
mod size;
mod units;
mod weather;
