//! The site of a resolved course: pages and assets, as paths and bytes in memory.

mod assets;
mod card;
mod colours;
mod fault;
mod formulas;
mod glossary;
mod learning;
mod lesson;
mod needs;
mod pages;
mod phrases;
mod pool;
mod quiz;
#[allow(clippy::module_inception, reason = "the room and what it makes have one name")]
mod site;
mod standing;
mod templates;
mod units;
mod work;

pub(crate) use assets::stylesheet;
pub use site::{Page, Site, render};
pub use templates::{note as template_note, stock as templates};
