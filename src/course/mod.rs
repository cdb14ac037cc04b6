//! The course resolved: every example worked, every question checked, every reference followed.

pub(crate) mod ahead;
mod banks;
mod drafts;
mod examples;
mod figures;
mod follow;
mod lessons;
pub(crate) mod limits;
pub mod offered;
mod packed;
mod ranges;
mod resolve;
mod silent;
mod slips;
mod stock_bank;
mod taught;
mod topics;
mod units;
mod unusable;
mod whole;
mod words;

pub(crate) use banks::read_pass;
pub use banks::{ReadyBank, need_of, ready_banks};
pub use examples::{Example, ReadyLesson};
pub use resolve::{resolve, resolve_again, resolve_for, resolve_for_pages};
pub(crate) use slips::{input_help, meant, without_knock_ons};
pub(crate) use taught::{lessons_by_calculator, placed, practiced};
pub(crate) use topics::of_calculator as topic_of_calculator;
pub use topics::topic_of;
pub(crate) use units::{amount_meant, unit_meant};
pub use whole::{Course, Readers, Resolved};
