//! The room, what is in it beside the gear, and the site's power.

use super::gear::Parts;
use super::{Echo, NOT_GIVEN};
use crate::scenario::defaults;
use crate::scenario::model::{
    Construction, Part, Phases, Room, Scenario, SitePower, WetMaterial, Work,
};
use crate::units::{Area, HeatLoss, UValue};

impl Echo {
    pub(super) fn room(&mut self, scenario: &Scenario) {
        let room = &scenario.room;
        let area = scenario.slab.area.si();
        self.both("room height", both!(room.height), None);
        match room.closed_in {
            Some(date) => self.say("closed in", &date.to_string(), None),
            None => self.say(
                "closed in",
                &scenario.drying_starts.to_string(),
                Some("the day drying starts, because not given"),
            ),
        }
        self.leakage(room);
        if let Some(loss) = room.heat_loss {
            self.both("heat loss", both!(loss), None);
        } else {
            given_or!(
                self,
                "U-value of walls and roof",
                room.u_value,
                UValue,
                defaults::U_VALUE
            );
            if let Some(envelope) = room.envelope_area {
                self.both("area of walls and roof", both!(envelope), None);
            } else {
                let envelope = Area::from_si(room.envelope_area_taken(area).round());
                self.both(
                    "area of walls and roof",
                    both!(envelope),
                    Some("a square room under its own roof, because not given"),
                );
            }
            let loss = HeatLoss::from_si(room.heat_loss_taken(area).round());
            self.both("heat loss", both!(loss), Some("from the two above"));
        }
        match room.start_temperature {
            Some(temperature) => {
                self.both("room temperature at the start", both!(temperature), None);
            }
            None => self.say(
                "room temperature at the start",
                "as outside",
                Some(NOT_GIVEN),
            ),
        }
        for opening in room.openings.iter().flatten() {
            let mut list = Parts::default();
            list.opening(opening);
            self.list("always open", &list);
        }
        self.sources(room);
        self.part(room);
    }

    fn leakage(&mut self, room: &Room) {
        let note = match (room.air_changes_per_hour, room.construction) {
            (Some(_), _) => None,
            (None, Some(Construction::PartlyOpen)) => Some("a partly open building"),
            (None, Some(Construction::SheetedOpenings)) => Some("sheeted openings"),
            (None, Some(Construction::ClosedShell)) => Some("a closed shell"),
            (None, Some(Construction::SealedShell)) => Some("a sealed shell"),
            (None, None) => Some(NOT_GIVEN),
        };
        self.say(
            "air changes per hour",
            &room.air_changes_per_hour_taken().to_string(),
            note,
        );
    }

    fn sources(&mut self, room: &Room) {
        for material in room.wet_materials.iter().flatten() {
            let mut list = Parts::default();
            let (note, from) = match material {
                WetMaterial::Drying(d) => {
                    list.quantity("water", Some(both!(d.water)));
                    list.quantity("time constant", Some(both!(d.time_constant)));
                    (&d.note, d.from)
                }
                WetMaterial::Steady(s) => {
                    list.quantity("gives", Some(both!(s.rate)));
                    list.quantity("for", s.lasts.map(|lasts| both!(lasts)));
                    (&s.note, s.from)
                }
            };
            list.dates(from, None);
            if let Some(note) = note {
                list.word(note.clone());
            }
            self.list("wet material", &list);
        }
        for people in room.people.iter().flatten() {
            let mut list = Parts::default();
            list.word(people.count.to_string());
            match people.work {
                Some(Work::Heavy) => list.word("heavy work"),
                Some(Work::Light) => list.word("light work"),
                None => list.defaults.push("light work".to_owned()),
            }
            match &people.hours {
                Some(hours) => list.word(format!("from {} h to {} h", hours.from, hours.to)),
                None => list.defaults.push("from 7 h to 16 h".to_owned()),
            }
            list.dates(people.from, people.until);
            self.list("people", &list);
        }
    }

    fn part(&mut self, room: &Room) {
        let (label, area, changes, u_value, gives) = match &room.part {
            None => return,
            Some(Part::Tent(t)) => {
                self.both("tent height", both!(t.height), None);
                (
                    "tent",
                    t.area,
                    t.air_changes_per_hour,
                    t.u_value,
                    t.rest_gives,
                )
            }
            Some(Part::Partition(p)) => {
                if let Some(length) = p.length {
                    self.both("partition length", both!(length), None);
                }
                (
                    "partition",
                    p.area,
                    p.air_changes_per_hour,
                    p.u_value,
                    p.rest_gives,
                )
            }
        };
        self.both(&format!("floor that is dried ({label})"), both!(area), None);
        self.say(
            &format!("{label}: air changes per hour with the rest"),
            &changes.unwrap_or(defaults::PART_AIR_CHANGES).to_string(),
            changes.is_none().then_some(NOT_GIVEN),
        );
        given_or!(
            self,
            &format!("{label}: U-value"),
            u_value,
            UValue,
            defaults::FILM_U_VALUE
        );
        let label = "water from the rest of the slab";
        match gives {
            Some(gives) => self.both(label, both!(gives), None),
            // Said in the round numbers of its source.
            None => self.both(
                label,
                ["5 lb/1000 ft2/24 h".to_owned(), "24.4 g/m2/day".to_owned()],
                Some(NOT_GIVEN),
            ),
        }
    }

    pub(super) fn power(&mut self, power: Option<&SitePower>) {
        let Some(power) = power else {
            self.say(
                "site power",
                "not checked",
                Some("not given: setups are not held against it"),
            );
            return;
        };
        for circuit in power.circuits.iter().flatten() {
            let mut list = Parts::default();
            list.word(format!("{} x", circuit.count.unwrap_or(1)));
            list.quantity("", Some(both!(circuit.voltage)));
            if circuit.phases == Some(Phases::Three) {
                list.word("three-phase");
            }
            list.quantity("breaker", Some(both!(circuit.breaker)));
            self.list("site circuit", &list);
        }
        if let Some(generator) = &power.generator {
            let mut list = Parts::default();
            list.quantity("", generator.power.map(|p| both!(p)));
            list.quantity("", generator.apparent_power.map(|p| both!(p)));
            self.list("site generator", &list);
        }
    }

    fn list(&mut self, label: &str, list: &Parts) {
        let note = (!list.defaults.is_empty())
            .then(|| format!("defaults because not given: {}", list.defaults.join(", ")));
        self.both(
            label,
            [list.us.join(", "), list.si.join(", ")],
            note.as_deref(),
        );
    }
}
