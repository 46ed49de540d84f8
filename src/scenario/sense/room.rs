//! The room, what is in it beside the gear, and the site's power.

use super::Sense;
use crate::scenario::json::Node;
use crate::units::Kind;

impl Sense<'_, '_> {
    pub(super) fn room(&mut self) {
        let Some(room) = self.part("room") else {
            return;
        };
        if room.get("heat_loss").is_some() {
            for key in ["u_value", "envelope_area"] {
                if let Some(node) = room.get(key) {
                    let message = format!(
                        "\"{key}\" is given together with \"heat_loss\", which already contains it."
                    );
                    self.add(
                        &format!("room.{key}"),
                        node,
                        message,
                        "Keep \"heat_loss\", or \"u_value\" with \"envelope_area\".",
                    );
                }
            }
        }
        if room.get("construction").is_some()
            && let Some(node) = room.get("air_changes_per_hour")
        {
            self.add(
                "room.air_changes_per_hour",
                node,
                "\"construction\" and \"air_changes_per_hour\" are both given.",
                "Give one of the two.",
            );
        }
        let placed = self.part("slab").and_then(|slab| slab.get("placed"));
        let starts = self.part("drying_starts");
        for (number, material) in items(room, "wet_materials") {
            for kind in ["drying", "steady"] {
                let from = material.get(kind).and_then(|m| m.get("from"));
                self.order(
                    &format!("room.wet_materials[{number}].{kind}.from"),
                    from,
                    placed,
                    "slab.placed",
                );
            }
        }
        for (number, people) in items(room, "people") {
            let path = format!("room.people[{number}]");
            let from = people.get("from");
            self.order(&format!("{path}.from"), from, placed, "slab.placed");
            let (first, name) = match from {
                Some(_) => (from, "its \"from\""),
                None => (starts, "drying_starts"),
            };
            self.order(&format!("{path}.until"), people.get("until"), first, name);
            self.clock(people.get("hours"), &format!("{path}.hours"));
        }
        self.closed_off(room);
    }

    /// A part of the room that is closed off.
    fn closed_off(&mut self, room: &Node) {
        let Some(part) = room.get("part") else { return };
        let floor = self.slab_amount("area", Kind::Area);
        let ceiling = room
            .get("height")
            .and_then(|node| node.amount(Kind::Length));
        for kind in ["tent", "partition"] {
            let Some(part) = part.get(kind) else { continue };
            let path = format!("room.part.{kind}");
            if let (Some(node), Some(area), Some(floor)) = (
                part.get("area"),
                part.get("area").and_then(|node| node.amount(Kind::Area)),
                floor,
            ) && area >= floor
            {
                self.add(
                    &format!("{path}.area"),
                    node,
                    "The part is not smaller than the slab.",
                    "Give the floor that is closed off, or leave \"part\" out to dry the whole room.",
                );
            }
            if let (Some(node), Some(height), Some(ceiling)) = (
                part.get("height"),
                part.get("height")
                    .and_then(|node| node.amount(Kind::Length)),
                ceiling,
            ) && height > ceiling
            {
                self.add(
                    &format!("{path}.height"),
                    node,
                    "The tent is higher than the room.",
                    "Correct one of the two heights, or give a \"partition\".",
                );
            }
        }
        if let Some(node) = room.get("openings") {
            self.add(
                "room.openings",
                node,
                "Openings of the room are not followed while a part of it is closed off.",
                "Give the leakage of the room with \"air_changes_per_hour\" or \"construction\" in their place.",
            );
        }
    }

    pub(super) fn power(&mut self) {
        let Some(power) = self.part("site").and_then(|site| site.get("power")) else {
            return;
        };
        if power.get("circuits").is_none() && power.get("generator").is_none() {
            self.lacks(
                "site.power",
                power,
                "\"circuits\" or \"generator\" is missing.",
                "Give what the site has, or leave \"power\" out.",
            );
        }
    }
}

fn items<'n>(room: &'n Node, key: &str) -> impl Iterator<Item = (usize, &'n Node)> {
    room.get(key)
        .map_or(&[][..], Node::items)
        .iter()
        .enumerate()
}
