//! The doors of the core: what comes in and leaves as JSON, markup after it, and the bindings that a browser calls.

use crate::text::json::{Value, map};

pub mod bindings;
pub mod cards;
pub mod heap;
pub mod learning;
pub mod log;
pub mod notation;
pub mod practice;
pub mod question;
pub mod reading;
mod request;
pub mod uncertainty;
pub mod wire;
pub mod work;

/// The longest text that a page hands over with a form or a question, in bytes. The largest form, each row of it filled
/// to the last letter, is a tenth of that.
pub const LONGEST: usize = 1_000_000;
/// The longest text of what a browser keeps or a file brings, in bytes: browsers keep five million letters for a site,
/// and a letter may have three bytes.
pub const LONGEST_KEPT: usize = 16_000_000;
/// The answer to a longer text.
const TOO_LONG: &str = "what was handed to the core is longer than anything that it reads";

/// Reads a message of at most `most` bytes; a longer one is refused unread, so that none can freeze a page.
fn message(text: &str, most: usize) -> Result<Option<Value>, String> {
    if text.len() > most { Err(error(TOO_LONG)) } else { Ok(Value::read(text)) }
}

/// An object that names the parts of the core without which there is no answer.
fn needs(parts: &[&str]) -> String {
    map(vec![("needs", Value::List(parts.iter().map(|part| Value::from(*part)).collect()))]).line()
}

/// An object that says what went wrong; only a developer sees it.
pub(crate) fn error(text: &str) -> String {
    map(vec![("error", Value::from(text))]).line()
}
