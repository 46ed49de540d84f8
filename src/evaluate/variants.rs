//! The same job with one thing different: what a wetting costs, what an assumption is worth.

use super::compare::{Accuracy, prepare, run_without_film};
use crate::job::{self, Job};
use crate::scenario::model::{Curing, Finish, Scenario, Underside, WetCuring, WettingKind};
use crate::units::{Density, Duration, Temperature, UValue};
use crate::weather::Hourly;
use jiff::civil::Date;
use rayon::prelude::*;

/// Wettings costed one by one; more are only costed together.
const MOST_WETTINGS: usize = 12;

/// What one wetting costs.
#[derive(Clone, Debug, PartialEq)]
pub struct WettingCost {
    /// Its day; `None` for all of them together.
    pub date: Option<Date>,
    /// Where the water comes from; `None` for all of them together.
    pub kind: Option<WettingKind>,
    /// Days later than without it; `None` when there is no day with or without it.
    pub days: Option<f64>,
}

/// What an assumption is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumption {
    /// What was not given, and what was taken.
    pub taken: String,
    /// What it might be instead, and by how many days later the target would be met (negative: sooner); `None` when never.
    pub instead: Vec<(String, Option<f64>)>,
}

/// Days to the targets of one setup of a changed scenario.
fn days(scenario: &Scenario, weather: &Hourly, setup: &str, accuracy: Accuracy) -> Option<f64> {
    let job: Job = job::job(scenario, weather.clone());
    let setup = job.setups.iter().find(|s| s.name == setup)?;
    let start = prepare(&job, accuracy).ok()?;
    run_without_film(&job, setup, &start).days_to_target
}

/// What each wetting of the scenario costs with a setup that meets its targets after `base` days.
#[must_use]
pub fn wetting_costs(
    scenario: &Scenario,
    weather: &Hourly,
    setup: &str,
    base: f64,
    accuracy: Accuracy,
) -> Vec<WettingCost> {
    let wettings = scenario.slab.wettings.as_deref().unwrap_or_default();
    if wettings.is_empty() {
        return Vec::new();
    }
    let mut left_out: Vec<Option<usize>> = Vec::new();
    if wettings.len() <= MOST_WETTINGS {
        left_out.extend((0..wettings.len()).map(Some));
    }
    if wettings.len() != 1 {
        left_out.push(None);
    }
    left_out
        .into_par_iter()
        .map(|index| {
            let mut without = scenario.clone();
            without.slab.wettings = index.map(|i| {
                let mut rest = wettings.to_vec();
                rest.remove(i);
                rest
            });
            WettingCost {
                date: index.map(|i| wettings[i].date),
                kind: index.map(|i| wettings[i].kind),
                days: days(&without, weather, setup, accuracy).map(|d| base - d),
            }
        })
        .collect()
}

/// A change of the scenario, in words.
type Change = (String, Box<dyn Fn(&mut Scenario) + Send + Sync>);

fn change(words: impl Into<String>, to: impl Fn(&mut Scenario) + Send + Sync + 'static) -> Change {
    (words.into(), Box::new(to))
}

/// What was taken for things not given, with what they might be instead. How far the alternatives lie apart is common
/// practice, no published source.
fn taken(scenario: &Scenario, yearly_mean: f64) -> Vec<(String, Vec<Change>)> {
    let mut list: Vec<(String, Vec<Change>)> = Vec::new();
    let slab = &scenario.slab;
    if slab.water_cement_ratio.is_none() {
        let ratio = slab.water_cement_ratio();
        let from = if slab.strength.is_some() {
            " (from the strength)"
        } else {
            ""
        };
        let other = |ratio: f64| {
            change(format!("{ratio:.2}"), move |s: &mut Scenario| {
                s.slab.water_cement_ratio = Some(ratio);
            })
        };
        list.push((
            format!("water-cement ratio {ratio:.2}{from}"),
            vec![other(ratio - 0.05), other(ratio + 0.05)],
        ));
    }
    if slab.cement_content.is_none() {
        let cement = slab.cement_content();
        let other = |share: f64, words: &str| {
            change(words, move |s: &mut Scenario| {
                s.slab.cement_content = Some(Density::from_si(share * cement));
            })
        };
        list.push((
            "usual cement content".into(),
            vec![other(0.9, "a tenth less"), other(1.1, "a tenth more")],
        ));
    }
    if slab.curing.is_none() {
        let wet = |days: f64| {
            change(format!("{days:.0} days"), move |s: &mut Scenario| {
                s.slab.curing = Some(Curing::Wet(WetCuring {
                    lasts: Duration::from_si(days * crate::simulation::DAY),
                }));
            })
        };
        list.push(("7 days of wet curing".into(), vec![wet(3.0), wet(14.0)]));
    }
    if slab.finish.is_none() && slab.surface_resistance.is_none() {
        list.push((
            "steel-trowelled finish".into(),
            vec![change("floated", |s: &mut Scenario| {
                s.slab.finish = Some(Finish::Floated);
            })],
        ));
    }
    if slab.underside.is_none() {
        list.push((
            "sealed underside".into(),
            vec![change("bare ground", |s: &mut Scenario| {
                s.slab.underside = Some(Underside::BareGround);
            })],
        ));
    }
    let on_ground = matches!(
        slab.underside,
        Some(Underside::VapourRetarder(_) | Underside::BareGround)
    );
    if on_ground && slab.ground_temperature.is_none() {
        let other = |temperature: f64| {
            let shown = Temperature::from_si(temperature);
            change(
                format!("{} ({})", shown.in_us(), shown.in_si()),
                move |s: &mut Scenario| s.slab.ground_temperature = Some(shown),
            )
        };
        list.push((
            "ground as warm as the year's mean".into(),
            vec![other(yearly_mean - 5.0), other(yearly_mean + 5.0)],
        ));
    }
    if scenario.room.air_changes_per_hour.is_none() && scenario.room.construction.is_none() {
        let other = |changes: f64| {
            change(format!("{changes} per hour"), move |s: &mut Scenario| {
                s.room.air_changes_per_hour = Some(changes);
            })
        };
        list.push((
            "leakage of 0.5 air changes per hour".into(),
            vec![other(0.2), other(1.0)],
        ));
    }
    if scenario.room.heat_loss.is_none() && scenario.room.u_value.is_none() {
        let other = |factor: f64, words: &str| {
            change(words, move |s: &mut Scenario| {
                s.room.u_value = Some(UValue::from_si(factor * s.room.u_value().si()));
            })
        };
        list.push((
            "an unfinished shell's heat loss".into(),
            vec![other(0.5, "half"), other(2.0, "twice")],
        ));
    }
    list
}

/// What each default is worth in days with a setup that meets its targets after `base` days.
#[must_use]
pub fn assumptions(
    scenario: &Scenario,
    weather: &Hourly,
    setup: &str,
    base: f64,
    accuracy: Accuracy,
) -> Vec<Assumption> {
    let yearly_mean = weather.mean(0.0, weather.duration()).temperature;
    taken(scenario, yearly_mean)
        .into_par_iter()
        .map(|(taken, changes)| Assumption {
            taken,
            instead: changes
                .into_par_iter()
                .map(|(words, apply)| {
                    let mut other = scenario.clone();
                    apply(&mut other);
                    let later = days(&other, weather, setup, accuracy).map(|d| d - base);
                    (words, later)
                })
                .collect(),
        })
        .collect()
}
