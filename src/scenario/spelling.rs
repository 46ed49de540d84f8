//! Other spellings of keys and words: what people of the trade type for them, UK or US spelling, capitals, blanks and hyphens.
//!
//! [`canonical`] walks the tree along the schema before anything else looks at it, and puts the one spelling in the place of what was
//! typed; days and moments become `2026-11-02` and `2026-11-02 15:00`. Every value keeps its place in the text, so that faults point at
//! what was typed. A word is only taken for another where that other is known at its place and the word itself is not.

use super::american::UK_AND_US;
use super::json::{Node, Value};
use super::moment;
use super::schema::schema_of_scenario;
use super::schema_words::{Schema, choice_words, follow};
use super::shape::{is_date, is_moment};
use crate::units::{System, dates};
use serde_json::Value as Json;
use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

/// Words of the trade for keys and values. A word may stand for one of several; the place tells which.
const ALIASES: &[(&[&str], &[&str])] = &[
    // Tests of moisture: targets, and methods of the log.
    (
        &[
            "relative_humidity_at_depth",
            "probe",
            "relative_humidity_percent",
            "relative_humidity",
        ],
        &["rh"],
    ),
    (
        &["relative_humidity_at_depth", "probe"],
        &[
            "F2170",
            "ASTM F2170",
            "probe",
            "RH probe",
            "in situ probe",
            "in situ RH",
            "RH at depth",
            "relative humidity",
        ],
    ),
    (
        &["emission_rate", "dish"],
        &[
            "F1869",
            "ASTM F1869",
            "calcium chloride",
            "CaCl",
            "CaCl2",
            "MVER",
            "dish",
            "calcium chloride dish",
            "moisture vapor emission rate",
            "emission",
            "vapor emission",
        ],
    ),
    (
        &["equilibrium_relative_humidity", "hood"],
        &[
            "hood",
            "RH hood",
            "surface hood",
            "insulated hood",
            "hygrometer",
            "equilibrium RH",
        ],
    ),
    (
        &["plastic_sheet"],
        &[
            "D4263",
            "ASTM D4263",
            "sheet test",
            "plastic sheet test",
            "poly sheet",
            "mat test",
        ],
    ),
    (&["mass_percent"], &["gravimetric", "oven dry", "oven test"]),
    (&["moist"], &["wet", "damp", "condensation"]),
    // What is found on the walk.
    (
        &["broken"],
        &[
            "spall", "spalled", "spalling", "pothole", "pop-out", "divot", "pit", "chip",
        ],
    ),
    (
        &["coating"],
        &["paint", "old paint", "old coating", "old layer"],
    ),
    (&["high_spot"], &["hump", "bump", "high"]),
    (
        &["low_spot"],
        &["birdbath", "bird bath", "dip", "depression", "low"],
    ),
    (
        &["delamination"],
        &["hollow", "hollow spot", "delam", "delaminated"],
    ),
    (&["damp"], &["wet spot", "damp spot", "moisture"]),
    (&["note"], &["remark", "comment", "other"]),
    (&["still"], &["dormant", "static", "not moving"]),
    (
        &["moving"],
        &["active", "working", "expansion", "isolation"],
    ),
    (&["control"], &["contraction", "saw cut", "sawn"]),
    (&["construction"], &["cold joint", "cold"]),
    (&["salts"], &["efflorescence"]),
    (&["mould"], &["mildew"]),
    (&["scaling"], &["flaking", "pitted"]),
    (&["through"], &["holes", "rusted through"]),
    (&["resin"], &["epoxy", "urethane", "polyurethane"]),
    (&["adhesive"], &["glue", "mastic"]),
    (&["size"], &["area size", "sq ft", "square feet", "sf"]),
    // The slab.
    (
        &["water_cement_ratio"],
        &[
            "w/c",
            "w/cm",
            "w/c ratio",
            "w/cm ratio",
            "water-cement",
            "water to cement ratio",
        ],
    ),
    (
        &["strength"],
        &["compressive strength", "design strength", "f'c"],
    ),
    (
        &["placed"],
        &[
            "poured",
            "date poured",
            "pour date",
            "cast",
            "date placed",
            "placement date",
        ],
    ),
    (&["aggregate"], &["stone"]),
    (&["normal_weight"], &["normal", "NWC"]),
    (&["lightweight"], &["LWC", "structural lightweight"]),
    (&["wet"], &["wet cure", "water cure", "burlap"]),
    (&["sheet"], &["poly", "plastic", "curing sheet"]),
    (
        &["curing_compound"],
        &["compound", "cure and seal", "curing membrane"],
    ),
    (
        &["steel_trowelled"],
        &[
            "troweled",
            "hard troweled",
            "steel trowel",
            "power troweled",
            "machine troweled",
        ],
    ),
    (&["floated"], &["float", "float finish"]),
    (&["ground"], &["diamond ground"]),
    (&["shot_blasted"], &["shotblast", "blasted"]),
    (
        &["vapour_retarder"],
        &[
            "vapor barrier",
            "VR",
            "polyethylene",
            "underslab membrane",
            "moisture barrier",
        ],
    ),
    (
        &["bare_ground"],
        &["soil", "no vapor barrier", "no vapor retarder"],
    ),
    (&["metal_deck"], &["steel deck", "deck"]),
    (&["open_air"], &["suspended"]),
    (&["underside"], &["below", "below slab", "under slab"]),
    (&["wettings"], &["water on floor", "rain events"]),
    (&["rain"], &["snow"]),
    (&["washing"], &["wash", "wash down"]),
    (&["etch_rinse"], &["rinse", "etching"]),
    // The building and the job.
    (&["elevation"], &["altitude", "height above sea level"]),
    (&["height"], &["ceiling", "ceiling height", "clear height"]),
    (
        &["needed_by"],
        &["deadline", "due", "due date", "date needed", "coat by"],
    ),
    (&["note"], &["remarks", "comments"]),
    (&["labour"], &["labor rate", "labor cost"]),
    (&["temperature"], &["temp"]),
    (
        &["lowest_temperature"],
        &["min temperature", "minimum temperature", "min temp"],
    ),
    (
        &["highest_temperature"],
        &["max temperature", "maximum temperature", "max temp"],
    ),
    (
        &["highest_relative_humidity"],
        &["max RH", "max humidity", "maximum relative humidity"],
    ),
    (&["dew_point_margin"], &["dew point spread"]),
    (&["limit"], &["max", "maximum"]),
    // Gear.
    (
        &["dehumidifier"],
        &["dehu", "LGR", "refrigerant dehumidifier"],
    ),
    (&["desiccant"], &["desiccant dehumidifier"]),
    (&["fan"], &["air mover", "blower"]),
    (
        &["outside_air"],
        &["ventilation", "outdoor air", "exhaust fan"],
    ),
    (&["class"], &["type"]),
    (&["count"], &["qty", "quantity", "number", "how many"]),
    (
        &["price_per_day"],
        &["rent", "rental", "rate", "daily rate", "price"],
    ),
    (&["setpoint"], &["setting", "set to"]),
    (&["air_flow"], &["cfm"]),
    (&["current"], &["amps", "amperes"]),
    (&["voltage"], &["volts"]),
    (&["direct_fired"], &["direct", "torpedo", "salamander"]),
    (&["indirect_fired"], &["indirect"]),
    (&["make_up_air"], &["MUA"]),
    (&["propane"], &["LP", "LPG", "LP gas"]),
    (&["natural_gas"], &["NG", "nat gas"]),
    (&["diesel"], &["fuel oil", "heating oil", "No. 2 oil"]),
    // Ways to open the face.
    (
        &["vacuum_grinding"],
        &["grinding", "grind", "diamond grinding"],
    ),
    (&["shot_blasting"], &["shotblast", "shot blast", "blasting"]),
    (&["scarifying"], &["scarify", "scarifier"]),
    (&["chemical_etch"], &["etch", "acid etch", "acid etching"]),
    (&["wanted_profile"], &["CSP", "surface profile", "profile"]),
    // Columns of the log and of loggers.
    (&["time"], &["date", "date/time", "timestamp", "when"]),
    (
        &["place"],
        &["location", "spot", "hole", "sensor", "probe ID", "where"],
    ),
    (&["method"], &["test", "test method", "standard"]),
    (&["value"], &["reading", "result"]),
    (&["emission_rate_g_m2_day"], &["g/m2/day"]),
    (
        &["slab_temperature_f"],
        &["temperature F", "temp F", "slab temp F", "concrete temp F"],
    ),
    (
        &["slab_temperature_c"],
        &["temperature C", "temp C", "slab temp C", "concrete temp C"],
    ),
    (
        &["air_temperature_f"],
        &["air temp F", "ambient temp F", "ambient temperature F"],
    ),
    (
        &["air_temperature_c"],
        &["air temp C", "ambient temp C", "ambient temperature C"],
    ),
    (
        &["air_relative_humidity_percent"],
        &["air RH", "ambient RH", "ambient relative humidity"],
    ),
];

/// Names of an earlier version, with those that took their place. They are read with a notice.
const RENAMED: &[(&str, &str)] = &[
    ("closed_in", "enclosed"),
    ("drying_starts", "gear_on"),
    ("monthly_normals", "by_month"),
    ("most_power", "power_limit"),
    ("exchange_after", "swap_after"),
];

/// Longest word that is looked at.
const LONGEST_WORD: usize = 60;

/// Every word of the trade with the keys and values that it may stand for.
pub fn aliases() -> impl Iterator<Item = (&'static str, &'static [&'static str])> {
    let rows = ALIASES.iter();
    rows.flat_map(|(names, also)| also.iter().map(move |word| (*word, *names)))
}

/// Names of an earlier version that are still read, with those that took their place.
pub fn renamed() -> impl Iterator<Item = (&'static str, &'static str)> {
    RENAMED.iter().copied()
}

/// A word without what people write differently: capitals, blanks, marks, UK spelling.
fn folded(text: &str) -> String {
    // The point of a number stays: 1.5 kW is not 15 kW.
    let letters = text.chars().filter(|c| c.is_alphanumeric() || *c == '.');
    let mut plain: String = letters.flat_map(char::to_lowercase).collect();
    if plain.contains('.') {
        let digit = |at: usize| plain.as_bytes().get(at).is_some_and(u8::is_ascii_digit);
        let in_number = |at: usize| at > 0 && digit(at - 1) && digit(at + 1);
        let kept = plain.char_indices();
        plain = kept
            .filter(|(at, c)| *c != '.' || in_number(*at))
            .map(|(_, c)| c)
            .collect();
    }
    for (uk, us) in UK_AND_US {
        if plain.contains(uk) {
            plain = plain.replace(uk, us);
        }
    }
    plain
}

/// The same of a known word, kept for those of the schema: a file can ask for them very often.
fn folded_known(word: &str) -> Cow<'static, str> {
    static WORDS: LazyLock<HashMap<&'static str, String>> = LazyLock::new(|| {
        let mut words = HashMap::new();
        collect(schema_of_scenario(), &mut words);
        words
    });
    match WORDS.get(word) {
        Some(folded) => Cow::Borrowed(folded),
        None => Cow::Owned(folded(word)),
    }
}

/// Every word of a part of the schema.
fn collect(schema: Schema, words: &mut HashMap<&'static str, String>) {
    match schema {
        Json::Object(members) => {
            for (key, inner) in members {
                words.insert(key, folded(key));
                collect(inner, words);
            }
        }
        Json::Array(items) => items.iter().for_each(|item| collect(item, words)),
        Json::String(word) if word.len() <= LONGEST_WORD => {
            words.insert(word, folded(word));
        }
        _ => {}
    }
}

fn singular(folded: &str) -> &str {
    folded.strip_suffix('s').unwrap_or(folded)
}

/// That of the known words which a typed word means; an earlier version's name says so.
fn meaning<'k>(typed: &str, known: &[&'k str]) -> Option<(&'k str, bool)> {
    static TABLE: LazyLock<HashMap<String, Vec<&'static str>>> = LazyLock::new(|| {
        let mut table: HashMap<String, Vec<&'static str>> = HashMap::new();
        for (word, names) in aliases() {
            let names = names.iter().copied();
            table.entry(folded(word)).or_default().extend(names);
        }
        for class in crate::gear::classes::catalogue() {
            let label = class.label();
            let labels = [System::Us, System::Si].map(|system| folded(label.of(system)));
            for label in BTreeSet::from(labels) {
                table.entry(label).or_default().push(class.name);
            }
        }
        table
    });
    if let Some(same) = known.iter().find(|word| **word == typed) {
        return Some((same, false));
    }
    if typed.len() > LONGEST_WORD {
        return None;
    }
    let plain = folded(typed);
    if plain.is_empty() {
        return None;
    }
    let only = |test: &dyn Fn(&str) -> bool| {
        let mut fitting = known.iter().filter(|word| test(word));
        fitting.next().filter(|_| fitting.next().is_none()).copied()
    };
    let spelt = only(&|word| folded_known(word) == plain)
        .or_else(|| only(&|word| singular(&folded_known(word)) == singular(&plain)));
    if let Some(word) = spelt {
        return Some((word, false));
    }
    let old = RENAMED.iter().find(|(old, _)| folded(old) == plain);
    if let Some((_, new)) = old
        && let Some(word) = known.iter().find(|word| *word == new)
    {
        return Some((word, true));
    }
    let names = TABLE.get(&plain).or_else(|| TABLE.get(singular(&plain)))?;
    let found = names
        .iter()
        .find_map(|name| known.iter().find(|word| *word == name))?;
    Some((found, false))
}

/// That of the known words which a typed word means.
pub(crate) fn resolve<'k>(typed: &str, known: &[&'k str]) -> Option<&'k str> {
    meaning(typed.trim(), known).map(|(word, _)| word)
}

/// The one spelling everywhere in a scenario. Gives the names of an earlier version that stand in it, each once, with the new ones.
pub(super) fn canonical(root: &mut Node) -> Vec<(String, &'static str)> {
    let mut old = Old::default();
    value(root, schema_of_scenario(), &mut old);
    old.names
}

/// The same for a part that a definition of the schema describes.
pub(super) fn canonical_at(node: &mut Node, definition: &str) {
    let definitions = schema_of_scenario().get("$defs");
    if let Some(schema) = definitions.and_then(|definitions| definitions.get(definition)) {
        value(node, schema, &mut Old::default());
    }
}

/// Names of an earlier version that were met, and how many words mean nothing.
#[derive(Default)]
struct Old {
    names: Vec<(String, &'static str)>,
    unknown: usize,
}

/// A file with more words that mean nothing is not a scenario; what they may mean is not looked for any longer.
const MOST_UNKNOWN: usize = 1000;

fn value(node: &mut Node, schema: Schema, old: &mut Old) {
    let schema = follow(schema);
    if let Some(choices) = schema.get("oneOf").and_then(Json::as_array) {
        return choice(node, choices, old);
    }
    match &mut node.value {
        Value::Object(members) => {
            let Some(properties) = schema.get("properties").and_then(Json::as_object) else {
                return;
            };
            let known: Vec<&'static str> = properties.keys().map(String::as_str).collect();
            for member in members {
                put(&mut member.key, &known, old);
                if let Some(inner) = properties.get(&member.key) {
                    value(&mut member.value, inner, old);
                }
            }
        }
        Value::List(items) => {
            if let Some(inner) = schema.get("items") {
                for item in items {
                    value(item, inner, old);
                }
            }
        }
        Value::Text(text) if is_date(schema) => {
            if let Ok(date) = dates::date(text) {
                *text = date.to_string();
            }
        }
        Value::Text(text) if is_moment(schema) => {
            if let Ok(read) = dates::moment(text) {
                *text = moment::written(read);
            }
        }
        Value::Text(text) => {
            if let Some(names) = schema.get("enum").and_then(Json::as_array) {
                let known: Vec<&'static str> = names.iter().filter_map(Json::as_str).collect();
                put(text, &known, old);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(..) => {}
    }
}

fn choice(node: &mut Node, choices: &'static [Json], old: &mut Old) {
    let known: Vec<(&'static str, Option<Schema>)> =
        choices.iter().flat_map(choice_words).collect();
    let words: Vec<&'static str> = known.iter().map(|(word, _)| *word).collect();
    match &mut node.value {
        Value::Text(text) => put(text, &words, old),
        Value::Object(members) => {
            for member in members {
                put(&mut member.key, &words, old);
                let inner = known.iter().find(|(word, _)| *word == member.key);
                if let Some((_, Some(inner))) = inner {
                    value(&mut member.value, inner, old);
                }
            }
        }
        _ => {}
    }
}

/// Puts the word that is meant in the place of the typed one.
fn put(typed: &mut String, known: &[&'static str], old: &mut Old) {
    if old.unknown > MOST_UNKNOWN {
        return;
    }
    let Some((word, earlier)) = meaning(typed, known) else {
        old.unknown += 1;
        return;
    };
    if earlier && !old.names.iter().any(|(_, new)| *new == word) {
        old.names.push((typed.clone(), word));
    }
    if typed != word {
        word.clone_into(typed);
    }
}
