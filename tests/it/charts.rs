//! Tests of the `charts` room.

mod claims;
mod demo;
mod read_back;

use coatday::units::System;
use std::fmt::Write as _;

use coatday::charts::{
    BarLook, Chart, HeatMap, Join, Layer, Limit, LineChart, LoadChart, Mark, ProfileChart,
    ProfileCurve, RasterFault, Row, RowBar, RowChart, Series, Size, TestChart, XAxis, png, svg,
};
use coatday::results::{Side, TextTable};
use demo::{
    drying, heat_map, limit, line_chart, load_chart, profile_chart, row_chart, site_plan,
    test_chart, text_table, work_chart,
};
use proptest::prelude::*;
use read_back::{faults, print_faults, texts};

fn charts() -> Vec<(&'static str, Box<dyn Chart>)> {
    vec![
        ("line", Box::new(line_chart())),
        ("row", Box::new(row_chart())),
        ("profile", Box::new(profile_chart())),
        ("heat", Box::new(heat_map())),
        ("load", Box::new(load_chart())),
        ("test", Box::new(test_chart())),
        ("plan", Box::new(site_plan(80))),
        ("work", Box::new(work_chart())),
    ]
}

const LAYOUTS: [(&str, Size); 2] = [("wide", Size::WIDE), ("narrow", Size::NARROW)];

/// Writes every chart to the directory named by `COATDAY_CHARTS`, for looking at.
#[test]
#[ignore = "writes pictures for people to look at"]
fn gallery() {
    let Ok(directory) = std::env::var("COATDAY_CHARTS") else {
        return;
    };
    let crowded = LineChart {
        title: HOSTILE[2].to_string(),
        subtitle: HOSTILE[4].to_string(),
        series: (0..14)
            .map(|i| Series {
                name: HOSTILE[i % HOSTILE.len()].to_string(),
                ..drying("", 99.0, 20.0 + 8.0 * i as f64, i == 3)
            })
            .collect(),
        x_marks: (0..14)
            .map(|i| Mark {
                x: f64::from(i) * 6.0,
                label: format!("pour of bay {i} and rain"),
            })
            .collect(),
        limits: vec![
            limit(75.0, "Limit 75 %"),
            limit(76.0, "Alarm 76 %"),
            limit(85.0, "Limit 85 %"),
        ],
        ..line_chart()
    };
    let readings = Series {
        name: "Readings, hole 3".to_string(),
        points: vec![(3.0, 97.0), (17.0, 90.5), (31.0, 82.0), (45.0, 78.5)],
        join: Join::Points,
        ..Series::default()
    };
    let forecast = LineChart {
        title: "Readings stay above the first forecast".to_string(),
        series: vec![drying("Forecast", 99.0, 55.0, true), readings],
        ..line_chart()
    };
    let mut all = charts();
    all.push(("crowded", Box::new(crowded)));
    all.push(("forecast", Box::new(forecast)));
    for (name, chart) in all {
        for (layout, size) in LAYOUTS {
            let drawing = chart.draw(size);
            std::fs::write(format!("{directory}/{name}-{layout}.svg"), &drawing)
                .expect("the directory can be written");
            let bytes = png(&drawing, 2.0).expect("the drawing is sound");
            std::fs::write(format!("{directory}/{name}-{layout}.png"), bytes)
                .expect("the directory can be written");
        }
    }
    println!(
        "{}\n{}",
        text_table().text(90, false),
        text_table().text(50, true)
    );
    let _ = svg(&line_chart(), Size::WIDE);
}

fn assert_sound(chart: &dyn Chart, what: &str) {
    for size in [
        Size::WIDE,
        Size::NARROW,
        Size {
            width: 0,
            height: 0,
        },
        Size {
            width: 560,
            height: 300,
        },
        Size {
            width: 1200,
            height: 600,
        },
    ] {
        let found = faults(&chart.draw(size));
        assert!(
            found.is_empty(),
            "{what} at {size:?}:\n{}",
            found.join("\n")
        );
    }
}

const HOSTILE: [&str; 13] = [
    "",
    " ",
    "<script>alert('x')</script> & \"quotes\"",
    "]]> <!-- --> <?xml?> &amp; &#0;",
    "مروحة ومزيل رطوبة مع تسخين",
    "מאוורר ומייבש אוויר",
    "👩‍🔧🔥💨 heat 🏗️",
    "除湿機と暖房と換気を組み合わせた乾燥",
    "a\u{0}b\u{1}c\u{1b}[31m\nnew\tline\r\u{2028}",
    "\u{202E}reversed\u{2066}",
    "z\u{300}\u{301}\u{302}\u{303}\u{304}\u{305}\u{306}\u{307}\u{308}algo",
    "NaN inf \u{FFFE}\u{FFFF}\u{FEFF}",
    "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
];

#[test]
fn demonstration_charts_are_sound() {
    for (name, chart) in charts() {
        assert_sound(chart.as_ref(), name);
        for (layout, size) in LAYOUTS {
            let found = print_faults(&chart.draw(size));
            assert!(found.is_empty(), "{name} {layout}: {}", found.join("\n"));
        }
    }
}

#[test]
fn hostile_words_break_nothing() {
    let long = "Heat and desiccant and fans and exchange ".repeat(8);
    for words in HOSTILE.into_iter().chain([long.as_str()]) {
        let w = || words.to_string();
        let line = LineChart {
            title: w(),
            subtitle: w(),
            x_label: w(),
            y_label: w(),
            series: (0..5)
                .map(|i| Series {
                    name: w(),
                    ..drying("", 99.0, 20.0 + f64::from(i), i == 0)
                })
                .collect(),
            limits: vec![
                limit(75.0, words),
                limit(76.0, words),
                limit(f64::NAN, words),
            ],
            x_marks: (0..6)
                .map(|i| Mark {
                    x: f64::from(i) * 9.0,
                    label: format!("{words} {i}"),
                })
                .collect(),
            band_label: w(),
            footer: vec![w(), w()],
            ..LineChart::default()
        };
        assert_sound(&line, words);
        let mut bars = row_chart();
        (bars.title, bars.subtitle, bars.range_label) = (w(), w(), w());
        bars.footer = vec![w()];
        bars.limit = Some(limit(61.0, words));
        for row in &mut bars.rows {
            (row.name, row.note, row.label) = (w(), w(), w());
        }
        for (_, said) in &mut bars.looks {
            *said = w();
        }
        assert_sound(&bars, words);
        let mut test = test_chart();
        (test.title, test.subtitle, test.y_label, test.name) = (w(), w(), w(), w());
        (test.expected_label, test.footer) = (w(), vec![w()]);
        test.limit = Some(limit(76.0, words));
        for expected in &mut test.expected {
            expected.label = w();
        }
        for series in &mut test.others {
            series.name = w();
        }
        if let Some(passed) = &mut test.passed {
            passed.label = w();
        }
        if let Some((name, _)) = &mut test.rest {
            *name = w();
        }
        for mark in &mut test.x_marks {
            mark.label = w();
        }
        assert_sound(&test, words);
        let mut plan = site_plan(20);
        (plan.title, plan.subtitle, plan.unit, plan.footer) = (w(), w(), w(), vec![w()]);
        plan.kinds.iter_mut().for_each(|kind| *kind = w());
        plan.outlines
            .iter_mut()
            .for_each(|outline| outline.name = w());
        assert_sound(&plan, words);
        let mut work = work_chart();
        (work.title, work.subtitle, work.footer) = (w(), w(), vec![w()]);
        work.rows.iter_mut().for_each(|row| row.name = w());
        work.marks.iter_mut().for_each(|mark| mark.label = w());
        if let Some(course) = &mut work.course {
            course.name = w();
            course.limit = Some(limit(78.0, words));
        }
        assert_sound(&work, words);
        let mut profile = profile_chart();
        (
            profile.title,
            profile.subtitle,
            profile.x_label,
            profile.footer,
        ) = (w(), w(), w(), vec![w()]);
        profile.depth_label = w();
        profile.limit = Some(limit(75.0, words));
        profile.test_depth = Some(limit(2.0, words));
        for curve in &mut profile.curves {
            curve.name = w();
        }
        assert_sound(&profile, words);
        let mut heat = heat_map();
        (heat.title, heat.subtitle, heat.column_label, heat.footer) = (w(), w(), w(), vec![w()]);
        (heat.low_label, heat.high_label) = (w(), w());
        heat.rows
            .iter_mut()
            .chain(&mut heat.columns)
            .for_each(|name| *name = w());
        assert_sound(&heat, words);
        let mut load = load_chart();
        (
            load.title,
            load.subtitle,
            load.x_label,
            load.y_label,
            load.footer,
        ) = (w(), w(), w(), w(), vec![w()]);
        load.layers
            .iter_mut()
            .chain(&mut load.capacity)
            .for_each(|layer| layer.name = w());
        assert_sound(&load, words);
    }
}

#[test]
fn odd_data_break_nothing() {
    let series = |points: Vec<(f64, f64)>| Series {
        name: "odd".to_string(),
        points,
        ..Series::default()
    };
    let bad = [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::MAX,
        f64::MIN,
        f64::MIN_POSITIVE,
        0.0,
        -0.0,
        1e12,
        -1e12,
    ];
    let sets: Vec<Vec<(f64, f64)>> = vec![
        vec![],
        vec![(1.0, 5.0)],
        vec![(f64::NAN, 5.0)],
        vec![(0.0, 5.0), (10.0, 5.0)],
        vec![(3.0, 1.0), (3.0, 2.0)],
        bad.iter()
            .flat_map(|&x| bad.iter().map(move |&y| (x, y)))
            .collect(),
        vec![(0.0, 1e-300), (1.0, 2e-300)],
        vec![(1e11, 1e11), (1e11 + 1.0, 1e11 + 1.0)],
        vec![(0.0, 1.0), (1.0, f64::NAN), (2.0, 3.0)],
    ];
    let start = jiff::civil::date(2026, 1, 12);
    for points in sets {
        for x_axis in [
            XAxis::Numbers,
            XAxis::Dates {
                start,
                system: System::Si,
            },
            XAxis::Dates {
                start: jiff::civil::Date::MAX,
                system: System::Us,
            },
        ] {
            for join in [Join::Line, Join::Steps, Join::Points] {
                for y_range in [
                    None,
                    Some((60.0, 100.0)),
                    Some((5.0, 5.0)),
                    Some((f64::NAN, 1.0)),
                    Some((9.0, 1.0)),
                ] {
                    let band = points.iter().map(|&(x, y)| (x, y - 1.0, y + 1.0)).collect();
                    let chart = LineChart {
                        series: vec![
                            Series {
                                join,
                                band: Some(band),
                                ..series(points.clone())
                            },
                            series(vec![]),
                        ],
                        x_axis,
                        y_range,
                        ..LineChart::default()
                    };
                    let found = faults(&chart.draw(Size::WIDE));
                    assert!(
                        found.is_empty(),
                        "{points:?} {x_axis:?}:\n{}",
                        found.join("\n")
                    );
                }
            }
        }
        let profile = ProfileChart {
            curves: vec![ProfileCurve {
                name: "odd".to_string(),
                points: points.clone(),
                emphasis: true,
            }],
            ..ProfileChart::default()
        };
        assert_sound(&profile, "profile");
        let values = points.iter().map(|point| point.1).collect::<Vec<_>>();
        let layer = Layer {
            name: "odd".to_string(),
            values: values.clone(),
        };
        let load = LoadChart {
            x: points.iter().map(|point| point.0).collect(),
            layers: vec![layer.clone(), layer.clone(), Layer::default()],
            capacity: Some(layer),
            ..LoadChart::default()
        };
        assert_sound(&load, "load");
        for bar in [
            |value: f64| RowBar::Bar(0.0, value, BarLook::Light),
            |value: f64| RowBar::Bar(value, 1.0, BarLook::Won),
            RowBar::Point,
            RowBar::Onward,
        ] {
            let rows = RowChart {
                rows: values
                    .iter()
                    .map(|&value| Row {
                        bar: bar(value),
                        range: Some((value - 1.0, Some(value))),
                        label: "x".into(),
                        ..Row::default()
                    })
                    .collect(),
                limit: values.first().map(|value| limit(*value, "odd")),
                joined: true,
                ..RowChart::default()
            };
            assert_sound(&rows, "rows");
        }
        let test = TestChart {
            others: vec![series(points.clone())],
            readings: Some(points.clone()),
            limit: values.first().map(|value| limit(*value, "odd")),
            ..test_chart()
        };
        assert_sound(&test, "test");
        let heat = HeatMap {
            rows: vec!["a".into(), "b".into()],
            columns: vec!["c".into(); values.len()],
            values: vec![values.iter().copied().map(Some).collect()],
            decimals: 40,
            centre: f64::NAN,
            ..HeatMap::default()
        };
        assert_sound(&heat, "heat");
    }
    assert_sound(&LineChart::default(), "empty line");
    assert_sound(&RowChart::default(), "empty rows");
    assert_sound(&TestChart::default(), "empty test");
    assert_sound(&site_plan(0), "plan without findings");
    assert_sound(&ProfileChart::default(), "empty profile");
    assert_sound(&HeatMap::default(), "empty heat");
    assert_sound(&LoadChart::default(), "empty load");
}

#[test]
fn ten_thousand_points_are_thinned() {
    let points: Vec<(f64, f64)> = (0..10_000)
        .map(|i| (f64::from(i), 80.0 + 10.0 * (f64::from(i) / 7.0).sin()))
        .collect();
    let chart = LineChart {
        series: vec![Series {
            name: "air".to_string(),
            points,
            ..Series::default()
        }],
        ..LineChart::default()
    };
    let drawing = svg(&chart, Size::WIDE);
    assert!(drawing.len() < 60_000, "{} bytes", drawing.len());
    assert!(faults(&drawing).is_empty());
}

#[test]
fn many_series_go_into_a_legend() {
    let chart = LineChart {
        series: (0..40)
            .map(|i| drying(&format!("setup {i}"), 99.0, 20.0 + f64::from(i), false))
            .collect(),
        ..line_chart()
    };
    assert_sound(&chart, "forty series");
    let words: Vec<String> = texts(&svg(&chart, Size::WIDE))
        .into_iter()
        .map(|(words, _)| words)
        .collect();
    assert!((0..40).all(|i| words.contains(&format!("setup {i}"))));
}

#[test]
fn a_missing_value_is_not_bridged() {
    let points = vec![
        (0.0, 1.0),
        (1.0, 2.0),
        (2.0, f64::NAN),
        (3.0, 2.0),
        (4.0, 1.0),
    ];
    let gap = LineChart {
        series: vec![Series {
            points,
            ..Series::default()
        }],
        ..LineChart::default()
    };
    // Axis and ticks are lines too; only the series has its colour.
    let drawing = svg(&gap, Size::WIDE);
    let pieces = drawing
        .lines()
        .filter(|l| l.starts_with("<polyline") && l.contains("#0072b2"));
    assert_eq!(pieces.count(), 2);
}

#[test]
fn a_limit_is_never_out_of_sight() {
    let chart = LineChart {
        y_range: Some((80.0, 100.0)),
        ..line_chart()
    };
    let drawing = svg(&chart, Size::WIDE);
    assert!(faults(&drawing).is_empty());
    assert!(
        texts(&drawing).iter().any(|(words, _)| words == "70"),
        "the axis reaches below the limit of 75"
    );
}

/// Words of every chart, in the order drawn; places are left to the eye.
#[test]
fn regress_words_of_the_charts() {
    let mut out = String::new();
    for (name, chart) in charts().into_iter().filter(|(name, _)| *name != "heat") {
        for (layout, size) in LAYOUTS {
            let words: Vec<String> = texts(&chart.draw(size))
                .into_iter()
                .map(|(words, _)| words)
                .collect();
            let _ = writeln!(out, "{name} {layout}: {}", words.join(" | "));
        }
    }
    insta::assert_snapshot!(out, @r#"
    line wide: Heat + desiccant is dry 14 days sooner than heat + two fans | Relative humidity at 40 % depth, 5 in slab on ground, water-cement ratio 0.50 | 60 | 70 | 80 | 90 | 100 | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | 6 Apr | Relative humidity, % | rain | needed by 14 Mar | rain | Heat + desiccant | Heat + two fans | Dehumidifier | Nothing | Limit 75 % | Shaded: 80 % of 200 runs | Estimate. A floor is released by moisture tests, never by this chart. Local codes and the product data sheet go first.
    line narrow: Heat + desiccant is dry 14 days | sooner than heat + two fans | Relative humidity at 40 % depth, 5 in | slab on ground, water-cement ratio 0.50 | 60 | 70 | 80 | 90 | 100 | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | 6 Apr | Relative humidity, % | rain | needed by 14 Mar | rain | Limit 75 % | Heat + desiccant | Heat + two fans | Dehumidifier | Nothing | Shaded: 80 % of 200 runs | Estimate. A floor is released by moisture tests, never by this chart. | Local codes and the product data sheet go first.
    row wide: 2 of 5 setups make 14 March. First: | Heat + desiccant, 17 Feb, 96 % chance | Days from closing the building until 75 % at 40 % depth | Feb | 2026 | Mar | Apr | needed by 14 Mar | Heat + desiccant | 80 % chance: 28 to 47 days | 17 Feb, 36 days, 96 % chance, $4,210 | Heat + two fans + dehumidifier | 80 % chance: 44 to 70 days | 8 Mar, 55 days, 81 % chance, $3,480 | Dehumidifier | 80 % chance: 52 to 95 days | 22 Mar, 69 days, 32 % chance, $2,950 | Outside-air exchange in dry | hours with heat and four fans | 80 % chance: over 66 days | 10 Apr, 88 days, 8 % chance, $5,120 | Nothing | not dry by 12 Jan 2027, $0 | in time | may be late | late | 80 % chance | Estimate. A floor is released by moisture tests, never by this chart.
    row narrow: 2 of 5 setups make 14 March. First: | Heat + desiccant, 17 Feb, 96 % chance | Days from closing the building until 75 % at 40 % depth | Feb | 2026 | Mar | Apr | needed by 14 Mar | Heat + desiccant | 80 % chance: 28 to 47 days | 17 Feb, 36 days, 96 % chance, $4,210 | Heat + two fans + dehumidifier | 80 % chance: 44 to 70 days | 8 Mar, 55 days, 81 % chance, $3,480 | Dehumidifier | 80 % chance: 52 to 95 days | 22 Mar, 69 days, 32 % chance, $2,950 | Outside-air exchange in dry | hours with heat and four fans | 80 % chance: over 66 days | 10 Apr, 88 days, 8 % chance, $5,120 | Nothing | not dry by 12 Jan 2027, $0 | in time | may be late | late | 80 % chance | Estimate. A floor is released by moisture tests, never by this chart.
    profile wide: The core is still wet when the face reads dry | Relative humidity through a 5 in slab drying from one face | 0 | 1 | 2 | 3 | 4 | 5 | 40 | 50 | 60 | 70 | 80 | 90 | 100 | Depth below the surface, in | Relative humidity, % | Limit 75 % | test at 40 % depth, 2 in | 12 Jan | 26 Jan | 9 Feb | 9 Mar | 6 Apr | Estimate. A floor is released by moisture tests, never by this chart.
    profile narrow: The core is still wet | when the face reads dry | Relative humidity through a 5 in slab drying from one face | 0 | 1 | 2 | 3 | 4 | 5 | 40 | 50 | 60 | 70 | 80 | 90 | 100 | Depth below the surface, in | Relative humidity, % | Limit 75 % | test at 40 % depth, 2 in | 12 Jan | 26 Jan | 9 Feb | 9 Mar | 6 Apr | Estimate. A floor is released by moisture tests, never by this chart.
    load wide: The dehumidifier falls short in the first ten days | Moisture load of the room by source against what the unit takes out in that air | 0 | 50 | 100 | 150 | 200 | 14 Dec | 2026 | 21 Dec | 28 Dec | 4 Jan | 2027 | 11 Jan | 18 Jan | 25 Jan | 1 Feb | Water, lb/day | Unit at room air | Fuel heater | Outside air | Slab | Estimate from the simulated room; ratings are corrected to its air.
    load narrow: The dehumidifier falls | short in the first ten days | Moisture load of the room by source | against what the unit takes out in that air | 0 | 50 | 100 | 150 | 200 | 21 Dec | 2026 | 4 Jan | 2027 | 18 Jan | 1 Feb | Water, lb/day | Unit at room air | Fuel heater | Outside air | Slab | Estimate from the simulated room; ratings are corrected to its air.
    test wide: Heat + desiccant: dry on 20 Apr, may be late for 14 Mar (22 % chance) | What the test should read every 2 weeks | 50 | 60 | 70 | 80 | 90 | 100 | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | 6 Apr | 20 Apr | 4 May | Relative humidity at 40 % depth, % | needed by 14 Mar | passed 20 Apr | 94 | 89 | 86 | 83 | 81 | 79 | 78 | 76 | Heat + desiccant | Heat + two fans | Nothing | limit 76 % | expected reading, 80 % chance | readings | 5 other setups | Estimate.
    test narrow: Heat + desiccant: dry on 20 Apr, may | be late for 14 Mar (22 % chance) | What the test should read every 2 weeks | 50 | 60 | 70 | 80 | 90 | 100 | Feb | 2026 | Mar | Apr | May | Relative humidity at 40 % depth, % | needed by 14 Mar | limit 76 % | passed 20 Apr | 94 | 89 | 86 | 83 | 81 | 79 | 78 | 76 | Heat + desiccant | Heat + two fans | Nothing | expected reading, 80 % chance | readings | 5 other setups | Estimate.
    plan wide: 80 findings, none stops the coating | Findings of the walk | Shop | Store | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12 | 13 | 14 | 15 | 16 | 17 | 18 | 19 | 20 | 21 | 22 | 23 | 24 | 25 | 26 | 27 | 28 | 29 | 30 | 31 | 32 | 33 | 34 | 35 | 36 | 37 | 38 | 39 | 40 | 41 | 42 | 43 | 44 | 45 | 46 | 47 | 48 | 49 | 50 | 51 | 52 | 53 | 54 | 55 | 56 | 57 | 58 | 59 | 60 | 61 | 62 | 63 | 64 | 65 | 66 | 67 | 68 | 69 | 70 | 71 | 72 | 73 | 74 | 75 | 76 | 77 | 78 | 79 | 80 | 20 ft | kind 0: 1, 12, 23, 34, 45, 56, 67, 78 | kind 1: 2, 13, 24, 35, 46, 57, 68, 79 | kind 2: 3, 14, 25, 36, 47, 58, 69, 80 | kind 3: 4, 15, 26, 37, 48, 59, 70 | kind 4: 5, 16, 27, 38, 49, 60, 71 | kind 5: 6, 17, 28, 39, 50, 61, 72 | kind 6: 7, 18, 29, 40, 51, 62, 73 | kind 7: 8, 19, 30, 41, 52, 63, 74 | kind 8: 9, 20, 31, 42, 53, 64, 75 | kind 9: 10, 21, 32, 43, 54, 65, 76 | kind 10: 11, 22, 33, 44, 55, 66, 77 | Numbers are those of the list of findings.
    plan narrow: 80 findings, none stops the coating | Findings of the walk | Shop | Store | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12 | 13 | 14 | 15 | 16 | 17 | 18 | 19 | 20 | 21 | 22 | 23 | 24 | 25 | 26 | 27 | 28 | 29 | 30 | 31 | 32 | 33 | 34 | 35 | 36 | 37 | 38 | 39 | 40 | 41 | 42 | 43 | 44 | 45 | 46 | 47 | 48 | 49 | 50 | 51 | 52 | 53 | 54 | 55 | 56 | 57 | 58 | 59 | 60 | 61 | 62 | 63 | 64 | 65 | 66 | 67 | 68 | 69 | 70 | 71 | 72 | 73 | 74 | 75 | 76 | 77 | 78 | 79 | 80 | 20 ft | kind 0: 1, 12, 23, 34, 45, 56, 67, 78 | kind 1: 2, 13, 24, 35, 46, 57, 68, 79 | kind 2: 3, 14, 25, 36, 47, 58, 69, 80 | kind 3: 4, 15, 26, 37, 48, 59, 70 | kind 4: 5, 16, 27, 38, 49, 60, 71 | kind 5: 6, 17, 28, 39, 50, 61, 72 | kind 6: 7, 18, 29, 40, 51, 62, 73 | kind 7: 8, 19, 30, 41, 52, 63, 74 | kind 8: 9, 20, 31, 42, 53, 64, 75 | kind 9: 10, 21, 32, 43, 54, 65, 76 | kind 10: 11, 22, 33, 44, 55, 66, 77 | Numbers are those of the list of findings.
    work wide: Heat: first coating day 5 Mar | Shop: work, drying with "Heat" | 12:00 | 12 Jan | 00:00 | 13 Jan | 12:00 | 00:00 | 14 Jan | 12:00 | 00:00 | 15 Jan | 12:00 | work and waits over | Degrease | Fill cracks | Grind with vacuum | Seal joints | Relative humidity, % | 75 | 80 | 85 | 90 | 95 | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | coating day 5 Mar | 90 % chance by 23 Mar | limit 78 % | wets the slab | opens the surface | other work | edged: sets the finish date | wait behind it | The curve is one run.
    work narrow: Heat: first coating day 5 Mar | Shop: work, drying with "Heat" | 12:00 | 12 Jan | 00:00 | 13 Jan | 12:00 | 00:00 | 14 Jan | 12:00 | 00:00 | 15 Jan | 12:00 | work and waits over | Degrease | Fill cracks | Grind with vacuum | Seal joints | Relative humidity, % | 75 | 80 | 85 | 90 | 95 | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | coating day 5 Mar | 90 % chance by 23 Mar | limit 78 % | wets the slab | opens the surface | other work | edged: sets the finish date | wait behind it | The curve is one run.
    "#);
}

#[test]
fn png_has_the_size_asked_for() {
    let drawing = svg(&line_chart(), Size::WIDE);
    for (scale, width) in [(1.0, 760), (2.0, 1520), (0.5, 380)] {
        let bytes = png(&drawing, scale).expect("the drawing is sound");
        // PNG (ISO/IEC 15948): eight signature bytes, then length, "IHDR", width and height, big end first.
        assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
        assert_eq!(
            u32::from_be_bytes([bytes[16], bytes[17], bytes[18], bytes[19]]),
            width
        );
    }
}

#[test]
fn png_refuses_what_it_cannot_do() {
    let drawing = svg(&line_chart(), Size::WIDE);
    for scale in [0.0, -1.0, f64::NAN, f64::INFINITY, 17.0] {
        assert!(
            matches!(png(&drawing, scale), Err(RasterFault::Scale(_))),
            "{scale}"
        );
    }
    assert!(matches!(png("<svg", 1.0), Err(RasterFault::Svg(_))));
    let vast = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90000\" height=\"90000\"/>";
    assert!(matches!(
        png(vast, 1.0),
        Err(RasterFault::TooLarge(90_000, 90_000))
    ));
}

#[test]
fn tables_keep_their_width_and_carry_no_codes() {
    for width in [20, 40, 80, 200] {
        let text = text_table().text(width, false);
        assert!(!text.contains('\u{1b}'));
        assert!(
            text.lines()
                .all(|line| line.chars().count() <= usize::from(width.max(40))),
            "{width}:\n{text}"
        );
        assert!(text.lines().all(|line| !line.ends_with(' ')));
    }
    assert!(text_table().text(80, true).contains('\u{1b}'));
    assert_eq!(TextTable::default().text(80, false), "");
}

#[test]
fn words_of_a_table_stay_whole_where_they_fit() {
    let rows = ["Heat, two dehumidifiers", "More heat, outside air, fans"];
    let figures = ["130", "97 to 176", "2027-03-26", "LATE 16 %", "slab core"];
    let cells = |first: &str| {
        [first]
            .iter()
            .chain(&figures)
            .map(|c| (*c).into())
            .collect()
    };
    let table = TextTable {
        columns: [
            "Setup",
            "Days",
            "80 % chance",
            "Dry on",
            "Chance",
            "Slowest part",
        ]
        .map(|head| (head.into(), Side::Left))
        .into(),
        rows: rows.map(cells).into(),
        ..TextTable::default()
    };
    let text = table.text(74, false);
    for word in ["dehumidifiers", "2027-03-26", "97 to 176", "outside"] {
        assert!(text.contains(word), "{word}:\n{text}");
    }
}

#[test]
fn regress_table() {
    insta::assert_snapshot!(text_table().text(90, false), @r#"
     Setup               Days   Date     Energy,   Why
                                             kWh
    ────────────────── ─────── ──────── ───────── ────────────────────────────────────────────
     Heat + desiccant      36   17 Feb     3,900   dry air and a warm slab
     Dehumidifier          69   22 Mar     2,700   the room stays at 50 % relative humidity,
                                                   so the face dries slowly
     Nothing            never
    "#);
}

fn any_value() -> impl Strategy<Value = f64> {
    prop_oneof![8 => -200.0..200.0f64, 1 => any::<f64>(), 1 => Just(f64::NAN)]
}

fn any_words() -> impl Strategy<Value = String> {
    prop_oneof![4 => "[A-Za-z0-9 +,]{0,40}", 1 => any::<String>(), 1 => "\\PC{0,300}"]
}

fn any_series() -> impl Strategy<Value = Series> {
    let points = proptest::collection::vec((any_value(), any_value()), 0..40);
    (any_words(), points, any::<bool>(), any::<bool>()).prop_map(
        |(name, points, emphasis, banded)| Series {
            name,
            band: banded.then(|| points.iter().map(|&(x, y)| (x, y - 3.0, y + 2.0)).collect()),
            points,
            emphasis,
            join: Join::Line,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn line_charts_of_any_data_are_sound(
        series in proptest::collection::vec(any_series(), 0..12),
        words in proptest::collection::vec(any_words(), 5),
        limits in proptest::collection::vec((any_value(), any_words()), 0..4),
        marks in proptest::collection::vec((any_value(), any_words()), 0..12),
        dates in any::<bool>(),
        width in 0u32..1500,
        height in 0u32..900,
    ) {
        let chart = LineChart {
            title: words[0].clone(),
            subtitle: words[1].clone(),
            x_label: words[2].clone(),
            y_label: words[3].clone(),
            band_label: words[4].clone(),
            footer: words.clone(),
            series,
            limits: limits.into_iter().map(|(value, label)| Limit { value, label }).collect(),
            x_marks: marks.into_iter().map(|(x, label)| Mark { x, label }).collect(),
            x_axis: if dates { XAxis::Dates { start: jiff::civil::date(2026, 1, 12), system: System::Si } } else { XAxis::Numbers },
            y_range: None,
        };
        let found = faults(&svg(&chart, Size { width, height }));
        prop_assert!(found.is_empty(), "{}", found.join("\n"));
    }

    #[test]
    fn other_charts_of_any_data_are_sound(
        rows in proptest::collection::vec((any_words(), any_value(), any_words(), any::<bool>(), any::<bool>()), 0..12),
        limit in proptest::option::of((any_value(), any_words())),
        columns in proptest::collection::vec(any_words(), 0..30),
        width in 0u32..1500,
        height in 0u32..900,
    ) {
        let size = Size { width, height };
        let limit = limit.map(|(value, label)| Limit { value, label });
        let bars = RowChart {
            title: columns.concat(),
            rows: rows.iter().map(|(name, value, label, one, other)| Row {
                name: name.clone(),
                note: name.clone(),
                label: label.clone(),
                bar: match (one, other) {
                    (true, true) => RowBar::Bar(0.0, *value, BarLook::Solid),
                    (true, false) => RowBar::Bar(0.0, *value, BarLook::Light),
                    (false, true) => RowBar::Bar(0.0, *value, BarLook::Hatched),
                    (false, false) => RowBar::Open,
                },
                range: one.then_some((*value, other.then_some(value + 20.0))),
            }).collect(),
            limit: limit.clone(),
            ..RowChart::default()
        };
        let profile = ProfileChart {
            curves: rows.iter().enumerate().map(|(index, (name, value, _, emphasis, _))| ProfileCurve {
                name: name.clone(),
                points: (0..20).map(|step| (f64::from(step) * 6.0, value * f64::from(step) / 20.0 + index as f64)).collect(),
                emphasis: *emphasis,
            }).collect(),
            limit: limit.clone(),
            test_depth: limit.clone(),
            ..ProfileChart::default()
        };
        let heat = HeatMap {
            rows: rows.iter().map(|row| row.0.clone()).collect(),
            columns: columns.clone(),
            values: rows.iter().map(|row| columns.iter().enumerate().map(|(c, _)| Some(row.1 - c as f64)).collect()).collect(),
            decimals: 1,
            ..HeatMap::default()
        };
        let load = LoadChart {
            x: (0..columns.len()).map(|index| index as f64).collect(),
            layers: rows.iter().map(|row| Layer { name: row.0.clone(), values: columns.iter().map(|_| row.1).collect() }).collect(),
            steps: true,
            ..LoadChart::default()
        };
        let charts: [(&str, &dyn Chart); 4] = [("bars", &bars), ("profile", &profile), ("heat", &heat), ("load", &load)];
        for (name, chart) in charts {
            let found = faults(&chart.draw(size));
            prop_assert!(found.is_empty(), "{name}: {}", found.join("\n"));
        }
    }
}
