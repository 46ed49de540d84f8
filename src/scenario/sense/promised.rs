//! What the shape of a promise cannot say.

use super::{Sense, date_of};
use crate::scenario::json::Node;

impl Sense<'_, '_> {
    /// Names a setup that is there; its days are in order.
    pub(super) fn promised(&mut self) {
        let Some(promised) = self.part("promised") else {
            return;
        };
        if let Some(node) = promised.get("name") {
            self.name("promised.name", node);
        }
        if let Some((node, wanted)) = promised.get("setup").and_then(|n| Some((n, n.text()?))) {
            let there = self
                .setups()
                .iter()
                .filter_map(|setup| setup.get("name").and_then(Node::text))
                .any(|name| name == wanted);
            if !there {
                self.add(
                    "promised.setup",
                    node,
                    "No setup has this name.",
                    "Write it as the \"name\" of one of the setups; the gear as planned may stand there as a setup of its own.",
                );
            }
        }
        let placed = self.part("slab").and_then(|slab| slab.get("placed"));
        let (closed, starts) = (promised.get("closed_in"), promised.get("drying_starts"));
        self.order("promised.closed_in", closed, placed, "slab.placed");
        self.order("promised.drying_starts", starts, placed, "slab.placed");
        if date_of(starts) < date_of(closed) {
            self.order(
                "promised.drying_starts",
                starts,
                closed,
                "promised.closed_in",
            );
        }
    }
}
