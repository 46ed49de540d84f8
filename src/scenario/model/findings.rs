//! What was found on the walk, one type for each kind. The keys are the columns of the CSV form too.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::scenario::keys::{keys, words};
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
    ($(#[$doc:meta])* $name:ident { $($body:tt)* }) => {
        keys! {
            $(#[$doc])*
            $name {
                /// The area in which it lies, by name.
                area: String,
                $($body)*
                /// Where it lies on the plan, to the right. Give both `x` and `y`, or neither.
                x: Option<Length> [limit "position on the plan"],
                /// Where it lies on the plan, upward.
                y: Option<Length> [limit "position on the plan"],
                /// Anything worth remembering.
                note: Option<String>,
            }
        }
    };
}

finding! {
    /// A crack.
    Crack {
        /// Length along the crack.
        length: Length [limit "length of a finding"],
        /// Width at the surface.
        width: Length [limit "width of a finding"],
        /// Depth.
        depth: Length [limit "depth of a finding"],
        /// Whether it moves.
        state: Option<CrackState> [default CrackState::Still => "usual"],
    }
}

finding! {
    /// A broken area or a pit.
    Broken {
        /// Its size.
        size: Area [limit "size of a finding"],
        /// Mean depth after its edges are squared.
        depth: Length [limit "depth of a finding"],
        /// How many alike.
        count: Option<u32> [limit "count of findings", default 1 => "one line, one finding"],
    }
}

finding! {
    /// A joint.
    Joint {
        /// Length along the joint.
        length: Length [limit "length of a finding"],
        /// Width of the gap.
        width: Length [limit "width of a finding"],
        /// Depth to be filled.
        depth: Length [limit "depth of a finding"],
        /// What kind of joint.
        state: Option<JointState> [default JointState::Control => "usual"],
    }
}

finding! {
    /// A high or low spot.
    Spot {
        /// Its size.
        size: Area [limit "size of a finding"],
        /// How far it lies above or below the floor at its middle.
        height: Length [limit "height of a spot"],
    }
}

finding! {
    /// A stain.
    Stain {
        /// Its size.
        size: Area [limit "size of a finding"],
        /// Of what.
        state: Option<StainState> [default StainState::Unknown => "usual"],
    }
}

finding! {
    /// An old coating.
    OldLayer {
        /// Its size.
        size: Area [limit "size of a finding"],
        /// Of what.
        state: Option<CoatingState> [default CoatingState::Unknown => "usual"],
    }
}

finding! {
    /// A sign of damp.
    Damp {
        /// Its size, if it can be told.
        size: Option<Area> [limit "size of a finding"],
        /// What was seen.
        state: Option<DampState> [default DampState::DarkSpot => "usual"],
    }
}

finding! {
    /// A part that sounds hollow and must come off.
    Delamination {
        /// Its size.
        size: Area [limit "size of a finding"],
        /// How deep the sound concrete lies. Default 1/2 in.
        ///
        depth: Option<Length> [limit "depth of a finding", default Length::of(0.5, "in") => "half an inch (common practice, no published source)"],
    }
}

finding! {
    /// Rust, on metal.
    Rust {
        /// Its size.
        size: Area [limit "size of a finding"],
        /// How far it goes.
        state: Option<RustState> [default RustState::Surface => "usual"],
    }
}

keys! {
    /// Anything else.
    Remark {
        /// The area in which it lies, by name.
        area: String,
        /// What was found.
        note: String,
        /// Where it lies on the plan, to the right. Give both `x` and `y`, or neither.
        x: Option<Length> [limit "position on the plan"],
        /// Where it lies on the plan, upward.
        y: Option<Length> [limit "position on the plan"],
    }
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
        /// Saw-cut to steer cracks. It moves little once the slab has dried.
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
        /// A damp smell or mold.
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
