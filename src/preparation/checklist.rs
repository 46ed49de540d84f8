//! What to check before the coating, and cautions for the work.

use super::repairs::Repairs;
use super::survey::{Ground, Survey};
use super::tasks::{self, Tasks};
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::model::{Method, SiteWork};
use crate::units::format::{Said, Shown};
use crate::units::{Kind, System};

/// One item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// What must hold.
    pub what: &'static str,
    /// How to check it.
    pub how: Said,
    /// Where it comes from.
    pub source: &'static str,
}

const PRACTICE: &str = super::rules::COMMON_PRACTICE;

fn check(what: &'static str, how: impl Into<Said>, source: &'static str) -> Check {
    let how = how.into();
    Check { what, how, source }
}

/// The distance from the dew point that counts, in words.
#[must_use]
pub fn margin(window: &CoatingWindow, system: System) -> String {
    Shown::of(Kind::TemperatureDifference, system).text(window.dew_point_margin.value, 1)
}

/// The ready-to-coat checklist for a floor.
#[must_use]
pub fn checklist(survey: &Survey, method: Option<Method>, window: &CoatingWindow) -> Vec<Check> {
    let has = |ground: fn(&Ground) -> bool| survey.areas.iter().any(|a| ground(&a.ground));
    let concrete = has(|g| *g == Ground::Concrete);
    let mut list = vec![
        check(
            "Clean",
            "Wipe a white cloth over several spots: no dust, oil or rust on it.",
            "common practice, no published source; dust by tape: ISO 8502-3",
        ),
        check(
            "Sound",
            "Drag a chain or tap with a hammer: no hollow sound. Scratch with a steel tip: no powder.",
            "ASTM D4580 for the chain (from memory)",
        ),
    ];
    if concrete {
        list.extend([
            check(
                "Dry: moisture tests passed",
                "Run the tests that the product sheet asks for, at service conditions, after the last wet work.",
                "ASTM F2170 (humidity probe), ASTM F1869 (dish); the sheet's limit",
            ),
            check(
                "Surface profile",
                "Hold comparator chips or replica putty against the floor in several spots.",
                "ICRI 310.2R (from memory)",
            ),
            check(
                "Takes water",
                "Put drops of water on the floor. They darken it and soak in within about a minute. Beads mean oil, sealer or curing compound.",
                PRACTICE,
            ),
            check(
                "Repairs flush and cured",
                "Run a straightedge over patches, cracks and joints. Press a nail into them: no dent.",
                PRACTICE,
            ),
        ]);
    }
    if method == Some(Method::ChemicalEtch) {
        list.push(check(
            "Acid is gone: pH after etching",
            "Wet a spot with distilled water and press pH paper on it. It must read as high as the last rinse water, and within the sheet's range.",
            "ASTM D4262 (from memory)",
        ));
    }
    if has(|g| matches!(g, Ground::Wood { .. })) {
        list.push(check(
            "Wood is dry and bare",
            "Read the moisture meter in several boards. Drops of water soak in and do not bead.",
            "common practice, no published source; meters: ASTM D4444 (from memory)",
        ));
    }
    if has(|g| *g == Ground::Metal) {
        list.push(check(
            "Metal is bright and primed",
            "No loose rust or mill scale. The primer has cured as its sheet says.",
            "ISO 8501-1 for grades of cleanness (from memory)",
        ));
    }
    list.extend([
        check(
            "Dew point",
            Said::new(|system| {
                format!(
                    "Measure air, humidity and the floor before and during the work. Keep the floor at least {} above the dew point.",
                    margin(window, system)
                )
            }),
            window.dew_point_margin.source,
        ),
        check(
            "Tape or wipe test",
            "Press clear tape on the floor and pull it off: no dust on it. Or pull-off test a trial patch.",
            "ISO 8502-3 (tape); ASTM D7234 (pull-off, from memory)",
        ),
        check(
            "Masked",
            "Walls, drains, goods and joints that stay open are masked. The air is still and free of dust.",
            PRACTICE,
        ),
    ]);
    list
}

/// Cautions for the work of a plan.
#[must_use]
pub fn cautions(tasks: &Tasks, repairs: &[Repairs]) -> Vec<String> {
    let any = |of: fn(SiteWork) -> bool| tasks.tasks.iter().any(|task| of(task.work));
    // A layer on wood or metal need not have been noted to be there when it is sanded or brushed.
    let old_layers = repairs.iter().any(|r| r.by_machine + r.strip > 0.0)
        || any(|work| matches!(work, SiteWork::Sanding | SiteWork::Brushing));
    [
        (
            any(tasks::dusty),
            "Concrete dust holds silica, which ruins lungs. Use shrouds and vacuums with fine filters. Keep others out, and turn fans off while grinding. Wear a respirator as local rules (in the US 29 CFR 1926.1153) and the tool's sheet say.",
        ),
        (
            old_layers,
            "Old layers may hold lead or asbestos. Have them tested before any grinding, sanding, brushing or stripping. If there is any, bring in a licensed trade, as local codes say.",
        ),
        (
            any(|work| matches!(work, SiteWork::Sanding | SiteWork::Brushing)),
            "Wood and metal dust harms lungs and eyes, and wood dust burns. Put a vacuum on the tool, wear respirator and goggles, and allow no sparks, as local rules and the tool's sheet say.",
        ),
        (
            any(|work| {
                tasks::dusty(work)
                    || matches!(
                        work,
                        SiteWork::Sanding | SiteWork::Brushing | SiteWork::PowerWashing
                    )
            }),
            "Power tools kick, throw chips and are loud. A power washer's jet cuts skin. Keep guards on and protect eyes, ears, hands and feet, as the tool's sheet says.",
        ),
        (
            any(|work| work == SiteWork::Etching),
            "Etch chemicals burn skin, eyes and lungs. Pour acid into water, never the other way. Wear gloves, goggles and apron, with fresh air and wash water at hand. Never mix them with chlorine cleaners. Neutralize and dispose of the rinse water as local codes and the product sheet say.",
        ),
        (
            any(|work| {
                matches!(
                    work,
                    SiteWork::Stripping | SiteWork::Degreasing | SiteWork::Priming
                )
            }),
            "Strippers, degreasers and primers can burn and poison, and their fumes can catch fire. No flames, no sparks, plenty of fresh air. Wear gloves, goggles and respirator. Dispose of rags and rinse water as the product sheet and local codes say.",
        ),
        (
            any(tasks::wet),
            "Water and electricity kill. Keep cords and plugs off the wet floor. Put ground-fault protection on every circuit, as local electrical codes and licensed trades say.",
        ),
        (
            true,
            "Resins, fillers and sealers can make skin allergic for life. Wear gloves and goggles, with plenty of fresh air, as the product sheet says. Ventilate while anything cures.",
        ),
    ]
    .into_iter()
    .filter(|(applies, _)| *applies)
    .map(|(_, text)| text.to_owned())
    .collect()
}
