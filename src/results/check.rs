//! What was understood of a scenario.

use super::{Answer, Block, Document, TextTable, left, record};
use crate::scenario::{Scenario, Understood, understood};
use crate::units::System;

/// A scenario without faults.
#[derive(Clone, Copy, Debug)]
pub struct Check<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Notes about its weather.
    pub notices: &'a [String],
}

record! {
    /// What was understood: `coatday/check/1`.
    CheckData(check: &Check<'_>) {
        schema: &'static str = "coatday/check/1",
        scenario: String = check.scenario.name.clone(),
        understood: Vec<Understood> = understood(check.scenario),
        notices: Vec<String> = check.notices.to_vec(),
    }
}

impl Answer for Check<'_> {
    type Data = CheckData;

    fn data(&self) -> CheckData {
        CheckData::of(self)
    }

    fn document(&self, _: System) -> Document {
        let rows = understood(self.scenario)
            .into_iter()
            .map(|line| vec![line.label, line.us, line.si, line.note.unwrap_or_default()]);
        let table = TextTable::new(["What", "US", "SI", "Note"].map(left), rows);
        Document::new(
            &self.scenario.name,
            vec![Block::Table(table), Block::Notes(self.notices.to_vec())],
        )
    }
}
