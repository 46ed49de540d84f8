//! The machines of a setup: their keys, and the machine that they make of a class.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::gear::classes::{self, ClassOf};
use crate::gear::controls::{self, Control, Hours, HumiditySetpoint};
use crate::gear::desiccant::{self, AirSource, RegenerationHeat};
use crate::gear::exchange::{self, Direction, Flow, OutsideAirExchange};
use crate::gear::fan::{self, FloorSpeed};
use crate::gear::fuel::Fuel;
use crate::gear::heater::HeaterKind;
use crate::gear::opening::{self, Path};
use crate::gear::refrigerant::{CapacityMap, Defrost, Rating, Refrigerant};
use crate::gear::{Machine, Supply};
use crate::scenario::keys::{keys, words};
use crate::units::format::Said;
use crate::units::{
    AirFlow, Area, Current, Duration, EnergyFactor, Fraction, HOUR, HumidityRatio, Length, Money,
    MoneyPerDay, Power, RelativeHumidity, Speed, Temperature, TemperatureDifference, Voltage,
    WaterRate,
};

/// One machine, or several alike.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Gear {
    /// A refrigerant dehumidifier.
    Dehumidifier(Dehumidifier),
    /// A desiccant dehumidifier.
    Desiccant(Desiccant),
    /// A heater.
    Heater(Heater),
    /// A fan that moves the room's air over the floor.
    Fan(Fan),
    /// A fan or opening that exchanges room air for outside air.
    OutsideAir(OutsideAir),
}

impl Gear {
    /// What every machine has.
    #[must_use]
    pub fn shared(&self) -> &Shared {
        match self {
            Self::Dehumidifier(machine) => &machine.shared,
            Self::Desiccant(machine) => &machine.shared,
            Self::Heater(machine) => &machine.shared,
            Self::Fan(machine) => &machine.shared,
            Self::OutsideAir(machine) => &machine.shared,
        }
    }

    /// The same, to change it.
    pub fn shared_mut(&mut self) -> &mut Shared {
        match self {
            Self::Dehumidifier(machine) => &mut machine.shared,
            Self::Desiccant(machine) => &mut machine.shared,
            Self::Heater(machine) => &mut machine.shared,
            Self::Fan(machine) => &mut machine.shared,
            Self::OutsideAir(machine) => &mut machine.shared,
        }
    }

    /// Its class or, without one, its kind, in words.
    #[must_use]
    pub fn label(&self) -> Said {
        let (class, kind) = match self {
            Self::Dehumidifier(machine) => (machine.class.map(|c| c.name()), "dehumidifier"),
            Self::Desiccant(machine) => (Some(machine.class.name()), "desiccant"),
            Self::Heater(machine) => (machine.class.map(|c| c.name()), "heater"),
            Self::Fan(machine) => (machine.class.map(|c| c.name()), "fan"),
            Self::OutsideAir(machine) => (machine.class.map(|c| c.name()), "outside air"),
        };
        class.map_or_else(|| kind.into(), classes::label)
    }
}

keys! {
    /// What every machine has, whatever its kind.
    #[derive(Default)]
    Shared {
        /// How many of them.
        count: Option<u32> [limit "count", default 1 => "one entry, one machine"],
        /// Hours of the day in which it may run.
        hours: Option<Hours> [derived "all day"],
        /// What it plugs into.
        supply: Option<MachineSupply> [derived "as the class, with the current of its power"],
        /// Rent of one machine, each rate for the time it is charged by, such as `["$100/day", "$300/week", "$800/4 weeks"]`. The cheapest
        /// combination counts.
        rent: Option<Vec<MoneyPerDay>> [
            least 1, most 4, limit "price per day", label "rate",
            without "none" => "no rent is counted"
        ],
        /// The rental house charges at least this long.
        least_rental: Option<Duration> [limit "time limit", label "shortest rental"],
        /// Bringing and fetching one machine, once.
        delivery: Option<Money> [limit "delivery", label "delivery of one"],
        /// First day it runs.
        from: Option<Date> [derived "the day the gear goes on"],
        /// Last day it runs.
        until: Option<Date> [derived "to the end"],
    }
}

keys! {
    /// What a machine plugs into.
    MachineSupply {
        /// Voltage on the nameplate, between phases if there are three.
        voltage: Option<Voltage> [limit "voltage", derived "as the class"],
        /// Current on the nameplate, per phase.
        current: Option<Current> [limit "current", derived "power over voltage"],
        /// Phases.
        phases: Option<Phases> [derived "as the class"],
    }
}

words! {
    /// Phases of a supply.
    Phases {
        /// One.
        Single "single-phase",
        /// Three.
        Three "three-phase",
    }
}

impl Phases {
    /// How many.
    #[must_use]
    pub fn number(self) -> u8 {
        match self {
            Self::Single => 1,
            Self::Three => 3,
        }
    }
}

keys! {
    /// A refrigerant dehumidifier: a class, whose values the other keys replace, or `capacity` and `energy_factor`.
    Dehumidifier {
        /// A class of machine.
        class: Option<ClassOf<Refrigerant>>,
        /// What every machine has.
        ..shared: Shared,
        /// Water removed at the rating condition, per machine.
        capacity: Option<WaterRate> [limit "water removal rating"],
        /// The air at which the capacity was rated.
        rating_condition: Option<RatingCondition> [label "rated at", with capacity, default RatingCondition::At80F60 => "AHAM DH-1"],
        /// Water removed per electricity at the rating condition.
        energy_factor: Option<EnergyFactor> [limit "energy factor"],
        /// Air through one machine.
        air_flow: Option<AirFlow> [limit "machine air flow"],
        /// It stops below this air temperature.
        lowest_inlet: Option<Temperature> [limit "lowest inlet temperature"],
        /// It stops above this air temperature.
        highest_inlet: Option<Temperature> [limit "highest inlet temperature"],
        /// The laboratory curve that describes it.
        curve: Option<CapacityMap> [derived "as the class"],
        /// How it frees its coil of frost.
        defrost: Option<Defrost> [derived "as the class"],
        /// It stops when the room is drier than this.
        humidistat: Option<Humidistat> [without "as the class" => ""],
    }
}

words! {
    /// The air at which a dehumidifier was rated.
    RatingCondition {
        /// 80 degF (26.7 degC) and 60 %.
        #[serde(rename = "80F_60")]
        At80F60 "{80 °F|26.7 °C} and 60 %",
        /// 65 degF (18.3 degC) and 60 %.
        #[serde(rename = "65F_60")]
        At65F60 "{65 °F|18.3 °C} and 60 %",
        /// 27 degC and 60 %.
        #[serde(rename = "27C_60")]
        At27C60 "{81 °F|27 °C} and 60 %",
        /// 30 degC and 80 %.
        #[serde(rename = "30C_80")]
        At30C80 "{86 °F|30 °C} and 80 %",
    }
}

impl RatingCondition {
    /// The state of the air.
    #[must_use]
    pub fn rating(self) -> Rating {
        match self {
            Self::At80F60 => Rating::AT_80F_60,
            Self::At65F60 => Rating::AT_65F_60,
            Self::At27C60 => Rating::AT_27C_60,
            Self::At30C80 => Rating::AT_30C_80,
        }
    }
}

keys! {
    /// A desiccant dehumidifier.
    Desiccant {
        /// A class of machine.
        class: ClassOf<desiccant::Desiccant>,
        /// What every machine has.
        ..shared: Shared,
        /// Where the air comes from that carries the water away.
        regeneration_air: Option<AirSource> [without "as the class" => ""],
        /// Where the air comes from that it dries.
        process_air: Option<AirSource> [derived "the room"],
        /// Process air through one machine.
        air_flow: Option<AirFlow> [limit "machine air flow"],
        /// Removal as a share of the published curve.
        capacity_factor: Option<Fraction> [limit "capacity factor", derived "as the class"],
        /// What its regeneration burns; only for classes with a burner.
        fuel: Option<Fuel> [derived "as the class"],
        /// Heat in the regeneration air per gross heat of the fuel; only for classes with a burner.
        efficiency: Option<Fraction> [limit "heater efficiency"],
        /// Speed of the process air at the rotor's face.
        face_velocity: Option<Speed> [limit "face velocity"],
        /// Power of the process fan; it warms the dried air.
        process_fan_power: Option<Power> [limit "fan power"],
        /// Power of the regeneration fan and the rotor's motor.
        regeneration_fan_power: Option<Power> [limit "fan power"],
        /// Nameplate electrical power, for the check of the site's supply.
        electrical_power: Option<Power> [limit "electrical power"],
        /// It stops when the room is drier than this.
        humidistat: Option<Humidistat> [without "as the class" => ""],
    }
}

keys! {
    /// A heater: a class, whose values the other keys replace, or `kind` and `output`.
    Heater {
        /// A class of machine.
        class: Option<ClassOf<classes::Heater>>,
        /// What every machine has.
        ..shared: Shared,
        /// How its heat comes into the room.
        kind: Option<HeaterKind>,
        /// What it burns.
        fuel: Option<Fuel>,
        /// Rated output, per machine: electricity of an electric heater, heat to the air before ducts of an indirect-fired one, gross heat
        /// of the fuel of a burner without a flue.
        output: Option<Power> [limit "heater output"],
        /// Heat to the air per gross heat of the fuel; only for indirect-fired heaters.
        efficiency: Option<Fraction> [limit "heater efficiency"],
        /// Its own fan and pump, per machine; not for electric heaters, whose output it is in.
        electrical_power: Option<Power> [limit "electrical power"],
        /// Outside air it brings into the room; only for indirect-fired heaters (none if not given) and make-up air.
        air_flow: Option<AirFlow> [limit "machine air flow", label "outside air"],
        /// Share of the heat that ducts outside lose; only for indirect-fired heaters.
        duct_loss: Option<Fraction> [limit "duct loss"],
        /// Hottest air it blows out; only for make-up air.
        highest_discharge: Option<Temperature> [limit "discharge temperature"],
        /// When it heats.
        thermostat: Option<Thermostat> [without "as the class" => ""],
    }
}

keys! {
    /// A fan over the floor: a class, whose values the other keys replace, or `floor_air_speed` and `power`.
    Fan {
        /// A class of machine.
        class: Option<ClassOf<fan::Fan>>,
        /// What every machine has.
        ..shared: Shared,
        /// Mean air speed over the floor with all of them running.
        floor_air_speed: Option<Speed> [limit "floor air speed"],
        /// Power of one fan.
        power: Option<Power> [limit "fan power"],
        /// True flow of one fan, in place of that of the class.
        air_flow: Option<AirFlow> [limit "fan air flow"],
        /// Area of its outlet, in place of that of the class.
        outlet_area: Option<Area> [limit "outlet area"],
    }
}

keys! {
    /// A fan or opening that exchanges room air for outside air. Its hours are those of its `rule`.
    OutsideAir {
        /// A class of machine.
        class: Option<ClassOf<OutsideAirExchange>>,
        /// What every machine has.
        ..shared: Shared,
        /// Flow of one fan or opening.
        air_flow: Option<AirFlow> [limit "fan air flow"],
        /// Flow of all of them as room volumes per hour.
        air_changes_per_hour: Option<f64> [limit "air changes per hour"],
        /// An opening through which wind and warmth drive the air, in place of a given flow.
        opening: Option<Opening>,
        /// When it runs.
        rule: Option<ExchangeRule> [without "only while the outside air is drier" => ""],
        /// By how much the outside air must be drier under the rule `only_while_drier`.
        drier_by: Option<HumidityRatio> [limit "drier by", label "drier by at least", derived "0 with that rule, as the class without a rule"],
        /// Power of one fan.
        fan_power: Option<Power> [limit "fan power", unless class, without "none" => "an opening"],
        /// Which way a fan moves the air.
        direction: Option<Direction> [derived "as the class, or out"],
    }
}

keys! {
    /// An opening, or several that work as one, through which wind and warmth drive the air.
    Opening {
        /// Free area; of the smaller of inlet and outlet if the air goes through.
        area: Area [limit "opening area"],
        /// Height of the opening, or between the middles of inlet and outlet.
        height: Length [limit "opening height"],
        /// Where the air goes.
        path: Option<Path> [label "air", default Path::OneSide => "in and out on one side"],
    }
}

/// When outside air is let in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ExchangeRule {
    /// All the time.
    Always,
    /// Only while the outside air holds less water than the room's.
    OnlyWhileDrier,
    /// In these hours of every day.
    Hours(Hours),
}

keys! {
    /// Holds a temperature.
    Thermostat {
        /// Middle of the band.
        setpoint: Temperature [limit "thermostat setting"],
        /// Difference between full output and none.
        band: Option<TemperatureDifference> [
            limit "thermostat band",
            default TemperatureDifference::of(2.0, "K") => "common practice, no published source"
        ],
    }
}

keys! {
    /// Holds a humidity. Give `setpoint` or `dew_point`, not both.
    #[schemars(extend("x-one-of" = ["setpoint", "dew_point"]))]
    Humidistat {
        /// Relative humidity in the middle of the band.
        setpoint: Option<RelativeHumidity> [limit "humidistat setting"],
        /// Difference between full output and none.
        band: Option<RelativeHumidity> [
            limit "humidistat band",
            with setpoint,
            default RelativeHumidity::of(5.0, "%") => "common practice, no published source"
        ],
        /// Dew point in the middle of the band.
        dew_point: Option<Temperature> [limit "humidistat dew point"],
        /// Difference of dew points between full output and none.
        dew_point_band: Option<TemperatureDifference> [
            limit "humidistat dew point band",
            label "band",
            with dew_point,
            default TemperatureDifference::of(2.0, "K") => "common practice, no published source"
        ],
        /// A second stage that joins at a higher humidity.
        second_stage: Option<SecondStage>,
    }
}

keys! {
    /// A second stage of a humidistat. Give `above` beside a `setpoint`, `dew_point_above` beside a `dew_point`.
    SecondStage {
        /// How far above the first setpoint its own lies.
        above: Option<RelativeHumidity> [limit "humidistat band"],
        /// The same for a dew point.
        dew_point_above: Option<TemperatureDifference> [limit "humidistat dew point band", label "above"],
        /// Share of the capacity that the first stage runs.
        first_share: Option<Fraction> [
            limit "share of the first stage",
            label "first stage",
            default Fraction::of(50.0, "%") => "two machines alike"
        ],
    }
}

/// The machine that an entry stands for: a class, with the values that are given put in place of its own.
impl Gear {
    /// One machine of the entry, in a room of this volume \[m3\].
    #[must_use]
    pub fn machine(&self, volume: f64) -> Machine {
        let (class, mut machine) = match self {
            Self::Dehumidifier(d) => dehumidifier(d),
            Self::Desiccant(d) => wheel(d),
            Self::Heater(h) => heater(h),
            Self::Fan(f) => blower(f),
            Self::OutsideAir(o) => outside_air(o, volume),
        };
        let shared = self.shared();
        if let (Some(hours), Some(control)) = (shared.hours, machine.control_mut()) {
            control.hours = Some(hours);
        }
        machine.set_supply(supply(&machine, &class, shared.supply.as_ref()));
        machine
    }
}

impl Opening {
    /// The opening as built.
    #[must_use]
    pub fn built(&self) -> opening::Opening {
        opening::Opening {
            area: self.area.si(),
            height: self.height.si(),
            path: self.path(),
        }
    }
}

/// What a machine plugs into. Where its power is no longer that of its class, the current follows.
fn supply(machine: &Machine, class: &Machine, given: Option<&MachineSupply>) -> Supply {
    let power = machine.rated_power();
    let mut plug = class.supply();
    if power != class.rated_power() {
        plug = classes::supply_at(power, &plug);
    }
    if let Some(given) = given {
        set(&mut plug.volts, given.voltage.map(|v| v.si()));
        set(&mut plug.phases, given.phases.map(|p| p.number()));
        if given.voltage.is_some() || given.phases.is_some() {
            plug = plug.with_power(power);
        }
        set(&mut plug.amperes, given.current.map(|a| a.si()));
    }
    plug
}

/// Puts what is given in place of what is there.
fn set<T>(place: &mut T, given: Option<T>) {
    if let Some(given) = given {
        *place = given;
    }
}

fn set_humidistat(control: &mut Control, humidistat: Option<&Humidistat>) {
    let Some(h) = humidistat else { return };
    let (setpoint, band) = match (h.dew_point, h.setpoint) {
        (Some(t), _) => (HumiditySetpoint::DewPoint(t.si()), h.dew_point_band().si()),
        (None, Some(r)) => (HumiditySetpoint::RelativeHumidity(r.si()), h.band().si()),
        // A fault in the scenario; the class's humidistat stays.
        (None, None) => return,
    };
    control.humidistat = Some(controls::Humidistat {
        setpoint,
        band,
        second_stage: h.second_stage.as_ref().map(|s| controls::SecondStage {
            offset: match setpoint {
                HumiditySetpoint::DewPoint(_) => s.dew_point_above.map_or(0.0, |t| t.si()),
                HumiditySetpoint::RelativeHumidity(_) => s.above.map_or(0.0, |r| r.si()),
            },
            first_share: s.first_share().si(),
        }),
    });
}

/// The class or what stands for it, and the machine as given; so do all that follow.
fn dehumidifier(d: &Dehumidifier) -> (Machine, Machine) {
    let class = d
        .class
        .map_or_else(classes::usual_refrigerant, |c| c.machine());
    let mut m = class;
    set(&mut m.map, d.curve);
    if d.capacity.is_some() || d.energy_factor.is_some() {
        let scale = d.capacity.map_or(1.0, |c| c.si() / m.rated_removal);
        let removal = d.capacity.map_or(m.rated_removal, |c| c.si());
        let factor = d.energy_factor.map_or(m.energy_factor, |e| e.si());
        m = m.rated_at(removal, factor, d.rating_condition().rating());
        m.air_flow *= scale;
    }
    set(&mut m.air_flow, d.air_flow.map(|f| f.si()));
    set(&mut m.lowest_inlet, d.lowest_inlet.map(|t| t.si()));
    set(&mut m.highest_inlet, d.highest_inlet.map(|t| t.si()));
    set(&mut m.defrost, d.defrost);
    set_humidistat(&mut m.control, d.humidistat.as_ref());
    (Machine::Refrigerant(class), Machine::Refrigerant(m))
}

fn wheel(d: &Desiccant) -> (Machine, Machine) {
    let class = d.class.machine();
    let mut m = class;
    if let Some(flow) = d.air_flow {
        let scale = flow.si() / m.process_flow;
        m.process_flow = flow.si();
        m.process_fan_power *= scale;
        m.regeneration_fan_power *= scale;
        m.rated_power *= scale;
    }
    set(&mut m.capacity_factor, d.capacity_factor.map(|f| f.si()));
    set(&mut m.face_velocity, d.face_velocity.map(|v| v.si()));
    set(
        &mut m.process_fan_power,
        d.process_fan_power.map(|p| p.si()),
    );
    set(
        &mut m.regeneration_fan_power,
        d.regeneration_fan_power.map(|p| p.si()),
    );
    set(&mut m.rated_power, d.electrical_power.map(|p| p.si()));
    set(&mut m.regeneration_air, d.regeneration_air);
    set(&mut m.process_air, d.process_air);
    if let RegenerationHeat::Burner { fuel, efficiency } = &mut m.regeneration_heat {
        set(fuel, d.fuel);
        set(efficiency, d.efficiency.map(|e| e.si()));
    }
    set_humidistat(&mut m.control, d.humidistat.as_ref());
    (Machine::Desiccant(class), Machine::Desiccant(m))
}

fn heater(h: &Heater) -> (Machine, Machine) {
    let class = h.class.map_or_else(
        || classes::usual_heater(h.kind.unwrap_or(HeaterKind::Electric)),
        |class| class.machine().0,
    );
    let mut machine = class;
    let output = h.output.map(|p| p.si());
    let electricity = h.electrical_power.map(|p| p.si());
    let outside_air = h.air_flow.map(|f| f.si());
    match &mut machine {
        Machine::IndirectFired(m) => {
            // A heater keeps its output when only its efficiency is another.
            let output = output.unwrap_or(m.fuel_power * m.efficiency);
            set(&mut m.fuel, h.fuel);
            set(&mut m.efficiency, h.efficiency.map(|e| e.si()));
            m.fuel_power = output / m.efficiency;
            set(&mut m.duct_loss, h.duct_loss.map(|l| l.si()));
            set(&mut m.electric_power, electricity);
            set(&mut m.outside_air_flow, outside_air);
        }
        Machine::DirectFired(m) => {
            set(&mut m.fuel, h.fuel);
            set(&mut m.fuel_power, output);
            set(&mut m.electric_power, electricity);
        }
        Machine::MakeUpAir(m) => {
            set(&mut m.fuel, h.fuel);
            set(&mut m.fuel_power, output);
            set(&mut m.electric_power, electricity);
            set(&mut m.outside_air_flow, outside_air);
            set(
                &mut m.highest_discharge,
                h.highest_discharge.map(|t| t.si()),
            );
        }
        Machine::Electric(m) => set(&mut m.power, output),
        // A class of heaters holds no other machine.
        _ => {}
    }
    if let (Some(t), Some(control)) = (&h.thermostat, machine.control_mut()) {
        control.thermostat = Some(controls::Thermostat {
            setpoint: t.setpoint.si(),
            band: t.band().si(),
        });
    }
    (class, machine)
}

fn blower(f: &Fan) -> (Machine, Machine) {
    let class = f.class.map_or_else(classes::usual_fan, |c| c.machine());
    let mut m = class;
    if let FloorSpeed::Jet { flow, outlet_area } = &mut m.floor_speed {
        set(flow, f.air_flow.map(|a| a.si()));
        set(outlet_area, f.outlet_area.map(|a| a.si()));
    }
    if let Some(speed) = f.floor_air_speed {
        m.floor_speed = FloorSpeed::Given(speed.si());
    }
    set(&mut m.power, f.power.map(|p| p.si()));
    (Machine::Fan(class), Machine::Fan(m))
}

fn outside_air(o: &OutsideAir, volume: f64) -> (Machine, Machine) {
    let class = o
        .class
        .map_or_else(classes::usual_openings, |c| c.machine());
    let mut m = class;
    if let Some(flow) = o.air_flow {
        m.flow = Flow::Given(flow.si());
    }
    if let Some(changes) = o.air_changes_per_hour {
        // The scenario gives the changes of all of them together.
        m.flow = Flow::Given(changes * volume / HOUR / f64::from(o.shared.count().max(1)));
    }
    if let Some(o) = &o.opening {
        m.flow = Flow::Opening(o.built());
    }
    set(&mut m.power, o.fan_power.map(|p| p.si()));
    set(&mut m.direction, o.direction);
    match o.rule {
        Some(ExchangeRule::Always) => m.rule = exchange::ExchangeRule::Always,
        Some(ExchangeRule::Hours(hours)) => m.rule = exchange::ExchangeRule::Hours(hours),
        Some(ExchangeRule::OnlyWhileDrier) => {
            m.rule = exchange::ExchangeRule::WhenOutsideDrier { margin: 0.0 };
        }
        None => {}
    }
    if let (Some(by), exchange::ExchangeRule::WhenOutsideDrier { margin }) =
        (o.drier_by, &mut m.rule)
    {
        *margin = by.si();
    }
    (
        Machine::OutsideAirExchange(class),
        Machine::OutsideAirExchange(m),
    )
}
