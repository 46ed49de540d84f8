//! The JSON object.

use serde_json::{Value, json};

use super::{moment, no_day};
use crate::job::Job;
use crate::preparation::coating::{CoatingDay, NoDay, Odds};
use crate::preparation::survey::{Ground, What};
use crate::preparation::{Prepared, Way, materials};
use crate::scenario::coating_window::{CoatingWindow, Taken};
use crate::scenario::model::{Order, SiteWork};
use crate::units::{DAY, HOUR};

/// A prepared floor as JSON: `coatday/prep/1`. Not a number and infinity never occur.
#[must_use]
pub fn json(name: &str, prepared: &Prepared, job: Option<&Job>, notices: &[String]) -> Value {
    let at = |time: f64| at(prepared, time);
    let held = !prepared.judged.holds.is_empty();
    let way = &prepared.way;
    json!({
        "schema": "coatday/prep/1",
        "scenario": name,
        "on_hold": held,
        "holds": prepared.judged.holds.iter().map(|hold| json!({
            "rule": hold.rule.rule().text,
            "source": hold.rule.rule().source,
            "findings": hold.findings,
            "areas": hold.areas,
        })).collect::<Vec<_>>(),
        "coating_day": if held { Value::Null } else { day(prepared, &prepared.day) },
        "coating_day_once_holds_are_cleared": if held { day(prepared, &prepared.day) } else { Value::Null },
        "no_coating_day_reason": prepared.day.as_ref().err().map(|why| no_day(*why)),
        "drying_claimed": prepared.claims_drying(),
        "odds": odds(prepared),
        "needed_by": job.and_then(|j| j.needed_by).map(|d| d.to_string()),
        "areas": prepared.survey.areas.iter().map(|area| json!({
            "name": area.name,
            "substrate": match area.ground {
                Ground::Concrete => "concrete",
                Ground::Wood { .. } => "wood",
                Ground::Metal => "metal",
            },
            "size_m2": area.size,
            "perimeter_m": area.perimeter,
        })).collect::<Vec<_>>(),
        "findings": prepared.survey.findings.iter().map(|f| {
            let mut object = json!({
                "number": f.number,
                "area": prepared.survey.areas.get(f.area).map(|a| a.name.as_str()),
                "kind": f.what.kind(),
                "x_m": f.position.map(|p| p.0),
                "y_m": f.position.map(|p| p.1),
                "note": f.note,
            });
            if let (Some(object), Value::Object(measures)) = (object.as_object_mut(), measures(&f.what)) {
                object.extend(measures);
            }
            object
        }).collect::<Vec<_>>(),
        "rules": prepared.judged.rules.iter().map(|(id, findings)| json!({
            "text": id.rule().text,
            "source": id.rule().source,
            "findings": findings,
        })).collect::<Vec<_>>(),
        "method": way.method.map(|m| m.name),
        "method_named": prepared.method_named,
        "order": order(way),
        "methods": prepared.choices.iter().map(|choice| json!({
            "name": choice.facts.name,
            "fits": choice.against.is_empty(),
            "against": choice.against,
            "profile_from": choice.facts.profile.0,
            "profile_to": choice.facts.profile.1,
            "dust": choice.facts.dust_words,
            "preparation_days": choice.way.as_ref().map(|w| (w.schedule.ready - prepared.start) / DAY),
            "cost": choice.way.as_ref().map(|w| w.cost),
            "cost_incomplete": choice.way.as_ref().map(|w| w.cost_incomplete),
            "added_drying_days": choice.added_drying,
            "setup": choice.setup,
            "coating_day": choice.day.as_ref().and_then(|d| d.as_ref().ok()).map(|d| prepared.date(d.day).to_string()),
        })).collect::<Vec<_>>(),
        "other_order": other_order(prepared),
        "coating_limits": limits(&prepared.window),
        "shopping": way.shopping.iter().map(|line| json!({
            "material": line.material,
            "pack": materials::name(line.material),
            "counted_by": line.material.measure().key(),
            "need_si": line.need,
            "waste_share": line.pack.waste,
            "pack_holds_si": line.pack.holds,
            "packs": line.packs,
            "price_per_pack": line.pack.price,
            "cost": line.cost,
            "basis": line.basis,
        })).collect::<Vec<_>>(),
        "patching": prepared.survey.areas.iter().zip(&way.tasks.passes).flat_map(|(area, passes)| {
            passes.iter().map(|pass| json!({
                "area": area.name,
                "layer": pass.layer,
                "volume_litres": pass.volume * 1e3,
                "batches": pass.batches,
                "batch_litres": pass.batch * 1e3,
                "batch_minutes": pass.batch_time / 60.0,
            }))
        }).collect::<Vec<_>>(),
        "labour_hours": way.labour / HOUR,
        "labour_cost": way.wages,
        "hire_days": way.hire_days,
        "hire_cost": way.hire,
        "cost": way.cost,
        "cost_incomplete": way.cost_incomplete,
        "preparation_starts": at(prepared.start),
        "tasks_ready": at(way.schedule.ready),
        "calendar": calendar(prepared),
        "setups": prepared.setups.iter().map(|setup| json!({
            "name": setup.run.outcome.name,
            "dry_from": setup.dry_from().map(at),
            "never_reason": setup.run.outcome.never.as_ref().map(crate::evaluate::Never::sentence),
            "coating_day": day(prepared, &setup.day),
            "no_coating_day_reason": setup.day.as_ref().err().map(|why| no_day(*why)),
            "cost": setup.run.outcome.computed().then_some(setup.run.outcome.cost),
            "cost_incomplete": setup.run.outcome.cost_incomplete,
            "water_balance_error": setup.run.outcome.computed().then_some(setup.run.outcome.water_balance_error),
            "heat_balance_error": setup.run.outcome.computed().then_some(setup.run.outcome.heat_balance_error),
        })).collect::<Vec<_>>(),
        "checklist": prepared.checklist.iter().map(|check| json!({
            "what": check.what,
            "how": check.how,
            "source": check.source,
        })).collect::<Vec<_>>(),
        "cautions": prepared.cautions,
        "notices": notices,
    })
}

fn calendar(prepared: &Prepared) -> Vec<Value> {
    let way = &prepared.way;
    let at = |time: f64| at(prepared, time);
    way.tasks.tasks.iter().zip(&way.schedule.slots).enumerate().map(|(index, (task, slot))| json!({
            "number": index + 1,
            "task": task.name,
            "area": prepared.survey.areas.get(task.area).map(|a| a.name.as_str()),
            "crew": way.tasks.steps.get(index).map(|s| s.crew + 1),
            "start": at(slot.start),
            "end": at(slot.end),
            "labour_hours": task.labour / HOUR,
            "after": way.tasks.steps.get(index).map(|s| s.after.iter().map(|(before, wait)| json!({
                "task": before + 1,
                "wait_hours": wait / HOUR,
            })).collect::<Vec<_>>()),
            "critical": way.schedule.critical.contains(&index),
            "wets_the_slab": task.effect.is_some_and(|e| e.wets()),
            "opens_the_face": task.effect.is_some_and(|e| e.opens()),
        })).collect()
}

fn other_order(prepared: &Prepared) -> Value {
    let Some(other) = &prepared.other else {
        return Value::Null;
    };
    json!({
        "order": order_name(other.order),
        "coating_day": other.day.as_ref().ok().map(|d| prepared.date(d.day).to_string()),
        "no_coating_day_reason": other.day.as_ref().err().map(|why| no_day(*why)),
        "dry_from": other.dry_from.map(|time| at(prepared, time)),
        "cost": other.cost,
        "cost_incomplete": prepared.way.cost_incomplete,
    })
}

fn at(prepared: &Prepared, time: f64) -> String {
    let (date, clock) = moment(prepared, time);
    format!("{date}T{clock}")
}

fn order_name(order: Order) -> &'static str {
    match order {
        Order::WashFirst => "wash_first",
        Order::WashLast => "wash_last",
    }
}

/// What the coating asks of its day, as taken.
fn limits(window: &CoatingWindow) -> Value {
    let one =
        |taken: Taken, unit: f64| json!({ "value": taken.value / unit, "source": taken.source });
    json!({
        "dew_point_margin_kelvin": one(window.dew_point_margin, 1.0),
        "lowest_temperature_celsius": one(window.lowest_temperature, 1.0),
        "highest_temperature_celsius": one(window.highest_temperature, 1.0),
        "highest_relative_humidity": one(window.highest_relative_humidity, 1.0),
        "cure_hours": one(window.cure_time, HOUR),
        "concrete_age_days": one(window.concrete_age, DAY),
        "dry_hours_after_wetting": one(window.dry_time_after_wetting, HOUR),
    })
}

/// Days by which a share of the sampled worlds is ready; `null` where too few were sampled to tell.
fn odds(prepared: &Prepared) -> Value {
    let Some(Odds::Spread {
        p10,
        p50,
        p90,
        runs,
        never,
    }) = prepared.odds
    else {
        return Value::Null;
    };
    let date = |day: Option<i64>| day.map(|d| prepared.date(d).to_string());
    json!({
        "p10": date(p10),
        "p50": date(p50),
        "p90": date(p90),
        "samples": runs,
        "never": never,
    })
}

fn order(way: &Way) -> Option<&'static str> {
    let washed = way
        .tasks
        .tasks
        .iter()
        .any(|t| t.work == SiteWork::PowerWashing);
    washed.then(|| order_name(way.order))
}

fn day(prepared: &Prepared, day: &Result<CoatingDay, NoDay>) -> Value {
    day.as_ref().map_or(Value::Null, |day| {
        json!({
            "date": prepared.date(day.day).to_string(),
            "held_by": day.held_by.words(),
            "passed_over": day.passed_over.iter().map(|(day, against)| json!({
                "date": prepared.date(*day).to_string(),
                "against": against.words(),
            })).collect::<Vec<_>>(),
            "dew_point_margin_kelvin": day.conditions.map(|c| c.margin),
            "coldest_celsius": day.conditions.map(|c| c.coldest),
            "warmest_celsius": day.conditions.map(|c| c.warmest),
            "air_relative_humidity": day.conditions.map(|c| c.relative_humidity),
        })
    })
}

fn measures(what: &What) -> Value {
    match what {
        What::Crack {
            length,
            width,
            depth,
            state,
        } => json!({
            "length_m": length, "width_m": width, "depth_m": depth, "state": state,
        }),
        What::Joint {
            length,
            width,
            depth,
            state,
        } => json!({
            "length_m": length, "width_m": width, "depth_m": depth, "state": state,
        }),
        What::Broken { size, depth, count } => {
            json!({ "size_m2": size, "depth_m": depth, "count": count })
        }
        What::High { size, height } | What::Low { size, height } => {
            json!({ "size_m2": size, "height_m": height })
        }
        What::Stain { size, state } => json!({ "size_m2": size, "state": state }),
        What::Coating { size, state } => json!({ "size_m2": size, "state": state }),
        What::Damp { size, state } => json!({ "size_m2": size, "state": state }),
        What::Delamination { size, depth } => json!({ "size_m2": size, "depth_m": depth }),
        What::Rust { size, state } => json!({ "size_m2": size, "state": state }),
        What::Note => json!({}),
    }
}
