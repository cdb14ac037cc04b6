//! The doors of the core: what comes in and leaves as JSON, and the bindings that a browser calls.

pub mod bindings;
pub mod cards;
pub mod learning;
pub mod log;
pub mod practice;
pub mod question;
pub mod reading;
pub mod uncertainty;
pub mod wire;
