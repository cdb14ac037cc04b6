//! The site from a resolved course: pages, assets, and their order on the disk.

mod assets;
mod card;
mod lesson;
mod pages;
mod publish;
mod quiz;

pub use publish::{Published, publish};
