//! What was understood, in both unit systems, with every default that was taken.

/// A quantity as the echo shows it.
macro_rules! both {
    ($quantity:expr) => {{
        let quantity = $quantity;
        [quantity.in_us(), quantity.in_si()]
    }};
}

/// An optional quantity, or its default from SI.
macro_rules! given_or {
    ($echo:expr, $label:expr, $given:expr, $kind:ty, $default:expr) => {
        match $given {
            Some(quantity) => $echo.both($label, both!(quantity), None),
            None => $echo.both($label, both!(<$kind>::from_si($default)), Some(NOT_GIVEN)),
        }
    };
}

mod coating;
mod gear;
mod plan;
mod promised;
mod room;
mod walk;

use serde::Serialize;

use self::gear::Parts;
use super::defaults;
use super::model::{
    Aggregate, Curing, Finish, Gear, Scenario, Target, Underside, Weather, WettingKind,
};
use crate::units::{
    Density, Duration, Length, Permeance, RelativeHumidity, Speed, Temperature,
    TemperatureDifference, VapourResistance,
};

/// One line of the echo.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Understood {
    /// The key path, with words in place of brackets where that reads better.
    pub label: String,
    /// The value in units of the US trade, or in words.
    pub us: String,
    /// The value in SI units, or in words.
    pub si: String,
    /// Why this value, where it was not given.
    pub note: Option<String>,
}

const NOT_GIVEN: &str = "default because not given";

/// Everything the program will use, in reading order.
#[must_use]
pub fn understood(scenario: &Scenario) -> Vec<Understood> {
    let mut echo = Echo::default();
    echo.head(scenario);
    echo.site(scenario);
    echo.power(scenario.site.power.as_ref());
    echo.slab(scenario);
    echo.room(scenario);
    echo.targets(scenario);
    echo.service(scenario);
    echo.coating(scenario);
    echo.promised(scenario);
    echo.prices(scenario);
    echo.plan(scenario);
    for setup in &scenario.setups {
        echo.say(
            &format!("setup {}", setup.name),
            if setup.gear.is_empty() { "no gear" } else { "" },
            None,
        );
        for gear in &setup.gear {
            echo.gear(gear);
        }
    }
    echo.walk(scenario);
    echo.lines
}

#[derive(Default)]
struct Echo {
    lines: Vec<Understood>,
}

impl Echo {
    fn both(&mut self, label: &str, [us, si]: [String; 2], note: Option<&str>) {
        self.lines.push(Understood {
            label: label.to_owned(),
            us,
            si,
            note: note.map(str::to_owned),
        });
    }

    fn say(&mut self, label: &str, text: &str, note: Option<&str>) {
        self.both(label, [text.to_owned(), text.to_owned()], note);
    }

    fn head(&mut self, scenario: &Scenario) {
        self.say("name", &scenario.name, None);
        self.say("drying starts", &scenario.drying_starts.to_string(), None);
        match scenario.needed_by {
            Some(date) => self.say("needed by", &date.to_string(), None),
            None => self.say(
                "needed by",
                "no date",
                Some("not given: setups are compared without a deadline"),
            ),
        }
        given_or!(
            self,
            "give up after",
            scenario.give_up_after,
            Duration,
            defaults::GIVE_UP_AFTER
        );
    }

    fn site(&mut self, scenario: &Scenario) {
        match scenario.site.elevation {
            Some(elevation) => self.both("site elevation", both!(elevation), None),
            None => self.say("site elevation", "sea level", Some(NOT_GIVEN)),
        }
        match &scenario.site.weather {
            Weather::Constant(constant) => {
                self.say("weather", "the same air all the time", None);
                self.both("outdoor temperature", both!(constant.temperature), None);
                self.both(
                    "outdoor relative humidity",
                    both!(constant.relative_humidity),
                    None,
                );
                given_or!(
                    self,
                    "wind speed",
                    constant.wind_speed,
                    Speed,
                    defaults::WIND_SPEED
                );
            }
            Weather::MonthlyNormals(normals) => {
                self.say("weather", "monthly normals", None);
                let range = |texts: &[String]| texts.join(", ");
                let us: Vec<String> = normals
                    .mean_temperature
                    .iter()
                    .map(|mean| mean.in_us())
                    .collect();
                let si: Vec<String> = normals
                    .mean_temperature
                    .iter()
                    .map(|mean| mean.in_si())
                    .collect();
                self.both("monthly mean temperature", [range(&us), range(&si)], None);
                if let Some(humidity) = &normals.relative_humidity {
                    let texts: Vec<String> = humidity.iter().map(|month| month.in_si()).collect();
                    self.say("monthly relative humidity", &range(&texts), None);
                }
                if let Some(dew_point) = &normals.dew_point {
                    let us: Vec<String> = dew_point.iter().map(|month| month.in_us()).collect();
                    let si: Vec<String> = dew_point.iter().map(|month| month.in_si()).collect();
                    self.both("monthly dew point", [range(&us), range(&si)], None);
                }
                given_or!(
                    self,
                    "daily temperature swing",
                    normals.daily_swing,
                    TemperatureDifference,
                    defaults::DAILY_SWING
                );
                given_or!(
                    self,
                    "wind speed",
                    normals.wind_speed,
                    Speed,
                    defaults::WIND_SPEED
                );
            }
            Weather::HourlyCsv(file) => {
                self.say("weather", &format!("hourly table {}", file.file), None);
            }
            Weather::Epw(file) => self.say("weather", &format!("EPW file {}", file.file), None),
            Weather::Tmy3Csv(file) => {
                self.say("weather", &format!("TMY3 file {}", file.file), None);
            }
        }
    }

    fn slab(&mut self, scenario: &Scenario) {
        let slab = &scenario.slab;
        self.both("slab area", both!(slab.area), None);
        self.both("slab thickness", both!(slab.thickness), None);
        if let Some(strength) = slab.strength {
            let note = slab
                .water_cement_ratio
                .map(|_| "not used, because the water-cement ratio is given");
            self.both("strength", both!(strength), note);
        }
        let ratio = slab.water_cement_ratio_taken();
        let note = match (slab.water_cement_ratio, slab.strength) {
            (Some(_), _) => None,
            (None, Some(_)) => Some("from the strength, because not given"),
            (None, None) => Some(NOT_GIVEN),
        };
        self.say(
            "water-cement ratio",
            &format!("{}", (ratio * 1000.0).round() / 1000.0),
            note,
        );
        let note = slab.cement_content.is_none().then_some(
            "from the water-cement ratio and 185 kg/m3 of mixing water, because not given",
        );
        let content = slab
            .cement_content
            .unwrap_or_else(|| Density::from_si(slab.cement_content_taken().round()));
        self.both("cement content", both!(content), note);
        self.say("placed", &slab.placed.to_string(), None);
        self.curing(
            &slab.curing_taken(),
            slab.curing.is_none().then_some(NOT_GIVEN),
        );
        self.say(
            "aggregate",
            match slab.aggregate {
                None | Some(Aggregate::NormalWeight) => "normal weight",
                Some(Aggregate::Lightweight) => {
                    "lightweight, soaked: its water has to dry out too (an estimate, not fitted to any table)"
                }
            },
            slab.aggregate.is_none().then_some(NOT_GIVEN),
        );
        self.say(
            "finish",
            finish(slab.finish_taken()),
            slab.finish.is_none().then_some(NOT_GIVEN),
        );
        if let Some(resistance) = slab.surface_resistance {
            self.both(
                "surface resistance",
                both!(resistance),
                Some("takes the place of the one that goes with the finish"),
            );
        }
        if let Some(prepared) = &slab.prepared {
            self.say(
                "prepared",
                &format!("{} on {}", finish(prepared.leaves), prepared.date),
                None,
            );
        }
        self.underside(scenario);
        for wetting in slab.wettings.as_deref().unwrap_or_default() {
            let kind = match wetting.kind {
                WettingKind::Rain => "rain",
                WettingKind::Washing => "washing",
                WettingKind::EtchRinse => "etch rinse",
            };
            let label = format!("{kind} on {}", wetting.date);
            if let Some(depth) = wetting.water_depth {
                self.both(&label, both!(depth), None);
            }
            if let Some(lasts) = wetting.lasts {
                self.both(&label, both!(lasts), None);
            }
        }
    }

    fn curing(&mut self, curing: &Curing, note: Option<&str>) {
        match curing {
            Curing::None => self.say("curing", "none", note),
            Curing::Wet(wet) => self.both("wet curing", both!(wet.lasts), note),
            Curing::Sheet(sheet) => {
                self.both("curing under a sheet", both!(sheet.lasts), note);
                match sheet.resistance {
                    Some(resistance) => self.both("sheet resistance", both!(resistance), None),
                    None => self.say("sheet resistance", "tight", Some(NOT_GIVEN)),
                }
            }
            Curing::CuringCompound(compound) => {
                self.say("curing", "curing compound", note);
                given_or!(
                    self,
                    "curing compound resistance",
                    compound.resistance,
                    VapourResistance,
                    defaults::CURING_COMPOUND
                );
            }
        }
    }

    fn underside(&mut self, scenario: &Scenario) {
        let slab = &scenario.slab;
        let note = slab.underside.is_none().then_some(NOT_GIVEN);
        match slab.underside_taken() {
            Underside::Sealed => self.say("underside", "sealed", note),
            Underside::VapourRetarder(retarder) => {
                self.say("underside", "vapour retarder", note);
                given_or!(
                    self,
                    "retarder permeance",
                    retarder.permeance,
                    Permeance,
                    defaults::RETARDER_PERMEANCE
                );
            }
            Underside::BareGround => self.say("underside", "bare ground", note),
            Underside::MetalDeck(deck) => {
                self.say("underside", "metal deck", note);
                given_or!(
                    self,
                    "open share of the deck",
                    deck.open_share,
                    crate::units::Fraction,
                    defaults::DECK_OPEN_SHARE
                );
            }
            Underside::OpenAir(air) => {
                self.say("underside", "open air", note);
                self.both("air below", both!(air.temperature), None);
                self.both("humidity below", both!(air.relative_humidity), None);
            }
        }
        match slab.ground_temperature {
            Some(temperature) => self.both("ground temperature", both!(temperature), None),
            None => self.say(
                "ground temperature",
                "mean of the weather over the year",
                Some(NOT_GIVEN),
            ),
        }
    }

    fn targets(&mut self, scenario: &Scenario) {
        let note = scenario.targets.is_none().then_some(NOT_GIVEN);
        for target in scenario.targets_taken() {
            match target {
                Target::RelativeHumidityAtDepth(target) => {
                    let depth = target
                        .depth_fraction
                        .unwrap_or_else(|| scenario.slab.depth_fraction_taken());
                    let label = format!(
                        "target: relative humidity at {} % depth",
                        (depth * 1000.0).round() / 10.0
                    );
                    let note = note.or(target
                        .depth_fraction
                        .is_none()
                        .then_some("depth by default because not given"));
                    self.both(&label, both!(target.limit), note);
                }
                Target::EquilibriumRelativeHumidity(target) => self.both(
                    "target: equilibrium relative humidity",
                    both!(target.limit),
                    note,
                ),
                Target::EmissionRate(target) => self.both(
                    "target: moisture vapour emission rate",
                    both!(target.limit),
                    note,
                ),
                Target::SurfaceFlux(target) => {
                    self.both("target: surface flux", both!(target.limit), note);
                }
                Target::MassPercent(target) => {
                    let layer = target
                        .layer
                        .unwrap_or_else(|| Length::from_si(crate::moisture_tests::SAMPLE_LAYER));
                    self.both("target: mass percent", both!(target.limit), note);
                    self.both(
                        "layer sampled for the mass percent",
                        both!(layer),
                        target.layer.is_none().then_some(NOT_GIVEN),
                    );
                }
                Target::PlasticSheet(target) => {
                    let lasts = target.lasts.unwrap_or_else(|| {
                        Duration::from_si(crate::moisture_tests::SHEET_EXPOSURE)
                    });
                    self.both(
                        "target: no water under a plastic sheet after",
                        both!(lasts),
                        note,
                    );
                }
            }
        }
    }

    fn service(&mut self, scenario: &Scenario) {
        let given = scenario.service.as_ref();
        let taken = scenario.service_taken();
        given_or!(
            self,
            "service temperature",
            given.and_then(|s| s.temperature),
            Temperature,
            taken.temperature
        );
        given_or!(
            self,
            "service relative humidity",
            given.and_then(|s| s.relative_humidity),
            RelativeHumidity,
            taken.relative_humidity
        );
    }

    fn prices(&mut self, scenario: &Scenario) {
        const NOT_COUNTED: &str = "not given: not counted, and costs leave it out";
        let prices = scenario.prices.as_ref();
        let shown: [(&str, Option<[String; 2]>); 6] = [
            (
                "price of electricity",
                prices
                    .and_then(|prices| prices.electricity)
                    .map(|price| both!(price)),
            ),
            (
                "price of propane",
                prices
                    .and_then(|prices| prices.propane)
                    .map(|price| both!(price)),
            ),
            (
                "price of natural gas",
                prices
                    .and_then(|prices| prices.natural_gas)
                    .map(|price| both!(price)),
            ),
            (
                "price of kerosene",
                prices
                    .and_then(|prices| prices.kerosene)
                    .map(|price| both!(price)),
            ),
            (
                "price of diesel",
                prices
                    .and_then(|prices| prices.diesel)
                    .map(|price| both!(price)),
            ),
            (
                "price of a day of delay",
                prices
                    .and_then(|prices| prices.day_of_delay)
                    .map(|price| both!(price)),
            ),
        ];
        for (label, price) in shown {
            match price {
                Some(price) => self.both(label, price, None),
                None => self.say(label, "none", Some(NOT_COUNTED)),
            }
        }
    }

    fn gear(&mut self, gear: &Gear) {
        let mut list = Parts::default();
        let kind = match gear {
            Gear::Dehumidifier(machine) => list.dehumidifier(machine),
            Gear::Desiccant(machine) => list.desiccant(machine),
            Gear::Heater(machine) => list.heater(machine),
            Gear::Fan(machine) => list.fan(machine),
            Gear::OutsideAir(machine) => list.outside_air(machine),
        };
        let note = if list.defaults.is_empty() {
            None
        } else {
            Some(format!(
                "defaults because not given: {}",
                list.defaults.join(", ")
            ))
        };
        self.both(
            &format!("  {kind}"),
            [list.us.join(", "), list.si.join(", ")],
            note.as_deref(),
        );
    }
}

fn finish(finish: Finish) -> &'static str {
    match finish {
        Finish::Floated => "floated",
        Finish::SteelTrowelled => "steel-trowelled",
        Finish::Ground => "ground",
        Finish::ShotBlasted => "shot-blasted",
    }
}
