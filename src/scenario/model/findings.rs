//! What was found on the walk, one type for each kind. The keys are the columns of the CSV form too.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Area, Length};

/// Something found on the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Finding {
    /// A crack.
    Crack(Crack),
    /// A broken area or a pit.
    Broken(Broken),
    /// A joint.
    Joint(Joint),
    /// A high spot.
    HighSpot(Spot),
    /// A low spot.
    LowSpot(Spot),
    /// A stain.
    Stain(Stain),
    /// An old coating, adhesive, sealer, wax or varnish.
    Coating(OldLayer),
    /// A sign of damp.
    Damp(Damp),
    /// A part that sounds hollow.
    Delamination(Delamination),
    /// Rust, on metal.
    Rust(Rust),
    /// Anything else.
    Note(Remark),
}

macro_rules! finding {
    ($(#[$doc:meta])* $name:ident { $($(#[$meta:meta])* $field:ident: $type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            /// The area in which it lies, by name.
            pub area: String,
            $($(#[$meta])* pub $field: $type,)*
            /// Where it lies on the plan, to the right. Give both `x` and `y`, or neither.
            #[schemars(extend("x-limit" = "position on the plan"))]
            #[serde(skip_serializing_if = "Option::is_none")]
            pub x: Option<Length>,
            /// Where it lies on the plan, upward.
            #[schemars(extend("x-limit" = "position on the plan"))]
            #[serde(skip_serializing_if = "Option::is_none")]
            pub y: Option<Length>,
            /// Anything worth remembering.
            #[serde(skip_serializing_if = "Option::is_none")]
            pub note: Option<String>,
        }
    };
}

finding! {
    /// A crack.
    Crack {
        /// Length along the crack.
        #[schemars(extend("x-limit" = "length of a finding"))]
        length: Length,
        /// Width at the surface.
        #[schemars(extend("x-limit" = "width of a finding"))]
        width: Length,
        /// Depth.
        #[schemars(extend("x-limit" = "depth of a finding"))]
        depth: Length,
        /// Whether it moves. Default: it does not.
        #[serde(skip_serializing_if = "Option::is_none")]
        state: Option<CrackState>,
    }
}

finding! {
    /// A broken area or a pit.
    Broken {
        /// Its size.
        #[schemars(extend("x-limit" = "size of a finding"))]
        size: Area,
        /// Mean depth after its edges are squared.
        #[schemars(extend("x-limit" = "depth of a finding"))]
        depth: Length,
        /// How many alike. Default 1.
        #[schemars(extend("x-limit" = "count of findings"))]
        #[serde(skip_serializing_if = "Option::is_none")]
        count: Option<u32>,
    }
}

finding! {
    /// A joint.
    Joint {
        /// Length along the joint.
        #[schemars(extend("x-limit" = "length of a finding"))]
        length: Length,
        /// Width of the gap.
        #[schemars(extend("x-limit" = "width of a finding"))]
        width: Length,
        /// Depth to be filled.
        #[schemars(extend("x-limit" = "depth of a finding"))]
        depth: Length,
        /// What kind of joint. Default: a control joint.
        #[serde(skip_serializing_if = "Option::is_none")]
        state: Option<JointState>,
    }
}

finding! {
    /// A high or low spot.
    Spot {
        /// Its size.
        #[schemars(extend("x-limit" = "size of a finding"))]
        size: Area,
        /// How far it lies above or below the floor at its middle.
        #[schemars(extend("x-limit" = "height of a spot"))]
        height: Length,
    }
}

finding! {
    /// A stain.
    Stain {
        /// Its size.
        #[schemars(extend("x-limit" = "size of a finding"))]
        size: Area,
        /// Of what. Default: unknown.
        #[serde(skip_serializing_if = "Option::is_none")]
        state: Option<StainState>,
    }
}

finding! {
    /// An old coating.
    OldLayer {
        /// Its size.
        #[schemars(extend("x-limit" = "size of a finding"))]
        size: Area,
        /// Of what. Default: unknown.
        #[serde(skip_serializing_if = "Option::is_none")]
        state: Option<CoatingState>,
    }
}

finding! {
    /// A sign of damp.
    Damp {
        /// Its size, if it can be told.
        #[schemars(extend("x-limit" = "size of a finding"))]
        #[serde(skip_serializing_if = "Option::is_none")]
        size: Option<Area>,
        /// What was seen. Default: a dark spot.
        #[serde(skip_serializing_if = "Option::is_none")]
        state: Option<DampState>,
    }
}

finding! {
    /// A part that sounds hollow and must come off.
    Delamination {
        /// Its size.
        #[schemars(extend("x-limit" = "size of a finding"))]
        size: Area,
        /// How deep the sound concrete lies. Default 1/2 in.
        #[schemars(extend("x-limit" = "depth of a finding"))]
        #[serde(skip_serializing_if = "Option::is_none")]
        depth: Option<Length>,
    }
}

finding! {
    /// Rust, on metal.
    Rust {
        /// Its size.
        #[schemars(extend("x-limit" = "size of a finding"))]
        size: Area,
        /// How far it goes. Default: on the surface.
        #[serde(skip_serializing_if = "Option::is_none")]
        state: Option<RustState>,
    }
}

/// Anything else.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// The area in which it lies, by name.
    pub area: String,
    /// What was found.
    pub note: String,
    /// Where it lies on the plan, to the right. Give both `x` and `y`, or neither.
    #[schemars(extend("x-limit" = "position on the plan"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub x: Option<Length>,
    /// Where it lies on the plan, upward.
    #[schemars(extend("x-limit" = "position on the plan"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub y: Option<Length>,
}

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$meta:meta])* $word:ident,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$meta])* $word,)* }
    };
}

words! {
    /// Whether a crack moves.
    CrackState {
        /// It does not.
        Still,
        /// It opens and closes.
        Moving,
        /// The structure is at work: a step, a spread, a load path.
        Structural,
    }
}

words! {
    /// What kind of joint.
    JointState {
        /// Sawn to steer cracks; its movement is small once the slab has dried.
        Control,
        /// Between two pours.
        Construction,
        /// It moves with temperature or load.
        Moving,
    }
}

words! {
    /// What made a stain.
    StainState {
        /// Oil.
        Oil,
        /// Grease.
        Grease,
        /// Rust from goods.
        Rust,
        /// Nobody knows.
        Unknown,
    }
}

words! {
    /// What an old layer is.
    CoatingState {
        /// Paint.
        Paint,
        /// A resin coating.
        Resin,
        /// Adhesive of an old covering.
        Adhesive,
        /// Sealer or curing compound.
        Sealer,
        /// Wax.
        Wax,
        /// Varnish.
        Varnish,
        /// Nobody knows.
        Unknown,
    }
}

words! {
    /// What a sign of damp looks like.
    DampState {
        /// A dark spot.
        DarkSpot,
        /// White salts.
        Salts,
        /// Standing water or drops.
        Water,
        /// A damp smell or mould.
        Mould,
    }
}

words! {
    /// How far rust goes.
    RustState {
        /// On the surface: it can be brushed off.
        Surface,
        /// Flakes and pits.
        Scaling,
        /// Holes, or weak to the touch.
        Through,
    }
}
