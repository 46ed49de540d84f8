//! How a prepared floor stands at a moment: how far the work is, and the water that it has brought onto the slab.

use super::floor::Prepared;
use super::progress::{Progress, progress, seconds_to};
use super::tasks::Tasks;
use crate::scenario::Scenario;
use crate::scenario::model::{Wetting, WettingKind};
use crate::units::format::capital;
use jiff::civil::DateTime;

impl Prepared {
    /// How far the work is at a moment \[s since midnight of the day of placing\].
    #[must_use]
    pub fn progress(&self, now: f64) -> Progress {
        let possible = self.choices.iter().filter_map(|choice| {
            let way = choice.way.as_ref()?;
            Some((choice.facts.name, &way.tasks))
        });
        let possible: Vec<(&'static str, &Tasks)> = possible.collect();
        if self.method_named || possible.is_empty() {
            let name = self.way.method.map_or("", |facts| facts.name);
            return progress(&[(name, &self.way.tasks)], now);
        }
        progress(&possible, now)
    }

    /// Whether concrete is to be coated and no method gives it its profile.
    #[must_use]
    pub fn without_profile(&self) -> bool {
        self.way.method.is_none() && self.survey.concrete() > 0.0
    }

    /// Why there is no day to coat whatever the drying, where no method gives the concrete its profile: what stands against those that lack least.
    #[must_use]
    pub fn why_without_profile(&self) -> Option<String> {
        let lacking = self.choices.iter().filter(|c| !c.against.is_empty());
        let least = lacking.clone().map(|c| c.against.len()).min();
        let nearest = lacking.filter(|c| Some(c.against.len()) == least);
        let told: Vec<String> = nearest
            .map(|c| format!("{}: {}", capital(c.facts.name), c.against.join(" ")))
            .collect();
        self.without_profile().then(|| {
            format!(
                "No method can give the concrete its profile here, so there is no day to coat. {}",
                told.join(" ")
            )
        })
    }
}

/// The scenario with the wet work that is done by `now` among its wettings: a moisture test from before it does not count.
#[must_use]
pub fn with_wet_work(scenario: &Scenario, prepared: Option<&Prepared>, now: DateTime) -> Scenario {
    let mut scenario = scenario.clone();
    let Some(prepared) = prepared else {
        return scenario;
    };
    let done = prepared.progress(seconds_to(prepared.placed, now)).done;
    let wet = done.iter().filter(|task| task.wets).map(|task| Wetting {
        date: prepared.date_of(task.finished),
        kind: WettingKind::Washing,
        water_depth: None,
        lasts: None,
    });
    let wettings = scenario.slab.wettings.get_or_insert_default();
    wettings.extend(wet);
    scenario
}
