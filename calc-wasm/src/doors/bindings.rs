//! The door to the browser: text in, text out, no arithmetic.
#![allow(unsafe_code, reason = "the binding macros expand to it")]

use super::{cards, learning as learner, log as day, practice as steps, question, reading as gauges, work};
use crate::fitted as parts;
use crate::words::phrases::Phrases;
use std::cell::RefCell;
use wasm_bindgen::prelude::wasm_bindgen;

#[cfg(target_family = "wasm")]
#[global_allocator]
static HEAP: super::heap::Small<talc::wasm::WasmDynamicTalc> =
    super::heap::Small::over(talc::wasm::new_wasm_dynamic_allocator());

thread_local! {
    static PHRASES: RefCell<Phrases> = RefCell::new(Phrases::default());
}

/// What a door answers; where a part of the core was missed, that this is needed.
fn whole(reply: String) -> String {
    if parts::any_missed() { super::needs(&parts::missed()) } else { reply }
}

/// Takes the phrase catalog, as lines of `key<TAB>text`.
#[wasm_bindgen]
pub fn start(phrases: &str) {
    PHRASES.with(|kept| *kept.borrow_mut() = Phrases::from_lines(phrases));
}

/// A part of the core registers itself; until then the core knows nothing of what it declares.
#[wasm_bindgen]
pub fn fitted(part: &str) {
    parts::add(part);
}

/// Form and answer of a worked example; see [`work::fragment_reply`].
#[wasm_bindgen]
pub fn worked(calculator: &str, pairs: &str, options: &str) -> String {
    whole(PHRASES.with(|phrases| work::fragment_reply(calculator, pairs, options, &phrases.borrow())))
}

/// A problem worked, as data; see [`work::work_json`].
#[wasm_bindgen]
pub fn work_json(calculator: &str, pairs: &str, options: &str) -> String {
    whole(PHRASES.with(|phrases| work::work_json(calculator, pairs, options, &phrases.borrow())))
}

/// Inputs in the units of another system; see [`work::switch_units_json`].
#[wasm_bindgen]
pub fn switch_units(calculator: &str, pairs: &str, units: &str) -> String {
    whole(PHRASES.with(|phrases| work::switch_units_json(calculator, pairs, units, &phrases.borrow())))
}

/// The draw of a question that a seed leads to; see [`question::draw_at`].
#[wasm_bindgen]
pub fn draw_at(question: &str, seed: u32) -> u32 {
    question::draw_at(question, seed)
}

/// A question with the numbers of a draw, as HTML; see [`question::pose_json`].
#[wasm_bindgen]
pub fn pose(question: &str, draw: u32) -> String {
    whole(PHRASES.with(|phrases| question::pose_json(question, draw, &phrases.borrow())))
}

/// The verdict on an answer; see [`question::score_json`].
#[wasm_bindgen]
pub fn score(question: &str, draw: u32, answer: &str) -> String {
    whole(PHRASES.with(|phrases| question::score_json(question, draw, answer, &phrases.borrow())))
}

/// A request about saved calibration cards; see [`cards::cards_json`].
#[wasm_bindgen]
pub fn cards(request: &str) -> String {
    whole(PHRASES.with(|phrases| cards::cards_json(request, &phrases.borrow())))
}

/// A request of the learner's pages; see [`learner::learning_json`].
#[wasm_bindgen]
pub fn learning(request: &str) -> String {
    learner::learning_json(request)
}

/// A number question with choices made from the usual mistakes; see [`question::choices_json`].
#[wasm_bindgen]
pub fn choices(question: &str, draw: u32, seed: u32) -> String {
    whole(PHRASES.with(|phrases| question::choices_json(question, draw, seed, &phrases.borrow())))
}

/// A request for a problem's steps; see [`steps::practice_json`].
#[wasm_bindgen]
pub fn practice(request: &str) -> String {
    whole(PHRASES.with(|phrases| steps::practice_json(request, &phrases.borrow())))
}

/// A request of the reading practice; see [`gauges::reading_json`].
#[wasm_bindgen]
pub fn reading(request: &str) -> String {
    whole(PHRASES.with(|phrases| gauges::reading_json(request, &phrases.borrow())))
}

/// The day's log; see [`day::log_json`].
#[wasm_bindgen]
pub fn log(request: &str) -> String {
    whole(PHRASES.with(|phrases| day::log_json(request, &phrases.borrow())))
}
