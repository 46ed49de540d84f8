//! What is to be said of the limits wherever a date rests on them: that none was given, and that a limit lies beyond the drying times
//! that the concrete was fitted to.

use super::ESTIMATE;
use crate::job::{self, Job};
use crate::moisture_tests::{LOWEST_FITTED, Target, beyond_fitted_range};
use crate::scenario::{RatioFrom, Scenario};
use crate::units::format::{Said, capital, fine_percent, fixed, percent, temperature};

/// The name of a target's test.
pub(super) fn test_name(target: &Target) -> &'static str {
    match target {
        Target::HumidityAtDepth { .. } => "relative humidity at depth",
        Target::EquilibriumHumidity { .. } => "equilibrium relative humidity",
        Target::EmissionRate { .. } => "moisture vapor emission rate",
        Target::SurfaceFlux { .. } => "surface flux",
        Target::MassPercent { .. } => "mass percent of the top layer",
        Target::PlasticSheet { .. } => "relative humidity under a plastic sheet",
    }
}

/// Sentences about the limits of a job.
pub(super) fn of_job(job: &Job) -> Vec<String> {
    sentences(job.known.targets, &job.targets)
        .into_iter()
        .chain(other_cements(job.known.supplementary))
        .collect()
}

/// Sentences about the limits of a scenario on which a date rests.
pub(super) fn of_scenario(scenario: &Scenario) -> Vec<String> {
    sentences(scenario.targets.is_some(), &job::targets(scenario))
        .into_iter()
        .chain(other_cements(scenario.slab.supplementary()))
        .collect()
}

/// What stands below a chart that shows a date of a job.
pub(super) fn footer(job: &Job) -> Vec<String> {
    footer_of(&job.targets)
}

/// What stands below a chart that shows a date of a scenario.
pub(super) fn footer_of_scenario(scenario: &Scenario) -> Vec<String> {
    footer_of(&job::targets(scenario))
}

fn footer_of(targets: &[Target]) -> Vec<String> {
    let beyond = targets.iter().any(beyond_fitted_range);
    let less_sure = beyond.then(|| {
        "No published drying times reach this limit, so the dates are less sure.".to_owned()
    });
    less_sure.into_iter().chain([ESTIMATE.to_owned()]).collect()
}

/// What is known of the drying of concrete with slag or fly ash.
fn other_cements(share: f64) -> Option<String> {
    (share > 0.0).then(|| {
        format!(
            "{} of the cement is slag or fly ash. No drying times are published for such a mix that this program could be fitted to. It is computed as Portland cement, and the range is wider.",
            capital(&percent(share))
        )
    })
}

fn sentences(given: bool, targets: &[Target]) -> Vec<String> {
    let beyond = targets
        .iter()
        .filter(|t| beyond_fitted_range(t))
        .map(beyond);
    not_given(given, targets)
        .into_iter()
        .chain(beyond)
        .collect()
}

/// That no limit is given and what is taken, for results without a date of their own.
pub(super) fn missing(scenario: &Scenario) -> Option<String> {
    not_given(scenario.targets.is_some(), &job::targets(scenario))
}

fn not_given(given: bool, targets: &[Target]) -> Option<String> {
    (!given).then(|| {
        format!(
            "No limit is given, so {} is assumed. Your coating's limit is on its data sheet: put it under \"targets\".",
            taken(targets)
        )
    })
}

/// Targets that were not given, in words.
fn taken(targets: &[Target]) -> String {
    let one = |t: &Target| format!("{} {}", fine_percent(t.limit()), test_name(t));
    targets.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// What to know of a target beyond the fitted range.
fn beyond(target: &Target) -> String {
    let why = match target {
        Target::HumidityAtDepth { limit, .. } | Target::EquilibriumHumidity { limit } => format!(
            "A limit of {} is below all published drying times. They end at {}",
            fine_percent(*limit),
            percent(LOWEST_FITTED)
        ),
        Target::SurfaceFlux { .. } => "No published drying times reach this surface flux".into(),
        Target::EmissionRate { .. } | Target::MassPercent { .. } | Target::PlasticSheet { .. } => {
            format!("No drying times are published for a {}", test_name(target))
        }
    };
    format!("{why}. The date is less sure, and its range is wider.")
}

/// What is asked of the user, the most important first: each moves the date, and only people on the job can answer it.
pub(super) fn open_questions(scenario: &Scenario) -> Vec<Said> {
    let limit = scenario.targets.is_none().then(|| {
        format!(
            "What moisture limit does the coating's data sheet give? Put it under \"targets\". Until then {} is assumed.",
            taken(&job::targets(scenario))
        )
        .into()
    });
    let service = scenario.service.is_none().then(|| {
        let air = crate::scenario::model::Service::default();
        let (t, humidity) = (air.temperature().si(), air.relative_humidity().si());
        Said::new(|system| {
            format!(
                "How warm and how damp is the building in use? Put it under \"service\": the tests are read in that air. Until then {} and {} are assumed.",
                temperature(t, system),
                percent(humidity)
            )
        })
    });
    let mix = (scenario.slab.ratio_from() == RatioFrom::Default)
        .then(|| {
            format!(
                "What water-cement ratio or strength do the delivery ticket or the drawings give? Put it under \"slab\". Until then a ratio of {} is assumed.",
                fixed(scenario.slab.water_cement_ratio(), 2)
            )
            .into()
        });
    [limit, service, mix].into_iter().flatten().collect()
}
