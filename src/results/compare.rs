//! The setups of a job compared: days, date, energy, cost, water.

pub mod charts;

use super::chance::OddsData;
use super::decide::{AtLimitData, Decisions, ExpectedData, WayData};
use super::limits::{self, test_name};
use super::record::kwh;
use super::verdict::{self, VerdictData};
use super::{Answer, Block, Columns, Document, RELEASE, TextTable, finite, or_dash, record};
use crate::evaluate::power::power;
use crate::evaluate::{
    ALL_SETUPS, Advice, Assumption, Compared, Instead, Later, LimitedBy, Matter, NotComputed,
    NotDryReason, Outcome, Record, UnderFilm, WettingCost, handbook_days,
};
use crate::job::Job;
use crate::moisture_tests::Target;
use crate::scenario::model::WettingKind;
use crate::units::format::{
    Fuel, Said, all_said, capital, counted, date, day_and_month, days, listed, moved_by, percent,
    rounded, short_date, some_days, tiny, whole,
};
use crate::units::{self, DAY, Kind, System};
use crate::verdict::Verdict;
use crate::weather::places::names_source;
use jiff::civil::Date;

/// Cautions and notes on the first screen; the others come with `-v`.
const MOST_NOTES: usize = 3;

/// The setups of a job, compared.
#[derive(Clone, Debug)]
pub struct Comparison<'a> {
    /// The job.
    pub job: &'a Job,
    /// What came of its setups.
    pub compared: Compared,
    /// What may be said of each, in the order in which they are shown.
    pub verdicts: Vec<Verdict>,
    /// Notes and cautions.
    pub advice: Vec<Advice>,
    /// What single things are worth.
    pub worth: Worth,
    /// What to decide beside the gear.
    pub decisions: Decisions,
    /// Notes about the weather and the work on the floor.
    pub notices: &'a [Said],
}

/// What single things are worth in days, with one setup.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worth {
    /// Water on the floor.
    pub wettings: Vec<WettingCost>,
    /// What was not given.
    pub assumptions: Vec<Assumption>,
}

record! {
    /// A comparison: `coatday/compare/1`.
    CompareData(c: &Comparison<'_>) where [job = c.job] {
        schema: &'static str = "coatday/compare/1",
        scenario: String = job.name.clone(),
        drying_starts: Date = job.date(job.gear_on),
        needed_by: Option<Date> = job.needed_by,
        verdict: Option<VerdictData> = c.verdicts.first().map(VerdictData::of),
        limits: Vec<String> = limits::of_job(job),
        notices: Vec<String> = all_said(c.notices, System::Si),
        wetting_costs: Vec<WettingData> = c.worth.wettings.iter().map(WettingData::of).collect(),
        other_limits: Vec<AtLimitData> = c.decisions.limits.limits.iter().map(|at| AtLimitData::of(job, at)).collect(),
        expected_readings: Vec<ExpectedData> = c.decisions.limits.readings.iter().map(ExpectedData::of).collect(),
        ways: Vec<WayData> = c.decisions.ways.iter().map(|way| WayData::of(job, way)).collect(),
        assumptions: Vec<AssumptionData> = c.worth.assumptions.iter().map(AssumptionData::of).collect(),
        setups: Vec<SetupData> = c.compared.all().map(|row| SetupData::of(c, row)).collect(),
    }

    /// What water on the floor costs.
    WettingData(w: &WettingCost) {
        date: Option<Date> = w.date,
        kind: Option<&'static str> = w.kind.map(wetting_word),
        days: Option<f64> = w.days,
    }

    /// Something that was not given.
    AssumptionData(a: &Assumption) {
        taken: String = a.taken.clone(),
        instead: Vec<InsteadData> = a.instead.iter().map(InsteadData::of).collect(),
    }

    /// What could be so instead.
    InsteadData(of: &Instead) {
        what: String = of.what.of(System::Si).to_owned(),
        days_later: Option<f64> = of.later.days(),
        computed: bool = of.later != Later::NotComputed,
    }

    /// A setup. Of one that was not computed all but its name, why, and what its gear alone says is null.
    SetupData(c: &Comparison<'_>, row: Row<'_>) where [
        o = row.ok(),
        setup = name(row),
        figure = |value: fn(&Outcome) -> f64| o.map(value).and_then(finite),
    ] {
        name: String = setup.to_owned(),
        verdict: Option<VerdictData> = c.verdict(setup).map(VerdictData::of),
        days_to_target: Option<f64> = o.and_then(|o| o.days_to_target),
        date: Option<Date> = o.and_then(|o| o.date),
        meets_needed_by: Option<bool> = o.and(c.job.needed_by).and(c.verdict(setup)).map(Verdict::makes_it),
        never_reason: Option<String> = reason(row),
        energy_kwh: Option<f64> = figure(|o| kwh(o.energy.electricity)),
        fuel_kwh: Option<f64> = figure(|o| kwh(o.energy.fuel())),
        cost: Option<f64> = figure(|o| o.cost),
        rental_cost: Option<f64> = figure(|o| o.rental),
        delay_cost: Option<f64> = o.and_then(|o| o.delay_cost),
        cost_incomplete: bool = o.is_some_and(|o| o.cost_incomplete),
        water_removed_kg: Option<f64> = figure(|o| o.water_removed),
        fits_power: Option<bool> = fits_power(c.job, setup),
        limited_by: Option<&'static str> = o.map(|o| o.limited_by.word()),
        face_share: Option<f64> = figure(|o| o.face_share),
        water_balance_error: Option<f64> = figure(|o| o.water_balance_error),
        heat_balance_error: Option<f64> = figure(|o| o.heat_balance_error),
        odds: Option<OddsData> = o.and_then(|o| o.odds.as_ref()).map(|odds| OddsData::of(c.job, odds)),
        under_film: Option<UnderFilmData> = o.and_then(|o| o.under_film.as_ref()).map(UnderFilmData::of),
        handbook_days: Option<f64> = o.and_then(|o| handbook_days(c.job, o)),
        final_readings: Option<Vec<ReadingData>> = o.and_then(|o| o.records.last()).map(|r| readings(c.job, r)),
        notes: Vec<NoteData> = c.advice.iter().filter(|a| a.setup == setup).map(NoteData::of).collect(),
    }

    /// A note on a setup.
    NoteData(a: &Advice) {
        caution: bool = a.caution(),
        text: String = a.text.of(System::Si).to_owned(),
    }

    /// The last reading of a test with its limit, in the unit of the test.
    ReadingData(target: &Target, reading: f64) where [
        flux = target.is_flux(),
        flow = |x: f64| x * (1e3 * DAY),
        share = |x: f64| x * 100.0,
    ] {
        test: &'static str = test_name(target),
        #[serde(skip_serializing_if = "Option::is_none")]
        reading_g_per_m2_day: Option<Option<f64>> = flux.then(|| finite(reading).map(flow)),
        #[serde(skip_serializing_if = "Option::is_none")]
        limit_g_per_m2_day: Option<f64> = flux.then(|| flow(target.limit())),
        #[serde(skip_serializing_if = "Option::is_none")]
        reading_percent: Option<Option<f64>> = (!flux).then(|| finite(reading).map(share)),
        #[serde(skip_serializing_if = "Option::is_none")]
        limit_percent: Option<f64> = (!flux).then(|| share(target.limit())),
    }

    /// The humidity that comes to stand under the coating.
    UnderFilmData(f: &UnderFilm) {
        peak_relative_humidity_percent: f64 = 100.0 * f.peak,
        days_after_coating: f64 = f.days,
        still_rising: bool = f.still_rising,
    }
}

/// A setup as it is shown: what came of it, or that it was not computed.
type Row<'a> = Result<&'a Outcome, &'a NotComputed>;

fn name(row: Row<'_>) -> &str {
    row.map_or_else(|gave_up| &gave_up.setup, |o| &o.name)
}

/// Why it has no day.
fn reason(row: Row<'_>) -> Option<String> {
    match row {
        Ok(o) => o.not_dry.as_ref().map(NotDryReason::sentence),
        Err(gave_up) => Some(gave_up.sentence()),
    }
}

impl Comparison<'_> {
    /// What may be said of a setup.
    #[must_use]
    pub fn verdict(&self, setup: &str) -> Option<&Verdict> {
        self.verdicts.iter().find(|v| v.setup == setup)
    }
}

fn readings(job: &Job, record: &Record) -> Vec<ReadingData> {
    let pairs = job.targets.iter().zip(&record.readings);
    pairs
        .map(|(target, x)| ReadingData::of(target, *x))
        .collect()
}

fn fits_power(job: &Job, setup: &str) -> Option<bool> {
    let setup = job.setups.iter().find(|s| s.name == setup)?;
    let load = power(&setup.room, job.site_power.as_ref());
    Some(load.site?.fits())
}

fn wetting_word(kind: WettingKind) -> &'static str {
    match kind {
        WettingKind::Rain => "rain",
        WettingKind::Washing => "washing",
        WettingKind::EtchRinse => "etch rinse",
    }
}

impl Worth {
    /// What water on the floor costs with a setup, a sentence each.
    #[must_use]
    pub fn of_wettings(&self, setup: &str, system: System) -> Vec<String> {
        let line = |w: &WettingCost| {
            let what = match (w.kind, w.date) {
                (Some(kind), Some(day)) => {
                    format!("{} on {}", capital(wetting_word(kind)), date(day, system))
                }
                _ => "All water on the floor together".into(),
            };
            match w.days {
                Some(days) if moved_by(days) == "no difference" => {
                    format!("{what} costs nothing with {setup}.")
                }
                Some(days) => format!("{what} costs {} with {setup}.", some_days(days)),
                None => format!("{what}: its cost in days is not known."),
            }
        };
        self.wettings.iter().map(line).collect()
    }

    /// What was taken because it was not given, with the days that something else would move the date by; what moves it most first.
    #[must_use]
    pub fn of_assumptions(&self, setup: &str, system: System) -> Vec<String> {
        let mut all: Vec<&Assumption> = self.assumptions.iter().collect();
        all.sort_by(|a, b| b.moves().total_cmp(&a.moves()));
        let line = |a: &Assumption| {
            let instead = a.instead.iter().map(|of| {
                let moved = match of.later {
                    Later::Days(days) => moved_by(days),
                    Later::NeverDry => "not dry in the time simulated".into(),
                    Later::NotComputed => "not computed".into(),
                };
                format!("{}: {moved}", of.what.of(system))
            });
            let instead: Vec<String> = instead.collect();
            format!(
                "Assumed with {setup}: {}. {}.",
                a.taken,
                capital(&instead.join("; "))
            )
        };
        all.into_iter().map(line).collect()
    }
}

/// The fuels that some setup burns: place, name, and the kind of its price.
fn fuels(outcomes: &[Outcome]) -> Vec<(usize, &'static str, Kind)> {
    [
        (0, "Propane", Kind::PropanePrice),
        (1, "Natural gas", Kind::NaturalGasPrice),
        (2, "Kerosene", Kind::KerosenePrice),
        (3, "Diesel", Kind::DieselPrice),
    ]
    .into_iter()
    .filter(|(place, ..)| outcomes.iter().any(|o| o.energy.fuels[*place] > 0.0))
    .collect()
}

/// The ranking as a table. Range and chance take the place of water where cases were sampled.
#[must_use]
pub fn table(c: &Comparison<'_>, system: System) -> TextTable {
    type Shown<'a> = (Row<'a>, &'a Verdict);
    let mass = units::format::Shown::of(Kind::Mass, system);
    let currency = c.job.prices.currency;
    let sampled = c.verdicts.iter().any(|v| verdict::days_range(v).is_some());
    let work = c.verdicts.iter().any(|v| v.to_coat());
    let needed = c.job.needed_by;
    let figure =
        |(row, _): &Shown<'_>, text: &dyn Fn(&Outcome) -> String| or_dash(row.ok().map(text));
    let mut columns = Columns::new()
        .left("Setup", |(row, _): &Shown<'_>| name(*row).to_owned())
        .right("Days", |(_, v)| verdict::days_cell(v))
        .when(sampled, |c| {
            let head = format!("Days, {}", verdict::in_range());
            c.left(head, |(_, v)| or_dash(verdict::days_range(v)))
                .rank(3)
        })
        .left(if work { "Coat on" } else { "Dry on" }, move |(_, v)| {
            or_dash(v.date().map(|day| short_date(day, system)))
        })
        .when(needed.is_some(), |c| {
            let by = needed.map(|day| day_and_month(day, system));
            let head = format!("Chance by {}", by.unwrap_or_default());
            c.left(head, |(_, v)| verdict::timing(v))
        })
        .right("Cost", move |row| {
            figure(row, &|o| currency.money_at_least(o.cost, o.cost_incomplete))
        });
    for (place, name, price) in fuels(&c.compared.outcomes) {
        let fuel = Fuel::sold(price, system);
        let head = format!("{name}, {}", fuel.unit());
        columns = columns
            .right(head, move |row| {
                figure(row, &|o| fuel.number(o.energy.fuels[place]))
            })
            .rank(4);
    }
    let table = columns
        .right("kWh", move |row| {
            figure(row, &|o| rounded(kwh(o.energy.electricity)))
        })
        .rank(5)
        .when(!sampled, |c| {
            let head = format!("Water, {}", mass.unit());
            c.right(head, move |row| {
                figure(row, &|o| rounded(mass.number(o.water_removed)))
            })
            .rank(6)
        })
        .left("Slowest part", move |row| {
            figure(row, &|o| o.limited_by.slowest_part().into())
        })
        .rank(7)
        .rows(c.compared.all().zip(&c.verdicts));
    let best = c.verdicts.first().filter(|v| v.ready.is_some());
    table.strong(best.map(|_| 0))
}

/// Setups with simulated cases that are not in their odds.
fn left_out(outcomes: &[Outcome]) -> impl Iterator<Item = (&str, String)> {
    outcomes.iter().filter_map(|o| {
        let odds = o.odds.as_ref().filter(|odds| odds.failed > 0)?;
        let text = format!(
            "{}: the solver gave up on {} of {}. The range and the chance leave them out.",
            o.name,
            odds.failed,
            counted(odds.failed + odds.samples.len(), "simulated case")
        );
        Some((o.name.as_str(), text))
    })
}

/// The result in a few sentences: the verdict on the first setup.
#[must_use]
pub fn headline(verdicts: &[Verdict], system: System) -> String {
    let said = verdicts.first().map(|v| verdict::sentence(v, system));
    said.unwrap_or_else(|| "No setup.".into())
}

/// Everything to be known of the setups but what harms people, the weightiest first. What is said of the first setup, or of all, comes
/// before what is said of the others; among those the order is that of [`Matter`], then that of the ranking.
fn remarks(c: &Comparison<'_>, system: System) -> Vec<String> {
    let compared = &c.compared;
    let why = compared.all().skip(1).filter_map(|row| {
        let text = format!("{}: {}", name(row), reason(row)?);
        Some((true, Matter::Pace, text))
    });
    let advice = c.advice.iter().filter(|a| !a.caution());
    let best = compared.outcomes.first().map(|o| o.name.as_str());
    let of_others = |setup: &str| best.is_some_and(|best| best != setup) && setup != ALL_SETUPS;
    let advice = advice.map(|a| {
        let text = format!("{}: {}", a.setup, a.text.of(system));
        (of_others(&a.setup), a.matter, text)
    });
    let worth = best.into_iter().flat_map(|best| {
        let assumed = c.worth.of_assumptions(best, system).into_iter();
        let wet = c.worth.of_wettings(best, system).into_iter();
        assumed.chain(wet).map(|line| (false, Matter::Limit, line))
    });
    let lost = left_out(&compared.outcomes);
    let lost = lost.map(|(setup, text)| (of_others(setup), Matter::Limit, text));
    let mut all: Vec<(bool, Matter, String)> = advice.chain(worth).chain(lost).chain(why).collect();
    all.sort_by_key(|(others, matter, _)| (*others, *matter));
    // What is said of one of the others on a matter comes before what is said of a second one on the same.
    let mut said = Vec::new();
    let (first, again): (Vec<_>, Vec<_>) = all.into_iter().partition(|(others, matter, _)| {
        let new = !said.contains(matter);
        said.push(*matter);
        !others || new
    });
    let all = first.into_iter().chain(again);
    all.map(|(_, _, text)| text).collect()
}

/// Where people can come to harm.
pub(super) fn cautions(advice: &[Advice], system: System) -> Vec<Block> {
    let mut said: Vec<(&Said, Vec<String>)> = Vec::new();
    for a in advice.iter().filter(|a| a.caution()) {
        match said.iter_mut().find(|(text, _)| **text == a.text) {
            Some((_, setups)) => setups.push(a.setup.clone()),
            None => said.push((&a.text, vec![a.setup.clone()])),
        }
    }
    let block = |(text, setups): (&Said, Vec<String>)| Block::Caution {
        about: Some(listed(&setups)),
        text: text.of(system).to_owned(),
    };
    said.into_iter().map(block).collect()
}

/// The ranking and what is to be known of it: what `compare` and the report show.
pub(super) fn ranking(c: &Comparison<'_>, system: System) -> [Block; 5] {
    let best = c.verdicts.first();
    let said = best.map(verdict::reason_and_next).into_iter().flatten();
    [
        Block::text(headline(&c.verdicts, system)),
        Block::List(best.map(verdict::holds).unwrap_or_default()),
        Block::List(
            said.chain(c.decisions.sentences(c.job, system))
                .chain(limits::of_job(c.job))
                .collect(),
        ),
        Block::Table(table(c, system)),
        Block::Notes(remarks(c, system)),
    ]
}

/// What the column "Slowest part" means.
pub(super) const SLOWEST_PART: &str =
    "\"Slowest part\" sets the pace of drying: the surface, the slab core or ground moisture.";

/// What the slowest parts that a comparison shows are waiting for.
pub(super) fn slowest_parts(c: &Comparison<'_>) -> String {
    let mut text = SLOWEST_PART.to_owned();
    for part in [LimitedBy::Face, LimitedBy::Depth, LimitedBy::Ground] {
        if c.compared.outcomes.iter().any(|o| o.limited_by == part) {
            text = text + " " + part.what_helps();
        }
    }
    text
}

fn work(o: &Outcome) -> String {
    format!(
        "{}: {} time steps. Balance errors: water {}, heat {}. {} of the drop in humidity lies in the air over the surface.",
        o.name,
        whole(o.work.0 as f64),
        tiny(o.water_balance_error),
        tiny(o.heat_balance_error),
        percent(o.face_share)
    )
}

/// The date of a setup beside the handbook's, where that says something.
pub(super) fn second_opinion(job: &Job, o: &Outcome) -> Option<String> {
    let (here, handbook) = (o.days_to_target?, handbook_days(job, o)?);
    Some(format!(
        "{}: {} by one run of this program. A handbook's factors (Hedenblad 1995 and 1997) give {} in the same air, for a slab four weeks old.",
        o.name,
        days(here),
        days(handbook)
    ))
}

impl Answer for Comparison<'_> {
    type Data = CompareData;

    fn data(&self) -> CompareData {
        CompareData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let (job, outcomes) = (self.job, &self.compared.outcomes);
        let [headline, holds, said, table, _] = ranking(self, system);
        let mut blocks = vec![headline, holds, said, table];
        blocks.extend(
            charts::figures(job, outcomes, &self.verdicts, system)
                .into_iter()
                .map(Block::Figure),
        );
        let cautions = cautions(&self.advice, system);
        let mut first = remarks(self, system);
        // The screen that everybody reads has the cautions and the weightiest notes; the others are for those who ask.
        let decided = self.decisions.sentences(job, system).len();
        let before = cautions.len() + limits::of_job(job).len() + decided;
        let room = MOST_NOTES.saturating_sub(before);
        let rest = first.split_off(room.min(first.len()));
        blocks.extend(cautions);
        let (sources, notices): (Vec<String>, Vec<String>) = all_said(self.notices, system)
            .into_iter()
            .partition(|notice| names_source(notice));
        let more = rest.len() + notices.len();
        let mut hint = Vec::new();
        if more > 0 {
            hint.push(format!("{} with -v.", counted(more, "more note")));
        }
        first.extend(sources);
        first.push(RELEASE.into());
        let opinions = outcomes.iter().filter_map(|o| second_opinion(job, o));
        let details = rest.into_iter().chain(notices);
        let details = details.chain([slowest_parts(self)]);
        let details = details.chain(opinions).chain(outcomes.iter().map(work));
        blocks.extend([
            Block::Hints(hint),
            Block::Notes(first),
            Block::Details(details.collect()),
        ]);
        let reading = self.decisions.reading(job, system);
        blocks.push(Block::Details(reading.into_iter().collect()));
        for block in self.decisions.blocks(job, system) {
            blocks.push(match block {
                Block::Table(table) => Block::DetailTable(table),
                Block::Text(text) => Block::Details(vec![text]),
                Block::List(items) => Block::Details(items),
                other => other,
            });
        }
        Document::new(&job.name, blocks)
    }
}
