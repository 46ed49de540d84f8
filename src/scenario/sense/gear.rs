//! Keys of machines that exclude or need each other, or mean nothing for a kind of machine.

use super::Sense;
use super::at::At;
use crate::gear::desiccant::RegenerationHeat;
use crate::gear::{Machine, classes};
use crate::scenario::json::Value;

/// A kind of heater.
struct Kind {
    word: &'static str,
    sentence: &'static str,
    /// Keys that mean nothing for it.
    without: &'static [&'static str],
}

#[rustfmt::skip]
const HEATERS: [Kind; 4] = [
    Kind { word: "electric", sentence: "An electric heater", without: &["fuel", "efficiency", "electrical_power", "air_flow", "duct_loss", "highest_discharge"] },
    Kind { word: "indirect_fired", sentence: "An indirect-fired heater", without: &["highest_discharge"] },
    Kind { word: "direct_fired", sentence: "A direct-fired heater", without: &["efficiency", "air_flow", "duct_loss", "highest_discharge"] },
    Kind { word: "make_up_air", sentence: "A make-up-air heater", without: &["efficiency", "duct_loss"] },
];

/// The machine of the class that an entry names.
fn class(machine: &At<'_>) -> Option<Machine> {
    classes::class(machine.get("class")?.text()?)
}

/// Start and length of a part of the day \[h\].
fn span(hours: &At<'_>) -> Option<(f64, f64)> {
    let (from, to) = (hours.get("from")?.number()?, hours.get("to")?.number()?);
    Some((from, (to - from).rem_euclid(24.0)))
}

impl Sense<'_, '_, '_> {
    pub(super) fn gear(&mut self, gear: &At<'_>) {
        let Some((kind, machine)) = gear.kind() else {
            return;
        };
        let starts = self.root.get("gear_on");
        self.order(machine.get("from"), starts.as_ref());
        self.stay(&machine, starts.as_ref());
        self.clock(machine.get("hours"));
        match kind {
            "dehumidifier" => {
                self.class_or(&machine, &["capacity", "energy_factor"]);
                if let (Some(rated), false) =
                    (machine.get("rating_condition"), machine.has("capacity"))
                {
                    self.add(
                        &rated,
                        "\"rating_condition\" is given without \"capacity\".",
                        "It says in what air the capacity was rated. Give both, or neither.",
                    );
                }
                self.humidistat(&machine);
            }
            "desiccant" => {
                self.humidistat(&machine);
                if let Some(Machine::Desiccant(d)) = class(&machine)
                    && d.regeneration_heat == RegenerationHeat::Electric
                {
                    self.meaningless(
                        &machine,
                        &["fuel", "efficiency"],
                        "This class regenerates with electricity and has no \"{key}\".",
                        "Remove it, or take a class whose name ends in \"_burner\".",
                    );
                }
            }
            "heater" => self.heater(&machine),
            "fan" => {
                self.class_or(&machine, &["floor_air_speed", "power"]);
                if machine.has("floor_air_speed") {
                    self.meaningless(
                        &machine,
                        &["air_flow", "outlet_area"],
                        "The air speed over the floor is given, so \"{key}\" is not used.",
                        "Keep \"floor_air_speed\", or the flow and the outlet.",
                    );
                }
            }
            "outside_air" => self.outside_air(&machine),
            _ => {}
        }
    }

    /// Keys that mean nothing here; `{key}` in the message stands for the key.
    fn meaningless(&mut self, machine: &At<'_>, keys: &[&str], message: &str, help: &str) {
        for key in keys {
            if let Some(given) = machine.get(key) {
                self.add(&given, message.replace("{key}", key), help);
            }
        }
    }

    /// Hours that are all or none of the day by mistake.
    pub(super) fn clock(&mut self, hours: Option<At<'_>>) {
        let Some(hours) = hours else { return };
        let hour = |key: &str| hours.get(key)?.number();
        if let (Some(from), Some(to)) = (hour("from"), hour("to"))
            && from == to
        {
            self.add(
                &hours,
                "\"from\" and \"to\" are the same hour, which leaves no time.",
                "Give two different hours, or leave them out for the whole day.",
            );
        }
    }

    fn humidistat(&mut self, machine: &At<'_>) {
        let Some(humidistat) = machine.get("humidistat") else {
            return;
        };
        let (others, wanted, message, help) = if humidistat.has("dew_point") {
            (
                ["band", "above"],
                "dew_point_above",
                "\"{key}\" belongs to a relative humidity, but a dew point is held.",
                "Use \"dew_point_band\" and \"dew_point_above\".",
            )
        } else {
            (
                ["dew_point_band", "dew_point_above"],
                "above",
                "\"{key}\" belongs to a dew point, but a relative humidity is held.",
                "Use \"band\" and \"above\".",
            )
        };
        let [band, above] = others;
        self.meaningless(&humidistat, &[band], message, help);
        if let Some(stage) = humidistat.get("second_stage") {
            self.meaningless(&stage, &[above], message, help);
            let object = matches!(stage.node.value, Value::Object(_));
            if object && !stage.has(wanted) && !stage.has(above) {
                self.lacks(
                    &stage,
                    format!("\"{wanted}\" is missing."),
                    "Say how far above the first setpoint the second stage joins.",
                );
            }
        }
    }

    /// A machine needs a class, or every one of these keys.
    fn class_or(&mut self, machine: &At<'_>, keys: &[&str]) {
        let missing = keys.iter().filter(|key| !machine.has(key));
        let names: Vec<String> = missing.map(|key| format!("\"{key}\"")).collect();
        if !machine.has("class") && !names.is_empty() {
            self.lacks(
                machine,
                format!(
                    "Without a \"class\", {} must be given.",
                    names.join(" and ")
                ),
                "Add a \"class\", or the missing values from the machine's data sheet.",
            );
        }
    }

    fn heater(&mut self, machine: &At<'_>) {
        self.class_or(machine, &["kind", "output"]);
        let given = machine.get("kind");
        let by_kind = given.as_ref().and_then(At::text);
        let by_class = class(machine).and_then(|class| match class {
            Machine::Electric(_) => Some("electric"),
            Machine::IndirectFired(_) => Some("indirect_fired"),
            Machine::DirectFired(_) => Some("direct_fired"),
            Machine::MakeUpAir(_) => Some("make_up_air"),
            _ => None,
        });
        if let (Some(given), Some(kind), Some(class)) = (&given, by_kind, by_class)
            && HEATERS.iter().any(|heater| heater.word == kind)
            && kind != class
        {
            self.add(
                given,
                format!("The class is a heater of the kind \"{class}\", not \"{kind}\"."),
                "Remove the \"kind\", or take another class.",
            );
        }
        let Some(kind) = HEATERS
            .iter()
            .find(|heater| Some(heater.word) == by_class.or(by_kind))
        else {
            return;
        };
        self.meaningless(
            machine,
            kind.without,
            &format!("{} has no \"{{key}}\".", kind.sentence),
            "Remove it, or correct the \"kind\" or \"class\".",
        );
        if kind.word != "electric" && !machine.has("class") && !machine.has("fuel") {
            self.lacks(
                machine,
                "This heater burns fuel, but \"fuel\" is missing.",
                "Add \"fuel\": \"propane\", \"natural_gas\", \"kerosene\" or \"diesel\".",
            );
        }
    }

    fn outside_air(&mut self, machine: &At<'_>) {
        let ways = ["air_flow", "air_changes_per_hour", "opening"];
        let given: Vec<&str> = ways.into_iter().filter(|key| machine.has(key)).collect();
        if let [first, rest @ ..] = given.as_slice() {
            self.meaningless(
                machine,
                rest,
                &format!("\"{first}\" and \"{{key}}\" are both given."),
                "Give one of the two.",
            );
        } else if !machine.has("class") {
            self.lacks(
                machine,
                "The flow of outside air is missing.",
                "Add \"air_flow\": \"300 cfm\", with your flow, or \"air_changes_per_hour\", \"opening\" or \"class\".",
            );
        }
        if machine.has("opening") {
            self.meaningless(
                machine,
                &["fan_power", "direction", "supply"],
                "Wind and warmth drive the air of an opening, so it has no \"{key}\".",
                "Remove it, or give the flow of a fan in place of the opening.",
            );
            if let Some(given) = machine.get("class")
                && class(machine).is_some_and(|machine| machine.rated_power() > 0.0)
            {
                self.add(
                    &given,
                    "This class is a fan, but the air is to come through an opening.",
                    "Remove the \"class\", or the \"opening\".",
                );
            }
        }
        self.meaningless(
            machine,
            &["hours"],
            "Outside air is let in by its \"rule\", so it has no \"{key}\".",
            "Write \"rule\": {\"hours\": {\"from\": 7, \"to\": 18}}.",
        );
        if machine
            .get("rule")
            .is_some_and(|rule| !rule.is("only_while_drier"))
        {
            self.meaningless(
                machine,
                &["drier_by"],
                "\"{key}\" means something only with the rule \"only_while_drier\".",
                "Remove it, or change the rule.",
            );
        }
        self.clock(machine.down("rule.hours"));
    }

    /// Gear to choose from obeys the rules of gear in setups; when it comes and goes is for the plan to choose. Hours of burners keep
    /// within the working hours.
    pub(super) fn on_hand(&mut self) {
        let working = self.root.down("plan.working_hours");
        self.clock(working.clone());
        let working = working.as_ref().and_then(span);
        for entry in self.root.list("plan.on_hand") {
            let Some(gear) = entry.get("gear") else {
                continue;
            };
            self.gear(&gear);
            let Some((kind, machine)) = gear.kind() else {
                continue;
            };
            self.meaningless(
                &machine,
                &["from", "until"],
                "The plan finds out when this gear comes and goes.",
                "Leave this key out.",
            );
            let burns = matches!(kind, "heater" | "desiccant")
                && class(&machine).is_none_or(|class| class.fuel().is_some());
            if let (true, Some((start, length)), Some(hours)) =
                (burns, working, machine.get("hours"))
                && span(&hours)
                    .is_some_and(|(from, lasts)| (from - start).rem_euclid(24.0) + lasts > length)
            {
                self.add(
                    &hours,
                    "These hours go beyond \"working_hours\" of the plan.",
                    "Keep them within, or leave them out. A machine that burns fuel then runs in the working hours.",
                );
            }
        }
    }
}
