//! Tests of the `report` room.

use coatday::report::{Join, Limit, LineChart, Mark, Series, Size, XAxis, png, svg, Chart};

fn drying(name: &str, start: f64, rate: f64, emphasis: bool) -> Series {
    let points: Vec<(f64, f64)> = (0..=180)
        .map(|step| {
            let day = f64::from(step) / 2.0;
            (day, 52.0 + (start - 52.0) * (-day / rate).exp())
        })
        .collect();
    let band = emphasis.then(|| points.iter().map(|&(x, y)| (x, y - x * 0.04, y + x * 0.05)).collect());
    Series { name: name.to_string(), points, band, emphasis, join: Join::Line }
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

/// Writes every chart to the directory named by `COATDAY_CHARTS`, for looking at.
#[test]
#[ignore = "writes pictures for people to look at"]
fn gallery() {
    let Ok(directory) = std::env::var("COATDAY_CHARTS") else { return };
    let charts: Vec<(&str, Box<dyn Chart>)> = vec![
        ("line", Box::new(line_chart())),
    ];
    for (name, chart) in charts {
        for (layout, size) in [("wide", Size::WIDE), ("narrow", Size::NARROW)] {
            let drawing = chart.draw(size);
            std::fs::write(format!("{directory}/{name}-{layout}.svg"), &drawing).expect("the directory can be written");
            let bytes = png(&drawing, 2.0).expect("the drawing is sound");
            std::fs::write(format!("{directory}/{name}-{layout}.png"), bytes).expect("the directory can be written");
        }
    }
    let _ = svg(&line_chart(), Size::WIDE);
}
