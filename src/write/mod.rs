//! Pages onto the disk: a site is replaced whole or not at all, and nothing that is not ours is ever removed.
//!
//! Pages come one by one as (path, bytes), from any number of threads, into a fresh folder next to the target
//! ([`Staging`]). Only when all of them are complete and on the disk do the two folders change places. What else the
//! target held besides our pages is carried over; what an interrupted run left is found and repaired by the next
//! ([`mend`]).

mod ahead;
mod behind;
mod error;
mod foreign;
mod growing;
mod manifest;
mod mend;
mod order;
mod out;
mod room;
mod staged;
pub mod stop;
mod survey;
mod swap;

pub use error::closing;
pub use manifest::{MARKER, Manifest};
pub use mend::{Mended, mend};
pub use order::{Order, Whose};
pub use staged::{Broken, Staging, Written, WrittenFile, is_stopped, look};
