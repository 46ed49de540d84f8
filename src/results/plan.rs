//! The plan found: calendar of the gear, what sooner costs, and why the others lost.

mod charts;

use super::chance::ChanceData;
use super::compare::NoteData;
use super::decide;
use super::limits;
use super::verdict::{self, VerdictData};
use super::{Answer, Block, Columns, Document, RELEASE, TextTable, or_dash, record};
use crate::evaluate::odds::SHARES;
use crate::evaluate::{Advice, advice};
use crate::job::{Inventory, Job};
use crate::search::{Candidate, Costs, Found, Instead, Judged, WayPlan, describe, ready, setup};
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{
    Currency, Said, all_said, capital, counted, percent, rounded, short_date, whole,
};
use crate::verdict::Verdict;
use charts::{chance, front, needed_by};
use jiff::civil::Date;
use std::fmt::Write as _;

/// Rows of the table of cost against days.
const MOST_ROWS: usize = 6;

/// A search and what it found.
#[derive(Clone, Debug)]
pub struct PlanFound<'a> {
    /// The job.
    pub job: &'a Job,
    /// The gear on hand.
    pub inventory: &'a Inventory,
    /// What was found.
    pub found: Found,
    /// The cheapest plan of each other way to coat.
    pub ways: Vec<WayPlan>,
    /// What may be said of the plan chosen.
    pub verdict: Option<Verdict>,
    /// Notes about the weather and the work on the floor.
    pub notices: &'a [Said],
}

record! {
    /// A search: `coatday/plan/1`.
    PlanData(p: &PlanFound<'_>) where [
        found = &p.found,
        plan = |plan: &Option<Judged>| plan.as_ref().map(|plan| JudgedData::of(p, plan)),
        instead = |why| found.instead.as_ref().filter(|(is, _)| *is == why).map(|(_, plan)| JudgedData::of(p, plan)),
    ] {
        schema: &'static str = "coatday/plan/1",
        scenario: String = p.job.name.clone(),
        verdict: Option<VerdictData> = p.verdict.as_ref().map(VerdictData::of),
        needed_by: Option<Date> = p.job.needed_by,
        limits: Vec<String> = limits::of_job(p.job),
        confidence: f64 = p.inventory.confidence,
        best: Option<JudgedData> = plan(&found.best),
        runner_up: Option<JudgedData> = plan(&found.runner_up),
        cheaper_but_late: Option<JudgedData> = plan(&found.cheaper),
        above_budget: Option<JudgedData> = instead(Instead::AboveBudget),
        soonest: Option<JudgedData> = instead(Instead::Soonest),
        best_of_single_runs: Option<JudgedData> = instead(Instead::RunOnce),
        plans_tried: usize = found.screened.len(),
        plans_judged: usize = found.judged,
        plans_passed_over: usize = found.passed_over,
        samples: usize = found.samples,
        samples_not_computed: usize = found.not_computed,
        plans_left_out: bool = found.candidates.left_out,
        plans_above_power: usize = found.candidates.too_much_power,
        broken_off: bool = found.stopped,
        other_ways: Vec<WayPlanData> = p.ways.iter().map(|way| WayPlanData::of(p, way)).collect(),
        trade_off: Vec<FrontData> = front(found).iter().map(|at| FrontData::of(p.inventory, at)).collect(),
        notices: Vec<String> = all_said(p.notices, System::Si),
    }

    /// A plan, judged over the sampled worlds.
    JudgedData(p: &PlanFound<'_>, judged: &Judged) {
        plan: String = judged.name.of(System::Si).to_owned(),
        #[serde(flatten)]
        chance: ChanceData = ChanceData::of_odds(p.job, &judged.odds),
        mean_cost: f64 = judged.costs.spent(),
        mean_rental_and_delivery_cost: f64 = judged.costs.rental,
        mean_energy_cost: f64 = judged.costs.energy,
        mean_delay_cost: f64 = judged.costs.delay,
        not_computed: usize = judged.odds.failed,
        in_the_search: RankedData = RankedData::of(judged),
        limited_by: &'static str = judged.outcome.limited_by.word(),
        cost_incomplete: bool = judged.outcome.cost_incomplete,
        notes: Vec<NoteData> = notes(p, judged).iter().map(NoteData::of).collect(),
        calendar: Vec<Errand> = calendar(p, judged, System::Si),
    }

    /// The cheapest plan of another way to coat; its dates are those of the slab at its limit.
    WayPlanData(p: &PlanFound<'_>, way: &WayPlan) {
        name: String = decide::way_name(&way.way),
        limit_percent: f64 = 100.0 * way.way.limit(),
        makes_needed_by: bool = way.makes_it,
        coat_from: Option<Date> = ready(way).map(|days| p.job.date_after(days)),
        layer_cost_low: Option<f64> = way.layer_cost.map(|(low, _)| low),
        layer_cost_high: Option<f64> = way.layer_cost.map(|(_, high)| high),
        expected_cost: Option<f64> = way.expected_cost(),
        plan: JudgedData = JudgedData::of(p, &way.plan),
    }

    /// The same plan in the worlds that it was chosen by.
    RankedData(plan: &Judged) {
        chance_in_time: f64 = plan.ranked.in_time,
        mean_cost: f64 = plan.ranked.costs.spent(),
        mean_delay_cost: f64 = plan.ranked.costs.delay,
    }

    /// What to bring or take away on one day.
    Errand(day: Date, verb: &str, items: &[String]) {
        date: Date = day,
        what: String = format!("{verb} {}", items.join(" + ")),
    }

    /// A plan that no other beats in both days and cost, run once.
    FrontData(inventory: &Inventory, at: &(f64, f64, &Candidate)) {
        plan: String = describe(inventory, at.2).of(System::Si).to_owned(),
        days: f64 = at.0,
        cost: f64 = at.1,
    }
}

fn some(count: u32, name: &str) -> String {
    if count == 1 {
        name.to_owned()
    } else {
        format!("{count} x {name}")
    }
}

/// The plan as a calendar.
fn calendar(p: &PlanFound<'_>, plan: &Judged, system: System) -> Vec<Errand> {
    let (job, inventory) = (p.job, p.inventory);
    let mut errands = Vec::new();
    let candidate = &plan.candidate;
    let mut add = |day: Date, verb: &str, items: Vec<String>| {
        if !items.is_empty() {
            errands.push(Errand::of(day, verb, &items));
        }
    };
    let names = || inventory.items.iter().map(|i| i.name.of(system));
    let all = |counts: &[u32]| -> Vec<String> {
        let present = counts.iter().zip(names()).filter(|(c, _)| **c > 0);
        present.map(|(c, name)| some(*c, name)).collect()
    };
    add(job.date(job.gear_on), "bring", all(&candidate.first));
    let mut last = &candidate.first;
    if let Some((exchange, second)) = &candidate.second {
        let after = inventory.swap_after.get(*exchange).copied();
        let day = after.unwrap_or(0.0) / DAY;
        // An exchange after the floor is dry does not take place.
        if plan.odds.days(SHARES[1]).is_none_or(|dry| dry > day) {
            let moves = |up: bool| -> Vec<String> {
                candidate
                    .first
                    .iter()
                    .zip(second)
                    .zip(names())
                    .filter_map(|((a, b), name)| {
                        let more = if up {
                            b.checked_sub(*a)
                        } else {
                            a.checked_sub(*b)
                        };
                        more.filter(|m| *m > 0).map(|m| some(m, name))
                    })
                    .collect()
            };
            add(job.date_after(day), "take away", moves(false));
            add(job.date_after(day), "bring", moves(true));
            last = second;
        }
    }
    if let Some(days) = plan.odds.days(SHARES[1]) {
        let date = job.date_after(days);
        add(date, "when the tests pass, take away", all(last));
    }
    errands
}

/// Whether some price that matters is missing.
fn incomplete(inventory: &Inventory, plan: &Judged) -> &'static str {
    if inventory
        .items
        .iter()
        .any(|item| !item.machine.rental.priced())
    {
        " (without gear that has no price)"
    } else if plan.outcome.cost_incomplete {
        " (without prices that are not given)"
    } else {
        ""
    }
}

/// The parts of a cost, each by `show`; those that are nothing are left out.
fn parts(costs: &Costs, show: impl Fn(f64) -> String) -> String {
    let parts = [
        ("rental and delivery", costs.rental),
        ("energy", costs.energy),
        ("delay", costs.delay),
    ];
    let parts = parts.into_iter().filter(|(_, cost)| rounded(*cost) != "0");
    let parts: Vec<String> = parts
        .map(|(what, cost)| format!("{what} {}", show(cost)))
        .collect();
    parts.join(", ")
}

fn expected(inventory: &Inventory, plan: &Judged, currency: Currency) -> String {
    let parts = parts(&plan.costs, |cost| currency.money(cost));
    let of = if parts.is_empty() { "" } else { ": " };
    let total = currency.money(plan.costs.total());
    format!(
        "Expected cost {total}{of}{parts}{}.",
        incomplete(inventory, plan)
    )
}

/// "120 more (rental and delivery +300, energy -180)", by the worlds that both were ranked in.
fn against(plan: &Judged, best: &Judged, currency: Currency) -> String {
    let more = plan.ranked.costs - best.ranked.costs;
    let total = currency.money(more.total().abs());
    let verb = if more.total() < 0.0 { "saves" } else { "costs" };
    let more_word = if more.total() < 0.0 { "" } else { " more" };
    let parts = parts(&more, |cost| currency.signed_money(cost));
    match (rounded(more.total()).as_str(), parts.is_empty()) {
        ("0", true) => "costs the same".into(),
        ("0", false) => format!("costs the same overall ({parts})"),
        (_, true) => format!("{verb} {total}{more_word}"),
        (_, false) => format!("{verb} {total}{more_word} ({parts})"),
    }
}

/// The result in sentences.
#[must_use]
pub fn sentences(job: &Job, inventory: &Inventory, found: &Found, system: System) -> Vec<String> {
    let currency = job.prices.currency;
    let mut out = Vec::new();
    let wanted = percent(inventory.confidence);
    let by = needed_by(job, system);
    // Of plans that were not all judged none may be said to be the only one.
    let none = if found.candidates.left_out || found.passed_over > 0 || found.plans_left_out > 0 {
        "No plan found makes"
    } else {
        "No plan makes"
    };
    let told = |plan: &Judged| {
        let cost = expected(inventory, plan, currency);
        format!("{}. {cost}", plan.name.of(system))
    };
    match (&found.best, &found.instead) {
        (Some(best), _) => {
            let (told, close) = (told(best), close_call(inventory, best));
            out.push(match close {
                Some(_) => format!("The cheapest plan found is a close call: {told}"),
                None => {
                    format!("Cheapest plan that makes {by} with at least {wanted} chance: {told}")
                }
            });
            out.extend(close);
        }
        (None, Some((Instead::AboveBudget, plan))) => out.push(format!(
            "{none} {by} with {wanted} chance within the budget of {}. The cheapest above it: {}",
            currency.money(inventory.budget.unwrap_or(0.0)),
            told(plan)
        )),
        (None, Some((Instead::Soonest, plan))) => out.push(format!(
            "{none} {by} with {wanted} chance. The soonest: {} {}",
            told(plan),
            plan.outcome.limited_by.what_helps()
        )),
        (None, Some((Instead::RunOnce, plan))) => {
            let before = if found.judged == 0 {
                "any plan was judged".into()
            } else {
                format!("a plan turned up that makes {by} with {wanted} chance")
            };
            let told = told(plan);
            out.push(format!(
                "Stopped before {before}. The best of those run once: {told}"
            ));
        }
        (None, None) if found.stopped => {
            out.push("Stopped before any plan had the floor dry.".into());
        }
        (None, None) if found.screened.is_empty() => out.push(
            "No plan could be computed. The gear may be far too big for the room. Check its sizes."
                .into(),
        ),
        (None, None) if found.plans_left_out > 0 => {
            out.push("Some plans get this floor dry, but none could be computed in full.".into());
        }
        (None, None) => out.push("No plan gets this floor dry in the time simulated.".into()),
    }
    if let Some(best) = &found.best {
        if let Some(next) = &found.runner_up {
            out.push(format!(
                "Runner-up: {}. It {}. Its chance is {}.",
                next.name.of(system),
                against(next, best, currency),
                chance(next)
            ));
        }
        if let Some(cheaper) = &found.cheaper {
            out.push(format!(
                "Cheaper, but late too often: {}. It {}. Its chance to make the date is {}; the plan above has {}.",
                cheaper.name.of(system),
                against(cheaper, best, currency),
                percent(cheaper.ranked.in_time),
                percent(best.ranked.in_time)
            ));
        }
    }
    out.push(search_in_words(found));
    out
}

/// All that a way costs, with its layer.
fn way_cost(p: &PlanFound<'_>, way: &WayPlan) -> String {
    let incomplete = !incomplete(p.inventory, &way.plan).is_empty();
    let other = (way.plan.costs.total(), incomplete);
    decide::in_all(p.job.prices.currency, other, way.layer_cost)
}

/// How the planned coating stands against the other ways.
fn other_ways(p: &PlanFound<'_>, system: System) -> Option<String> {
    let on_hold = p.verdict.as_ref().is_some_and(Verdict::on_hold);
    let best = p.ways.iter().find(|way| way.makes_it && !on_hold)?;
    let unpriced = |plan: &Judged| !incomplete(p.inventory, plan).is_empty();
    let cost = best.expected_cost().filter(|_| !unpriced(&best.plan));
    let drying = p.found.best.as_ref().map(|plan| plan.costs.total());
    let cheaper = match (cost, drying) {
        (_, None) => "Another way makes the date",
        (Some(cost), Some(drying)) if cost < drying => "A cheaper way",
        (Some(_), Some(_)) => "Drying is the cheapest way. The next",
        (None, Some(_)) => "Another way, not all prices known",
    };
    let cost = way_cost(p, best);
    let day = ready(best).map(|days| short_date(p.job.date_after(days), system));
    Some(format!(
        "{cheaper}: {} with {} ({}{}). Its data sheet and the specifier decide.",
        decide::way_name(&best.way),
        best.plan.name.of(system),
        day.map(|day| format!("{day}, ")).unwrap_or_default(),
        cost
    ))
}

/// The cheapest plan of each other way.
fn ways_table(p: &PlanFound<'_>, system: System) -> TextTable {
    Columns::new()
        .left("Other way to coat", |way: &&WayPlan| {
            capital(&decide::way_name(&way.way))
        })
        .left("Gear", move |way| way.plan.name.of(system).to_owned())
        .left("Coat from", |way| {
            let days = ready(way);
            or_dash(days.map(|days| short_date(p.job.date_after(days), system)))
        })
        .right(format!("Chance by {}", needed_by(p.job, system)), |way| {
            chance(&way.plan)
        })
        .right("Cost", move |way| way_cost(p, way))
        .rows(&p.ways)
}

/// A plan that looked better in the worlds it was chosen by than it is.
fn close_call(inventory: &Inventory, best: &Judged) -> Option<String> {
    let seen = best.odds.in_time.filter(|c| *c < inventory.confidence)?;
    Some(format!(
        "It made the date in {} of the cases it was chosen by, but only in {} of fresh cases. You want {}. Run more --samples, or ask for a higher \"confidence\".",
        percent(best.ranked.in_time),
        percent(seen),
        percent(inventory.confidence)
    ))
}

/// How far the search went.
fn search_in_words(found: &Found) -> String {
    let mut text = format!(
        "{} run once with your inputs, {} of them judged over {}",
        counted(found.screened.len(), "plan"),
        found.judged,
        counted(found.samples, "simulated case")
    );
    if found.passed_over > 0 {
        let _ = write!(
            text,
            ", {} passed over because that run was late or expensive",
            whole(found.passed_over as f64)
        );
    }
    text += ".";
    if found.chosen().is_some() {
        text += " The chances, dates and costs above come from as many fresh cases. Comparisons of cost come from the cases of the search.";
    }
    if found.not_computed > 0 {
        let _ = write!(
            text,
            " The solver gave up on {}. The results leave them out.",
            counted(found.not_computed, "more case")
        );
    }
    if found.plans_left_out > 0 {
        let _ = write!(
            text,
            " It also gave up on {} that would have been named.",
            counted(found.plans_left_out, "plan")
        );
    }
    let lost = found.chosen().map_or(0, |plan| plan.odds.failed);
    if lost > 0 {
        let _ = write!(
            text,
            " It gave up on {} of the first plan named. They count as late.",
            counted(lost, "run")
        );
    }
    if found.candidates.left_out {
        text += " There are more plans than were tried: only some counts, combinations and exchanges were.";
    }
    if found.candidates.too_much_power > 0 {
        let _ = write!(
            text,
            " Left out: {} that need more power than the site has.",
            counted(found.candidates.too_much_power, "combination")
        );
    }
    if found.stopped {
        text += " You stopped the search. This is the best so far.";
    }
    text
}

/// What sooner costs: the plans that no other beats in both, soonest first.
fn trade_off(p: &PlanFound<'_>, system: System) -> TextTable {
    let currency = p.job.prices.currency;
    let front = front(&p.found);
    let shown = front.len().min(MOST_ROWS);
    // Evenly along the list, both ends with it.
    let place = |k: usize| k * (front.len() - 1) / (shown - 1).max(1);
    Columns::new()
        .right("Days", |at: &&(f64, f64, &Candidate)| whole(at.0))
        .left("Dry on", |at| short_date(p.job.date_after(at.0), system))
        .right("Cost", |at| currency.money(at.1))
        .left("What sooner costs (one run with your inputs)", |at| {
            describe(p.inventory, at.2).of(system).to_owned()
        })
        .rows((0..shown).filter_map(|k| front.get(place(k))))
}

/// Cautions and notes on a plan.
fn notes(p: &PlanFound<'_>, plan: &Judged) -> Vec<Advice> {
    let mut alone = p.job.clone();
    alone.setups = vec![setup(p.job, p.inventory, &plan.candidate)];
    let mut outcome = plan.outcome.clone();
    // A plan's costs have the delay in them.
    outcome.delay_cost = None;
    advice(&alone, &[outcome])
}

impl Answer for PlanFound<'_> {
    type Data = PlanData;

    fn data(&self) -> PlanData {
        PlanData::of(self)
    }

    fn document(&self, system: System) -> Document {
        // The plan is named in the units that are read here.
        let verdict = self.verdict.clone().map(|v| Verdict {
            setup: self
                .found
                .chosen()
                .map_or(v.setup, |plan| plan.name.of(system).to_owned()),
            ..v
        });
        let mut said: Vec<String> = verdict
            .iter()
            .map(|v| verdict::sentence(v, system))
            .collect();
        said.extend(verdict.iter().flat_map(verdict::holds));
        said.extend(sentences(self.job, self.inventory, &self.found, system));
        said.extend(other_ways(self, system));
        said.extend(limits::of_job(self.job));
        let mut blocks = vec![Block::List(said)];
        if let Some(plan) = self.found.chosen() {
            let calendar = Columns::new()
                .left("Day", |errand: &Errand| short_date(errand.date, system))
                .left("What", |errand| errand.what.clone())
                .rows(calendar(self, plan, system));
            blocks.extend([
                Block::Table(calendar),
                Block::Table(trade_off(self, system)),
            ]);
            blocks.extend(notes(self, plan).into_iter().map(|note| {
                let text = note.text.of(system);
                if note.caution() {
                    Block::caution(text)
                } else {
                    Block::note(text)
                }
            }));
        }
        if !self.ways.is_empty() {
            blocks.push(Block::Table(ways_table(self, system)));
        }
        blocks.extend(
            charts::figures(self.job, &self.found, verdict.as_ref(), system).map(Block::Figure),
        );
        blocks.push(Block::Notes(all_said(self.notices, system)));
        blocks.push(Block::note(format!(
            "{RELEASE} Burners, electrical loads and fuel come under local codes and licensed trades."
        )));
        Document::new(&self.job.name, blocks)
    }
}
