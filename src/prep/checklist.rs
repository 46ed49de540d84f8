//! What to check before the coating, and cautions for the work.

use super::survey::{Ground, Survey};
use crate::scenario::model::{Method, SiteWork, Walk, Wash};

use super::tasks::Tasks;

/// One item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Check {
    /// What must hold.
    pub what: &'static str,
    /// How to check it.
    pub how: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

const PRACTICE: &str = super::rules::COMMON_PRACTICE;

const fn check(what: &'static str, how: &'static str, source: &'static str) -> Check {
    Check { what, how, source }
}

/// The ready-to-coat checklist for a floor.
#[must_use]
pub fn checklist(survey: &Survey, method: Option<Method>) -> Vec<Check> {
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
                "Read the tests the product sheet asks for, at service conditions, after the last wet work.",
                "ASTM F2170 (humidity probe), ASTM F1869 (dish); the sheet's limit",
            ),
            check(
                "Surface profile",
                "Hold comparator chips or replica putty against the floor in several spots.",
                "ICRI 310.2R (from memory)",
            ),
            check(
                "Takes water",
                "Put drops of water on the floor: they darken it and soak in within about a minute. Beads mean oil, sealer or curing compound.",
                PRACTICE,
            ),
            check(
                "Repairs flush and cured",
                "Run a straightedge over patches, cracks and joints; press a nail into them.",
                PRACTICE,
            ),
        ]);
    }
    if method == Some(Method::ChemicalEtch) {
        list.push(check(
            "Acid is gone: pH after etching",
            "Wet a spot with distilled water and press pH paper on it: as high as the water of the last rinse, and within the sheet's range.",
            "ASTM D4262 (from memory)",
        ));
    }
    if has(|g| matches!(g, Ground::Wood { .. })) {
        list.push(check(
            "Wood is dry and bare",
            "Read the moisture meter in several boards; water soaks in and does not bead.",
            "common practice, no published source; meters: ASTM D4444 (from memory)",
        ));
    }
    if has(|g| *g == Ground::Metal) {
        list.push(check(
            "Metal is bright and primed",
            "No loose rust or mill scale; primer cured as its sheet says.",
            "ISO 8501-1 for grades of cleanness (from memory)",
        ));
    }
    list.extend([
        check(
            "Dew point",
            "Measure air, humidity and the floor itself before and during the work: the floor at least 3 K (5 degF) above the dew point.",
            "ISO 8502-4",
        ),
        check(
            "Tape or wipe test",
            "Press clear tape on the floor and pull it off: no dust on it; or pull-off test of a trial patch.",
            "ISO 8502-3 (tape); ASTM D7234 (pull-off, from memory)",
        ),
        check(
            "Masked",
            "Walls, drains, joints that stay open and goods are masked; air is still and free of dust.",
            PRACTICE,
        ),
    ]);
    list
}

/// Cautions for the work of a plan.
#[must_use]
pub fn cautions(tasks: &Tasks, method: Option<Method>, walk: &Walk) -> Vec<String> {
    let works = |work: SiteWork| tasks.tasks.iter().any(|t| t.work == work);
    let mut list: Vec<String> = Vec::new();
    let dusty = [
        SiteWork::Grinding,
        SiteWork::EdgeGrinding,
        SiteWork::SpotGrinding,
        SiteWork::Scarifying,
        SiteWork::ShotBlasting,
        SiteWork::SquaringEdges,
    ]
    .into_iter()
    .any(works);
    if dusty {
        list.push("Concrete dust holds silica, which ruins lungs. Use shrouds and vacuums with fine filters, keep others out, switch fans off while grinding, and wear breathing protection as local rules (in the US 29 CFR 1926.1153) and the tool's sheet say.".into());
        list.push("Power tools kick, throw chips and are loud: guards on, eyes, ears and hands protected, as the tool's sheet says.".into());
    }
    if method == Some(Method::ChemicalEtch) || works(SiteWork::Etching) {
        list.push("Etch chemicals burn skin, eyes and lungs: acid into water and never the other way, gloves, goggles, apron, fresh air, water at hand; never together with chlorine cleaners. Neutralise and dispose of the rinse water as local codes and the product sheet say.".into());
    }
    if works(SiteWork::Stripping) {
        list.push("Strippers can burn and poison, and their fumes can burn: no flames, fresh air, gloves, as the product sheet says. Old layers may hold lead or asbestos: have them tested before work, as local codes say.".into());
    } else if tasks.tasks.iter().any(|t| t.work == SiteWork::Sanding) {
        list.push("Old layers on wood may hold lead: have them tested before sanding, as local codes say.".into());
    }
    if works(SiteWork::PowerWashing)
        || works(SiteWork::Etching)
        || works(SiteWork::Degreasing)
        || walk.wash == Some(Wash::PowerWash)
    {
        list.push("Water and electricity: cords and plugs off the wet floor, residual-current protection on every circuit, as local electrical codes and licensed practice say.".into());
    }
    list.push("Resins, fillers and sealers can sensitise skin for life: gloves, eye protection, fresh air, as the product sheet says. Ventilate while anything cures.".into());
    list
}
