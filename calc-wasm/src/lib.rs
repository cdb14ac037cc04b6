//! The calculation core of tankside: quantities in label units, calculators that keep their working, questions and
//! their marking, and the rendering of a worked example.
//!
//! Nothing here knows a file, a clock, a thread or a language: sentences come from a phrase catalogue handed in.
#![warn(missing_docs)]

pub mod bindings;
pub mod calculators;
mod cancel;
pub mod card;
pub mod declare;
pub mod departure;
pub mod drawing;
pub mod escape;
pub mod exact;
pub mod factors;
pub mod figures;
pub mod fragment;
pub mod given;
pub mod json;
pub mod kind;
pub mod known;
pub mod label;
pub mod measured;
pub mod mistakes;
mod parts;
pub mod phrases;
pub mod question;
pub mod record;
pub mod registry;
pub mod reply;
pub mod say;
mod spelling;
pub mod switch;
pub mod texts;
mod tokens;
pub mod traced;
pub mod typed;
pub mod uncertainty;
pub mod unit;
pub mod units;
pub mod wire;
pub mod worked;
pub mod working;
