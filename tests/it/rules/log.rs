//! Programs that add to one log at the same time.

use super::floor;
use coatday::moisture_log::read_log;
use jiff::civil::date;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;

/// Long enough for the program to start, read the log and, were nobody waited for, write into it.
const A_WHILE: Duration = Duration::from_millis(800);

fn add(folder: &Path, place: &str) -> Child {
    Command::new(env!("CARGO_BIN_EXE_coatday"))
        .args(["readings", "floor.json", "add", "--place", place])
        .args(["--method", "probe", "--value", "84.5 %"])
        .args(["--time", "2026-05-02 08:30", "--at", "2026-05-03"])
        .current_dir(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program")
}

fn end(child: Child) {
    let output = child.wait_with_output().expect("an end");
    let words = crate::plain(&output.stderr);
    assert!(output.status.success(), "{words}");
}

/// While one program is in the middle of its line, others that want to add wait, even beyond the line's first half. Then every line is
/// whole, none is lost, and the reading that somebody else has added meanwhile is not added again.
#[test]
fn analytic_whoever_holds_the_log_is_waited_for() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("floor-readings.csv");
    fs::write(folder.path().join("floor.json"), floor().to_string()).expect("a file");
    end(add(folder.path(), "first"));
    let log = fs::read_to_string(&path).expect("a log");
    let line = log
        .lines()
        .last()
        .expect("a line")
        .replace("first", "second");
    let (start, rest) = line.split_at(line.len() / 2);

    let mut file = OpenOptions::new()
        .append(true)
        .open(&path)
        .expect("the log");
    file.lock().expect("a lock");
    file.write_all(start.as_bytes()).expect("half a line");
    let held = fs::metadata(&path).expect("the log").len();
    let places = ["second", "third", "fourth", "fifth"];
    let mut others: Vec<Child> = places.iter().map(|name| add(folder.path(), name)).collect();
    std::thread::sleep(A_WHILE);
    for other in &mut others {
        assert!(
            other.try_wait().expect("a state").is_none(),
            "not waited for"
        );
    }
    assert_eq!(fs::metadata(&path).expect("the log").len(), held);
    file.write_all(rest.as_bytes()).expect("the other half");
    file.write_all(b"\n").expect("its end");
    file.unlock().expect("no lock");
    others.into_iter().for_each(end);

    let bytes = fs::read(&path).expect("a log");
    let read = read_log("log", &bytes, date(2026, 4, 1));
    assert!(read.faults.is_none(), "{:?}", read.faults);
    let mut found: Vec<String> = read.readings.into_iter().map(|r| r.place).collect();
    found.sort();
    assert_eq!(found, ["fifth", "first", "fourth", "second", "third"]);
}
