//! What the shape of a coating's limits cannot say.

use super::Sense;
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::json::Node;
use crate::units::Kind;

impl Sense<'_, '_> {
    /// The window of temperatures must be open.
    pub(super) fn coating(&mut self) {
        let Some(coating) = self.part("coating") else {
            return;
        };
        let usual = CoatingWindow::of(None);
        let degrees = |key: &str, usual: f64| match coating.get(key) {
            None => Some(usual),
            Some(node) => node.amount(Kind::Temperature),
        };
        let node: Option<(&str, &Node)> = ["highest_temperature", "lowest_temperature"]
            .into_iter()
            .find_map(|key| coating.get(key).map(|node| (key, node)));
        if let (Some((key, node)), Some(low), Some(high)) = (
            node,
            degrees("lowest_temperature", usual.lowest_temperature.value),
            degrees("highest_temperature", usual.highest_temperature.value),
        ) && low >= high
        {
            self.add(
                &format!("coating.{key}"),
                node,
                "The lowest temperature is not below the highest.",
                "Give both from the coating's data sheet; without them 10 degC and 32 degC (50 degF and 90 degF) are taken.",
            );
        }
    }
}
