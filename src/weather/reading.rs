//! What a reader found, and how it is laid over a season.
//!
//! Time convention of every source: the state (temperature, humidity, pressure, wind) of a row holds at the moment its
//! hour ends, and its rain fell during the hour that ends there. EPW and TMY3 hour 1 (00:01 to 01:00) thus stands at
//! 01:00, hour 24 at midnight. The TMY3 manual defines the meteorological fields "at the time indicated" (from memory).
//!
//! A typical year (EPW, TMY3, normals) is entered by month, day and hour, whatever years its rows come from, and repeats;
//! 29 February takes the weather of 28 February.

use jiff::SignedDuration;
use jiff::civil::{Date, DateTime};

use super::fault::{Notice, WeatherFault};
use super::hourly::{HOUR, Hourly, OutsideAir};
use super::raw::Sample;
use super::{ASSUMED, LIMITS};
use crate::air;

/// Hours in a typical year.
pub(super) const YEAR_HOURS: usize = 8760;
/// Hours in a day.
pub(super) const DAY_HOURS: usize = 24;
/// Days of a typical year before 1 March.
const DAYS_BEFORE_MARCH: usize = 59;

/// Where the weather of a file was recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Name as the file gives it.
    pub name: String,
    /// Latitude, degrees, north positive.
    pub latitude: f64,
    /// Longitude, degrees, east positive.
    pub longitude: f64,
    /// Local standard time less universal time, h.
    pub time_zone_hours: f64,
    /// Elevation above sea level, m.
    pub elevation: f64,
}

/// The weather of one source, ready to be laid over any season it covers.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    name: String,
    place: Option<Place>,
    record: Record,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Record {
    /// The same at all times.
    Constant(Sample),
    /// By hour of the year, see [`year_index`]; none where the source has no rows.
    TypicalYear(Vec<Option<Sample>>),
    /// One sample per hour from the moment given.
    Dated(DateTime, Vec<Sample>),
}

impl Reading {
    pub(super) fn new(name: &str, place: Option<Place>, record: Record) -> Self {
        Self {
            name: name.to_owned(),
            place,
            record,
        }
    }

    /// The same, recorded at a place.
    pub(super) fn at(self, place: Place) -> Self {
        Self {
            place: Some(place),
            ..self
        }
    }

    /// Display name of the source.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where the weather was recorded, if the source says so.
    #[must_use]
    pub fn place(&self) -> Option<&Place> {
        self.place.as_ref()
    }

    /// First and last moment of dated weather; none for weather that repeats every year.
    #[must_use]
    pub fn dated_span(&self) -> Option<(DateTime, DateTime)> {
        match &self.record {
            Record::Dated(first, samples) => {
                Some((*first, after(*first, samples.len().saturating_sub(1))?))
            }
            _ => None,
        }
    }

    /// Hourly outside air from `start` to `end`, site local standard time.
    ///
    /// Humidity ratios use the source's own pressure. Where it gives none, the standard pressure at `site_elevation` (m)
    /// is used; without a site elevation that of the source's place; without either, sea level.
    ///
    /// # Errors
    /// Faults if the span is empty or longer than twenty years, if the source does not cover it, or if the elevation is
    /// outside -500 to 9000 m.
    pub fn season(
        &self,
        start: DateTime,
        end: DateTime,
        site_elevation: Option<f64>,
    ) -> Result<Hourly, Vec<WeatherFault>> {
        let one = |message: String| vec![WeatherFault::of(&self.name, message)];
        let span = end.duration_since(start).as_secs_f64();
        let longest = LIMITS.longest_season_hours as f64 * HOUR;
        if span <= 0.0 {
            return Err(one(format!(
                "The season ends ({end}) before it has begun ({start}). Give an end after the start."
            )));
        }
        if span > longest {
            return Err(one(format!(
                "The season from {start} to {end} is longer than twenty years. Give a shorter one."
            )));
        }
        let elevation = site_elevation
            .or(self.place.as_ref().map(|place| place.elevation))
            .unwrap_or(ASSUMED.site_elevation);
        let (lowest, highest) = LIMITS.elevation;
        if !(lowest..=highest).contains(&elevation) {
            return Err(one(format!(
                "The site's elevation is {elevation} m. Give one between {lowest} and {highest} m."
            )));
        }
        let standard_pressure = air::pressure_at_elevation(elevation);

        let first = start.date().at(start.hour(), 0, 0, 0);
        let lead = start.duration_since(first).as_secs_f64();
        let cells = ((lead + span) / HOUR).ceil() as usize;
        let samples = match &self.record {
            Record::Constant(sample) => vec![*sample; cells + 1],
            Record::TypicalYear(year) => self.in_year(year, first, cells)?,
            Record::Dated(begin, samples) => {
                self.in_dated(*begin, samples, first, (start, end), cells)?
            }
        };

        let mut hours = Vec::with_capacity(samples.len());
        for (i, sample) in samples.iter().enumerate() {
            let pressure = sample.pressure.unwrap_or(standard_pressure);
            let humidity_ratio = air::humidity_ratio(sample.vapour_pressure, pressure);
            if !(0.0..=LIMITS.highest_humidity_ratio).contains(&humidity_ratio) {
                let moment = after(first, i).unwrap_or(first);
                return Err(one(format!(
                    "At {moment} the vapour pressure is {:.0} Pa but the total pressure {pressure:.0} Pa, which no outside air has. \
                     Check temperature, humidity and pressure there, and the elevation.",
                    sample.vapour_pressure
                )));
            }
            // The rain of the row that ends this cell fell during this cell.
            let rain = samples.get(i + 1).unwrap_or(sample).rain;
            hours.push(OutsideAir {
                temperature: sample.temperature,
                humidity_ratio,
                pressure,
                wind_speed: sample.wind_speed,
                rain,
            });
        }
        Hourly::with_lead(&self.name, start, lead, span, hours).map_err(|fault| vec![fault])
    }

    fn in_year(
        &self,
        year: &[Option<Sample>],
        first: DateTime,
        cells: usize,
    ) -> Result<Vec<Sample>, Vec<WeatherFault>> {
        let mut samples = Vec::with_capacity(cells + 1);
        let mut missing: Option<(DateTime, DateTime)> = None;
        let (mut date, mut hour) = (first.date(), first.hour());
        for _ in 0..=cells {
            if let Some(sample) = year.get(year_index(date, hour)).copied().flatten() {
                samples.push(sample);
            } else {
                let moment = date.at(hour, 0, 0, 0);
                missing = Some((missing.map_or(moment, |(begin, _)| begin), moment));
            }
            hour += 1;
            if usize::try_from(hour).unwrap_or(0) >= DAY_HOURS {
                hour = 0;
                // Beyond the last day of the calendar there is no season; that last day stands for what follows.
                date = date.tomorrow().unwrap_or(date);
            }
        }
        match missing {
            None => Ok(samples),
            Some((begin, end)) => Err(vec![WeatherFault::of(
                &self.name,
                format!(
                    "The file has no rows for part of the season, first at {begin}, last at {end}. \
                     Use a file with all months, or a season within the months the file has."
                ),
            )]),
        }
    }

    fn in_dated(
        &self,
        begin: DateTime,
        samples: &[Sample],
        first: DateTime,
        (start, end): (DateTime, DateTime),
        cells: usize,
    ) -> Result<Vec<Sample>, Vec<WeatherFault>> {
        let last = after(begin, samples.len().saturating_sub(1)).unwrap_or(begin);
        let mut faults = Vec::new();
        if start < begin {
            faults.push(WeatherFault::of(
                &self.name,
                format!(
                    "The weather begins on {begin} but the season already on {start}. Add the rows before, start the season later, \
                     or use a typical year or monthly normals."
                ),
            ));
        }
        if end > last {
            faults.push(WeatherFault::of(
                &self.name,
                format!(
                    "The weather ends on {last} but the season needs it until {end}. Add the rows after, end the season earlier, \
                     or use a typical year or monthly normals."
                ),
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        // Both moments are whole hours and `first` is not before `begin`, since rows stand at whole hours.
        let skip = usize::try_from(first.duration_since(begin).as_hours()).unwrap_or(0);
        Ok(samples.iter().skip(skip).take(cells + 1).copied().collect())
    }
}

/// `hours` after a moment, unless that is beyond the calendar.
pub(super) fn after(moment: DateTime, hours: usize) -> Option<DateTime> {
    moment
        .checked_add(SignedDuration::from_hours(i64::try_from(hours).ok()?))
        .ok()
}

/// Place of a whole hour in a typical year: 0 is the turn of the year, 1 is 1 January 01:00.
///
/// On 29 February the hours of 28 February come again, so that both days end alike at midnight.
pub(super) fn year_index(date: Date, hour: i8) -> usize {
    let hour = usize::try_from(hour).unwrap_or(0);
    let day = match date.day_of_year_no_leap() {
        Some(day) => usize::try_from(day).unwrap_or(1).saturating_sub(1),
        None if hour == 0 => DAYS_BEFORE_MARCH,
        None => DAYS_BEFORE_MARCH - 1,
    };
    (day * DAY_HOURS + hour) % YEAR_HOURS
}

/// What every reader returns.
pub type ReadResult = Result<(Reading, Vec<Notice>), Vec<WeatherFault>>;
