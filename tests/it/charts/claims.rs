//! What the charts claim, recomputed from the data: titles, bars and limit lines of 300 random sets of setups.

use super::read_back::{faults, print_faults, texts};
use coatday::charts::Chart;
use coatday::results::compare::charts::{days_and_costs, finding, through};
use coatday::units::System;
use coatday::units::format::{day_and_month, percent};
use coatday::verdict::{Evidence, HOPELESS, Ready, Run, Spread, Timing, Verdict, verdict};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};

/// Numbers from 0 to 1 without a pattern, the same for the same seed (Steele, Lea & Flood 2014, from memory).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn below(&mut self, n: u32) -> u32 {
        (self.next() * f64::from(n)) as u32
    }
}

/// First day of drying, as that of the job whose axis the charts are drawn on.
const START: Date = date(2026, 11, 16);
const HORIZON: i64 = 324;
const WANTED: f64 = 0.8;

/// What is known of a setup: the days of each case, infinite where it is never dry, or of the one run.
struct Known {
    name: String,
    cases: Vec<f64>,
    sampled: bool,
}

/// A set of setups and the day to keep, if there is one.
struct Set {
    setups: Vec<Known>,
    by: Option<i64>,
}

fn random_set(chance: &mut Chance) -> Set {
    let count = 1 + chance.below(12);
    let sampled = chance.next() < 0.8;
    let by = (chance.next() < 0.8).then(|| 20 + i64::from(chance.below(200)));
    // Some sets lie all before the day, some all after it, some nowhere.
    let centre = 10.0 + 320.0 * chance.next();
    let setups = (0..count)
        .map(|n| {
            let middle = centre * (0.5 + chance.next());
            let spread = 0.02 + 0.5 * chance.next();
            let cases = if sampled { 16 } else { 1 };
            let day = |chance: &mut Chance| {
                let day = (middle * (1.0 + spread * (2.0 * chance.next() - 1.0))).floor() + 0.4;
                if day > HORIZON as f64 {
                    f64::INFINITY
                } else {
                    day
                }
            };
            Known {
                name: format!("Setup {n}"),
                cases: (0..cases).map(|_| day(chance)).collect(),
                sampled,
            }
        })
        .collect();
    Set { setups, by }
}

fn ready(days: f64) -> Option<Ready> {
    days.is_finite().then(|| Ready {
        days,
        date: START.saturating_add((days as i64).days()),
    })
}

impl Known {
    /// Share of the cases dry by the end of a day.
    fn chance(&self, by: i64) -> f64 {
        let good = self.cases.iter().filter(|days| **days < (by + 1) as f64);
        good.count() as f64 / self.cases.len() as f64
    }

    fn middle(&self) -> f64 {
        let mut days = self.cases.clone();
        days.sort_by(f64::total_cmp);
        days[(days.len() - 1) / 2]
    }

    fn verdict(&self, by: Option<i64>) -> Verdict {
        let mut days = self.cases.clone();
        days.sort_by(f64::total_cmp);
        let at = |share: f64| ready(days[((days.len() - 1) as f64 * share) as usize]);
        let run = match ready(self.middle()) {
            Some(ready) => Run::Ready(ready),
            None => Run::NotReady {
                why: "Out of time.".into(),
            },
        };
        let sampled = self.sampled.then(|| Spread {
            ready: [at(0.1), ready(self.middle()), at(0.9)],
            get_there: self.cases.iter().filter(|d| d.is_finite()).count() as f64
                / self.cases.len() as f64,
            in_time: by.map(|by| self.chance(by)),
            cases: self.cases.len(),
        });
        verdict(Evidence {
            setup: self.name.clone(),
            run,
            sampled,
            read: None,
            counts: coatday::verdict::Counts::Drying,
            holds: Vec::new(),
            needed_by: by.map(|by| START.saturating_add(by.days())),
            wanted: WANTED,
            horizon: START.saturating_add(HORIZON.days()),
            held_by: None,
        })
    }
}

/// The name in quotation marks in a title.
fn named(title: &str) -> Option<&str> {
    let start = title.find('"')? + 1;
    let length = title[start..].find('"')?;
    Some(&title[start..start + length])
}

/// Checks what a title says of a set, from the cases alone.
fn hold_to(set: &Set, title: &str) {
    let plain = title.replace('\u{a0}', " ");
    let say = |what: &str| format!("{what}: {plain}");
    let all = set.setups.len();
    let who =
        named(&plain).map(|name| set.setups.iter().find(|s| s.name == name).expect("a setup"));
    let finite = |s: &&Known| s.middle().is_finite();
    let soonest = set
        .setups
        .iter()
        .filter(finite)
        .map(|s| s.middle().floor())
        .fold(f64::INFINITY, f64::min);
    if let Some(who) = who.or_else(|| set.setups.first().filter(|_| all == 1)) {
        if let Some(ready) = ready(who.middle()) {
            let day = day_and_month(ready.date, System::Us).replace('\u{a0}', " ");
            assert!(plain.contains(&day), "{}", say("the date is its own"));
        }
        if who.sampled
            && let Some(by) = set.by
        {
            let chance =
                format!("{} chance to make it", percent(who.chance(by))).replace('\u{a0}', " ");
            assert!(plain.contains(&chance), "{}", say("the chance is its own"));
        }
    }
    let Some(by) = set.by else {
        if soonest.is_infinite() {
            assert!(plain.contains("dry by"), "{}", say("none is dry"));
        } else if let Some(who) = who {
            assert_eq!(who.middle().floor(), soonest, "{}", say("first"));
        }
        return;
    };
    let day = day_and_month(START.saturating_add(by.days()), System::Us).replace('\u{a0}', " ");
    assert!(plain.contains(&day), "{}", say("the day to keep is named"));
    let makes = |s: &&Known| s.chance(by) >= if s.sampled { WANTED } else { 1.0 };
    let may = |s: &&Known| s.sampled && !makes(s) && s.chance(by) >= HOPELESS;
    let makers: Vec<&Known> = set.setups.iter().filter(makes).collect();
    let maybe = set.setups.iter().filter(may).count();
    let once = set.setups.iter().all(|s| !s.sampled);
    let first = makers
        .iter()
        .map(|s| s.middle().floor())
        .fold(f64::INFINITY, f64::min);
    if makers.is_empty() {
        // A chance to make it is no claim that it is made.
        let plain = plain.replace("chance to make it", "chance");
        for claim in ["makes", "In time", " make "] {
            let none = plain.starts_with("No setup") || !plain.contains(claim);
            assert!(
                none || plain.contains("may make"),
                "{}",
                say("none makes it")
            );
        }
        match maybe {
            0 => {
                let late = plain.starts_with("Late") || plain.starts_with("No setup makes");
                assert!(late, "{}", say("all are late"));
                if let Some(who) = who {
                    assert_eq!(who.middle().floor(), soonest, "{}", say("soonest"));
                }
            }
            _ if all == 1 => assert!(plain.starts_with("May be late"), "{}", say("one, perhaps")),
            1 => {
                assert!(plain.starts_with("Only \""), "{}", say("one, perhaps"));
                assert!(may(&who.expect("named")), "{}", say("the one that may"));
            }
            _ => {
                assert!(
                    plain.contains("is sure to make"),
                    "{}",
                    say("several, perhaps")
                );
                let best = set.setups.iter().map(|s| s.chance(by)).fold(0.0, f64::max);
                assert_eq!(
                    who.expect("named").chance(by),
                    best,
                    "{}",
                    say("best chance")
                );
            }
        }
        return;
    }
    assert_eq!(
        plain.starts_with("In one run"),
        once,
        "{}",
        say("says that it is one run")
    );
    let count = makers.len();
    let counted = match count {
        _ if all == 1 => plain.contains("In time for") || plain.contains("the floor makes"),
        1 => plain.to_lowercase().contains("only \""),
        n if n == all => plain.to_lowercase().contains("every setup makes"),
        n => plain.contains(&format!("{n} of {all} setups make")),
    };
    assert!(counted, "{}", say("how many make it"));
    if let Some(who) = who {
        assert!(makes(&who), "{}", say("the one named makes it"));
        assert_eq!(who.middle().floor(), first, "{}", say("and is the first"));
    }
}

/// Left end and length of the bars with their fills, and the places of the upright dashed lines of a limit.
fn bars_and_limits(drawing: &str) -> (Vec<(String, f64, f64)>, Vec<f64>) {
    let tree = resvg::usvg::roxmltree::Document::parse(drawing).expect("SVG");
    let number = |node: &resvg::usvg::roxmltree::Node, name: &str| {
        let text = node.attribute(name);
        text.and_then(|v| v.parse::<f64>().ok()).unwrap_or(0.0)
    };
    // Bars are higher than the boxes of the key, and no other box has an edge or the full colour.
    let rects = tree.descendants().filter(|n| n.has_tag_name("rect"));
    let rects = rects.filter(|n| number(n, "height") > 12.0);
    let bar = |n: resvg::usvg::roxmltree::Node| {
        let fill = n.attribute("fill").unwrap_or_default().to_owned();
        let seen = n.attribute("stroke").is_some() || fill == SOLID;
        seen.then(|| (fill, number(&n, "x"), number(&n, "width")))
    };
    let lines = tree.descendants().filter(|n| n.has_tag_name("polyline"));
    let limits = lines.filter(|n| n.attribute("stroke-dasharray") == Some("5 4"));
    let place = |n: resvg::usvg::roxmltree::Node| {
        let first = n.attribute("points")?.split(',').next()?;
        first.parse().ok()
    };
    (
        rects.filter_map(bar).collect(),
        limits.filter_map(place).collect(),
    )
}

/// Fill of a bar that is in time.
const SOLID: &str = "#0072b2";

/// The title, the solid bars and the limit line say what the cases say, and every word can be read.
#[test]
fn analytic_titles_and_bars_of_300_random_sets_are_true() {
    let open = coatday::open("scenarios/winter_warehouse.json").expect("a shipped scenario");
    let mut job = open.job;
    let mut chance = Chance(17);
    for n in 0..300 {
        let set = random_set(&mut chance);
        let mut verdicts: Vec<Verdict> = set.setups.iter().map(|s| s.verdict(set.by)).collect();
        // Charts have the soonest first.
        verdicts.sort_by_key(|v| v.date().unwrap_or(Date::MAX));
        let title = finding(&verdicts, System::Us);
        hold_to(&set, &title);
        job.needed_by = set.by.map(|by| START.saturating_add(by.days()));
        let figure = days_and_costs(&job, &[], &verdicts, System::Us);
        for (narrow, drawing) in [(false, figure.wide()), (true, figure.narrow())] {
            let mut found = faults(&drawing);
            found.extend(print_faults(&drawing));
            assert!(
                found.is_empty(),
                "set {n}, narrow {narrow}: {}",
                found.join("\n")
            );
            let words: Vec<String> = texts(&drawing)
                .into_iter()
                .map(|(words, _)| words)
                .collect();
            assert!(
                words.join(" ").contains(&title),
                "set {n}: {title} in {words:?}"
            );
            let solid = |v: &&Verdict| {
                v.ready.is_some() && matches!(v.timing, Timing::InTime | Timing::NotSaid)
            };
            let (bars, limits) = bars_and_limits(&drawing);
            let found = bars.iter().filter(|(fill, ..)| fill == SOLID).count();
            let wanted = verdicts.iter().filter(solid).count();
            assert_eq!(found, wanted, "set {n}: solid bars");
            assert_eq!(bars.len(), verdicts.len(), "set {n}: a bar for each");
            assert_eq!(
                limits.len(),
                usize::from(set.by.is_some()),
                "set {n}: a line of the day"
            );
            // The line stands at the end of its day on the scale of the bars.
            let ready = verdicts
                .iter()
                .zip(&bars)
                .find_map(|(v, bar)| Some((v.ready?.days, bar)));
            if let (Some((days, (_, left, length))), Some(by), Some(at)) =
                (ready, set.by, limits.first())
            {
                let wanted = left + length / days * (by + 1) as f64;
                assert!((at - wanted).abs() < 1.0, "set {n}: {at} is not {wanted}");
            }
        }
    }
}

/// A profile's title reads its own points, at the test depth on a straight line between two of them.
#[test]
fn analytic_a_profile_is_told_by_its_own_numbers() {
    let points = [(0.0, 0.5), (0.05, 0.7), (0.1, 0.9)];
    let said = through(88.2, &points, 0.025).replace('\u{a0}', " ");
    assert_eq!(
        said,
        "Day 88: 50 % at the surface, 60 % at test depth, 90 % at the bottom"
    );
    let wet = through(3.0, &[(0.0, 0.95), (0.1, 0.8)], 0.05).replace('\u{a0}', " ");
    assert_eq!(
        wet,
        "Day 3: 95 % at the surface, 88 % at test depth, 80 % at the bottom"
    );
}

/// A drawing told without its colours: each by one of four steps of grey.
fn in_grey(drawing: &str) -> String {
    let mut out = String::new();
    let mut rest = drawing;
    while let Some(at) = rest.find('#') {
        out.push_str(&rest[..at]);
        let hex = rest
            .get(at + 1..at + 7)
            .and_then(|hex| u32::from_str_radix(hex, 16).ok());
        if let Some(colour) = hex {
            let part = |shift: u32| f64::from((colour >> shift) & 255) / 255.0;
            let grey = 0.2126 * part(16) + 0.7152 * part(8) + 0.0722 * part(0);
            out.push_str(&format!("grey{}", (grey * 3.0).round()));
            rest = &rest[at + 7..];
        } else {
            out.push('#');
            rest = &rest[at + 1..];
        }
    }
    // Textures are named after their colours.
    (out + rest).replace("fill-", "")
}

fn without_hex_names(drawing: &str) -> String {
    let drawing = in_grey(drawing);
    let mut out = String::new();
    for part in drawing.split("-grey") {
        out.push_str(part);
    }
    out
}

/// No two kinds of what one chart shows look alike on a grey print.
#[test]
fn analytic_kinds_differ_without_colour() {
    use super::demo::site_plan;
    use coatday::charts::{BarLook, Layer, LoadChart, Row, RowBar, RowChart, Size};
    let distinct = |drawings: Vec<String>, what: &str| {
        for (a, one) in drawings.iter().enumerate() {
            for (b, other) in drawings.iter().enumerate().skip(a + 1) {
                assert_ne!(one, other, "{what}: {a} and {b}");
            }
        }
    };
    let plan = |kind: usize| {
        let mut plan = site_plan(1);
        plan.spots[0].kind = kind;
        plan.kinds = vec![String::from("kind"); 11];
        without_hex_names(&plan.draw(Size::WIDE))
    };
    distinct((0..11).map(plan).collect(), "findings");
    let bar = |look: BarLook| {
        let chart = RowChart {
            rows: vec![Row {
                bar: RowBar::Bar(0.0, 5.0, look),
                ..Row::default()
            }],
            ..RowChart::default()
        };
        without_hex_names(&chart.draw(Size::WIDE))
    };
    distinct(
        [BarLook::Solid, BarLook::Light, BarLook::Hatched]
            .map(bar)
            .into(),
        "timings",
    );
    distinct(
        [BarLook::Lost, BarLook::Won, BarLook::Dotted]
            .map(bar)
            .into(),
        "causes",
    );
    let layer = |place: usize| {
        let layers = (0..5).map(|index| Layer {
            name: String::new(),
            values: vec![if index == place { 1.0 } else { 0.0 }; 2],
        });
        let chart = LoadChart {
            x: vec![0.0, 1.0],
            layers: layers.collect(),
            ..LoadChart::default()
        };
        let drawing = chart.draw(Size::WIDE);
        // Areas come in the order of the layers.
        let mut areas = drawing.lines().filter(|l| l.starts_with("<polygon"));
        let area = areas.nth(place).expect("an area for each");
        let fill = area.split("fill=\"").nth(1).unwrap_or_default();
        let name = fill
            .split(['(', ')'])
            .nth(1)
            .unwrap_or_default()
            .trim_start_matches('#');
        let texture = drawing
            .lines()
            .find(|l| l.contains("<pattern") && l.contains(&format!("\"{name}\"")));
        let lines = texture.and_then(|t| t.split("<path d=\"").nth(1));
        lines
            .and_then(|l| l.split('"').next())
            .unwrap_or("even")
            .to_owned()
    };
    distinct((0..5).map(layer).collect(), "layers");
}
