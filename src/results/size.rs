//! The check of dehumidifiers: each setup's load, what its machines could take, and what would fit.

mod words;

pub use words::{cautions, power, rules, sentences};

use super::limits;
use super::verdict::{VerdictData, sentence};
use super::{Answer, Block, Columns, Document, ESTIMATE, TextTable, or_dash, record};
use crate::charts::psychrometric::PsychrometricChart;
use crate::charts::{Layer, LoadChart, XAxis};
use crate::evaluate::power::{CircuitLoad, LeftOut, Power, SiteCheck, SupplyLoad};
use crate::evaluate::size::{
    Checked, Dehumidifier, NotChecked, Search, Sized, Stretch, VentilationRule, Verdict, VolumeRule,
};
use crate::job::Job;
use crate::units::DAY;
use crate::units::format::{Said, Shown, all_said, fixed, percent, rounded, water_rate, whole};
use crate::units::{Kind, System};
use crate::verdict;
use jiff::civil::Date;

/// Setups with a chart; more are looked at by nobody.
const MOST_CHARTS: usize = 8;
/// Weeks listed one by one; of a longer run every fourth follows.
const WEEKS_LISTED: usize = 8;
/// Below this share of the largest unit a source of water is not drawn.
const WORTH_DRAWING: f64 = 0.05;
const NOT_COMPUTED: &str = "not computed";
const ESTIMATES: &str =
    "Estimates: the machine's data sheet, local codes and the person responsible come first.";

/// The setups of a job, checked.
#[derive(Clone, Debug)]
pub struct SizeCheck<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its setups.
    pub checked: Checked,
    /// What may be said of the floor with the first setup, which is the one on site.
    pub verdict: Option<verdict::Verdict>,
    /// Notes about the weather.
    pub notices: &'a [Said],
    /// Whether the path of each room's air is drawn.
    pub paths: bool,
}

record! {
    /// The check of the setups: `coatday/size/1`.
    SizeData(check: &SizeCheck<'_>) {
        schema: &'static str = "coatday/size/1",
        scenario: String = check.job.name.clone(),
        drying_starts: Date = check.job.date(check.job.gear_on),
        verdict: Option<VerdictData> = check.verdict.as_ref().map(VerdictData::of),
        limits: Vec<String> = limits::of_job(check.job),
        notices: Vec<String> = all_said(check.notices, System::Si),
        setups: Vec<SetupData> = rows(&check.checked).map(SetupData::of).collect(),
    }

    /// A setup, checked. Of one that was not computed only the power and why are known.
    SetupData(row: Row<'_>) where [
        s = row.ok(),
        search = s.and_then(|s| s.search.as_ref()),
        load = load(row),
    ] {
        name: String = name(row).to_owned(),
        verdict: &'static str = s.map_or(NOT_COMPUTED, |s| s.verdict.words()),
        days_to_target: Option<f64> = s.and_then(|s| s.outcome.days_to_target),
        installed: Option<f64> = search.map(|f| f.installed),
        fits: Option<f64> = search.filter(|_| s.is_some_and(|s| s.verdict != Verdict::NotTheLimit)).map(|f| f.fits),
        fits_is_at_least: Option<bool> = search.map(|f| f.at_least),
        tried: Option<Vec<TriedData>> = search.map(|f| f.tried.iter().map(TriedData::of).collect()),
        dehumidifiers: Vec<DehumidifierData> = s.map_or_else(Vec::new, |s| s.dehumidifiers.iter().map(DehumidifierData::of).collect()),
        peak_week: Option<usize> = s.and_then(Sized::peak_week).map(|week| week + 1),
        whole_run: Option<StretchData> = s.map(|s| StretchData::of(&s.whole)),
        weeks: Vec<StretchData> = s.map_or_else(Vec::new, |s| s.weeks.iter().map(StretchData::of).collect()),
        rules_of_thumb: RulesData = RulesData::of(s),
        power: PowerData = PowerData::of(load),
        notes: Vec<String> = said(row, System::Si).into_iter().chain(s.map(|s| rules(s, System::Si)).unwrap_or_default()).chain(power(load)).collect(),
        cautions: Vec<String> = s.map_or_else(|| words::overload(load).into_iter().collect(), |s| cautions(s, System::Si)),
    }

    /// A number of machines that was tried.
    TriedData(tried: &(f64, Option<f64>)) {
        count: f64 = tried.0,
        days_to_target: Option<f64> = tried.1,
    }

    /// Machines of one class.
    DehumidifierData(d: &Dehumidifier) where [
        on_site = d.on_site.as_ref(),
        curve = d.at_typical_end_by_published_map,
    ] {
        count: f64 = d.count,
        rated_kg_per_day: f64 = d.rated * DAY,
        room_mean_temperature_degc: Option<f64> = on_site.map(|o| o.mean_state.0),
        room_mean_relative_humidity_percent: Option<f64> = on_site.map(|o| 100.0 * o.mean_state.1),
        at_room_mean_kg_per_day: Option<f64> = on_site.map(|o| o.gives * DAY),
        at_20_degc_40_percent_kg_per_day: f64 = d.at_typical_end * DAY,
        by_published_curve_at_room_mean_kg_per_day: Option<f64> = on_site.and_then(|o| o.by_published_map).map(|m| m * DAY),
        by_published_curve_at_20_degc_40_percent_kg_per_day: Option<f64> = curve.map(|m| m * DAY),
        grain_depression_g_per_kg: Option<f64> = on_site.map(|o| 1e3 * o.depression),
        grain_depression_gr_per_lb: Option<f64> = on_site.map(|o| 7e3 * o.depression),
    }

    /// Water and air of some time.
    StretchData(w: &Stretch) {
        days: f64 = w.length / DAY,
        load_kg_per_day: f64 = w.load() * DAY,
        from_slab_kg_per_day: f64 = w.slab * DAY,
        by_outside_air_kg_per_day: f64 = w.outside_air * DAY,
        from_burners_kg_per_day: f64 = w.combustion * DAY,
        other_kg_per_day: f64 = w.other * DAY,
        settles_on_envelope_kg_per_day: f64 = w.envelope * DAY,
        removed_kg_per_day: f64 = w.removed * DAY,
        capacity_kg_per_day: f64 = w.capacity * DAY,
        duty_percent: Option<f64> = w.duty().map(|d| 100.0 * d),
        room_temperature_degc: f64 = w.temperature,
        room_relative_humidity_percent: f64 = 100.0 * w.relative_humidity,
        hours_on_site: f64 = w.present_hours,
        hours_starved: f64 = w.starved_hours,
        hours_short_cycling: f64 = w.short_cycling_hours,
        hours_outside_published_range: f64 = w.outside_range_hours,
    }

    /// What rules of thumb ask for.
    RulesData(s: Option<&Sized>) {
        restoration_volume_factor: Option<VolumeRuleData> = s.and_then(|s| s.volume_rule.as_ref()).map(VolumeRuleData::of),
        carbon_dioxide_ventilation: Option<VentilationRuleData> = s.and_then(|s| s.ventilation_rule.as_ref()).map(VentilationRuleData::of),
    }

    /// Restoration's volume factor.
    VolumeRuleData(r: &VolumeRule) {
        source: &'static str = "ANSI/IICRC S500, simple calculation, class 4 (factors from memory)",
        rated_removal_kg_per_day: f64 = r.removal * DAY,
        installed_rated_removal_kg_per_day: f64 = r.installed_removal * DAY,
        desiccant_process_air_m3_per_h: f64 = r.process_air * crate::units::HOUR,
        installed_process_air_m3_per_h: f64 = r.installed_process_air * crate::units::HOUR,
    }

    /// Ventilation for the carbon dioxide of burners.
    VentilationRuleData(r: &VentilationRule) {
        source: &'static str = "5000 ppm (OSHA permissible exposure limit), 420 ppm outside, complete combustion, well mixed",
        burner_input_kw: f64 = r.input / 1e3,
        outside_air_m3_per_h: f64 = r.flow * crate::units::HOUR,
        available_outside_air_m3_per_h: f64 = r.available * crate::units::HOUR,
        water_lift_g_per_kg: f64 = 1e3 * r.lift,
        confined: bool = r.confined,
        hours_above_limit: f64 = r.hours_above,
    }

    /// Electrical load with all in full run.
    PowerData(power: &Power) where [site = power.site.as_ref()] {
        kw: f64 = power.watts / 1e3,
        supplies: Vec<SupplyData> = power.supplies.iter().map(SupplyData::of).collect(),
        fits_site: Option<bool> = site.map(SiteCheck::fits),
        site_circuits: Option<Vec<CircuitData>> = site.map(|s| s.circuits.iter().map(CircuitData::of).collect()),
        without_a_place: Option<Vec<LeftOutData>> = site.map(|s| s.left_out.iter().map(LeftOutData::of).collect()),
        circuits_of_20_a: f64 = power.circuits,
    }

    /// Load on one kind of supply.
    SupplyData(l: &SupplyLoad) {
        volts: f64 = l.volts,
        phases: u8 = l.phases,
        kw: f64 = l.watts / 1e3,
        amperes_per_phase: f64 = l.amperes,
    }

    /// A circuit of the site.
    CircuitData(c: &CircuitLoad) {
        volts: f64 = c.volts,
        phases: u8 = c.phases,
        breaker_amperes: f64 = c.breaker,
        amperes: f64 = c.amperes,
        carries_amperes: f64 = c.carries(),
    }

    /// Machines that no circuit of the site can feed.
    LeftOutData(l: &LeftOut) {
        kind: &'static str = l.kind,
        count: f64 = l.count,
        volts: f64 = l.supply.0,
        phases: u8 = l.supply.1,
        amperes: f64 = l.supply.2,
    }
}

/// A setup as it is shown: checked, or not computed.
type Row<'a> = Result<&'a Sized, &'a NotChecked>;

fn rows(checked: &Checked) -> impl Iterator<Item = Row<'_>> {
    let computed = checked.setups.iter().map(Ok);
    computed.chain(checked.not_computed.iter().map(Err))
}

fn name(row: Row<'_>) -> &str {
    row.map_or_else(|not| &not.gave_up.setup, |s| &s.outcome.name)
}

/// The electrical load, which no run is needed for.
fn load(row: Row<'_>) -> &Power {
    row.map_or_else(|not| &not.power, |s| &s.power)
}

fn said(row: Row<'_>, system: System) -> Vec<String> {
    row.map_or_else(|not| vec![not.gave_up.sentence()], |s| sentences(s, system))
}

/// All setups in one table; load and what the machines could take are those of the peak week.
#[must_use]
pub fn table(checked: &Checked, system: System) -> TextTable {
    let water = Shown::of(Kind::WaterRate, system);
    let site = rows(checked).any(|row| load(row).site.is_some());
    let peak = |s: &Sized| s.peak_week().and_then(|w| s.weeks.get(w).copied());
    // Figures of the machines, where there are any.
    let of = |row: &Row<'_>, text: &dyn Fn(&Sized) -> Option<String>| {
        let machines = row.ok().filter(|s| !s.dehumidifiers.is_empty());
        or_dash(machines.and_then(text))
    };
    // Hours that are nought for all setups get no column: a narrow terminal needs the room for the names.
    let any = |hours: fn(&Stretch) -> f64| {
        let sized = checked.setups.iter();
        let mut machines = sized.filter(|s| !s.dehumidifiers.is_empty());
        machines.any(|s| whole(hours(&s.whole)) != "0")
    };
    let installed = |s: &Sized| {
        let counted = || s.dehumidifiers.iter().map(|d| d.count).sum();
        whole(s.search.as_ref().map_or_else(counted, |f| f.installed))
    };
    Columns::new()
        .left("Setup", |row: &Row<'_>| name(*row).to_owned())
        .right("Days, one run", |row| match row {
            Ok(s) => s.outcome.days_to_target.map_or("not dry".into(), whole),
            Err(_) => "-".into(),
        })
        .left("Verdict", |row| match row {
            Ok(_) => of(row, &|s| Some(s.verdict.words().into())),
            Err(_) => NOT_COMPUTED.into(),
        })
        .right("Has", |row| of(row, &|s| Some(installed(s))))
        .right("Fits", |row| row.map_or("-".into(), fitting))
        .right(format!("Load, {}", water.unit()), |row| {
            of(row, &|s| peak(s).map(|p| rounded(water.number(p.load()))))
        })
        .rank(4)
        .right("Could take", |row| {
            of(row, &|s| peak(s).map(|p| rounded(water.number(p.capacity))))
        })
        .rank(4)
        .right("Duty", |row| of(row, &|s| s.whole.duty().map(percent)))
        .rank(5)
        .when(any(|w| w.starved_hours), |c| {
            c.right("Starved, h", |row| {
                of(row, &|s| Some(whole(s.whole.starved_hours)))
            })
            .rank(6)
        })
        .when(any(|w| w.short_cycling_hours), |c| {
            c.right("Cycling, h", |row| {
                of(row, &|s| Some(whole(s.whole.short_cycling_hours)))
            })
            .rank(6)
        })
        .right("kW", |row| fixed(load(*row).watts / 1e3, 1))
        .rank(3)
        .when(site, |c| {
            c.left("Power fits", |row| {
                let fits = load(*row).site.as_ref().map(SiteCheck::fits);
                fits.map_or_else(String::new, |fits| if fits { "yes" } else { "NO" }.into())
            })
        })
        .rows(rows(checked))
}

fn fitting(s: &Sized) -> String {
    match (&s.search, s.verdict) {
        (
            Some(Search { fits, at_least, .. }),
            Verdict::TooSmall | Verdict::Fits | Verdict::MoreThanNeeded,
        ) => format!("{}{}", if *at_least { "over " } else { "" }, whole(*fits)),
        _ => "-".into(),
    }
}

/// Week by week: load by source, what the machines could take, the room.
#[must_use]
pub fn weeks(s: &Sized, system: System) -> TextTable {
    let water = Shown::of(Kind::WaterRate, system);
    let degrees = Shown::of(Kind::Temperature, system);
    let has = !s.dehumidifiers.is_empty();
    let cell = |rate: f64| rounded(water.number(rate));
    let last = s.weeks.len().saturating_sub(1);
    let listed = |i: &usize| *i < WEEKS_LISTED || i % 4 == 3 || *i == last;
    let weeks = s.weeks.iter().enumerate().filter(|(i, _)| listed(i));
    let weeks = weeks.map(|(i, w)| ((i + 1).to_string(), w));
    Columns::new()
        .left("Week", |(name, _): &(String, &Stretch)| name.clone())
        .right("Slab", |(_, w)| cell(w.slab))
        .right("Outside air", |(_, w)| cell(w.outside_air))
        .rank(3)
        .right("Burners", |(_, w)| cell(w.combustion))
        .rank(4)
        .right("Other", |(_, w)| cell(w.other))
        .rank(5)
        .right("Walls, roof", |(_, w)| cell(w.envelope))
        .rank(5)
        .right("Load", |(_, w)| cell(w.load()))
        .right("Could take", |(_, w)| {
            or_dash(has.then(|| cell(w.capacity)))
        })
        .right("Duty", |(_, w)| or_dash(w.duty().map(percent)))
        .right(format!("Air, {}", degrees.unit()), |(_, w)| {
            degrees.fixed(w.temperature, 0)
        })
        .rank(2)
        .right("Humidity", |(_, w)| percent(w.relative_humidity))
        .rank(2)
        .rows(weeks.chain([("All".into(), &s.whole)]))
        .with_sum()
}

/// The days that a chart draws: without the last where the floor was dry before its noon, whose mean is of a few hours.
fn days_drawn(days: &[Stretch]) -> &[Stretch] {
    match days.split_last() {
        Some((last, others)) if last.length < 0.5 * DAY && !others.is_empty() => others,
        _ => days,
    }
}

/// Load by source and capacity of one setup, by day.
#[must_use]
pub fn load_chart(job: &Job, s: &Sized, system: System) -> LoadChart {
    let water = Shown::of(Kind::WaterRate, system);
    let days = days_drawn(&s.days);
    let layer = |name: &str, value: &dyn Fn(&Stretch) -> f64| {
        let values: Vec<f64> = days.iter().map(|d| water.number(value(d))).collect();
        let most = values.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        (most > WORTH_DRAWING).then(|| Layer {
            name: name.into(),
            values,
        })
    };
    let layers = [
        layer("slab", &|d| d.slab),
        layer("outside air", &|d| d.outside_air),
        layer("burners", &|d| d.combustion),
        layer("other materials, people", &|d| d.other),
        layer("condenses on walls and roof", &|d| d.envelope),
    ];
    let capacity = || days.iter().map(|d| water.number(d.capacity)).collect();
    LoadChart {
        title: title(s, system),
        subtitle: format!("Water in the room's air with {}, {}", s.outcome.name, water.unit()),
        y_label: format!("Water, {}", water.unit()),
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        x: (0..days.len()).map(|d| d as f64).collect(),
        layers: layers.into_iter().flatten().collect(),
        capacity: (!s.dehumidifiers.is_empty()).then(|| Layer {
            name: "dehumidifiers could take".into(),
            values: capacity(),
        }),
        steps: true,
        footer: vec![
            "Below zero: water that outside air carries off or that condenses on walls and roof. Capacity in the air of the day.".into(),
            ESTIMATE.into(),
        ],
        ..LoadChart::default()
    }
}

/// The path of the room's air through the job, by day.
fn path(job: &Job, s: &Sized, system: System) -> PsychrometricChart {
    let days = days_drawn(&s.days);
    let path: Vec<(f64, f64, f64)> = days
        .iter()
        .enumerate()
        .map(|(day, d)| (day as f64, d.temperature, d.humidity_ratio))
        .collect();
    let humidity = |d: Option<&Stretch>| percent(d.map_or(0.0, |d| d.relative_humidity));
    PsychrometricChart {
        title: format!(
            "Relative humidity of the room: {} on the first day, {} on the last",
            humidity(days.first()),
            humidity(days.last())
        ),
        subtitle: format!("Room air with {}, means of each day", s.outcome.name),
        system,
        pressure: job
            .setups
            .iter()
            .find(|setup| setup.name == s.outcome.name)
            .map_or(crate::air::STANDARD_PRESSURE, |setup| setup.room.pressure),
        path,
        footer: vec![
            "Curves: relative humidity at the pressure of the site. Straight across is warming; down is drying of the air.".into(),
            ESTIMATE.into(),
        ],
    }
}

fn title(s: &Sized, system: System) -> String {
    let peak = s.peak_week().and_then(|w| s.weeks.get(w));
    let slab = peak.map_or(0.0, |p| p.slab);
    match (s.verdict, &s.search) {
        (Verdict::TooSmall, Some(f)) => format!(
            "Too small: {} would dry this floor sooner than {}",
            whole(f.fits),
            whole(f.installed)
        ),
        (Verdict::MoreThanNeeded, Some(f)) if f.fits == 0.0 => {
            "This floor dries as soon without the dehumidifier".into()
        }
        (Verdict::MoreThanNeeded, Some(f)) => format!(
            "More than needed: {} would dry this floor as soon as {}",
            whole(f.fits),
            whole(f.installed)
        ),
        (Verdict::Fits, Some(f)) => format!(
            "{} fits: more would not dry this floor sooner",
            whole(f.installed)
        ),
        (Verdict::NotComputed, _) => "Load with the dehumidifiers installed".into(),
        (Verdict::NotTheLimit, _) => "Dehumidifiers are not what holds this floor back".into(),
        _ if s.whole.combustion > s.whole.slab && s.whole.slab > 0.0 => format!(
            "Burners bring {} times the water that the slab gives",
            whole(s.whole.combustion / s.whole.slab)
        ),
        _ => format!(
            "No dehumidifier: the slab gives up to {} in its wettest week",
            water_rate(slab, system)
        ),
    }
}

/// Whether a setup at this place has charts of its own: one of the first, with a day to draw.
fn drawn(s: &Sized, place: usize) -> bool {
    place < MOST_CHARTS && !s.days.is_empty()
}

/// Load, size and power of one setup: what `size` and the report show of it. Its chart carries its place among the setups.
pub(super) fn blocks(job: &Job, s: &Sized, place: usize, system: System) -> Vec<Block> {
    let water = Shown::of(Kind::WaterRate, system);
    let mut blocks = vec![
        Block::Text(format!(
            "Water in {}, week by week. Below zero it leaves the air.",
            water.unit()
        )),
        Block::Table(weeks(s, system)),
        Block::List(
            sentences(s, system)
                .into_iter()
                .chain(power(&s.power))
                .collect(),
        ),
    ];
    if drawn(s, place) {
        let name = format!("load-{}", place + 1);
        blocks.push(Block::figure(name, load_chart(job, s, system)));
    }
    blocks.extend(cautions(s, system).into_iter().map(|text| Block::Caution {
        about: Some(s.outcome.name.clone()),
        text,
    }));
    blocks
}

impl Answer for SizeCheck<'_> {
    type Data = SizeData;

    fn data(&self) -> SizeData {
        SizeData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let all = Block::Table(table(&self.checked, system));
        let said = self.verdict.iter().map(|v| sentence(v, system));
        let left = self.checked.setups.len().saturating_sub(MOST_CHARTS);
        let charts = (left > 0).then(|| {
            format!(
                "Charts of the first {} setups only.",
                whole(MOST_CHARTS as f64)
            )
        });
        let said = said.chain(limits::of_job(self.job)).chain(charts);
        let said = Block::List(said.collect());
        let mut document = Document::new(&self.job.name, vec![all, said]);
        for (place, s) in self.checked.setups.iter().enumerate() {
            let name = &s.outcome.name;
            let mut blocks = blocks(self.job, s, place, system);
            if self.paths && drawn(s, place) {
                let path = path(self.job, s, system);
                blocks.push(Block::figure(format!("path-{}", place + 1), path));
            }
            let rules = rules(s, system).into_iter();
            let rules = rules.map(|rule| format!("{name}: {rule}"));
            blocks.push(Block::Details(rules.collect()));
            document = document.with(name, blocks);
        }
        for not in &self.checked.not_computed {
            let name = &not.gave_up.setup;
            let notes = self::said(Err(not), system)
                .into_iter()
                .chain(power(&not.power));
            let mut blocks = vec![Block::List(notes.collect())];
            blocks.extend(words::overload(&not.power).map(|text| Block::Caution {
                about: Some(name.clone()),
                text,
            }));
            document = document.with(name, blocks);
        }
        let mut notes = all_said(self.notices, system);
        notes.push(ESTIMATES.into());
        document.with("", vec![Block::Notes(notes)])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_last_part_of_a_day_is_drawn_from_noon_on() {
        let of = |lengths: &[f64]| {
            let days = lengths.iter().map(|length| Stretch {
                length: length * DAY,
                ..Stretch::default()
            });
            days_drawn(&days.collect::<Vec<_>>()).len()
        };
        assert_eq!(of(&[1.0, 1.0, 0.4]), 2);
        assert_eq!(of(&[1.0, 1.0, 0.6]), 3);
        assert_eq!(of(&[0.4]), 1);
        assert_eq!(of(&[]), 0);
    }
}
