//! A scenario as a form: groups of fields in the order in which people know things, each with its label, help, choices, default with its
//! reason, what was understood of its text in both unit systems, and what is wrong with it.
//!
//! A walk over the text and the schema made from `keys`: a key that is added there has its field here. A text with faults gives a
//! form too, as long as it is JSON.

use super::faults::{Fault, Faults};
use super::json;
use super::schema::schema_of_scenario;
use super::schema_words::{
    Schema, choice_words, example, fact, follow, join, main_type, quantity_kind,
};
use super::shape::is_date;
use super::summary::{Said as Shown, because, label, said};
use super::{read, spelling};
use crate::gear::classes;
use crate::units::System;
use crate::units::format::{self, Said, echoed};
use serde::Serialize;
use serde_json::{Value, json};

/// A scenario as a form.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Form {
    /// Groups in the order in which people know things.
    pub groups: Vec<Group>,
    /// Every fault of the text.
    pub faults: Vec<Fault>,
}

/// Fields that belong together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Group {
    /// Its name.
    pub name: String,
    /// Its fields.
    pub fields: Vec<Field>,
}

/// A value in units of the US trade and in SI, or in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Echo {
    /// For the US trade.
    pub us: String,
    /// In SI.
    pub si: String,
}

impl Echo {
    fn of(said: &Said) -> Self {
        Self {
            us: echoed(said.of(System::Us)),
            si: echoed(said.of(System::Si)),
        }
    }

    /// The one for a system.
    #[must_use]
    pub fn shown(&self, system: System) -> &str {
        match system {
            System::Us | System::Both => &self.us,
            System::Si => &self.si,
        }
    }
}

/// One key.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Field {
    /// Its key path, as faults name it.
    pub path: String,
    /// What people call it.
    pub label: String,
    /// What it means.
    pub help: String,
    /// Whether the scenario may leave it out.
    pub optional: bool,
    /// Whether the text has it.
    pub given: bool,
    /// What was understood of it; empty where nothing was.
    pub echo: Echo,
    /// What counts where it is left out, and why.
    pub without: Option<Echo>,
    /// What is wrong with it: what and what to do.
    pub faults: Vec<String>,
    /// How it is asked.
    pub control: Control,
}

/// How a key is asked.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Control {
    /// Text as people type it.
    Text {
        /// As it stands.
        text: String,
        /// What it could be.
        example: String,
        /// Kind of the text.
        kind: TextKind,
    },
    /// One of a few words.
    Words {
        /// The word that stands there.
        chosen: Option<String>,
        /// Those that may.
        words: Vec<Word>,
    },
    /// A kind with keys of its own.
    Kind {
        /// The kind that stands there.
        chosen: Option<String>,
        /// Those that may.
        words: Vec<Word>,
        /// The keys of the one that stands there.
        fields: Vec<Field>,
    },
    /// Keys of its own.
    Object {
        /// They.
        fields: Vec<Field>,
        /// What is put in where it was left out.
        new: Value,
    },
    /// A list.
    List {
        /// Its entries.
        entries: Vec<Field>,
        /// What may be added: its name and its value.
        new: Vec<Word>,
    },
}

/// What a text holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TextKind {
    /// Words or a quantity with its unit.
    Words,
    /// A number without a unit.
    Number,
    /// A day.
    Date,
}

/// A word that may be chosen.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Word {
    /// As the scenario writes it.
    pub word: String,
    /// As people say it.
    pub label: Echo,
    /// What it means; empty where its label says it.
    pub help: String,
    /// The value that stands for it.
    pub value: Value,
}

/// The groups in the order in which people know things. A key names its group in its declaration; one without is in the last.
pub const GROUPS: [&str; 8] = [
    "Floor",
    "Place and building",
    "Dates and limit",
    "Gear",
    "Prices",
    "Walk",
    "Promised",
    "Document",
];

/// The form of a text.
///
/// # Errors
/// The faults of a text that is not JSON.
pub fn form(text: &str, display_name: &str) -> Result<Form, Faults> {
    let scenario = read(text, display_name);
    let filled = scenario.as_ref().ok();
    let filled = filled.map(|s| serde_json::to_value(s.filled_in()).unwrap_or_default());
    let mut tree = match (json::read(text), scenario.as_ref().err()) {
        (Ok(tree), _) => tree,
        (Err(_), Some(faults)) => return Err(faults.clone()),
        // A text that was read is JSON.
        (Err(_), None) => return Ok(Form::default()),
    };
    let faults = scenario.err().map_or_else(Vec::new, |faults| faults.faults);
    spelling::canonical(&mut tree);
    let given = tree.to_json();
    let mut walk = Walk {
        faults: faults.iter().map(|fault| (fault, false)).collect(),
    };
    let filled = filled.unwrap_or(Value::Null);
    let fields = walk.keys("", schema_of_scenario(), &given, &filled);
    let mut groups: Vec<Group> = GROUPS
        .iter()
        .map(|name| Group {
            name: (*name).to_owned(),
            fields: Vec::new(),
        })
        .collect();
    for field in fields {
        let property = schema_of_scenario()
            .get("properties")
            .and_then(|properties| properties.get(&field.path));
        let name = property.and_then(|property| fact(property, "x-group"));
        let at = GROUPS.iter().position(|group| Some(*group) == name);
        if let Some(group) = groups.get_mut(at.unwrap_or(GROUPS.len() - 1)) {
            group.fields.push(field);
        }
    }
    // A fault that no field has, such as one of the whole file, stands at the top of the first group.
    Ok(Form { groups, faults })
}

/// The walk, with the faults and whether each has found its field.
struct Walk<'f> {
    faults: Vec<(&'f Fault, bool)>,
}

impl Walk<'_> {
    /// Fields of an object's keys, in the order of their declaration.
    fn keys(&mut self, path: &str, schema: Schema, given: &Value, filled: &Value) -> Vec<Field> {
        let names = schema.get("x-order").and_then(Value::as_array);
        let names = names.into_iter().flatten().filter_map(Value::as_str);
        let required = schema.get("required").and_then(Value::as_array);
        let there = |key: &str| given.get(key).is_some_and(|value| !value.is_null());
        let mut fields = Vec::new();
        for name in names {
            let properties = schema.get("properties");
            let Some(property) = properties.and_then(|properties| properties.get(name)) else {
                continue;
            };
            let suits = fact(property, "x-with").is_none_or(there)
                && !fact(property, "x-unless").is_some_and(there);
            if !there(name) && !suits {
                continue;
            }
            let mut field = self.field(
                &join(path, name),
                property,
                given.get(name).filter(|value| !value.is_null()),
                filled.get(name).filter(|value| !value.is_null()),
            );
            field.label = label(property, name);
            field.optional = !required
                .into_iter()
                .flatten()
                .any(|key| key.as_str() == Some(name));
            fields.push(field);
        }
        fields
    }

    /// The field of a value, which may not be there.
    fn field(
        &mut self,
        path: &str,
        property: Schema,
        given: Option<&Value>,
        filled: Option<&Value>,
    ) -> Field {
        let schema = follow(property);
        let own = self.own_faults(path);
        let control = self.control(path, property, given, filled);
        // What its own fields could not show is shown here.
        let mut faults = own;
        if given.is_some() {
            faults.extend(self.faults_below(path));
        }
        let echo = given.filter(|_| faults.is_empty()).and_then(|value| {
            let simple = matches!(control, Control::Text { .. });
            let text = simple.then(|| said(property, value, filled.unwrap_or(value)));
            // What was read as it was typed says nothing new.
            let typed = value.as_str().unwrap_or_default();
            let new = |text: &Shown| value.is_string() && (text.us != typed || text.si != typed);
            text.filter(new).map(|text| Echo {
                us: echoed(&text.us),
                si: echoed(&text.si),
            })
        });
        Field {
            path: path.to_owned(),
            label: String::new(),
            help: help(property).or_else(|| help(schema)).unwrap_or_default(),
            optional: true,
            given: given.is_some(),
            echo: echo.unwrap_or_default(),
            without: match given {
                Some(_) => None,
                None => without(property, filled),
            },
            faults,
            control,
        }
    }

    fn control(
        &mut self,
        path: &str,
        property: Schema,
        given: Option<&Value>,
        filled: Option<&Value>,
    ) -> Control {
        let schema = follow(property);
        let none = Value::Null;
        let filled = filled.unwrap_or(&none);
        if let Some(choices) = schema.get("oneOf").and_then(Value::as_array) {
            return self.choice(path, choices, given, filled);
        }
        if schema.get("x-class").is_some() {
            let names = schema.get("enum").and_then(Value::as_array);
            let names = names.into_iter().flatten().filter_map(Value::as_str);
            let words = names.map(|name| {
                let label = classes::label(name);
                Word {
                    word: name.to_owned(),
                    label: Echo::of(&label),
                    help: String::new(),
                    value: json!(name),
                }
            });
            return Control::Words {
                chosen: given.and_then(Value::as_str).map(str::to_owned),
                words: words.collect(),
            };
        }
        match main_type(schema) {
            "object" => Control::Object {
                fields: given.map_or_else(Vec::new, |given| self.keys(path, schema, given, filled)),
                new: blank(schema),
            },
            "array" => self.list(path, property, schema, given, filled),
            kind => Control::Text {
                text: match given {
                    Some(Value::String(text)) => text.clone(),
                    Some(Value::Null) | None => String::new(),
                    Some(other) => other.to_string(),
                },
                example: example(Some(property)).trim_matches(['"', '.']).to_owned(),
                kind: match kind {
                    "number" | "integer" => TextKind::Number,
                    _ if is_date(schema) => TextKind::Date,
                    _ => TextKind::Words,
                },
            },
        }
    }

    fn choice(
        &mut self,
        path: &str,
        choices: &'static [Value],
        given: Option<&Value>,
        filled: &Value,
    ) -> Control {
        let known = choices
            .iter()
            .flat_map(|choice| choice_words(choice).into_iter().map(move |of| (choice, of)));
        let known: Vec<(&Value, (&str, Option<&'static Value>))> = known.collect();
        let words = known.iter().map(|(choice, (word, inner))| Word {
            word: (*word).to_owned(),
            label: Echo::of(&Said::both(&label(choice, word))),
            help: help(choice).unwrap_or_default(),
            value: match inner {
                None => json!(word),
                Some(inner) => json!({ *word: blank(follow(inner)) }),
            },
        });
        let words: Vec<Word> = words.collect();
        if known.iter().all(|(_, (_, inner))| inner.is_none()) {
            return Control::Words {
                chosen: given.and_then(Value::as_str).map(str::to_owned),
                words,
            };
        }
        let (chosen, inside) = match given {
            Some(Value::String(word)) => (Some(word.clone()), None),
            Some(Value::Object(members)) => match members.iter().next() {
                Some((word, value)) => (Some(word.clone()), Some(value)),
                None => (None, None),
            },
            _ => (None, None),
        };
        let inner = known
            .iter()
            .find(|(_, (word, _))| Some(*word) == chosen.as_deref())
            .and_then(|(_, (_, inner))| *inner);
        let mut fields = Vec::new();
        if let (Some(inner), Some(value), Some(word)) = (inner, inside, &chosen) {
            let below = join(path, word);
            let filled = filled.get(word.as_str()).unwrap_or(&Value::Null);
            let schema = follow(inner);
            if main_type(schema) == "object" {
                fields = self.keys(&below, schema, value, filled);
            } else {
                let mut field = self.field(&below, inner, Some(value), None);
                word.replace('_', " ").clone_into(&mut field.label);
                field.optional = false;
                fields.push(field);
            }
        }
        Control::Kind {
            chosen,
            words,
            fields,
        }
    }

    fn list(
        &mut self,
        path: &str,
        property: Schema,
        schema: Schema,
        given: Option<&Value>,
        filled: &Value,
    ) -> Control {
        let Some(items) = schema.get("items") else {
            return Control::List {
                entries: Vec::new(),
                new: Vec::new(),
            };
        };
        let one = fact(property, "x-label").unwrap_or("entry");
        let length = |bound: &str| schema.get(bound).and_then(Value::as_u64);
        let fixed = length("minItems").is_some() && length("minItems") == length("maxItems");
        let months = fixed && length("minItems") == Some(12);
        let mut entries = Vec::new();
        let values = given.and_then(Value::as_array).map(Vec::as_slice);
        for (at, value) in values.unwrap_or_default().iter().enumerate() {
            let filled = filled.get(at).filter(|filled| !filled.is_null());
            let mut field = self.field(&format!("{path}[{at}]"), items, Some(value), filled);
            let name = value.get("name").and_then(Value::as_str);
            let month = months.then(|| jiff::civil::Date::new(2000, at as i8 + 1, 1).ok());
            field.label = match (name, month.flatten()) {
                (Some(name), _) => name.to_owned(),
                (None, Some(first)) => format::month(first),
                (None, None) => format!("{one} {}", at + 1),
            };
            field.optional = !fixed;
            entries.push(field);
        }
        if fixed {
            let empty = vec![json!(""); length("minItems").unwrap_or(0) as usize];
            let all = Word {
                word: one.to_owned(),
                label: Echo::of(&Said::both("all of them")),
                help: String::new(),
                value: Value::Array(empty),
            };
            return Control::List {
                new: if entries.is_empty() {
                    vec![all]
                } else {
                    Vec::new()
                },
                entries,
            };
        }
        let inner = follow(items);
        let limit = fact(property, "x-limit");
        let new = if let Control::Kind { words, .. } = self.control(path, items, None, None) {
            words
        } else {
            {
                let value = match quantity_kind(inner) {
                    Some(kind) => json!(super::schema_words::quantity_example(kind, limit)),
                    None => blank(inner),
                };
                vec![Word {
                    word: one.to_owned(),
                    label: Echo::of(&Said::both(one)),
                    help: String::new(),
                    value,
                }]
            }
        };
        Control::List { entries, new }
    }

    /// Faults of exactly this path; each is told once.
    fn own_faults(&mut self, path: &str) -> Vec<String> {
        self.take(|fault| fault.path == path)
    }

    /// Faults of what lies under this path and has no field of its own.
    fn faults_below(&mut self, path: &str) -> Vec<String> {
        self.take(|fault| {
            let rest = fault.path.strip_prefix(path);
            rest.is_some_and(|rest| rest.starts_with(['.', '[']))
        })
    }

    fn take(&mut self, here: impl Fn(&Fault) -> bool) -> Vec<String> {
        let mut texts = Vec::new();
        for (fault, told) in &mut self.faults {
            if !*told && here(fault) {
                *told = true;
                texts.push(
                    format!("{} {}", fault.message, fault.help)
                        .trim_end()
                        .to_owned(),
                );
            }
        }
        texts
    }
}

/// The description of a key without its default, which has a line of its own.
fn help(described: Schema) -> Option<String> {
    let text = fact(described, "description")?;
    let text = text.split(" Default ").next().unwrap_or(text);
    let text = text.split(" Default: ").next().unwrap_or(text);
    // Names of keys and commands stand in backticks in the declaration.
    Some(text.replace('`', ""))
}

/// What counts where a key is left out.
fn without(property: Schema, filled: Option<&Value>) -> Option<Echo> {
    let why = fact(property, "x-why").unwrap_or_default();
    let value = filled.or_else(|| property.get("default"));
    let (us, si) = match (value, fact(property, "x-without")) {
        (Some(value), _) => {
            let text = said(property, value, value);
            (text.us, text.si)
        }
        (None, Some(words)) => (words.to_owned(), words.to_owned()),
        (None, None) if why.is_empty() => return None,
        (None, None) => (String::new(), String::new()),
    };
    let with = |text: &str| {
        echoed(&because(text, why))
            .trim_start_matches(": ")
            .to_owned()
    };
    Some(Echo {
        us: with(&us),
        si: with(&si),
    })
}

/// What is put in for a key that is asked for next: its required keys, each empty.
fn blank(schema: Schema) -> Value {
    let schema = follow(schema);
    if let Some(choices) = schema.get("oneOf").and_then(Value::as_array) {
        let first = choices.first().map(choice_words).unwrap_or_default();
        return match first.first() {
            Some((word, Some(inner))) => json!({ *word: blank(inner) }),
            Some((word, None)) => json!(word),
            None => Value::Null,
        };
    }
    if schema.get("x-class").is_some() {
        let names = schema.get("enum").and_then(Value::as_array);
        return names
            .and_then(|names| names.first())
            .cloned()
            .unwrap_or_default();
    }
    match main_type(schema) {
        "object" => {
            let required = schema.get("required").and_then(Value::as_array);
            let required = required.into_iter().flatten().filter_map(Value::as_str);
            let of = |key: &str| Some((key.to_owned(), blank(schema.get("properties")?.get(key)?)));
            Value::Object(required.filter_map(of).collect())
        }
        "array" => {
            let least = schema.get("minItems").and_then(Value::as_u64).unwrap_or(0);
            let inner = schema.get("items");
            Value::Array((0..least).filter_map(|_| inner.map(blank)).collect())
        }
        "integer" => json!(1),
        "number" => json!(0.5),
        _ => json!(""),
    }
}
