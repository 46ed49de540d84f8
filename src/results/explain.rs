//! A delay, its causes, and what would buy days back.

use super::limits;
use super::verdict::{self, VerdictData};
use super::{Answer, Block, Columns, Document, RELEASE, TextTable, record};
use crate::charts::{Mark, Step, Waterfall, XAxis};
use crate::delay::{Action, Explanation, good_conditions};
use crate::evaluate::NotDryReason;
use crate::job::{self, seconds_between};
use crate::scenario::Scenario;
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{
    Currency, Said, all_said, capital, date, days, lower, number, plus_or_minus, short_date,
    signed_days, some_days, whole,
};
use crate::verdict::Verdict;
use jiff::civil::Date;

/// A delay below it is none.
pub(super) const WORTH_BUYING: f64 = 0.5;
/// A cost below this against now is none.
const WORTH_PAYING: f64 = 0.5;

/// How actions are to be read.
const EACH_BY_ITSELF: &str = "Minus days are days sooner. Each line is computed, also the lines with several things: do not add them up. A + after a cost: some price is not given. Check that people, air and power allow it.";

/// A delay, split over its causes.
#[derive(Clone, Debug)]
pub struct Explained<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The split.
    pub explanation: Explanation,
    /// What would buy days back, what gains most first.
    pub actions: Vec<Action>,
    /// What may be said of the floor with this setup.
    pub verdict: Option<Verdict>,
    /// The first day on which something can still be changed.
    pub from: Date,
    /// Notes about the weather and the work on the floor.
    pub notices: &'a [Said],
}

record! {
    /// A delay and its causes: `coatday/explain/1`.
    ExplainData(x: &Explained<'_>) where [e = &x.explanation, a = &x.explanation.attribution] {
        schema: &'static str = "coatday/explain/1",
        scenario: String = x.scenario.name.clone(),
        setup: String = e.setup.clone(),
        reference: String = e.reference.clone(),
        reference_given: bool = e.promise_given,
        promised_date: Date = e.promised,
        expected_date: Option<Date> = e.expected,
        never_reason: Option<String> = e.not_dry.as_ref().map(NotDryReason::sentence),
        look_out_ends: Date = e.horizon,
        verdict: Option<VerdictData> = x.verdict.as_ref().map(VerdictData::of),
        limits: Vec<String> = limits::of_scenario(x.scenario),
        delay_days: f64 = a.delay(),
        delay_is_at_least: bool = e.expected.is_none(),
        interaction_days: f64 = a.interaction(),
        combinations_computed: usize = a.computed.len(),
        combinations_not_dry: usize = e.capped,
        causes: Vec<CauseData> = e.by_share().into_iter().map(|i| CauseData::of(e, i)).collect(),
        actions: Vec<ActionData> = x.actions.iter().map(ActionData::of).collect(),
        notices: Vec<String> = all_said(x.notices, System::Si),
    }

    /// A cause.
    CauseData(e: &Explanation, i: usize) where [of = &e.causes[i], a = &e.attribution] {
        cause: &'static str = of.kind.key(),
        name: &'static str = of.kind.name(),
        as_it_is_us: String = of.detail.of(System::Us).to_owned(),
        as_it_is_si: String = of.detail.of(System::Si).to_owned(),
        share_days: f64 = a.shares[i],
        standard_error_days: Option<f64> = a.standard_errors.as_ref().map(|s| s[i]),
        by_itself_days: f64 = a.alone[i],
        saved_without_it_days: f64 = a.last[i],
    }

    /// What could be done.
    ActionData(x: &Action) {
        action: String = x.name.of(System::Si).to_owned(),
        things: usize = x.things,
        days_gained: Option<f64> = x.days_gained,
        date: Option<Date> = x.date,
        cost: f64 = x.cost,
        cost_incomplete: bool = x.cost_incomplete,
        fits_power: Option<bool> = x.fits_power,
    }
}

/// One sentence or two: how late, and what for the most part.
#[must_use]
pub fn headline(e: &Explanation, system: System) -> String {
    let delay = e.attribution.delay();
    let (setup, promised) = (&e.setup, date(e.promised, system));
    let mut text = match e.expected {
        None => format!(
            "With {setup} the floor is not dry by {}, the last day simulated. It takes at least {} longer than {} ({promised}).",
            date(e.horizon, system),
            days(delay),
            e.reference
        ),
        Some(_) if delay.abs() < WORTH_BUYING => {
            format!("With {setup} the floor takes as long as {}.", e.reference)
        }
        Some(_) => format!(
            "With {setup} the floor takes {} {} than {} ({promised}), by one run with your inputs.",
            days(delay.abs()),
            if delay > 0.0 { "longer" } else { "less" },
            e.reference,
        ),
    };
    if let Some((cause, most)) = e.main_cause().filter(|_| delay >= WORTH_BUYING) {
        text.push_str(&format!(
            " {}: {}, {}{}.",
            if most > 0.5 * delay {
                "Most of it"
            } else {
                "The largest part"
            },
            lower(cause.kind.name()),
            days(most),
            by_itself(e)
        ));
    }
    text
}

/// What the days of a bar are, where they are not the share.
pub(super) fn by_itself(e: &Explanation) -> &'static str {
    if e.large_interaction() {
        " by itself"
    } else {
        ""
    }
}

/// Remarks on how the split is to be read.
fn remarks(scenario: &Scenario, e: &Explanation, system: System) -> Vec<String> {
    let mut out = Vec::new();
    out.push(format!(
        "The shares add up to the delay. Each is the mean over {} in which the causes can come. \"By itself\": days that this cause alone would cost. \"Without it\": how the date moves if only this cause goes away.",
        if e.attribution.standard_errors.is_some() {
            "a sample of the orders"
        } else {
            "all orders"
        }
    ));
    if e.large_interaction() {
        let i = e.attribution.interaction();
        out.push(format!(
            "Together the causes cost {} {} than one by one. The chart shows that as its own bar.",
            some_days(i.abs()),
            if i > 0.0 { "more" } else { "less" }
        ));
    }
    if e.capped > 0 {
        out.push(format!(
            "In {} of the {} combinations the floor is not dry by {}. That day is counted for them, so their causes cost more than is said.",
            e.capped,
            e.attribution.computed.len(),
            date(e.horizon, system)
        ));
    }
    if let Some(reason) = &e.not_dry {
        out.push(reason.sentence());
    }
    if !e.promise_given {
        out.push(format!(
            "The scenario does not say what was promised. It is compared with {}. Give \"promised\" to compare with your schedule.",
            good_conditions(scenario, system)
        ));
    }
    out
}

/// Causes with their days, the costliest first.
#[must_use]
pub fn table(e: &Explanation, system: System) -> TextTable {
    let a = &e.attribution;
    let mut table = Columns::new()
        .left("Cause", |i: &usize| e.causes[*i].kind.name().to_owned())
        .left("As it is", |i| e.causes[*i].detail.of(system).to_owned())
        .right("Share, days", |i| plus_or_minus(a.shares[*i]))
        .when(a.standard_errors.is_some(), |c| {
            c.right("Standard error", |i| {
                let errors = a.standard_errors.as_ref();
                errors.map_or_else(String::new, |errors| number(errors[*i], 1))
            })
            .rank(5)
        })
        .right("By itself", |i| plus_or_minus(a.alone[*i]))
        .rank(4)
        .right("Without it", |i| plus_or_minus(-a.last[*i]))
        .rank(3)
        .rows(e.by_share());
    table.rows.push(vec![
        "All together".into(),
        format!(
            "{} than {}",
            if a.delay() < 0.0 { "sooner" } else { "later" },
            e.reference
        ),
        plus_or_minus(a.delay()),
    ]);
    table.with_sum()
}

/// A cost against now.
fn cost(action: &Action, currency: Currency) -> String {
    let plus = if action.cost_incomplete { "+" } else { "" };
    if not_priced(action) {
        "not priced".into()
    } else {
        currency.signed_money(action.cost) + plus
    }
}

fn not_priced(action: &Action) -> bool {
    action.cost.abs() < WORTH_PAYING && action.cost_incomplete
}

/// What is said where no action is left from a day on.
#[must_use]
pub fn nothing_left(e: &Explanation, from: Date) -> &'static str {
    if e.expected.is_some_and(|day| day < from) {
        "Nothing is left to buy: the floor is dry before that day."
    } else {
        "This program knows of nothing more to change."
    }
}

/// Whether the site can feed what is on site after an action.
fn fed(action: &Action) -> bool {
    action.fits_power != Some(false)
}

/// What would buy days back; with a column for the site's power where the scenario gives it.
#[must_use]
pub fn actions_table(actions: &[Action], currency: Currency, system: System) -> TextTable {
    let power = actions.iter().any(|a| a.fits_power.is_some());
    let table = Columns::new()
        .left("What would buy days back", |a: &&Action| {
            a.name.of(system).to_owned()
        })
        // Less time is a gain: shown as on a schedule, minus is sooner.
        .right("Days", |a| {
            a.days_gained
                .map_or("not dry".into(), |days| plus_or_minus(-days))
        })
        .right("Cost against now", |a| cost(a, currency))
        .when(power, |c| {
            c.left("Site's power", |a| {
                if fed(a) { "fits" } else { "DOES NOT FIT" }.into()
            })
        })
        .rows(actions);
    table.strong(actions.first().is_some_and(gains).then_some(0))
}

/// What to do: of the actions that the site can feed the cheapest single one that makes the date, else the cheapest combination that does, else
/// the single one that gains most. None if nothing gains half a day.
#[must_use]
pub fn first_action(actions: &[Action], needed_by: Option<Date>) -> Option<&Action> {
    let in_time = |a: &&Action| needed_by.is_some_and(|by| a.date.is_some_and(|d| d <= by));
    let fed: Vec<&Action> = actions.iter().filter(|a| fed(a)).collect();
    let cheapest = |single: bool| {
        let makes_it = fed.iter().copied().filter(in_time);
        makes_it
            .filter(|a| (a.things == 1) == single)
            .min_by(|a, b| a.cost.total_cmp(&b.cost))
    };
    // They stand in the order of what they gain, single ones first.
    let most = || fed.first().copied();
    let best = cheapest(true).or_else(|| cheapest(false)).or_else(most)?;
    Some(best).filter(|a| gains(a))
}

fn gains(action: &Action) -> bool {
    action.days_gained.is_some_and(|days| days >= WORTH_BUYING)
}

/// Whether some action makes the date.
pub(super) fn some_action_makes(actions: &[Action], by: Option<Date>) -> bool {
    let makes = |a: &Action| by.is_some_and(|by| a.date.is_some_and(|day| day <= by));
    actions.iter().any(makes)
}

/// The action that gains most among those that save money, with every price known; none if that is the first of all.
pub(super) fn saving_action(actions: &[Action]) -> Option<&Action> {
    let saves = |a: &&Action| a.cost < 0.0 && !a.cost_incomplete;
    let mut fed = actions.iter().filter(|a| fed(a));
    if fed.clone().next().as_ref().is_some_and(saves) {
        return None;
    }
    fed.find(saves).filter(|a| gains(a))
}

/// An action with its day, the days that it gains and its cost. It begins on a day, from which its figures are computed.
#[must_use]
pub fn in_a_sentence(action: &Action, begins: Date, currency: Currency, system: System) -> String {
    let cost = if not_priced(action) {
        "not priced".to_owned()
    } else {
        let (verb, more) = if action.cost < 0.0 {
            ("saves", "")
        } else {
            ("costs", " more")
        };
        format!(
            "{verb} {}{more}{}",
            currency.money(action.cost.abs()),
            if action.cost_incomplete {
                ", without prices that are not given"
            } else {
                ""
            }
        )
    };
    let dry = action
        .date
        .map(|day| format!("dry {} by one run, ", date(day, system)));
    format!(
        "Approve by {}: {}. Gains {}, {}{cost}.",
        date(begins, system),
        lower(action.name.of(system)),
        days(action.days_gained.unwrap_or(0.0)),
        dry.unwrap_or_default(),
    )
}

/// From the promised to the expected day.
pub(super) fn waterfall(scenario: &Scenario, e: &Explanation, system: System) -> Waterfall {
    let a = &e.attribution;
    let together = e.large_interaction();
    let bar = |i: usize| e.bar_days(i);
    let mut order: Vec<usize> = (0..e.causes.len()).collect();
    order.sort_by(|x, y| bar(*y).total_cmp(&bar(*x)));
    let (shown, small): (Vec<usize>, Vec<usize>) = order
        .into_iter()
        .partition(|i| bar(*i).abs() >= WORTH_BUYING);
    let mut steps: Vec<Step> = shown
        .into_iter()
        .map(|i| Step {
            name: e.causes[i].kind.name().to_owned(),
            note: e.causes[i].detail.of(system).to_owned(),
            days: bar(i),
            label: signed_days(bar(i)),
            together: false,
        })
        .collect();
    if !small.is_empty() {
        let sum: f64 = small.iter().map(|i| bar(*i)).sum();
        let names: Vec<String> = small
            .iter()
            .map(|i| lower(e.causes[*i].kind.name()))
            .collect();
        steps.push(Step {
            name: "Less than half a day each".into(),
            note: names.join(", "),
            days: sum,
            label: signed_days(sum),
            together: false,
        });
    }
    if together {
        steps.push(Step {
            name: "Causes together".into(),
            note: if a.interaction() > 0.0 {
                "together they cost more than one by one".into()
            } else {
                "together they cost less than one by one".into()
            },
            days: a.interaction(),
            label: signed_days(a.interaction()),
            together: true,
        });
    }
    let delay = a.delay();
    let title = match (e.expected, e.main_cause()) {
        (None, Some((cause, _))) => format!(
            "Not dry in the time simulated; {} weighs most",
            lower(cause.kind.name())
        ),
        (None, None) => "Not dry in the time simulated".into(),
        (Some(_), _) if delay.abs() < WORTH_BUYING => format!("As long as {}", e.reference),
        (Some(_), Some((cause, most))) if delay > 0.0 => format!(
            "{} longer than {}; {} costs {}{}",
            days(delay),
            e.reference,
            lower(cause.kind.name()),
            whole(most),
            by_itself(e)
        ),
        (Some(_), _) if delay > 0.0 => format!("{} longer than {}", days(delay), e.reference),
        (Some(_), _) => format!("{} less than {}", days(-delay), e.reference),
    };
    let by = scenario.needed_by.map(|by| Mark {
        x: seconds_between(scenario.slab.placed, by) / DAY + 1.0 - a.none,
        label: format!("needed by {}", short_date(by, system)),
    });
    let mut footer = Vec::new();
    if e.capped > 0 {
        footer.push(format!(
            "Where a floor would not be dry by {}, that day is counted: such bars are too short.",
            short_date(e.horizon, system)
        ));
    }
    footer.extend(limits::footer_of_scenario(scenario));
    Waterfall {
        title,
        subtitle: format!(
            "Days by which it takes longer, one run with \"{}\": {}",
            e.setup, scenario.name
        ),
        first: (capital(&e.reference), short_date(e.promised, system)),
        steps,
        last: (
            "As it is".into(),
            match e.expected {
                Some(day) => format!("{}, {}", short_date(day, system), signed_days(delay)),
                None => format!("not by {}", short_date(e.horizon, system)),
            },
        ),
        x_axis: XAxis::Dates {
            start: e.promised,
            system,
        },
        mark: by,
        open_end: e.expected.is_none(),
        footer,
    }
}

/// Where the days go: what `explain` and the report show of it.
pub(super) fn delay_blocks(scenario: &Scenario, e: &Explanation, system: System) -> Vec<Block> {
    vec![
        Block::text(headline(e, system)),
        Block::List(limits::of_scenario(scenario)),
        Block::Table(table(e, system)),
        Block::figure("delay", waterfall(scenario, e, system)),
        Block::Notes(remarks(scenario, e, system)),
    ]
}

/// What would buy days back; nothing without any.
pub(super) fn action_blocks(actions: &[Action], currency: Currency, system: System) -> Vec<Block> {
    // What makes the floor later buys nothing back.
    let loses = |a: &&Action| {
        a.days_gained
            .is_some_and(|d| plus_or_minus(-d).starts_with('+'))
    };
    let shown: Vec<Action> = actions.iter().filter(|a| !loses(a)).cloned().collect();
    if shown.is_empty() {
        return Vec::new();
    }
    let none = shown.iter().all(|a| a.days_gained.is_none());
    let none = none.then(|| Block::text("None of this gets the floor dry in the time simulated."));
    none.into_iter()
        .chain([
            Block::Table(actions_table(&shown, currency, system)),
            Block::note(EACH_BY_ITSELF),
        ])
        .collect()
}

impl Answer for Explained<'_> {
    type Data = ExplainData;

    fn data(&self) -> ExplainData {
        ExplainData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let said = self.verdict.iter();
        let mut blocks: Vec<Block> = said
            .clone()
            .map(|v| Block::text(verdict::sentence(v, system)))
            .collect();
        blocks.push(Block::List(said.flat_map(verdict::holds).collect()));
        blocks.extend(delay_blocks(self.scenario, &self.explanation, system));
        if self.actions.is_empty() {
            blocks.push(Block::text(nothing_left(&self.explanation, self.from)));
        }
        let currency = job::currency(self.scenario);
        blocks.extend(action_blocks(&self.actions, currency, system));
        blocks.push(Block::Notes(all_said(self.notices, system)));
        blocks.push(Block::note(RELEASE));
        Document::new(&self.scenario.name, blocks)
    }
}
