//! Prints every unit the core knows, and every product of them that a form offers, with its size in SI base units:
//!   cargo run --package xtask --example units_table
//! A line is `symbol<TAB>size<TAB>fraction`: the size as it is computed with, and as the exact fraction it is defined
//! by; a product has no fraction. `tests/outside` checks both against independent tables.

use std::collections::BTreeSet;
use std::io::{self, Write};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::units::ATOMS;

fn main() -> io::Result<()> {
    let mut out = io::stdout().lock();
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for atom in &ATOMS {
        seen.insert(atom.symbol.to_owned());
        let size = atom.size;
        writeln!(out, "{}\t{:e}\t{}/{}", atom.symbol, size.value(), size.top, size.bottom)?;
    }
    for kind in Kind::ALL {
        let (us, metric) = kind.offered();
        for unit in us.iter().chain(metric) {
            if seen.insert(unit.plain()) {
                writeln!(out, "{}\t{:e}\t", unit.plain(), unit.size())?;
            }
        }
    }
    Ok(())
}
