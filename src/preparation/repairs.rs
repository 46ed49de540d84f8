//! From findings to repairs: which rule rules, what is to be done, what holds the coating.

use std::collections::BTreeMap;

use super::rules::{RuleId, WIDEST_FILLED};
use super::survey::{Ground, Numbered, Survey, What};
use crate::scenario::model::{
    CoatingState, CrackState, JointState, OldCoating, RustState, StainState, Walk, WoodKind,
};

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
    /// Where it is and what the rule says, as a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let found = if self.findings.is_empty() {
            String::new()
        } else {
            format!(" (finding {})", numbers(&self.findings))
        };
        format!(
            "{}{found}: {}",
            self.areas.join(", "),
            self.rule.rule().text
        )
    }
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
    let holding = judged.rules.iter();
    for (rule, findings) in holding.filter(|(rule, _)| rule.lifted_by().is_some()) {
        judged.holds.push(Hold {
            rule: *rule,
            findings: findings.clone(),
            areas: of_areas.remove(rule).unwrap_or_else(|| names(findings)),
        });
    }
    if judged.repairs.iter().any(|r| !r.patches.is_empty()) {
        judged.rules.entry(RuleId::Batch).or_default();
    }
    judged
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
