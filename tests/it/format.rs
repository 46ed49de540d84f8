//! Tests of `units::format`: how numbers, quantities and dates are said, and that nothing else says them.

use coatday::units::format::{
    Currency, Fuel, Said, Shown, clock, counted, date, date_in_words, dates_between, day_and_month,
    days, days_between, echoed, fine_percent, fixed, heat, hours, listed, moment, moved_by, number,
    percent, plus_or_minus, rounded, short_date, signed, signed_days, some_days, warmer_by,
    water_rates, weekday_and_date, whole,
};
use coatday::units::{Kind, System};
use jiff::civil::date as day;
use std::path::{Path, PathBuf};

const US: System = System::Us;
const SI: System = System::Si;

/// With plain blanks, as one types it.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

#[test]
fn analytic_nothing_is_minus_nothing() {
    assert_eq!(whole(-0.4), "0");
    assert_eq!(fixed(-0.004, 2), "0.00");
    assert_eq!(fixed(-0.006, 2), "-0.01");
    assert_eq!(number(-0.04, 1), "0");
    assert_eq!(signed(0.04, 1), "0");
    assert_eq!(signed(-0.04, 1), "0");
    assert_eq!(signed(-0.06, 1), "-0.1");
    assert_eq!(signed(3.0, 0), "+3");
}

#[test]
fn analytic_thousands_have_a_comma() {
    assert_eq!(whole(999.4), "999");
    assert_eq!(whole(999.6), "1,000");
    assert_eq!(fixed(1_234_567.891, 2), "1,234,567.89");
    assert_eq!(fixed(-2_684.0, 0), "-2,684");
    assert_eq!(signed(12_098.0, 0), "+12,098");
    assert_eq!(plain(&hours(2_684.0)), "2,684 h");
}

#[test]
fn analytic_estimates_have_three_figures() {
    assert_eq!(rounded(30_163.0), "30,200");
    assert_eq!(rounded(999.6), "1,000");
    assert_eq!(rounded(107_510.0), "108,000");
    assert_eq!(rounded(12.4), "12");
    assert_eq!(rounded(-2_212.0), "-2,210");
    assert_eq!(rounded(0.4), "0");
    assert_eq!(rounded(-0.4), "0");
}

#[test]
fn analytic_one_is_singular_and_nothing_else() {
    assert_eq!(plain(&days(1.0)), "1 day");
    assert_eq!(plain(&days(0.6)), "1 day");
    assert_eq!(plain(&days(0.4)), "0 days");
    assert_eq!(plain(&days(1.6)), "2 days");
    assert_eq!(plain(&counted(1, "place")), "1 place");
    assert_eq!(plain(&counted(0, "place")), "0 places");
    assert_eq!(plain(&counted(11, "place")), "11 places");
    assert_eq!(plain(&counted(whole(1.0), "circuit")), "1 circuit");
    assert_eq!(plain(&signed_days(1.0)), "+1.0 day");
    assert_eq!(plain(&signed_days(-1.0)), "\u{2212}1.0 day");
    assert_eq!(plain(&signed_days(-1.1)), "\u{2212}1.1 days");
    assert_eq!(plain(&signed_days(-14.4)), "\u{2212}14 days");
    assert_eq!(plain(&signed_days(0.01)), "0 days");
    assert_eq!(plain(&some_days(1.0)), "1 day");
}

#[test]
fn analytic_days_are_whole_once_there_are_more_than_three() {
    assert_eq!(plain(&days_between(58.2, 140.4)), "58 to 140 days");
    assert_eq!(plain(&days_between(10.2, 11.9)), "10.2 to 11.9 days");
    assert_eq!(plain(&days_between(7.0, 10.0)), "7 to 10 days");
    assert_eq!(plain(&days_between(7.0, 10.1)), "7 to 10 days");
    assert_eq!(plain(&days_between(7.01, 7.02)), "7 days");
    assert_eq!(plain(&some_days(2.96)), "3 days");
    assert_eq!(plain(&some_days(3.04)), "3 days");
    assert_eq!(plain(&some_days(0.6)), "0.6 days");
    assert_eq!(plain(&moved_by(-0.6)), "0.6 days sooner");
    assert_eq!(plain(&moved_by(14.2)), "14 days later");
    assert_eq!(plain(&moved_by(-0.04)), "no difference");
    assert_eq!(plus_or_minus(-35.2), "-35");
    assert_eq!(plus_or_minus(2.52), "+2.5");
}

#[test]
fn analytic_shares_and_money() {
    assert_eq!(plain(&percent(0.594)), "59 %");
    assert_eq!(plain(&fine_percent(0.845)), "84.5 %");
    assert_eq!(plain(&fine_percent(0.84)), "84 %");
    let dollars = Currency::default();
    assert_eq!(dollars.money(4_530.6), "$4,530");
    assert_eq!(dollars.money_at_least(4_530.6, true), "$4,530+");
    assert_eq!(dollars.bill(4_530.6), "$4,530.60");
    assert_eq!(dollars.signed_money(4_130.6), "+$4,130");
    assert_eq!(dollars.signed_money(-3_438.0), "-$3,440");
    assert_eq!(dollars.signed_money(0.3), "0");
    let euros = Currency::row(1);
    assert_eq!(plain(&euros.money(30_163.0)), "EUR 30,200");
    assert_eq!(plain(&euros.signed_money(-90.0)), "-EUR 90");
}

#[test]
fn analytic_dates_are_those_of_the_system() {
    let (feb, apr, next) = (day(2027, 2, 15), day(2027, 4, 5), day(2028, 1, 2));
    assert_eq!(plain(&date(feb, US)), "Mon Feb 15, 2027");
    assert_eq!(plain(&date(feb, SI)), "15 Feb 2027");
    assert_eq!(plain(&short_date(feb, US)), "Feb 15, 2027");
    assert_eq!(plain(&short_date(feb, SI)), "15 Feb 2027");
    assert_eq!(plain(&day_and_month(feb, US)), "Feb 15");
    assert_eq!(plain(&day_and_month(feb, SI)), "15 Feb");
    assert_eq!(plain(&date_in_words(feb, US)), "February 15, 2027");
    assert_eq!(
        plain(&weekday_and_date(feb, SI)),
        "Monday, 15 February 2027"
    );
    assert_eq!(plain(&dates_between(feb, apr, US)), "Feb 15 to Apr 5");
    assert_eq!(plain(&dates_between(feb, apr, SI)), "15 Feb to 5 Apr");
    assert_eq!(
        plain(&dates_between(apr, next, US)),
        "Apr 5, 2027 to Jan 2, 2028"
    );
    // A line never breaks inside a date, only between the two.
    assert_eq!(dates_between(feb, apr, US).matches(' ').count(), 2);
    assert!(!date(feb, US).contains(' '));
}

#[test]
fn analytic_moments_keep_their_seconds_only_if_there_are_any() {
    let at = day(2026, 11, 5);
    assert_eq!(plain(&moment(at.at(7, 5, 0, 0), SI)), "5 Nov 2026, 07:05");
    assert_eq!(
        plain(&moment(at.at(7, 5, 9, 0), SI)),
        "5 Nov 2026, 07:05:09"
    );
    assert_eq!(
        plain(&moment(at.at(7, 5, 0, 0), US)),
        "Nov 5, 2026, 7:05 am"
    );
    assert_eq!(plain(&clock(at.at(0, 0, 0, 0), US)), "12:00 am");
    assert_eq!(plain(&clock(at.at(15, 30, 0, 0), US)), "3:30 pm");
}

/// Factors of the table of units: 1 kg is 2.2046 lb, 20 degC is 68 degF, a difference of 3 K is 5.4 degF, 1 g/kg is 7 gr/lb.
#[test]
fn analytic_quantities_in_the_units_of_a_system() {
    let us = |kind| Shown::of(kind, US);
    assert_eq!(plain(&us(Kind::Mass).fixed_text(100.0, 1)), "220.5 lb");
    assert_eq!(plain(&us(Kind::Temperature).text(20.0, 1)), "68 °F");
    assert_eq!(
        plain(&us(Kind::TemperatureDifference).text(3.0, 1)),
        "5.4 °F"
    );
    assert_eq!(plain(&warmer_by(3.0, US)), "5 °F");
    assert_eq!(plain(&warmer_by(3.0, SI)), "3 K");
    assert_eq!(
        plain(&us(Kind::HumidityRatio).fixed_text(1e-3, 1)),
        "7.0 gr/lb"
    );
    assert_eq!(
        plain(&Shown::of(Kind::MassFlux, SI).text(15e-3 / 86_400.0, 1)),
        "15 g/m2/day"
    );
    assert_eq!(
        plain(&Shown::named(Kind::Pressure, "kPa").fixed_text(101_325.0, 3)),
        "101.325 kPa"
    );
    // 1 L of water a day is 2.1134 US pints.
    let litre = 1.0 / 86_400.0;
    assert_eq!(
        plain(&water_rates(8.0 * litre, 15.0 * litre, US)),
        "17 to 32 pints/day"
    );
    assert_eq!(
        plain(&water_rates(8.0 * litre, 15.0 * litre, SI)),
        "8 to 15 L/day"
    );
    // Every kind has a unit in both systems, and none is said in the letters of the keyboard.
    for kind in Kind::ALL {
        for system in [US, SI] {
            let unit = Shown::of(kind, system).unit();
            assert!(
                !unit.contains("deg") && !unit.contains(' '),
                "{kind:?}: {unit}"
            );
        }
    }
}

/// Gross heats of the table of units: propane 3.836 `MMBtu` a barrel of 42 gal, 1 therm 100 kBtu, 1 kWh 3.412 kBtu.
#[test]
fn analytic_fuel_is_told_as_it_is_sold() {
    let kwh = 3.6e6;
    let gallon = 3.836e6 * 1_055.055_852_62 / 42.0;
    let propane = Fuel::sold(Kind::PropanePrice, US);
    assert_eq!(
        (
            propane.unit().as_str(),
            propane.number(500.0 * gallon).as_str()
        ),
        ("gal", "500")
    );
    let gas = Fuel::sold(Kind::NaturalGasPrice, US);
    assert_eq!(gas.unit(), "therm");
    assert_eq!(gas.number(2_930.711 * kwh), "100");
    let si = Fuel::sold(Kind::PropanePrice, SI);
    assert_eq!(
        (si.unit().as_str(), si.number(1_234.0 * kwh).as_str()),
        ("kWh", "1,230")
    );
    assert_eq!(plain(&heat(100.0 * kwh, US)), "341 kBtu");
    assert_eq!(plain(&heat(100.0 * kwh, SI)), "100 kWh");
}

#[test]
fn analytic_a_text_by_system_is_that_of_the_system() {
    let said = Said::new(|system| warmer_by(3.0, system));
    assert_eq!(plain(said.of(US)), "5 °F");
    assert_eq!(plain(said.of(SI)), "3 K");
    assert_eq!(Said::from("as it is").of(US), "as it is");
    let names = ["A", "B", "C"].map(str::to_owned);
    assert_eq!(listed(&names), "A, B and C");
    assert_eq!(listed(&names[..2]), "A and B");
    assert_eq!(listed(&names[..1]), "A");
}

#[test]
fn analytic_what_was_typed_is_echoed_with_its_unit_beside() {
    assert_eq!(echoed("70 degF, 2 m2"), "70\u{a0}°F, 2\u{a0}m2");
}

/// Files that may write numbers, units and dates by themselves, each with its reason.
const ALLOWED: [(&str, &str); 14] = [
    (
        "units/",
        "the room of the format module and the table of units",
    ),
    (
        "scenario/",
        "what the user typed is echoed as it is typed: units that can be read back",
    ),
    (
        "weather/",
        "faults of weather files, in the unit of the file",
    ),
    (
        "air/states.rs",
        "a value beyond any range, as a power of ten",
    ),
    (
        "moisture_log/write.rs",
        "the log is a file: units that can be read back",
    ),
    ("moisture_log/columns.rs", "names of the log's columns"),
    (
        "moisture_log/row.rs",
        "units that the log's columns may have",
    ),
    ("delay/actions.rs", "a thermostat written as in a scenario"),
    ("results/today.rs", "units of JSON values"),
    ("results/prep/tables.rs", "the shopping list as CSV"),
    ("charts/canvas.rs", "coordinates of a drawing"),
    (
        "charts/axis.rs",
        "numbers along an axis, with the decimals of its step",
    ),
    ("cli/printer.rs", "the pattern of the progress bar"),
    (
        "gear/classes/",
        "where the data of a class come from, as its standard says it",
    ),
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("src is there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// What a line of code says a quantity with: a format string with decimals, a unit behind a placeholder, a date by pattern.
fn formats_by_itself(line: &str) -> Option<&'static str> {
    let unit_behind = |unit: &str| {
        let behind = format!("}} {unit}");
        let mut places = line.match_indices(&behind);
        places.any(|(at, found)| {
            let next = line[at + found.len()..].chars().next();
            !next.is_some_and(|c| c.is_alphanumeric() || c == '_')
        })
    };
    let decimals = line.contains("{:.") || line.contains(":.") && line.contains("$}") || {
        let mut parts = line.split('{').skip(1);
        parts.any(|part| {
            let inside = part.split('}').next().unwrap_or("");
            inside
                .split_once(':')
                .is_some_and(|(_, how)| how.starts_with(['.', '+']) && how.len() > 1)
        })
    };
    let units = [
        "%", "h", "K", "C", "F", "W", "kW", "kWh", "Btu", "Btu/h", "mm", "m", "m2", "m3", "ft",
        "ft2", "lb", "kg", "g", "gal", "L", "pints", "pint/day", "L/day", "days", "day", "degC",
        "degF", "V", "Pa", "cfm", "m3/h", "gr/lb", "g/kg",
    ];
    [
        (decimals, "decimals"),
        (
            line.contains("degF") || line.contains("degC"),
            "degF or degC",
        ),
        (line.contains("strftime"), "a date by pattern"),
        (
            line.contains("0} %") || line.contains(" %\"") && line.contains('{'),
            "per cent",
        ),
        (
            units.iter().any(|unit| unit_behind(unit)),
            "a unit behind a number",
        ),
    ]
    .into_iter()
    .find_map(|(is, what)| is.then_some(what))
}

#[test]
fn regress_only_the_format_module_says_quantities() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut list = Vec::new();
    sources(&src, &mut list);
    let mut found = Vec::new();
    for file in list {
        let inside = file
            .strip_prefix(&src)
            .expect("in src")
            .to_string_lossy()
            .replace('\\', "/");
        if ALLOWED.iter().any(|(start, _)| inside.starts_with(start)) {
            continue;
        }
        let text = std::fs::read_to_string(&file).expect("readable");
        // Unit tests in the file check what programs read.
        let text = text.split("#[cfg(test)]").next().unwrap_or("");
        for (number, line) in text.lines().enumerate() {
            let code = line.trim_start();
            if code.starts_with("//") || !code.contains('"') {
                continue;
            }
            if let Some(what) = formats_by_itself(code) {
                found.push(format!("src/{inside}:{}: {what}: {code}", number + 1));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn analytic_the_guard_sees_what_it_is_for() {
    for bad in [
        r#"format!("{:.1} of it", x)"#,
        r#"format!("{x:.0} of it")"#,
        r#"format!("{x:+.1}")"#,
        r#""room at 20 degC""#,
        r#"format!("{} %", x)"#,
        r#"format!("{share} % of it")"#,
        r#"date.strftime("%Y")"#,
        r#"format!("{n} days")"#,
        r#"format!("after {} h of it", n)"#,
    ] {
        assert!(formats_by_itself(bad).is_some(), "{bad}");
    }
    for good in [
        r#"format!("{} of it", percent(x))"#,
        r#"format!("{name} is dry")"#,
        r#"format!("{} are left out", counted(2, "plan"))"#,
        r#"format!("{one} in {other}")"#,
    ] {
        assert!(formats_by_itself(good).is_none(), "{good}");
    }
}
