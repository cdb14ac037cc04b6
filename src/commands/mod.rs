//! The commands, one file each. Only these and `main` print.

pub mod publish;
pub mod work;
