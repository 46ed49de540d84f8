//! Fuels and heaters.

use super::{HOUR, KILOWATT_HOUR, near, room, state};
use coatday::gear::classes::class;
use coatday::gear::controls::Control;
use coatday::gear::fuel::Fuel;
use coatday::gear::heater::MakeUpAir;
use coatday::gear::{Effect, Machine, Surroundings};

/// Stoichiometry from molar masses; printed digits of a derived table. Heating values from memory (common handbook values).
#[test]
fn analytic_combustion_water_and_carbon_dioxide() {
    // fuel, kg water/kg, kg CO2/kg, LHV/HHV, kg water per kWh gross, per kWh net, kg water per 100,000 Btu gross, kg CO2 per kWh gross
    let table = [
        (
            Fuel::Propane,
            1.634,
            2.994,
            0.921,
            0.1168,
            0.1269,
            3.42,
            0.214,
        ),
        (
            Fuel::NaturalGas,
            2.246,
            2.743,
            0.901,
            0.1457,
            0.1617,
            4.27,
            0.178,
        ),
        (
            Fuel::Kerosene,
            1.24,
            3.155,
            0.933,
            0.0968,
            0.1037,
            2.84,
            0.246,
        ),
        (Fuel::Diesel, 1.18, 3.17, 0.938, 0.0933, 0.0994, 2.74, 0.251),
    ];
    for (
        fuel,
        water,
        carbon_dioxide,
        net_share,
        per_gross,
        per_net,
        per_100k_btu,
        dioxide_per_gross,
    ) in table
    {
        near(
            fuel.properties().water,
            water,
            if water > 1.3 { 6e-4 } else { 6e-3 },
        );
        near(
            fuel.properties().carbon_dioxide,
            carbon_dioxide,
            if fuel == Fuel::Diesel { 6e-3 } else { 1e-3 },
        );
        near(fuel.net_share(), net_share, 6e-4);
        let found = fuel.water_per_gross_energy() * KILOWATT_HOUR;
        near(found, per_gross, 6e-5);
        near(found / fuel.net_share(), per_net, 7e-5);
        near(
            fuel.water_per_gross_energy() * 1e5 * 1055.056,
            per_100k_btu,
            6e-3,
        );
        near(
            fuel.carbon_dioxide_per_gross_energy() * KILOWATT_HOUR,
            dioxide_per_gross,
            6e-4,
        );
        assert_eq!(Fuel::from_name(fuel.name()), Some(fuel));
    }
}

/// Gross minus net is the latent heat of the water formed, 2.442 MJ/kg at 25 degC (handbook). The heats are rounded to 0.05 and 0.1 MJ/kg, so
/// their difference is known within 0.1 MJ/kg of fuel.
#[test]
fn analytic_combustion_latent_heat() {
    for fuel in Fuel::ALL {
        let properties = fuel.properties();
        near(
            properties.gross_heat - properties.net_heat,
            2.442e6 * properties.water,
            0.1e6,
        );
        // Enthalpy counted from liquid water leaves the net heat as warmth.
        let vapour = fuel.water_per_gross_energy();
        near(
            1.0 - vapour * 2.442e6,
            fuel.net_share(),
            0.1e6 / properties.gross_heat,
        );
    }
}

/// Heat per US gallon: 26.9, 39.3 and 40.4 kWh gross and 3140, 3800 and 3770 g of water (derived from the table's kg values and common
/// densities from memory); U.S. EIA's heats per gallon agree within 1 %.
#[test]
fn ref_fuel_units_sold() {
    for (fuel, kilowatt_hours, water) in [
        (Fuel::Propane, 26.9, 3140.0),
        (Fuel::Kerosene, 39.3, 3800.0),
        (Fuel::Diesel, 40.4, 3770.0),
    ] {
        let per_gallon = fuel.properties().gross_heat_per_unit * 3.785_412;
        near(
            per_gallon / KILOWATT_HOUR,
            kilowatt_hours,
            0.01 * kilowatt_hours,
        );
        near(
            1e3 * per_gallon * fuel.water_per_gross_energy(),
            water,
            0.01 * water,
        );
    }
    // Natural gas: 1.6 kg of water per m3.
    let gas = Fuel::NaturalGas;
    near(
        gas.properties().gross_heat_per_unit * gas.water_per_gross_energy(),
        1.6,
        0.05,
    );
}

/// Outside air that holds 5000 ppm (OSHA permissible limit) with 420 ppm outside: propane 26, natural gas 21, kerosene 29 m3/h per kW gross
/// (derived). At that rate the heater lifts the room's humidity ratio by 3.8, 5.7 and 2.8 g/kg.
#[test]
fn ref_carbon_dioxide_ventilation() {
    for (fuel, wanted, lift) in [
        (Fuel::Propane, 26.0, 3.8),
        (Fuel::NaturalGas, 21.0, 5.7),
        (Fuel::Kerosene, 29.0, 2.8),
    ] {
        let flow = fuel.carbon_dioxide_ventilation(0.005, 0.000_42);
        near(flow * HOUR * 1e3, wanted, 0.5);
        near(
            1e3 * fuel.water_per_gross_energy() / (1.2 * flow),
            lift,
            0.06,
        );
    }
    assert_eq!(
        Fuel::Propane.carbon_dioxide_ventilation(0.000_4, 0.000_42),
        f64::INFINITY
    );
}

fn make_up_air() -> MakeUpAir {
    match class("make_up_air_100kw") {
        Some(Machine::MakeUpAir(machine)) => MakeUpAir {
            control: Control::ALWAYS,
            electric_power: 0.0,
            ..machine
        },
        other => panic!("{other:?}"),
    }
}

/// Make-up air: propane adds 0.0355 g/kg per kelvin of rise (derived from 0.127 kg of water per kWh net), so 1.065 g/kg for 30 K.
#[test]
fn ref_make_up_air_humidity() {
    let effect = make_up_air().effect(&Surroundings {
        outside: state(-10.0, 0.8),
        ..room(15.0, 0.5)
    });
    let rise = effect.fuel * Fuel::Propane.net_share() / (effect.outside_air * 1006.0);
    let lift = 1e3 * effect.vapour / effect.outside_air;
    near(lift / rise, 0.0355, 5e-5);
    near(lift / rise * 30.0, 1.065, 1.5e-3);
}

#[test]
fn analytic_make_up_air_is_turned_down() {
    let machine = MakeUpAir {
        fuel_power: 1e6,
        ..make_up_air()
    };
    for outside in [-20.0, 10.0, 35.0] {
        let surroundings = Surroundings {
            outside: state(outside, 0.5),
            ..room(15.0, 0.5)
        };
        let effect = machine.effect(&surroundings);
        let discharge =
            outside + effect.fuel * Fuel::Propane.net_share() / (effect.outside_air * 1006.0);
        near(discharge, 71.0, 1e-9);
    }
    let hot = Surroundings {
        outside: state(75.0, 0.1),
        ..room(15.0, 0.5)
    };
    assert_eq!(machine.effect(&hot).fuel, 0.0);
}

#[test]
fn analytic_heater_effects() {
    let cold = room(5.0, 0.5);
    let effect = |name: &str| {
        class(name)
            .map(|machine| machine.effect(&cold))
            .expect("a class of this name exists")
    };
    let electric = effect("electric_3kw");
    assert_eq!(
        (electric.enthalpy, electric.electricity, electric.vapour),
        (3000.0, 3000.0, 0.0)
    );
    let direct = effect("direct_fired_30kw");
    assert_eq!((direct.enthalpy, direct.fuel), (30_150.0, 30_000.0));
    near(direct.vapour * HOUR, 30.0 * 0.1168, 2e-3);
    near(direct.carbon_dioxide * HOUR, 30.0 * 0.214, 0.02);
    let indirect = effect("indirect_fired_50kw");
    assert_eq!(
        (
            indirect.vapour,
            indirect.carbon_dioxide,
            indirect.outside_air
        ),
        (0.0, 0.0, 0.0)
    );
    near(indirect.enthalpy, 51_000.0 * 0.925, 1e-6);
    near(indirect.fuel, 62_500.0, 1e-6);
    // Warm enough: off.
    let off = class("direct_fired_30kw").map(|machine| machine.effect(&room(25.0, 0.5)));
    assert_eq!(off, Some(Effect::default()));
}
