//! The shipped scenarios with a walk. The jobs are invented, so no published days stand beside them; what is asserted is the story that
//! each one tells.

use std::path::{Path, PathBuf};

use coatday::column::Skin;
use coatday::evaluate::Accuracy;
use coatday::job::{self, Action, Job};
use coatday::preparation::{Depth, Prepared, prepare_floor};
use coatday::scenario::model::{Method, Order};
use coatday::scenario::{self, Scenario, read_findings};

/// Largest residual of a balance over the throughput, as for the other scenarios.
const BALANCE: f64 = 1e-6;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios")
}

fn shipped(name: &str) -> (Scenario, Job) {
    let bytes = std::fs::read(folder().join(format!("{name}.json"))).unwrap();
    let scenario = scenario::read_bytes(&bytes, name).unwrap_or_else(|faults| panic!("{faults}"));
    let none = |_: &str| Err("no file".to_owned());
    let (weather, _) = job::weather(&scenario, &none).unwrap();
    let job = Job::of(&scenario, weather);
    (scenario, job)
}

fn run(name: &str, change: impl Fn(&mut Scenario)) -> Prepared {
    run_at(name, Accuracy::default(), change)
}

fn run_at(name: &str, accuracy: Accuracy, change: impl Fn(&mut Scenario)) -> Prepared {
    let (mut scenario, _) = shipped(name);
    change(&mut scenario);
    let none = |_: &str| Err("no file".to_owned());
    let (weather, _) = job::weather(&scenario, &none).unwrap();
    let job = Job::of(&scenario, weather);
    let walk = scenario.walk.clone().unwrap();
    let table = walk.findings_csv.as_ref().map_or(Vec::new(), |file| {
        let bytes = std::fs::read(folder().join(file)).unwrap();
        read_findings(&bytes, file, &walk, scenario.slab.thickness.si())
            .unwrap_or_else(|faults| panic!("{faults}"))
    });
    let p = prepare_floor(&scenario, &walk, &table, Depth::Drying(&job, accuracy)).unwrap();
    for setup in &p.setups {
        assert!(setup.run.outcome.water_balance_error.abs() < BALANCE);
        assert!(setup.run.outcome.heat_balance_error.abs() < BALANCE);
    }
    p
}

fn day(p: &Prepared, method: Method) -> i64 {
    p.choices
        .iter()
        .find(|c| c.facts.method == method)
        .and_then(|c| c.day.clone())
        .unwrap()
        .unwrap()
        .day
}

/// The help on the walk says this, whatever its line breaks.
#[track_caller]
fn in_help(words: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cli/help/walk.txt");
    let text = std::fs::read_to_string(path).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains(words),
        "the help on the walk does not say: {words}"
    );
}

/// Every picture and file of plots/ that README.md shows or names is there, and is kept although everything else there is not.
#[test]
fn what_readme_shows_is_kept() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("README.md")).unwrap();
    let kept = std::fs::read_to_string(root.join("plots/.gitignore")).unwrap();
    let names: Vec<&str> = text
        .split("](plots/")
        .skip(1)
        .filter_map(|rest| rest.split(')').next())
        .collect();
    assert!(names.len() > 5);
    // And nothing is kept that it does not show or name.
    let lines = kept.lines().filter_map(|line| line.strip_prefix('!'));
    for name in lines.filter(|name| *name != ".gitignore") {
        assert!(names.contains(&name), "{name} is kept for nothing");
    }
    for name in names {
        assert!(root.join("plots").join(name).is_file(), "{name}");
        let line = format!("!{name}");
        assert!(kept.lines().any(|l| l == line), "{name} is not kept");
    }
}

/// The etch wets the slab again: it is dry days later than after vacuum grinding, which the program takes by itself.
#[test]
fn grinding_instead_of_etching_moves_the_coating_day_by_days() {
    let p = run("grind_or_etch", |_| {});
    assert!(p.judged.holds.is_empty());
    assert_eq!(p.way.method.unwrap().method, Method::VacuumGrinding);
    let (grind, etch) = (
        day(&p, Method::VacuumGrinding),
        day(&p, Method::ChemicalEtch),
    );
    assert!(etch >= grind + 3, "{grind} {etch}");
    let added = |method| {
        let choice = p.choices.iter().find(|c| c.facts.method == method);
        choice.unwrap().added_drying.unwrap()
    };
    assert!(added(Method::VacuumGrinding) <= 0.0);
    assert!(added(Method::ChemicalEtch) > 3.0);
    let row = |name: &str, days: f64, words: &str, day: i64| {
        let date = p.date(day).strftime("%b %-d");
        format!("| {name} | {:.1} days {words} | {date} |", days.abs())
    };
    in_help(&row(
        "vacuum grinding",
        added(Method::VacuumGrinding),
        "sooner",
        grind,
    ));
    in_help(&row(
        "chemical etch",
        added(Method::ChemicalEtch),
        "later",
        etch,
    ));
    // The choice holds when the etch is named: its own calendar, its own drying.
    let named = run("grind_or_etch", |s| {
        s.walk.as_mut().unwrap().method = Some(Method::ChemicalEtch);
    });
    assert_eq!(named.day.as_ref().unwrap().day, etch);
}

/// Washed first, the slab has dried off by the time it is ground; washed last, it is wetted through its open face and late.
#[test]
fn washing_before_grinding_moves_the_coating_day_by_days() {
    let p = run("wash_first", |_| {});
    let first = p.day.as_ref().unwrap().day;
    let other = p.other.as_ref().unwrap();
    assert_eq!(other.order, Order::WashLast);
    let last = other.day.as_ref().unwrap().day;
    assert!(last >= first + 3, "{first} {last}");
    in_help(&format!(
        "Washed first, it can be coated on {}; washed last, on {}.",
        p.date(first).strftime("%b %-d"),
        p.date(last).strftime("%b %-d")
    ));
    let turned = run("wash_first", |s| {
        s.walk.as_mut().unwrap().order = Some(Order::WashLast);
    });
    assert_eq!(turned.day.as_ref().unwrap().day, last);
    assert_eq!(turned.other.unwrap().day.unwrap().day, first);
}

/// Once more with four times as many cells, a quarter of the first cell and a quarter of the errors allowed: the stories do not hang on
/// the computation.
#[test]
#[ignore = "slow"]
fn the_stories_stay_when_refined() {
    let usual = Accuracy::default();
    let fine = Accuracy {
        resolution: coatday::simulation::Resolution {
            cells: 4 * usual.resolution.cells,
            first: usual.resolution.first / 4.0,
        },
        tolerance: coatday::column::Tolerance {
            humidity: usual.tolerance.humidity / 4.0,
            temperature: usual.tolerance.temperature / 4.0,
            ..usual.tolerance
        },
        ..usual
    };
    let p = run_at("wash_first", fine, |_| {});
    let first = p.day.unwrap().day;
    let last = p.other.unwrap().day.unwrap().day;
    assert!(last >= first + 3, "{first} {last}");
    let p = run_at("grind_or_etch", fine, |_| {});
    let (grind, etch) = (
        day(&p, Method::VacuumGrinding),
        day(&p, Method::ChemicalEtch),
    );
    assert!(etch >= grind + 3, "{grind} {etch}");
}

/// The scenario's own preparation gives its place to the work of the calendar, also where what that work adds is reckoned; a curing sheet
/// that comes off on the same day does come off.
#[test]
fn the_calendar_replaces_the_preparation_of_the_scenario() {
    use coatday::job::change::FloorWork;
    let added = |p: &Prepared| {
        p.choices
            .iter()
            .find(|c| c.facts.method == Method::VacuumGrinding)
            .and_then(|c| c.added_drying)
            .unwrap()
    };
    let prepare = |s: &mut Scenario| {
        s.slab.prepared =
            serde_json::from_str(r#"{"date": "2026-10-14", "leaves": "ground"}"#).unwrap();
    };
    let own = run("wash_first", prepare);
    let none = run("wash_first", |_| {});
    super::near(added(&own), added(&none));
    assert!(added(&own) < -0.1);

    let (mut scenario, _) = shipped("wash_first");
    prepare(&mut scenario);
    // 72 days after 3 August is 14 October.
    scenario.slab.curing =
        Some(serde_json::from_str(r#"{"sheet": {"lasts": "72 days"}}"#).unwrap());
    let none = |_: &str| Err("no file".to_owned());
    let (weather, _) = job::weather(&scenario, &none).unwrap();
    let job = Job::of(&scenario, weather);
    let work = FloorWork {
        begins: 0.0,
        watched: 30.0 * 86_400.0,
        events: Vec::new(),
        ready: 0.0,
        replaces: true,
    };
    let at = 72.0 * 86_400.0;
    let on_the_day = |job: &Job| -> Vec<Action> {
        let events = job.events.iter().filter(|e| e.time == at);
        events.map(|e| e.action).collect()
    };
    assert!(on_the_day(&job).contains(&Action::Prepare(Skin::default())));
    let left = on_the_day(&job.with_work(&work));
    assert!(matches!(left[..], [Action::Skin(_)]), "{left:?}");
}

/// Wet work wets the slab of the run at the time of the calendar, work that opens the face takes its skin, and readings count only when
/// all is done.
#[test]
fn the_calendar_acts_on_the_slab() {
    use coatday::preparation::drying::on_the_slab;
    let (scenario, job) = shipped("wash_first");
    let p = run("wash_first", |_| {});
    let walk = scenario.walk.unwrap();
    let slab = on_the_slab(
        &p.survey,
        &p.way.tasks,
        &p.way.schedule,
        walk.water_left().si() * 1000.0,
        None,
        false,
    );
    // The back room is washed and ground last, so it is the spot that is simulated.
    let back = |name: &str| {
        let index = p
            .way
            .tasks
            .tasks
            .iter()
            .position(|t| t.name == name && p.survey.areas[t.area].name == "Back room")
            .unwrap();
        p.way.schedule.slots[index].end
    };
    let times = |wanted: fn(&Action) -> bool| -> Vec<f64> {
        let events = slab.events.iter().filter(|e| wanted(&e.action));
        events.map(|e| e.time).collect()
    };
    assert_eq!(
        times(|a| *a == Action::KeepWet(false)),
        [back("Power wash")]
    );
    assert_eq!(
        times(|a| *a == Action::Skin(Skin::default())),
        [back("Grind with vacuum")]
    );
    // The film that is left: 1 mm.
    let rate = slab
        .events
        .iter()
        .find_map(|e| match e.action {
            Action::Water(rate) if rate > 0.0 => Some(rate),
            _ => None,
        })
        .unwrap();
    super::near(rate * 60.0, 1.0);
    let changed = job.with_work(&slab);
    assert_eq!(changed.events.len(), job.events.len() + slab.events.len());
    assert!(changed.events.windows(2).all(|w| w[0].time <= w[1].time));
    assert_eq!(changed.targets_from, p.way.schedule.ready);
    let best = &p.setups[0];
    assert!(
        best.run.outcome.days_to_target.unwrap() * 86_400.0 + job.gear_on
            >= p.way.schedule.ready - 1e-6
    );
}

/// A floor that was dry before it was washed is not called dry while it is wet: with the flux from its face as the target.
#[test]
fn a_floor_is_not_dry_while_it_is_wet() {
    let (mut scenario, _) = shipped("wash_first");
    let walk = scenario.walk.clone().unwrap();
    scenario.targets =
        Some(serde_json::from_str(r#"[{"surface_flux": {"limit": "60 g/m2/day"}}]"#).unwrap());
    let none = |_: &str| Err("no file".to_owned());
    let (weather, _) = job::weather(&scenario, &none).unwrap();
    let job = Job::of(&scenario, weather);
    let p = prepare_floor(
        &scenario,
        &walk,
        &[],
        Depth::Drying(&job, Accuracy::default()),
    )
    .unwrap();
    let wash_end = p
        .way
        .tasks
        .tasks
        .iter()
        .zip(&p.way.schedule.slots)
        .filter(|(t, _)| t.name == "Power wash")
        .map(|(_, s)| s.end)
        .fold(0.0, f64::max);
    for setup in &p.setups {
        assert!(setup.run.dry_from().unwrap() > wash_end);
    }
}

/// The explanation and its actions dry inside the calendar: the day as things are is that of the comparison, and what the work alone
/// costs is the difference to the floor without it.
#[test]
fn the_explanation_has_the_work_in_it() {
    use coatday::delay::{CauseKind, actions, explain};
    use coatday::evaluate::compare;
    use coatday::preparation::work_on_the_slab;
    let (scenario, job) = shipped("wash_first");
    let p = run("wash_first", |_| {});
    let work = work_on_the_slab(&p, &scenario, scenario.walk.as_ref().unwrap());
    let setup = &job.setups[0].name;
    let dry = |job: &Job| {
        let outcomes = compare(job, Accuracy::default()).outcomes;
        let outcome = outcomes.iter().find(|o| o.name == *setup).unwrap();
        (outcome.days_to_target.unwrap(), outcome.date)
    };
    let (with, date) = dry(&job.with_work(&work));
    let (without, _) = dry(&job);
    let e = explain(&scenario, &job.weather, setup, Some(&work)).unwrap();
    assert_eq!(e.expected, date);
    let place = e
        .causes
        .iter()
        .position(|c| c.kind == CauseKind::Work)
        .unwrap();
    super::near(e.attribution.last[place], with - without);
    // Its calendar grinds the face: to grind it is nothing that is left to do.
    let list = actions(&scenario, &job.weather, setup, Some(&work), None).unwrap();
    assert!(!list.iter().any(|a| {
        a.name
            .of(coatday::units::System::Si)
            .starts_with("Grind the surface")
    }));
    let list = actions(&scenario, &job.weather, setup, None, None).unwrap();
    assert!(list.iter().any(|a| {
        a.name
            .of(coatday::units::System::Si)
            .starts_with("Grind the surface")
    }));
}

/// Work that begins late costs its own days under one name and the days before it under another: begun at once, the floor is as ready as
/// the same work allows.
#[test]
fn analytic_work_that_begins_late_is_a_cause_of_its_own() {
    use coatday::delay::{CauseKind, explain};
    use coatday::job::change::{Case, Change};
    use coatday::preparation::work_on_the_slab;
    let (scenario, job) = shipped("wash_first");
    let late = |scenario: &mut Scenario| {
        let walk = scenario.walk.as_mut().unwrap();
        walk.preparation_starts = scenario
            .gear_on
            .checked_add(jiff::Span::new().days(200))
            .ok();
    };
    let (mut changed, _) = shipped("wash_first");
    late(&mut changed);
    let p = run("wash_first", late);
    let work = work_on_the_slab(&p, &changed, changed.walk.as_ref().unwrap());
    let setup = &job.setups[0].name;
    let e = explain(&changed, &job.weather, setup, Some(&work)).unwrap();
    let of = |kind| {
        let place = e.causes.iter().position(|c| c.kind == kind).unwrap();
        e.attribution.shares[place]
    };
    let (begins, own) = (of(CauseKind::WorkLate), of(CauseKind::Work));
    assert!(begins > 20.0 && begins > own, "{begins} and {own}");
    // Begun at once it begins within a day of the gear.
    let case = Case::of(&changed, setup, Some(&work)).with([&Change::WorkAtOnce]);
    let sooner = case.work.unwrap();
    assert!((sooner.begins - job.gear_on).abs() < 86_400.0);
    super::near(work.ready - work.begins, sooner.ready - sooner.begins);
    // Work that begins with the gear has nothing to begin sooner.
    let p = run("wash_first", |_| {});
    let at_once = work_on_the_slab(&p, &scenario, scenario.walk.as_ref().unwrap());
    let e = explain(&scenario, &job.weather, setup, Some(&at_once)).unwrap();
    assert!(e.causes.iter().all(|c| c.kind != CauseKind::WorkLate));
}
