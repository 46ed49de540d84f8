//! What the shape of a plan cannot say.

use super::Sense;
use crate::gear::classes;
use crate::scenario::json::Node;

/// Start and length of a part of the day \[h\].
fn span(hours: &Node) -> Option<(f64, f64)> {
    let number = |key: &str| hours.get(key)?.number();
    let (from, to) = (number("from")?, number("to")?);
    Some((from, (to - from).rem_euclid(24.0)))
}

impl Sense<'_, '_> {
    /// Hours of burners keep within the working hours.
    pub(super) fn working_hours(&mut self) {
        let Some(plan) = self.part("plan") else {
            return;
        };
        let working = plan.get("working_hours");
        self.clock(working, "plan.working_hours");
        let Some((start, length)) = working.and_then(span) else {
            return;
        };
        let list = plan.get("on_hand").map_or(&[][..], Node::items);
        for (number, entry) in list.iter().enumerate() {
            for kind in ["heater", "desiccant"] {
                let Some(machine) = entry.get("gear").and_then(|gear| gear.get(kind)) else {
                    continue;
                };
                let class = machine
                    .get("class")
                    .and_then(Node::text)
                    .and_then(classes::class);
                if class.is_some_and(|class| class.fuel().is_none()) {
                    continue;
                }
                let Some(hours) = machine.get("hours") else {
                    continue;
                };
                let within = span(hours)
                    .is_none_or(|(from, lasts)| (from - start).rem_euclid(24.0) + lasts <= length);
                if !within {
                    self.add(
                        &format!("plan.on_hand[{number}].gear.{kind}.hours"),
                        hours,
                        "These hours reach beyond \"working_hours\" of the plan.",
                        "Keep them within, or leave them out: a machine that burns fuel then runs in the working hours.",
                    );
                }
            }
        }
    }
}
