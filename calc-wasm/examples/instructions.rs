//! The calls that `cargo xtask bench` counts the instructions of.
//!
//! `instructions CALLS PHRASES` makes five calls for each calculator in CALLS, each once to warm up and once inside
//! [`counted`]; run under valgrind's callgrind with `--toggle-collect` and `--dump-after` on that function, each leaves
//! a dump. It prints the calculators in the order of the dumps, five dumps each.

use std::hint::black_box;
use std::io::{Error, Result};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::doors::question::score_json;
use tankside_calc::doors::work::fragment_reply;
use tankside_calc::quantity::system::System;
use tankside_calc::question::Question;
use tankside_calc::text::json::{Value, pairs_of};
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;

/// As in the program itself.
#[global_allocator]
static HEAP: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// As a page asks in a key's own frame: results and cautions, and the form stays as it is.
const KEY: &str = r#"{"name":"measured","units":"us","title":"Measured","unfolded":[],"formed":true,"brief":true}"#;
/// As a page asks once typing rests: the whole answer, with nothing unfolded.
const RESTED: &str = r#"{"name":"measured","units":"us","title":"Measured","unfolded":[],"formed":true}"#;
/// As a page is published: everything.
const WHOLE: &str = r#"{"name":"measured","units":"us","title":"Measured"}"#;
/// No mistake makes an answer so much too large: every one of them is worked.
const FAR_OFF: f64 = 1.1713;

fn main() -> Result<()> {
    let mut words = std::env::args().skip(1);
    let (Some(calls), Some(phrases)) = (words.next(), words.next()) else {
        return Err(Error::other("instructions CALLS PHRASES"));
    };
    let phrases = Phrases::from_lines(&std::fs::read_to_string(phrases)?);
    let calls =
        Value::read(&std::fs::read_to_string(calls)?).ok_or_else(|| Error::other("the calls file is not JSON"))?;
    for call in calls.list().unwrap_or_default() {
        let id = call.get("calculator").text().unwrap_or_default();
        let of = |what: &str| Error::other(format!("{id}: {what}"));
        let own = calculator(id).ok_or_else(|| of("no such calculator"))?;
        let given = RawInputs(pairs_of(call.get("pairs")).ok_or_else(|| of("no inputs"))?);
        let (pairs, question) = (call.get("pairs").line(), call.get("question").line());
        let posed = Question::read(&question).and_then(|question| question.draw(0).ok());
        let posed = posed.ok_or_else(|| of("no question"))?;
        let answer = posed.si * FAR_OFF / posed.unit.size();
        let answer = Value::from(format!("{answer:.4} {}", posed.unit.plain())).line();
        if work(own, &given, System::Us).is_err() {
            return Err(of("its inputs are not taken"));
        }
        let verdict = score_json(&question, 0, &answer, &phrases);
        if *Value::read(&verdict).unwrap_or(Value::Null).get("right") != Value::Bool(false) {
            return Err(of(&format!("{answer} is not marked wrong: {verdict}")));
        }
        let mut length = 0;
        let mut calls: [&mut dyn FnMut(); 5] = [
            &mut || drop(black_box(work(own, black_box(&given), System::Us))),
            &mut || drop(black_box(fragment_reply(id, black_box(&pairs), KEY, &phrases))),
            &mut || length = fragment_reply(id, black_box(&pairs), RESTED, &phrases).len(),
            &mut || drop(black_box(fragment_reply(id, black_box(&pairs), WHOLE, &phrases))),
            &mut || drop(black_box(score_json(black_box(&question), 0, &answer, &phrases))),
        ];
        for call in &mut calls {
            call();
            counted(*call);
        }
        println!("{id}\t{length}");
    }
    Ok(())
}

#[inline(never)]
fn counted(call: &mut dyn FnMut()) {
    call();
    black_box(());
}
