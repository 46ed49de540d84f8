//! Other ways to coat a slab than to dry it to the limit of the planned coating.

use crate::scenario::keys::keys;
use crate::units::{Duration, MoneyPerArea, Permeance, RelativeHumidity};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One other way. What is not given is as usual for its kind; your prices and the data sheet come first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Alternative {
    /// Another floor system with a higher moisture limit.
    OtherCoating(Terms),
    /// A primer under the planned coating that stands more moisture.
    TolerantPrimer(Terms),
    /// A membrane-forming moisture mitigation layer under the planned coating (ASTM F3010).
    MitigationLayer(Terms),
    /// A finish that lets moisture pass.
    BreathableFinish(Terms),
    /// A dimpled sheet with a topping on it, over an old floor.
    SheetAndTopping(Terms),
}

keys! {
    /// What an alternative asks for and costs.
    #[derive(Default)]
    Terms {
        /// What to call it.
        name: Option<String>,
        /// Highest humidity at depth that it stands.
        limit: Option<RelativeHumidity> [limit "humidity limit in the slab", derived "as usual for its kind"],
        /// What it costs more than the planned coating alone, with its preparation.
        cost: Option<MoneyPerArea> [limit "price per area", derived "as usual for its kind"],
        /// The most that it may cost, where the cost is a range.
        cost_up_to: Option<MoneyPerArea> [limit "price per area"],
        /// Days of work that it adds before the coating.
        takes: Option<Duration> [limit "time of work", derived "as usual for its kind and the area"],
        /// The slab must be this old.
        least_age: Option<Duration> [limit "least age", derived "as usual for its kind"],
        /// What passes it.
        permeance: Option<Permeance> [limit "permeance of a layer", derived "as usual for its kind"],
    }
}

impl Alternative {
    /// What it asks for and costs.
    #[must_use]
    pub fn terms(&self) -> &Terms {
        match self {
            Self::OtherCoating(terms)
            | Self::TolerantPrimer(terms)
            | Self::MitigationLayer(terms)
            | Self::BreathableFinish(terms)
            | Self::SheetAndTopping(terms) => terms,
        }
    }
}
