//! The site from a resolved course: pages, assets, and their order on the disk.

mod assets;
mod card;
mod formulas;
mod glossary;
mod lesson;
mod needs;
mod pages;
mod publish;
mod quiz;
mod standing;
mod units;
mod work;

pub use publish::{Published, publish};
