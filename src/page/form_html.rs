//! The form as HTML: one element a field, its note below it.

use crate::scenario::form::{Control, Field, Form, Group, TextKind, Word};
use crate::units::System;
use crate::units::format::capital;
use maud::{Markup, html};

/// Up to so many choices are buttons; more are a list.
const MOST_BUTTONS: usize = 5;

/// The whole form.
pub(super) fn form(form: &Form, units: System) -> Markup {
    html! {
        @for (at, group) in form.groups.iter().enumerate() {
            details.group id={ "group-" (at) } {
                summary { h2 { (group.name) } span.line { (line(group, units)) } }
                @for field in &group.fields { (entry(field, units, true)) }
            }
        }
    }
}

/// What a closed group says.
pub(super) fn line(group: &Group, units: System) -> String {
    let mut said = Vec::new();
    let mut faults = 0;
    gather(&group.fields, units, &mut said, &mut faults);
    let more = said.len() > 5;
    said.truncate(5);
    let mut text = said.join(", ");
    if more {
        text += " ...";
    }
    match faults {
        0 if text.is_empty() => "nothing given".into(),
        0 => text,
        n => format!("{}: {text}", crate::units::format::counted(n, "fault")),
    }
}

fn gather(fields: &[Field], units: System, said: &mut Vec<String>, faults: &mut usize) {
    for field in fields {
        *faults += field.faults.len();
        match &field.control {
            Control::Text { .. } => {
                let echo = field.echo.shown(units);
                if !echo.is_empty() {
                    said.push(echo.to_owned());
                }
            }
            Control::Words { chosen, words } => {
                let word = words
                    .iter()
                    .find(|word| Some(&word.word) == chosen.as_ref());
                said.extend(word.map(|word| shown(word, units).to_owned()));
            }
            Control::Kind {
                chosen,
                words,
                fields,
            } => {
                let word = words
                    .iter()
                    .find(|word| Some(&word.word) == chosen.as_ref());
                said.extend(word.map(|word| shown(word, units).to_owned()));
                gather(fields, units, &mut Vec::new(), faults);
            }
            Control::Object { fields, .. } => gather(fields, units, said, faults),
            Control::List { entries, .. } => {
                for entry in entries {
                    said.push(entry.label.clone());
                    gather(std::slice::from_ref(entry), units, &mut Vec::new(), faults);
                }
            }
        }
    }
}

fn shown(word: &Word, units: System) -> &str {
    word.label.shown(units)
}

/// An id that no other element has.
fn id(path: &str) -> String {
    format!("f-{path}")
}

/// What stands below a field: what is wrong, what was understood, or what counts without it.
pub(super) fn note(field: &Field, units: System) -> Markup {
    html! {
        @for fault in &field.faults { span.fault { "Wrong: " (fault) } }
        @if field.faults.is_empty() {
            @let (here, there) = match units {
                System::Us | System::Both => (&field.echo.us, &field.echo.si),
                System::Si => (&field.echo.si, &field.echo.us),
            };
            @if !here.is_empty() {
                span.read { (here) @if here != there { " (" (there) ")" } }
            }
            @if let Some(without) = &field.without {
                @let text = without.shown(units);
                @if !text.is_empty() {
                    span.taken { "Not given. Then: " (text) }
                }
            }
        }
    }
}

fn noted(field: &Field, units: System) -> Markup {
    html! {
        p.note data-note=(field.path) id={ (id(&field.path)) "-note" } { (note(field, units)) }
    }
}

fn help(field: &Field) -> Markup {
    html! { @if !field.help.is_empty() { p.help id={ (id(&field.path)) "-help" } { (field.help) } } }
}

fn described(field: &Field) -> String {
    format!("{0}-note {0}-help", id(&field.path))
}

/// A key with all that is under it.
fn entry(field: &Field, units: System, section: bool) -> Markup {
    let name = capital(&field.label);
    let id = id(&field.path);
    match &field.control {
        Control::Text {
            text,
            example,
            kind,
        } => html! {
            div.field {
                label for=(id) { (name) @if !field.optional { span.must { " (needed)" } } }
                div.row {
                    input id=(id) data-path=(field.path) data-kind=(word_of(*kind)) value=(text) placeholder=[(!example.is_empty()).then(|| format!("such as {example}"))]
                        autocomplete="off" spellcheck="false" aria-describedby=(described(field)) aria-invalid=(!field.faults.is_empty());
                    @if *kind == TextKind::Date {
                        input.calendar type="date" data-calendar=(id) value=(text) aria-label={ (name) ", from a calendar" } tabindex="-1";
                    }
                    @if field.optional && field.path.ends_with(']') {
                        button type="button" data-clear=(field.path) aria-label={ "Take out: " (name) } { "Take out" }
                    } @else if field.optional {
                        button type="button" data-clear=(field.path) aria-pressed=(!field.given) aria-label={ "Don't know: " (name) } { "Don't know" }
                    }
                }
                (noted(field, units)) (help(field))
            }
        },
        Control::Words { chosen, words } => html! {
            div.field { (choice(field, chosen.as_deref(), words, units)) (noted(field, units)) (help(field)) }
        },
        Control::Kind {
            chosen,
            words,
            fields,
        } => html! {
            div.field {
                (choice(field, chosen.as_deref(), words, units)) (noted(field, units)) (help(field))
                @if !fields.is_empty() { div.inside { (below(fields, units, false)) } }
            }
        },
        Control::Object { fields, new } => html! {
            fieldset.object id=(id) {
                legend { (name) }
                @if field.given {
                    (noted(field, units))
                    (below(fields, units, section))
                    @if field.optional {
                        button.out type="button" data-clear=(field.path) { "Take out: " (name) }
                    }
                } @else {
                    p.help { (field.help) }
                    (noted(field, units))
                    button type="button" data-put=(field.path) data-value=(new.to_string()) { "Give: " (name) }
                }
            }
        },
        Control::List { entries, new } => html! {
            fieldset.list id=(id) {
                legend { (name) }
                p.help { (field.help) }
                (noted(field, units))
                @for one in entries { (card(one, units)) }
                div.add {
                    @for word in new {
                        button type="button" data-put={ (field.path) @if field.given { "[+]" } }
                            data-value=(if field.given || word.value.is_array() { word.value.to_string() } else { format!("[{}]", word.value) }) {
                            (picture(&word.word)) "Add " (shown(word, units))
                        }
                    }
                }
            }
        },
    }
}

/// An entry of a list.
fn card(field: &Field, units: System) -> Markup {
    let simple = matches!(field.control, Control::Text { .. } | Control::Words { .. });
    let kind = match &field.control {
        Control::Kind { chosen, .. } => chosen.as_deref(),
        _ => None,
    };
    html! {
        div.entry.simple[simple] {
            @if simple { (entry(field, units, false)) } @else {
                h3 { @if let Some(kind) = kind { (picture(kind)) } (capital(&title(field, units))) }
                @match &field.control {
                    Control::Object { fields, .. } => { (noted(field, units)) (below(fields, units, false)) }
                    Control::Kind { chosen, words, fields } => {
                        (noted(field, units))
                        @if chosen.is_none() { (choice(field, None, words, units)) }
                        (below(fields, units, false))
                    }
                    _ => { (entry(field, units, false)) }
                }
                button.out type="button" data-clear=(field.path) { "Take out: " (capital(&title(field, units))) }
            }
        }
    }
}

/// What an entry is called: its name, or its kind.
fn title(field: &Field, units: System) -> String {
    match &field.control {
        Control::Kind { chosen, words, .. } => {
            let word = words
                .iter()
                .find(|word| Some(&word.word) == chosen.as_ref());
            word.map_or_else(|| field.label.clone(), |word| shown(word, units).to_owned())
        }
        _ => field.label.clone(),
    }
}

/// Fields under another: those that are given or needed, then, behind one line, the others.
fn below(fields: &[Field], units: System, all: bool) -> Markup {
    let (first, more): (Vec<&Field>, Vec<&Field>) = fields.iter().partition(|field| {
        all || field.given || !field.optional || !field.faults.is_empty() || is_usual(field)
    });
    let names: Vec<&str> = more.iter().map(|field| field.label.as_str()).collect();
    html! {
        @for field in first { (entry(field, units, false)) }
        @if !more.is_empty() {
            details.more {
                summary { "More: " (names.join(", ")) }
                @for field in more { (entry(field, units, false)) }
            }
        }
    }
}

/// What is asked first of a machine: class, count, from, until, price.
fn is_usual(field: &Field) -> bool {
    let key = field.path.rsplit('.').next().unwrap_or_default();
    field.path.contains("gear") && ["class", "count", "from", "until", "rent"].contains(&key)
}

fn word_of(kind: TextKind) -> &'static str {
    match kind {
        TextKind::Words => "words",
        TextKind::Number => "number",
        TextKind::Date => "date",
    }
}

fn choice(field: &Field, chosen: Option<&str>, words: &[Word], units: System) -> Markup {
    let name = capital(&field.label);
    let id = id(&field.path);
    let note = described(field);
    html! {
        @if words.len() <= MOST_BUTTONS {
            fieldset.choice id=(id) aria-describedby=(note) {
                legend { (name) @if !field.optional { span.must { " (needed)" } } }
                div.buttons {
                    @for word in words {
                        @let on = chosen == Some(word.word.as_str());
                        label.pick title=(word.help) {
                            input type="radio" name=(id) data-choose=(field.path) data-value=(word.value.to_string()) checked[on];
                            span { (capital(shown(word, units))) }
                        }
                    }
                    @if field.optional {
                        label.pick {
                            input type="radio" name=(id) data-choose=(field.path) data-value="null" checked[chosen.is_none()];
                            span { "Don't know" }
                        }
                    }
                }
            }
        } @else {
            label for=(id) { (name) @if !field.optional { span.must { " (needed)" } } }
            select id=(id) data-choose=(field.path) aria-describedby=(note) {
                @if field.optional || chosen.is_none() { option value="null" selected[chosen.is_none()] { "Don't know" } }
                @for word in words {
                    option value=(word.value.to_string()) selected[chosen == Some(word.word.as_str())] { (capital(shown(word, units))) }
                }
            }
        }
    }
}

/// A small picture of what a machine does to the air: takes water, gives heat, moves it, exchanges it.
fn picture(kind: &str) -> Markup {
    let path = match kind {
        // A drop that falls into a line.
        "dehumidifier" => "M12 3c3 4 5 6.500 5 9a5 5 0 0 1-10 0c0-2.500 2-5 5-9zM4 21h16",
        // The same beside a wheel.
        "desiccant" => {
            "M8 3c2 3 4 5 4 7a4 4 0 0 1-8 0c0-2 2-4 4-7zM17 11a5 5 0 1 0 .1 0M17 11v10M12 16h10"
        }
        // Rising waves.
        "heater" => "M6 16c-2-3 2-4 0-8M12 16c-2-3 2-4 0-8M18 16c-2-3 2-4 0-8M4 21h16",
        // Air along the floor.
        "fan" => "M3 8h11a3 3 0 1 0-3-3M3 13h15a3 3 0 1 1-3 3M3 18h8M2 21h20",
        // In and out through a wall.
        "outside_air" => "M12 2v5M12 17v5M3 10h14l-3-3M21 14H7l3 3",
        _ => return html! {},
    };
    html! {
        svg.duty viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" {
            path d=(path) fill="none" stroke="currentColor" stroke-width="1.800" stroke-linecap="round" stroke-linejoin="round";
        }
    }
}
