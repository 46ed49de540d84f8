//! What the shape of a scenario cannot say: the order of dates, keys that exclude or need each other, names that must differ.
//!
//! Works on the tree and not on the types: a scenario becomes its types only when nothing in it is wrong, and these faults are to come in
//! the same list as the others while some values still are. A heater that is given a wrong unit is told in the same breath that it has no
//! such key. Rules that are no more than "one of these two" stand beside the keys, as `x-one-of`.

mod coating;
mod gear;
mod plan;
mod promised;
mod room;
mod walk;

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use super::faults::Collector;
use super::json::{Node, Value};
use super::model::GIVE_UP_AFTER;
use super::shape::as_date;
use crate::units::{DAY, Kind};

/// Days beyond any limit in the table; keeps the sum within the calendar.
const MOST_DAYS: f64 = 10_000.0;
/// Longest time from placing to the end of the search that is followed, years: the weather's own limit.
const MOST_YEARS: i32 = 20;
/// Years after which a floor has lost the water of its mix, for the advice: thick slabs from one side take some five (engineering
/// judgement).
const MEMORY_YEARS: i32 = 10;
/// Longest name, in characters: it stands in tables and on charts.
const LONGEST_NAME: usize = 80;

pub(crate) struct Sense<'a, 'c> {
    pub(crate) root: &'a Node,
    pub(crate) faults: &'a mut Collector<'c>,
}

impl<'a> Sense<'a, '_> {
    pub(crate) fn check(&mut self) {
        self.names();
        self.calendar();
        self.weather();
        self.power();
        self.slab();
        self.dish_on_lightweight();
        self.room();
        self.coating();
        self.walk();
        self.promised();
        for (number, setup) in self.setups().iter().enumerate() {
            for (position, gear) in setup
                .get("gear")
                .map_or(&[][..], Node::items)
                .iter()
                .enumerate()
            {
                self.gear(gear, &format!("setups[{number}].gear[{position}]"));
            }
        }
        self.on_hand();
        self.working_hours();
    }

    /// Gear to choose from obeys the rules of gear in setups; when it comes and goes is for the plan to choose.
    fn on_hand(&mut self) {
        let list = self.part("plan").and_then(|plan| plan.get("on_hand"));
        for (number, entry) in list.map_or(&[][..], Node::items).iter().enumerate() {
            let Some(gear) = entry.get("gear") else {
                continue;
            };
            let path = format!("plan.on_hand[{number}].gear");
            self.gear(gear, &path);
            let Value::Object(members) = &gear.value else {
                continue;
            };
            for member in members {
                for key in ["from", "until"] {
                    if let Some(day) = member.value.get(key) {
                        self.add(
                            &format!("{path}.{}.{key}", member.key),
                            day,
                            "When gear to choose from comes and goes is for the plan to find.",
                            "Leave this key out.",
                        );
                    }
                }
            }
        }
    }

    fn part(&self, key: &str) -> Option<&'a Node> {
        self.root.get(key)
    }

    fn setups(&self) -> &'a [Node] {
        self.part("setups").map_or(&[], Node::items)
    }

    fn add(
        &mut self,
        path: &str,
        node: &Node,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.faults.add(path, &node.span, message, help);
    }

    fn names(&mut self) {
        let mut taken: BTreeMap<String, usize> = BTreeMap::new();
        if let Some(node) = self.part("name") {
            self.name("name", node);
        }
        for (number, setup) in self.setups().iter().enumerate() {
            let Some(node) = setup.get("name") else {
                continue;
            };
            let path = format!("setups[{number}].name");
            self.name(&path, node);
            let Some(text) = node.text() else { continue };
            let plain = text.trim().to_lowercase();
            if let Some(first) = taken.get(&plain) {
                self.add(
                    &path,
                    node,
                    format!("setups[{first}] has this name too."),
                    "Give every setup a name of its own.",
                );
            } else {
                taken.insert(plain, number);
            }
        }
    }

    fn name(&mut self, path: &str, node: &Node) {
        let Some(text) = node.text() else { return };
        if text.trim().is_empty() {
            self.add(
                path,
                node,
                "This name is empty.",
                "Write a few words that tell it from others.",
            );
        } else if text.chars().count() > LONGEST_NAME {
            self.add(
                path,
                node,
                format!("This name is longer than {LONGEST_NAME} characters."),
                "Shorten it and put the rest in a \"note\".",
            );
        } else if text.chars().any(char::is_control) {
            self.add(
                path,
                node,
                "This name contains control characters.",
                "Write it on one line without tabs.",
            );
        }
    }

    /// `node` must not be earlier than `first`.
    fn order(&mut self, path: &str, node: Option<&Node>, first: Option<&Node>, first_path: &str) {
        if let (Some(node), Some(date), Some(first)) = (node, date_of(node), date_of(first))
            && date < first
        {
            self.add(
                path,
                node,
                format!("{date} is before {first_path}, {first}."),
                "Correct one of the two dates.",
            );
        }
    }

    fn calendar(&mut self) {
        let placed = self.part("slab").and_then(|slab| slab.get("placed"));
        let starts = self.part("drying_starts");
        let needed = self.part("needed_by");
        self.order("drying_starts", starts, placed, "slab.placed");
        self.order("needed_by", needed, starts, "drying_starts");
        self.age(placed, starts);
        if let (Some(closed), Some(closed_date), Some(starts)) = (
            self.part("room").and_then(|room| room.get("closed_in")),
            date_of(self.part("room").and_then(|room| room.get("closed_in"))),
            date_of(starts),
        ) && closed_date > starts
        {
            let help = "Gear cannot dry an open building: start drying on the day it is closed in, or later.";
            self.add(
                "room.closed_in",
                closed,
                format!("{closed_date} is after drying_starts, {starts}."),
                help,
            );
        }
        if let (Some(limit), Some(starts), Some(needed), Some(needed_date)) =
            (self.search(), date_of(starts), needed, date_of(needed))
            && let Ok(end) = starts.checked_add(((limit / DAY).clamp(0.0, MOST_DAYS) as i64).days())
            && needed_date > end
        {
            self.add(
                "needed_by",
                needed,
                format!("The search ends on {end}, before this date."),
                "Raise \"give_up_after\" so that the search reaches the date.",
            );
        }
    }

    /// Length of the search \[s\], if it can be read.
    fn search(&self) -> Option<f64> {
        match self.part("give_up_after") {
            None => Some(GIVE_UP_AFTER.si()),
            Some(node) => node.amount(Kind::Duration),
        }
    }

    /// A quantity of the slab.
    fn slab_amount(&self, key: &str, kind: Kind) -> Option<f64> {
        self.part("slab")?.get(key)?.amount(kind)
    }

    /// A fault at the opening brace of an object that lacks something.
    fn lacks(
        &mut self,
        path: &str,
        node: &Node,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let place = node.span.start..node.span.start + 1;
        self.faults.add(path, &place, message, help);
    }

    /// The clock starts on the day of placing and carries the slab to the last day looked at.
    fn age(&mut self, placed: Option<&Node>, starts: Option<&Node>) {
        if let (Some(limit), Some(node), Some(placed), Some(starts)) =
            (self.search(), placed, date_of(placed), date_of(starts))
            && let Ok(end) =
                starts.checked_add(((limit / DAY).clamp(0.0, MOST_DAYS) as i64 + 1).days())
            && placed
                .checked_add(MOST_YEARS.years())
                .is_ok_and(|last| end > last)
        {
            let help = format!(
                "Give a later day: what a slab remembers after {MEMORY_YEARS} years or more is its last soaking, not its placing, so put \"placed\" some {MEMORY_YEARS} years before \"drying_starts\", \"room.closed_in\" soon after it, and name the water since then under \"wettings\"."
            );
            self.add(
                "slab.placed",
                node,
                format!(
                    "The slab is followed from this day to the end of the search, {end}, and that is more than {MOST_YEARS} years."
                ),
                help,
            );
        }
    }

    fn weather(&mut self) {
        let Some(normals) = self
            .part("site")
            .and_then(|site| site.get("weather"))
            .and_then(|weather| weather.get("monthly_normals"))
        else {
            return;
        };
        let path = "site.weather.monthly_normals";
        let degrees = |node: &Node| node.amount(Kind::Temperature);
        let (Some(means), Some(dew_points)) =
            (normals.get("mean_temperature"), normals.get("dew_point"))
        else {
            return;
        };
        for (month, (mean, dew_point)) in means.items().iter().zip(dew_points.items()).enumerate() {
            if let (Some(mean), Some(dew)) = (degrees(mean), degrees(dew_point))
                && dew > mean
            {
                let help = "Check the month and the units; air cannot hold more water than at its own temperature.";
                self.add(
                    &format!("{path}.dew_point[{month}]"),
                    dew_point,
                    "The dew point lies above the mean temperature of the month.",
                    help,
                );
            }
        }
    }

    fn slab(&mut self) {
        let Some(slab) = self.part("slab") else {
            return;
        };
        let placed = slab.get("placed");
        if let Some(prepared) = slab.get("prepared") {
            self.order(
                "slab.prepared.date",
                prepared.get("date"),
                placed,
                "slab.placed",
            );
        }
        for (number, wetting) in slab
            .get("wettings")
            .map_or(&[][..], Node::items)
            .iter()
            .enumerate()
        {
            let path = format!("slab.wettings[{number}]");
            self.order(
                &format!("{path}.date"),
                wetting.get("date"),
                placed,
                "slab.placed",
            );
        }
    }

    fn dish_on_lightweight(&mut self) {
        let light = self
            .part("slab")
            .and_then(|slab| slab.get("aggregate"))
            .and_then(Node::text)
            == Some("lightweight");
        let targets = self.part("targets").map_or(&[][..], Node::items);
        for (number, target) in targets.iter().enumerate() {
            if let Some(dish) = target.get("emission_rate").filter(|_| light) {
                self.add(
                    &format!("targets[{number}].emission_rate"),
                    dish,
                    "The dish test is not for lightweight concrete (ASTM F1869).",
                    "Take \"relative_humidity_at_depth\".",
                );
            }
        }
    }
}

fn date_of(node: Option<&Node>) -> Option<Date> {
    as_date(node?.text()?)
}
