//! Invented charts for the tests and the gallery.

use coatday::charts::site_plan::{Outline, SitePlan, Spot};
use coatday::charts::work_chart::{ReadingCurve, WorkBar, WorkChart, WorkKind, WorkRow};
use coatday::charts::{
    BarLook, Expected, HeatMap, Join, Layer, Limit, LineChart, LoadChart, Mark, Passed,
    ProfileChart, ProfileCurve, Row, RowBar, RowChart, Series, TestChart, XAxis,
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

pub(super) fn row_chart() -> RowChart {
    let row = |name: &str, bar: RowBar, range, label: &str, note: &str| Row {
        name: name.to_string(),
        note: note.to_string(),
        label: label.to_string(),
        bar,
        range,
    };
    RowChart {
        title: "2 of 5 setups make 14 March. First: Heat + desiccant, 17 Feb, 96 % chance"
            .to_string(),
        subtitle: "Days from closing the building until 75 % at 40 % depth".to_string(),
        rows: vec![
            row(
                "Heat + desiccant",
                RowBar::Bar(0.0, 36.0, BarLook::Solid),
                Some((28.0, Some(47.0))),
                "17 Feb, 36 days, 96 % chance, $4,210",
                "80 % chance: 28 to 47 days",
            ),
            row(
                "Heat + two fans + dehumidifier",
                RowBar::Bar(0.0, 55.0, BarLook::Solid),
                Some((44.0, Some(70.0))),
                "8 Mar, 55 days, 81 % chance, $3,480",
                "80 % chance: 44 to 70 days",
            ),
            row(
                "Dehumidifier",
                RowBar::Bar(0.0, 69.0, BarLook::Light),
                Some((52.0, Some(95.0))),
                "22 Mar, 69 days, 32 % chance, $2,950",
                "80 % chance: 52 to 95 days",
            ),
            row(
                "Outside-air exchange in dry hours with heat and four fans",
                RowBar::Bar(0.0, 88.0, BarLook::Hatched),
                Some((66.0, None)),
                "10 Apr, 88 days, 8 % chance, $5,120",
                "80 % chance: over 66 days",
            ),
            row(
                "Nothing",
                RowBar::Open,
                None,
                "not dry by 12 Jan 2027, $0",
                "",
            ),
        ],
        x_axis: XAxis::Dates {
            start: jiff::civil::date(2026, 1, 12),
            system: System::Si,
        },
        limit: Some(limit(61.0, "needed by 14 Mar")),
        looks: [
            (BarLook::Solid, "in time"),
            (BarLook::Light, "may be late"),
            (BarLook::Hatched, "late"),
        ]
        .map(|(look, words)| (look, words.to_owned()))
        .into(),
        range_label: "80 % chance".to_string(),
        footer: vec![
            "Estimate. A floor is released by moisture tests, never by this chart.".to_string(),
        ],
        ..RowChart::default()
    }
}

pub(super) fn test_chart() -> TestChart {
    let reading = |day: f64| 75.0 + 24.0 * (-day / 60.0).exp() - day * 0.02;
    let test = |week: u32| {
        let day = f64::from(week) * 14.0;
        Expected {
            day,
            value: reading(day),
            range: Some((
                reading(day) - 1.0 - day * 0.02,
                reading(day) + 1.0 + day * 0.03,
            )),
            label: format!("{}", reading(day).round()),
        }
    };
    TestChart {
        title: "Heat + desiccant: dry on 20 Apr, may be late for 14 Mar (22 % chance)".to_string(),
        subtitle: "What the test should read every 2 weeks".to_string(),
        y_label: "Relative humidity at 40 % depth, %".to_string(),
        x_axis: XAxis::Dates {
            start: jiff::civil::date(2026, 1, 12),
            system: System::Si,
        },
        name: "Heat + desiccant".to_string(),
        expected: (1..=8).map(test).collect(),
        expected_label: "expected reading, 80 % chance".to_string(),
        passed: Some(Passed {
            day: 98.0,
            range: Some((80.0, Some(121.0))),
            label: "passed 20 Apr".to_string(),
        }),
        others: vec![
            drying("Heat + two fans", 99.0, 50.0, false),
            drying("Nothing", 99.0, 240.0, false),
        ],
        rest: Some((
            "5 other setups".to_string(),
            (0..100).map(|day| (f64::from(day), 84.0, 92.0)).collect(),
        )),
        readings: Some(vec![(3.0, 97.0), (17.0, 93.5), (31.0, 89.0)]),
        limit: Some(limit(76.0, "limit 76 %")),
        x_marks: vec![Mark {
            x: 61.0,
            label: "needed by 14 Mar".to_string(),
        }],
        footer: vec!["Estimate.".to_string()],
        ..TestChart::default()
    }
}

/// As many findings as wished, kinds in turn, some on one spot.
pub(super) fn site_plan(findings: usize) -> SitePlan {
    let corners =
        |left: f64, right: f64| vec![(left, 0.0), (right, 0.0), (right, 40.0), (left, 40.0)];
    let kinds = 11;
    SitePlan {
        title: "80 findings, none stops the coating".to_string(),
        subtitle: "Findings of the walk".to_string(),
        outlines: vec![
            Outline {
                name: "Shop".to_string(),
                corners: corners(0.0, 44.0),
            },
            Outline {
                name: "Store".to_string(),
                corners: corners(44.0, 60.0),
            },
        ],
        kinds: (0..kinds).map(|kind| format!("kind {kind}")).collect(),
        spots: (0..findings)
            .map(|index| Spot {
                number: index + 1,
                at: (
                    (index * 7 % 56) as f64 + 2.0,
                    (index * 11 % 36) as f64 + 2.0,
                ),
                kind: index % kinds,
            })
            .collect(),
        unit: "ft".to_string(),
        footer: vec!["Numbers are those of the list of findings.".to_string()],
    }
}

pub(super) fn work_chart() -> WorkChart {
    let bar = |start: f64, end: f64, wait_end: f64, kind: WorkKind, rules: bool| WorkBar {
        start,
        end,
        wait_end,
        kind,
        rules,
    };
    let row = |name: &str, bars: Vec<WorkBar>| WorkRow {
        name: name.to_string(),
        bars,
    };
    WorkChart {
        title: "Heat: first coating day 5 Mar".to_string(),
        subtitle: "Shop: work, drying with \"Heat\"".to_string(),
        start: jiff::civil::date(2026, 1, 12),
        system: System::Si,
        rows: vec![
            row("Degrease", vec![bar(0.3, 0.6, 0.6, WorkKind::Wet, true)]),
            row(
                "Fill cracks",
                vec![bar(1.3, 1.5, 2.4, WorkKind::Plain, true)],
            ),
            row(
                "Grind with vacuum",
                vec![bar(2.3, 2.7, 2.7, WorkKind::Opens, true)],
            ),
            row(
                "Seal joints",
                vec![bar(2.7, 2.75, 3.5, WorkKind::Plain, false)],
            ),
        ],
        course: Some(ReadingCurve {
            name: "Relative humidity, %".to_string(),
            points: (0..120)
                .map(|half| (f64::from(half) / 2.0, 95.0 - f64::from(half) / 6.0))
                .collect(),
            limit: Some(limit(78.0, "limit 78 %")),
        }),
        over: Some(Mark {
            x: 3.5,
            label: "work and waits over".to_string(),
        }),
        marks: vec![
            Mark {
                x: 52.3,
                label: "coating day 5 Mar".to_string(),
            },
            Mark {
                x: 70.3,
                label: "90 % chance by 23 Mar".to_string(),
            },
        ],
        footer: vec!["The curve is one run.".to_string()],
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
                    share * 5.0,
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
        depth_label: "Depth below the surface, in".to_string(),
        x_label: "Relative humidity, %".to_string(),
        curves: vec![
            curve("12 Jan", 0.5, false),
            curve("26 Jan", 14.0, false),
            curve("9 Feb", 28.0, false),
            curve("9 Mar", 56.0, false),
            curve("6 Apr", 84.0, true),
        ],
        limit: Some(limit(75.0, "Limit 75 %")),
        test_depth: Some(limit(2.0, "test at 40 % depth, 2 in")),
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
        muted: vec![],
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
