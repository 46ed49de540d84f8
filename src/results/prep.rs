//! A prepared floor: findings, methods, calendar, shopping list, and the coating day they lead to.

mod charts;
mod data;
mod tables;

pub use data::PrepData;
pub use tables::{methods, notes, shopping, shopping_csv};

use super::{Answer, Block, Document};
use crate::job::Job;
use crate::preparation::coating::NoDay;
use crate::preparation::conditions::Against;
use crate::preparation::{Prepared, materials};
use crate::units::System;
use jiff::civil::Date;

/// Seconds in a minute.
const MINUTE: f64 = 60.0;
/// Findings that are listed one by one; more are counted by kind.
const LISTED: usize = 40;
const ESTIMATES: &str = "Estimates: packs, rates and waits are common practice until walk.materials and walk.work_rates give yours. Release the floor by its tests, the product's data sheet and the person responsible.";

/// A floor, prepared.
#[derive(Clone, Copy, Debug)]
pub struct PreparedFloor<'a> {
    /// Name of the scenario.
    pub name: &'a str,
    /// What was found.
    pub prepared: &'a Prepared,
    /// Its job, where drying is computed.
    pub job: Option<&'a Job>,
    /// Whether every finding is listed, however many.
    pub all_findings: bool,
    /// Notes about the weather.
    pub notices: &'a [String],
}

impl Answer for PreparedFloor<'_> {
    type Data = PrepData;

    fn data(&self) -> PrepData {
        PrepData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let p = self.prepared;
        let one_by_one = self.all_findings || p.survey.findings.len() <= LISTED;
        let found = if one_by_one {
            tables::findings(p, system)
        } else {
            tables::findings_by_kind(p)
        };
        let mut blocks = vec![
            Block::text(tables::headline(p, self.job)),
            Block::List(tables::holds(p)),
            Block::Table(found),
            Block::Table(methods(p)),
            Block::Table(tables::calendar(p)),
            Block::Table(tables::setups(p)),
            Block::Table(shopping(p, system)),
            Block::Table(tables::patching(p, system)),
            Block::Table(tables::checklist(p)),
        ];
        blocks.extend(p.cautions.iter().map(Block::caution));
        blocks.extend(charts::figures(self, system).map(Block::Figure));
        let bases = p.way.shopping.iter().map(|line| {
            let pack = materials::name(line.material);
            format!("{pack}: {}", line.basis)
        });
        let rules = tables::rules(p).into_iter().map(|rule| format!("* {rule}"));
        let rules =
            std::iter::once("Rules used; the product sheet always wins:".to_owned()).chain(rules);
        blocks.extend([
            Block::Notes(notes(p)),
            Block::Notes(self.notices.to_vec()),
            Block::Details(bases.collect()),
            Block::Notes(rules.collect()),
            Block::note(ESTIMATES),
        ]);
        Document::new(self.name, blocks)
    }
}

/// What a report shows of a prepared floor; `job` where its drying is computed.
pub(super) fn report_blocks(p: &Prepared, job: Option<&Job>, system: System) -> Vec<Block> {
    let mut blocks = vec![
        Block::text(tables::headline(p, job)),
        Block::List(tables::holds(p)),
        Block::Table(tables::findings_by_kind(p)),
        Block::Table(methods(p)),
        Block::Table(tables::calendar(p)),
        Block::Table(shopping(p, system)),
        Block::Table(tables::checklist(p)),
    ];
    blocks.extend(p.cautions.iter().map(Block::caution));
    blocks
}

/// A moment to the minute: date and time of day.
fn moment(prepared: &Prepared, time: f64) -> (Date, String) {
    let minutes = (time / MINUTE).round();
    let date = prepared.date_of(minutes * MINUTE + 1.0);
    let of_day = minutes.rem_euclid(24.0 * 60.0) as u32;
    (date, format!("{:02}:{:02}", of_day / 60, of_day % 60))
}

/// Why there is no coating day, as a sentence.
fn no_day(why: NoDay) -> &'static str {
    match why {
        NoDay::NotDry => "It does not get dry in the time looked at.",
        NoDay::WorkBeyond => {
            "The work and its waits end after the time looked at: raise \"give_up_after\", or plan more people."
        }
        NoDay::WetAgain => {
            "It gets dry, but is wet again before the work is over and the conditions are right. Keep drying, or plan more people."
        }
        NoDay::Conditions(Against::DewPoint) => {
            "No working day looked at keeps the coating's limits: most come too near the dew point. Warm the slab or dry the air."
        }
        NoDay::Conditions(Against::Cold) => {
            "No working day looked at keeps the coating's limits: most are too cold. Heat more, and through the cure."
        }
        NoDay::Conditions(Against::Warm) => {
            "No working day looked at keeps the coating's limits: most are too warm. Heat less, or wait for cooler weather."
        }
        NoDay::Conditions(Against::MoistAir) => {
            "No working day looked at keeps the coating's limits: on most the air is too moist. Dry the air."
        }
        NoDay::Conditions(Against::Water) => {
            "No working day looked at keeps the coating's limits: on most there is, or was not long ago, water on the floor. Keep water and dew off it."
        }
        NoDay::Conditions(Against::NotKnown) | NoDay::DaysBeyond => {
            "The days on which it could be coated lie beyond the time looked at: raise \"give_up_after\"."
        }
        NoDay::NoWorkingDay => "No working day is in reach. Check the days off.",
    }
}
