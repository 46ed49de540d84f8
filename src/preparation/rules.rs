//! Rules of repair and preparation as data, each with its source. The product sheet always wins.
//!
//! None of them has been read in a published standard for this program unless its source says so; they are the trade's common
//! practice. Waits, layers and limits of repairs stand here; packs, use and rates in [`super::materials`], profiles and machines in
//! [`super::methods`], limits of the coating in [`crate::scenario::coating_window`].

use crate::scenario::model::LiftableHold;
use crate::units::HOUR;

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
    /// What it says.
    pub text: &'static str,
    /// Where it comes from.
    pub source: &'static str,
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
                "Still cracks up to 1/2 in (13 mm) wide are cleaned, filled above the surface with a stiff filler and ground flush after a day.",
            ),
            Self::WideCrack => practice(
                "Cracks wider than 1/2 in (13 mm) are opened to square edges and patched in layers.",
            ),
            Self::MovingCrack => practice(
                "A crack that moves is not filled rigid: it comes back. Treat it as a joint or refer it to licensed practice; it holds the coating until decided.",
            ),
            Self::StructuralCrack => practice(
                "A structural crack goes to licensed practice (an engineer) first; it holds the coating.",
            ),
            Self::Patch => practice(
                "Patches have squared edges, go in by layers of 1/4 in (6 mm) with 2 h between them, and are ground after 24 h.",
            ),
            Self::Batch => {
                practice("Patching mix is made in batches that are used up within 30 minutes.")
            }
            Self::LowSpot => practice(
                "Low spots are filled as patches; a bowl holds half of the box round it, and its middle takes the layers of its greatest depth.",
            ),
            Self::HighSpot => practice("High spots are ground down by hand."),
            Self::JointSealer => practice(
                "Joints get a flexible sealer, overfilled by a tenth and ground flush after 24 h.",
            ),
            Self::MovingJoint => practice(
                "Joints that move are not filled rigid: foam rod and flexible sealer, and the coating stops at them or follows the product's joint detail.",
            ),
            Self::Damp => practice(
                "Signs of damp stop the coating until the cause is found and moisture tests pass.",
            ),
            Self::NewConcrete => practice(
                "New concrete is not coated before the age that the product sheet asks for, 28 to 30 days where it does not say.",
            ),
            Self::Degrease => practice(
                "Oil and grease are taken out with degreaser, scrubbed and rinsed until water no longer beads; deep oil needs cutting out.",
            ),
            Self::StainUnknown => {
                practice("A stain nobody can name is treated as oil; try a spot before the whole.")
            }
            Self::OldCoating => practice(
                "An old coating comes off whole, or is proven sound and matched with the new one by a trial and the product sheet. Test old layers for lead and asbestos before work, as local codes say.",
            ),
            Self::Sealer => practice(
                "Sealer, curing compound, wax and varnish keep acid and coating out: they come off by machine or stripper, never by etching.",
            ),
            Self::Hollow => practice("Hollow parts are chipped out to sound concrete and patched."),
            Self::MetalSound => {
                practice("Metal is sound, degreased, brushed bright and primed the same day.")
            }
            Self::MetalScaling => practice(
                "Flaking and pitted metal is brushed to sound metal; measure what is left of it.",
            ),
            Self::MetalFailing => practice(
                "Metal with holes or weak to the touch goes to licensed practice; it holds the coating.",
            ),
            Self::WoodClean => practice(
                "Wood is free of wax and varnish, its gaps filled, and sanded to bare fibre.",
            ),
            Self::WoodMoisture => practice(
                "Wood wetter than its limit is not coated; what wets it goes to licensed practice.",
            ),
            Self::WoodNotMeasured => practice(
                "The moisture content of wood is measured before it is coated; it holds the coating until then.",
            ),
            Self::OldPlywood => practice(
                "Old, dry plywood drinks more coats: plan for one or two more of the first coat.",
            ),
            Self::DewPoint => Rule {
                text: "Coat only while the surface is warmer than the dew point of the air by the product sheet's margin, or by that of the standard where the sheet gives none.",
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
