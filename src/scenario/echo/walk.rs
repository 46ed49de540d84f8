//! The lines of the walk.

use super::{Echo, NOT_GIVEN};
use crate::scenario::defaults;
use crate::scenario::model::{
    Dust, Method, OldCoating, Order, Scenario, Substrate, Ventilation, Walk, Wash, Water, WoodKind,
    WorkingDays,
};
use crate::units::{Area, Fraction, Length, WaterDepth};

impl Echo {
    pub(super) fn walk(&mut self, scenario: &Scenario) {
        let Some(walk) = &scenario.walk else { return };
        for area in &walk.areas {
            let label = format!("area {}", area.name);
            let what = match &area.substrate {
                Substrate::Concrete => "concrete: a part of the slab".to_owned(),
                Substrate::Metal => "metal".to_owned(),
                Substrate::Wood(wood) => format!(
                    "wood: {}",
                    match wood.kind_taken() {
                        WoodKind::Plywood => "plywood",
                        WoodKind::OldDryPlywood => "old, dry plywood",
                        WoodKind::Boards => "boards",
                    }
                ),
            };
            self.say(&label, &what, None);
            match area.size {
                Some(size) => self.both("  size", both!(size), None),
                None => self.both(
                    "  size",
                    both!(Area::from_si(area.size_taken())),
                    Some("from the outline, because not given"),
                ),
            }
            let note = match (area.perimeter, &area.outline) {
                (Some(_), _) => None,
                (None, Some(_)) => Some("from the outline, because not given"),
                (None, None) => Some("that of a square, because not given"),
            };
            let edges = area
                .perimeter
                .unwrap_or_else(|| Length::from_si(area.perimeter_taken()));
            self.both("  edges", both!(edges), note);
            if let Substrate::Wood(wood) = &area.substrate {
                match wood.moisture_content {
                    Some(content) => self.both("  moisture content", both!(content), None),
                    None => self.say("  moisture content", "not measured", None),
                }
                given_or!(
                    self,
                    "  moisture content allowed",
                    wood.moisture_limit,
                    Fraction,
                    defaults::WOOD_MOISTURE_LIMIT
                );
            }
        }
        let count = walk.findings.as_ref().map_or(0, Vec::len);
        self.say(
            "findings",
            &match &walk.findings_csv {
                Some(file) => format!("{count}, and the table {file}"),
                None => count.to_string(),
            },
            None,
        );
        self.preparation(walk);
        self.people(scenario, walk);
    }

    fn preparation(&mut self, walk: &Walk) {
        self.say(
            "surface profile wanted",
            &format!("CSP {}", walk.wanted_profile_taken()),
            walk.wanted_profile.is_none().then_some(NOT_GIVEN),
        );
        match walk.method {
            Some(method) => self.say(
                "method",
                match method {
                    Method::VacuumGrinding => "vacuum grinding",
                    Method::ShotBlasting => "shot blasting",
                    Method::Scarifying => "scarifying",
                    Method::ChemicalEtch => "chemical etch",
                },
                None,
            ),
            None => self.say(
                "method",
                "the one that fits and leads to the earliest coating day",
                Some(NOT_GIVEN),
            ),
        }
        let wash = match walk.wash {
            None | Some(Wash::None) => "not washed",
            Some(Wash::PowerWash) => "power wash",
        };
        self.say("washing", wash, walk.wash.is_none().then_some(NOT_GIVEN));
        let order = match walk.order {
            None | Some(Order::WashFirst) => "washed before the face is opened",
            Some(Order::WashLast) => "washed after the face is opened",
        };
        self.say("order", order, walk.order.is_none().then_some(NOT_GIVEN));
        let old = match walk.old_coating {
            None | Some(OldCoating::ByMachine) => "off by machine",
            Some(OldCoating::ByStripper) => "off by stripper",
        };
        self.say(
            "old coating",
            old,
            walk.old_coating.is_none().then_some(NOT_GIVEN),
        );
        given_or!(
            self,
            "water left by washing",
            walk.water_left,
            WaterDepth,
            defaults::WATER_LEFT
        );
        let site = walk.site.clone().unwrap_or_default();
        let dust = match site.dust {
            Some(Dust::None) => "none",
            None | Some(Dust::WithVacuum) => "what a vacuum lets by",
            Some(Dust::Any) => "any",
        };
        self.say(
            "dust allowed",
            dust,
            site.dust.is_none().then_some(NOT_GIVEN),
        );
        let air = match site.ventilation {
            None | Some(Ventilation::Good) => "good",
            Some(Ventilation::Poor) => "poor",
        };
        self.say(
            "ventilation",
            air,
            site.ventilation.is_none().then_some(NOT_GIVEN),
        );
        let water = match site.water {
            None | Some(Water::Allowed) => "allowed",
            Some(Water::NotAllowed) => "not allowed",
        };
        self.say(
            "water on site",
            water,
            site.water.is_none().then_some(NOT_GIVEN),
        );
        match site.power {
            Some(power) => self.both("power for one machine", both!(power), None),
            None => self.say("power for one machine", "enough", Some(NOT_GIVEN)),
        }
    }

    fn people(&mut self, scenario: &Scenario, walk: &Walk) {
        self.say(
            "preparation starts",
            &scenario.preparation_starts_taken().to_string(),
            walk.preparation_starts
                .is_none()
                .then_some("the day drying starts, because not given"),
        );
        let (from, to) = walk.hours_taken();
        let days = match walk.days_taken() {
            WorkingDays::MondayToFriday => "Monday to Friday",
            WorkingDays::MondayToSaturday => "Monday to Saturday",
            WorkingDays::EveryDay => "every day",
        };
        let off = walk
            .working_time
            .as_ref()
            .and_then(|time| time.days_off.as_ref())
            .map_or(String::new(), |off| format!(", {} days off", off.len()));
        self.say(
            "working time",
            &format!("{days}, {from} to {to} h{off}"),
            walk.working_time.is_none().then_some(NOT_GIVEN),
        );
        let crews = walk.crews.unwrap_or(1);
        self.say(
            "people",
            &format!("{crews} crew(s) of {}", walk.crew_taken()),
            (walk.crew.is_none() || walk.crews.is_none()).then_some("defaults where not given"),
        );
        match walk.labour {
            Some(price) => self.both("labour", both!(price), None),
            None => self.say(
                "labour",
                "none",
                Some("not given: not counted, and costs leave it out"),
            ),
        }
        for hire in walk.hire.iter().flatten() {
            let label = format!("hire for {}", word(&hire.method));
            self.both(&label, both!(hire.price_per_day), None);
        }
        for choice in walk.materials.iter().flatten() {
            let mut us = Vec::new();
            let mut si = Vec::new();
            let packs = [
                choice.volume.map(|v| both!(v)),
                choice.area.map(|v| both!(v)),
                choice.length.map(|v| both!(v)),
                choice.price.map(|v| both!(v)),
                choice.waste.map(|v| {
                    [
                        format!("waste {}", v.in_us()),
                        format!("waste {}", v.in_si()),
                    ]
                }),
            ];
            for [in_us, in_si] in packs.into_iter().flatten() {
                us.push(in_us);
                si.push(in_si);
            }
            self.both(
                &format!("  {}", word(&choice.material)),
                [us.join(", "), si.join(", ")],
                None,
            );
        }
        for rate in walk.work_rates.iter().flatten() {
            let given = rate
                .area
                .map(|v| both!(v))
                .or(rate.length.map(|v| both!(v)))
                .or(rate.volume.map(|v| both!(v)));
            if let Some([us, si]) = given {
                let label = format!("  {}, one person in an hour", word(&rate.work));
                self.both(&label, [us, si], None);
            }
        }
    }
}

/// The word of the scenario, in plain letters.
fn word(value: &impl serde::Serialize) -> String {
    serde_json::to_value(value)
        .ok()
        .and_then(|v| v.as_str().map(|s| s.replace('_', " ")))
        .unwrap_or_default()
}
