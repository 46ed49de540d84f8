//! The echo of the gear to choose from.

use super::{Echo, NOT_GIVEN};
use crate::job::{CONFIDENCE, EXCHANGE_AFTER};
use crate::scenario::model::Scenario;
use crate::units::{DAY, Duration, Fraction};

impl Echo {
    pub(super) fn plan(&mut self, scenario: &Scenario) {
        let Some(plan) = &scenario.plan else {
            return;
        };
        self.say("plan: gear to choose from", "", None);
        for entry in &plan.on_hand {
            self.gear(&entry.gear);
            if let Some(delivery) = entry.delivery {
                self.both("  delivery of one", both!(delivery), None);
            }
        }
        let given = plan.confidence;
        let confidence = given.unwrap_or_else(|| Fraction::from_si(CONFIDENCE));
        self.both(
            "plan: wanted chance of making the date",
            both!(confidence),
            given.is_none().then_some(NOT_GIVEN),
        );
        if let Some(budget) = plan.budget {
            self.both("plan: budget", both!(budget), None);
        }
        if let Some(power) = plan.most_power {
            self.both("plan: most electrical power", both!(power), None);
        }
        if let Some(hours) = &plan.working_hours {
            let hours = format!("from {} h to {} h", hours.from, hours.to);
            self.say("plan: machines that burn fuel run", &hours, None);
        }
        let usual = EXCHANGE_AFTER.map(|days| Duration::from_si(days * DAY));
        let times = plan.exchange_after.as_deref().unwrap_or(&usual);
        let note = plan.exchange_after.is_none().then_some(NOT_GIVEN);
        for time in times {
            self.both("plan: gear may be exchanged after", both!(time), note);
        }
        if times.is_empty() {
            self.say("plan: exchange of gear", "none", None);
        }
    }
}
