//! What materials and work are counted by.

use super::{Material, SiteWork};

/// What a material or a work is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// m3.
    Volume,
    /// m2.
    Area,
    /// m.
    Length,
}

impl Measure {
    /// The key of the scenario.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Volume => "volume",
            Self::Area => "area",
            Self::Length => "length",
        }
    }
}

impl Material {
    /// What its packs are counted by.
    #[must_use]
    pub fn measure(self) -> Measure {
        match self {
            Self::CrackFiller
            | Self::JointSealer
            | Self::PatchingMix
            | Self::EtchSolution
            | Self::Degreaser
            | Self::Stripper
            | Self::RinseWater
            | Self::WoodFiller => Measure::Volume,
            Self::BackerRod | Self::Tape | Self::EdgeDiscs => Measure::Length,
            Self::Neutraliser
            | Self::Sheeting
            | Self::GrindingDiscs
            | Self::VacuumFilters
            | Self::SteelShot
            | Self::ScarifierCutters
            | Self::SandingDiscs
            | Self::WireBrushes
            | Self::MetalPrimer => Measure::Area,
        }
    }
}

impl SiteWork {
    /// What its rate is counted by.
    #[must_use]
    pub fn measure(self) -> Measure {
        match self {
            Self::Patching => Measure::Volume,
            Self::Masking | Self::CrackFilling | Self::JointSealing | Self::EdgeGrinding => {
                Measure::Length
            }
            _ => Measure::Area,
        }
    }
}
