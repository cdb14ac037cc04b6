//! The site of a resolved course: pages and assets, as paths and bytes in memory.

mod assets;
mod card;
pub(crate) mod colours;
mod compact;
mod contents;
mod escape;
mod fault;
mod formulas;
mod frames;
mod glossary;
mod holes;
mod home;
mod icon;
mod learning;
mod lesson;
mod misused;
mod needs;
mod offline;
mod pages;
mod paths;
mod phrases;
mod placed;
mod pool;
mod quiz;
mod quoted;
mod ready;
mod scripts;
mod search;
#[allow(clippy::module_inception, reason = "the room and what it makes have one name")]
mod site;
mod spoken;
mod standing;
mod teaching;
mod templates;
mod turns;
mod unbroken;
mod units;
mod work;

pub use crate::load::stock_parts as templates;
pub(crate) use assets::stylesheet;
pub use offline::{Listed, MOST_KEPT, WORKER, Worker, worker};
pub use site::{Outgoing, Page, Site, render};
pub use templates::note as template_note;

/// Reads what every site needs of the stock, so that it is there when it is asked for.
pub fn read_ahead() {
    let _ = templates::stock();
}
