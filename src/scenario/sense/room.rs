//! The room, what is in it beside the gear, and the site's power.

use super::Sense;
use super::at::At;
use crate::units::Kind;

impl Sense<'_, '_, '_> {
    pub(super) fn room(&mut self) {
        let Some(room) = self.root.get("room") else {
            return;
        };
        if room.has("heat_loss") {
            for (key, given) in ["u_value", "envelope_area"].map(|key| (key, room.get(key))) {
                if let Some(given) = given {
                    self.add(
                        &given,
                        format!(
                            "\"{key}\" is given together with \"heat_loss\", which already contains it."
                        ),
                        "Keep \"heat_loss\", or \"u_value\" with \"envelope_area\".",
                    );
                }
            }
        }
        if let (true, Some(changes)) = (room.has("construction"), room.get("air_changes_per_hour"))
        {
            self.add(
                &changes,
                "\"construction\" and \"air_changes_per_hour\" are both given.",
                "Give one of the two.",
            );
        }
        let placed = self.root.down("slab.placed");
        let starts = self.root.get("gear_on");
        for (_, material) in room.list("wet_materials").iter().filter_map(At::kind) {
            self.order(material.get("from"), placed.as_ref());
        }
        for people in room.list("people") {
            self.order(people.get("from"), placed.as_ref());
            self.stay(&people, starts.as_ref());
            self.clock(people.get("hours"));
        }
        if let Some((_, part)) = room.get("part").as_ref().and_then(At::kind) {
            self.closed_off(&room, &part);
        }
    }

    /// A part of the room that is closed off.
    fn closed_off(&mut self, room: &At<'_>, part: &At<'_>) {
        let floor = self.root.amount_of("slab.area", Kind::Area);
        if let (Some(area), Some(floor)) = (part.get("area"), floor)
            && area.amount(Kind::Area).is_some_and(|area| area >= floor)
        {
            self.add(
                &area,
                "The part is not smaller than the slab.",
                "Give the floor area that is closed off, or leave \"part\" out to dry the whole room.",
            );
        }
        let ceiling = room.amount_of("height", Kind::Length);
        if let (Some(height), Some(ceiling)) = (part.get("height"), ceiling)
            && height
                .amount(Kind::Length)
                .is_some_and(|height| height > ceiling)
        {
            self.add(
                &height,
                "The tent is higher than the room.",
                "Correct one of the two heights, or give a \"partition\".",
            );
        }
        if let Some(openings) = room.get("openings") {
            self.add(
                &openings,
                "The openings of a room do not count while a part of it is closed off.",
                "Give the leakage of the room instead, with \"air_changes_per_hour\" or \"construction\".",
            );
        }
    }

    pub(super) fn power(&mut self) {
        if let Some(power) = self.root.down("site.power")
            && !power.has("circuits")
            && !power.has("generator")
        {
            self.lacks(
                &power,
                "\"circuits\" or \"generator\" is missing.",
                "Give what the site has, or leave \"power\" out.",
            );
        }
    }
}
