//! Weather of a place by its name or by latitude and longitude: monthly normals of 532 places that come with the program.
//!
//! What it computes: which place of the table is meant or nearest, and its typical year, which [`monthly_normals`] makes.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `phi`, `lambda` | latitude, longitude | rad |
//! | `d`, `R` | great-circle distance, mean radius of the Earth | m |
//!
//! Equations: `d = 2 R asin(sqrt(sin2((phi2 - phi1)/2) + cos phi1 cos phi2 sin2((lambda2 - lambda1)/2)))` (haversine form).
//!
//! Valid range: a place stands for sites up to [`FARTHEST`] away. Temperatures are not corrected for height; the note says by how much the
//! site is likely to be colder or warmer. The dew point of a month holds all day, and in nights that are colder than it the air is
//! saturated. The air then holds less water than the month's mean: 0.8 % less over all places and months, nothing less in half of them,
//! and 14 % less at worst (International Falls in February, when the air holds next to none).
//!
//! Sources: stand in each row of `places.csv`; licences in `places-NOTICE.txt`. Lapse rate: ISO 2533 (standard atmosphere). Radius: IUGG
//! mean radius, from memory.
//!
//! Proof of accuracy: `ref_twenty_places_against_recalled_normals` and `analytic_distance_on_the_globe` in `tests/it/weather/places.rs`.

use std::sync::LazyLock;

use super::fault::{Notice, WeatherFault};
use super::normals::{MonthlyHumidity, MonthlyNormals, monthly_normals};
use super::reading::{Place, ReadResult};
use super::regions::{COUNTRIES, REGIONS};
use super::text::Quantity;
use crate::units::format::{HOLD, Said, Shown, number};
use crate::units::{Kind, MILE, System};

const TABLE: &str = include_str!("places.csv");

/// Wind taken where the table has none, m/s. The 285 places that have wind average 3.8 m/s; a little less makes no floor dry early.
pub const WIND_OF_PLACES: f64 = 3.5;
/// Farthest that a place may be from a site that is given by latitude and longitude, m. Beyond, it is another climate (common practice, no
/// published source).
pub const FARTHEST: f64 = 500e3;
/// Distance from which the note warns, m (common practice, no published source).
const FAR: f64 = 100e3;
/// Difference in height from which the note says what it is worth, m: there the lapse rate comes to half a kelvin.
const HIGH: f64 = 75.0;
/// Standard lapse rate, K/m.
const LAPSE_RATE: f64 = 6.5e-3;
/// Mean radius of the Earth, m.
const EARTH_RADIUS: f64 = 6_371_009.0;
/// Longest text that is looked at.
const LONGEST_TEXT: usize = 80;
/// Similarity from which a name is offered in place of one that is not known.
const NEAR_NAME: f64 = 0.6;
/// Names offered at most.
const MOST_OFFERED: usize = 3;
/// Places of a region listed at most.
const MOST_OF_REGION: usize = 8;

/// The line that its licence asks for beside any use of the data of Deutscher Wetterdienst.
pub const DWD_ATTRIBUTION: &str = "Datenbasis: Deutscher Wetterdienst, eigene Bearbeitung";
const TMY3_ATTRIBUTION: &str = "TMY3: US Department of Energy, public domain";

/// A place of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimatePlace {
    /// Town.
    pub name: String,
    /// State, province or part of a country; empty where none is needed.
    pub region: String,
    /// Country, ISO 3166 alpha-3.
    pub country: String,
    /// Latitude, degrees, north positive.
    pub latitude: f64,
    /// Longitude, degrees, east positive.
    pub longitude: f64,
    /// Elevation above sea level, m.
    pub elevation: f64,
    /// Local standard time less universal time, h.
    pub time_zone_hours: f64,
    /// Where the row comes from.
    pub source: String,
    /// Its monthly normals.
    pub normals: MonthlyNormals,
}

/// A place that was meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// The place.
    pub place: &'static ClimatePlace,
    /// Distance from the site, m, if the site was given by latitude and longitude.
    pub distance: Option<f64>,
}

/// Why a text means no place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message} {help}")]
pub struct PlaceFault {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

/// All places, in the order of the table.
#[must_use]
pub fn places() -> &'static [ClimatePlace] {
    static PLACES: LazyLock<Vec<ClimatePlace>> = LazyLock::new(|| {
        let mut rows = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_reader(TABLE.as_bytes());
        // Rows that cannot be read are left out; a test holds that there are none.
        rows.records()
            .filter_map(|row| place_of(&row.ok()?))
            .collect()
    });
    &PLACES
}

fn place_of(row: &csv::StringRecord) -> Option<ClimatePlace> {
    let text = |column: usize| row.get(column).map(str::to_owned);
    let number = |column: usize| row.get(column)?.parse::<f64>().ok();
    let months = |column: usize| -> Option<[f64; 12]> {
        let means: Result<Vec<f64>, _> = row.get(column)?.split(' ').map(str::parse).collect();
        means.ok()?.try_into().ok()
    };
    let wind_speed = match row.get(11)? {
        "" => None,
        _ => Some(months(11)?),
    };
    Some(ClimatePlace {
        name: text(0)?,
        region: text(1)?,
        country: text(2)?,
        latitude: number(3)?,
        longitude: number(4)?,
        elevation: number(5)?,
        time_zone_hours: number(6)?,
        source: text(7)?,
        normals: MonthlyNormals {
            temperature: months(8)?,
            daily_swing: months(9)?,
            humidity: MonthlyHumidity::DewPoint(months(10)?),
            wind_speed,
        },
    })
}

impl ClimatePlace {
    /// How it is written: "Tulsa, OK", "Ottawa, ON, Canada", "Berlin, Germany".
    #[must_use]
    pub fn label(&self) -> String {
        let country = self.country_names().next().unwrap_or(&self.country);
        let mut parts = vec![self.name.as_str(), self.region.as_str()];
        if (self.country != "USA" || self.region.is_empty()) && country != self.name {
            parts.push(country);
        }
        parts.retain(|part| !part.is_empty());
        parts.join(", ")
    }

    /// What stands before and inside the brackets of "London (Heathrow)", and the whole.
    fn names(&self) -> impl Iterator<Item = &str> {
        let parts = self.name.split_once(" (");
        let inside = parts.map(|(_, inside)| inside.trim_end_matches(')'));
        [
            Some(self.name.as_str()),
            parts.map(|(name, _)| name),
            inside,
        ]
        .into_iter()
        .flatten()
    }

    /// What people write for its region.
    fn region_names(&self) -> impl Iterator<Item = &str> {
        let row = REGIONS
            .iter()
            .find(|row| row.code == self.region && row.country == self.country);
        let given = (!self.region.is_empty()).then_some(self.region.as_str());
        given.into_iter().chain(row.map(|row| row.name))
    }

    /// What people write for its country; how it is shown comes first.
    fn country_names(&self) -> impl Iterator<Item = &str> {
        let row = COUNTRIES.iter().find(|row| row.code == self.country);
        row.into_iter()
            .flat_map(|row| std::iter::once(row.name).chain(row.others.iter().copied()))
            .chain(std::iter::once(self.country.as_str()))
    }

    /// What may follow its name, in plain letters: nothing, the region, the country, or both.
    fn suffixes(&self) -> Vec<String> {
        let (regions, countries): (Vec<&str>, Vec<&str>) = (
            self.region_names().collect(),
            self.country_names().collect(),
        );
        let mut all = vec![String::new()];
        all.extend(regions.iter().chain(&countries).map(|name| plain(name)));
        for region in &regions {
            all.extend(countries.iter().map(|c| plain(&format!("{region} {c}"))));
        }
        all
    }
}

/// Small letters without accents, marks and double blanks; usual short forms written out.
fn plain(text: &str) -> String {
    plain_with(text, false)
}

/// The same, with `o` for `oe` and so on where a letter has two dots or a slash.
fn plain_with(text: &str, short_umlauts: bool) -> String {
    let mut letters = String::with_capacity(text.len());
    for c in text.to_lowercase().chars() {
        let pair = |long: &'static str| if short_umlauts { &long[..1] } else { long };
        match c {
            'ä' | 'æ' => letters.push_str(pair("ae")),
            'ö' | 'œ' => letters.push_str(pair("oe")),
            'ü' => letters.push_str(pair("ue")),
            'ß' => letters.push_str("ss"),
            'á' | 'à' | 'â' | 'ã' | 'å' | 'ă' | 'ą' => letters.push('a'),
            'ç' | 'č' | 'ć' => letters.push('c'),
            'ď' | 'đ' => letters.push('d'),
            'é' | 'è' | 'ê' | 'ë' | 'ě' | 'ę' => letters.push('e'),
            'í' | 'ì' | 'î' | 'ï' | 'ı' => letters.push('i'),
            'ł' => letters.push('l'),
            'ñ' | 'ń' | 'ň' => letters.push('n'),
            'ó' | 'ò' | 'ô' | 'õ' | 'ő' | 'ø' => letters.push('o'),
            'ř' => letters.push('r'),
            'š' | 'ś' | 'ș' | 'ş' => letters.push('s'),
            'ț' | 'ť' => letters.push('t'),
            'ú' | 'ù' | 'û' | 'ů' | 'ű' => letters.push('u'),
            'ý' => letters.push('y'),
            'ž' | 'ź' | 'ż' => letters.push('z'),
            // Apostrophes and points join ("Coeur d'Alene", "D.C."), other marks part; combining marks are accents.
            '\'' | '\u{2019}' | '.' | '\u{300}'..='\u{36f}' => {}
            c if c.is_alphanumeric() => letters.push(c),
            _ => letters.push(' '),
        }
    }
    let words = letters.split_whitespace().map(|word| match word {
        "st" => "saint",
        "ste" => "sainte",
        "ft" => "fort",
        "mt" => "mount",
        word => word,
    });
    words.collect::<Vec<_>>().join(" ")
}

/// The place that a text means: "Tulsa, OK", "Tulsa" where there is one only, or latitude and longitude as "36.15, -95.99" or
/// "36.15 N, 95.99 W".
///
/// # Errors
/// A text that means no place or several, with those that are near; coordinates out of range or far from every place.
pub fn find(text: &str) -> Result<Found, PlaceFault> {
    if text.len() > LONGEST_TEXT {
        return Err(PlaceFault {
            message: "This is too long for a place.".into(),
            help: "Write a town and its state, such as \"Tulsa, OK\".".into(),
        });
    }
    match coordinates(text) {
        Some(coordinates) => nearest_to(coordinates?),
        None => named(text),
    }
}

/// Latitude and longitude of a text that starts like one.
fn coordinates(text: &str) -> Option<Result<(f64, f64), PlaceFault>> {
    let first = text.trim_start().chars().next()?;
    if !(first.is_ascii_digit() || matches!(first, '+' | '-' | '\u{2212}' | '.')) {
        return None;
    }
    let fault = |message: String| {
        let help =
            "Write latitude, then longitude, in degrees with a point, such as \"36.15, -95.99\" or \"36.15 N, 95.99 W\"."
                .to_owned();
        Some(Err(PlaceFault { message, help }))
    };
    let mut spread = String::with_capacity(2 * text.len());
    for c in text.chars() {
        match c {
            '\u{b0}' | ',' | ';' => spread.push(' '),
            '\u{2212}' => spread.push('-'),
            'n' | 'N' | 's' | 'S' | 'e' | 'E' | 'w' | 'W' => {
                spread.extend([' ', c.to_ascii_uppercase(), ' ']);
            }
            c => spread.push(c),
        }
    }
    let mut numbers: Vec<(f64, Option<char>)> = Vec::new();
    for word in spread.split_whitespace() {
        let side = match word {
            "N" | "S" | "E" | "W" => word.chars().next(),
            _ => None,
        };
        match (side, word.parse::<f64>(), numbers.last_mut()) {
            (Some(side), _, Some((_, slot @ None))) => *slot = Some(side),
            (None, Ok(number), _) if number.is_finite() => numbers.push((number, None)),
            _ => return fault("This is not a latitude and a longitude.".into()),
        }
    }
    let [(latitude, north_south), (longitude, east_west)] = numbers.as_slice() else {
        return fault("Two numbers are needed here, a latitude and a longitude.".into());
    };
    let sign = |side: &Option<char>, plus: char, minus: char| match side {
        None => Some(1.0),
        Some(c) if *c == plus => Some(1.0),
        Some(c) if *c == minus => Some(-1.0),
        Some(_) => None,
    };
    let (Some(north), Some(east)) = (sign(north_south, 'N', 'S'), sign(east_west, 'E', 'W')) else {
        return fault(
            "The first number is the latitude, N or S, the second the longitude, E or W.".into(),
        );
    };
    let (latitude, longitude) = (north * latitude, east * longitude);
    if !(-90.0..=90.0).contains(&latitude) {
        return fault(format!(
            "The latitude {} is not between -90 and 90 degrees.",
            number(latitude, 3)
        ));
    }
    if !(-180.0..=180.0).contains(&longitude) {
        return fault(format!(
            "The longitude {} is not between -180 and 180 degrees.",
            number(longitude, 3)
        ));
    }
    Some(Ok((latitude, longitude)))
}

/// Great-circle distance between two points given by latitude and longitude in degrees, m.
#[must_use]
pub fn distance(from: (f64, f64), to: (f64, f64)) -> f64 {
    let half = |a: f64, b: f64| ((b - a).to_radians() / 2.0).sin().powi(2);
    let h = half(from.0, to.0)
        + from.0.to_radians().cos() * to.0.to_radians().cos() * half(from.1, to.1);
    2.0 * EARTH_RADIUS * h.min(1.0).sqrt().asin()
}

fn nearest_to(site: (f64, f64)) -> Result<Found, PlaceFault> {
    let found = places()
        .iter()
        .map(|place| (place, distance(site, (place.latitude, place.longitude))))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    match found {
        Some((place, distance)) if distance <= FARTHEST => Ok(Found {
            place,
            distance: Some(distance),
        }),
        found => Err(PlaceFault {
            message: match found {
                Some((place, distance)) => format!(
                    "The nearest place known, {}, is {} ({}) away. That is too far to stand for this site.",
                    place.label(),
                    distance_in_words(distance, System::Us),
                    distance_in_words(distance, System::Si)
                ),
                None => "No place is known.".into(),
            },
            help: "Check the signs: west and south are negative. Or give a weather file or monthly means."
                .into(),
        }),
    }
}

fn distance_in_words(distance: f64, system: System) -> String {
    match system {
        System::Si => Shown::named(Kind::Length, "km").text(distance, 0),
        _ => format!("{}{HOLD}mi", number(distance / MILE, 0)),
    }
}

fn named(text: &str) -> Result<Found, PlaceFault> {
    let wanted = [plain_with(text, false), plain_with(text, true)];
    let is_meant = |place: &&ClimatePlace| {
        let suffixes = place.suffixes();
        place.names().any(|name| {
            let name = plain(name);
            wanted.iter().any(|wanted| {
                wanted.strip_prefix(name.as_str()).is_some_and(|rest| {
                    let parted = rest.is_empty() || rest.starts_with(' ');
                    parted && suffixes.iter().any(|suffix| suffix == rest.trim_start())
                })
            })
        })
    };
    let meant: Vec<&'static ClimatePlace> = places().iter().filter(is_meant).collect();
    match meant.as_slice() {
        [place] => Ok(Found {
            place,
            distance: None,
        }),
        [] => Err(unknown(&wanted[0])),
        several => Err(PlaceFault {
            message: "More than one place has this name.".into(),
            help: format!("Write {}.", any_of(several)),
        }),
    }
}

/// "\"Portland, ME\" or \"Portland, OR\"".
fn any_of(places: &[&ClimatePlace]) -> String {
    let names: Vec<String> = places
        .iter()
        .map(|place| format!("\"{}\"", place.label()))
        .collect();
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
        None => String::new(),
    }
}

/// What to write in place of a name that is not in the table, in plain letters.
fn unknown(wanted: &str) -> PlaceFault {
    let mut near: Vec<(f64, &ClimatePlace)> = places()
        .iter()
        .map(|place| (similarity(wanted, place), place))
        .filter(|(similarity, _)| *similarity >= NEAR_NAME)
        .collect();
    near.sort_by(|a, b| b.0.total_cmp(&a.0));
    near.truncate(MOST_OFFERED);
    let near: Vec<&ClimatePlace> = near.into_iter().map(|(_, place)| place).collect();
    // A small town of a state that is known: the towns of that state.
    let ends_in = |place: &&ClimatePlace| {
        let ends = |name: &str| wanted.ends_with(&format!(" {}", plain(name)));
        let by_region = place.region_names().any(ends);
        by_region || place.region.is_empty() && place.country_names().any(ends)
    };
    let mut around: Vec<&ClimatePlace> = places().iter().filter(ends_in).collect();
    around.retain(|place| !near.contains(place));
    around.truncate(MOST_OF_REGION);
    let mut help = String::new();
    if !near.is_empty() {
        help += &format!("Did you mean {}? ", any_of(&near));
    }
    if !around.is_empty() {
        help += &format!("Places known there: {}. ", any_of(&around));
    }
    help += "Or write latitude and longitude, such as \"36.15, -95.99\". Then the nearest place stands in.";
    PlaceFault {
        message: "This program knows no place of that name.".into(),
        help,
    }
}

/// How alike a text in plain letters and the ways to write a place are, 0 to 1.
fn similarity(wanted: &str, place: &ClimatePlace) -> f64 {
    let alike = |name: &str| strsim::normalized_damerau_levenshtein(wanted, name);
    let names = place.names().map(plain);
    let with_region = names.flat_map(|name| {
        let region = plain(&place.region);
        [format!("{name} {region}").trim_end().to_owned(), name]
    });
    with_region.map(|name| alike(&name)).fold(0.0, f64::max)
}

/// A typical year of the place that `text` means, without rain. `site_elevation`, m, is that of the building, if it is known: it sets the
/// pressure, and the note compares it with that of the place.
///
/// # Errors
/// As [`find`].
pub fn place(text: &str, site_elevation: Option<f64>) -> ReadResult {
    let found = find(text)
        .map_err(|fault| vec![WeatherFault::of("site.weather.place", fault.to_string())])?;
    let place = found.place;
    let name = format!("Weather of {}", place.label());
    let normals = MonthlyNormals {
        wind_speed: place.normals.wind_speed.or(Some([WIND_OF_PLACES; 12])),
        ..place.normals
    };
    let (reading, mut notices) = monthly_normals(&name, &normals)?;
    // That nights are colder than the month's dew point is so at nearly every place.
    notices.retain(|notice| notice.position.field.as_deref() != Some(Quantity::DewPoint.name()));
    let about = Said::new(|system| about(&found, site_elevation, system));
    notices.insert(0, note(&name, about));
    notices.insert(1, note(&name, origin(place).into()));
    let place = Place {
        name: place.label(),
        latitude: place.latitude,
        longitude: place.longitude,
        time_zone_hours: place.time_zone_hours,
        elevation: place.elevation,
    };
    Ok((reading.at(place), notices))
}

fn note(name: &str, message: Said) -> Notice {
    Notice {
        source_name: name.to_owned(),
        position: super::Position::default(),
        hours: 0,
        message,
    }
}

/// What the user should know of the match.
fn about(found: &Found, site_elevation: Option<f64>, system: System) -> String {
    let mut said =
        vec!["These are monthly means. A typical-year file of the place is better.".to_owned()];
    if let Some(distance) = found.distance {
        let away = distance_in_words(distance, system);
        said.push(format!(
            "It is the nearest place known, {away} from the site."
        ));
        if distance > FAR {
            said.push("That is far. Look for a weather file from nearby.".into());
        }
    }
    if let Some(site) = site_elevation {
        let above = site - found.place.elevation;
        let (higher, colder) = if above > 0.0 {
            ("higher", "colder")
        } else {
            ("lower", "warmer")
        };
        let unit = if system == System::Si { "m" } else { "ft" };
        let size = Shown::named(Kind::Length, unit).text(above.abs(), 0);
        said.push(format!("The site is {size} {higher}."));
        if above.abs() >= HIGH {
            let degrees = Shown::of(Kind::TemperatureDifference, system);
            let by = degrees.text(LAPSE_RATE * above.abs(), 1);
            said.push(format!(
                "It is likely {by} {colder}. The figures leave that out."
            ));
        }
    }
    if found.place.normals.wind_speed.is_none() {
        let wind = Shown::of(Kind::Speed, system).text(WIND_OF_PLACES, 1);
        said.push(format!("Its wind is not known. {wind} is assumed."));
    }
    said.join(" ")
}

/// Whether a notice names a source as its licence asks for.
pub(crate) fn names_source(notice: &str) -> bool {
    notice.contains(DWD_ATTRIBUTION) || notice.contains(TMY3_ATTRIBUTION)
}

/// Where the figures come from, with the words that their licences ask for.
fn origin(place: &ClimatePlace) -> String {
    let mut said = vec![format!("Source: {}.", place.source)];
    if place.source.contains("CLIMAT") || place.source.contains("DWD") {
        said.push(format!("{DWD_ATTRIBUTION}."));
    }
    if place.source.contains("TMY3") {
        said.push(format!("{TMY3_ATTRIBUTION}."));
    }
    said.join(" ")
}
