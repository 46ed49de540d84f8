//! Ways to give concrete its profile: what each one does and needs, and which of them fit.
//!
//! Surface profile classes (CSP) are those of ICRI 310.2R, recalled from memory and not yet checked against the guideline. Whatever has
//! no source beside it is common practice, no published source.

use super::repairs::Repairs;
use super::survey::{Ground, Survey};
use crate::scenario::model::{Dust, Method, SiteWork, Ventilation, Walk, Water};
use crate::units::format::kilowatts;

/// What one method does and needs.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(clippy::struct_excessive_bools)] // a row of a table
pub struct Facts {
    /// Which.
    pub method: Method,
    /// In words.
    pub name: &'static str,
    /// What is done, as the name of a task.
    pub task: &'static str,
    /// Profile classes it leaves (ICRI 310.2R, from memory).
    pub profile: (u32, u32),
    /// Dust it makes.
    pub dust: Dust,
    /// Dust in words.
    pub dust_words: &'static str,
    /// Electric power of one machine \[W\]; `None` for handwork.
    pub power: Option<f64>,
    /// Whether it gives off fumes that must be carried off.
    pub fumes: bool,
    /// Whether it needs water that must be caught.
    pub water: bool,
    /// Whether it takes an old coating off.
    pub removes_coating: bool,
    /// Whether it works through sealers.
    pub passes_sealer: bool,
    /// Whether edges are left to be ground by hand.
    pub leaves_edges: bool,
    /// Areas it is used on \[m2\].
    pub areas: (f64, f64),
    /// The work it is.
    pub work: SiteWork,
    /// Whether it wets the whole floor.
    pub wets: bool,
}

/// Every method, in the order in which they are listed.
pub const METHODS: [Facts; 4] = [
    Facts {
        method: Method::VacuumGrinding,
        name: "vacuum grinding",
        task: "Grind with vacuum",
        profile: (1, 3),
        dust: Dust::WithVacuum,
        dust_words: "little, with shroud and vacuum",
        power: Some(4_000.0),
        fumes: false,
        water: false,
        removes_coating: true,
        passes_sealer: true,
        leaves_edges: true,
        areas: (0.0, f64::INFINITY),
        work: SiteWork::Grinding,
        wets: false,
    },
    Facts {
        method: Method::ShotBlasting,
        name: "shot blasting",
        task: "Shot blast",
        profile: (2, 8),
        dust: Dust::WithVacuum,
        dust_words: "little, in a closed head with collector",
        power: Some(11_000.0),
        fumes: false,
        water: false,
        removes_coating: false,
        passes_sealer: true,
        leaves_edges: true,
        // Below this the machine cannot be turned and set.
        areas: (20.0, f64::INFINITY),
        work: SiteWork::ShotBlasting,
        wets: false,
    },
    Facts {
        method: Method::Scarifying,
        name: "scarifying",
        task: "Scarify",
        profile: (4, 7),
        dust: Dust::Any,
        dust_words: "much",
        power: Some(4_000.0),
        fumes: false,
        water: false,
        removes_coating: true,
        passes_sealer: true,
        leaves_edges: true,
        areas: (0.0, f64::INFINITY),
        work: SiteWork::Scarifying,
        wets: false,
    },
    Facts {
        method: Method::ChemicalEtch,
        name: "chemical etch",
        task: "Etch, neutralize and rinse",
        profile: (1, 2),
        dust: Dust::None,
        dust_words: "none, it is wet",
        power: None,
        fumes: true,
        water: true,
        removes_coating: false,
        passes_sealer: false,
        leaves_edges: false,
        // Above this the rinse water can hardly be caught before the acid dries.
        areas: (0.0, 500.0),
        work: SiteWork::Etching,
        wets: true,
    },
];

/// The facts of a method.
#[must_use]
pub fn facts(method: Method) -> &'static Facts {
    let [grinding, blasting, scarifying, etch] = &METHODS;
    match method {
        Method::VacuumGrinding => grinding,
        Method::ShotBlasting => blasting,
        Method::Scarifying => scarifying,
        Method::ChemicalEtch => etch,
    }
}

/// How much dust the site allows.
#[must_use]
pub fn dust_allowed(walk: &Walk) -> Dust {
    let given = walk.site.as_ref().and_then(|site| site.dust);
    given.unwrap_or(Dust::WithVacuum)
}

/// Why a method does not fit; empty when it does.
#[must_use]
pub fn against(facts: &Facts, survey: &Survey, repairs: &[Repairs], walk: &Walk) -> Vec<String> {
    let site = walk.site.clone().unwrap_or_default();
    let mut why = Vec::new();
    let wanted = walk.wanted_profile();
    let (least, most) = facts.profile;
    if wanted < least || wanted > most {
        why.push(format!(
            "It leaves CSP {least} to {most}, and CSP {wanted} is wanted."
        ));
    }
    let allowed = dust_allowed(walk);
    if facts.dust > allowed {
        why.push(
            if allowed == Dust::None {
                "It makes dust, and none is allowed."
            } else {
                "It makes more dust than a vacuum can take."
            }
            .into(),
        );
    }
    if facts.fumes && site.ventilation == Some(Ventilation::Poor) {
        why.push("Its fumes cannot be vented here.".into());
    }
    if facts.water && site.water == Some(Water::NotAllowed) {
        why.push("It needs water, which is not allowed here.".into());
    }
    if let (Some(needed), Some(given)) = (facts.power, site.power)
        && needed > given.si()
    {
        why.push(format!(
            "It needs about {}, and the site has {}.",
            kilowatts(needed),
            kilowatts(given.si())
        ));
    }
    let concrete = || {
        survey
            .areas
            .iter()
            .zip(repairs)
            .filter(|(area, _)| area.ground == Ground::Concrete)
    };
    let coated: f64 = concrete().map(|(_, r)| r.by_machine).sum();
    let sealed: f64 = concrete().map(|(_, r)| r.sealed).sum();
    let stripped: f64 = concrete().map(|(_, r)| r.strip).sum();
    if coated > 0.0 && !facts.removes_coating {
        why.push(
            match facts.method {
                Method::ShotBlasting => {
                    "Shot blasting does not take an old coating off. Strip it first, or grind."
                }
                _ => "It does not remove the old coating.",
            }
            .into(),
        );
    }
    // What a stripper leaves in the pores still keeps acid out.
    if !facts.passes_sealer && (sealed > 0.0 || stripped > 0.0) {
        why.push("Sealer, and what a stripper leaves, keeps the acid out.".into());
    }
    let largest = concrete().map(|(a, _)| a.size).fold(0.0, f64::max);
    if largest < facts.areas.0 {
        why.push("The areas are too small for the machine.".into());
    }
    let all: f64 = concrete().map(|(a, _)| a.size).sum();
    if all > facts.areas.1 {
        why.push("The floor is too large to be rinsed and vacuumed up in time.".into());
    }
    why
}
