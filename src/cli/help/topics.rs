//! The topics and their texts. The first line of a text is its title, which the list of topics shows too.

use super::keys;

/// What stands once in README.md and is a topic too.
const README: &str = include_str!("../../../README.md");

/// The topic of which one part can be asked for.
pub(super) const WITH_PARTS: &str = "scenario";

/// A topic.
#[derive(Debug)]
pub(super) struct Topic {
    pub(super) name: &'static str,
    text: &'static str,
    /// Commands whose help names this topic.
    commands: &'static [&'static str],
}

macro_rules! topics {
    ($($name:literal: $($command:literal)*;)+) => {
        /// In the order in which they are read.
        pub(super) const TOPICS: &[Topic] = &[$(Topic {
            name: $name,
            text: include_str!(concat!($name, ".txt")),
            commands: &[$($command),*],
        }),+];
    };
}

topics! {
    "scenario": "new" "check" "schema";
    "units": "check" "air";
    "targets": "compare";
    "weather":;
    "gear": "compare" "size";
    "power": "size";
    "verdict": "compare";
    "odds": "compare" "forecast";
    "plan":;
    "decide": "compare" "plan";
    "walk": "prep";
    "readings": "forecast" "today";
    "today":;
    "explain":;
    "report":;
    "json":;
    "exit-codes":;
    "trust":;
    "limits":;
    "safety":;
}

impl Topic {
    fn title(&self) -> &'static str {
        let first = self.text.lines().next().unwrap_or_default();
        first.trim_start_matches('#').trim()
    }

    /// The whole text, with what is made or stands elsewhere put in.
    pub(super) fn page(&self) -> String {
        let mut page = String::new();
        for line in self.text.lines() {
            let inserted = match line.strip_prefix('{').and_then(|l| l.strip_suffix('}')) {
                Some("keys") => Some(keys::all()),
                Some("units") => Some(keys::units()),
                Some(other) => other.strip_prefix("README: ").map(section),
                None => None,
            };
            page.push_str(inserted.as_deref().unwrap_or(line));
            page.push('\n');
        }
        page
    }
}

pub(super) fn named(name: &str) -> Option<&'static Topic> {
    TOPICS.iter().find(|topic| topic.name == name)
}

/// Where to read more about what a command does.
pub(super) fn of_command(command: &str) -> Option<String> {
    let topics = TOPICS.iter().filter(|t| t.commands.contains(&command));
    let lines: Vec<String> = topics
        .map(|t| format!("`coatday help {}`", t.name))
        .collect();
    (!lines.is_empty()).then(|| format!("More: {}", lines.join(", ")))
}

/// The topics with their titles, for the end of the program's help.
pub(in crate::cli) fn listed() -> String {
    let longest = TOPICS.iter().map(|t| t.name.len()).max().unwrap_or(0);
    let line = |t: &Topic| format!("  {:longest$}  {}", t.name, t.title());
    let lines: Vec<String> = TOPICS.iter().map(line).collect();
    format!(
        "Topics (coatday help TOPIC):\n{}\n  {:longest$}  All of them",
        lines.join("\n"),
        "all"
    )
}

/// What stands under a heading of README.md.
fn section(heading: &str) -> String {
    let start = README.split_once(&format!("\n## {heading}\n"));
    let text = start.map_or("", |(_, rest)| rest);
    text.split("\n## ")
        .next()
        .unwrap_or_default()
        .trim()
        .to_owned()
}
