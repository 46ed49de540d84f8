//! Records of results, written so that each key stands once.

/// A struct that is written out as JSON, and how it is made: `of` takes the arguments in parentheses, names what stands behind `where`,
/// and each line gives a key, its type and its value. The keys are what programs read, in the order of the lines; they name what they
/// hold and its unit.
macro_rules! record {
    ($($(#[$doc:meta])* $name:ident ( $($argument:ident : $given:ty),* $(,)? )
        $(where [$($local:ident = $made:expr),* $(,)?])? {
        $($(#[$attribute:meta])* $key:ident : $type:ty = $value:expr),* $(,)?
    })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize)]
        #[allow(missing_docs)] // the keys say what they hold and in which unit
        pub struct $name {
            $($(#[$attribute])* pub $key: $type),*
        }

        impl $name {
            pub(crate) fn of($($argument: $given),*) -> Self {
                $($(let $local = $made;)*)?
                Self { $($key: $value),* }
            }
        }
    )+};
}
pub(super) use record;

/// A number for programs; none where it is none or endless.
pub(super) fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// An energy \[J\] in kilowatt hours.
pub(super) fn kwh(joules: f64) -> f64 {
    joules / crate::units::KWH
}
