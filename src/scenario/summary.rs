//! What was understood, in both unit systems, with every default that was taken: a walk over the scenario and its schema.
//!
//! A section, such as the slab, has a line for each key; everything else is one line. Labels, defaults and reasons stand beside the keys
//! ([`super::keys`]); what follows from other keys comes from [`Scenario::filled_in`].

use serde::Serialize;
use serde_json::Value;

use super::american::american;
use super::model::Scenario;
use super::schema_words::{Schema, choice_words, fact, follow, main_type, quantity_kind};
use super::shape::is_date;
use crate::gear::classes;
use crate::units::format::{self, short_date};
use crate::units::{self, System};

/// One line of the summary.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Understood {
    /// The key, after the keys above it.
    pub label: String,
    /// The value in units of the US trade, or in words.
    pub us: String,
    /// The value in SI units, or in words.
    pub si: String,
    /// Why this value, where it was not given.
    pub note: Option<String>,
}

/// Everything the program will use, in reading order.
#[must_use]
pub fn understood(scenario: &Scenario) -> Vec<Understood> {
    let value = |scenario: &Scenario| serde_json::to_value(scenario).unwrap_or_default();
    let mut lines = Lines(Vec::new());
    let (given, filled) = (value(scenario), value(&scenario.filled_in()));
    lines.section("", super::schema::schema_of_scenario(), &given, &filled);
    lines.0
}

/// Texts in both systems, and what is to be said of them.
#[derive(Default)]
pub(super) struct Said {
    pub(super) us: String,
    pub(super) si: String,
    /// Labels of defaults that stand in the texts, with their reasons.
    defaults: Vec<String>,
    /// What was left out, and what that means.
    without: Vec<String>,
}

impl Said {
    fn word(text: impl Into<String>) -> Self {
        let text = text.into();
        Self {
            us: text.clone(),
            si: text,
            ..Self::default()
        }
    }

    fn by_system(text: &format::Said) -> Self {
        Self {
            us: text.of(System::Us).to_owned(),
            si: text.of(System::Si).to_owned(),
            ..Self::default()
        }
    }

    /// Adds a part after a separator.
    fn add(&mut self, separator: &str, part: Self) {
        for (text, more) in [(&mut self.us, part.us), (&mut self.si, part.si)] {
            if !text.is_empty() && !more.is_empty() {
                text.push_str(separator);
            }
            text.push_str(&more);
        }
        self.defaults.extend(part.defaults);
        self.without.extend(part.without);
    }

    /// The same with words before and after it.
    fn between(self, before: &str, after: &str) -> Self {
        Self {
            us: format!("{before}{}{after}", self.us),
            si: format!("{before}{}{after}", self.si),
            ..self
        }
    }

    fn notes(&self) -> impl Iterator<Item = String> {
        let of = |what: &str, parts: &[String]| {
            (!parts.is_empty()).then(|| format!("{what}: {}", parts.join(", ")))
        };
        [
            of(GIVEN_BY_DEFAULT, &self.defaults),
            of("not given", &self.without),
        ]
        .into_iter()
        .flatten()
    }
}

const GIVEN_BY_DEFAULT: &str = "assumed";

/// What counts for a key: the value as given and with what follows from other keys, or words for what leaving it out means.
enum Counts<'v> {
    Given(&'v Value, &'v Value),
    Default(&'v Value, &'v Value),
    Without(&'static str),
}

/// A key with its description and what counts for it.
struct Key<'v> {
    label: String,
    property: Schema,
    counts: Counts<'v>,
    why: &'static str,
}

impl Key<'_> {
    /// What it is in a note that names it.
    fn in_note(&self, words: &str) -> String {
        let parts = [words, &bracketed(self.why)].concat();
        format!("{}{parts}", self.label)
    }
}

/// Those keys of an object that have something to say, in the order of their declaration.
fn keys<'v>(schema: Schema, given: &'v Value, filled: &'v Value) -> Vec<Key<'v>> {
    let names = schema.get("x-order").and_then(Value::as_array);
    let names = names.into_iter().flatten().filter_map(Value::as_str);
    let there = |key: &str| given.get(key).is_some_and(|value| !value.is_null());
    names
        .filter_map(|name| {
            let property = schema.get("properties")?.get(name)?;
            let suits = fact(property, "x-with").is_none_or(there)
                && !fact(property, "x-unless").is_some_and(there);
            let counts = if there(name) {
                let value = given.get(name)?;
                Counts::Given(value, filled.get(name).unwrap_or(value))
            } else if !suits {
                return None;
            } else if let Some(value) = filled.get(name).or_else(|| property.get("default")) {
                Counts::Default(value, value)
            } else {
                Counts::Without(fact(property, "x-without")?)
            };
            Some(Key {
                label: label(property, name),
                property,
                counts,
                why: fact(property, "x-why").unwrap_or_default(),
            })
        })
        .collect()
}

struct Lines(Vec<Understood>);

impl Lines {
    fn add(&mut self, label: &str, said: Said, note: Option<String>) {
        let notes: Vec<String> = note.into_iter().chain(said.notes()).collect();
        self.0.push(Understood {
            label: label.trim_end_matches([' ', ':']).to_owned(),
            us: said.us,
            si: said.si,
            note: (!notes.is_empty()).then(|| notes.join("; ")),
        });
    }

    /// A line for each key of an object.
    fn section(&mut self, before: &str, schema: Schema, given: &Value, filled: &Value) {
        for key in keys(schema, given, filled) {
            let label = format!("{before}{}", key.label);
            let below = format!("{label}: ");
            let schema = follow(key.property);
            let (value, filled, note) = match key.counts {
                Counts::Given(value, filled) => (
                    value,
                    filled,
                    fact(key.property, "x-note").map(str::to_owned),
                ),
                Counts::Default(value, filled) => {
                    (value, filled, Some(because(GIVEN_BY_DEFAULT, key.why)))
                }
                Counts::Without(words) => {
                    self.add(
                        &label,
                        Said::word(words),
                        Some(because("not given", key.why)),
                    );
                    continue;
                }
            };
            if is_section(schema) {
                self.section(&below, schema, value, filled);
            } else if let (Some(items), Some(inner)) = (value.as_array(), objects_of(key.property))
            {
                if items.is_empty() {
                    self.add(&label, Said::word("none"), note.clone());
                }
                for (place, item) in items.iter().enumerate() {
                    let filled = filled.get(place).unwrap_or(item);
                    self.entry(&below, inner, item, filled, note.clone());
                }
            } else if let Some((word, inner, value, filled)) = choice(schema, value, filled)
                && is_section(inner)
            {
                self.add(&label, Said::word(word), note);
                self.section(&below, inner, value, filled);
            } else {
                self.add(&label, said(key.property, value, filled), note);
            }
        }
    }

    /// An entry of a list; lists in it follow, set in.
    fn entry(
        &mut self,
        before: &str,
        schema: Schema,
        item: &Value,
        filled: &Value,
        note: Option<String>,
    ) {
        let (name, schema, item, filled) = choice(schema, item, filled).unwrap_or_else(|| {
            let name = item.get("name").and_then(Value::as_str).unwrap_or_default();
            (name.to_owned(), schema, item, filled)
        });
        let mut head = object(schema, item, filled, true);
        let inner: Vec<(Schema, &Vec<Value>)> = keys(schema, item, filled)
            .iter()
            .filter_map(|key| match key.counts {
                Counts::Given(Value::Array(entries), _) => {
                    Some((objects_of(key.property)?, entries))
                }
                _ => None,
            })
            .collect();
        if !inner.is_empty() && inner.iter().all(|(_, entries)| entries.is_empty()) {
            head.add(", ", Said::word("none"));
        }
        self.add(&format!("{before}{name}"), head, note);
        for (schema, entries) in inner {
            for entry in entries {
                self.entry("  ", schema, entry, entry, None);
            }
        }
    }
}

/// A value in words.
pub(super) fn said(property: Schema, value: &Value, filled: &Value) -> Said {
    let schema = follow(property);
    match value {
        Value::String(text) => match quantity_kind(schema).map(|kind| units::parse(kind, text)) {
            Some(Ok(amount)) => Said {
                us: units::shown(&amount, System::Us),
                si: units::shown(&amount, System::Si),
                ..Said::default()
            },
            Some(Err(_)) => Said::word(text),
            None if is_date(schema) => match text.parse() {
                Ok(day) => Said {
                    us: short_date(day, System::Us),
                    si: short_date(day, System::Si),
                    ..Said::default()
                },
                Err(_) => Said::word(text),
            },
            None if schema.get("x-class").is_some() => Said::by_system(&classes::label(text)),
            None => Said::by_system(&format::Said::both(&word(schema, text))),
        },
        Value::Number(number) => {
            let number = number.as_f64().unwrap_or_default();
            Said::word(((number * 1e3).round() / 1e3).to_string())
        }
        Value::Array(items) if property.get("x-counted").is_some() => {
            Said::word(items.len().to_string())
        }
        Value::Array(items) if items.is_empty() => Said::word("none"),
        Value::Array(items) => items.iter().fold(Said::default(), |mut all, item| {
            if let Some(inner) = schema.get("items") {
                all.add(", ", said(inner, item, item));
            }
            all
        }),
        Value::Object(_) => match choice(schema, value, filled) {
            Some((word, schema, value, filled)) => {
                let mut all = Said::word(word);
                all.add(
                    ", ",
                    if value.is_object() {
                        object(schema, value, filled, false)
                    } else {
                        said(schema, value, filled)
                    },
                );
                all
            }
            None => object(schema, value, filled, false),
        },
        Value::Bool(_) | Value::Null => Said::default(),
    }
}

/// An object in words; an entry of a list has its name and its own lists elsewhere.
fn object(schema: Schema, value: &Value, filled: &Value, entry: bool) -> Said {
    let mut all = Said::default();
    for key in keys(schema, value, filled) {
        let (value, filled) = match key.counts {
            Counts::Without(words) => {
                all.without.push(key.in_note(&format!(" {words}")));
                continue;
            }
            Counts::Given(value, filled) => (value, filled),
            Counts::Default(value, filled) => {
                all.defaults.push(key.in_note(""));
                (value, filled)
            }
        };
        if entry && (key.label == "name" || objects_of(key.property).is_some()) {
            continue;
        }
        let mut part = said(key.property, value, filled);
        for note in part.defaults.iter_mut().chain(&mut part.without) {
            *note = format!("{} {note}", key.label);
        }
        let part = if choice(follow(key.property), value, filled).is_some() || !value.is_object() {
            part.between(&format!("{} ", key.label), "")
        } else {
            part.between(&format!("{} (", key.label), ")")
        };
        all.add(", ", part);
    }
    all
}

/// The chosen word in people's words, with the description of what stands under it and that.
fn choice<'v>(
    schema: Schema,
    value: &'v Value,
    filled: &'v Value,
) -> Option<(String, Schema, &'v Value, &'v Value)> {
    let choices = schema.get("oneOf").and_then(Value::as_array)?;
    let (key, inside) = value.as_object()?.iter().next()?;
    let filled = filled.get(key).unwrap_or(inside);
    choices.iter().find_map(|choice| {
        choice_words(choice).into_iter().find_map(|(word, inner)| {
            let inner = inner.filter(|_| word == key)?;
            Some((label(choice, word), follow(inner), inside, filled))
        })
    })
}

/// A word in people's words.
fn word(schema: Schema, text: &str) -> String {
    let choices = schema.get("oneOf").and_then(Value::as_array);
    choices
        .into_iter()
        .flatten()
        .find(|choice| choice_words(choice).iter().any(|(word, _)| *word == text))
        .map_or_else(|| text.to_owned(), |choice| label(choice, text))
}

/// What a key or a word is called: its label or the word itself.
pub(super) fn label(described: Schema, name: &str) -> String {
    fact(described, "x-label").map_or_else(|| american(&name.replace('_', " ")), str::to_owned)
}

pub(super) fn because(what: &str, why: &str) -> String {
    if why.is_empty() {
        what.to_owned()
    } else {
        format!("{what}: {why}")
    }
}

fn bracketed(why: &str) -> String {
    if why.is_empty() {
        String::new()
    } else {
        format!(" ({why})")
    }
}

fn is_section(schema: Schema) -> bool {
    schema.get("x-section").is_some()
}

/// What the entries of a list are, if they are objects and not merely counted.
fn objects_of(property: Schema) -> Option<Schema> {
    let items = follow(follow(property).get("items")?);
    let counted = property.get("x-counted").is_some();
    let objects = items.get("oneOf").is_some() || main_type(items) == "object";
    (objects && !counted).then_some(items)
}
