//! The generator: course files in, site out.
//!
//! Data moves one way: files → course → site → disk. Nothing here prints; that is for `main` and `commands`.

pub mod catalogue;
pub mod commands;
pub mod course;
pub mod embedded;
pub mod load;
pub mod markdown;
pub mod problem;
pub mod site;
pub mod write;
