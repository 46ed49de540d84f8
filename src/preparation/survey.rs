//! The walk in numbers: areas and numbered findings, SI.

use crate::scenario::model::{
    self, CoatingState, CrackState, DampState, Finding, JointState, RustState, StainState,
    Substrate, Walk, WoodKind,
};
use crate::units::format::Shown;
use crate::units::{self, FOOT, Kind, System};
use jiff::civil::Date;
use serde::Serialize;

/// What an area is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ground {
    /// A part of the slab.
    Concrete,
    /// Wood.
    Wood {
        /// Kind of wood.
        kind: WoodKind,
        /// Moisture content as measured, mass of water over dry mass.
        moisture: Option<f64>,
        /// The day of that reading.
        measured: Option<Date>,
        /// Highest moisture content allowed.
        limit: f64,
    },
    /// Metal.
    Metal,
}

/// One area.
#[derive(Clone, Debug, PartialEq)]
pub struct Area {
    /// Its name.
    pub name: String,
    /// What it is made of.
    pub ground: Ground,
    /// Size \[m2\].
    pub size: f64,
    /// Length of its edges \[m\].
    pub perimeter: f64,
    /// Corners on the plan \[m\]; empty when not drawn.
    pub corners: Vec<(f64, f64)>,
}

/// What was found; lengths m, areas m2. Written out, each measure names its unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(untagged)]
#[allow(missing_docs)] // the fields are those of the scenario's model, in SI
pub enum What {
    Crack {
        #[serde(rename = "length_m")]
        length: f64,
        #[serde(rename = "width_m")]
        width: f64,
        #[serde(rename = "depth_m")]
        depth: f64,
        state: CrackState,
    },
    Broken {
        #[serde(rename = "size_m2")]
        size: f64,
        #[serde(rename = "depth_m")]
        depth: f64,
        count: u32,
    },
    Joint {
        #[serde(rename = "length_m")]
        length: f64,
        #[serde(rename = "width_m")]
        width: f64,
        #[serde(rename = "depth_m")]
        depth: f64,
        state: JointState,
    },
    High {
        #[serde(rename = "size_m2")]
        size: f64,
        #[serde(rename = "height_m")]
        height: f64,
    },
    Low {
        #[serde(rename = "size_m2")]
        size: f64,
        #[serde(rename = "height_m")]
        height: f64,
    },
    Stain {
        #[serde(rename = "size_m2")]
        size: f64,
        state: StainState,
    },
    Coating {
        #[serde(rename = "size_m2")]
        size: f64,
        state: CoatingState,
    },
    Damp {
        #[serde(rename = "size_m2")]
        size: Option<f64>,
        state: DampState,
    },
    Delamination {
        #[serde(rename = "size_m2")]
        size: f64,
        #[serde(rename = "depth_m")]
        depth: f64,
    },
    Rust {
        #[serde(rename = "size_m2")]
        size: f64,
        state: RustState,
    },
    Note,
}

/// One finding with its number.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbered {
    /// From 1, in the order given, those of the scenario before those of the table.
    pub number: usize,
    /// Index of its area.
    pub area: usize,
    /// Place on the plan \[m\].
    pub position: Option<(f64, f64)>,
    /// What it is.
    pub what: What,
    /// What was written beside it.
    pub note: Option<String>,
}

/// The walk in numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// Areas, as given.
    pub areas: Vec<Area>,
    /// Findings.
    pub findings: Vec<Numbered>,
}

impl Survey {
    /// The survey of a walk and the findings of its table. Findings of areas that do not exist were refused when they were read;
    /// they would be put to the first area.
    #[must_use]
    pub fn new(walk: &Walk, table: &[Finding]) -> Self {
        let areas: Vec<Area> = walk.areas.iter().map(area).collect();
        let find = |name: &str| {
            areas
                .iter()
                .position(|area| area.name.trim() == name.trim())
                .unwrap_or(0)
        };
        let findings = walk
            .findings
            .iter()
            .flatten()
            .chain(table)
            .enumerate()
            .map(|(index, finding)| number(index + 1, finding, find))
            .collect();
        Self { areas, findings }
    }

    /// Size of all concrete areas \[m2\].
    #[must_use]
    pub fn concrete(&self) -> f64 {
        self.areas
            .iter()
            .filter(|area| area.ground == Ground::Concrete)
            .map(|area| area.size)
            .sum()
    }
}

fn area(given: &model::FloorArea) -> Area {
    Area {
        name: given.name.trim().to_owned(),
        ground: match &given.substrate {
            Substrate::Concrete => Ground::Concrete,
            Substrate::Metal => Ground::Metal,
            Substrate::Wood(wood) => Ground::Wood {
                kind: wood.kind(),
                moisture: wood.moisture_content.map(units::Fraction::si),
                measured: wood.measured,
                limit: wood.moisture_limit().si(),
            },
        },
        size: given.size(),
        perimeter: given.perimeter(),
        corners: given.corners(),
    }
}

fn number(number: usize, finding: &Finding, find: impl Fn(&str) -> usize) -> Numbered {
    macro_rules! common {
        ($f:expr) => {
            (&$f.area, $f.x.zip($f.y), $f.note.clone())
        };
    }
    let ((area, place, note), what) = match finding {
        Finding::Crack(f) => (
            common!(f),
            What::Crack {
                length: f.length.si(),
                width: f.width.si(),
                depth: f.depth.si(),
                state: f.state(),
            },
        ),
        Finding::Broken(f) => {
            let count = f.count();
            (
                common!(f),
                What::Broken {
                    size: f.size.si() * f64::from(count),
                    depth: f.depth.si(),
                    count,
                },
            )
        }
        Finding::Joint(f) => (
            common!(f),
            What::Joint {
                length: f.length.si(),
                width: f.width.si(),
                depth: f.depth.si(),
                state: f.state(),
            },
        ),
        Finding::HighSpot(f) => (
            common!(f),
            What::High {
                size: f.size.si(),
                height: f.height.si(),
            },
        ),
        Finding::LowSpot(f) => (
            common!(f),
            What::Low {
                size: f.size.si(),
                height: f.height.si(),
            },
        ),
        Finding::Stain(f) => (
            common!(f),
            What::Stain {
                size: f.size.si(),
                state: f.state(),
            },
        ),
        Finding::Coating(f) => (
            common!(f),
            What::Coating {
                size: f.size.si(),
                state: f.state(),
            },
        ),
        Finding::Damp(f) => (
            common!(f),
            What::Damp {
                size: f.size.map(units::Area::si),
                state: f.state(),
            },
        ),
        Finding::Delamination(f) => (
            common!(f),
            What::Delamination {
                size: f.size.si(),
                depth: f.depth().si(),
            },
        ),
        Finding::Rust(f) => (
            common!(f),
            What::Rust {
                size: f.size.si(),
                state: f.state(),
            },
        ),
        Finding::Note(f) => ((&f.area, f.x.zip(f.y), Some(f.note.clone())), What::Note),
    };
    Numbered {
        number,
        area: find(area),
        position: place.map(|(x, y)| (x.si(), y.si())),
        what,
        note,
    }
}

/// A length as people of a system read it.
#[must_use]
pub fn length(metres: f64, system: System) -> String {
    let us = system != System::Si;
    let (unit, decimals) = match (us, metres.abs()) {
        (true, m) if m < 3.0 * FOOT => ("in", 3),
        (true, _) => ("ft", 1),
        (false, m) if m < 1.0 => ("mm", 1),
        (false, _) => ("m", 2),
    };
    Shown::named(Kind::Length, unit).text(metres, decimals)
}

/// An area as people of a system read it.
#[must_use]
pub fn size(square_metres: f64, system: System) -> String {
    Shown::of(Kind::Area, system).text(square_metres, 1)
}

impl What {
    /// Kinds, in one or two words.
    pub const KINDS: [&'static str; 11] = [
        "crack",
        "broken area",
        "joint",
        "high spot",
        "low spot",
        "stain",
        "old coating",
        "sign of damp",
        "hollow part",
        "rust",
        "note",
    ];

    /// The place of its kind among [`Self::KINDS`].
    #[must_use]
    pub fn place(&self) -> usize {
        match self {
            Self::Crack { .. } => 0,
            Self::Broken { .. } => 1,
            Self::Joint { .. } => 2,
            Self::High { .. } => 3,
            Self::Low { .. } => 4,
            Self::Stain { .. } => 5,
            Self::Coating { .. } => 6,
            Self::Damp { .. } => 7,
            Self::Delamination { .. } => 8,
            Self::Rust { .. } => 9,
            Self::Note => 10,
        }
    }

    /// The kind, in one or two words.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        Self::KINDS.get(self.place()).copied().unwrap_or_default()
    }

    /// Its measures in words.
    #[must_use]
    pub fn measures(&self, system: System) -> String {
        let l = |metres: f64| length(metres, system);
        let a = |square_metres: f64| size(square_metres, system);
        match *self {
            Self::Crack {
                length,
                width,
                depth,
                state,
            } => format!(
                "{} long, {} wide, {} deep{}",
                l(length),
                l(width),
                l(depth),
                match state {
                    CrackState::Still => "",
                    CrackState::Moving => ", moving",
                    CrackState::Structural => ", structural",
                }
            ),
            Self::Broken { size, depth, count } => {
                let many = if count > 1 {
                    format!("{count} of them, together ")
                } else {
                    String::new()
                };
                format!("{many}{}, {} deep", a(size), l(depth))
            }
            Self::Joint {
                length,
                width,
                depth,
                state,
            } => format!(
                "{}, {} long, {} wide, {} deep",
                match state {
                    JointState::Control => "control",
                    JointState::Construction => "construction",
                    JointState::Moving => "moving",
                },
                l(length),
                l(width),
                l(depth)
            ),
            Self::High { size, height } => format!("{}, {} above the floor", a(size), l(height)),
            Self::Low { size, height } => format!("{}, {} below the floor", a(size), l(height)),
            Self::Stain { size, state } => format!(
                "{}{}",
                match state {
                    StainState::Oil => "oil, ",
                    StainState::Grease => "grease, ",
                    StainState::Rust => "rust, ",
                    StainState::Unknown => "",
                },
                a(size)
            ),
            Self::Coating { size, state } => format!(
                "{}{}",
                match state {
                    CoatingState::Paint => "paint, ",
                    CoatingState::Resin => "resin, ",
                    CoatingState::Adhesive => "adhesive, ",
                    CoatingState::Sealer => "sealer or curing compound, ",
                    CoatingState::Wax => "wax, ",
                    CoatingState::Varnish => "varnish, ",
                    CoatingState::Unknown => "",
                },
                a(size)
            ),
            Self::Damp { size, state } => {
                let seen = match state {
                    DampState::DarkSpot => "dark spot",
                    DampState::Salts => "white salts",
                    DampState::Water => "standing water or drops",
                    DampState::Mould => "damp smell or mold",
                };
                size.map_or(seen.into(), |size| format!("{seen}, {}", a(size)))
            }
            Self::Delamination { size, depth } => format!("{}, {} deep", a(size), l(depth)),
            Self::Rust { size, state } => format!(
                "{}, {}",
                match state {
                    RustState::Surface => "on the surface",
                    RustState::Scaling => "flakes and pits",
                    RustState::Through => "through",
                },
                a(size)
            ),
            Self::Note => String::new(),
        }
    }
}
