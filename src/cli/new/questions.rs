//! The questions of `coatday new`, in the order in which people of the trade ask them.
//!
//! Nothing is written here. Esc and Ctrl-C end the questions and leave nothing behind.

use super::super::ending::Fault;
use super::{AREA, THICKNESS};
use crate::scenario::model::{Construction, MetalDeck, Underside, VapourRetarder};
use crate::scenario::{Known, answers};
use crate::units::System;
use crate::weather::places;
use inquire::validator::Validation;
use inquire::{InquireError, Select, Text};
use jiff::ToSpan;
use jiff::civil::Date;
use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

const DONT_KNOW: &str = "don't know";
/// Wet curing that is taken where none is given, days; drying starts no sooner.
const CURING_DAYS: i64 = 7;
/// Towns shown while a name is typed.
const TOWNS_SHOWN: usize = 6;
/// Exit code of a program that was stopped by Ctrl-C.
const STOPPED: i32 = 130;

/// Whether a question is open: what Ctrl-C then has to say.
static ASKING: AtomicBool = AtomicBool::new(false);

/// Asks everything.
pub(super) fn ask(today: Date, system: System) -> Result<Known, Fault> {
    // Ctrl-C shows the cursor again, which a list hides. A second handler cannot be set; then the first one counts.
    let _ = ctrlc::set_handler(|| {
        let asking = ASKING.load(Ordering::SeqCst);
        let words = if asking {
            "Stopped. Nothing was written.\n"
        } else {
            ""
        };
        eprint!("\u{1b}[?25h\n{words}");
        std::process::exit(STOPPED);
    });
    ASKING.store(true, Ordering::SeqCst);
    let known = all(today, system);
    ASKING.store(false, Ordering::SeqCst);
    known
}

fn all(today: Date, system: System) -> Result<Known, Fault> {
    let us = system == System::Us;
    let pick = |in_us: &'static str, in_si: &'static str| if us { in_us } else { in_si };
    let size = |us_value: String, si_value: &str| if us { us_value } else { si_value.to_owned() };
    eprintln!(
        "Ten questions. Enter takes the answer in brackets. Esc stops. Nothing is written before the end."
    );
    let place = place()?;
    let area = text(
        " 2. How big is the floor?",
        &size(AREA.to_string(), "190 m2"),
        pick("With its unit: 2000 ft2", "With its unit: 190 m2"),
        answers::area,
    )?;
    let thickness = text(
        " 3. How thick is the slab?",
        &size(THICKNESS.to_string(), "125 mm"),
        pick("Fractions are fine: 5 1/2 in", "With its unit: 125 mm"),
        answers::thickness,
    )?;
    let month_ago = today.checked_sub(28.days()).unwrap_or(today);
    let placed = text(
        " 4. When was it poured, or when will it be?",
        &month_ago.to_string(),
        "A day: 2026-11-02",
        move |text: &str| answers::poured(text, today),
    )?;
    let cured = placed.checked_add(CURING_DAYS.days()).unwrap_or(placed);
    let gear_on = today.max(cured);
    let mix = text(
        " 5. What mix?",
        DONT_KNOW,
        pick(
            "Water-cement ratio 0.45, or strength 4000 psi",
            "Water-cement ratio 0.45, or strength 28 MPa",
        ),
        answers::mix,
    )?;
    let underside = choice(
        " 6. What is under the slab?",
        &[
            (
                "Vapor retarder",
                Underside::VapourRetarder(VapourRetarder { permeance: None }),
            ),
            ("Nothing: it sits on bare ground", Underside::BareGround),
            (
                "Metal deck",
                Underside::MetalDeck(MetalDeck { open_share: None }),
            ),
        ],
    )?;
    let construction = choice(
        " 7. How far along is the building?",
        &[
            (
                "Enclosed: doors and windows are in",
                Construction::ClosedShell,
            ),
            ("Enclosed, finished and sealed", Construction::SealedShell),
            ("Openings hung with sheeting", Construction::SheetedOpenings),
            ("Partly open", Construction::PartlyOpen),
        ],
    )?;
    let heating = text(
        "    And is it heated?",
        DONT_KNOW,
        pick(
            "The temperature it is kept at: 65 F. Or: no",
            "The temperature it is kept at: 18 C. Or: no",
        ),
        answers::heating,
    )?;
    let needed_by = text(
        " 8. When must the floor be ready to coat?",
        DONT_KNOW,
        "A day: 2027-03-01",
        move |text: &str| answers::needed_by(text, gear_on),
    )?;
    let targets = text(
        " 9. What is the coating's moisture limit?",
        DONT_KNOW,
        "From its data sheet: 85 % for a probe, 3 lb for a dish, or both: 85 %, 3 lb",
        answers::limits,
    )?;
    let gear = text(
        "10. What gear is on hand?",
        DONT_KNOW,
        "4 fans, 2 dehumidifiers, 1 electric heater. Or: none",
        answers::gear,
    )?;
    Ok(Known {
        place,
        area,
        thickness,
        placed,
        gear_on,
        mix,
        underside,
        construction,
        heating,
        needed_by,
        targets,
        gear,
        system,
    })
}

fn place() -> Result<String, Fault> {
    let suggest = |typed: &str| {
        let typed = typed.trim().to_lowercase();
        let towns = places::places().iter().map(places::ClimatePlace::label);
        let fits = |town: &String| typed.len() > 1 && town.to_lowercase().starts_with(&typed);
        Ok(towns.filter(fits).take(TOWNS_SHOWN).collect::<Vec<_>>())
    };
    let prompt = Text::new(" 1. Where is the job?")
        .with_help_message("Town and state: Tulsa, OK. Or latitude, longitude: 36.15, -95.99")
        .with_autocomplete(suggest)
        .with_page_size(TOWNS_SHOWN);
    finish(prompt, answers::place)
}

/// A question whose answer is typed.
fn text<T>(
    question: &str,
    default: &str,
    help: &str,
    read: impl Fn(&str) -> Result<T, String> + Clone,
) -> Result<T, Fault> {
    finish(
        Text::new(question)
            .with_default(default)
            .with_help_message(help),
        read,
    )
}

/// Asks until the answer can be read.
fn finish<T>(
    prompt: Text<'_, '_>,
    read: impl Fn(&str) -> Result<T, String> + Clone,
) -> Result<T, Fault> {
    let check = read.clone();
    let answer = prompt
        .with_validator(move |text: &str| {
            Ok(match check(text) {
                Ok(_) => Validation::Valid,
                Err(fault) => Validation::Invalid(fault.into()),
            })
        })
        .prompt()
        .map_err(stopped)?;
    Ok(read(&answer)?)
}

/// One of a few answers, or "don't know", which comes first.
fn choice<T: Clone>(question: &str, answers: &[(&'static str, T)]) -> Result<Option<T>, Fault> {
    struct Choice<T>(&'static str, Option<T>);
    impl<T> fmt::Display for Choice<T> {
        fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str(self.0)
        }
    }
    let known = answers
        .iter()
        .map(|(words, answer)| Choice(words, Some(answer.clone())));
    let choices: Vec<Choice<T>> = std::iter::once(Choice("Don't know", None))
        .chain(known)
        .collect();
    let chosen = Select::new(question, choices)
        .with_help_message("Arrow keys and Enter")
        .prompt()
        .map_err(stopped)?;
    Ok(chosen.1)
}

#[allow(clippy::needless_pass_by_value)] // the shape that `map_err` wants
fn stopped(error: InquireError) -> Fault {
    match error {
        InquireError::IO(error) if error.kind() == std::io::ErrorKind::Interrupted => {
            // The handler of Ctrl-C runs beside this, says so and ends the program.
            std::thread::sleep(Duration::from_secs(5));
            "Stopped. Nothing was written.".to_owned().into()
        }
        InquireError::OperationCanceled | InquireError::OperationInterrupted => {
            "Stopped. Nothing was written.".to_owned().into()
        }
        error => format!("The question cannot be asked: {error}. Nothing was written. Give the answers as options: coatday new --help").into(),
    }
}
