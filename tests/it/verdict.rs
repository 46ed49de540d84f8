//! What may be said of a floor: each rule of the verdict, and that every output says the same.

mod agreement;
mod cases;
mod evidence;
mod rules;
