//! Instructions of one core call, counted by valgrind's callgrind: a busy machine does not affect them.

use super::Programs;
use crate::run::{self, Failure};
use std::path::Path;
use std::process::{Command, Stdio};

/// What is counted of each calculator, in the order of `calc-wasm/examples/instructions.rs`, and the aim for a catch
/// test.
const CALLS: [(&str, u64); 4] = [("worked", 40_000), ("on a key", 350_000), ("whole", 0), ("question", 600_000)];
/// The function between whose first and last instruction is counted.
const COUNTED: &str = "instructions::counted";

/// Prints the instructions of every calculator's calls, or that valgrind is not installed.
pub(super) fn print(root: &Path, programs: &Programs, phrases: &Path, scratch: &Path) -> Result<(), Failure> {
    println!("\ninstructions of one core call");
    let found = Command::new("valgrind").arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
    if !found.is_ok_and(|status| status.success()) {
        println!("  not counted: valgrind is not installed (`apt install valgrind`)");
        return Ok(());
    }
    let dumps = scratch.join("callgrind");
    let names = run::output(
        Command::new("valgrind")
            .args(["--tool=callgrind", "--quiet", "--collect-atstart=no"])
            .arg(format!("--toggle-collect={COUNTED}"))
            .arg(format!("--dump-after={COUNTED}"))
            .arg(format!("--callgrind-out-file={}", dumps.display()))
            .arg(&programs.instructions)
            .arg(root.join("xtask/src/bench/calls.json"))
            .arg(phrases),
    )?;
    let heads = CALLS.map(|(name, _)| format!("{name:>10}")).concat();
    println!("  {:<18}{heads}", "calculator");
    let mut number = 0;
    for line in names.lines() {
        let name = line.split('\t').next().unwrap_or(line);
        let mut row = String::new();
        for _ in CALLS {
            number += 1;
            row.push_str(&format!("{:>10}", count(&dumps.with_extension(number.to_string()))?));
        }
        println!("  {name:<18}{row}");
    }
    let aims: Vec<String> =
        CALLS.iter().filter(|(_, aim)| *aim > 0).map(|(name, aim)| format!("{name} {aim}")).collect();
    println!("  aims for a catch test: {}", aims.join(", "));
    Ok(())
}

/// The total of one dump.
fn count(dump: &Path) -> Result<u64, Failure> {
    let text = std::fs::read_to_string(dump).map_err(run::about(dump))?;
    let total = text.lines().rev().find_map(|line| line.strip_prefix("totals:").or(line.strip_prefix("summary:")));
    total
        .and_then(|total| total.trim().parse().ok())
        .ok_or_else(|| Failure::new(format!("{} has no total", dump.display())))
}
