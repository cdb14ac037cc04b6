//! The generator: course files in, site out.
//!
//! Data moves one way. [`resolve`] reads the files of a course into a [`Course`](course::Course), in which every example
//! is worked, every question checked and every reference followed, and into all problems of all files. [`render`] turns
//! the course into pages, as paths and bytes in memory. Only then does anything reach the disk ([`write`]). Whatever
//! publishes, previews, proofs or packs a course uses these two functions.
//!
//! Nothing here prints; that is for `main` and `commands`.

pub mod catalogue;
pub mod colour;
pub mod commands;
pub mod course;
pub mod drawing;
pub mod embedded;
mod hex;
pub mod load;
pub mod markdown;
pub mod marking;
pub mod notation;
pub mod parallel;
pub mod preview;
pub mod problem;
pub mod progress;
pub mod proof;
pub mod publish;
pub mod site;
pub mod write;
pub mod yaml;

pub use course::{Resolved, resolve};
pub use site::{Site, render};
