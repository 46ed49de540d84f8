//! The shipped scenarios, run through the library as a user would run them: what each one's story says must come out, the books must
//! balance, and the answer must not hang on how finely it was computed.
//!
//! The stories are invented jobs, so no published days stand beside them. What is asserted is the order of the setups and the reason of
//! a "never", both of which follow from the trade's plain experience (common practice, no published source): cold outside air is dry
//! once it is warmed; a flame without a flue adds its own water; outside air in a humid summer is no help to a dehumidifier; a slab on
//! bare ground is fed from below.

use std::path::{Path, PathBuf};

use coatday::column::Tolerance;
use coatday::evaluate::{Accuracy, LimitedBy, NotDryReason, Outcome, WayKind, compare};
use coatday::job::{self, Job};
use coatday::moisture_log::read_log;
use coatday::scenario;
use coatday::simulation::Resolution;

/// Largest residual of a balance over the throughput: the solver keeps both to rounding, this is far above it and far below what an
/// hour of one machine does.
const BALANCE: f64 = 1e-6;
/// Largest change of a drying time under four times the refinement: below what a day's weather does to it.
const REFINED: f64 = 0.01;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios")
}

fn job(name: &str) -> Job {
    let path = folder().join(format!("{name}.json"));
    let bytes = std::fs::read(&path).expect("the scenario is shipped");
    let scenario = scenario::read_bytes(&bytes, name).unwrap_or_else(|faults| panic!("{faults}"));
    let load = |file: &str| std::fs::read(folder().join(file)).map_err(|e| e.to_string());
    let (weather, _) = job::weather(&scenario, &load).unwrap_or_else(|f| panic!("{f:?}"));
    let job = Job::of(&scenario, weather);
    for (written, built) in scenario.setups.iter().zip(&job.setups) {
        // A class that is not in the catalogue would drop out of the room here.
        assert_eq!(
            written.gear.len(),
            built.room.machines.len(),
            "{name}: {}",
            written.name
        );
        assert!(!built.unpriced(), "{name}: {}", written.name);
    }
    job
}

struct Run {
    needed_by: Option<jiff::civil::Date>,
    outcomes: Vec<Outcome>,
}

impl Run {
    fn of(name: &str) -> Self {
        let job = job(name);
        let compared = compare(&job, Accuracy::default());
        assert_eq!(compared.not_computed, [], "{name}");
        let outcomes = compared.outcomes;
        assert_eq!(outcomes.len(), job.setups.len());
        for o in &outcomes {
            assert!(
                o.water_balance_error.abs() < BALANCE,
                "{name}, {}: water {:e}",
                o.name,
                o.water_balance_error
            );
            assert!(
                o.heat_balance_error.abs() < BALANCE,
                "{name}, {}: heat {:e}",
                o.name,
                o.heat_balance_error
            );
            assert!(o.water_removed > 0.0, "{name}, {}: nothing dried", o.name);
        }
        Self {
            needed_by: job.needed_by,
            outcomes,
        }
    }

    fn get(&self, name: &str) -> &Outcome {
        self.outcomes
            .iter()
            .find(|o| o.name == name)
            .unwrap_or_else(|| panic!("no setup {name}"))
    }

    /// Days to the target; infinite if never.
    fn days(&self, name: &str) -> f64 {
        self.get(name).days_to_target.unwrap_or(f64::INFINITY)
    }

    fn in_time(&self, names: &[&str]) {
        for o in &self.outcomes {
            let by = self.needed_by.expect("a date to keep");
            assert_eq!(
                o.date.is_some_and(|date| date <= by),
                names.contains(&o.name.as_str()),
                "{}: {:?}",
                o.name,
                o.date
            );
        }
    }
}

/// The README's line on a scenario names these days.
fn readme_says(scenario: &str, days: &[f64]) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = std::fs::read_to_string(path).expect("the README is shipped");
    let row = format!("| `{scenario}` |");
    let line = text
        .lines()
        .find(|line| line.starts_with(&row))
        .unwrap_or_else(|| panic!("the README has no line on {scenario}"));
    for days in days {
        assert!(
            line.contains(&format!("after {days:.0}")),
            "{days:.1} days, but: {line}"
        );
    }
}

/// Every scenario in the folder has a test here.
#[test]
fn all_shipped_scenarios_are_tested() {
    let mut found: Vec<String> = std::fs::read_dir(folder())
        .expect("the folder is shipped")
        .filter_map(|entry| {
            let path = entry.ok()?.path();
            let is_scenario = path.extension().is_some_and(|e| e == "json");
            is_scenario.then(|| path.file_stem().map(|s| s.to_string_lossy().into_owned()))?
        })
        .collect();
    found.sort();
    assert_eq!(found, ALL);
}

/// The stories of `grind_or_etch` and `wash_first` are tested in `prep/scenarios.rs`.
const ALL: [&str; 11] = [
    "bakery_hall",
    "bare_ground",
    "basement_shop",
    "direct_or_indirect",
    "grind_or_etch",
    "late_floor",
    "showroom_plan",
    "summer_store",
    "two_bay_garage",
    "wash_first",
    "winter_warehouse",
];

/// Heat while it is cold, a dehumidifier once it is warm: the best plan exchanges gear once and is cheaper than every
/// plan that keeps its gear. (The rest of the story is that of the search, tested in `search.rs`.)
#[test]
#[ignore = "some thousand runs"]
fn the_best_plan_has_two_phases() {
    use coatday::evaluate::odds::sampling_accuracy;
    use coatday::search::search;
    let job = job("showroom_plan");
    let inventory = job.inventory.as_ref().expect("gear to choose from");
    let plan = |inventory: &job::Inventory| {
        search(
            &job,
            inventory,
            32,
            1,
            sampling_accuracy(),
            &|_| (),
            &|| true,
        )
        .expect("a slab")
        .best
        .expect("a plan that makes the date")
    };
    let best = plan(inventory);
    assert!(best.candidate.second.is_some(), "{:?}", best.name);
    let mut one_phase = inventory.clone();
    one_phase.swap_after.clear();
    let kept = plan(&one_phase);
    assert!(
        best.ranked.costs.total() < kept.ranked.costs.total() - 500.0,
        "{:?} {} against {:?} {}",
        best.name,
        best.ranked.costs.total(),
        kept.name,
        kept.ranked.costs.total()
    );
}

/// How its delay splits is tested in `explain.rs`.
#[test]
fn late_floor_is_late_with_both_setups() {
    let run = Run::of("late_floor");
    run.in_time(&[]);
    assert!(run.days("The same with fans, warmer") + 20.0 < run.days("Heat and one dehumidifier"));
}

/// Cold outside air, warmed, dries months sooner than two dehumidifiers in the cold; beside the same heater the dehumidifiers are not
/// sooner than outside air either.
#[test]
fn winter_outside_air_beats_two_dehumidifiers() {
    let run = Run::of("winter_warehouse");
    let outside = run.days("Heat, outside air");
    assert!(outside + 60.0 < run.days("Two dehumidifiers"));
    assert!(outside < run.days("Heat, two dehumidifiers"));
    assert!(run.days("More heat, outside air, fans") + 14.0 < outside);
    assert!(run.days("Two dehumidifiers") < run.days("Nothing"));
    // The cold is what holds the dehumidifiers back.
    let hours = &run.get("Two dehumidifiers").hours;
    assert!(hours.frozen > 0.25 * hours.total, "{hours:?}");
    run.in_time(&["More heat, outside air, fans"]);
    readme_says(
        "winter_warehouse",
        &[
            outside,
            run.days("Two dehumidifiers"),
            run.days("Heat, two dehumidifiers"),
        ],
    );
}

/// Rent by hand: machines times price times the days begun.
#[test]
fn analytic_rent_is_machines_times_days() {
    let run = Run::of("winter_warehouse");
    assert_eq!(run.get("Nothing").rental, 0.0);
    for (name, per_day) in [
        ("Two dehumidifiers", 2.0 * 55.0),
        ("Heat", 85.0),
        ("Heat, two dehumidifiers", 85.0 + 2.0 * 55.0),
        ("Heat, outside air", 85.0 + 2.0 * 8.0),
    ] {
        let rent = per_day * run.days(name).ceil();
        let o = run.get(name);
        assert!(
            (o.rental - rent).abs() < 1e-6 * rent.max(1.0),
            "{name}: {} for {rent}",
            o.rental
        );
        assert!(o.cost >= o.rental && !o.cost_incomplete, "{name}");
    }
}

/// With a dehumidifier at work in a humid summer, opening up costs days.
#[test]
fn summer_opening_up_costs_days() {
    let run = Run::of("summer_store");
    let closed = run.days("One dehumidifier");
    assert!(closed + 7.0 < run.days("One dehumidifier, doors open"));
    assert!(run.days("One dehumidifier, doors open") < run.days("Doors open, fans"));
    assert!(run.days("Two dehumidifiers, fans") < closed);
    // Open doors also cost electricity: the machine dries the town.
    assert!(
        run.get("One dehumidifier, doors open").energy.electricity
            > 1.2 * run.get("One dehumidifier").energy.electricity
    );
    run.in_time(&["One dehumidifier", "Two dehumidifiers, fans"]);
    readme_says(
        "summer_store",
        &[closed, run.days("One dehumidifier, doors open")],
    );
}

/// No gear dries a slab that stands on wet ground without a retarder, and the reason says so.
#[test]
fn bare_ground_never_dries() {
    let run = Run::of("bare_ground");
    for o in &run.outcomes {
        assert_eq!(o.days_to_target, None, "{}", o.name);
        assert_eq!(o.limited_by, LimitedBy::Ground, "{}", o.name);
        // After a year nearly all that evaporates comes from below; in an unheated room the slab still gives up water of its own: 0.95 is
        // MISSED there, the figure reached stands here.
        let shares = match o.name.as_str() {
            "Nothing" => 0.91..0.95,
            _ => 0.95..1.05,
        };
        assert!(
            matches!(o.not_dry, Some(NotDryReason::WetGround { share }) if shares.contains(&share)),
            "{}: {:?}",
            o.name,
            o.not_dry
        );
    }
    run.in_time(&[]);
    // Best first: the one nearest to its target leads.
    let last = |o: &Outcome| o.records.last().expect("records").readings[0];
    assert!(run.outcomes.windows(2).all(|p| last(&p[0]) <= last(&p[1])));
}

/// The same room temperature, later by weeks when the flame's water stays in the room, on a real typical year.
#[test]
fn direct_fired_is_slower_than_indirect() {
    let run = Run::of("direct_or_indirect");
    let indirect = run.days("Indirect-fired");
    let direct = run.days("Direct-fired");
    assert!(indirect + 7.0 < direct);
    // Ventilating a flame takes its water out: between the two.
    let ventilated = run.days("Direct-fired, outside air");
    assert!(indirect < ventilated && ventilated < direct);
    assert!(run.days("Indirect-fired, two dehumidifiers") <= indirect);
    assert!(direct < run.days("Nothing"));
    readme_says("direct_or_indirect", &[indirect, direct]);
    run.in_time(&[
        "Indirect-fired",
        "Indirect-fired, two dehumidifiers",
        "Direct-fired, outside air",
    ]);
}

/// Largest difference of two courses of the first reading before both targets are met, over its limit.
fn apart(job: &job::Job, one: &Outcome, other: &Outcome) -> f64 {
    let end = |o: &Outcome| o.days_to_target.unwrap_or(f64::INFINITY);
    let end = end(one).min(end(other));
    let reading = |day: f64| {
        let pair = other.records.windows(2).find(|pair| pair[1].day >= day)?;
        let share = (day - pair[0].day) / (pair[1].day - pair[0].day);
        Some(pair[0].readings[0] + share * (pair[1].readings[0] - pair[0].readings[0]))
    };
    one.records
        .iter()
        .filter(|r| r.day < end)
        .filter_map(|r| Some((r.readings[0] - reading(r.day)?).abs() / job.targets[0].limit()))
        .fold(0.0, f64::max)
}

/// Sampled runs take steps of a day. Against steps of an hour their days move by less than a tenth of the spread that they show.
#[test]
fn sampled_runs_are_as_good_as_their_spread_asks() {
    use coatday::evaluate::odds::sampling_accuracy;
    let hourly = Accuracy {
        longest_step: 3600.0,
        ..Accuracy::default()
    };
    for name in ["wash_first", "late_floor", "summer_store", "two_bay_garage"] {
        let job = job(name);
        let fine = compare(&job, hourly).outcomes;
        for sampled in &compare(&job, sampling_accuracy()).outcomes {
            let fine = fine.iter().find(|o| o.name == sampled.name);
            let fine = fine.expect("the same setups");
            let (a, b) = (sampled.days_to_target, fine.days_to_target);
            let (a, b) = (a.expect("dry"), b.expect("dry"));
            assert!(
                (a / b - 1.0).abs() < 0.018,
                "{name}, {}: {a} and {b} days",
                fine.name
            );
            let (cost, of_fine) = (sampled.cost, fine.cost);
            assert!(
                (cost - of_fine).abs() <= 0.018 * of_fine,
                "{name}, {}: {cost} and {of_fine}",
                fine.name
            );
        }
    }
}

/// Four times as many cells, a quarter of the first cell, a quarter of the errors allowed, steps of an hour: below 1 % in every drying
/// time. Where readings
/// swing by the day, the limit is met at the foot of one swing or of the next: then the courses agree to a fiftieth of a per cent of the
/// limit, and the days lie less than one apart.
///
/// Some 20 s of computing on one core: `cargo test --test it scenarios:: -- --ignored`.
#[test]
#[ignore = "some 20 s of computing; run with -- --ignored"]
fn refined_four_times_the_days_stay() {
    let usual = Accuracy::default();
    let fine = Accuracy {
        resolution: Resolution {
            cells: 4 * usual.resolution.cells,
            first: usual.resolution.first / 4.0,
        },
        tolerance: Tolerance {
            humidity: usual.tolerance.humidity / 4.0,
            temperature: usual.tolerance.temperature / 4.0,
            ..usual.tolerance
        },
        longest_step: 3600.0,
    };
    let energy = |o: &Outcome| o.energy.electricity + o.energy.fuel();
    let mut worst = Vec::new();
    for name in ALL {
        let job = job(name);
        let coarse = compare(&job, usual).outcomes;
        let refined = compare(&job, fine);
        assert_eq!(refined.not_computed, [], "{name}");
        let refined = refined.outcomes;
        for o in &coarse {
            let other = refined
                .iter()
                .find(|r| r.name == o.name)
                .expect("the same setups");
            match (o.days_to_target, other.days_to_target) {
                (None, None) => {}
                (Some(a), Some(b)) => {
                    let change = (a - b).abs() / b;
                    let of_energy = (energy(o) / energy(other) - 1.0).abs();
                    println!(
                        "{name}, {}: {a:.3} and {b:.3} days, {change:.1e}; energy {of_energy:.1e}",
                        o.name
                    );
                    let next_swing = (a - b).abs() < 1.0 && apart(&job, o, other) < 2e-4;
                    if change >= REFINED && !next_swing {
                        worst.push(format!("{name}, {}: {a} and {b} days", o.name));
                    }
                }
                (a, b) => worst.push(format!("{name}, {}: {a:?} and {b:?}", o.name)),
            }
        }
    }
    assert!(worst.is_empty(), "{worst:#?}");
}

/// A machine far too big for its room drives the air to its limits within a step. A state held at such a limit must not
/// count as converged: the books close, or the result is not shown.
#[test]
fn analytic_books_close_with_a_huge_machine_in_a_tiny_room() {
    let text = r#"{
        "name": "Tiny room",
        "site": {"weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %"}}},
        "slab": {"area": "1 m2", "thickness": "100 mm", "placed": "2026-09-01"},
        "room": {"height": "3 m"},
        "gear_on": "2026-09-29",
        "give_up_after": "30 days",
        "setups": [{"name": "Huge", "gear": [
            {"desiccant": {"class": "desiccant_8500_burner", "humidistat": {"setpoint": "11.8 %"}}}]}]
    }"#;
    let scenario = scenario::read(text, "tiny room").expect("reads");
    let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    let compared = compare(&Job::of(&scenario, weather), Accuracy::default());
    assert_eq!(compared.not_computed, []);
    let outcomes = compared.outcomes;
    assert!(outcomes[0].water_balance_error < 1e-6, "{outcomes:?}");
    assert!(outcomes[0].heat_balance_error < 1e-6);
}

/// What makes the date of a shipped scenario at the least cost, and whether drying to its limit makes it.
fn cheapest_way(name: &str) -> (WayKind, bool, bool) {
    let path = folder().join(format!("{name}.json"));
    let open = coatday::open(path).expect("sound");
    let sampling = coatday::Sampling {
        samples: 32,
        seed: 1,
    };
    let ways = coatday::compare(&open, sampling).decisions.ways;
    let best = ways.first().expect("a way");
    let drying = ways
        .iter()
        .find(|way| way.way.kind == WayKind::DryToTheLimit);
    (
        best.way.kind,
        best.makes_it,
        drying.expect("drying").makes_it,
    )
}

/// Six inches in two months: no gear dries them to 85 %, and waiting costs more than any layer.
#[test]
fn bakery_hall_is_sealed_and_not_dried() {
    let (kind, makes_it, drying_makes_it) = cheapest_way("bakery_hall");
    assert!(makes_it && !drying_makes_it);
    assert_ne!(kind, WayKind::DryToTheLimit);
}

/// Four inches in three months: the rent of a dehumidifier is less than the price of any layer on so small a floor.
#[test]
fn two_bay_garage_is_dried() {
    let (kind, makes_it, _) = cheapest_way("two_bay_garage");
    assert!(makes_it);
    assert_eq!(kind, WayKind::DryToTheLimit);
}

/// A floor of forty years on wet ground: no gear dries it, a layer makes the date for less than the gear costs.
#[test]
fn basement_shop_is_sealed_and_not_dried() {
    let run = Run::of("basement_shop");
    run.in_time(&[]);
    assert_eq!(
        run.get("Heat and dehumidifier").limited_by,
        LimitedBy::Ground
    );
    let (kind, makes_it, drying_makes_it) = cheapest_way("basement_shop");
    assert!(makes_it && !drying_makes_it);
    assert_eq!(kind, WayKind::MitigationLayer);
}

/// Its readings are all from before the gear goes on. Each place starts from what it reads, damper at the north wall than in the middle, and stays as
/// damp as the ground keeps it.
#[test]
fn basement_shop_starts_from_its_readings() {
    let open = coatday::open(folder().join("basement_shop.json")).expect("a sound scenario");
    let name = "basement_shop-readings.csv";
    let bytes = std::fs::read(folder().join(name)).expect("the log is shipped");
    let log = read_log(name, &bytes, jiff::civil::date(1986, 6, 12));
    let sampling = coatday::Sampling {
        samples: 16,
        seed: 1,
    };
    let now = jiff::civil::date(2026, 11, 26).at(8, 0, 0, 0);
    let found = coatday::forecast(&open, Some("Dehumidifier"), &log, now, 0.7, sampling)
        .expect("a forecast");
    // What every place says is said once.
    let said: Vec<String> = coatday::Answer::document(&found, coatday::System::Us)
        .blocks()
        .filter_map(|block| match block {
            coatday::results::Block::List(lines) => Some(lines.join(" ")),
            _ => None,
        })
        .collect();
    let said = crate::plain(said.join(" "));
    assert!(said.matches("The readings say: ").count() == 1, "{said}");
    let next = |place: &str| {
        let place = found
            .forecast
            .places
            .iter()
            .find(|p| p.place == place)
            .expect("a place");
        assert_eq!(
            place.held.len(),
            2,
            "{}: a reading does not count",
            place.place
        );
        assert!(
            place.held.iter().all(|held| !held.outlier),
            "{:?}",
            place.held
        );
        // What a test would read on the first day of drying.
        let worlds = found.forecast.worlds.iter().zip(&place.weights);
        worlds
            .map(|(world, weight)| world.course[0] * weight)
            .sum::<f64>()
    };
    // None of the places gets dry: the dampest rules, wherever it stands in the alphabet.
    assert_eq!(found.forecast.places[0].place, "North wall");
    let (wall, middle) = (next("North wall"), next("Middle"));
    assert!(
        (0.92..0.96).contains(&wall) && (0.88..0.93).contains(&middle),
        "{wall} {middle}"
    );
    assert!(wall - middle > 0.015, "{wall} {middle}");
}
