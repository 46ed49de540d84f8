//! Water in the room's air by source, step by step and as means over a stretch of time. Symbols: see the head of `size`.

use crate::gear::Condition;
use crate::units::HOUR;

/// A machine that runs less than this share of the time it could cycles too short to dry well (source 1).
pub const SHORT_CYCLING: f64 = 1.0 / 3.0;

/// Water in the room's air during one step; rates in kg/s are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LoadStep {
    /// End of the step \[s since placing\].
    pub time: f64,
    /// Length \[s\].
    pub length: f64,
    /// From the slab.
    pub slab: f64,
    /// By outside air; negative when it carries water off.
    pub outside_air: f64,
    /// From burners without a flue.
    pub combustion: f64,
    /// Other: wet materials and people.
    pub other: f64,
    /// Settles on the envelope, so never positive.
    pub envelope: f64,
    /// Taken by the dehumidifiers.
    pub removed: f64,
    /// What they would take in full run.
    pub capacity: f64,
    /// Room temperature at the end \[degC\].
    pub temperature: f64,
    /// Humidity ratio at the end \[kg/kg\].
    pub humidity_ratio: f64,
    /// Relative humidity at the end.
    pub relative_humidity: f64,
    /// What is worth a warning.
    pub condition: Condition,
    /// Whether a dehumidifier is on site.
    pub present: bool,
}

/// Means over a stretch of time, such as a week. Rates in kg/s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stretch {
    /// Length \[s\].
    pub length: f64,
    /// From the slab.
    pub slab: f64,
    /// By outside air.
    pub outside_air: f64,
    /// From burners.
    pub combustion: f64,
    /// From other wet materials and people.
    pub other: f64,
    /// Settles on the envelope (negative).
    pub envelope: f64,
    /// Taken by the dehumidifiers.
    pub removed: f64,
    /// What they would take in full run.
    pub capacity: f64,
    /// Room temperature \[degC\].
    pub temperature: f64,
    /// Relative humidity.
    pub relative_humidity: f64,
    /// Humidity ratio \[kg/kg\].
    pub humidity_ratio: f64,
    /// Hours with a dehumidifier on site.
    pub present_hours: f64,
    /// Hours in which some dehumidifier finds the air too dry.
    pub starved_hours: f64,
    /// Hours in which the dehumidifiers run, but for less than a third of the time.
    pub short_cycling_hours: f64,
    /// Hours in which some machine is outside the range of its data.
    pub outside_range_hours: f64,
}

impl Stretch {
    /// Water that comes into the air: the load \[kg/s\].
    #[must_use]
    pub fn load(&self) -> f64 {
        self.slab + self.outside_air + self.combustion + self.other + self.envelope
    }

    /// Share of full run, 0 to 1; `None` without capacity.
    #[must_use]
    pub fn duty(&self) -> Option<f64> {
        (self.capacity > 0.0).then(|| (self.removed / self.capacity).clamp(0.0, 1.0))
    }

    /// Means of the steps that end after `from` and not after `until` \[s since placing\].
    #[must_use]
    pub fn of<'a>(steps: impl Iterator<Item = &'a LoadStep>) -> Self {
        let mut s = Self::default();
        for step in steps {
            let t = step.length;
            let hours = t / HOUR;
            s.length += t;
            s.slab += t * step.slab;
            s.outside_air += t * step.outside_air;
            s.combustion += t * step.combustion;
            s.other += t * step.other;
            s.envelope += t * step.envelope;
            s.removed += t * step.removed;
            s.capacity += t * step.capacity;
            s.temperature += t * step.temperature;
            s.relative_humidity += t * step.relative_humidity;
            s.humidity_ratio += t * step.humidity_ratio;
            let running = step.removed > 0.0 && step.capacity > 0.0;
            for (holds, counter) in [
                (step.present, &mut s.present_hours),
                (
                    step.condition.contains(Condition::STARVED),
                    &mut s.starved_hours,
                ),
                (
                    running && step.removed < SHORT_CYCLING * step.capacity,
                    &mut s.short_cycling_hours,
                ),
                (
                    step.condition.contains(Condition::OUTSIDE_PUBLISHED_RANGE),
                    &mut s.outside_range_hours,
                ),
            ] {
                if holds {
                    *counter += hours;
                }
            }
        }
        if s.length > 0.0 {
            for mean in [
                &mut s.slab,
                &mut s.outside_air,
                &mut s.combustion,
                &mut s.other,
                &mut s.envelope,
                &mut s.removed,
                &mut s.capacity,
                &mut s.temperature,
                &mut s.relative_humidity,
                &mut s.humidity_ratio,
            ] {
                *mean /= s.length;
            }
        }
        s
    }
}
