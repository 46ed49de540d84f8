//! Tests of the `report` room.

use coatday::report::{
    Bar, BarChart, BarWords, Chart, HeatMap, Join, Layer, Limit, LineChart, LoadChart, Mark,
    ProfileChart, ProfileCurve, RasterFault, Series, Side, Size, TextTable, XAxis, png, svg,
};
use proptest::prelude::*;
use resvg::usvg;

fn drying(name: &str, start: f64, rate: f64, emphasis: bool) -> Series {
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

fn line_chart() -> LineChart {
    LineChart {
        title: "Heat + desiccant is dry 19 days sooner than heat alone".to_string(),
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
        x_axis: XAxis::Dates { start: jiff::civil::date(2026, 1, 12) },
        band_label: "Shaded: 80 % of 200 runs".to_string(),
        footer: vec![
            "Estimate. A floor is released by moisture tests, never by this chart. Local codes and the product data sheet go first.".to_string(),
        ],
        ..LineChart::default()
    }
}

fn limit(value: f64, label: &str) -> Limit {
    Limit {
        value,
        label: label.to_string(),
    }
}

fn bar_chart() -> BarChart {
    let bar =
        |name: &str, value: Option<f64>, label: &str, note: &str, meets: bool, never: bool| Bar {
            name: name.to_string(),
            value,
            value_label: label.to_string(),
            note: note.to_string(),
            meets,
            never,
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
                true,
                false,
            ),
            bar(
                "Heat + two fans + dehumidifier",
                Some(55.0),
                "55 days, 8 Mar",
                "$3,480, 3,100 kWh",
                true,
                false,
            ),
            bar(
                "Dehumidifier",
                Some(69.0),
                "69 days, 22 Mar",
                "$2,950, 2,700 kWh",
                false,
                false,
            ),
            bar(
                "Outside-air exchange in dry hours with heat and four fans",
                Some(88.0),
                "88 days, 10 Apr",
                "$5,120, 6,800 kWh",
                false,
                false,
            ),
            bar(
                "Nothing",
                None,
                "never reaches 75 % in 365 days",
                "$0",
                false,
                true,
            ),
        ],
        limit: Some(limit(61.0, "needed by 14 Mar")),
        words: BarWords {
            meets: "in time".to_string(),
            misses: "too late".to_string(),
            never: "never dry enough".to_string(),
        },
        footer: vec![
            "Estimate. A floor is released by moisture tests, never by this chart.".to_string(),
        ],
    }
}

fn profile_chart() -> ProfileChart {
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

fn heat_map() -> HeatMap {
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

fn load_chart() -> LoadChart {
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

fn text_table() -> TextTable {
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
    }
}

fn charts() -> Vec<(&'static str, Box<dyn Chart>)> {
    vec![
        ("line", Box::new(line_chart())),
        ("bar", Box::new(bar_chart())),
        ("profile", Box::new(profile_chart())),
        ("heat", Box::new(heat_map())),
        ("load", Box::new(load_chart())),
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
    for (name, chart) in charts() {
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

// What is drawn is read back by the SVG library, which shapes the words with the same fonts on its own.

fn read_back(drawing: &str) -> usvg::Tree {
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_data(dejavu::sans_condensed::regular().to_vec());
    fonts.load_font_data(dejavu::sans_condensed::bold().to_vec());
    fonts.set_sans_serif_family("DejaVu Sans");
    let options = usvg::Options {
        fontdb: std::sync::Arc::new(fonts),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(drawing, &options).expect("a drawing is well-formed SVG")
}

fn texts(drawing: &str) -> Vec<(String, usvg::Rect)> {
    fn collect(group: &usvg::Group, out: &mut Vec<(String, usvg::Rect)>) {
        for node in group.children() {
            match node {
                usvg::Node::Text(text) => {
                    let words = text
                        .chunks()
                        .iter()
                        .map(usvg::TextChunk::text)
                        .collect::<String>();
                    out.push((words, text.abs_bounding_box()));
                }
                usvg::Node::Group(group) => collect(group, out),
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    collect(read_back(drawing).root(), &mut out);
    out
}

/// Faults of a drawing: words out of the frame or on other words, numbers that are none.
fn faults(drawing: &str) -> Vec<String> {
    // Rounding of coordinates to hundredths and of glyph widths to font units.
    const SLACK: f32 = 0.75;
    let mut out = Vec::new();
    let tree = read_back(drawing);
    let size = tree.size();
    let texts = texts(drawing);
    for (index, (words, place)) in texts.iter().enumerate() {
        if place.left() < -SLACK
            || place.top() < -SLACK
            || place.right() > size.width() + SLACK
            || place.bottom() > size.height() + SLACK
        {
            out.push(format!("{words:?} leaves the frame {size:?}: {place:?}"));
        }
        for (other_words, other) in &texts[index + 1..] {
            let wide = place.right().min(other.right()) - place.left().max(other.left());
            let high = place.bottom().min(other.bottom()) - place.top().max(other.top());
            if wide > SLACK && high > SLACK {
                out.push(format!(
                    "{words:?} {place:?} lies on {other_words:?} {other:?}"
                ));
            }
        }
    }
    let numbers_only = strip_words(drawing);
    if numbers_only.contains("NaN") || numbers_only.contains("inf") {
        out.push("a coordinate is not a number".to_string());
    }
    out
}

/// The drawing without words, so that a series named NaN is no fault.
fn strip_words(drawing: &str) -> String {
    let mut out = String::new();
    for line in drawing.lines().filter(|line| !line.starts_with("<svg")) {
        match (line.starts_with("<text"), line.find('>')) {
            (true, Some(end)) => out.push_str(&line[..end]),
            _ => out.push_str(line),
        }
    }
    out
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
        let mut bars = bar_chart();
        (bars.title, bars.subtitle, bars.footer) = (w(), w(), vec![w()]);
        bars.limit = Some(limit(61.0, words));
        bars.words = BarWords {
            meets: w(),
            misses: w(),
            never: w(),
        };
        for bar in &mut bars.bars {
            (bar.name, bar.note, bar.value_label) = (w(), w(), w());
        }
        assert_sound(&bars, words);
        let mut profile = profile_chart();
        (
            profile.title,
            profile.subtitle,
            profile.x_label,
            profile.footer,
        ) = (w(), w(), w(), vec![w()]);
        profile.limit = Some(limit(75.0, words));
        profile.test_depth = Some(limit(50.0, words));
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
            XAxis::Dates { start },
            XAxis::Dates {
                start: jiff::civil::Date::MAX,
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
        let bars = BarChart {
            bars: values
                .iter()
                .map(|&value| Bar {
                    value: Some(value),
                    value_label: "x".into(),
                    ..Bar::default()
                })
                .collect(),
            ..BarChart::default()
        };
        assert_sound(&bars, "bars");
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
    assert_sound(&BarChart::default(), "empty bars");
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
    assert_eq!(svg(&gap, Size::WIDE).matches("<polyline").count(), 2);
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
            out.push_str(&format!("{name} {layout}: {}\n", words.join(" | ")));
        }
    }
    insta::assert_snapshot!(out, @r#"
    line wide: Heat + desiccant is dry 19 days sooner than heat alone | Relative humidity at 40 % depth, 5 in slab on ground, water-cement ratio 0.50 | Relative humidity, % | 60 | 70 | 80 | 90 | 100 | rain | needed by 14 Mar | rain | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | 6 Apr | Heat + desiccant | Heat + two fans | Dehumidifier | Nothing | Limit 75 % | Shaded: 80 % of 200 runs | Estimate. A floor is released by moisture tests, never by this chart. Local codes and the product data sheet go first.
    line narrow: Heat + desiccant is dry 19 | days sooner than heat alone | Relative humidity at 40 % depth, 5 in | slab on ground, water-cement ratio 0.50 | Relative humidity, % | 60 | 70 | 80 | 90 | 100 | rain | needed by 14 Mar | rain | 12 Jan | 2026 | 26 Jan | 9 Feb | 23 Feb | 9 Mar | 23 Mar | 6 Apr | Limit 75 % | Heat + desiccant | Heat + two fans | Dehumidifier | Nothing | Shaded: 80 % of 200 runs | Estimate. A floor is released by moisture tests, never by this chart. | Local codes and the product data sheet go first.
    bar wide: Two of five setups are dry before 14 March | Days from closing the building until 75 % at 40 % depth | needed by 14 Mar | Heat + desiccant | $4,210, 3,900 kWh | 36 days, 17 Feb | Heat + two fans + dehumidifier | $3,480, 3,100 kWh | 55 days, 8 Mar | Dehumidifier | $2,950, 2,700 kWh | 69 days, 22 Mar | Outside-air exchange in dry | hours with heat and four fans | $5,120, 6,800 kWh | 88 days, 10 Apr | Nothing | $0 | never reaches 75 % in 365 days | in time | too late | never dry enough | Estimate. A floor is released by moisture tests, never by this chart.
    bar narrow: Two of five setups are dry before 14 March | Days from closing the building until 75 % at 40 % depth | needed by 14 Mar | Heat + desiccant | $4,210, 3,900 kWh | 36 days, 17 Feb | Heat + two fans + dehumidifier | $3,480, 3,100 kWh | 55 days, 8 Mar | Dehumidifier | $2,950, 2,700 kWh | 69 days, 22 Mar | Outside-air exchange in dry | hours with heat and four fans | $5,120, 6,800 kWh | 88 days, 10 Apr | Nothing | $0 | never reaches 75 % in 365 days | in time | too late | never dry enough | Estimate. A floor is released by moisture tests, never by this chart.
    profile wide: The core is still wet when the face reads dry | Relative humidity through a 5 in slab drying from one face | Depth below the drying face, mm | inches | 0 | 20 | 40 | 60 | 80 | 100 | 120 | 0 | 1 | 2 | 3 | 4 | 5 | 40 | 50 | 60 | 70 | 80 | 90 | 100 | Relative humidity, % | Limit 75 % | test at 40 % depth, 2 in | 12 Jan | 26 Jan | 9 Feb | 9 Mar | 6 Apr | Estimate. A floor is released by moisture tests, never by this chart.
    profile narrow: The core is still wet | when the face reads dry | Relative humidity through a 5 in slab drying from one face | Depth below the drying face, mm | inches | 0 | 20 | 40 | 60 | 80 | 100 | 120 | 0 | 1 | 2 | 3 | 4 | 5 | 40 | 60 | 80 | 100 | Relative humidity, % | Limit 75 % | test at 40 % depth, 2 in | 12 Jan | 26 Jan | 9 Feb | 9 Mar | 6 Apr | Estimate. A floor is released by moisture tests, never by this chart.
    load wide: The dehumidifier falls short in the first ten days | Moisture load of the room by source against what the unit takes out in that air | Water, lb/day | 0 | 50 | 100 | 150 | 200 | 14 Dec | 2026 | 21 Dec | 28 Dec | 4 Jan | 2027 | 11 Jan | 18 Jan | 25 Jan | 1 Feb | Unit at room air | Fuel heater | Outside air | Slab | Estimate from the simulated room; ratings are corrected to its air.
    load narrow: The dehumidifier falls | short in the first ten days | Moisture load of the room by source | against what the unit takes out in that air | Water, lb/day | 0 | 50 | 100 | 150 | 200 | 21 Dec | 2026 | 4 Jan | 2027 | 18 Jan | 1 Feb | Unit at room air | Fuel heater | Outside air | Slab | Estimate from the simulated room; ratings are corrected to its air.
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
fn regress_table() {
    insta::assert_snapshot!(text_table().text(90, false), @r#"
     Setup               Days   Date     Energy, kWh   Why
    ────────────────── ─────── ──────── ───────────── ────────────────────────────────────
     Heat + desiccant      36   17 Feb         3,900   dry air and a warm slab
     Dehumidifier          69   22 Mar         2,700   the room stays at 50 % relative
                                                       humidity, so the face dries slowly
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
            x_axis: if dates { XAxis::Dates { start: jiff::civil::date(2026, 1, 12) } } else { XAxis::Numbers },
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
        let bars = BarChart {
            title: columns.concat(),
            bars: rows.iter().map(|(name, value, label, meets, never)| Bar {
                name: name.clone(),
                value: Some(*value),
                value_label: label.clone(),
                note: name.clone(),
                meets: *meets,
                never: *never,
            }).collect(),
            limit: limit.clone(),
            ..BarChart::default()
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
