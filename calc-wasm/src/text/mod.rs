//! Text below everything else: digits, searching and joining, escaping for HTML, and JSON.

pub mod escape;
pub mod figures;
pub mod fixed_hash;
pub mod json;
pub mod texts;
