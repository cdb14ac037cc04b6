//! What a page asks of a worked example: the calculator, what was typed, and the options, read from JSON.

use super::notation::as_typed;
use super::{LONGEST, TOO_LONG, error, message};
use crate::calculation::declare::Calculator;
use crate::calculation::inputs::{MOST_INPUTS, RawInputs};
use crate::calculators::registry::calculator;
use crate::card::CARD;
use crate::fitted;
use crate::page::worked::Show;
use crate::quantity::unit::Unit;
use crate::text::json::{Value, pairs_of};
use crate::words::phrases::Phrases;
use crate::working::record::System;

/// What a page asks for, besides the numbers.
pub(super) struct PageRequest {
    pub(super) name: String,
    pub(super) title: String,
    pub(super) system: System,
    pub(super) level: u8,
    pub(super) show: Show,
    /// Inputs that are open in the form; all where the page does not say.
    pub(super) first: Option<Vec<String>>,
    /// The result shown large; nothing for the calculator's own choice.
    pub(super) large: String,
    /// Parts of the answer that are unfolded; all where the page does not say.
    pub(super) unfolded: Option<Vec<String>>,
    /// Whether the page has the form already: a key changes the answer and the messages beside the fields.
    pub(super) formed: bool,
    /// Whether the page wants no more of the answer than results and cautions.
    pub(super) brief: bool,
    /// Units wanted for results, for `work_json`.
    pub(super) wanted: Vec<(String, Unit)>,
    /// Whether the bits of every number are wanted besides their 15 digits, for `work_json`.
    pub(super) bits: bool,
}

impl PageRequest {
    fn of(options: &Value) -> PageRequest {
        let text = |key: &str| options.get(key).text().unwrap_or_default().to_owned();
        let yes = |key: &str| matches!(options.get(key), Value::Bool(true));
        let wanted = pairs_of(options.get("wanted")).unwrap_or_default();
        PageRequest {
            name: text("name"),
            title: text("title"),
            system: System::from_id(&text("units")).unwrap_or_default(),
            level: options.get("level").whole().and_then(|level| u8::try_from(level).ok()).unwrap_or(3),
            show: Show::from_id(&text("show")).unwrap_or_default(),
            first: names(options.get("first")),
            large: text("large"),
            unfolded: names(options.get("unfolded")),
            formed: yes("formed"),
            brief: yes("brief"),
            wanted: wanted.into_iter().map(|(name, unit)| (name, Unit::parse(&unit).unwrap_or_default())).collect(),
            bits: yes("bits"),
        }
    }
}

const UNREADABLE: &str = "what was handed to the core is not the JSON it reads";

/// A list of texts.
fn names(value: &Value) -> Option<Vec<String>> {
    value.list()?.iter().map(|name| name.text().map(ToOwned::to_owned)).collect()
}

/// Reads a request: its calculator, its inputs in the notation of the core, its options.
///
/// # Errors
/// The line of an error that answers what cannot be read.
pub(super) fn read(
    id: &str,
    pairs: &str,
    options: &str,
    phrases: &Phrases,
) -> Result<(&'static Calculator, RawInputs, PageRequest), String> {
    let card = (fitted::is("card") && id == CARD.id).then_some(&CARD);
    let pairs = message(pairs, LONGEST)?.and_then(|pairs| pairs_of(&pairs));
    let options = message(options, LONGEST)?;
    let found = calculator(id).or(card).ok_or_else(|| match id.len() {
        ..100 => error(&["there is no calculator called ", id].concat()),
        _ => error("there is no such calculator"),
    })?;
    match (pairs, options.as_ref().map(PageRequest::of)) {
        (Some(pairs), _) if pairs.len() > MOST_INPUTS => Err(error(TOO_LONG)),
        (Some(pairs), Some(asked)) => Ok((found, as_typed(found, RawInputs(pairs), phrases), asked)),
        _ => Err(error(UNREADABLE)),
    }
}
