//! Charts of a comparison.

use crate::charts::{
    BarLook, Expected, Limit, LineChart, Mark, Passed, ProfileChart, ProfileCurve, Row, RowBar,
    RowChart, Series, TestChart, XAxis,
};
use crate::evaluate::odds::{SHARES, days_allowed};
use crate::evaluate::{DEW_POINT_MARGIN, Outcome, Record};
use crate::job::Job;
use crate::moisture_tests::{PROBE_ONE_SIDE, PROBE_TWO_SIDES, Target};
use crate::results::limits::{footer, test_name};
use crate::results::{ESTIMATE, Figure, verdict};
use crate::units::format::{
    Shown, capital, counted, day_and_month, days, hours, number, percent, short_date, whole,
};
use crate::units::{Kind, System};
use crate::verdict::{Basis, Ready, State, Timing, Verdict};
use jiff::civil::Date;

/// Setups named in one chart of readings; of more the best, the worst and the current one are.
const MOST_NAMED: usize = 8;
/// Test days shown at most.
const MOST_TESTS: f64 = 9.0;
/// Days between tests that people keep to: one, two, four, eight, thirteen and twenty-six weeks.
const BETWEEN_TESTS: [f64; 6] = [7.0, 14.0, 28.0, 56.0, 91.0, 182.0];
/// The readings are shown up to so many times the days of the setup that the chart is about.
const BEYOND: f64 = 1.7;
/// Curves of a profile chart.
const CURVES: usize = 6;
/// Above so many times the limit a flux tells nothing that the installer waits for.
const MOST_FLUX: f64 = 4.0;

/// How the readings of a target are shown.
#[derive(Clone, Copy, Debug)]
pub(in crate::results) struct TargetScale(Shown);

/// The unit of a target's readings.
pub(in crate::results) fn reading(target: &Target, system: System) -> TargetScale {
    let kind = if target.is_flux() {
        Kind::MassFlux
    } else {
        Kind::RelativeHumidity
    };
    TargetScale(Shown::of(kind, system))
}

impl TargetScale {
    /// A reading in its unit.
    pub(in crate::results) fn number(self, si: f64) -> f64 {
        self.0.number(si)
    }

    /// Test and unit.
    pub(in crate::results) fn name(self, target: &Target) -> String {
        format!("{}, {}", capital(test_name(target)), self.0.unit())
    }

    /// A reading that is in its unit already, as a number for people.
    pub(in crate::results) fn rounded(self, target: &Target, shown: f64) -> String {
        if target.is_flux() {
            number(shown, 1)
        } else {
            // No reading is told as its limit that is not at it.
            let limit = self.number(target.limit());
            let hides = whole(shown) == whole(limit) && number(shown, 1) != number(limit, 1);
            number(shown, usize::from(hides))
        }
    }

    /// The limit.
    pub(in crate::results) fn limit(self, target: &Target) -> Limit {
        Limit {
            value: self.number(target.limit()),
            label: format!("limit {}", self.0.text(target.limit(), 3)),
        }
    }
}

/// The day needed by as a mark on an axis of days of drying: the end of that day.
pub(in crate::results) fn needed_by(job: &Job, system: System) -> Option<Mark> {
    let (days, by) = days_allowed(job).zip(job.needed_by)?;
    Some(Mark {
        x: days,
        label: format!("needed by {}", short_date(by, system)),
    })
}

/// All charts of a comparison, in the order to be read.
pub(super) fn figures(
    job: &Job,
    outcomes: &[Outcome],
    verdicts: &[Verdict],
    system: System,
) -> Vec<Figure> {
    let mut out: Vec<Figure> = (0..job.targets.len())
        .filter_map(|k| moisture(job, outcomes, verdicts, k, system))
        .collect();
    out.push(days_and_costs(job, outcomes, verdicts, system));
    out.extend(outcomes.first().map(|best| profile(job, best, system)));
    out.extend(outcomes.first().map(|best| room(job, best, system)));
    out
}

/// The expected readings of one target on each test day, for the first setup, beside the courses of the others.
pub(in crate::results) fn moisture(
    job: &Job,
    outcomes: &[Outcome],
    verdicts: &[Verdict],
    k: usize,
    system: System,
) -> Option<Figure> {
    let mut chart = readings(job, outcomes, k, system)?;
    chart.title = verdicts
        .first()
        .map_or_else(|| "No setup".into(), |v| verdict::title(v, system));
    let name = match k {
        0 => "moisture".to_owned(),
        k => format!("moisture-{}", k + 1),
    };
    Some(Figure::new(name, chart))
}

/// Readings of a target by day: of a course with many a day the means, which a daily swing cannot turn into a blob.
fn by_test(outcome: &Outcome, k: usize, shown: TargetScale) -> Vec<(f64, f64)> {
    let reading = |r: &Record| r.readings.get(k).copied().filter(|x| x.is_finite());
    outcome
        .records
        .chunk_by(|a, b| a.day.floor() == b.day.floor())
        .filter_map(|day| {
            let values: Vec<f64> = day.iter().filter_map(reading).collect();
            let days = day.iter().map(|r| r.day).sum::<f64>() / day.len() as f64;
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            (!values.is_empty()).then(|| (days, shown.number(mean)))
        })
        .collect()
}

/// Days between tests so that no more than [`MOST_TESTS`] fall into so many days.
pub(in crate::results) fn test_step(days: f64) -> f64 {
    let longest = BETWEEN_TESTS[BETWEEN_TESTS.len() - 1];
    let fits = |step: &f64| days / step <= MOST_TESTS;
    let step = BETWEEN_TESTS.into_iter().find(fits);
    step.unwrap_or_else(|| longest.max(days / MOST_TESTS))
}

/// The value of a course at a day, on a straight line between its points; None outside of it.
fn at_day(course: &[(f64, f64)], day: f64) -> Option<f64> {
    course.windows(2).find_map(|pair| {
        let [(from, a), (to, b)] = [pair[0], pair[1]];
        let within = from <= day && day <= to && to > from;
        within.then(|| a + (b - a) * (day - from) / (to - from))
    })
}

/// When a setup passes: the day in the middle, its range and its date.
fn passed(job: &Job, outcome: &Outcome, system: System) -> Option<Passed> {
    let odds = outcome.odds.as_ref();
    let day = match odds {
        Some(odds) => odds.days(SHARES[1])?,
        None => outcome.days_to_target?,
    };
    let early = odds.and_then(|odds| odds.days(SHARES[0]));
    let late = odds.and_then(|odds| odds.days(SHARES[2]));
    let date = day_and_month(job.date(job.gear_on + day * crate::units::DAY), system);
    Some(Passed {
        day,
        range: early.map(|early| (early, late)),
        label: if job.targets.len() > 1 {
            format!("all limits passed {date}")
        } else {
            format!("passed {date}")
        },
    })
}

/// The same as a chart that has no title yet.
pub(in crate::results) fn readings(
    job: &Job,
    outcomes: &[Outcome],
    k: usize,
    system: System,
) -> Option<TestChart> {
    let target = job.targets.get(k)?;
    let first = outcomes.first()?;
    let shown = reading(target, system);
    let limit = shown.limit(target);
    let passed = passed(job, first, system);
    let own = by_test(first, k, shown);
    // Odds are of the first target; they tell the range of its readings.
    let odds = first.odds.as_ref().filter(|_| k == 0);
    let course: Vec<(f64, [f64; 3])> = odds.map(|odds| odds.course()).unwrap_or_default();
    let of_share = |share: usize| -> Vec<(f64, f64)> {
        let all = course.iter();
        all.map(|(day, values)| (*day, shown.number(values[share])))
            .collect()
    };
    let (low, middle, high) = (of_share(0), of_share(1), of_share(2));
    let middle = if course.is_empty() { own } else { middle };
    let horizon = middle.last().map_or(0.0, |p| p.0);
    let late = passed
        .as_ref()
        .map(|p| p.range.and_then(|r| r.1).unwrap_or(p.day));
    let end = late.unwrap_or(horizon).min(horizon);
    let step = test_step(end);
    let mut expected = Vec::new();
    let mut add = |day: f64, value: f64| {
        // A case that is done keeps the reading with which it passed.
        expected.push(Expected {
            day,
            value,
            range: at_day(&low, day).zip(at_day(&high, day)),
            label: shown.rounded(target, value),
        });
    };
    let mut day = step;
    while day <= end {
        if let Some(value) = at_day(&middle, day) {
            add(day, value);
        }
        day += step;
    }
    // A floor that passes before the first test day still reads something.
    if end < step
        && let Some((day, value)) = middle.first()
    {
        add(*day, *value);
    }
    let most = BEYOND * end.max(days_allowed(job).unwrap_or(0.0));
    let seen = |o: &Outcome| -> Vec<(f64, f64)> {
        let points = by_test(o, k, shown).into_iter();
        points.filter(|p| p.0 <= most).collect()
    };
    let others = &outcomes[1..];
    let current = job.setups.first().map(|setup| setup.name.as_str());
    let named = |i: usize, o: &Outcome| {
        outcomes.len() <= MOST_NAMED || i + 1 == others.len() || Some(o.name.as_str()) == current
    };
    let (lines, rest): (Vec<_>, Vec<_>) = others
        .iter()
        .enumerate()
        .partition(|(i, outcome)| named(*i, outcome));
    let series = lines.into_iter().map(|(_, o)| Series {
        name: o.name.clone(),
        points: seen(o),
        ..Series::default()
    });
    let rest: Vec<Vec<(f64, f64)>> = rest.into_iter().map(|(_, o)| seen(o)).collect();
    let mut notes = Vec::new();
    let band = (!rest.is_empty()).then(|| {
        let count = counted(rest.len(), "other setup");
        notes.push(format!(
            "Named: the best setup, the one on site and the last. The grey band holds {count}."
        ));
        (count, around(&rest))
    });
    notes.extend(footer(job));
    Some(TestChart {
        title: String::new(),
        subtitle: format!("What the test should read {}: {}", every(step), job.name),
        y_label: shown.name(target),
        name: first.name.clone(),
        expected,
        expected_label: format!("expected reading, {}", verdict::in_range()),
        passed,
        others: series.collect(),
        rest: band,
        readings: None,
        y_range: target.is_flux().then_some((0.0, MOST_FLUX * limit.value)),
        limit: Some(limit),
        x_marks: needed_by(job, system).into_iter().collect(),
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        footer: notes,
    })
}

/// How often is tested, in words.
pub(in crate::results) fn every(step: f64) -> String {
    let weeks = (step / 7.0).round();
    if weeks == 1.0 {
        "each week".into()
    } else {
        format!("every {}", counted(whole(weeks), "week"))
    }
}

/// Lowest and highest of some courses on each day on which there is one.
fn around(courses: &[Vec<(f64, f64)>]) -> Vec<(f64, f64, f64)> {
    let last = courses.iter().flatten().map(|p| p.0).fold(0.0, f64::max);
    (0..=last.min(1e5) as u32)
        .filter_map(|day| {
            let day = f64::from(day);
            let values = courses.iter().filter_map(|course| at_day(course, day));
            let range = values.fold(None, |range: Option<(f64, f64)>, value| {
                Some(range.map_or((value, value), |(a, b)| (a.min(value), b.max(value))))
            });
            range.map(|(low, high)| (day, low, high))
        })
        .collect()
}

/// Days by setup, without costs, for readers who know since when which of them is on site.
pub(in crate::results) fn days_by_setup(job: &Job, verdicts: &[Verdict], system: System) -> Figure {
    let as_if = format!(
        "As if each had been on site from {}: {}",
        short_date(job.date(job.gear_on), system),
        job.name
    );
    let chart = RowChart {
        subtitle: as_if,
        ..rows(job, &[], verdicts, system)
    };
    Figure::new("days", chart)
}

/// Days by setup, with the costs of the outcomes there are.
#[must_use]
pub fn days_and_costs(
    job: &Job,
    outcomes: &[Outcome],
    verdicts: &[Verdict],
    system: System,
) -> Figure {
    Figure::new("days", rows(job, outcomes, verdicts, system))
}

fn rows(job: &Job, outcomes: &[Outcome], verdicts: &[Verdict], system: System) -> RowChart {
    let limit = needed_by(job, system).map(|Mark { x, label }| Limit { value: x, label });
    let cost = |v: &Verdict| {
        let outcome = outcomes.iter().find(|o| o.name == v.setup)?;
        let currency = job.prices.currency;
        Some(currency.money_at_least(outcome.cost, outcome.cost_incomplete))
    };
    let rows = verdicts.iter().map(|v| row(v, cost(v), system)).collect();
    let until = if verdicts.iter().any(|v| v.to_coat()) {
        "the first coating day"
    } else {
        "every limit is passed"
    };
    RowChart {
        title: finding(verdicts, system),
        subtitle: format!("From the start of drying until {until}: {}", job.name),
        rows,
        limit,
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        looks: looks(verdicts.iter().map(|v| v.timing)),
        range_label: verdict::in_range(),
        footer: footer(job),
        ..RowChart::default()
    }
}

/// What the bars say, in the words of the verdict; nothing where no day is to be kept.
pub(in crate::results) fn looks(
    mut timings: impl Iterator<Item = Timing>,
) -> Vec<(BarLook, String)> {
    let said = timings.any(|timing| timing != Timing::NotSaid);
    let looks = [
        (BarLook::Solid, "in time"),
        (BarLook::Light, "may be late"),
        (BarLook::Hatched, "late"),
    ];
    let looks = looks.into_iter().filter(|_| said);
    looks
        .map(|(look, words)| (look, words.to_owned()))
        .collect()
}

/// The look of a bar: solid only from the wanted chance on.
pub(in crate::results) fn look(timing: Timing) -> BarLook {
    match timing {
        Timing::NotSaid | Timing::InTime => BarLook::Solid,
        Timing::MayBeLate => BarLook::Light,
        Timing::Late => BarLook::Hatched,
    }
}

/// A setup's row: its days with their range; date, chance and cost at the bar.
fn row(v: &Verdict, cost: Option<String>, system: System) -> Row {
    let missing = || match v.state {
        State::NotComputed => verdict::no_days(v).into(),
        _ if v.to_coat() => format!("no coating day by {}", short_date(v.horizon, system)),
        _ => format!("not dry by {}", short_date(v.horizon, system)),
    };
    let date = v.date().map_or_else(missing, |day| short_date(day, system));
    let days_of = v.ready.map(|ready| days(ready.days));
    let chance = v
        .chance
        .map(|chance| format!("{} in time", percent(chance)));
    let label = [Some(date), days_of, chance, cost].into_iter().flatten();
    // Cases that all come to one day have no range.
    let spread = |[low, high]: &[Option<Ready>; 2]| low.map(|r| r.date) != high.map(|r| r.date);
    let range = v.range.filter(spread);
    let note = range.and_then(|_| verdict::range_in_days(v));
    let range = range.filter(|_| v.ready.is_some());
    Row {
        name: v.setup.clone(),
        note: note
            .map(|range| format!("{}: {range}", verdict::in_range()))
            .unwrap_or_default(),
        label: label.collect::<Vec<_>>().join(", "),
        bar: match (v.ready, v.state) {
            (Some(ready), _) => RowBar::Bar(0.0, ready.days, look(v.timing)),
            (None, State::NotComputed) => RowBar::None,
            (None, _) => RowBar::Open,
        },
        range: range.and_then(|[low, high]| Some((low?.days, high.map(|high| high.days)))),
    }
}

/// The finding against the day needed, for titles: who makes it, with date and chance.
#[must_use]
pub fn finding(verdicts: &[Verdict], system: System) -> String {
    let Some(first) = verdicts.first() else {
        return "No setup".into();
    };
    if first.state == State::AlreadyDry {
        return verdict::title(first, system);
    }
    let hold = if first.on_hold() { "ON HOLD. " } else { "" };
    let found = match first.needed_by {
        Some(by) => against(verdicts, by, system),
        None => soonest(verdicts, system),
    };
    format!("{hold}{found}")
}

/// Date and chance of a setup, as far as there are any.
fn date_and_chance(v: &Verdict, system: System) -> String {
    let date = v.date().map(|day| {
        let day = day_and_month(day, system);
        if v.to_coat() {
            format!("coat on {day}")
        } else {
            day
        }
    });
    let chance = v
        .chance
        .map(|chance| format!("{} chance to make it", percent(chance)));
    date.into_iter()
        .chain(chance)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The one that is ready first; of two on one day the likelier.
fn first_of<'a>(verdicts: impl Iterator<Item = &'a Verdict>) -> Option<&'a Verdict> {
    let ready = verdicts.filter(|v| v.ready.is_some());
    ready.min_by(|a, b| {
        let chance = |v: &Verdict| v.chance.unwrap_or(0.0);
        a.date()
            .cmp(&b.date())
            .then(chance(b).total_cmp(&chance(a)))
    })
}

/// Without a day to keep.
fn soonest(verdicts: &[Verdict], system: System) -> String {
    let Some(first) = first_of(verdicts.iter()) else {
        return none_ready(verdicts, system);
    };
    let when = date_and_chance(first, system);
    match (verdicts.len(), first.to_coat()) {
        (1, true) => capital(&when),
        (1, false) => format!("Dry on {when}"),
        _ => format!("\"{}\" is ready first: {when}", first.setup),
    }
}

/// That nothing gets there.
fn none_ready(verdicts: &[Verdict], system: System) -> String {
    let horizon = verdicts.iter().map(|v| v.horizon).max();
    let by = horizon
        .map(|day| short_date(day, system))
        .unwrap_or_default();
    let computed = verdicts.iter().any(|v| v.state != State::NotComputed);
    match (verdicts.len(), computed) {
        (_, false) => "Not computed".into(),
        (1, true) => format!("Not dry by {by}"),
        _ => format!("No setup is dry by {by}"),
    }
}

/// Against the day to keep.
fn against(verdicts: &[Verdict], by: Date, system: System) -> String {
    let all = verdicts.len();
    let day = day_and_month(by, system);
    let of = |timing: Timing| verdicts.iter().filter(move |v| v.timing == timing);
    let say = |v: &Verdict| {
        let what = date_and_chance(v, system);
        if what.is_empty() {
            format!("\"{}\"", v.setup)
        } else {
            format!("\"{}\", {what}", v.setup)
        }
    };
    // Those that make it, first with the wanted chance, else in the one run that was computed.
    let once = |v: &&Verdict| v.basis == Basis::OneRun;
    let sure: Vec<&Verdict> = of(Timing::InTime).collect();
    let once: Vec<&Verdict> = of(Timing::MayBeLate).filter(once).collect();
    let (makers, prefix) = if sure.is_empty() {
        (once, "In one run ")
    } else {
        (sure, "")
    };
    if let Some(first) = first_of(makers.iter().copied()) {
        let when = date_and_chance(first, system);
        let text = match makers.len() {
            _ if all == 1 && prefix.is_empty() => format!("In time for {day}: {when}"),
            _ if all == 1 => format!("the floor makes {day}: {when}"),
            1 => format!("only \"{}\" makes {day}: {when}", first.setup),
            n if n == all => format!("every setup makes {day}. First: {}", say(first)),
            n => format!("{n} of {all} setups make {day}. First: {}", say(first)),
        };
        return capital(&format!("{prefix}{text}"));
    }
    let likely: Vec<&Verdict> = of(Timing::MayBeLate).collect();
    let chance = |v: &&&Verdict| v.chance.unwrap_or(0.0);
    // Of two that are as likely, the one that is named first everywhere.
    let best = likely
        .iter()
        .rev()
        .max_by(|a, b| chance(a).total_cmp(&chance(b)));
    if let Some(best) = best {
        let when = date_and_chance(best, system);
        return match (all, likely.len()) {
            (1, _) => format!("May be late for {day}: {when}"),
            (_, 1) => format!("Only \"{}\" may make {day}: {when}", best.setup),
            _ => format!("No setup is sure to make {day}. Best chance: {}", say(best)),
        };
    }
    match first_of(verdicts.iter()) {
        Some(first) if all == 1 => format!("Late for {day}: {}", date_and_chance(first, system)),
        Some(first) => format!("No setup makes {day}. Soonest: {}", say(first)),
        None if all == 1 => {
            let chance = verdicts.iter().map(|v| date_and_chance(v, system));
            let chance = chance
                .filter(|chance| !chance.is_empty())
                .map(|c| format!(": {c}"));
            let chance = chance.collect::<String>();
            format!("Late for {day}{chance}. {}", none_ready(verdicts, system))
        }
        None => format!("No setup makes {day}. {}", none_ready(verdicts, system)),
    }
}

/// Profiles of a setup: first, last and up to four between, evenly in time.
pub(in crate::results) fn profile(job: &Job, best: &Outcome, system: System) -> Figure {
    let n = best.profiles.len();
    let end = best.profiles.last().map_or(0.0, |(d, _)| *d);
    let mut chosen: Vec<usize> = (0..CURVES)
        .filter_map(|k| {
            let wanted = end * k as f64 / (CURVES - 1) as f64;
            (0..n).min_by(|a, b| {
                let distance = |i: &usize| (best.profiles[*i].0 - wanted).abs();
                distance(a).total_cmp(&distance(b))
            })
        })
        .collect();
    chosen.dedup();
    let (limit, share) = job
        .targets
        .iter()
        .find_map(|t| match t {
            Target::HumidityAtDepth { limit, depth_share } => Some((
                Some(Limit {
                    value: limit * 100.0,
                    label: format!("limit {}", percent(*limit)),
                }),
                *depth_share,
            )),
            _ => None,
        })
        .unwrap_or((None, None));
    let share = share.unwrap_or(if job.slab.dries_from_two_sides() {
        PROBE_TWO_SIDES
    } else {
        PROBE_ONE_SIDE
    });
    let inches = system == System::Us;
    let depth = Shown::named(Kind::Length, if inches { "in" } else { "mm" });
    let test_depth = share * job.slab.thickness;
    let chart = ProfileChart {
        title: best.profiles.last().map_or_else(
            || "No profile".into(),
            |(day, points)| through(*day, points, test_depth),
        ),
        subtitle: format!(
            "Relative humidity through the slab, with setup \"{}\"",
            best.name
        ),
        depth_label: format!("Depth below the surface, {}", depth.unit()),
        x_label: format!(
            "Relative humidity, {}",
            Shown::of(Kind::RelativeHumidity, system).unit()
        ),
        curves: chosen
            .iter()
            .map(|&i| {
                let (day, points) = &best.profiles[i];
                let point = |(x, h): &(f64, f64)| (depth.number(*x), h * 100.0);
                // The deepest cell stands for all that lies below its middle.
                let bottom = points.last().map(|(_, h)| (job.slab.thickness, *h));
                let read = at_day(points, test_depth).map(|read| format!(": {}", percent(read)));
                ProfileCurve {
                    name: format!("day {}{}", whole(*day), read.unwrap_or_default()),
                    points: points.iter().chain(&bottom).map(point).collect(),
                    emphasis: Some(&i) == chosen.last(),
                }
            })
            .collect(),
        limit,
        test_depth: Some(Limit {
            value: depth.number(test_depth),
            label: format!("test depth, {} of the slab", percent(share)),
        }),
        footer: vec![ESTIMATE.into()],
    };
    Figure::new("profile", chart)
}

/// What a profile shows: the humidity at the surface, at the test depth and at the bottom of the slab.
#[must_use]
pub fn through(day: f64, points: &[(f64, f64)], test_depth: f64) -> String {
    let at = |share: Option<f64>| share.map_or_else(|| "-".into(), percent);
    format!(
        "Day {}: {} at the surface, {} at test depth, {} at the bottom",
        whole(day),
        at(points.first().map(|p| p.1)),
        at(at_day(points, test_depth)),
        at(points.last().map(|p| p.1))
    )
}

/// Middle, lowest, mean and highest value of each day of drying.
fn by_day(outcome: &Outcome, value: &dyn Fn(&Record) -> f64) -> Vec<(f64, f64, f64, f64)> {
    outcome
        .records
        .chunk_by(|a, b| a.day.floor() == b.day.floor())
        .map(|day| {
            let values = || day.iter().map(value);
            (
                day[0].day.floor() + 0.5,
                values().fold(f64::INFINITY, f64::min),
                values().sum::<f64>() / day.len() as f64,
                values().fold(f64::NEG_INFINITY, f64::max),
            )
        })
        .collect()
}

/// Room, dew point and face, with the condensation margin.
pub(in crate::results) fn room(job: &Job, best: &Outcome, system: System) -> Figure {
    let degrees = Shown::of(Kind::Temperature, system);
    let margin = Shown::of(Kind::TemperatureDifference, system).text(DEW_POINT_MARGIN, 0);
    let line = |name: &str, emphasis: bool, value: &dyn Fn(&Record) -> f64| {
        let days = by_day(best, &|r| degrees.number(value(r)));
        Series {
            name: name.into(),
            points: days.iter().map(|d| (d.0, d.2)).collect(),
            band: emphasis.then(|| days.iter().map(|d| (d.0, d.1, d.3)).collect()),
            emphasis,
            ..Series::default()
        }
    };
    let wet = best.hours.near_dew_point;
    let chart = LineChart {
        title: if wet < 1.0 {
            "The slab stays clear of the dew point".into()
        } else {
            format!("The slab is within {margin} of the dew point for {}", hours(wet))
        },
        subtitle: format!("Daily means, {}, with setup \"{}\"", degrees.unit(), best.name),
        band_label: "shaded: lowest to highest of the day".into(),
        series: vec![
            line("room air", false, &|r| r.air_temperature),
            line("slab surface", true, &|r| r.face_temperature),
            line(&format!("dew point + {margin} margin"), false, &|r| {
                r.dew_point + DEW_POINT_MARGIN
            }),
            line("dew point", false, &|r| r.dew_point),
        ],
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        footer: vec![
            "Coat only while the surface is above the margin (ISO 8502-4) and the product sheet allows it.".into(),
            ESTIMATE.into(),
        ],
        ..LineChart::default()
    };
    Figure::new("room", chart)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_reading_is_told_as_its_limit_that_is_not_at_it() {
        let target = Target::HumidityAtDepth {
            limit: 0.85,
            depth_share: None,
        };
        let scale = reading(&target, System::Us);
        for (shown, told) in [
            (84.6, "84.6"),
            (85.4, "85.4"),
            (85.0, "85"),
            (84.4, "84"),
            (86.2, "86"),
        ] {
            assert_eq!(scale.rounded(&target, shown), told);
        }
    }
}
