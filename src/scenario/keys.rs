//! How a key of the scenario is described: once, in one place, and all else follows from it.
//!
//! ```text
//! keys! {
//!     /// What the object is.
//!     Slab {
//!         /// What the key means: its help.
//!         finish: Option<Finish> [limit "...", label "...", default Finish::SteelTrowelled => "why this"],
//!     }
//! }
//! ```
//! makes the type `Slab`, read and written by serde, and its JSON Schema. The schema carries every fact of a key, and whatever speaks of
//! keys walks over it: the check of a file ([`super::shape`]), the summary ([`super::summary`]) and the printed schema.
//!
//! | fact | meaning |
//! |---|---|
//! | `limit NAME` | the row of [`crate::units::ranges::LIMITS`] that bounds it |
//! | `least N`, `most N` | entries of a list |
//! | `label WORDS` | what people call it, where the key's own words will not do; for a list, one entry |
//! | `note WORDS` | what to know wherever it is given |
//! | `group WORDS` | the group of the form in which a key of the scenario stands ([`super::form`]) |
//! | `counted` | the summary says how many entries a list has, not which |
//! | `with KEY`, `unless KEY` | its default counts only beside another key, or only without it |
//! | `default VALUE => WHY` | taken where it is not given; the method of the key's name gives what counts, given or not |
//! | `derived WHY` | not given, it follows from other keys, as [`super::taken`] computes it |
//! | `without WORDS => WHY` | what it means to leave it out, where no value stands in |
//!
//! An object may be an `x-section`, which has lines of its own in the summary, and may have an `x-one-of`: two keys of which exactly one is given.
//!
//! `..name: Type` takes in the keys of another object. Its type then refuses no unknown keys; the check of the file does, with the place.

use schemars::JsonSchema;
use std::borrow::Cow;

/// Stands for a day of the calendar in the schema.
pub(crate) struct DateText;

impl JsonSchema for DateText {
    fn schema_name() -> Cow<'static, str> {
        "Date".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "x-date": true,
            "description": "A day, such as \"2026-11-02\" or \"Nov 2 2026\".",
            "pattern": "[0-9]{4}",
            "examples": ["2026-11-02"],
        })
    }
}

/// See the head of this file.
macro_rules! keys {
    ($(#[$head:meta])* $name:ident { $($body:tt)* }) => {
        keys!(@key [$(#[$head])*] $name [] [] [] [] $($body)*);
    };

    // No key is left.
    (@key [$($head:tt)*] $name:ident [$($fields:tt)*] [$($order:tt)*] [$($methods:tt)*] [$($why:tt)*]) => {
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[serde(deny_unknown_fields)]
        #[schemars(extend("x-order" = $name::keys()))]
        $($head)*
        pub struct $name { $($fields)* }

        #[allow(clippy::clone_on_copy, clippy::unnecessary_lazy_evaluations)]
        impl $name {
            $($methods)*

            /// Its keys in the order in which they are declared.
            pub(crate) fn keys() -> Vec<&'static str> {
                [$($order)*].concat()
            }

            /// Why a key has the default that it has; empty for keys without one.
            #[must_use]
            pub fn why(key: &str) -> &'static str {
                match key {
                    $($why)*
                    _ => "",
                }
            }
        }
    };

    // The next key: an object whose keys are taken in, a day or another type, each optional or not.
    (@key $head:tt $name:ident [$($fields:tt)*] [$($order:tt)*] $methods:tt $why:tt
        $(#[$doc:meta])* ..$key:ident: $type:ty, $($rest:tt)*) => {
        keys!(@key $head $name [$($fields)* $(#[$doc])* #[serde(flatten)] pub $key: $type,]
            [$($order)* &<$type>::keys() as &[&str],] $methods $why $($rest)*);
    };
    (@key $head:tt $name:ident [$($fields:tt)*] [$($order:tt)*] $methods:tt $why:tt
        $(#[$doc:meta])* $key:ident: Option<Date> $([$($facts:tt)*])?, $($rest:tt)*) => {
        keys!(@fact $head $name [$($fields)* $(#[$doc])* #[serde(skip_serializing_if = "Option::is_none")] #[schemars(with = "Option<crate::scenario::keys::DateText>")]]
            [pub $key: Option<Date>,] [$($order)* &[stringify!($key)] as &[&str],] $methods $why $key Date, [$($($facts)*)?] $($rest)*);
    };
    (@key $head:tt $name:ident [$($fields:tt)*] [$($order:tt)*] $methods:tt $why:tt
        $(#[$doc:meta])* $key:ident: Option<Vec<Date>> $([$($facts:tt)*])?, $($rest:tt)*) => {
        keys!(@fact $head $name [$($fields)* $(#[$doc])* #[serde(skip_serializing_if = "Option::is_none")] #[schemars(with = "Option<Vec<crate::scenario::keys::DateText>>")]]
            [pub $key: Option<Vec<Date>>,] [$($order)* &[stringify!($key)] as &[&str],] $methods $why $key Vec<Date>, [$($($facts)*)?] $($rest)*);
    };
    (@key $head:tt $name:ident [$($fields:tt)*] [$($order:tt)*] $methods:tt $why:tt
        $(#[$doc:meta])* $key:ident: Option<$type:ty> $([$($facts:tt)*])?, $($rest:tt)*) => {
        keys!(@fact $head $name [$($fields)* $(#[$doc])* #[serde(skip_serializing_if = "Option::is_none")]]
            [pub $key: Option<$type>,] [$($order)* &[stringify!($key)] as &[&str],] $methods $why $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@key $head:tt $name:ident [$($fields:tt)*] [$($order:tt)*] $methods:tt $why:tt
        $(#[$doc:meta])* $key:ident: Date $([$($facts:tt)*])?, $($rest:tt)*) => {
        keys!(@fact $head $name [$($fields)* $(#[$doc])* #[schemars(with = "crate::scenario::keys::DateText")]]
            [pub $key: Date,] [$($order)* &[stringify!($key)] as &[&str],] $methods $why $key Date, [$($($facts)*)?] $($rest)*);
    };
    (@key $head:tt $name:ident [$($fields:tt)*] [$($order:tt)*] $methods:tt $why:tt
        $(#[$doc:meta])* $key:ident: $type:ty $([$($facts:tt)*])?, $($rest:tt)*) => {
        keys!(@fact $head $name [$($fields)* $(#[$doc])*]
            [pub $key: $type,] [$($order)* &[stringify!($key)] as &[&str],] $methods $why $key $type, [$($($facts)*)?] $($rest)*);
    };

    // The facts of a key, one after the other.
    (@fact $head:tt $name:ident [$($fields:tt)*] [$($field:tt)*] $order:tt $methods:tt $why:tt $key:ident $type:ty, [] $($rest:tt)*) => {
        keys!(@key $head $name [$($fields)* $($field)*] $order $methods $why $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt [$($methods:tt)*] [$($whys:tt)*] $key:ident $type:ty,
        [default $value:expr => $why:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["default" = $value, "x-why" = $why] $head $name $fields $field $order
            [$($methods)*
                #[doc = concat!("`", stringify!($key), "` where it is given, else its default.")]
                #[must_use]
                pub fn $key(&self) -> $type { self.$key.clone().unwrap_or_else(|| $value) }
            ]
            [$($whys)* stringify!($key) => $why,] $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt [$($whys:tt)*] $key:ident $type:ty,
        [derived $why:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-why" = $why] $head $name $fields $field $order $methods
            [$($whys)* stringify!($key) => $why,] $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty,
        [without $words:literal => $why:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-without" = $words, "x-why" = $why] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [limit $limit:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-limit" = $limit] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [label $label:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-label" = $label] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [note $note:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-note" = $note] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [group $group:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-group" = $group] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [with $other:ident $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-with" = stringify!($other)] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [unless $other:ident $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-unless" = stringify!($other)] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [least $least:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["minItems" = $least] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [most $most:literal $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["maxItems" = $most] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };
    (@fact $head:tt $name:ident $fields:tt $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, [counted $(, $($facts:tt)*)?] $($rest:tt)*) => {
        keys!(@say ["x-counted" = true] $head $name $fields $field $order $methods $whys $key $type, [$($($facts)*)?] $($rest)*);
    };

    // A fact goes into the schema.
    (@say [$($fact:tt)*] $head:tt $name:ident [$($fields:tt)*] $field:tt $order:tt $methods:tt $whys:tt $key:ident $type:ty, $facts:tt $($rest:tt)*) => {
        keys!(@fact $head $name [$($fields)* #[schemars(extend($($fact)*))]] $field $order $methods $whys $key $type, $facts $($rest)*);
    };
}

/// Words that a key may have, each with its meaning and, where the word itself will not do, what people call it.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$meta:meta])* $word:ident $($label:literal)?,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$meta])* $(#[schemars(extend("x-label" = $label))])? $word,)* }
    };
}

pub(crate) use {keys, words};
