//! The setups of a job compared: days, date, energy, cost, water.

pub(super) mod charts;

use super::chance::ChanceData;
use super::limits::{self, test_name};
use super::record::kwh;
use super::verdict::{self, VerdictData};
use super::{Answer, Block, Columns, Document, RELEASE, TextTable, finite, or_dash, record};
use crate::evaluate::odds::Odds;
use crate::evaluate::power::power;
use crate::evaluate::{
    Advice, Assumption, Compared, LimitedBy, NotComputed, NotDryReason, Outcome, Record, UnderFilm,
    WettingCost, handbook_days,
};
use crate::job::Job;
use crate::moisture_tests::Target;
use crate::scenario::model::WettingKind;
use crate::units::format::{capital, date, fixed, money_at_least, percent, signed, whole};
use crate::units::{self, DAY, Kind, System};
use crate::verdict::Verdict;
use jiff::civil::Date;

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
    /// Notes about the weather and the work on the floor.
    pub notices: &'a [String],
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
        notices: Vec<String> = c.notices.to_vec(),
        wetting_costs: Vec<WettingData> = c.worth.wettings.iter().map(WettingData::of).collect(),
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
    InsteadData(of: &(String, Option<f64>)) {
        what: String = of.0.clone(),
        days_later: Option<f64> = of.1,
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
        caution: bool = a.caution,
        text: String = a.text.clone(),
    }

    /// The odds of its date.
    OddsData(job: &Job, odds: &Odds) {
        samples: usize = odds.samples.len(),
        not_computed: usize = odds.failed,
        #[serde(flatten)]
        chance: ChanceData = ChanceData::of_odds(job, odds),
        mean_cost: f64 = odds.mean_cost(),
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
    pub fn of_wettings(&self, setup: &str) -> Vec<String> {
        let line = |w: &WettingCost| {
            let what = match (w.kind, w.date) {
                (Some(kind), Some(day)) => {
                    format!("{} on {}", capital(wetting_word(kind)), date(day))
                }
                _ => "All water on the floor together".into(),
            };
            match w.days {
                Some(days) if fixed(days, 1) == "0.0" => {
                    format!("{what} costs nothing with {setup}.")
                }
                Some(days) => format!("{what} costs {} days with {setup}.", fixed(days, 1)),
                None => format!("{what}: no cost in days, since there is no day without it."),
            }
        };
        self.wettings.iter().map(line).collect()
    }

    /// What the head of [`Self::of_assumptions`] says.
    #[must_use]
    pub fn assumptions_head(setup: &str) -> String {
        format!("Assumptions that move the date with {setup}, in days (minus is sooner):")
    }

    /// What was taken because it was not given, with the days that something else would move the date by.
    #[must_use]
    pub fn of_assumptions(&self) -> Vec<String> {
        let line = |a: &Assumption| {
            let instead = a.instead.iter().map(|(what, days)| match days {
                None => format!("{what}: never dry in the time simulated"),
                Some(days) => match signed(*days, 1).as_str() {
                    "0" => format!("{what}: no difference"),
                    moved => format!("{what}: {moved}"),
                },
            });
            let instead: Vec<String> = instead.collect();
            format!("{} ({})", a.taken, instead.join("; "))
        };
        self.assumptions.iter().map(line).collect()
    }
}

/// The ranking as a table. Range and chance take the place of water where cases were sampled.
#[must_use]
pub fn table(c: &Comparison<'_>, system: System) -> TextTable {
    type Shown<'a> = (Row<'a>, &'a Verdict);
    let mass = units::format::Shown::of(Kind::Mass, system);
    let sampled = c.verdicts.iter().any(|v| v.range.is_some());
    let work = c.verdicts.iter().any(|v| v.to_coat());
    let needed = c.job.needed_by;
    let figure =
        |(row, _): &Shown<'_>, text: &dyn Fn(&Outcome) -> String| or_dash(row.ok().map(text));
    let table = Columns::new()
        .left("Setup", |(row, _): &Shown<'_>| name(*row).to_owned())
        .right("Days", |(_, v)| verdict::days_cell(v))
        .when(sampled, |c| {
            c.left("8 in 10", |(_, v)| or_dash(verdict::days_range(v)))
        })
        .left(if work { "Coat on" } else { "Dry on" }, |(_, v)| {
            or_dash(v.date().map(date))
        })
        .when(needed.is_some(), |c| {
            let head = format!("Chance by {}", needed.map(date).unwrap_or_default());
            c.left(head, |(_, v)| verdict::timing(v))
        })
        .right("kWh", |row| {
            figure(row, &|o| whole(kwh(o.energy.electricity)))
        })
        .right("Fuel kWh", |row| {
            figure(row, &|o| whole(kwh(o.energy.fuel())))
        })
        .right("Cost", |row| {
            figure(row, &|o| money_at_least(o.cost, o.cost_incomplete))
        })
        .when(!sampled, |c| {
            let head = format!("Water, {}", mass.unit());
            c.right(head, |row| figure(row, &|o| mass.fixed(o.water_removed, 0)))
        })
        .left("Slowest part", |row| {
            figure(row, &|o| o.limited_by.slowest_part().into())
        })
        .rows(c.compared.all().zip(&c.verdicts));
    let best = c.verdicts.first().filter(|v| v.ready.is_some());
    table.strong(best.map(|_| 0))
}

/// Setups with sampled worlds that are not in their odds.
fn left_out(outcomes: &[Outcome]) -> Vec<String> {
    let lost = |o: &Outcome| {
        let odds = o.odds.as_ref().filter(|odds| odds.failed > 0)?;
        Some(format!(
            "{}: the solver gave up on {} of {} sampled worlds; they are not in its odds.",
            o.name,
            odds.failed,
            odds.failed + odds.samples.len()
        ))
    };
    outcomes.iter().filter_map(lost).collect()
}

/// The result in a few sentences: the verdict on the first setup.
#[must_use]
pub fn headline(verdicts: &[Verdict], system: System) -> String {
    let said = verdicts.first().map(|v| verdict::sentence(v, system));
    said.unwrap_or_else(|| "No setup.".into())
}

/// Why setups do not get there, and what else is to be known of them.
fn remarks(compared: &Compared, advice: &[Advice]) -> Vec<String> {
    let why = |row| Some(format!("{}: {}", name(row), reason(row)?));
    let mut out: Vec<String> = compared.all().filter_map(why).collect();
    out.extend(left_out(&compared.outcomes));
    let plain = advice.iter().filter(|a| !a.caution);
    out.extend(plain.map(|a| format!("{}: {}", a.setup, a.text)));
    out
}

/// Where people can come to harm.
pub(super) fn cautions(advice: &[Advice]) -> impl Iterator<Item = Block> + '_ {
    let harmful = advice.iter().filter(|a| a.caution);
    harmful.map(|a| Block::Caution {
        about: Some(a.setup.clone()),
        text: a.text.clone(),
    })
}

/// The ranking and what is to be known of it: what `compare` and the report show.
pub(super) fn ranking(c: &Comparison<'_>, system: System) -> [Block; 5] {
    let best = c.verdicts.first();
    let said = best.map(verdict::reason_and_next).into_iter().flatten();
    [
        Block::text(headline(&c.verdicts, system)),
        Block::List(best.map(verdict::holds).unwrap_or_default()),
        Block::List(said.chain(limits::of_job(c.job)).collect()),
        Block::Table(table(c, system)),
        Block::Notes(remarks(&c.compared, &c.advice)),
    ]
}

/// What may hold a floor back, in words of what helps.
pub(super) fn what_helps(limited_by: LimitedBy) -> &'static str {
    match limited_by {
        LimitedBy::Depth => "depth of the concrete: only more warmth or time helps",
        LimitedBy::Face => "face: more moving air or a ground face would help",
        LimitedBy::Ground => "ground: water keeps coming up, and no gear stops it",
    }
}

fn work(o: &Outcome) -> String {
    format!(
        "{}: {} steps, {} Newton iterations; balance errors: water {:.1e}, heat {:.1e}; {} of the humidity difference lies outside the face",
        o.name,
        o.work.0,
        o.work.1,
        o.water_balance_error,
        o.heat_balance_error,
        percent(o.face_share)
    )
}

/// The date of a setup beside the handbook's, where that says something.
pub(super) fn second_opinion(job: &Job, o: &Outcome) -> Option<String> {
    let (here, handbook) = (o.days_to_target?, handbook_days(job, o)?);
    Some(format!(
        "{}: {here:.0} days here; a handbook's factors (Hedenblad 1995 and 1997) give {handbook:.0} days in the same air, for a slab four weeks old",
        o.name
    ))
}

impl Answer for Comparison<'_> {
    type Data = CompareData;

    fn data(&self) -> CompareData {
        CompareData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let (job, outcomes) = (self.job, &self.compared.outcomes);
        let mut blocks = Vec::from(ranking(self, system));
        blocks.extend(
            charts::figures(job, outcomes, &self.verdicts, system)
                .into_iter()
                .map(Block::Figure),
        );
        blocks.extend(cautions(&self.advice));
        if let Some(best) = outcomes.first() {
            let mut worth = self.worth.of_wettings(&best.name);
            let taken = self.worth.of_assumptions();
            if !taken.is_empty() {
                worth.push(Worth::assumptions_head(&best.name));
                worth.extend(taken.iter().map(|line| format!("  {line}")));
            }
            blocks.push(Block::Notes(worth));
        }
        let opinions = outcomes.iter().filter_map(|o| second_opinion(job, o));
        let details = opinions.chain(outcomes.iter().map(work));
        blocks.extend([
            Block::Notes(self.notices.to_vec()),
            Block::note(RELEASE),
            Block::Details(details.collect()),
        ]);
        Document::new(&job.name, blocks)
    }
}
