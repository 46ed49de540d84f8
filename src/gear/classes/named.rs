//! A class by its name, for scenarios: a name that the catalogue does not know for the kind of machine cannot be held.

use super::super::Machine;
use super::super::desiccant::Desiccant;
use super::super::exchange::OutsideAirExchange;
use super::super::fan::Fan;
use super::super::refrigerant::Refrigerant;
use super::{Class, catalogue};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;

/// A kind of machine that the catalogue has classes of.
pub trait Catalogued: Copy {
    /// What the kind is called in a schema.
    const NAME: &'static str;

    /// The machine, if it is of this kind.
    fn of(machine: Machine) -> Option<Self>;
}

macro_rules! catalogued {
    ($($kind:ident $variant:ident,)+) => {$(
        impl Catalogued for $kind {
            const NAME: &'static str = stringify!($kind);

            fn of(machine: Machine) -> Option<Self> {
                match machine {
                    Machine::$variant(machine) => Some(machine),
                    _ => None,
                }
            }
        }
    )+};
}

catalogued! {
    Refrigerant Refrigerant,
    Desiccant Desiccant,
    Fan Fan,
    OutsideAirExchange OutsideAirExchange,
}

/// A heater of any kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heater(pub Machine);

impl Catalogued for Heater {
    const NAME: &'static str = "Heater";

    fn of(machine: Machine) -> Option<Self> {
        machine.is_heater().then_some(Self(machine))
    }
}

/// A class of machines of one kind.
#[derive(Clone, Copy)]
pub struct ClassOf<M> {
    name: &'static str,
    machine: M,
}

impl<M: Catalogued> ClassOf<M> {
    /// Every class of the kind.
    pub fn all() -> impl Iterator<Item = Self> {
        catalogue().filter_map(|class| Self::from_class(&class))
    }

    /// The class of this name, if it is one of the kind.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::all().find(|class| class.name == name)
    }

    fn from_class(class: &Class) -> Option<Self> {
        let machine = M::of(class.machine)?;
        Some(Self {
            name: class.name,
            machine,
        })
    }

    /// Its name in scenarios.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The machine.
    #[must_use]
    pub fn machine(&self) -> M {
        self.machine
    }
}

/// Classes are the same if their names are.
impl<M> PartialEq for ClassOf<M> {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl<M> fmt::Debug for ClassOf<M> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}

impl<M> Serialize for ClassOf<M> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name)
    }
}

impl<'de, M: Catalogued> Deserialize<'de> for ClassOf<M> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let name = Cow::<str>::deserialize(deserializer)?;
        Self::named(&name).ok_or_else(|| {
            serde::de::Error::custom(format!("\"{name}\" is not a known class of machine"))
        })
    }
}

impl<M: Catalogued> JsonSchema for ClassOf<M> {
    fn schema_name() -> Cow<'static, str> {
        format!("{}Class", M::NAME).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let names: Vec<&str> = Self::all().map(|class| class.name).collect();
        json_schema!({
            "type": "string",
            "description": "A class of the catalogue.",
            "enum": names,
            "x-class": true,
        })
    }
}
