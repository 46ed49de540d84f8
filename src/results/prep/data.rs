//! What programs read of a prepared floor.

use super::floor::{PreparedFloor, moment};
use crate::evaluate::{NotComputed, NotDryReason};
use crate::preparation::calendar::Slot;
use crate::preparation::checklist::Check;
use crate::preparation::coating::{CoatingDay, NoDay};
use crate::preparation::conditions::Against;
use crate::preparation::repairs::{Hold, Lifted};
use crate::preparation::rules::RuleId;
use crate::preparation::survey::{Area, Ground, Numbered, What};
use crate::preparation::takeoff::{Line, Pass};
use crate::preparation::tasks::Task;
use crate::preparation::{Choice, OtherOrder, Prepared, SetupDay, Way, materials};
use crate::results::limits;
use crate::results::record;
use crate::results::verdict::VerdictData;
use crate::scenario::coating_window::{CoatingWindow, Taken};
use crate::scenario::model::{Material, Order, SiteWork};
use crate::units::format::all_said;
use crate::units::{DAY, System};
use crate::verdict::{Ready, Verdict};
use jiff::civil::Date;
use serde::Serialize;

record! {
    /// A prepared floor: `coatday/prep/1`.
    PrepData(floor: &PreparedFloor<'_>) where [
        p = &floor.prepared,
        way = &p.way,
        held = !p.judged.holds.is_empty(),
        day = day(p, &p.day),
    ] {
        schema: &'static str = "coatday/prep/1",
        scenario: String = floor.name.to_owned(),
        verdict: VerdictData = VerdictData::of(&floor.verdict),
        on_hold: bool = held,
        holds: Vec<HoldData> = p.judged.holds.iter().map(HoldData::of).collect(),
        holds_lifted: Vec<LiftedData> = p.judged.lifted.iter().map(LiftedData::of).collect(),
        coating_day: Option<DayData> = day.clone().filter(|_| !held),
        coating_day_once_holds_are_cleared: Option<DayData> = day.filter(|_| held),
        no_coating_day_reason: Option<&'static str> = why(&p.day),
        drying_claimed: bool = p.claims_drying(),
        odds: Option<OddsData> = floor.verdict.range.map(|ends| OddsData::of(&floor.verdict, ends)),
        needed_by: Option<Date> = floor.job.and_then(|j| j.needed_by),
        limits: Vec<String> = floor.job.map(limits::of_job).unwrap_or_default(),
        areas: Vec<AreaData> = p.survey.areas.iter().map(AreaData::of).collect(),
        findings: Vec<FindingData> = p.survey.findings.iter().map(|f| FindingData::of(p, f)).collect(),
        rules: Vec<RuleData> = p.judged.rules.iter().map(|(id, f)| RuleData::of(*id, f)).collect(),
        method: Option<&'static str> = way.method.map(|m| m.name),
        method_named: bool = p.method_named,
        order: Option<&'static str> = order(way),
        methods: Vec<MethodData> = p.choices.iter().map(|c| MethodData::of(p, c)).collect(),
        other_order: Option<OtherOrderData> = p.other.as_ref().map(|o| OtherOrderData::of(p, o)),
        coating_limits: LimitsData = LimitsData::of(&p.window),
        shopping: Vec<LineData> = way.shopping.iter().map(LineData::of).collect(),
        patching: Vec<PassData> = patching(p),
        labour_hours: f64 = way.labour / crate::units::HOUR,
        labour_cost: Option<f64> = way.wages,
        hire_days: i64 = way.hire_days,
        hire_cost: Option<f64> = way.hire,
        cost: f64 = way.cost,
        cost_incomplete: bool = way.cost_incomplete,
        preparation_starts: String = at(p, p.start),
        tasks_ready: String = at(p, way.schedule.ready),
        calendar: Vec<TaskData> = calendar(p),
        setups: Vec<SetupData> = setups(p),
        checklist: Vec<CheckData> = p.checklist.iter().map(CheckData::of).collect(),
        cautions: Vec<String> = p.cautions.clone(),
        notices: Vec<String> = all_said(floor.notices, System::Si),
    }

    /// One thing to check before the coating.
    CheckData(check: &Check) {
        what: &'static str = check.what,
        how: String = check.how.of(System::Si).to_owned(),
        source: &'static str = check.source,
    }

    /// What must be cleared before coating.
    HoldData(hold: &Hold) where [of = hold.rule.rule()] {
        rule: String = of.said().of(System::Si).to_owned(),
        source: &'static str = of.source,
        findings: Vec<usize> = hold.findings.clone(),
        areas: Vec<String> = hold.areas.clone(),
        lifted_by: &'static str = hold.rule.lifted_by().unwrap_or_default(),
    }

    /// A hold that somebody has lifted.
    LiftedData(lifted: &Lifted) {
        hold: &'static str = lifted.rule.hold(),
        area: String = lifted.area.clone(),
        findings: Vec<usize> = lifted.findings.clone(),
        by: String = lifted.by.clone(),
        on: Date = lifted.on,
        note: Option<String> = lifted.note.clone(),
    }

    /// A rule that was used.
    RuleData(id: RuleId, used_for: &[usize]) {
        text: String = id.rule().said().of(System::Si).to_owned(),
        source: &'static str = id.rule().source,
        findings: Vec<usize> = used_for.to_vec(),
    }

    /// A coating day.
    DayData(p: &Prepared, of: &CoatingDay) where [c = of.conditions] {
        date: Date = p.date(of.day),
        held_by: &'static str = of.held_by.words(),
        passed_over: Vec<PassedOverData> = of.passed_over.iter().map(|d| PassedOverData::of(p, *d)).collect(),
        dew_point_margin_kelvin: Option<f64> = c.map(|c| c.margin),
        coldest_celsius: Option<f64> = c.map(|c| c.coldest),
        warmest_celsius: Option<f64> = c.map(|c| c.warmest),
        air_relative_humidity: Option<f64> = c.map(|c| c.relative_humidity),
    }

    /// A working day on which it cannot be coated.
    PassedOverData(p: &Prepared, of: (i64, Against)) {
        date: Date = p.date(of.0),
        against: &'static str = of.1.words(),
    }

    /// Days by which a share of the sampled cases is ready, and how many never are.
    OddsData(v: &Verdict, ends: [Option<Ready>; 2]) where [never = 1.0 - v.get_there.unwrap_or(0.0)] {
        p10: Option<Date> = ends[0].map(|ready| ready.date),
        p50: Option<Date> = v.date(),
        p90: Option<Date> = ends[1].map(|ready| ready.date),
        samples: usize = v.cases,
        never: usize = (never * v.cases as f64).round() as usize,
    }

    /// A part of the floor.
    AreaData(area: &Area) {
        name: String = area.name.clone(),
        substrate: &'static str = match area.ground {
            Ground::Concrete => "concrete",
            Ground::Wood { .. } => "wood",
            Ground::Metal => "metal",
        },
        size_m2: f64 = area.size,
        perimeter_m: f64 = area.perimeter,
    }

    /// A finding of the walk.
    FindingData(p: &Prepared, f: &Numbered) {
        number: usize = f.number,
        area: Option<String> = area(p, f.area),
        kind: &'static str = f.what.kind(),
        x_m: Option<f64> = f.position.map(|p| p.0),
        y_m: Option<f64> = f.position.map(|p| p.1),
        note: Option<String> = f.note.clone(),
        #[serde(flatten)]
        measures: What = f.what,
    }

    /// A method of preparation.
    MethodData(p: &Prepared, choice: &Choice) where [way = choice.way.as_ref()] {
        name: &'static str = choice.facts.name,
        fits: bool = choice.against.is_empty(),
        against: Vec<String> = choice.against.clone(),
        profile_from: u32 = choice.facts.profile.0,
        profile_to: u32 = choice.facts.profile.1,
        dust: &'static str = choice.facts.dust_words,
        preparation_days: Option<f64> = way.map(|w| (w.schedule.ready - p.start) / DAY),
        cost: Option<f64> = way.map(|w| w.cost),
        cost_incomplete: Option<bool> = way.map(|w| w.cost_incomplete),
        added_drying_days: Option<f64> = choice.added_drying,
        setup: Option<String> = choice.setup.clone(),
        coating_day: Option<Date> = choice.day.as_ref().and_then(|d| Some(p.date(d.as_ref().ok()?.day))),
    }

    /// The same with washing and opening the face the other way round.
    OtherOrderData(p: &Prepared, other: &OtherOrder) {
        order: &'static str = order_key(other.order),
        coating_day: Option<Date> = other.day.as_ref().ok().map(|d| p.date(d.day)),
        no_coating_day_reason: Option<&'static str> = why(&other.day),
        dry_from: Option<String> = other.dry_from.map(|time| at(p, time)),
        cost: f64 = other.cost,
        cost_incomplete: bool = p.way.cost_incomplete,
    }

    /// What the coating asks of its day, as taken.
    LimitsData(w: &CoatingWindow) {
        dew_point_margin_kelvin: LimitData = LimitData::of(w.dew_point_margin, 1.0),
        lowest_temperature_celsius: LimitData = LimitData::of(w.lowest_temperature, 1.0),
        highest_temperature_celsius: LimitData = LimitData::of(w.highest_temperature, 1.0),
        highest_relative_humidity: LimitData = LimitData::of(w.highest_relative_humidity, 1.0),
        cure_hours: LimitData = LimitData::of(w.cure_time, crate::units::HOUR),
        concrete_age_days: LimitData = LimitData::of(w.concrete_age, DAY),
        dry_hours_after_wetting: LimitData = LimitData::of(w.dry_time_after_wetting, crate::units::HOUR),
    }

    /// A limit and where it comes from.
    LimitData(taken: Taken, unit: f64) {
        value: f64 = taken.value / unit,
        source: &'static str = taken.source,
    }

    /// A line of the shopping list.
    LineData(line: &Line) {
        material: Material = line.material,
        pack: &'static str = materials::name(line.material),
        counted_by: &'static str = line.material.measure().key(),
        need_si: f64 = line.need,
        waste_share: f64 = line.pack.waste,
        pack_holds_si: f64 = line.pack.holds,
        packs: u64 = line.packs,
        price_per_pack: Option<f64> = line.pack.price,
        cost: Option<f64> = line.cost,
        basis: String = line.basis.of(System::Si).to_owned(),
    }

    /// A layer of patching mix.
    PassData(of: &Area, pass: &Pass) {
        area: String = of.name.clone(),
        layer: usize = pass.layer,
        volume_litres: f64 = pass.volume * 1e3,
        batches: u64 = pass.batches,
        batch_litres: f64 = pass.batch * 1e3,
        batch_minutes: f64 = pass.batch_time / crate::units::MINUTE,
    }

    /// A setup with its coating day.
    SetupData(p: &Prepared, shown: Result<&SetupDay, &NotComputed>) where [
        setup = shown.ok(),
        o = setup.map(|s| &s.run.outcome),
    ] {
        name: String = shown.map_or_else(|gave_up| &gave_up.setup, |s| &s.run.outcome.name).clone(),
        dry_from: Option<String> = setup.and_then(SetupDay::dry_from).map(|time| at(p, time)),
        never_reason: Option<String> = match shown {
            Ok(s) => s.run.outcome.not_dry.as_ref().map(NotDryReason::sentence),
            Err(gave_up) => Some(gave_up.sentence()),
        },
        coating_day: Option<DayData> = setup.and_then(|s| day(p, &s.day)),
        no_coating_day_reason: Option<&'static str> = setup.map_or(Some(NoDay::NotComputed.words()), |s| why(&s.day)),
        cost: Option<f64> = o.map(|o| o.cost),
        cost_incomplete: bool = o.is_some_and(|o| o.cost_incomplete),
        water_balance_error: Option<f64> = o.map(|o| o.water_balance_error),
        heat_balance_error: Option<f64> = o.map(|o| o.heat_balance_error),
    }

    /// A task of the calendar.
    TaskData(p: &Prepared, index: usize, of: &Task, slot: &Slot) where [step = p.way.tasks.steps.get(index)] {
        number: usize = index + 1,
        task: String = of.name.clone(),
        area: Option<String> = area(p, of.area),
        crew: Option<usize> = step.map(|s| s.crew + 1),
        start: String = at(p, slot.start),
        end: String = at(p, slot.end),
        done: bool = step.is_some_and(|s| s.finished.is_some()),
        labour_hours: f64 = of.labour / crate::units::HOUR,
        after: Option<Vec<WaitData>> = step.map(|s| s.after.iter().map(|wait| WaitData::of(*wait)).collect()),
        critical: bool = p.way.schedule.critical.contains(&index),
        wets_the_slab: bool = of.effect.is_some_and(|e| e.wets()),
        opens_the_face: bool = of.effect.is_some_and(|e| e.opens()),
    }

    /// What a task waits for.
    WaitData(of: (usize, f64)) {
        task: usize = of.0 + 1,
        wait_hours: f64 = of.1 / crate::units::HOUR,
    }
}

/// The word that the scenario uses for something.
pub(super) fn word(value: &impl Serialize) -> String {
    let value = serde_json::to_value(value).unwrap_or_default();
    value.as_str().unwrap_or_default().to_owned()
}

fn area(p: &Prepared, index: usize) -> Option<String> {
    p.survey.areas.get(index).map(|a| a.name.clone())
}

fn setups(p: &Prepared) -> Vec<SetupData> {
    p.all().map(|shown| SetupData::of(p, shown)).collect()
}

fn at(p: &Prepared, time: f64) -> String {
    let text = moment(p, time).to_string();
    // To the minute.
    text[..text.rfind(':').unwrap_or(text.len())].to_owned()
}

fn day(p: &Prepared, day: &Result<CoatingDay, NoDay>) -> Option<DayData> {
    day.as_ref().ok().map(|day| DayData::of(p, day))
}

fn why(day: &Result<CoatingDay, NoDay>) -> Option<&'static str> {
    day.as_ref().err().map(|why| why.words())
}

fn calendar(p: &Prepared) -> Vec<TaskData> {
    let tasks = p.way.tasks.tasks.iter().zip(&p.way.schedule.slots);
    let tasks = tasks.enumerate();
    tasks
        .map(|(i, (task, slot))| TaskData::of(p, i, task, slot))
        .collect()
}

fn patching(p: &Prepared) -> Vec<PassData> {
    let areas = p.survey.areas.iter().zip(&p.way.tasks.passes);
    areas
        .flat_map(|(area, passes)| passes.iter().map(|pass| PassData::of(area, pass)))
        .collect()
}

fn order_key(order: Order) -> &'static str {
    match order {
        Order::WashFirst => "wash_first",
        Order::WashLast => "wash_last",
    }
}

fn order(way: &Way) -> Option<&'static str> {
    let mut tasks = way.tasks.tasks.iter();
    tasks
        .any(|t| t.work == SiteWork::PowerWashing)
        .then(|| order_key(way.order))
}
