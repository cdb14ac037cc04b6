//! Instructions of one core call, counted by valgrind's callgrind: a busy machine does not affect them.

use super::Programs;
use crate::run::{self, Failure};
use std::path::Path;
use std::process::{Command, Stdio};

/// What is counted of each calculator, in the order of `calc-wasm/examples/instructions.rs`, and the aim for a catch
/// test.
const CALLS: [(&str, u64); 5] =
    [("worked", 40_000), ("on a key", 350_000), ("rested", 350_000), ("whole", 0), ("question", 600_000)];
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
    let aims = CALLS.map(|(_, aim)| if aim > 0 { format!("{aim:>10}") } else { " ".repeat(10) }).concat();
    println!("  {:<18}{aims}", "aim");
    let (mut number, mut over) = (0, CALLS.map(|_| Vec::new()));
    for line in names.lines() {
        let name = line.split('\t').next().unwrap_or(line);
        let mut row = String::new();
        for ((_, aim), over) in CALLS.iter().zip(&mut over) {
            number += 1;
            let counted = count(&dumps.with_extension(number.to_string()))?;
            row.push_str(&format!("{counted:>10}"));
            if *aim > 0 && counted > *aim {
                over.push(name);
            }
        }
        println!("  {name:<18}{row}");
    }
    println!("  the aim for worked is that of a catch test");
    for ((name, aim), over) in CALLS.iter().zip(over).filter(|((_, aim), _)| *aim > 0) {
        println!("  over {aim} {name}: {}", if over.is_empty() { "none".to_owned() } else { over.join(", ") });
    }
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
