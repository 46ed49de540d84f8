//! The date as readings sharpen it, and when to test next.

mod charts;
mod found;

use super::chance::{ChanceData, date_after};
use super::limits;
use super::readings::value;
use super::verdict::{self, VerdictData};
use super::{Answer, Block, Columns, Document, RELEASE, TextTable, or_dash, record};
use crate::evaluate::odds::SHARES;
use crate::job::Job;
use crate::moisture_log::Reading;
use crate::moisture_log::forecast::{
    Held, LEAST_EFFECTIVE, Moved, NextTest, PlaceForecast, Range, day_to_test, worth_of_test,
};
use crate::moisture_tests::Target;
use crate::units::format::{
    Shown, all_said, capital, counted, date, day_and_month, days, days_between, fixed, listed,
    percent, short_date, some_days, whole,
};
use crate::units::{DAY, Kind, System};
pub use found::ForecastFound;
use found::{named, narrow};
use jiff::civil::Date;

/// A move of an input below this many standard deviations is not worth a word.
const MOVED: f64 = 0.3;
/// A reading nearer than this many standard deviations is as expected.
const AS_EXPECTED: f64 = 0.5;
/// A place this many days off what was expected dries slower or faster \[days\].
const OFF_ITS_CURVE: f64 = 2.0;
/// A change of the date below this \[days\] is none.
const CHANGED: f64 = 0.5;

record! {
    /// A forecast: `coatday/forecast/1`.
    ForecastData(f: &ForecastFound<'_>) where [forecast = &f.forecast] {
        schema: &'static str = "coatday/forecast/1",
        scenario: String = f.job.name.clone(),
        setup: String = f.setup.clone(),
        verdict: VerdictData = VerdictData::of(&f.verdict),
        needed_by: Option<Date> = f.job.needed_by,
        limits: Vec<String> = limits::of_job(f.job),
        worlds: usize = forecast.worlds.len(),
        not_computed: usize = forecast.failed,
        places: Vec<PlaceData> = forecast.places.iter().map(|p| PlaceData::of(f, p)).collect(),
    }

    /// One place.
    PlaceData(f: &ForecastFound<'_>, p: &PlaceForecast) where [worth = worth_of_test(f.job, &f.forecast, p, f.today())] {
        place: String = p.place.clone(),
        now: RangeData = RangeData::of(f.job, &p.now()),
        history: Vec<RangeData> = p.history.iter().map(|range| RangeData::of(f.job, range)).collect(),
        effective_worlds: f64 = p.effective,
        beyond_model: bool = p.beyond_model,
        readings: Vec<HeldData> = p.held.iter().filter_map(|h| Some(HeldData::of(f.reading(h)?, h))).collect(),
        moved: Vec<MovedData> = p.moved.iter().map(MovedData::of).collect(),
        test_next: TestNextData = TestNextData::of(f, p),
        next_tests: Vec<NextTestData> = f.next_tests(p).iter().map(|test| NextTestData::of(f, test)).collect(),
        range_days_without_and_with_a_reading_now: Option<[f64; 2]> = worth.map(|(without, with)| [without, with]),
    }

    /// The range of the date after some reading.
    RangeData(job: &Job, range: &Range) {
        after_reading_on: Date = job.date(range.at),
        #[serde(flatten)]
        chance: ChanceData = ChanceData::of(job, range.days, range.in_time),
    }

    /// A reading held against the forecast.
    HeldData(r: &Reading, held: &Held) {
        line: usize = r.line,
        value: f64 = r.value,
        expected: f64 = held.expected,
        standard_deviations_off: f64 = held.off,
        outlier: bool = held.outlier,
    }

    /// An input that the readings moved.
    MovedData(m: &Moved) {
        input: &'static str = m.input,
        before: f64 = m.mean.0,
        after: f64 = m.mean.1,
        standard_deviations: f64 = m.by,
    }

    /// A test to come, in the unit of the first target.
    NextTestData(f: &ForecastFound<'_>, test: &NextTest) where [
        flux = f.job.targets.first().is_some_and(Target::is_flux),
        scaled = |x: f64| if flux { x * (1e3 * DAY) } else { 100.0 * x },
    ] {
        date: Date = f.job.date_after(test.day),
        expected: f64 = scaled(test.reading[1]),
        low: f64 = scaled(test.reading[0]),
        high: f64 = scaled(test.reading[2]),
        chance_dry: f64 = test.dry,
    }

    /// When a test is worth its day.
    TestNextData(f: &ForecastFound<'_>, p: &PlaceForecast) where [day = day_to_test(&f.forecast, p, f.wanted)] {
        chance: f64 = f.wanted,
        date: Option<Date> = day.map(|d| f.job.date_after(d)),
    }
}

/// The result in sentences.
#[must_use]
pub fn sentences(f: &ForecastFound<'_>, system: System) -> Vec<String> {
    let places = &f.forecast.places;
    let mut out = vec![verdict::sentence(&f.verdict, system)];
    out.extend(verdict::holds(&f.verdict));
    let Some(worst) = places.first() else {
        return out;
    };
    if places.len() > 1 {
        out.push(format!("The place that dries last: {}.", named(worst)));
    }
    if worst.held.is_empty() {
        out.push("No reading counts yet. This is what the scenario alone says.".into());
    }
    if let [.., before, after] = worst.history.as_slice() {
        out.push(change(f, worst, before, after, system));
    }
    let middle = |place: Option<&PlaceForecast>| place.and_then(|p| p.now().days[1]);
    if let (Some(first), Some(last)) = (middle(places.last()), middle(Some(worst)))
        && places.len() > 1
    {
        out.push(format!(
            "The middle dates of the {} differ by {}.",
            counted(places.len(), "place"),
            some_days(last - first)
        ));
    }
    out.extend(paces(places));
    for place in places {
        of_place(f, place, system, &mut out);
    }
    out.extend(said_by_readings(places));
    let next = next_tests(f, system).into_iter();
    out.extend(next.map(|test| format!("Next: {test}")));
    out.push(chance_of_a_test(f, worst, system));
    out
}

/// Days by which a place is off what was expected before its readings.
fn off_its_curve(place: &PlaceForecast) -> Option<f64> {
    let before = place.history.first()?.days[1]?;
    let now = place.now().days[1].filter(|_| !place.held.is_empty())?;
    Some(now - before)
}

/// Whether the places keep to what was expected before their readings, one sentence for those that do the same.
fn paces(places: &[PlaceForecast]) -> Vec<String> {
    let (mut as_expected, mut slower, mut faster) = (Vec::new(), Vec::new(), Vec::new());
    for place in places {
        match off_its_curve(place) {
            Some(off) if off >= OFF_ITS_CURVE => slower.push((place, off)),
            Some(off) if off <= -OFF_ITS_CURVE => faster.push((place, -off)),
            Some(off) => as_expected.push((place, off)),
            None => {}
        }
    }
    let said = |group: Vec<(&PlaceForecast, f64)>, pace: &str, later: Option<&str>| {
        let names: Vec<String> = group.iter().map(|(place, _)| named(place)).collect();
        let verb = if names.len() == 1 { "dries" } else { "dry" };
        let low = group.iter().map(|g| g.1).reduce(f64::min)?;
        let high = group.iter().map(|g| g.1).reduce(f64::max)?;
        let by = later.map(|later| format!(": about {} {later}", days_between(low, high)));
        let names = capital(&listed(&names));
        Some(format!(
            "{names} {verb} {pace} expected{}.",
            by.unwrap_or_default()
        ))
    };
    [
        said(slower, "slower than", Some("later")),
        said(faster, "faster than", Some("sooner")),
        said(as_expected, "as", None),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What to test next, one sentence for each day; where one place is tested, with what it should read.
pub(super) fn next_tests(f: &ForecastFound<'_>, system: System) -> Vec<String> {
    let mut by_day: Vec<(Date, Vec<(String, NextTest)>)> = Vec::new();
    for place in &f.forecast.places {
        let Some(test) = f.next_tests(place).into_iter().next() else {
            continue;
        };
        let day = f.job.date_after(test.day);
        match by_day.iter_mut().find(|(other, _)| *other == day) {
            Some((_, tests)) => tests.push((named(place), test)),
            None => by_day.push((day, vec![(named(place), test)])),
        }
    }
    by_day.sort_by_key(|(day, _)| *day);
    let line = |(day, tests): (Date, Vec<(String, NextTest)>)| {
        let expected = match tests.as_slice() {
            [(_, test)] => format!(": expect {}", reading(f.job, test, system)),
            _ => String::new(),
        };
        let names: Vec<String> = tests.into_iter().map(|(name, _)| name).collect();
        let names = listed(&names);
        format!("test {names} on {}{expected}.", date(day, system))
    };
    by_day.into_iter().map(line).collect()
}

/// When the place that dries last is likely to pass, and what a reading today would be worth.
pub(super) fn chance_of_a_test(
    f: &ForecastFound<'_>,
    place: &PlaceForecast,
    system: System,
) -> String {
    let (name, wanted, today) = (named(place), percent(f.wanted), f.today());
    let mut text = String::new();
    text += &match day_to_test(&f.forecast, place, f.wanted) {
        Some(day) if day <= today => {
            format!("The chance that {name} passes is {wanted} or more now.")
        }
        Some(day) => format!(
            "The chance that {name} passes reaches {wanted} on {}.",
            date(f.job.date_after(day), system),
        ),
        None => {
            format!("No test of {name} in the time simulated has a chance of {wanted} to pass.")
        }
    };
    if let Some((without, with)) = worth_of_test(f.job, &f.forecast, place, today) {
        text += &format!(
            " A reading today would {} the range of its date from {} to about {}.",
            narrow(without, with),
            whole(without),
            days(with)
        );
    }
    text
}

/// What the last reading did to the middle date.
fn change(
    f: &ForecastFound<'_>,
    place: &PlaceForecast,
    before: &Range,
    after: &Range,
    system: System,
) -> String {
    let end = short_date(f.job.date(f.job.give_up), system);
    let at = |range: &Range| date_after(f.job, range.days[1], system);
    let moved = match (before.days[1], after.days[1]) {
        (Some(old), Some(new)) if (new - old).abs() < CHANGED || at(before) == at(after) => {
            "The last reading left the date where it was.".into()
        }
        (Some(old), Some(new)) => format!(
            "The last reading moved the date {} {}, from {} to {}.",
            days((new - old).abs()),
            if new > old { "later" } else { "sooner" },
            at(before),
            at(after)
        ),
        (None, Some(_)) => format!(
            "The last reading moved the date from after {end}, the last day simulated, to {}.",
            at(after)
        ),
        (Some(_), None) => format!(
            "The last reading moved the date from {} to after {end}, the last day simulated.",
            at(before)
        ),
        (None, None) => {
            format!("The last reading left the date beyond {end}, the last day simulated.")
        }
    };
    let read = place
        .held
        .iter()
        .filter_map(|held| Some((f.reading(held)?, held)));
    let last = read.max_by(|a, b| a.0.seconds.total_cmp(&b.0.seconds));
    let as_expected = last.map(|(reading, held)| {
        let how = match held.off {
            off if off.abs() < AS_EXPECTED => "as expected",
            off if off > 0.0 => "higher than expected",
            _ => "lower than expected",
        };
        format!(
            " The reading of {} at {} was {how}.",
            value(reading.method, reading.value, system),
            named(place)
        )
    });
    moved + &as_expected.unwrap_or_default()
}

fn of_place(f: &ForecastFound<'_>, place: &PlaceForecast, system: System, out: &mut Vec<String>) {
    let name = named(place);
    for held in place.held.iter().filter(|h| h.outlier) {
        if let Some(reading) = f.reading(held) {
            out.push(format!(
                "Outlier: {} at {name} in line {} is {} standard deviations off what the other readings say. It counts little. Measure again.",
                value(reading.method, reading.value, system),
                reading.line,
                fixed(held.off.abs(), 1)
            ));
        }
    }
    if place.beyond_model {
        out.push(format!(
            "No simulated case fits the readings of {name}. Do not trust its date. Check the slab data and the instruments."
        ));
    } else if !place.held.is_empty() && place.effective < LEAST_EFFECTIVE {
        out.push(format!(
            "Only {} with the readings of {name}: its range is rough.",
            match whole(place.effective).as_str() {
                "1" => "1 simulated case agrees".to_owned(),
                cases => format!("{cases} simulated cases agree"),
            }
        ));
    }
}

/// What the readings say of the floor, once for all places that say the same.
fn said_by_readings(places: &[PlaceForecast]) -> Vec<String> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for place in places.iter().filter(|place| !place.held.is_empty()) {
        let Some(moved) = place.moved.first().filter(|m| m.by.abs() >= MOVED) else {
            continue;
        };
        let off = off_what_was_assumed(moved.input, moved.by > 0.0);
        match all.iter_mut().find(|(said, _)| *said == off) {
            Some((_, names)) => names.push(named(place)),
            None => all.push((off, vec![named(place)])),
        }
    }
    let one = all.len() == 1;
    let line = |(off, names): (String, Vec<String>)| {
        if one && names.len() > 1 {
            return format!("The readings say: {off}.");
        }
        format!("The readings of {} say: {off}.", listed(&names))
    };
    all.into_iter().map(line).collect()
}

/// What readings say of the input that they moved most.
fn off_what_was_assumed(input: &str, up: bool) -> String {
    let more = if up { "more" } else { "less" };
    let (faster, slower) = ("faster", "slower");
    match input.split(' ').next().unwrap_or_default() {
        "permeability" => {
            let pace = if up { faster } else { slower };
            format!("the slab dries {pace} than its mix suggests")
        }
        "water-cement" => {
            let pace = if up { slower } else { faster };
            format!("the slab dries {pace} than its mix suggests")
        }
        "leakage" => format!("the room leaks {more} than assumed"),
        "transfer" => {
            let pace = if up { faster } else { slower };
            format!("the surface gives off water {pace} than assumed")
        }
        "humidity" => {
            let how = if up { "wetter" } else { "drier" };
            format!("the young concrete was {how} than assumed")
        }
        "warmth" => {
            let how = if up { "warmer" } else { "colder" };
            format!("the season is {how} than assumed")
        }
        _ => format!("the {input} is {more} than assumed"),
    }
}

/// One row a place.
fn table(f: &ForecastFound<'_>, system: System) -> TextTable {
    let name = |p: &PlaceForecast| {
        if p.place.is_empty() {
            "floor"
        } else {
            &p.place
        }
        .to_owned()
    };
    let day = |p: &PlaceForecast, k: usize| date_after(f.job, p.now().days[k], system);
    let by = f.job.needed_by.map(|day| day_and_month(day, system));
    let chance = by.map_or_else(|| "In time".into(), |by| format!("Chance by {by}"));
    Columns::new()
        .left("Place", |p: &&PlaceForecast| name(p))
        .left(percent(SHARES[0]), |p| day(p, 0))
        .rank(3)
        .left(percent(SHARES[1]), |p| day(p, 1))
        .left(percent(SHARES[2]), |p| day(p, 2))
        .rank(2)
        .right(chance, |p| or_dash(p.now().in_time.map(percent)))
        .right("Readings", |p| p.held.len().to_string())
        .rank(4)
        .rows(&f.forecast.places)
        .strong(Some(0))
}

/// What a test should read: "88 % (86 % to 90 %)".
fn reading(job: &Job, test: &NextTest, system: System) -> String {
    let flux = job.targets.first().is_some_and(Target::is_flux);
    let text = |si: f64| {
        if flux {
            Shown::of(Kind::MassFlux, system).text(si, 1)
        } else {
            percent(si)
        }
    };
    let [low, middle, high] = test.reading.map(text);
    format!("{middle} ({low} to {high})")
}

/// The tests to come: all of the place that dries last, the next one of the others.
fn tests_table(f: &ForecastFound<'_>, system: System) -> TextTable {
    let tests = f.forecast.places.iter().enumerate().flat_map(|(k, place)| {
        let most = if k == 0 { usize::MAX } else { 1 };
        let tests = f.next_tests(place).into_iter().take(most);
        tests.map(move |test| (place, test))
    });
    let tests: Vec<(&PlaceForecast, NextTest)> = tests.collect();
    let any = tests
        .iter()
        .any(|(_, test)| percent(test.dry) != percent(0.0));
    Columns::new()
        .left("Test", |(place, _): &(&PlaceForecast, NextTest)| {
            if place.place.is_empty() {
                "floor".into()
            } else {
                place.place.clone()
            }
        })
        .left("On", |(_, test)| date(f.job.date_after(test.day), system))
        .left("Should read", |(_, test)| reading(f.job, test, system))
        .when(any, |c| {
            c.right("Chance to be dry", |(_, test)| percent(test.dry))
        })
        .rows(tests)
}

/// What `forecast` and the report show of it.
pub(super) fn blocks(f: &ForecastFound<'_>, system: System) -> Vec<Block> {
    let said = sentences(f, system)
        .into_iter()
        .chain(limits::of_job(f.job));
    let mut blocks = vec![Block::List(said.collect()), Block::Table(table(f, system))];
    blocks.push(Block::Table(tests_table(f, system)));
    blocks.extend(charts::figures(f, system).into_iter().map(Block::Figure));
    blocks
}

impl Answer for ForecastFound<'_> {
    type Data = ForecastData;

    fn data(&self) -> ForecastData {
        ForecastData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let mut notes = Vec::new();
        if self.before > 0 {
            notes.push(format!(
                "Not used: {} from before the gear went on.",
                counted(self.before, "reading")
            ));
        }
        notes.extend(all_said(self.notices, system));
        notes.push(RELEASE.into());
        let mut blocks = blocks(self, system);
        blocks.push(Block::Notes(notes));
        Document::new(&self.job.name, blocks)
    }
}
