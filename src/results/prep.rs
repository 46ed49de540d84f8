//! A prepared floor: findings, methods, calendar, shopping list, and the coating day they lead to.

mod charts;
mod data;
mod floor;
mod tables;

pub use data::PrepData;
pub use floor::PreparedFloor;
pub use tables::{methods, notes, shopping, shopping_csv};

use super::limits;
use super::{Answer, Block, Document, verdict};
use crate::preparation::{Prepared, materials};
use crate::units::System;
use crate::units::format::{all_said, counted};

/// Findings that are listed one by one; more are counted by kind.
const LISTED: usize = 40;
const ESTIMATES: &str = "Estimates: packs, rates and waits are common practice. Give yours under walk.materials and walk.work_rates. Tests, the product sheet and the person responsible release the floor.";

impl Answer for PreparedFloor<'_> {
    type Data = PrepData;

    fn data(&self) -> PrepData {
        PrepData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let p = &self.prepared;
        let currency = p.currency;
        let one_by_one = self.all_findings || p.survey.findings.len() <= LISTED;
        let found = if one_by_one {
            tables::findings(p, system)
        } else {
            tables::findings_by_kind(p)
        };
        let mut blocks = vec![
            Block::text(verdict::sentence(&self.verdict, system)),
            Block::List([verdict::holds(&self.verdict), tables::lifted(p, system)].concat()),
            Block::List(verdict::reason_and_next(&self.verdict)),
            Block::List(self.job.map(limits::of_job).unwrap_or_default()),
            Block::Table(found),
            Block::Table(methods(p, currency, system)),
            Block::Table(tables::calendar(p, system)),
            Block::Table(tables::setups(p, system)),
            Block::Table(shopping(p, currency, system)),
            Block::Table(tables::patching(p, system)),
            Block::Table(tables::checklist(p, system)),
        ];
        blocks.extend(p.cautions.iter().map(Block::caution));
        blocks.extend(charts::figures(self, system).map(Block::Figure));
        let bases = p.way.shopping.iter().map(|line| {
            let pack = materials::name(line.material);
            format!("{pack}: {}", line.basis.of(system))
        });
        let rules = tables::rules(p, system).into_iter();
        let rules = rules.map(|rule| format!("* {rule}"));
        let rules =
            std::iter::once("Rules used. The product sheet always wins:".to_owned()).chain(rules);
        blocks.extend([
            Block::Notes(notes(p, currency, system)),
            Block::Notes(all_said(self.notices, system)),
            Block::Details(bases.collect()),
            Block::Details(rules.collect()),
            Block::note(ESTIMATES),
        ]);
        Document::new(self.name, blocks)
    }
}

/// Most tasks of the calendar that stand in a report.
const MOST_TASKS: usize = 40;

/// What a report shows of a prepared floor.
pub(super) fn report_blocks(p: &Prepared, system: System) -> Vec<Block> {
    let mut calendar = tables::calendar(p, system);
    let all = calendar.rows.len();
    calendar.rows.truncate(MOST_TASKS);
    let more = match all - calendar.rows.len() {
        0 => String::new(),
        more => format!("{} more. ", counted(more, "task")),
    };
    vec![
        Block::Table(methods(p, p.currency, system)),
        Block::Table(calendar),
        Block::Text(format!(
            "{more}Findings, shopping list and checks: coatday prep."
        )),
    ]
}
