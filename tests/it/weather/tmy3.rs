//! TMY3 files.

use approx::assert_relative_eq;
use coatday::units::System;
use coatday::weather::{read, read_tmy3};

use super::{HOUR, TYPICAL_YEAR, faults, moment, ratio, shown, sonntag_over_water};

/// The whole published file: yearly means computed from its columns with a spreadsheet-like sum outside this program
/// (dry bulb 14.421849 degC, wind 3.054441 m/s, pressure 986.917237 mbar over 8760 rows).
#[test]
fn ref_tmy3_year_has_the_means_of_its_columns() {
    let (reading, notices) = read("typical year", TYPICAL_YEAR).unwrap();
    let place = reading.place().unwrap();
    assert_eq!(
        (
            place.latitude,
            place.longitude,
            place.time_zone_hours,
            place.elevation
        ),
        (36.1, -79.95, -5.0, 273.0)
    );
    let season = reading
        .season(moment(2026, 1, 1, 0), moment(2027, 1, 1, 0), None)
        .unwrap();
    let mean = season.mean(0.0, season.duration());
    // Over a closed year the trapezium mean is the plain mean of the rows.
    assert_relative_eq!(mean.temperature, 14.421_849_315, epsilon = 1e-6);
    assert_relative_eq!(mean.wind_speed, 3.054_440_639, epsilon = 1e-6);
    assert_relative_eq!(mean.pressure, 98_691.723_744, epsilon = 1e-3);
    // 8345 tenths of a millimeter of rain; the unit is noticed, nothing else is out of the ordinary.
    assert_relative_eq!(mean.rain * season.duration(), 834.5, epsilon = 1e-6);
    assert_eq!(notices.len(), 1, "{notices:?}");
    assert!(
        notices[0]
            .message
            .of(System::Si)
            .contains("tenths of a millimeter"),
        "{notices:?}"
    );
    // First row, 01:00: 10.0 degC, dew point 6.1 degC, 993 mbar, 6.2 m/s; last row is the midnight before and after.
    let first = season.at(HOUR);
    assert_eq!(
        (first.temperature, first.pressure, first.wind_speed),
        (10.0, 99_300.0, 6.2)
    );
    assert_relative_eq!(
        first.humidity_ratio,
        ratio(sonntag_over_water(6.1), 99_300.0),
        max_relative = 1e-3
    );
    assert_eq!(
        (
            season.at(0.0).temperature,
            season.at(season.duration()).temperature
        ),
        (2.2, 2.2)
    );
}

fn tmy3_lines() -> Vec<String> {
    String::from_utf8(TYPICAL_YEAR.to_vec())
        .unwrap()
        .lines()
        .map(str::to_owned)
        .collect()
}

#[test]
fn regress_tmy3_missing_codes_and_row_faults() {
    let set = |line: &mut String, column: usize, value: &str| {
        let mut fields: Vec<&str> = line.split(',').collect();
        fields[column - 1] = value;
        *line = fields.join(",");
    };
    for (column, code) in [
        (32, "-9900"),
        (35, "-9900"),
        (38, "-9900"),
        (41, "-9900"),
        (47, "-9900"),
        (65, "-9900"),
        (32, ""),
    ] {
        let mut lines = tmy3_lines();
        for line in &mut lines[100..106] {
            set(line, column, code);
        }
        let (_, notices) = read_tmy3("y", lines.join("\n").as_bytes()).unwrap();
        let told = notices
            .iter()
            .any(|n| (n.hours, n.position.line, n.position.column) == (6, Some(101), Some(column)));
        // The relative humidity is not needed where the dew point is given.
        assert_eq!(told, column != 38, "{column} {notices:?}");
    }
    let mut lines = tmy3_lines();
    set(&mut lines[10], 2, "9:30");
    set(&mut lines[11], 1, "1988-01-01");
    set(&mut lines[12], 32, "*");
    lines[13].truncate(40);
    let text = shown(&faults(read_tmy3("y", lines.join("\n").as_bytes())));
    for part in [
        "line 11, column 2 (Time (HH:MM)): \"9:30\" is not a whole hour",
        "line 12, column 1 (Date (MM/DD/YYYY)): \"1988-01-01\" is not a date",
        "line 13, column 32 (Dry-bulb (C)): \"*\" is not a number",
        "line 14: The row has ",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn regress_tmy3_rain_in_true_millimetres_is_left_alone() {
    let mut lines = tmy3_lines();
    for (i, line) in lines.iter_mut().skip(2).enumerate() {
        let mut fields: Vec<String> = line.split(',').map(str::to_owned).collect();
        fields[64] = if i % 100 == 0 {
            "0.3".into()
        } else {
            "0".into()
        };
        *line = fields.join(",");
    }
    let (reading, notices) = read_tmy3("y", lines.join("\n").as_bytes()).unwrap();
    assert!(notices.is_empty(), "{notices:?}");
    let season = reading
        .season(moment(2026, 1, 1, 0), moment(2027, 1, 1, 0), None)
        .unwrap();
    assert_relative_eq!(
        season.mean(0.0, season.duration()).rain * season.duration(),
        88.0 * 0.3,
        epsilon = 1e-9
    );
}
