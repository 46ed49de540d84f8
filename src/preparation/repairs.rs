//! From findings to repairs: which rule rules, what is to be done, what holds the coating.

use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

use super::rules::{RuleId, WIDEST_FILLED};
use super::survey::{Ground, Numbered, Survey, What};
use crate::scenario::model::{
    CoatingState, CrackState, JointState, LiftedHold, OldCoating, RustState, StainState, Walk,
    WoodKind,
};
use crate::units::System;

/// A patch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Size at the face \[m2\].
    pub size: f64,
    /// Mean depth \[m\].
    pub depth: f64,
    /// Greatest depth \[m\].
    pub deepest: f64,
}

impl Patch {
    /// With a flat bottom.
    #[must_use]
    pub fn flat(size: f64, depth: f64) -> Self {
        Self {
            size,
            depth,
            deepest: depth,
        }
    }

    /// A bowl: a paraboloid, which holds half of its box.
    #[must_use]
    pub fn bowl(size: f64, deepest: f64) -> Self {
        Self {
            size,
            depth: 0.5 * deepest,
            deepest,
        }
    }

    /// Volume up to a height above its deepest point \[m3\]: `V (z / deepest)^(deepest / depth)`, which is linear for a flat bottom,
    /// a square for the bowl, and rises with the size at the face.
    #[must_use]
    pub fn volume_below(&self, height: f64) -> f64 {
        let share = (height / self.deepest).clamp(0.0, 1.0);
        self.size * self.depth * share.powf(self.deepest / self.depth)
    }
}

/// What is to be done in one area, summed over its findings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Repairs {
    /// Length of cracks to be filled \[m\].
    pub crack_length: f64,
    /// Volume of these cracks \[m3\].
    pub crack_volume: f64,
    /// Area of one wall of these cracks \[m2\].
    pub crack_wall: f64,
    /// Length of joints to be sealed \[m\].
    pub joint_length: f64,
    /// Volume of these joints \[m3\].
    pub joint_volume: f64,
    /// Length of foam rod \[m\].
    pub rod_length: f64,
    /// Patches.
    pub patches: Vec<Patch>,
    /// High spots to be ground \[m2\].
    pub high: f64,
    /// Stains to be degreased \[m2\].
    pub degrease: f64,
    /// Old layers to be stripped with chemicals \[m2\].
    pub strip: f64,
    /// Old coatings left to the machine \[m2\].
    pub by_machine: f64,
    /// Sealers and the like left to the machine \[m2\].
    pub sealed: f64,
    /// Rust \[m2\].
    pub rust: f64,
}

impl Repairs {
    /// Volume of all patches \[m3\].
    #[must_use]
    pub fn patch_volume(&self) -> f64 {
        self.patches.iter().map(|p| p.size * p.depth).sum()
    }

    /// Size of all patches \[m2\].
    #[must_use]
    pub fn patch_size(&self) -> f64 {
        self.patches.iter().map(|p| p.size).sum()
    }
}

/// Something that holds the coating until somebody has decided.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// The rule.
    pub rule: RuleId,
    /// Numbers of the findings; empty for a property of the area.
    pub findings: Vec<usize>,
    /// Names of the areas.
    pub areas: Vec<String>,
}

impl Hold {
    /// Where it holds, such as "Shop (finding 3)".
    #[must_use]
    pub fn place(&self) -> String {
        place(&self.areas, &self.findings)
    }

    /// What it is, as prose: the place and the rule.
    #[must_use]
    pub fn what(&self) -> String {
        // The rules that hold have no sizes in them.
        let rule = self.rule.rule().said();
        format!("{}: {}", self.place(), rule.of(System::Us))
    }
}

/// A hold that somebody has lifted.
#[derive(Clone, Debug, PartialEq)]
pub struct Lifted {
    /// The rule.
    pub rule: RuleId,
    /// Numbers of the findings.
    pub findings: Vec<usize>,
    /// The area.
    pub area: String,
    /// Who lifted it.
    pub by: String,
    /// When.
    pub on: Date,
    /// What was decided.
    pub note: Option<String>,
}

impl Lifted {
    /// Where it held, such as "Shop (finding 3)".
    #[must_use]
    pub fn place(&self) -> String {
        place(std::slice::from_ref(&self.area), &self.findings)
    }
}

fn place(areas: &[String], findings: &[usize]) -> String {
    let found = if findings.is_empty() {
        String::new()
    } else {
        format!(" (finding {})", numbers(findings))
    };
    format!("{}{found}", areas.join(", "))
}

/// Numbers as "1, 4, 7", the first few of many.
#[must_use]
pub fn numbers(list: &[usize]) -> String {
    const SHOWN: usize = 12;
    let mut text: Vec<String> = list.iter().take(SHOWN).map(usize::to_string).collect();
    if list.len() > SHOWN {
        text.push(format!("and {} more", list.len() - SHOWN));
    }
    text.join(", ")
}

/// Repairs by area, the rules that were used with the findings they were used on, and holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judged {
    /// One for each area.
    pub repairs: Vec<Repairs>,
    /// Rules and the findings they rule.
    pub rules: BTreeMap<RuleId, Vec<usize>>,
    /// What holds the coating.
    pub holds: Vec<Hold>,
    /// What held it and was lifted.
    pub lifted: Vec<Lifted>,
}

impl Judged {
    /// What holds the coating on a day: a hold that is lifted later still stands.
    #[must_use]
    pub fn holds_on(&self, day: Date) -> Vec<Hold> {
        let by_then = |lifted: &&Lifted| lifted.on <= day;
        let gone: BTreeSet<(RuleId, usize)> = self
            .lifted
            .iter()
            .filter(by_then)
            .flat_map(|lifted| lifted.findings.iter().map(|number| (lifted.rule, *number)))
            .collect();
        let mut holds = self.holds.clone();
        for later in self.lifted.iter().filter(|lifted| !by_then(lifted)) {
            let mut findings = later.findings.clone();
            findings.retain(|number| !gone.contains(&(later.rule, *number)));
            if !findings.is_empty() {
                holds.push(Hold {
                    rule: later.rule,
                    findings,
                    areas: vec![later.area.clone()],
                });
            }
        }
        holds
    }
}

/// Judges every finding.
#[must_use]
pub fn judge(survey: &Survey, walk: &Walk) -> Judged {
    let mut judged = Judged {
        repairs: vec![Repairs::default(); survey.areas.len()],
        ..Judged::default()
    };
    let stripped = walk.old_coating == Some(OldCoating::ByStripper);
    for finding in &survey.findings {
        let Some(area) = survey.areas.get(finding.area) else {
            continue;
        };
        let Some(repairs) = judged.repairs.get_mut(finding.area) else {
            continue;
        };
        for rule in one(finding, area.ground, stripped, repairs) {
            judged.rules.entry(rule).or_default().push(finding.number);
        }
    }
    let mut of_areas: BTreeMap<RuleId, Vec<String>> = BTreeMap::new();
    for area in &survey.areas {
        let mut rules = vec![RuleId::DewPoint];
        match area.ground {
            Ground::Concrete => rules.push(RuleId::NewConcrete),
            Ground::Metal => rules.push(RuleId::MetalSound),
            Ground::Wood {
                kind,
                moisture,
                limit,
                ..
            } => {
                rules.push(RuleId::WoodClean);
                if kind == WoodKind::OldDryPlywood {
                    rules.push(RuleId::OldPlywood);
                }
                match moisture {
                    None => rules.push(RuleId::WoodNotMeasured),
                    Some(moisture) if moisture > limit => rules.push(RuleId::WoodMoisture),
                    Some(_) => {}
                }
            }
        }
        for rule in rules {
            judged.rules.entry(rule).or_default();
            if rule.lifted_by().is_some() {
                of_areas.entry(rule).or_default().push(area.name.clone());
            }
        }
    }
    let names = |numbers: &[usize]| {
        let mut names: Vec<String> = Vec::new();
        for number in numbers {
            let area = number
                .checked_sub(1)
                .and_then(|index| survey.findings.get(index))
                .and_then(|finding| survey.areas.get(finding.area));
            if let Some(area) = area
                && !names.contains(&area.name)
            {
                names.push(area.name.clone());
            }
        }
        names
    };
    let mut gone: BTreeSet<(RuleId, usize)> = BTreeSet::new();
    for entry in walk.lifted.iter().flatten() {
        let rule = RuleId::of(entry.hold);
        let findings = lifted_by(entry, &judged, survey);
        gone.extend(findings.iter().map(|number| (rule, *number)));
        if !findings.is_empty() {
            judged.lifted.push(Lifted {
                rule,
                findings,
                area: entry.area.trim().to_owned(),
                by: entry.by.trim().to_owned(),
                on: entry.on,
                note: entry.note.clone(),
            });
        }
    }
    for (rule, findings) in judged
        .rules
        .iter()
        .filter(|(rule, _)| rule.lifted_by().is_some())
    {
        let mut standing = findings.clone();
        standing.retain(|number| !gone.contains(&(*rule, *number)));
        if standing.is_empty() && !findings.is_empty() {
            continue;
        }
        judged.holds.push(Hold {
            rule: *rule,
            areas: of_areas.remove(rule).unwrap_or_else(|| names(&standing)),
            findings: standing,
        });
    }
    if judged.repairs.iter().any(|r| !r.patches.is_empty()) {
        judged.rules.entry(RuleId::Batch).or_default();
    }
    judged
}

/// The findings of an area whose hold is of this kind.
pub(super) fn findings_held(
    rule: RuleId,
    area: &str,
    judged: &Judged,
    survey: &Survey,
) -> Vec<usize> {
    let lies_there = |number: &&usize| {
        let finding = number.checked_sub(1).and_then(|i| survey.findings.get(i));
        let of = finding.and_then(|finding| survey.areas.get(finding.area));
        of.is_some_and(|of| of.name == area.trim())
    };
    let of_rule = judged.rules.get(&rule).into_iter().flatten();
    of_rule.filter(lies_there).copied().collect()
}

/// The findings that an entry lifts the hold of; none where it does not say clearly which.
pub(super) fn lifted_by(entry: &LiftedHold, judged: &Judged, survey: &Survey) -> Vec<usize> {
    let held = findings_held(RuleId::of(entry.hold), &entry.area, judged, survey);
    match entry.finding {
        Some(number) => {
            let is_it = |found: &usize| *found == number as usize;
            held.into_iter().filter(is_it).collect()
        }
        None if held.len() == 1 => held,
        None => Vec::new(),
    }
}

/// The rules for one finding; adds its repair.
fn one(finding: &Numbered, ground: Ground, stripped: bool, repairs: &mut Repairs) -> Vec<RuleId> {
    let wood = matches!(ground, Ground::Wood { .. });
    if ground == Ground::Metal
        && matches!(
            finding.what,
            What::Crack { .. } | What::Broken { .. } | What::Delamination { .. }
        )
    {
        return vec![RuleId::MetalFailing];
    }
    match finding.what {
        What::Crack {
            length,
            width,
            depth,
            state,
        } => match state {
            CrackState::Structural => vec![RuleId::StructuralCrack],
            CrackState::Moving => vec![RuleId::MovingCrack],
            CrackState::Still if width <= WIDEST_FILLED || wood => {
                repairs.crack_length += length;
                repairs.crack_volume += length * width * depth;
                repairs.crack_wall += length * depth;
                vec![if wood {
                    RuleId::WoodClean
                } else {
                    RuleId::CrackFiller
                }]
            }
            CrackState::Still => {
                repairs.patches.push(Patch::flat(length * width, depth));
                vec![RuleId::WideCrack, RuleId::Patch]
            }
        },
        What::Broken { size, depth, .. } => {
            repairs.patches.push(Patch::flat(size, depth));
            vec![RuleId::Patch]
        }
        What::Delamination { size, depth } => {
            repairs.patches.push(Patch::flat(size, depth));
            vec![RuleId::Hollow, RuleId::Patch]
        }
        What::Joint {
            length,
            width,
            depth,
            state,
        } => {
            repairs.joint_length += length;
            repairs.joint_volume += length * width * depth;
            let mut rules = vec![RuleId::JointSealer];
            if state == JointState::Moving {
                repairs.rod_length += length;
                rules.push(RuleId::MovingJoint);
            }
            rules
        }
        What::High { size, .. } => {
            repairs.high += size;
            vec![RuleId::HighSpot]
        }
        What::Low { size, height } => {
            repairs.patches.push(Patch::bowl(size, height));
            vec![RuleId::LowSpot, RuleId::Patch]
        }
        What::Stain { size, state } => {
            repairs.degrease += size;
            let mut rules = vec![RuleId::Degrease];
            if state == StainState::Unknown {
                rules.push(RuleId::StainUnknown);
            }
            rules
        }
        What::Coating { size, state } => {
            let sealer = matches!(
                state,
                CoatingState::Sealer | CoatingState::Wax | CoatingState::Varnish
            );
            // No machine goes over metal, and wax clogs the paper that wood is sanded with: a stripper comes first there.
            if stripped || ground == Ground::Metal || (wood && sealer) {
                repairs.strip += size;
            } else if sealer {
                repairs.sealed += size;
            } else {
                repairs.by_machine += size;
            }
            vec![if sealer {
                RuleId::Sealer
            } else {
                RuleId::OldCoating
            }]
        }
        What::Damp { .. } => vec![RuleId::Damp],
        What::Rust { size, state } => {
            repairs.rust += size;
            vec![match state {
                RustState::Surface => RuleId::MetalSound,
                RustState::Scaling => RuleId::MetalScaling,
                RustState::Through => RuleId::MetalFailing,
            }]
        }
        What::Note => Vec::new(),
    }
}
