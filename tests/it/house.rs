//! The order of the rooms in `src`, held against the `use` lines: a room uses only rooms above it, and no files of a room
//! use each other in a circle.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// The rooms from the top down, as DEVELOPERS.md lists them.
const ROOMS: [&str; 21] = [
    "units",
    "air",
    "column",
    "concrete",
    "weather",
    "gear",
    "room",
    "simulation",
    "moisture_tests",
    "scenario",
    "job",
    "evaluate",
    "search",
    "moisture_log",
    "preparation",
    "coating_day",
    "delay",
    "verdict",
    "charts",
    "results",
    "writers",
];
/// Rooms below all others: the facade, what the command and the page share, and these two.
const LAST: [&str; 5] = ["open", "facade", "computer", "page", "cli"];

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("src is there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The module path of a file, such as `["evaluate", "size", "load"]`.
fn module(src: &Path, file: &Path) -> Vec<String> {
    let inside = file.strip_prefix(src).expect("a file of src");
    let mut parts: Vec<String> = inside
        .with_extension("")
        .iter()
        .map(|part| part.to_string_lossy().into_owned())
        .collect();
    if parts.last().is_some_and(|last| last == "mod") {
        parts.pop();
    }
    parts
}

/// The text without comments and without the words in quotation marks.
fn code(text: &str) -> String {
    text.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .map(|line| line.split(" // ").next().unwrap_or(line))
        .collect::<Vec<_>>()
        .join("\n")
}

/// Paths of a use tree: `a::{b, c::d}` gives `a::b` and `a::c::d`.
fn spread(prefix: &[String], tree: &str, found: &mut Vec<Vec<String>>) {
    let tree = tree.trim();
    let segments = |text: &str| -> Vec<String> {
        text.split("::")
            .map(|s| s.split(" as ").next().unwrap_or(s).trim().to_owned())
            .filter(|s| !s.is_empty())
            .collect()
    };
    let Some(open) = tree.find('{') else {
        let mut path = prefix.to_vec();
        path.extend(segments(tree));
        found.push(path);
        return;
    };
    let mut path = prefix.to_vec();
    path.extend(segments(&tree[..open]));
    let inner = &tree[open + 1..tree.rfind('}').expect("braces come in pairs")];
    let (mut depth, mut start) = (0, 0);
    for (at, c) in inner.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                spread(&path, &inner[start..at], found);
                start = at + 1;
            }
            _ => {}
        }
    }
    if !inner[start..].trim().is_empty() {
        spread(&path, &inner[start..], found);
    }
}

/// Absolute paths inside the crate that a file names, in `use` lines and elsewhere. What it only hands on (`pub use`) does not count.
fn uses(text: &str, own: &[String]) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    let mut rest = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let trimmed = line.trim_start();
        let hands_on = trimmed.starts_with("pub") && trimmed.contains(" use ");
        if !trimmed.starts_with("use ") && !hands_on {
            rest.push_str(line);
            rest.push('\n');
            continue;
        }
        let mut whole = trimmed.to_owned();
        while !whole.contains(';') {
            whole.push_str(lines.next().expect("a use line ends"));
        }
        if hands_on {
            continue;
        }
        let tree = whole.trim_start_matches("use ");
        spread(
            &[],
            &tree[..tree.find(';').expect("a use line ends")],
            &mut found,
        );
    }
    for start in ["crate::", "super::"] {
        for (at, _) in rest.match_indices(start) {
            let before = rest[..at].chars().next_back();
            if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
                continue;
            }
            let path: String = rest[at..]
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_' || *c == ':')
                .collect();
            found.push(
                path.split("::")
                    .filter(|s| !s.is_empty())
                    .map(str::to_owned)
                    .collect(),
            );
        }
    }
    found
        .into_iter()
        .filter_map(|path| {
            let (mut base, mut segments) = (own.to_vec(), path.as_slice());
            match segments.first()?.as_str() {
                "crate" => {
                    base.clear();
                    segments = &segments[1..];
                }
                "super" => {
                    while segments.first().is_some_and(|s| s == "super") {
                        base.pop();
                        segments = &segments[1..];
                    }
                }
                "self" => segments = &segments[1..],
                // A child named without `self`, or a crate from outside.
                _ => {}
            }
            base.extend(segments.iter().cloned());
            Some(base)
        })
        .collect()
}

/// The modules that each module uses, the deepest that exist.
fn arrows() -> BTreeMap<Vec<String>, BTreeSet<Vec<String>>> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut list = Vec::new();
    files(&src, &mut list);
    let modules: BTreeSet<Vec<String>> = list.iter().map(|file| module(&src, file)).collect();
    list.iter()
        .filter(|file| !file.ends_with("src/lib.rs") && !file.ends_with("src/main.rs"))
        .map(|file| {
            let own = module(&src, file);
            let text = code(&std::fs::read_to_string(file).expect("readable"));
            let targets = uses(&text, &own)
                .into_iter()
                .filter_map(|mut path| {
                    while !path.is_empty() && !modules.contains(&path) {
                        path.pop();
                    }
                    (!path.is_empty() && path != own).then_some(path)
                })
                .collect();
            (own, targets)
        })
        .collect()
}

fn place(room: &str) -> usize {
    ROOMS
        .iter()
        .chain(&LAST)
        .position(|r| *r == room)
        .unwrap_or_else(|| panic!("{room} is no room of the list: put it where it belongs"))
}

#[test]
fn regress_a_room_uses_only_rooms_above_it() {
    let mut upward = Vec::new();
    for (file, targets) in arrows() {
        for target in targets {
            if place(&target[0]) > place(&file[0]) {
                upward.push(format!("{} uses {}", file.join("::"), target.join("::")));
            }
        }
    }
    assert!(upward.is_empty(), "{}", upward.join("\n"));
}

#[test]
fn regress_no_files_use_each_other_in_a_circle() {
    let arrows = arrows();
    // Takes away files that use no other, again and again: what stays is in a circle or uses one; then the same from the other side.
    let mut left: BTreeMap<_, BTreeSet<_>> = arrows
        .iter()
        .map(|(file, targets)| {
            let inside = targets
                .iter()
                .filter(|t| t[0] == file[0])
                .cloned()
                .collect();
            (file.clone(), inside)
        })
        .collect();
    loop {
        let used: BTreeSet<_> = left.values().flatten().cloned().collect();
        let before = left.len();
        left.retain(|file, targets| !targets.is_empty() && used.contains(file));
        let kept: BTreeSet<_> = left.keys().cloned().collect();
        for targets in left.values_mut() {
            targets.retain(|t| kept.contains(t));
        }
        if left.len() == before {
            break;
        }
    }
    let circle: Vec<String> = left
        .iter()
        .flat_map(|(file, targets)| {
            targets
                .iter()
                .map(move |t| format!("{} -> {}", file.join("::"), t.join("::")))
        })
        .collect();
    assert!(circle.is_empty(), "{}", circle.join("\n"));
}

#[test]
fn regress_the_list_of_rooms_is_that_of_the_documents() {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md"))
        .expect("readable");
    let listed: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .filter(|room| {
            Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("src")
                .join(room)
                .is_dir()
                || Path::new(env!("CARGO_MANIFEST_DIR"))
                    .join(format!("src/{room}.rs"))
                    .is_file()
        })
        .collect();
    let rooms: Vec<&str> = ROOMS.iter().chain(&LAST).copied().collect();
    assert_eq!(listed, rooms);
}
