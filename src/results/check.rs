//! What was understood of a scenario.

use super::compare::{AssumptionData, Worth};
use super::limits::open_questions;
use super::{Answer, Block, Columns, Document, record};
use crate::evaluate::Assumption;
use crate::scenario::{Scenario, Understood, understood};
use crate::units::System;

/// A scenario without faults.
#[derive(Clone, Debug)]
pub struct Check {
    /// The scenario.
    pub scenario: Scenario,
    /// Notes about its weather.
    pub notices: Vec<String>,
    /// The setup that is dry first; none where none gets dry.
    pub setup: Option<String>,
    /// What was taken because it was not given, and what it is worth with that setup: the most days first. Empty with a walk, whose calendar
    /// moves along.
    pub assumptions: Vec<Assumption>,
}

record! {
    /// What was understood: `coatday/check/1`.
    CheckData(check: &Check) {
        schema: &'static str = "coatday/check/1",
        scenario: String = check.scenario.name.clone(),
        open_questions: Vec<String> = open_questions(&check.scenario),
        assumptions_with: Option<String> = check.setup.clone(),
        assumptions: Vec<AssumptionData> = check.assumptions.iter().map(AssumptionData::of).collect(),
        understood: Vec<Understood> = understood(&check.scenario),
        notices: Vec<String> = check.notices.clone(),
    }
}

impl Answer for Check {
    type Data = CheckData;

    fn data(&self) -> CheckData {
        CheckData::of(self)
    }

    fn document(&self, _: System) -> Document {
        let table = Columns::new()
            .left("What", |line: &Understood| line.label.clone())
            .left("US", |line| line.us.clone())
            .left("SI", |line| line.si.clone())
            .left("Note", |line| line.note.clone().unwrap_or_default())
            .rows(understood(&self.scenario));
        let taken = Worth {
            assumptions: self.assumptions.clone(),
            ..Worth::default()
        };
        let lines = taken.of_assumptions();
        let head = self.setup.as_deref().filter(|_| !lines.is_empty());
        let head = head.map(Worth::assumptions_head);
        let worth = head.into_iter().chain(lines).collect();
        Document::new(
            &self.scenario.name,
            vec![
                Block::List(open_questions(&self.scenario)),
                Block::List(worth),
                Block::Table(table),
                Block::Notes(self.notices.clone()),
            ],
        )
    }
}
