//! What was understood of a scenario.

use super::compare::{AssumptionData, Worth};
use super::limits::open_questions;
use super::{Answer, Block, Columns, Document, record};
use crate::evaluate::Assumption;
use crate::scenario::{Scenario, Understood, understood};
use crate::units::System;
use crate::units::format::{Said, all_said, echoed};

/// A scenario without faults.
#[derive(Clone, Debug)]
pub struct Check {
    /// The scenario.
    pub scenario: Scenario,
    /// Notes about its weather.
    pub notices: Vec<Said>,
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
        open_questions: Vec<String> = open_questions(&check.scenario).iter().map(|q| q.of(System::Si).to_owned()).collect(),
        assumptions_with: Option<String> = check.setup.clone(),
        assumptions: Vec<AssumptionData> = check.assumptions.iter().map(AssumptionData::of).collect(),
        understood: Vec<Understood> = understood(&check.scenario),
        notices: Vec<String> = all_said(&check.notices, System::Si),
    }
}

impl Answer for Check {
    type Data = CheckData;

    fn data(&self) -> CheckData {
        CheckData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let si = system == System::Si;
        let table = Columns::new()
            .left("What", |line: &Understood| line.label.clone())
            .left("Value", move |line| {
                echoed(if si { &line.si } else { &line.us })
            })
            .left("Note", |line| {
                echoed(line.note.as_deref().unwrap_or_default())
            })
            .rank(1)
            .rows(understood(&self.scenario));
        let taken = Worth {
            assumptions: self.assumptions.clone(),
            ..Worth::default()
        };
        let worth = self.setup.as_deref();
        let worth = worth.map_or_else(Vec::new, |setup| taken.of_assumptions(setup, system));
        let questions = open_questions(&self.scenario);
        let questions = questions.iter().map(|q| q.of(system).to_owned());
        Document::new(
            &self.scenario.name,
            vec![
                Block::List(questions.collect()),
                Block::List(worth),
                Block::Table(table),
                Block::Notes(all_said(&self.notices, system)),
            ],
        )
    }
}
