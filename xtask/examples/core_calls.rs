//! Times the core natively, for `cargo xtask bench`.
//!
//! `core_calls PHRASES` prints `calculator<TAB>microseconds` for each call; the same calls are timed
//! through WebAssembly by `tests/browser/core_calls.mjs`.

use serde_json::Value;
use std::hint::black_box;
use std::io::{Error, Result};
use std::time::{Duration, Instant};
use tankside_calc::doors::work::fragment_reply;
use tankside_calc::words::phrases::Phrases;

const MEASURED_FOR: Duration = Duration::from_millis(600);
/// Calls in a round.
const ROUND: u32 = 20;
const OPTIONS: &str = r#"{"name":"measured","units":"us","title":"Measured"}"#;

fn main() -> Result<()> {
    let place = std::env::args().nth(1).ok_or_else(|| Error::other("core_calls PHRASES"))?;
    let phrases = Phrases::from_lines(&std::fs::read_to_string(place)?);
    let calls: Vec<Value> = serde_json::from_str(include_str!("../src/bench/calls.json"))?;
    for call in &calls {
        let calculator = call["calculator"].as_str().unwrap_or_default();
        let pairs = call["pairs"].to_string();
        let work = || fragment_reply(calculator, black_box(&pairs), OPTIONS, &phrases);
        let reply = work();
        let answer: Value = serde_json::from_str(reply.split('\0').next().unwrap_or_default())?;
        if answer["errors"].as_object().is_none_or(|errors| !errors.is_empty()) {
            return Err(Error::other(format!("{calculator} does not take its numbers: {}", answer["errors"])));
        }
        println!("{calculator}\t{:.3}", repeat(work));
    }
    Ok(())
}

/// Microseconds per call: the best of many short rounds, which another program of a busy machine does not reach into.
fn repeat(work: impl Fn() -> String) -> f64 {
    let begun = Instant::now();
    let mut best = f64::INFINITY;
    while begun.elapsed() < MEASURED_FOR {
        let round = Instant::now();
        for _ in 0..ROUND {
            black_box(work());
        }
        best = best.min(round.elapsed().as_secs_f64() * 1e6 / f64::from(ROUND));
    }
    best
}
