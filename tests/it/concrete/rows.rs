//! The published drying times as rows, and the simulation of one row. Shared by the tests, the fit and the
//! printed comparison, so that all three speak of the same numbers.

use coatday::air::{self, MoistAir};
use coatday::column::{AirStore, Column, Grid, Link, Node, Refinement, Skin, Tolerance};
use coatday::concrete::{Concrete, Constants, Mix, Tabulated};
use coatday::simulation::{Climate, Progress, Resolution, Simulation, Slab, Snapshot, Underside};
use coatday::units::{DAY, HOUR};
use std::ops::ControlFlow;
use std::sync::Arc;

/// 3 lb/1000 ft2 in 24 h \[kg/(m2 s)\].
const THREE_POUNDS: f64 = 3.0 * 5.651e-8;
/// Air speed over the specimen in a laboratory or a closed room \[m/s\].
const AIR_SPEED: f64 = 0.12;
/// Age at which moist curing of the emission specimens ends \[s\].
const CURED: f64 = 7.0 * DAY;
/// Age at which the rain of the factor method ends, and at which its count starts \[s\].
const RAINED: f64 = 14.0 * DAY;
const CLOSED: f64 = 28.0 * DAY;
/// Humid air between rain and count (relative humidity).
const HUMID: f64 = 0.9;
/// Thickness of slabs that no table rests on \[m\].
const THICKNESS: f64 = 0.1;
/// Temperature before the building is heated \[degC\].
const SHELL_TEMPERATURE: f64 = 18.0;
/// A row that takes longer than this is given up \[s\].
const LONGEST: f64 = 3000.0 * DAY;

/// What is waited for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Target {
    /// The surface flux falls to 3 lb/1000 ft2 in 24 h.
    ThreePounds,
    /// Relative humidity at 40 % of the drying depth falls to this.
    Humidity(f64),
}

/// A part of the published tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Table {
    /// Days to 3 lb.
    Emission,
    /// Standard times to 85 %.
    Standard85,
    /// Standard times to 90 %.
    Standard90,
    /// Climate cells at 35 to 70 % relative humidity.
    Climate,
    /// Climate cells at 80 % relative humidity.
    ClimateHumid,
    /// Other thicknesses.
    Thickness,
    /// One face open.
    OneSided,
}

impl Table {
    pub(crate) const ALL: [Self; 7] = [
        Self::Emission,
        Self::Standard85,
        Self::Standard90,
        Self::Climate,
        Self::ClimateHumid,
        Self::Thickness,
        Self::OneSided,
    ];

    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::Emission => "Days to 3 lb/1000 ft2/24 h, 101.6 mm, one face, 23 degC, 50 %",
            Self::Standard85 => "Days to 85 %, 180 mm, two faces, 18 degC, 60 %",
            Self::Standard90 => "Days to 90 %, 180 mm, two faces, 18 degC, 60 %",
            Self::Climate => "Climate, 35 to 70 % relative humidity",
            Self::ClimateHumid => "Climate, 80 % relative humidity",
            Self::Thickness => "Thickness, days to 85 %",
            Self::OneSided => "One face, 180 mm, days to 85 %",
        }
    }
}

/// One published time.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    pub(crate) table: Table,
    pub(crate) target: Target,
    pub(crate) water_cement_ratio: f64,
    /// m.
    pub(crate) thickness: f64,
    pub(crate) both_faces: bool,
    /// degC.
    pub(crate) temperature: f64,
    pub(crate) relative_humidity: f64,
    pub(crate) days: f64,
    pub(crate) mark: String,
}

/// All rows of both fixtures.
pub(crate) fn all() -> Vec<Row> {
    let emission = include_str!("../../fixtures/concrete/days_to_3_lb.csv");
    let factors = include_str!("../../fixtures/concrete/factor_method.csv");
    let number = |s: &str| s.parse::<f64>().expect("a number");
    let mut rows = Vec::new();
    for line in emission.lines().skip(1) {
        let c: Vec<&str> = line.split(',').collect();
        rows.push(Row {
            table: Table::Emission,
            target: Target::ThreePounds,
            water_cement_ratio: number(c[0]),
            thickness: 0.1016,
            both_faces: false,
            temperature: 23.0,
            relative_humidity: 0.5,
            days: number(c[1]),
            mark: c[2].to_owned(),
        });
    }
    for line in factors.lines().skip(1) {
        let c: Vec<&str> = line.split(',').collect();
        let humid = number(c[6]) > 75.0;
        rows.push(Row {
            table: match (c[0], c[1]) {
                ("standard", "85") => Table::Standard85,
                ("standard", _) => Table::Standard90,
                ("thickness", _) => Table::Thickness,
                ("one-sided", _) => Table::OneSided,
                _ if humid => Table::ClimateHumid,
                _ => Table::Climate,
            },
            target: Target::Humidity(number(c[1]) / 100.0),
            water_cement_ratio: number(c[2]),
            thickness: number(c[3]) / 1000.0,
            both_faces: c[4] == "2",
            temperature: number(c[5]),
            relative_humidity: number(c[6]) / 100.0,
            days: number(c[7]),
            mark: c[8].to_owned(),
        });
    }
    rows
}

pub(crate) fn given(temperature: f64, relative_humidity: f64) -> Climate<'static> {
    Climate::Given {
        air: MoistAir::from_relative_humidity(
            temperature,
            relative_humidity,
            air::STANDARD_PRESSURE,
        ),
        air_speed: AIR_SPEED,
    }
}

/// A slab of `thickness` over a sealed underside, one day old. A slab that dries from both faces alike is
/// its own mirror image: half of it over a sealed underside.
pub(crate) fn young(
    water_cement_ratio: f64,
    thickness: f64,
    temperature: f64,
    skin: Skin,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Simulation {
    let concrete = Concrete::new(Mix::of_ratio(water_cement_ratio), constants);
    let slab = Slab {
        area: 1.0,
        thickness,
        concrete,
        underside: Underside::Sealed,
        ground_temperature: 10.0,
        start_humidity: concrete.young_humidity(),
        start_temperature: temperature,
    };
    // Air of a given state: how much of it there is does not matter.
    let store = AirStore {
        dry_air: 3.0,
        furnishings: 0.0,
        pressure: air::STANDARD_PRESSURE,
    };
    Simulation::new(&slab, store, skin, numerics.0, numerics.1)
}

/// Carries the slab through a stretch of constant air of which only the end matters.
pub(crate) fn carry(
    s: &mut Simulation,
    until: f64,
    temperature: f64,
    relative_humidity: f64,
) -> Result<(), String> {
    s.advance(
        until,
        given(temperature, relative_humidity),
        &mut |_: &Snapshot<'_>, _: &Progress| ControlFlow::Continue(()),
    )
    .map(|_| ())
    .map_err(|fault| fault.to_string())
}

/// Days to the row's target.
pub(crate) fn simulate(
    row: &Row,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<f64, String> {
    let thickness = if row.both_faces {
        row.thickness / 2.0
    } else {
        row.thickness
    };
    let curing_temperature = match row.target {
        Target::ThreePounds => row.temperature,
        Target::Humidity(_) => SHELL_TEMPERATURE,
    };
    let mut s = young(
        row.water_cement_ratio,
        thickness,
        curing_temperature,
        Skin::default(),
        constants,
        numerics,
    );
    s.keep_wet(true);
    let start = match row.target {
        Target::ThreePounds => {
            carry(&mut s, CURED, curing_temperature, 1.0)?;
            s.keep_wet(false);
            CURED
        }
        Target::Humidity(_) => {
            carry(&mut s, RAINED, curing_temperature, HUMID)?;
            s.keep_wet(false);
            carry(&mut s, CLOSED, curing_temperature, HUMID)?;
            CLOSED
        }
    };
    // Time and distance from the target at the last two looks.
    let mut reached = None;
    let mut last: Option<(f64, f64)> = None;
    let _ = s
        .advance(
            start + LONGEST,
            given(row.temperature, row.relative_humidity),
            &mut |snapshot, progress| {
                let (time, distance) = match row.target {
                    // The mean over a step belongs to its middle.
                    Target::ThreePounds => (
                        snapshot.time() - 0.5 * progress.length,
                        (progress.evaporation.max(1e-12) / THREE_POUNDS).ln(),
                    ),
                    Target::Humidity(h) => {
                        (snapshot.time(), snapshot.humidity_at(0.4 * thickness) - h)
                    }
                };
                if distance <= 0.0 {
                    reached = Some(match last {
                        Some((t0, d0)) => t0 + (time - t0) * d0 / (d0 - distance),
                        None => time,
                    });
                    return ControlFlow::Break(());
                }
                last = Some((time, distance));
                ControlFlow::Continue(())
            },
        )
        .map_err(|fault| fault.to_string())?;
    reached
        .map(|t| (t - start) / DAY)
        .ok_or_else(|| format!("not within {} days", LONGEST / DAY))
}

/// Relative humidity in the middle of a slab that has been sealed on all sides since the age of one day.
pub(crate) fn sealed_humidity(
    water_cement_ratio: f64,
    days: f64,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<f64, String> {
    const TEMPERATURE: f64 = 20.0;
    let mut s = young(
        water_cement_ratio,
        THICKNESS,
        TEMPERATURE,
        Skin::tight(f64::INFINITY),
        constants,
        numerics,
    );
    carry(&mut s, days * DAY, TEMPERATURE, 0.5)?;
    Ok(s.snapshot().humidity_at(0.5 * THICKNESS))
}

/// Water taken up through a wet face in a time, over the root of the time \[kg/(m2 s^0.5)\]: concrete of 28
/// days that has dried to `humidity` throughout, wetted for an hour.
pub(crate) fn sorptivity(
    water_cement_ratio: f64,
    humidity: f64,
    constants: &Constants,
) -> Result<f64, String> {
    const TEMPERATURE: f64 = 20.0;
    const DURATION: f64 = 3600.0;
    const DEPTH: f64 = 0.05;
    const CELLS: usize = 60;
    let concrete = Concrete::new(Mix::of_ratio(water_cement_ratio), constants);
    let grid = Grid::new(DEPTH, CELLS, DEPTH * 1e-3, Refinement::Top);
    let t = grid.thicknesses();
    let mut nodes: Vec<Node> = t
        .iter()
        .map(|&thickness| Node::Cell {
            material: 0,
            thickness,
        })
        .collect();
    nodes.push(Node::Face);
    let links: Vec<Link> = (0..CELLS)
        .map(|i| Link::Body {
            material: 0,
            distance: 0.5 * (t[i] + t.get(i + 1).copied().unwrap_or(0.0)),
            skin: Skin::default(),
        })
        .collect();
    let states = vec![(humidity, TEMPERATURE); CELLS + 1];
    let mut column = Column::new(
        vec![Arc::new(Tabulated::new(concrete))],
        nodes,
        links,
        &states,
    );
    column.set_age(28.0 * DAY);
    column.hold(CELLS, Some(1.0), Some(TEMPERATURE));
    let stored = |c: &Column| -> f64 { (0..CELLS).map(|i| c.water(i).unwrap_or(0.0) * t[i]).sum() };
    let start = stored(&column);
    let (mut time, mut next) = (0.0, 0.01);
    while time < DURATION {
        let length = f64::min(next, DURATION - time);
        match column.step(&|_, _| [0.0, 0.0], length, &Tolerance::default()) {
            Ok(step) => {
                if step.error <= 1.0 {
                    time += length;
                }
                next = length * (0.9 * step.error.max(1e-6).powf(-1.0 / 3.0)).clamp(0.2, 2.0);
            }
            Err(fault) => {
                next = 0.25 * length;
                if next < 1e-9 {
                    return Err(fault.to_string());
                }
            }
        }
    }
    Ok((stored(&column) - start) / DURATION.sqrt())
}

/// A slab of [`THICKNESS`] on its 28th day: moist curing for a week, then 18 degC and 60 %.
fn four_weeks_old(
    water_cement_ratio: f64,
    skin: Skin,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<Simulation, String> {
    let mut s = young(
        water_cement_ratio,
        THICKNESS,
        SHELL_TEMPERATURE,
        skin,
        constants,
        numerics,
    );
    s.keep_wet(true);
    carry(&mut s, CURED, SHELL_TEMPERATURE, 0.6)?;
    s.keep_wet(false);
    carry(&mut s, CLOSED, SHELL_TEMPERATURE, 0.6)?;
    Ok(s)
}

/// What rain does to the humidity at 20 % of the thickness of a slab that dries from one face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RainEffect {
    /// Water taken up \[kg/m2\].
    pub(crate) taken_up: f64,
    /// Largest rise against a slab without rain.
    pub(crate) rise: f64,
    /// Days after which less than one point of the rise is left.
    pub(crate) days: f64,
}

/// Moist curing for a week, drying until the age of four weeks, 10 mm of rain in 6 h, drying.
pub(crate) fn rain_effect(
    water_cement_ratio: f64,
    skin: Skin,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<RainEffect, String> {
    const DEPTH: f64 = 0.2 * THICKNESS;
    const RAIN: f64 = 10.0;
    const DURATION: f64 = 6.0 * HOUR;
    const DAYS: u32 = 60;
    let (temperature, humidity) = (SHELL_TEMPERATURE, 0.6);
    let mut dry = four_weeks_old(water_cement_ratio, skin, constants, numerics)?;
    let mut wet = dry.clone();
    wet.set_rain(RAIN / DURATION, temperature);
    carry(&mut wet, CLOSED + DURATION, temperature, HUMID)?;
    wet.set_rain(0.0, temperature);
    let mut effect = RainEffect {
        taken_up: 0.0,
        rise: 0.0,
        days: 0.0,
    };
    for quarter in 2..4 * DAYS {
        let days = 0.25 * f64::from(quarter);
        for s in [&mut dry, &mut wet] {
            carry(s, CLOSED + days * DAY, temperature, humidity)?;
        }
        let rise = wet.snapshot().humidity_at(DEPTH) - dry.snapshot().humidity_at(DEPTH);
        let more = (wet.snapshot().mean_water() - dry.snapshot().mean_water()) * THICKNESS;
        effect.taken_up = effect.taken_up.max(more);
        effect.rise = effect.rise.max(rise);
        if rise > 0.01 {
            effect.days = days;
        }
    }
    Ok(effect)
}

/// Constants that `examples/fit_concrete.rs` fits.
const FITTED_CONSTANTS: f64 = 14.0;

/// Root mean square of `ln(simulated/published)` over the rows, for so many of them less as there are fitted constants: how far the model scatters.
pub(crate) fn scatter(rows: &[Row], simulated: &[Result<f64, String>]) -> f64 {
    let squares: Vec<f64> = rows
        .iter()
        .zip(simulated)
        .filter_map(|(row, days)| days.as_ref().ok().map(|d| (d / row.days).ln().powi(2)))
        .collect();
    (squares.iter().sum::<f64>() / (squares.len() as f64 - FITTED_CONSTANTS)).sqrt()
}

/// Days that a slab of 100 mm takes from its 28th day on to 85 % at 40 % of its thickness, without and with so much rain \[mm\] within 6 h on
/// that day. Moist curing for a week, one face, 18 degC, 60 %.
pub(crate) fn rain_cost(
    water_cement_ratio: f64,
    rain: f64,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<(f64, f64), String> {
    const DURATION: f64 = 6.0 * HOUR;
    let temperature = SHELL_TEMPERATURE;
    let mut dry = four_weeks_old(water_cement_ratio, Skin::default(), constants, numerics)?;
    let mut wet = dry.clone();
    wet.set_rain(rain / DURATION, temperature);
    carry(&mut wet, CLOSED + DURATION, temperature, HUMID)?;
    wet.set_rain(0.0, temperature);
    Ok((days_to_85(&mut dry)?, days_to_85(&mut wet)?))
}

/// Emission \[lb/1000 ft2/24 h\] of a 4-in. slab on wet ground after one, two and five years in air of 21 degC, 50 %.
pub(crate) fn bare_ground(
    water_cement_ratio: f64,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<[f64; 3], String> {
    const TEMPERATURE: f64 = 21.0;
    let concrete = Concrete::new(Mix::of_ratio(water_cement_ratio), constants);
    let slab = Slab {
        area: 1.0,
        thickness: 0.1016,
        concrete,
        underside: Underside::BareGround,
        ground_temperature: TEMPERATURE,
        start_humidity: concrete.young_humidity(),
        start_temperature: TEMPERATURE,
    };
    let store = AirStore {
        dry_air: 3.0,
        furnishings: 0.0,
        pressure: air::STANDARD_PRESSURE,
    };
    let mut s = Simulation::new(&slab, store, Skin::default(), numerics.0, numerics.1);
    s.keep_wet(true);
    carry(&mut s, CURED, TEMPERATURE, 0.5)?;
    s.keep_wet(false);
    let mut found = [0.0; 3];
    for (emission, years) in found.iter_mut().zip([1.0, 2.0, 5.0]) {
        let mut last = 0.0;
        let _ = s
            .advance(
                years * 365.0 * DAY,
                given(TEMPERATURE, 0.5),
                &mut |_: &Snapshot<'_>, p: &Progress| {
                    last = p.evaporation;
                    ControlFlow::Continue(())
                },
            )
            .map_err(|fault| fault.to_string())?;
        *emission = 3.0 * last / THREE_POUNDS;
    }
    Ok(found)
}

/// Days from the 28th day on to 85 % at 40 % of a slab of 100 mm.
fn days_to_85(s: &mut Simulation) -> Result<f64, String> {
    let mut last: Option<(f64, f64)> = None;
    let mut reached = None;
    let mut see = |snapshot: &Snapshot<'_>, _: &Progress| {
        let (time, over) = (
            snapshot.time(),
            snapshot.humidity_at(0.4 * THICKNESS) - 0.85,
        );
        if over <= 0.0 && time > CLOSED + 2.0 * DAY {
            reached = Some(match last {
                Some((t0, d0)) => t0 + (time - t0) * d0 / (d0 - over),
                None => time,
            });
            return ControlFlow::Break(());
        }
        last = (over > 0.0).then_some((time, over));
        ControlFlow::Continue(())
    };
    let _ = s
        .advance(LONGEST, given(SHELL_TEMPERATURE, 0.6), &mut see)
        .map_err(|fault| fault.to_string())?;
    reached
        .map(|t| (t - CLOSED) / DAY)
        .ok_or_else(|| "never".into())
}

/// The same cost of a face that is kept wet for some hours on the 28th day, the water then taken away.
pub(crate) fn rinse_cost(
    water_cement_ratio: f64,
    hours: f64,
    constants: &Constants,
    numerics: (Resolution, Tolerance),
) -> Result<(f64, f64), String> {
    let mut dry = four_weeks_old(water_cement_ratio, Skin::default(), constants, numerics)?;
    let mut wet = dry.clone();
    wet.keep_wet(true);
    carry(&mut wet, CLOSED + hours * HOUR, SHELL_TEMPERATURE, 0.6)?;
    let more = THICKNESS * (wet.snapshot().mean_water() - dry.snapshot().mean_water());
    wet.keep_wet(false);
    let (without, with) = (days_to_85(&mut dry)?, days_to_85(&mut wet)?);
    Ok((more, with - without))
}
