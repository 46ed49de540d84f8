//! Invented charts for the tests and the gallery.

use coatday::charts::{
    Bar, BarChart, BarLook, BarWords, HeatMap, Join, Layer, Limit, LineChart, LoadChart, Mark,
    ProfileChart, ProfileCurve, Series, XAxis,
};
use coatday::results::{Side, TextTable};
use coatday::units::System;

pub(super) fn drying(name: &str, start: f64, rate: f64, emphasis: bool) -> Series {
    let points: Vec<(f64, f64)> = (0..=180)
        .map(|step| {
            let day = f64::from(step) / 2.0;
            (day, 52.0 + (start - 52.0) * (-day / rate).exp())
        })
        .collect();
    let band = emphasis.then(|| {
        points
            .iter()
            .map(|&(x, y)| (x, y - x * 0.04, y + x * 0.05))
            .collect()
    });
    Series {
        name: name.to_string(),
        points,
        band,
        emphasis,
        join: Join::Line,
    }
}

pub(super) fn line_chart() -> LineChart {
    LineChart {
        title: "Heat + desiccant is dry 14 days sooner than heat + two fans".to_string(),
        subtitle: "Relative humidity at 40 % depth, 5 in slab on ground, water-cement ratio 0.50".to_string(),
        y_label: "Relative humidity, %".to_string(),
        series: vec![
            drying("Heat + desiccant", 99.0, 50.0, true),
            drying("Heat + two fans", 99.0, 70.0, false),
            drying("Dehumidifier", 99.0, 78.0, false),
            drying("Nothing", 99.0, 240.0, false),
        ],
        limits: vec![Limit { value: 75.0, label: "Limit 75 %".to_string() }],
        x_marks: vec![
            Mark { x: 20.0, label: "rain".to_string() },
            Mark { x: 27.5, label: "rain".to_string() },
            Mark { x: 61.0, label: "needed by 14 Mar".to_string() },
        ],
        y_range: Some((60.0, 100.0)),
        x_axis: XAxis::Dates { start: jiff::civil::date(2026, 1, 12), system: System::Si },
        band_label: "Shaded: 80 % of 200 runs".to_string(),
        footer: vec![
            "Estimate. A floor is released by moisture tests, never by this chart. Local codes and the product data sheet go first.".to_string(),
        ],
        ..LineChart::default()
    }
}

pub(super) fn limit(value: f64, label: &str) -> Limit {
    Limit {
        value,
        label: label.to_string(),
    }
}

pub(super) fn bar_chart() -> BarChart {
    let bar = |name: &str, value: Option<f64>, label: &str, note: &str, look: BarLook| Bar {
        name: name.to_string(),
        value,
        value_label: label.to_string(),
        note: note.to_string(),
        look,
    };
    BarChart {
        title: "Two of five setups are dry before 14 March".to_string(),
        subtitle: "Days from closing the building until 75 % at 40 % depth".to_string(),
        bars: vec![
            bar(
                "Heat + desiccant",
                Some(36.0),
                "36 days, 17 Feb",
                "$4,210, 3,900 kWh",
                BarLook::Filled,
            ),
            bar(
                "Heat + two fans + dehumidifier",
                Some(55.0),
                "55 days, 8 Mar",
                "$3,480, 3,100 kWh",
                BarLook::Filled,
            ),
            bar(
                "Dehumidifier",
                Some(69.0),
                "69 days, 22 Mar",
                "$2,950, 2,700 kWh",
                BarLook::Light,
            ),
            bar(
                "Outside-air exchange in dry hours with heat and four fans",
                Some(88.0),
                "88 days, 10 Apr",
                "$5,120, 6,800 kWh",
                BarLook::Hatched,
            ),
            bar(
                "Nothing",
                None,
                "never reaches 75 % in 365 days",
                "$0",
                BarLook::Open,
            ),
        ],
        limit: Some(limit(61.0, "needed by 14 Mar")),
        words: BarWords {
            filled: "in time".to_string(),
            light: "may be late".to_string(),
            hatched: "late".to_string(),
            open: "never dry enough".to_string(),
        },
        footer: vec![
            "Estimate. A floor is released by moisture tests, never by this chart.".to_string(),
        ],
    }
}

pub(super) fn profile_chart() -> ProfileChart {
    let curve = |name: &str, day: f64, emphasis: bool| ProfileCurve {
        name: name.to_string(),
        points: (0..=50)
            .map(|step| {
                let share = f64::from(step) / 50.0;
                let reach = 1.0 - (-day / 60.0).exp();
                (
                    share * 127.0,
                    99.0 - reach * (47.0 * (1.0 - share).powi(2) + 14.0)
                        - day.min(1.0) * 30.0 * (-share * 18.0).exp() * (1.0 - reach),
                )
            })
            .collect(),
        emphasis,
    };
    ProfileChart {
        title: "The core is still wet when the face reads dry".to_string(),
        subtitle: "Relative humidity through a 5 in slab drying from one face".to_string(),
        x_label: "Relative humidity, %".to_string(),
        curves: vec![
            curve("12 Jan", 0.5, false),
            curve("26 Jan", 14.0, false),
            curve("9 Feb", 28.0, false),
            curve("9 Mar", 56.0, false),
            curve("6 Apr", 84.0, true),
        ],
        limit: Some(limit(75.0, "Limit 75 %")),
        test_depth: Some(limit(50.8, "test at 40 % depth, 2 in")),
        x_range: Some((40.0, 100.0)),
        footer: vec![
            "Estimate. A floor is released by moisture tests, never by this chart.".to_string(),
        ],
    }
}

pub(super) fn heat_map() -> HeatMap {
    let months = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    HeatMap {
        title: "Outside air dries the slab from November to March at any hour".to_string(),
        subtitle: "Humidity ratio of outside air less that of room air, g/kg".to_string(),
        rows: months.iter().map(|month| (*month).to_string()).collect(),
        columns: (0..24).map(|hour| format!("{hour:02}")).collect(),
        column_label: "Hour of the day".to_string(),
        values: (0..12)
            .map(|month| {
                (0..24)
                    .map(|hour| {
                        let season = (f64::from(month - 6) / 12.0 * std::f64::consts::TAU).cos();
                        let day = (f64::from(hour - 15) / 24.0 * std::f64::consts::TAU).cos();
                        (month != 4 || hour != 3).then_some(7.5 * season - 1.8 * day - 0.5)
                    })
                    .collect()
            })
            .collect(),
        centre: 0.0,
        decimals: 1,
        low_label: "dries".to_string(),
        high_label: "wets".to_string(),
        footer: vec!["Monthly means of invented weather.".to_string()],
    }
}

pub(super) fn load_chart() -> LoadChart {
    let x: Vec<f64> = (0..60).map(f64::from).collect();
    let layer = |name: &str, value: &dyn Fn(f64) -> f64| Layer {
        name: name.to_string(),
        values: x.iter().map(|&day| value(day)).collect(),
    };
    LoadChart {
        title: "The dehumidifier falls short in the first ten days".to_string(),
        subtitle: "Moisture load of the room by source against what the unit takes out in that air"
            .to_string(),
        y_label: "Water, lb/day".to_string(),
        x_axis: XAxis::Dates {
            start: jiff::civil::date(2026, 12, 10),
            system: System::Si,
        },
        layers: vec![
            layer("Slab", &|day| 140.0 / (1.0 + day / 6.0)),
            layer("Outside air", &|day| 24.0 + 3.0 * (day / 3.0).sin()),
            layer("Fuel heater", &|day| if day < 25.0 { 22.0 } else { 6.0 }),
        ],
        capacity: Some(layer("Unit at room air", &|day| 96.0 - day * 0.7)),
        steps: true,
        x,
        footer: vec![
            "Estimate from the simulated room; ratings are corrected to its air.".to_string(),
        ],
        ..LoadChart::default()
    }
}

pub(super) fn text_table() -> TextTable {
    TextTable {
        columns: vec![
            ("Setup".to_string(), Side::Left),
            ("Days".to_string(), Side::Right),
            ("Date".to_string(), Side::Left),
            ("Energy, kWh".to_string(), Side::Right),
            ("Why".to_string(), Side::Left),
        ],
        rows: vec![
            vec![
                "Heat + desiccant".into(),
                "36".into(),
                "17 Feb".into(),
                "3,900".into(),
                "dry air and a warm slab".into(),
            ],
            vec![
                "Dehumidifier".into(),
                "69".into(),
                "22 Mar".into(),
                "2,700".into(),
                "the room stays at 50 % relative humidity, so the face dries slowly".into(),
            ],
            vec!["Nothing".into(), "never".into()],
        ],
        strong_row: Some(0),
        ..TextTable::default()
    }
}
