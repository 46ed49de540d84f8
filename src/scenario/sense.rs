//! What the shape of a scenario cannot say: the order of dates, keys that exclude or need each other, names that must differ.
//!
//! Works on the tree and not on the types: a scenario becomes its types only when nothing in it is wrong, and these faults are to come in
//! the same list as the others while some values still are. A heater that is given a wrong unit is told in the same breath that it has no
//! such key. Rules that are no more than "one of these two" stand beside the keys, as `x-one-of`.

mod at;
mod gear;
mod room;
mod walk;

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use self::at::At;
use super::coating_window::CoatingWindow;
use super::faults::Collector;
use super::json::Node;
use super::model::GIVE_UP_AFTER;
use crate::units::format::{fixed, percent};
use crate::units::{DAY, Kind, ranges};

/// Days beyond any limit in the table; keeps the sum within the calendar.
const MOST_DAYS: f64 = 10_000.0;
/// Most slag and fly ash together (common practice, no published source).
const MOST_SUPPLEMENTARY: f64 = 0.8;
/// Longest name, in characters: it stands in tables and on charts.
const LONGEST_NAME: usize = 80;

pub(crate) struct Sense<'a, 'c, 'f> {
    root: At<'a>,
    faults: &'f mut Collector<'c>,
}

impl<'a, 'c, 'f> Sense<'a, 'c, 'f> {
    pub(crate) fn of(root: &'a Node, faults: &'f mut Collector<'c>) -> Self {
        Self {
            root: At::root(root),
            faults,
        }
    }

    pub(crate) fn check(&mut self) {
        self.names();
        self.calendar();
        self.weather();
        self.power();
        self.slab();
        self.targets_that_pass();
        self.room();
        self.coating();
        self.walk();
        self.promised();
        for setup in self.root.list("setups") {
            for gear in setup.list("gear") {
                self.gear(&gear);
            }
        }
        self.on_hand();
    }

    fn add(&mut self, at: &At<'_>, message: impl Into<String>, help: impl Into<String>) {
        self.faults.add(&at.path, &at.node.span, message, help);
    }

    /// A fault at the opening brace of an object that lacks something.
    fn lacks(&mut self, at: &At<'_>, message: impl Into<String>, help: impl Into<String>) {
        let place = at.node.span.start..at.node.span.start + 1;
        self.faults.add(&at.path, &place, message, help);
    }

    fn names(&mut self) {
        for key in ["name", "promised.name"] {
            if let Some(name) = self.root.down(key) {
                self.name(&name);
            }
        }
        self.own_names("setups", "Give each setup its own name.");
        self.own_names("walk.areas", "Give each area its own name.");
    }

    /// Entries of a list have names that differ.
    fn own_names(&mut self, list: &str, help: &str) {
        let mut taken: BTreeMap<String, String> = BTreeMap::new();
        for entry in self.root.list(list) {
            let Some(name) = entry.get("name") else {
                continue;
            };
            self.name(&name);
            let Some(text) = name.text() else { continue };
            let plain = text.trim().to_lowercase();
            if let Some(first) = taken.get(&plain) {
                self.add(&name, format!("{first} has this name too."), help);
            } else {
                taken.insert(plain, entry.path);
            }
        }
    }

    fn name(&mut self, name: &At<'_>) {
        let Some(text) = name.text() else { return };
        if text.trim().is_empty() {
            self.add(
                name,
                "This name is empty.",
                "Write a few words that tell it from others.",
            );
        } else if text.chars().count() > LONGEST_NAME {
            self.add(
                name,
                format!("This name is longer than {LONGEST_NAME} characters."),
                "Shorten it and put the rest in a \"note\".",
            );
        } else if text.chars().any(char::is_control) {
            self.add(
                name,
                "This name contains control characters.",
                "Write it on one line without tabs.",
            );
        }
    }

    /// A day must not be earlier than another.
    fn order(&mut self, day: Option<At<'_>>, first: Option<&At<'_>>) {
        let name = first.map_or("", |first| &first.path);
        self.order_named(day, first, name);
    }

    fn order_named(&mut self, day: Option<At<'_>>, first: Option<&At<'_>>, name: &str) {
        if let (Some(day), Some(first)) = (day, first.and_then(At::date))
            && let Some(date) = day.date()
            && date < first
        {
            self.add(
                &day,
                format!("{date} is before {name}, {first}."),
                "Correct one of the two dates.",
            );
        }
    }

    /// Something stays from a day to another, by default from the start of drying.
    fn stay(&mut self, thing: &At<'_>, starts: Option<&At<'_>>) {
        let from = thing.get("from");
        match &from {
            Some(_) => self.order_named(thing.get("until"), from.as_ref(), "its \"from\""),
            None => self.order(thing.get("until"), starts),
        }
    }

    fn calendar(&mut self) {
        let placed = self.root.down("slab.placed");
        let starts = self.root.get("gear_on");
        let needed = self.root.get("needed_by");
        self.order(starts.clone(), placed.as_ref());
        self.order(needed.clone(), starts.as_ref());
        if let (Some(closed), Some(starts)) = (
            self.root.down("room.enclosed"),
            starts.as_ref().and_then(At::date),
        ) && let Some(day) = closed.date()
            && day > starts
        {
            self.add(
                &closed,
                format!("{day} is after gear_on, {starts}."),
                format!(
                    "Gear cannot dry an open building. Set \"gear_on\" to \"{day}\" or later, or enclose the building sooner."
                ),
            );
        }
        if let (Some(needed), Some(end)) = (needed, self.end_of_search(0))
            && needed.date().is_some_and(|day| day > end)
        {
            self.add(
                &needed,
                format!("The search ends on {end}, before this date."),
                "Raise \"give_up_after\", for example to \"730 days\".",
            );
        }
    }

    /// The last day of the search and so many more, if it can be told.
    fn end_of_search(&self, more: i64) -> Option<Date> {
        let length = match self.root.get("give_up_after") {
            None => GIVE_UP_AFTER.si(),
            Some(given) => given.amount(Kind::Duration)?,
        };
        let days = (length / DAY).clamp(0.0, MOST_DAYS) as i64 + more;
        let starts = self.root.get("gear_on")?.date()?;
        starts.checked_add(days.days()).ok()
    }

    fn weather(&mut self) {
        if let Some(place) = self.root.down("site.weather.place")
            && let Some(text) = place.text()
            && let Err(fault) = crate::weather::places::find(text)
        {
            self.add(&place, fault.message, fault.help);
        }
        let Some(normals) = self.root.down("site.weather.by_month") else {
            return;
        };
        let means = normals.list("mean_temperature");
        for (mean, dew_point) in means.iter().zip(normals.list("dew_point")) {
            if let (Some(mean), Some(dew)) = (
                mean.amount(Kind::Temperature),
                dew_point.amount(Kind::Temperature),
            ) && dew > mean
            {
                self.add(
                    &dew_point,
                    "The dew point lies above the mean temperature of the month.",
                    "Check the month and the units; air cannot hold more water than at its own temperature.",
                );
            }
        }
    }

    /// The ratio, or the ticket's water and cement, and not both.
    fn mix(&mut self) {
        let Some(water) = self.root.down("slab.mixing_water") else {
            return;
        };
        if self.root.down("slab.water_cement_ratio").is_some() {
            self.add(
                &water,
                "The water-cement ratio is given too.",
                "Keep one of them: the ratio, or the ticket's water and cement.",
            );
        }
        let Some(cement) = self.root.down("slab.cement_content") else {
            return self.add(
                &water,
                "The ticket's water says nothing without its cement.",
                "Add \"cement_content\" from the same ticket, or leave out \"mixing_water\".",
            );
        };
        if let (Some(w), Some(c)) = (water.amount(Kind::Density), cement.amount(Kind::Density))
            && let Some(limit) = ranges::find("water-cement ratio")
            && !limit.holds(w / c)
        {
            self.add(
                &water,
                format!("With this cement the water-cement ratio is {}. {}", fixed(w / c, 2), limit.in_words()),
                "Check both against the ticket: water of the whole batch or of a cubic yard, all cementitious material, the same units.",
            );
        }
    }

    /// Slag and fly ash together leave some Portland cement.
    fn supplementary(&mut self) {
        let share = |key: &str| {
            Some((
                self.root.down(key)?,
                self.root.down(key)?.amount(Kind::Fraction)?,
            ))
        };
        if let (Some((_, slag)), Some((at, ash))) = (share("slab.slag"), share("slab.fly_ash"))
            && slag + ash > MOST_SUPPLEMENTARY
        {
            self.add(
                &at,
                format!(
                    "Slag and fly ash make {} of the cement.",
                    percent(slag + ash)
                ),
                format!(
                    "Floors have at most {}. Give each as a share of all cementitious material.",
                    percent(MOST_SUPPLEMENTARY)
                ),
            );
        }
    }

    fn slab(&mut self) {
        let placed = self.root.down("slab.placed");
        self.order(self.root.down("slab.prepared.date"), placed.as_ref());
        self.mix();
        self.supplementary();
        for wetting in self.root.list("slab.wettings") {
            self.order(wetting.get("date"), placed.as_ref());
        }
        if self
            .root
            .down("slab.aggregate")
            .is_some_and(|a| a.is("lightweight"))
        {
            for dish in self
                .root
                .list("targets")
                .iter()
                .filter_map(|t| t.get("emission_rate"))
            {
                self.add(
                    &dish,
                    "The dish test is not for lightweight concrete (ASTM F1869).",
                    "Take \"relative_humidity_at_depth\".",
                );
            }
        }
    }

    /// Some target must be able to pass a floor by itself.
    fn targets_that_pass(&mut self) {
        let targets = self.root.list("targets");
        let (mut sheets, mut dishes, mut others) = (Vec::new(), Vec::new(), 0);
        for target in &targets {
            match (target.get("plastic_sheet"), target.get("emission_rate")) {
                (Some(sheet), _) => sheets.push(sheet),
                (None, Some(dish)) => dishes.push(dish),
                (None, None) => others += 1,
            }
        }
        if others > 0 {
            return;
        }
        let help = "Add the limit of the coating's data sheet for a probe, such as { \"relative_humidity_at_depth\": { \"limit\": \"75 %\" } }.";
        if let Some(dish) = dishes.first() {
            self.add(
                dish,
                "A dish cannot be the only test. It draws its water from the very top of the slab and says little about the depth.",
                help,
            );
        } else if let Some(sheet) = sheets.first() {
            self.add(
                sheet,
                "A plastic sheet cannot pass a floor. A wet sheet shows that water is there (ASTM D4263), but a dry one does not show that it is not.",
                help,
            );
        }
    }

    /// The window of temperatures must be open.
    fn coating(&mut self) {
        let Some(coating) = self.root.get("coating") else {
            return;
        };
        let usual = CoatingWindow::of(None);
        let degrees = |key: &str, usual: f64| match coating.get(key) {
            None => Some(usual),
            Some(given) => given.amount(Kind::Temperature),
        };
        let given = ["highest_temperature", "lowest_temperature"]
            .into_iter()
            .find_map(|key| coating.get(key));
        if let (Some(given), Some(low), Some(high)) = (
            given,
            degrees("lowest_temperature", usual.lowest_temperature.value),
            degrees("highest_temperature", usual.highest_temperature.value),
        ) && low >= high
        {
            let taken = [usual.lowest_temperature, usual.highest_temperature];
            let [low, high] = taken.map(|taken| crate::units::Temperature::from_si(taken.value));
            self.add(
                &given,
                "The lowest temperature is not below the highest.",
                format!(
                    "Give both from the coating's data sheet. Without them {} and {} ({} and {}) are assumed.",
                    low.in_us(), high.in_us(), low.in_si(), high.in_si()
                ),
            );
        }
    }

    /// What was promised names a setup that is there; its days are in order.
    fn promised(&mut self) {
        let Some(promised) = self.root.get("promised") else {
            return;
        };
        if let Some(setup) = promised.get("setup")
            && let Some(wanted) = setup.text()
        {
            let named = |entry: &At<'_>| entry.get("name").is_some_and(|name| name.is(wanted));
            if !self.root.list("setups").iter().any(named) {
                self.add(
                    &setup,
                    "There is no setup of this name.",
                    "Write the \"name\" of one of the setups. The gear as planned may be a setup of its own.",
                );
            }
        }
        let placed = self.root.down("slab.placed");
        let (closed, starts) = (promised.get("enclosed"), promised.get("gear_on"));
        self.order(closed.clone(), placed.as_ref());
        self.order(starts.clone(), placed.as_ref());
        self.order(starts, closed.as_ref());
    }
}
