//! What to decide beside the gear: another limit, another floor system, a layer under it. The same in `compare`, `plan` and the report.

use super::chance::OddsData;
use super::{Block, Columns, TextTable, finite, or_dash, record};
use crate::evaluate::odds::SHARES;
use crate::evaluate::{AtLimit, Expected, JudgedWay, OtherLimits, UnderFilm, Way, WayKind};
use crate::job::Job;
use crate::units::System;
use crate::units::format::{
    Currency, capital, date, day_and_month, fine_percent, percent, short_date, whole,
};
use jiff::civil::Date;

/// What another limit is worth, and other ways to coat the slab.
#[derive(Clone, Debug, Default)]
pub struct Decisions {
    /// Name of the setup that the limits are told of.
    pub setup: String,
    /// What other limits are worth.
    pub limits: OtherLimits,
    /// Ways to coat, the best first.
    pub ways: Vec<JudgedWay>,
    /// Whether a hold stands before any way to coat.
    pub on_hold: bool,
}

record! {
    /// What a limit comes to.
    AtLimitData(job: &Job, at: &AtLimit) {
        limit_percent: f64 = 100.0 * at.limit,
        own: bool = at.own,
        systems: &'static str = at.systems,
        days_to_target: Option<f64> = at.outcome.days_to_target,
        date: Option<Date> = at.outcome.date,
        cost: Option<f64> = finite(at.outcome.cost),
        cost_incomplete: bool = at.outcome.cost_incomplete,
        odds: Option<OddsData> = at.outcome.odds.as_ref().map(|odds| OddsData::of(job, odds)),
    }

    /// What a probe at depth is expected to read.
    ExpectedData(e: &Expected) {
        date: Date = e.date,
        middle_percent: f64 = 100.0 * e.middle,
        low_percent: Option<f64> = e.range.map(|(low, _)| 100.0 * low),
        high_percent: Option<f64> = e.range.map(|(_, high)| 100.0 * high),
    }

    /// A way to coat the slab.
    WayData(job: &Job, way: &JudgedWay) {
        kind: &'static str = way.way.kind.word(),
        name: String = name(way),
        setup: Option<String> = way.setup.clone(),
        limit_percent: f64 = 100.0 * way.way.limit(),
        days: Option<f64> = way.days,
        date: Option<Date> = way.days.map(|days| job.date_after(days)),
        chance_in_time: Option<f64> = way.chance,
        makes_needed_by: bool = way.makes_it,
        gear_cost: f64 = way.gear_cost,
        gear_cost_incomplete: bool = way.gear_cost_incomplete,
        layer_cost_low: Option<f64> = way.layer_cost.map(|(low, _)| low),
        layer_cost_high: Option<f64> = way.layer_cost.map(|(_, high)| high),
        delay_cost: f64 = way.delay_cost,
        expected_cost: Option<f64> = way.expected_cost(),
        peak_under_film_percent: Option<f64> = way.under_film.map(|film| 100.0 * film.peak),
        needs: &'static str = way.way.kind.needs(),
        risks: &'static str = way.way.kind.risks(),
    }
}

impl WayKind {
    fn word(self) -> &'static str {
        match self {
            Self::DryToTheLimit => "dry_to_the_limit",
            Self::OtherCoating => "other_coating",
            Self::TolerantPrimer => "tolerant_primer",
            Self::MitigationLayer => "mitigation_layer",
            Self::BreathableFinish => "breathable_finish",
            Self::SheetAndTopping => "sheet_and_topping",
        }
    }

    /// What it needs.
    fn needs(self) -> &'static str {
        match self {
            Self::DryToTheLimit => "Moisture tests that pass.",
            Self::OtherCoating => {
                "A data sheet that gives the higher limit, and the specifier's word."
            }
            Self::TolerantPrimer => {
                "A primer that its maker allows under this coating, a ground or blasted surface, and tests below its limit."
            }
            Self::MitigationLayer => {
                "A shot-blasted or ground face (CSP 3 or more), cracks filled, pull-off of 200 psi or more in the concrete (ASTM D7234), tests below the layer's limit. Do not put it over gypsum. It does not stop water under pressure."
            }
            Self::BreathableFinish => "An owner who accepts another finish.",
            Self::SheetAndTopping => {
                "Height for the build-up at doors and drains, and an edge that lets moisture out."
            }
        }
    }

    /// What can go wrong.
    fn risks(self) -> &'static str {
        match self {
            Self::DryToTheLimit => "Rain, a cold spell or a machine that stops.",
            Self::OtherCoating => "Another texture, look or resistance than the owner chose.",
            Self::TolerantPrimer => {
                "Blisters where the slab reads more than the primer is rated for."
            }
            Self::MitigationLayer => {
                "Pinholes, oil or curing compound under it, alkali reaction in the concrete, joints that move."
            }
            Self::BreathableFinish => "Stains and wear that a coating would have kept off.",
            Self::SheetAndTopping => "A weak old surface below, and ramps at doors.",
        }
    }
}

fn name(way: &JudgedWay) -> String {
    way_name(&way.way)
}

/// What a way is called.
pub(super) fn way_name(way: &Way) -> String {
    way.name.clone().unwrap_or_else(|| {
        let limit = fine_percent(way.limit());
        match way.kind {
            WayKind::DryToTheLimit => format!("dry to {limit}"),
            WayKind::OtherCoating => format!("coating that stands {limit}"),
            WayKind::TolerantPrimer => format!("moisture-tolerant primer at {limit}"),
            WayKind::MitigationLayer => format!("mitigation layer at {limit}"),
            WayKind::BreathableFinish => format!("breathable finish at {limit}"),
            WayKind::SheetAndTopping => format!("sheet and topping at {limit}"),
        }
    })
}

fn gear(way: &JudgedWay) -> &str {
    let named = way.setup.as_deref().filter(|_| way.geared);
    named.unwrap_or("no gear")
}

/// "$17,500 to $35,000"; a `+` where a price is missing in the other costs.
pub(super) fn in_all(
    currency: Currency,
    (other, incomplete): (f64, bool),
    layer: Option<(f64, f64)>,
) -> String {
    let money = |amount| currency.money_at_least(amount, incomplete);
    let Some((low, high)) = layer else {
        return format!("{} and the layer's price", money(other));
    };
    let (low, high) = (money(other + low), money(other + high));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

fn cost(currency: Currency, way: &JudgedWay) -> String {
    let other = way.gear_cost + way.delay_cost;
    in_all(currency, (other, way.gear_cost_incomplete), way.layer_cost)
}

impl Decisions {
    /// What decides, in a sentence; empty where the planned way makes its date, where no other way was looked at, and on a floor that is on hold.
    pub(super) fn sentences(&self, job: &Job, system: System) -> Vec<String> {
        let drying = self
            .ways
            .iter()
            .find(|w| w.way.kind == WayKind::DryToTheLimit);
        let (Some(by), Some(drying)) = (job.needed_by, drying) else {
            return Vec::new();
        };
        if drying.makes_it || self.on_hold || self.ways.len() < 2 {
            return Vec::new();
        }
        let by = day_and_month(by, system);
        let best = self.ways.first().filter(|way| way.makes_it);
        let Some(best) = best else {
            return vec![format!(
                "None of the other ways looked at makes {by} either."
            )];
        };
        let chance = best
            .chance
            .map(|chance| format!(", {} chance", percent(chance)));
        let cost = cost(job.prices.currency, best);
        vec![format!(
            "{} for {by} if data sheets allow: {}, {} ({}{}, {cost}; heat to coat not counted).",
            if best.layer_cost.is_some() && !best.gear_cost_incomplete {
                "Cheapest"
            } else {
                "Possible"
            },
            name(best),
            gear(best),
            best.days
                .map(|days| short_date(job.date_after(days), system))
                .unwrap_or_default(),
            chance.unwrap_or_default(),
        )]
    }

    /// What the slab should read on the day needed.
    pub(super) fn reading(&self, job: &Job, system: System) -> Option<String> {
        let by = job.needed_by?;
        let expected = self.limits.readings.iter().find(|e| e.date == by)?;
        let range = expected.range.map(|range| format!(" ({})", between(range)));
        Some(format!(
            "On {} a probe at depth should read {}{} with {}.",
            date(by, system),
            percent(expected.middle),
            range.unwrap_or_default(),
            self.setup
        ))
    }

    /// Ways as a table.
    pub(super) fn ways_table(&self, job: &Job, system: System) -> TextTable {
        let currency = job.prices.currency;
        let by = job.needed_by.map(|by| day_and_month(by, system));
        let sampled = self.ways.iter().any(|way| way.chance.is_some());
        let best = self.ways.first().filter(|way| way.makes_it);
        Columns::new()
            .left("Way to coat", |way: &&JudgedWay| capital(&name(way)))
            .left("With", |way| gear(way).to_owned())
            .left("Coat from", |way| {
                or_dash(
                    way.days
                        .map(|days| short_date(job.date_after(days), system)),
                )
            })
            .when(by.is_some() && sampled, |c| {
                let head = format!("Chance by {}", by.unwrap_or_default());
                c.right(head, |way| or_dash(way.chance.map(percent)))
            })
            .right("Cost with delay", move |way| cost(currency, way))
            .right("Peak under it", |way| {
                or_dash(way.under_film.map(|film| peak(&film)))
            })
            .rank(2)
            .rows(self.ways.iter())
            .strong(best.map(|_| 0))
    }

    /// Limits as a table.
    pub(super) fn limits_table(&self, job: &Job, system: System) -> TextTable {
        let currency = job.prices.currency;
        let by = job.needed_by.map(|by| day_and_month(by, system));
        let sampled = self
            .limits
            .limits
            .iter()
            .any(|at| at.outcome.odds.is_some());
        let own = self.limits.limits.iter().position(|at| at.own);
        let days = |at: &&AtLimit| match &at.outcome.odds {
            Some(odds) => odds.days(0.5),
            None => at.outcome.days_to_target,
        };
        Columns::new()
            .left("Limit", |at: &&AtLimit| {
                let mark = if at.own { ", yours" } else { "" };
                format!("{}{mark}", fine_percent(at.limit))
            })
            .right("Days", move |at| {
                days(at).map_or_else(|| "not dry".into(), whole)
            })
            .left("Dry on", move |at| {
                or_dash(days(at).map(|days| short_date(job.date_after(days), system)))
            })
            .when(by.is_some() && sampled, |c| {
                let head = format!("Chance by {}", by.unwrap_or_default());
                c.right(head, |at| {
                    let odds = at.outcome.odds.as_ref();
                    or_dash(odds.and_then(|odds| odds.in_time).map(percent))
                })
            })
            .right("Cost", move |at| {
                if days(at).is_none() {
                    return or_dash(None);
                }
                let cost = match &at.outcome.odds {
                    Some(odds) => odds.mean_cost(),
                    None => at.outcome.cost,
                };
                currency.money_at_least(cost, at.outcome.cost_incomplete)
            })
            .left("Asked for by", |at| at.systems.to_owned())
            .rank(2)
            .rows(self.limits.limits.iter())
            .strong(own)
    }

    /// Expected readings as a table.
    pub(super) fn readings_table(&self, system: System) -> TextTable {
        let sampled = self.limits.readings.iter().any(|e| e.range.is_some());
        Columns::new()
            .left("Day", |e: &&Expected| date(e.date, system))
            .right("Expected reading", |e| percent(e.middle))
            .when(sampled, |c| {
                let head = format!("{} chance", percent(SHARES[2] - SHARES[0]));
                c.left(head, |e| or_dash(e.range.map(between)))
            })
            .rows(self.limits.readings.iter())
    }

    /// All of it under one heading, for the report and for those who ask.
    pub(super) fn blocks(&self, job: &Job, system: System) -> Vec<Block> {
        let mut blocks = Vec::new();
        if self.ways.len() > 1 {
            blocks.push(Block::Table(self.ways_table(job, system)));
            blocks.push(Block::List(self.conditions()));
        }
        if !self.limits.limits.is_empty() {
            blocks.push(Block::text(format!(
                "Another limit with {} would give the following. The limit is on the coating's data sheet.",
                self.setup
            )));
            blocks.push(Block::Table(self.limits_table(job, system)));
        }
        if !self.limits.readings.is_empty() {
            blocks.push(Block::text(format!(
                "With {} a probe at depth should read:",
                self.setup
            )));
            blocks.push(Block::Table(self.readings_table(system)));
        }
        blocks
    }

    /// What each way needs and what can go wrong, and where its price comes from.
    pub(super) fn conditions(&self) -> Vec<String> {
        let lines = self.ways.iter().map(|way| {
            let kind = way.way.kind;
            let price = match (kind, way.way.own_price, way.layer_cost) {
                (WayKind::DryToTheLimit, ..) | (_, true, _) => "",
                (_, false, Some(_)) => {
                    " Its price is a usual range, from memory: put yours under \"alternatives\"."
                }
                (_, false, None) => " No price is known: put yours under \"alternatives\".",
            };
            format!(
                "{}. Needs: {} What can go wrong: {}{price}",
                capital(&name(way)),
                kind.needs(),
                kind.risks()
            )
        });
        lines.collect()
    }
}

/// "84 % to 90 %".
fn between((low, high): (f64, f64)) -> String {
    let (low, high) = (percent(low), percent(high));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

fn peak(film: &UnderFilm) -> String {
    let rising = if film.still_rising { ", rising" } else { "" };
    format!("{}{rising}", percent(film.peak))
}
