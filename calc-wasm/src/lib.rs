//! The calculation core of tankside: quantities in label units, calculators that keep their working, questions and
//! their marking, and the rendering of a worked example.
//!
//! The rooms are in order: each uses only those named before it (`tests/rooms.rs` reads the `use` lines).
//!
//! ```text
//! fitted → text → quantity → working → calculation → calculators → uncertainty → mistakes → card → words → question →
//! reading → learning → page → doors
//! ```
//!
//! Nothing here knows a file, a clock, a thread or a language: sentences come from a phrase catalog handed in.
#![warn(missing_docs)]

pub mod calculation;
pub mod calculators;
pub mod card;
pub mod doors;
pub mod fitted;
pub mod learning;
pub mod mistakes;
pub mod page;
pub mod quantity;
pub mod question;
pub mod reading;
pub mod text;
pub mod uncertainty;
pub mod words;
pub mod working;
