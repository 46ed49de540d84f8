//! Keys of machines that exclude or need each other, or mean nothing for a kind of machine.

use super::{Sense, Value};
use crate::gear::desiccant::RegenerationHeat;
use crate::gear::{Machine, classes};
use crate::scenario::json::Node;

/// Kinds of heater: the word, in a sentence, and the keys that mean nothing for it.
const HEATERS: [(&str, &str, &[&str]); 4] = [
    (
        "electric",
        "An electric heater",
        &[
            "fuel",
            "efficiency",
            "electrical_power",
            "air_flow",
            "duct_loss",
            "highest_discharge",
        ],
    ),
    (
        "indirect_fired",
        "An indirect-fired heater",
        &["highest_discharge"],
    ),
    (
        "direct_fired",
        "A direct-fired heater",
        &["efficiency", "air_flow", "duct_loss", "highest_discharge"],
    ),
    (
        "make_up_air",
        "A make-up-air heater",
        &["efficiency", "duct_loss"],
    ),
];

impl Sense<'_, '_> {
    pub(super) fn gear(&mut self, gear: &Node, path: &str) {
        let Value::Object(members) = &gear.value else {
            return;
        };
        let [member] = members.as_slice() else { return };
        let machine = &member.value;
        if !matches!(machine.value, Value::Object(_)) {
            return;
        }
        let path = format!("{path}.{}", member.key);
        let starts = self.part("drying_starts");
        self.order(
            &format!("{path}.from"),
            machine.get("from"),
            starts,
            "drying_starts",
        );
        let first = machine.get("from").or(starts);
        let first_name = if machine.get("from").is_some() {
            "its \"from\""
        } else {
            "drying_starts"
        };
        self.order(
            &format!("{path}.until"),
            machine.get("until"),
            first,
            first_name,
        );
        match member.key.as_str() {
            "dehumidifier" => {
                self.class_or(machine, &path, &["capacity", "energy_factor"]);
                self.only_with(
                    machine,
                    &path,
                    "rating_condition",
                    "capacity",
                    "It says at which air the capacity was rated.",
                );
                self.humidistat(machine, &path);
                self.clock(machine.get("hours"), &format!("{path}.hours"));
            }
            "desiccant" => self.desiccant(machine, &path),
            "heater" => self.heater(machine, &path),
            "fan" => {
                self.class_or(machine, &path, &["floor_air_speed", "power"]);
                if machine.get("floor_air_speed").is_some() {
                    self.meaningless(
                        machine,
                        &path,
                        &["air_flow", "outlet_area"],
                        "The air speed over the floor is given, so \"{key}\" is not used.",
                        "Keep \"floor_air_speed\", or the flow and the outlet.",
                    );
                }
                self.clock(machine.get("hours"), &format!("{path}.hours"));
            }
            "outside_air" => self.outside_air(machine, &path),
            _ => {}
        }
    }

    /// Keys that mean nothing here; `{key}` in the message stands for the key.
    fn meaningless(
        &mut self,
        machine: &Node,
        path: &str,
        keys: &[&str],
        message: &str,
        help: &str,
    ) {
        for key in keys {
            if let Some(node) = machine.get(key) {
                self.add(
                    &format!("{path}.{key}"),
                    node,
                    message.replace("{key}", key),
                    help,
                );
            }
        }
    }

    /// Hours that are all or none of the day by mistake.
    pub(super) fn clock(&mut self, hours: Option<&Node>, path: &str) {
        let Some(hours) = hours else { return };
        let number = |key: &str| hours.get(key)?.number();
        if let (Some(from), Some(to)) = (number("from"), number("to"))
            && from == to
        {
            self.add(
                path,
                hours,
                "\"from\" and \"to\" are the same hour, which leaves no time.",
                "Give two different hours, or leave them out for the whole day.",
            );
        }
    }

    fn humidistat(&mut self, machine: &Node, path: &str) {
        let Some(humidistat) = machine.get("humidistat") else {
            return;
        };
        let path = format!("{path}.humidistat");
        let dew_point = humidistat.get("dew_point").is_some();
        let (other, message) = if dew_point {
            (
                ["band", "above"],
                "\"{key}\" belongs to a relative humidity, but a dew point is held.",
            )
        } else {
            (
                ["dew_point_band", "dew_point_above"],
                "\"{key}\" belongs to a dew point, but a relative humidity is held.",
            )
        };
        let [band, above] = other;
        let help = if dew_point {
            "Use \"dew_point_band\" and \"dew_point_above\"."
        } else {
            "Use \"band\" and \"above\"."
        };
        self.meaningless(humidistat, &path, &[band], message, help);
        if let Some(stage) = humidistat.get("second_stage") {
            let path = format!("{path}.second_stage");
            self.meaningless(stage, &path, &[above], message, help);
            let wanted = if dew_point {
                "dew_point_above"
            } else {
                "above"
            };
            if matches!(stage.value, Value::Object(_))
                && stage.get(wanted).is_none()
                && stage.get(above).is_none()
            {
                self.lacks(
                    &path,
                    stage,
                    format!("\"{wanted}\" is missing."),
                    "Say how far above the first setpoint the second stage joins.",
                );
            }
        }
    }

    fn desiccant(&mut self, machine: &Node, path: &str) {
        self.humidistat(machine, path);
        self.clock(machine.get("hours"), &format!("{path}.hours"));
        let class = machine
            .get("class")
            .and_then(Node::text)
            .and_then(classes::class);
        if let Some(Machine::Desiccant(d)) = class
            && d.regeneration_heat == RegenerationHeat::Electric
        {
            self.meaningless(
                machine,
                path,
                &["fuel", "efficiency"],
                "This class regenerates with electricity and has no \"{key}\".",
                "Remove it, or take a class whose name ends in \"_burner\".",
            );
        }
    }

    /// A machine needs a class, or every one of these keys.
    fn class_or(&mut self, machine: &Node, path: &str, keys: &[&str]) {
        if machine.get("class").is_some() {
            return;
        }
        let missing: Vec<&str> = keys
            .iter()
            .copied()
            .filter(|key| machine.get(key).is_none())
            .collect();
        if missing.is_empty() {
            return;
        }
        let names: Vec<String> = missing.iter().map(|key| format!("\"{key}\"")).collect();
        let message = format!(
            "Without a \"class\", {} must be given.",
            names.join(" and ")
        );
        self.lacks(
            path,
            machine,
            message,
            "Add a \"class\", or the missing values from the machine's data sheet.",
        );
    }

    fn only_with(&mut self, machine: &Node, path: &str, key: &str, other: &str, why: &str) {
        if let Some(node) = machine.get(key)
            && machine.get(other).is_none()
        {
            self.add(
                &format!("{path}.{key}"),
                node,
                format!("\"{key}\" is given without \"{other}\"."),
                format!("{why} Give both, or neither."),
            );
        }
    }

    fn heater(&mut self, machine: &Node, path: &str) {
        self.class_or(machine, path, &["kind", "output"]);
        self.clock(machine.get("hours"), &format!("{path}.hours"));
        let by_kind = machine.get("kind").and_then(Node::text);
        let by_class = machine
            .get("class")
            .and_then(Node::text)
            .and_then(classes::class)
            .and_then(|class| match class {
                Machine::Electric(_) => Some("electric"),
                Machine::IndirectFired(_) => Some("indirect_fired"),
                Machine::DirectFired(_) => Some("direct_fired"),
                Machine::MakeUpAir(_) => Some("make_up_air"),
                _ => None,
            });
        if let (Some(kind), Some(class), Some(node)) = (by_kind, by_class, machine.get("kind"))
            && HEATERS.iter().any(|(name, ..)| *name == kind)
            && kind != class
        {
            self.add(
                &format!("{path}.kind"),
                node,
                format!("The class is a heater of the kind \"{class}\", not \"{kind}\"."),
                "Remove the \"kind\", or take another class.",
            );
        }
        let Some(kind) = by_class.or(by_kind) else {
            return;
        };
        let Some((_, words, without)) = HEATERS.iter().find(|(name, ..)| *name == kind) else {
            return;
        };
        self.meaningless(
            machine,
            path,
            without,
            &format!("{words} has no \"{{key}}\"."),
            "Remove it, or correct the \"kind\" or \"class\".",
        );
        if kind != "electric" && machine.get("class").is_none() && machine.get("fuel").is_none() {
            let help = "Add \"fuel\": \"propane\", \"natural_gas\", \"kerosene\" or \"diesel\".";
            self.lacks(
                path,
                machine,
                "This heater burns fuel, but \"fuel\" is missing.",
                help,
            );
        }
    }

    fn outside_air(&mut self, machine: &Node, path: &str) {
        let ways = ["air_flow", "air_changes_per_hour", "opening"];
        let given: Vec<&str> = ways
            .into_iter()
            .filter(|key| machine.get(key).is_some())
            .collect();
        if let [first, rest @ ..] = given.as_slice() {
            for key in rest {
                if let Some(node) = machine.get(key) {
                    self.add(
                        &format!("{path}.{key}"),
                        node,
                        format!("\"{first}\" and \"{key}\" are both given."),
                        "Give one of the two.",
                    );
                }
            }
        } else if machine.get("class").is_none() {
            let help =
                "Add one of \"air_flow\", \"air_changes_per_hour\", \"opening\" and \"class\".";
            self.lacks(path, machine, "How much outside air is missing.", help);
        }
        if machine.get("opening").is_some() {
            self.meaningless(
                machine,
                path,
                &["fan_power", "direction", "supply"],
                "Wind and warmth drive the air of an opening, so it has no \"{key}\".",
                "Remove it, or give the flow of a fan in place of the opening.",
            );
            let fan = machine.get("class").filter(|class| {
                let machine = class.text().and_then(classes::class);
                machine.is_some_and(|machine| machine.rated_power() > 0.0)
            });
            if let Some(class) = fan {
                self.add(
                    &format!("{path}.class"),
                    class,
                    "This class is a fan, but the air is to come through an opening.",
                    "Remove the \"class\", or the \"opening\".",
                );
            }
        }
        self.meaningless(
            machine,
            path,
            &["hours"],
            "Outside air is let in by its \"rule\", so it has no \"{key}\".",
            "Write \"rule\": {\"hours\": {\"from\": 7, \"to\": 18}}.",
        );
        let rule = machine.get("rule");
        if rule.is_some_and(|rule| rule.text() != Some("only_while_drier")) {
            self.meaningless(
                machine,
                path,
                &["drier_by"],
                "\"{key}\" means something only with the rule \"only_while_drier\".",
                "Remove it, or change the rule.",
            );
        }
        let hours = rule.and_then(|rule| rule.get("hours"));
        let Some(hours) = hours else { return };
        let number = |key: &str| hours.get(key)?.number();
        if let (Some(from), Some(to)) = (number("from"), number("to"))
            && from == to
        {
            let help = "Give two different hours, or the rule \"always\".";
            self.add(
                &format!("{path}.rule.hours"),
                hours,
                "\"from\" and \"to\" are the same hour, which leaves no time.",
                help,
            );
        }
    }
}
