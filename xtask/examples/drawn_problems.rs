//! Draws problems for every calculator, turns every unit into every other of its kind, and says what the native core
//! answers, for the test that the WebAssembly answers the same:
//!
//! `drawn_problems PHRASES EACH` prints a line for each call: its name, its texts and the answer, as a JSON list.

#[path = "../../tests/drawn/mod.rs"]
mod drawn;

use drawn::{Random, Reach, every_unit, problem, written};
use std::collections::BTreeSet;
use std::io::{BufWriter, Error, Result, Write};
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::doors::work::{fragment_reply, switch_units_json, work_json};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::unit_text;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

const CONVERSION: &str = "unit-conversion";

fn main() -> Result<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [place, each] = words.as_slice() else { return Err(Error::other("drawn_problems PHRASES EACH")) };
    let phrases = Phrases::from_lines(&std::fs::read_to_string(place)?);
    let each: usize = each.parse().map_err(Error::other)?;
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut tell = |call: &[&str], answer: String| {
        let line: Vec<&str> = call.iter().copied().chain([answer.as_str()]).collect();
        writeln!(out, "{}", serde_json::to_string(&line)?)
    };
    for calculator in CALCULATORS {
        let mut random = Random::new(31);
        for index in 0..each {
            let reach = [Reach::Plausible, Reach::Hard, Reach::Plausible, Reach::Borders][index % 4];
            let (given, system) = drawn_problem(calculator, reach, &mut random);
            let (id, units) = (calculator.id, system.id());
            let pairs = serde_json::to_string(&given.0)?;
            let options = format!(r#"{{"name":"drawn","title":"Drawn <{index}>","units":"{units}","level":3}}"#);
            let exact = format!(r#"{{"units":"{units}","bits":true}}"#);
            tell(&["work_json", id, &pairs, &exact], work_json(id, &pairs, &exact, &phrases))?;
            // The whole page is large, and repeats the same numbers.
            if index % 4 == 0 {
                tell(&["worked", id, &pairs, &options], fragment_reply(id, &pairs, &options, &phrases))?;
                tell(&["switch_units", id, &pairs, "metric"], switch_units_json(id, &pairs, "metric", &phrases))?;
            }
        }
    }
    // Every unit in every other of its kind.
    let mut seen = BTreeSet::new();
    let all: Vec<Unit> = every_unit().into_iter().filter(|unit| seen.insert(unit.plain())).collect();
    for (from, to) in all.iter().flat_map(|from| all.iter().map(move |to| (from, to))) {
        if from.dim() == to.dim() {
            let (amount, wanted) = (written(1.0, from, Kind::Any), unit_text(to, Kind::Any));
            let pairs = serde_json::to_string(&[("amount", amount), ("to", wanted)])?;
            let exact = r#"{"units":"us","bits":true}"#;
            tell(&["work_json", CONVERSION, &pairs, exact], work_json(CONVERSION, &pairs, exact, &phrases))?;
        }
    }
    out.flush()
}

/// A problem; if its numbers are usual ones, one that the calculator accepts, if one is drawn soon enough.
fn drawn_problem(calculator: &'static Calculator, reach: Reach, random: &mut Random) -> (RawInputs, System) {
    let mut drawn = problem(calculator, reach, random);
    for _ in 0..60 {
        if reach != Reach::Plausible || work(calculator, &drawn.0, drawn.1).is_ok() {
            break;
        }
        drawn = problem(calculator, reach, random);
    }
    drawn
}
