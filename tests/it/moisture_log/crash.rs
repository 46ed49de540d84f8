//! The real program, killed while it adds to a log, and two of it at the same time.

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use coatday::moisture_log::read_log;
use jiff::civil::date;
use tempfile::TempDir;

use super::floor;

/// Readings that are added in all.
const APPENDS: usize = 1000;
/// The longest this may take.
const PATIENCE: Duration = Duration::from_mins(2);

/// A generator of numbers that look random, so that the moments of the kills differ and are the same in every run (the
/// constants of the MMIX generator, D. Knuth).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

fn adder(folder: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_coatday"))
        .args(["readings", "floor.json", "--from", "-", "--method", "probe"])
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Hands rows to a process on a thread of its own; one that has been killed takes no more of them, which is no fault.
fn hand(child: &mut Child, rows: Vec<String>) -> std::thread::JoinHandle<()> {
    let mut input = child.stdin.take().unwrap();
    std::thread::spawn(move || {
        let _ = input.write_all(b"place,time,value,note\n");
        for row in rows {
            if input.write_all(row.as_bytes()).is_err() {
                return;
            }
        }
    })
}

fn row(number: usize) -> String {
    format!("P{number},2026-11-20 08:30,84.5 %,reading number {number}\n")
}

/// The place of a confirmation, `Added line 5: Nov 20, 2026, 8:30 am, P3, probe, 84.5 %`.
fn confirmed(line: &str) -> Option<String> {
    let (_, rest) = line.strip_prefix("Added line ")?.split_once(": ")?;
    // The day and the time of day hold blanks at which no line breaks.
    rest.split(", ").nth(1).map(str::to_owned)
}

fn place() -> TempDir {
    let place = TempDir::new().unwrap();
    fs::write(place.path().join("floor.json"), floor().to_string()).unwrap();
    place
}

fn places(folder: &Path) -> Vec<String> {
    let bytes = fs::read(folder.join("floor-readings.csv")).unwrap_or_default();
    let log = read_log("log", &bytes, date(2026, 9, 1));
    if let Some(faults) = log.faults {
        panic!("{faults}");
    }
    log.readings.into_iter().map(|r| r.place).collect()
}

/// Killed again and again during 1,000 appends: after every kill the log is read without a fault and holds everything that was
/// confirmed, and nothing twice.
#[test]
fn regress_a_killed_append_loses_nothing() {
    let started = Instant::now();
    let place = place();
    let mut numbers = Numbers(20_261_120);
    let mut sure = BTreeSet::new();
    let mut kills = 0;
    while sure.len() < APPENDS {
        assert!(
            started.elapsed() < PATIENCE,
            "{} after {kills} kills",
            sure.len()
        );
        let next: Vec<String> = (0..APPENDS)
            .filter(|n| !sure.contains(&format!("P{n}")))
            .map(row)
            .collect();
        let mut child = adder(place.path());
        let writer = hand(&mut child, next);
        let output = child.stdout.take().unwrap();
        let reader = std::thread::spawn(move || {
            BufReader::new(output)
                .lines()
                .map_while(Result::ok)
                .collect::<Vec<_>>()
        });
        std::thread::sleep(Duration::from_micros(5_000 + numbers.below(120_000)));
        // The process was started here; its own handle ends it.
        child.kill().unwrap();
        child.wait().unwrap();
        kills += 1;
        writer.join().unwrap();
        let lines = reader.join().unwrap();
        let found = places(place.path());
        let there: BTreeSet<String> = found.iter().cloned().collect();
        assert_eq!(there.len(), found.len(), "a reading stands twice");
        for line in lines {
            // What was in the log unconfirmed is there already and is not added again.
            if let Some(name) = confirmed(&line) {
                assert!(there.contains(&name), "{name} was confirmed and is lost");
                sure.insert(name);
            }
        }
        sure.extend(there);
    }
    assert!(kills > 5, "{kills} kills are no test");
    assert_eq!(places(place.path()).len(), APPENDS);
}

/// Two processes at the same time: every line whole, none lost.
#[test]
fn regress_two_at_once_do_not_interleave() {
    let place = place();
    let mut children: Vec<Child> = (0..2).map(|_| adder(place.path())).collect();
    let writers: Vec<_> = children
        .iter_mut()
        .enumerate()
        .map(|(half, child)| hand(child, (0..60).map(|n| row(1000 * half + n)).collect()))
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert_eq!(
            String::from_utf8_lossy(&output.stdout)
                .lines()
                .filter_map(confirmed)
                .count(),
            60
        );
    }
    let mut found = places(place.path());
    found.sort();
    found.dedup();
    assert_eq!(found.len(), 120);
}
