//! Holds the tree against the schema and collects every fault.
//!
//! The schema is made from the model's types, so there is one description of a scenario: what passes here is what the types accept.

use std::collections::BTreeSet;
use std::ops::Range;

use serde_json::Value as Json;

use super::faults::{Collector, cut, either, nearest};
use super::json::{Member, Node, Value};
use super::schema::schema_of_scenario;
use super::schema_words::{
    Schema, allows_null, choice_words, example, fact, follow, join, keys_in_words, main_type,
    quantity_kind,
};
use crate::units::dates::{self, DATE_HELP, DateFault, MOMENT_HELP};
use crate::units::{self, Amount, Kind, ranges};

/// A currency in use and where it was first used.
type FirstMoney = Option<(usize, String)>;

/// The walk.
pub(crate) struct Shape<'f, 'c> {
    pub(crate) faults: &'f mut Collector<'c>,
    pub(crate) money: FirstMoney,
}

/// A schema with its references followed, and the limit that came with them.
#[derive(Clone, Copy)]
struct Wanted {
    schema: Schema,
    limit: Option<&'static str>,
}

impl Wanted {
    fn of(schema: Schema) -> Self {
        Self {
            schema,
            limit: None,
        }
    }

    fn followed(self) -> Self {
        Self {
            schema: follow(self.schema),
            limit: self.limit.or_else(|| fact(self.schema, "x-limit")),
        }
    }
}

impl Shape<'_, '_> {
    /// Walks the whole scenario.
    pub(crate) fn walk(&mut self, node: &Node) {
        self.value(node, "", Wanted::of(schema_of_scenario()));
    }

    /// Walks a part that stands at a path, described by a definition of the schema.
    pub(crate) fn walk_at(&mut self, node: &Node, path: &str, definition: &str) {
        if let Some(schema) = schema_of_scenario()
            .get("$defs")
            .and_then(|definitions| definitions.get(definition))
        {
            self.value(node, path, Wanted::of(schema));
        }
    }

    fn value(&mut self, node: &Node, path: &str, wanted: Wanted) {
        let may_be_null = allows_null(wanted.schema);
        if may_be_null && matches!(node.value, Value::Null) {
            return;
        }
        let wanted = wanted.followed();
        let schema = wanted.schema;
        if let Some(choices) = schema.get("oneOf").and_then(Json::as_array) {
            return self.choice(node, path, choices);
        }
        if let Some(kind) = quantity_kind(schema) {
            return self.quantity(node, path, kind, wanted.limit);
        }
        match (main_type(schema), &node.value) {
            ("object", Value::Object(members)) => self.object(node, members, path, schema),
            ("array", Value::List(items)) => self.list(node, items, path, wanted),
            ("string", Value::Text(text)) if is_date(schema) => {
                self.day(dates::date(text), &node.span, path);
            }
            ("string", Value::Text(text)) if is_moment(schema) => {
                self.day(dates::moment(text), &node.span, path);
            }
            ("string", Value::Text(text)) => {
                if let Some(names) = schema.get("enum").and_then(Json::as_array) {
                    self.class(text, &node.span, path, names);
                }
            }
            ("integer", Value::Number(text, number)) => {
                if text.bytes().all(|byte| byte.is_ascii_digit()) {
                    self.limit(*number, None, &node.span, path, wanted.limit);
                } else {
                    self.faults.add(
                        path,
                        &node.span,
                        format!("{} is not a whole number.", cut(text)),
                        "Write a whole number, such as 2.",
                    );
                }
            }
            ("number", Value::Number(_, number)) => {
                self.limit(*number, None, &node.span, path, wanted.limit);
            }
            (kind, _) => self.wrong_kind(node, path, kind, schema),
        }
    }

    fn wrong_kind(&mut self, node: &Node, path: &str, kind: &str, schema: &Json) {
        let (wanted, help) = match kind {
            "object" => (
                "an object",
                format!("Write {{ }} with the keys {}.", keys_in_words(schema)),
            ),
            "array" => (
                "a list",
                "Put the entries in [ ], separated by commas.".to_owned(),
            ),
            "string" if is_date(schema) => ("a date", DATE_HELP.to_owned()),
            "string" if is_moment(schema) => ("a day and time", MOMENT_HELP.to_owned()),
            "string" => ("text", "Put it in double quotes.".to_owned()),
            "integer" => (
                "a whole number",
                "Write a whole number without quotes, such as 2.".to_owned(),
            ),
            "number" => (
                "a number",
                "Write a number without quotes or unit, such as 0.5.".to_owned(),
            ),
            _ => ("something else", String::new()),
        };
        self.faults.add(
            path,
            &node.span,
            format!("This is {}, but {wanted} is needed here.", node.kind()),
            help,
        );
    }

    fn object(&mut self, node: &Node, members: &[Member], path: &str, schema: Schema) {
        let Some(properties) = schema.get("properties").and_then(Json::as_object) else {
            return;
        };
        let required: Vec<&str> = schema
            .get("required")
            .and_then(Json::as_array)
            .into_iter()
            .flatten()
            .filter_map(Json::as_str)
            .collect();
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let mut missing: Vec<&str> = required
            .iter()
            .copied()
            .filter(|key| !members.iter().any(|member| member.key == *key))
            .collect();
        for member in members {
            if self.faults.is_full() {
                return;
            }
            let place = join(path, &member.key);
            if !seen.insert(&member.key) {
                let first = members.iter().find(|first| first.key == member.key);
                let message = match first {
                    Some(first) if first.typed != member.typed => format!(
                        "\"{}\" is the same key as \"{}\" on line {}.",
                        cut(&member.typed),
                        cut(&first.typed),
                        self.faults.line_of(first.key_span.start)
                    ),
                    _ => format!("\"{}\" is given twice.", cut(&member.typed)),
                };
                self.faults
                    .add(&place, &member.key_span, message, "Keep one of them.");
            }
            if let Some(inner) = properties.get(&member.key) {
                self.value(&member.value, &place, Wanted::of(inner));
                continue;
            }
            // A missing key is the likeliest meaning of a misspelt one, and then it is not reported a second time.
            let near_missing = nearest(&member.key, missing.iter().copied());
            missing.retain(|key| Some(*key) != near_missing);
            let known = properties
                .keys()
                .map(String::as_str)
                .filter(|key| *key != "$schema");
            let help = match near_missing.or_else(|| nearest(&member.key, known)) {
                Some(near) => format!("Did you mean \"{near}\"?"),
                None => format!("The keys here: {}.", keys_in_words(schema)),
            };
            self.faults.add(
                &place,
                &member.key_span,
                format!("\"{}\" is not a key here.", cut(&member.key)),
                help,
            );
        }
        if let Some(pair) = schema.get("x-one-of").and_then(Json::as_array) {
            self.exactly_one(node, path, pair);
        }
        for key in missing {
            let about = properties
                .get(key)
                .and_then(|inner| inner.get("description"))
                .and_then(Json::as_str)
                .unwrap_or_default();
            let example = example(properties.get(key));
            self.faults.add(
                path,
                &(node.span.start..node.span.start + 1),
                format!("\"{key}\" is missing. {about}")
                    .trim_end()
                    .to_owned(),
                format!("Add \"{key}\": {example}."),
            );
        }
    }

    /// Of two keys one must be given, not both.
    fn exactly_one(&mut self, node: &Node, path: &str, pair: &'static [Json]) {
        let [Some(first), Some(second)] = [pair.first(), pair.last()].map(|key| key?.as_str())
        else {
            return;
        };
        let (place, span, message) = match (node.get(first), node.get(second)) {
            (None, None) => (
                path.to_owned(),
                node.span.start..node.span.start + 1,
                format!("\"{first}\" or \"{second}\" is missing."),
            ),
            (Some(_), Some(other)) => (
                join(path, second),
                other.span.clone(),
                format!("\"{first}\" and \"{second}\" are both given."),
            ),
            _ => return,
        };
        self.faults
            .add(&place, &span, message, "Give one of the two.");
    }

    fn list(&mut self, node: &Node, items: &[Node], path: &str, wanted: Wanted) {
        let bound = |key: &str| {
            wanted
                .schema
                .get(key)
                .and_then(Json::as_u64)
                .and_then(|number| usize::try_from(number).ok())
        };
        let (least, most) = (
            bound("minItems").unwrap_or(0),
            bound("maxItems").unwrap_or(usize::MAX),
        );
        if items.len() < least || items.len() > most {
            let (message, help) = if least == most {
                (
                    format!(
                        "This list has {} entries, but {least} are needed.",
                        items.len()
                    ),
                    "Give one for each month, January first.".to_owned(),
                )
            } else if items.len() < least {
                (
                    "This list is empty.".to_owned(),
                    "Give at least one entry, or remove the key if it may be left out.".to_owned(),
                )
            } else {
                (
                    format!(
                        "This list has {} entries, but at most {most} are read.",
                        items.len()
                    ),
                    "Split the scenario into several.".to_owned(),
                )
            };
            self.faults.add(path, &node.span, message, help);
        }
        if let Some(inner) = wanted.schema.get("items") {
            for (number, item) in items.iter().enumerate() {
                if self.faults.is_full() {
                    return;
                }
                self.value(
                    item,
                    &format!("{path}[{number}]"),
                    Wanted {
                        schema: inner,
                        limit: wanted.limit,
                    },
                );
            }
        }
    }

    /// A kind: a word, or an object whose single key is the kind.
    fn choice(&mut self, node: &Node, path: &str, choices: &'static [Json]) {
        let known: Vec<(&str, Option<Schema>)> = choices.iter().flat_map(choice_words).collect();
        let names = || known.iter().map(|(name, _)| *name);
        let listed = || {
            let words: Vec<String> = known
                .iter()
                .map(|(name, inner)| {
                    if inner.is_some() {
                        format!("{{\"{name}\": {{...}}}}")
                    } else {
                        format!("\"{name}\"")
                    }
                })
                .collect();
            format!("Write one of {}.", words.join(", "))
        };
        match &node.value {
            Value::Text(text) => match known.iter().find(|(name, _)| name == text) {
                Some((_, None)) => {}
                Some((name, Some(inner))) => {
                    let example = example(Some(inner));
                    self.faults.add(
                        path,
                        &node.span,
                        format!("\"{name}\" needs its keys in braces."),
                        format!("Write {{\"{name}\": {example}}}."),
                    );
                }
                None => {
                    let near = nearest(text, names())
                        .map(|near| format!("Did you mean \"{near}\"? "))
                        .unwrap_or_default();
                    self.faults.add(
                        path,
                        &node.span,
                        format!("\"{}\" is not a choice here.", cut(text)),
                        format!("{near}{}", listed()),
                    );
                }
            },
            Value::Object(members) if !members.is_empty() => {
                let only = if let [only] = members.as_slice() {
                    Some(only)
                } else {
                    let help = format!("Keep one choice in each pair of braces. {}", listed());
                    self.faults.add(
                        path,
                        &node.span,
                        format!(
                            "One choice is needed here, but there are {} keys.",
                            members.len()
                        ),
                        help,
                    );
                    None
                };
                for member in members {
                    let place = join(path, &member.key);
                    match known.iter().find(|(name, _)| *name == member.key) {
                        Some((_, Some(inner))) => {
                            self.value(&member.value, &place, Wanted::of(inner));
                        }
                        Some((name, None)) => {
                            self.faults.add(
                                &place,
                                &member.key_span,
                                format!("\"{name}\" takes no further keys."),
                                format!("Write it as text: \"{name}\"."),
                            );
                        }
                        None if only.is_some() => {
                            let near = nearest(&member.key, names())
                                .map(|near| format!("Did you mean \"{near}\"? "))
                                .unwrap_or_default();
                            self.faults.add(
                                &place,
                                &member.key_span,
                                format!("\"{}\" is not a choice here.", cut(&member.key)),
                                format!("{near}{}", listed()),
                            );
                        }
                        None => {}
                    }
                }
            }
            _ => self.faults.add(
                path,
                &node.span,
                format!("This is {}, but a choice is needed here.", node.kind()),
                listed(),
            ),
        }
    }

    fn quantity(&mut self, node: &Node, path: &str, kind: Kind, limit: Option<&str>) {
        let fits = |si: f64| {
            limit
                .and_then(ranges::find)
                .is_none_or(|limit| limit.holds(si))
        };
        let fault = match &node.value {
            Value::Text(text) => match units::parse_fitting(kind, text, &fits) {
                Ok(amount) => {
                    if kind.is_money() {
                        self.currency(amount.currency, &node.span, path);
                    }
                    return self.limit(amount.si(), Some(&amount), &node.span, path, limit);
                }
                Err(fault) => fault,
            },
            Value::Number(text, _) => units::bare_number(kind, text, &fits),
            _ => units::UnitFault {
                message: format!(
                    "This is {}, but {} is needed here.",
                    node.kind(),
                    kind.with_article()
                ),
                help: units::allowed(kind),
            },
        };
        self.faults.add(path, &node.span, fault.message, fault.help);
    }

    fn currency(&mut self, currency: usize, span: &Range<usize>, path: &str) {
        match &self.money {
            None => self.money = Some((currency, path.to_owned())),
            Some((first, _)) if *first == currency => {}
            Some((first, place)) => {
                let name = |row: usize| {
                    units::table::CURRENCIES
                        .get(row)
                        .map_or("$", |(name, _)| name)
                };
                let message = format!(
                    "This is in {}, but {place} is in {}.",
                    name(currency),
                    name(*first)
                );
                self.faults.add(
                    path,
                    span,
                    message,
                    format!(
                        "Give all money in {}, or all in {}.",
                        name(*first),
                        name(currency)
                    ),
                );
            }
        }
    }

    fn limit(
        &mut self,
        si: f64,
        typed: Option<&Amount>,
        span: &Range<usize>,
        path: &str,
        limit: Option<&str>,
    ) {
        if let Some(limit) = limit.and_then(ranges::find)
            && !limit.holds(si)
        {
            let fault = limit.fault(si, typed);
            self.faults.add(path, span, fault.message, fault.help);
        }
    }

    /// A day or moment must have been read.
    fn day<T>(&mut self, read: Result<T, DateFault>, span: &Range<usize>, path: &str) {
        if let Err(fault) = read {
            self.faults.add(path, span, fault.message, fault.help);
        }
    }

    fn class(&mut self, text: &str, span: &Range<usize>, path: &str, names: &[Json]) {
        let known: Vec<&str> = names.iter().filter_map(Json::as_str).collect();
        if !known.contains(&text) {
            let near = nearest(text, known.iter().copied())
                .map(|near| format!("Did you mean \"{near}\"? "))
                .unwrap_or_default();
            self.faults.add(
                path,
                span,
                format!("There is no class \"{}\".", cut(text)),
                format!("{near}Write {}.", either(known.iter().copied())),
            );
        }
    }
}

pub(super) fn is_date(schema: &Json) -> bool {
    schema.get("x-date").is_some()
}

pub(super) fn is_moment(schema: &Json) -> bool {
    schema.get("x-moment").is_some()
}
