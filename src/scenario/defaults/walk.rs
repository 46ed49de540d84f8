//! What is taken where the walk says nothing.

use crate::scenario::model::{
    FloorArea, Material, Scenario, SiteWork, Substrate, Walk, Wood, WoodKind, WorkingDays,
};

/// Surface profile class for a thin resin coating (common practice, no published source); the product sheet decides.
pub const WANTED_PROFILE: u32 = 3;
/// Water that a wet vacuum leaves, m (common practice, no published source).
pub const WATER_LEFT: f64 = 1e-3;
/// Working hours of a day, h (common practice, no published source).
pub const CREW_HOURS: (f64, f64) = (7.0, 15.5);
/// People in a crew (common practice, no published source).
pub const CREW: u32 = 2;
/// Highest moisture content of wood under a coating (common practice, no published source); the product sheet decides.
pub const WOOD_MOISTURE_LIMIT: f64 = 0.12;
/// Depth to sound concrete under a hollow part, m: half an inch (common practice, no published source).
pub const DELAMINATION_DEPTH: f64 = 0.0127;

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

impl FloorArea {
    /// Corners, m; empty without an outline.
    #[must_use]
    pub fn corners(&self) -> Vec<(f64, f64)> {
        self.outline
            .iter()
            .flatten()
            .map(|corner| (corner.x.si(), corner.y.si()))
            .collect()
    }

    /// Size, m2: given, or that of the outline.
    #[must_use]
    pub fn size_taken(&self) -> f64 {
        self.size
            .map_or_else(|| enclosed(&self.corners()), crate::units::Area::si)
    }

    /// Length of its edges, m: given, that of the outline, or that of a square.
    #[must_use]
    pub fn perimeter_taken(&self) -> f64 {
        self.perimeter.map_or_else(
            || {
                let corners = self.corners();
                if corners.is_empty() {
                    4.0 * self.size_taken().sqrt()
                } else {
                    around(&corners)
                }
            },
            crate::units::Length::si,
        )
    }

    /// Whether it is a part of the slab.
    #[must_use]
    pub fn is_concrete(&self) -> bool {
        matches!(self.substrate, Substrate::Concrete)
    }
}

/// Area enclosed by corners (the shoelace formula).
#[must_use]
pub fn enclosed(corners: &[(f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    0.5 * corners
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum::<f64>()
        .abs()
}

fn around(corners: &[(f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1))
        .sum()
}

impl Wood {
    /// Highest moisture content.
    #[must_use]
    pub fn moisture_limit_taken(&self) -> f64 {
        self.moisture_limit
            .map_or(WOOD_MOISTURE_LIMIT, crate::units::Fraction::si)
    }

    /// Kind of wood.
    #[must_use]
    pub fn kind_taken(&self) -> WoodKind {
        self.kind.unwrap_or(WoodKind::Plywood)
    }
}

impl Walk {
    /// Hours of the day between which people work.
    #[must_use]
    pub fn hours_taken(&self) -> (f64, f64) {
        let given = self.working_time.as_ref();
        (
            given.and_then(|t| t.from).unwrap_or(CREW_HOURS.0),
            given.and_then(|t| t.to).unwrap_or(CREW_HOURS.1),
        )
    }

    /// Days of the week on which people work.
    #[must_use]
    pub fn days_taken(&self) -> WorkingDays {
        self.working_time
            .as_ref()
            .and_then(|t| t.days)
            .unwrap_or(WorkingDays::MondayToFriday)
    }

    /// People in a crew.
    #[must_use]
    pub fn crew_taken(&self) -> u32 {
        self.crew.unwrap_or(CREW)
    }

    /// Surface profile class.
    #[must_use]
    pub fn wanted_profile_taken(&self) -> u32 {
        self.wanted_profile.unwrap_or(WANTED_PROFILE)
    }

    /// Water left on the floor after washing or rinsing, kg/m2.
    #[must_use]
    pub fn water_left_taken(&self) -> f64 {
        self.water_left
            .map_or(WATER_LEFT, crate::units::WaterDepth::si)
            * 1000.0
    }
}

impl Scenario {
    /// The first day of the preparation.
    #[must_use]
    pub fn preparation_starts_taken(&self) -> jiff::civil::Date {
        self.walk
            .as_ref()
            .and_then(|walk| walk.preparation_starts)
            .unwrap_or(self.drying_starts)
    }
}
