//! Charts of a comparison.

use crate::charts::{
    Bar, BarChart, BarLook, BarWords, Limit, LineChart, Mark, ProfileChart, ProfileCurve, Series,
    XAxis,
};
use crate::evaluate::odds::{Odds, days_allowed};
use crate::evaluate::{DEW_POINT_MARGIN, Outcome, Record};
use crate::job::Job;
use crate::moisture_tests::{PROBE_ONE_SIDE, PROBE_TWO_SIDES, Target};
use crate::results::limits::{footer, test_name};
use crate::results::{ESTIMATE, Figure, verdict};
use crate::units::format::{Shown, capital, date, days, percent, whole};
use crate::units::{Kind, System};
use crate::verdict::{State, Timing, Verdict};

/// Setups drawn in one line chart; more are told apart by nobody.
const MOST_LINES: usize = 8;
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

    /// The limit.
    pub(in crate::results) fn limit(self, target: &Target) -> Limit {
        Limit {
            value: self.number(target.limit()),
            label: format!("limit {}", self.0.text(target.limit(), 3)),
        }
    }
}

/// The day needed by as a mark on an axis of days of drying: the end of that day.
pub(in crate::results) fn needed_by(job: &Job) -> Option<Mark> {
    let (days, by) = days_allowed(job).zip(job.needed_by)?;
    Some(Mark {
        x: days,
        label: format!("needed by {}", date(by)),
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
    out.push(days_by_setup(job, verdicts));
    out.extend(outcomes.first().map(|best| profile(job, best)));
    out.extend(outcomes.first().map(|best| room(job, best, system)));
    out
}

/// The readings of one target through time, all setups.
pub(in crate::results) fn moisture(
    job: &Job,
    outcomes: &[Outcome],
    verdicts: &[Verdict],
    k: usize,
    system: System,
) -> Option<Figure> {
    let mut chart = course(job, outcomes, k, system)?;
    chart.title = finding(verdicts);
    let name = match k {
        0 => "moisture".to_owned(),
        k => format!("moisture-{}", k + 1),
    };
    Some(Figure::new(name, chart))
}

/// The same as a chart that has no title yet.
pub(in crate::results) fn course(
    job: &Job,
    outcomes: &[Outcome],
    k: usize,
    system: System,
) -> Option<LineChart> {
    let target = job.targets.get(k)?;
    let shown = reading(target, system);
    let limit = shown.limit(target);
    let points = |o: &Outcome| {
        let of_target = |r: &Record| Some((r.day, *r.readings.get(k).filter(|x| x.is_finite())?));
        let points = o.records.iter().filter_map(of_target);
        points.map(|(day, x)| (day, shown.number(x))).collect()
    };
    let series = outcomes.iter().take(MOST_LINES).enumerate();
    let series = series.map(|(i, o)| Series {
        name: o.name.clone(),
        points: points(o),
        emphasis: i == 0,
        band: o
            .odds
            .as_ref()
            .filter(|_| i == 0 && k == 0)
            .map(|odds| band(odds, shown, limit.value)),
        ..Series::default()
    });
    Some(LineChart {
        subtitle: format!("{}: {}", shown.name(target), job.name),
        series: series.collect(),
        y_range: target.is_flux().then_some((0.0, MOST_FLUX * limit.value)),
        limits: vec![limit],
        x_marks: needed_by(job).into_iter().collect(),
        band_label: "shaded: 80 % chance, the first".into(),
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
        },
        footer: footer(job),
        ..LineChart::default()
    })
}

/// Where the readings of eight samples in ten lie, down to the limit.
fn band(odds: &Odds, shown: TargetScale, limit: f64) -> Vec<(f64, f64, f64)> {
    let all = odds.course().into_iter();
    let all = all.map(|(day, [low, _, high])| (day, shown.number(low), shown.number(high)));
    let open = all.filter(|(_, _, high)| *high > limit);
    open.map(|(day, low, high)| (day, low.max(limit), high))
        .collect()
}

/// The finding, for titles: the verdict on the first setup.
fn finding(verdicts: &[Verdict]) -> String {
    let title = verdicts.first().map(verdict::title);
    title.unwrap_or_else(|| "No setup".into())
}

/// Days by setup.
pub(in crate::results) fn days_by_setup(job: &Job, verdicts: &[Verdict]) -> Figure {
    let limit = needed_by(job).map(|Mark { x, label }| Limit { value: x, label });
    let bar = |v: &Verdict| {
        let missing = || match v.state {
            State::NotComputed => verdict::no_days(v).into(),
            _ if v.to_coat() => format!("no coating day by {}", date(v.horizon)),
            _ => format!("not dry by {}", date(v.horizon)),
        };
        let note = match (verdict::days_range(v), v.date()) {
            (Some(range), _) => format!("8 cases in 10: {range} days"),
            (None, Some(day)) => date(day),
            (None, None) => String::new(),
        };
        Bar {
            name: v.setup.clone(),
            value: v.ready.map(|ready| ready.days),
            value_label: v.ready.map_or_else(missing, |ready| days(ready.days)),
            note,
            look: match (v.ready, v.timing) {
                (None, _) => BarLook::Open,
                (_, Timing::NotSaid | Timing::InTime) => BarLook::Filled,
                (_, Timing::MayBeLate) => BarLook::Light,
                (_, Timing::Late) => BarLook::Hatched,
            },
        }
    };
    let until = if verdicts.iter().any(|v| v.to_coat()) {
        "the first coating day"
    } else {
        "every target is met"
    };
    let chart = BarChart {
        title: finding(verdicts),
        subtitle: format!("Days from the start of drying until {until}: {}", job.name),
        bars: verdicts.iter().map(bar).collect(),
        limit,
        words: BarWords {
            filled: "in time".into(),
            light: "may be late".into(),
            hatched: "late".into(),
            open: "never".into(),
        },
        footer: footer(job),
    };
    Figure::new("days", chart)
}

/// Profiles of a setup: first, last and up to four between, evenly in time.
pub(in crate::results) fn profile(job: &Job, best: &Outcome) -> Figure {
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
    let chart = ProfileChart {
        title: "The face dries first; the depth decides".into(),
        subtitle: format!(
            "Relative humidity through the slab, with setup \"{}\"",
            best.name
        ),
        x_label: "Relative humidity, %".into(),
        curves: chosen
            .iter()
            .map(|&i| {
                let (day, points) = &best.profiles[i];
                ProfileCurve {
                    name: format!("day {}", whole(*day)),
                    points: points.iter().map(|(x, h)| (x * 1e3, h * 100.0)).collect(),
                    emphasis: Some(&i) == chosen.last(),
                }
            })
            .collect(),
        limit,
        test_depth: Some(Limit {
            value: share * job.slab.thickness * 1e3,
            label: format!("test depth, {}", percent(share)),
        }),
        x_range: None,
        footer: vec![ESTIMATE.into()],
    };
    Figure::new("profile", chart)
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
            format!("The slab is within {margin} of the dew point for {} h", whole(wet))
        },
        subtitle: format!("Daily means, {}, with setup \"{}\"", degrees.unit(), best.name),
        band_label: "shaded: lowest to highest of the day".into(),
        series: vec![
            line("room air", false, &|r| r.air_temperature),
            line("slab face", true, &|r| r.face_temperature),
            line(&format!("dew point + {margin} margin"), false, &|r| {
                r.dew_point + DEW_POINT_MARGIN
            }),
            line("dew point", false, &|r| r.dew_point),
        ],
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
        },
        footer: vec![
            "Coat only while the face is above the margin (ISO 8502-4) and the product sheet's window is met.".into(),
            ESTIMATE.into(),
        ],
        ..LineChart::default()
    };
    Figure::new("room", chart)
}
