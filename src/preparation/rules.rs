//! Rules of repair and preparation as data, each with its source. The product sheet always wins.
//!
//! None of them has been read in a published standard for this program unless its source says so; they are the trade's common
//! practice. Waits, layers and limits of repairs stand here; packs, use and rates in [`super::materials`], profiles and machines in
//! [`super::methods`], limits of the coating in [`crate::scenario::coating_window`].

use crate::scenario::model::LiftableHold;
use crate::units::HOUR;
use crate::units::format::Said;

/// Widest crack that takes filler \[m\]: 1/2 in (common practice, no published source).
pub const WIDEST_FILLED: f64 = 0.0127;
/// Thickness of a layer of patching mix \[m\]: 1/4 in (common practice, no published source).
pub const PATCH_LAYER: f64 = 0.006_35;
/// Wait between two layers of a patch \[s\] (common practice, no published source).
pub const LAYER_WAIT: f64 = 2.0 * HOUR;
/// Wait from patching to grinding \[s\] (common practice, no published source).
pub const PATCH_WAIT: f64 = 24.0 * HOUR;
/// Wait from sealing joints or filling cracks to grinding \[s\] (common practice, no published source).
pub const SEALER_WAIT: f64 = 24.0 * HOUR;
/// Time in which a batch of patching mix must be used \[s\] (common practice, no published source).
pub const BATCH_TIME: f64 = 0.5 * HOUR;
/// Share by which joints and cracks are overfilled, to be ground flush (common practice, no published source).
pub const OVERFILL: f64 = 0.1;
/// Wait after wet work until the face looks dry and can be filled or patched \[s\] (common practice, no published source).
pub const LOOKS_DRY: f64 = 24.0 * HOUR;
/// Wait after priming metal \[s\] (common practice, no published source; the primer's sheet decides).
pub const PRIMER_WAIT: f64 = 24.0 * HOUR;
/// Area of crack wall that a tube of 5.5 to 8.6 fl oz covers \[m2\]: 2 to 5 ft2 (common practice, no published source).
pub const TUBE_COVERS: (f64, f64) = (0.185_806_08, 0.464_515_2);
/// Where most rules come from.
pub const COMMON_PRACTICE: &str = "common practice, no published source";

/// One rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// What it says: [`Said::both`] reads it.
    text: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

impl Rule {
    /// What it says.
    #[must_use]
    pub fn said(&self) -> Said {
        Said::both(self.text)
    }
}

/// Names of the rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the texts say what they are
pub enum RuleId {
    CrackFiller,
    WideCrack,
    MovingCrack,
    StructuralCrack,
    Patch,
    Batch,
    LowSpot,
    HighSpot,
    JointSealer,
    MovingJoint,
    Damp,
    NewConcrete,
    Degrease,
    StainUnknown,
    OldCoating,
    Sealer,
    Hollow,
    MetalSound,
    MetalScaling,
    MetalFailing,
    WoodClean,
    WoodMoisture,
    WoodNotMeasured,
    OldPlywood,
    DewPoint,
}

const fn practice(text: &'static str) -> Rule {
    Rule {
        text,
        source: COMMON_PRACTICE,
    }
}

impl RuleId {
    /// The rule itself.
    #[must_use]
    pub fn rule(self) -> Rule {
        match self {
            Self::CrackFiller => practice(
                "Clean still cracks up to {1/2 in|13 mm} wide. Overfill them with a stiff filler, and grind flush after a day.",
            ),
            Self::WideCrack => practice(
                "Cut cracks wider than {1/2 in|13 mm} to square edges and patch them in layers.",
            ),
            Self::MovingCrack => practice(
                "Do not fill a moving crack rigid: it comes back. Treat it as a joint, or ask an engineer. No coating until that is decided.",
            ),
            Self::StructuralCrack => {
                practice("A structural crack goes to an engineer first. No coating until then.")
            }
            Self::Patch => practice(
                "Square the edges of a patch. Fill it in layers of {1/4 in|6 mm}, two hours apart, and grind it after 24 hours.",
            ),
            Self::Batch => practice("Mix only as much patching mix as you use up in 30 minutes."),
            Self::LowSpot => practice(
                "Fill low spots like patches. A bowl holds half of the box around it. Its middle takes the layers of its greatest depth.",
            ),
            Self::HighSpot => practice("Grind high spots down by hand."),
            Self::JointSealer => practice(
                "Overfill joints by a tenth with a flexible sealer, and grind it flush after 24 hours.",
            ),
            Self::MovingJoint => practice(
                "Do not fill a moving joint rigid. Use foam rod and flexible sealer. The coating stops at the joint or follows the product's joint detail.",
            ),
            Self::Damp => practice(
                "No coating on signs of damp until the cause is found and the moisture tests pass.",
            ),
            Self::NewConcrete => practice(
                "Do not coat new concrete before the age that the product sheet asks for. Where it does not say, wait 28 to 30 days.",
            ),
            Self::Degrease => practice(
                "Take oil and grease out with degreaser. Scrub and rinse until water no longer beads. Cut deep oil out.",
            ),
            Self::StainUnknown => {
                practice("Treat a stain nobody can name as oil. Try one spot first.")
            }
            Self::OldCoating => practice(
                "Take the whole old coating off. Or prove it sound and matched to the new one, by a trial and the product sheet. Test old layers for lead and asbestos before any work, as local codes say.",
            ),
            Self::Sealer => practice(
                "Sealer, curing compound, wax and varnish keep acid and coating out. Take them off by machine or stripper, never by etching.",
            ),
            Self::Hollow => practice("Chip hollow parts out to sound concrete and patch them."),
            Self::MetalSound => practice(
                "Metal must be sound. Degrease it, brush it bright and prime it the same day.",
            ),
            Self::MetalScaling => practice(
                "Brush flaking and pitted metal back to sound metal, and measure what is left of it.",
            ),
            Self::MetalFailing => practice(
                "Metal that has holes or gives to the touch goes to a licensed trade. No coating until then.",
            ),
            Self::WoodClean => {
                practice("Take wax and varnish off wood, fill the gaps, and sand it to bare fiber.")
            }
            Self::WoodMoisture => practice(
                "Do not coat wood above its moisture limit. Have a licensed trade stop what wets it.",
            ),
            Self::WoodNotMeasured => {
                practice("Measure the moisture of wood before you coat it. No coating until then.")
            }
            Self::OldPlywood => {
                practice("Old, dry plywood soaks up more. Plan one or two more of the first coat.")
            }
            Self::DewPoint => Rule {
                text: "Coat only while the surface is warmer than the dew point of the air by the margin on the product sheet. Where the sheet gives none, use the standard's.",
                source: "ISO 8502-4",
            },
        }
    }

    /// What holds the coating, in a few words; empty for a rule that does not.
    #[must_use]
    pub fn hold(self) -> &'static str {
        match self {
            Self::MovingCrack => "moving crack",
            Self::StructuralCrack => "structural crack",
            Self::Damp => "sign of damp",
            Self::MetalFailing => "failing metal",
            Self::WoodMoisture => "wood above its moisture limit",
            Self::WoodNotMeasured => "wood not measured",
            _ => "",
        }
    }

    /// The rule behind a hold that a decision lifts.
    #[must_use]
    pub fn of(hold: LiftableHold) -> Self {
        match hold {
            LiftableHold::MovingCrack => Self::MovingCrack,
            LiftableHold::StructuralCrack => Self::StructuralCrack,
            LiftableHold::Damp => Self::Damp,
            LiftableHold::FailingMetal => Self::MetalFailing,
        }
    }

    /// Who can lift it, for a rule that holds the coating until somebody has decided; `None` for the others.
    #[must_use]
    pub fn lifted_by(self) -> Option<&'static str> {
        match self {
            Self::MovingCrack | Self::StructuralCrack => {
                Some("an engineer, or the person who decides on the joint detail")
            }
            Self::Damp => Some("whoever finds what makes it damp, once its tests pass"),
            Self::MetalFailing => Some("a licensed trade, once the metal is sound"),
            Self::WoodMoisture => {
                Some("whoever stops what wets the wood, once it reads below its limit")
            }
            Self::WoodNotMeasured => Some("whoever measures its moisture content"),
            _ => None,
        }
    }
}
