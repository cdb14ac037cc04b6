//! A calculation: what a calculator declares, what a person typed, how that was read, and what was worked out from it.

pub mod any_quantity;
pub mod asking;
pub mod budget;
mod check;
pub mod declare;
pub mod drawing;
pub mod handles;
pub mod inputs;
pub mod label;
mod raw;
pub mod read_to;
pub mod switch;
pub mod worked;
