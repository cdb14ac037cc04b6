//! Quantities in label units: what a unit is worth, what may be measured in it, how a person writes and reads one.

mod compound;
pub mod exact;
pub mod kind;
pub mod kinds;
pub mod measured;
pub mod order;
pub mod reply;
mod spelling;
pub mod system;
mod tokens;
pub mod typed;
pub mod unit;
pub mod units;
pub mod usual;
pub mod written;
