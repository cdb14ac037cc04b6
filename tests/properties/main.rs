//! What holds for every number inside the declared limits: units, reading, scaling, inverses, and that a recording is
//! what was computed. Numbers are drawn, the same on every machine.

#[path = "../drawn/mod.rs"]
mod drawn;

mod amounts;
mod inverses;
mod laws;
mod names;
mod noise;
mod recorded;
mod scaling;

use drawn::{Random, Reach, problem};
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::uncertainty::work;

/// Problems that are drawn for each thing that is claimed.
const EACH: u64 = 60;

/// Every problem drawn for a calculator that it accepts.
fn taken(calculator: &'static Calculator, reach: Reach, seed: u64) -> Vec<Worked> {
    let mut random = Random::new(seed);
    let mut all = Vec::new();
    for _ in 0..EACH * 40 {
        let (given, system) = problem(calculator, reach, &mut random);
        all.extend(work(calculator, &given, system));
        if all.len() as u64 >= EACH {
            break;
        }
    }
    assert!(all.len() as u64 >= EACH / 3, "{}: only {} of the problems drawn are taken", calculator.id, all.len());
    all
}
