//! Words: sentences by id from a phrase catalog, filled with quantities.

pub mod factors;
pub mod notation;
pub mod phrases;
mod replied;
pub mod say;
pub mod uncertainty;
