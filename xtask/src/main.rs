//! Chores of the project, each `cargo xtask VERB`. CI runs only what a developer can run.

mod bench;
mod beside;
mod fuzz;
mod learners;
mod parts;
mod provide;
mod run;
mod sources;
mod stages;
mod table;
mod wasm;

use run::Failure;
use std::path::PathBuf;
use std::process::ExitCode;

const USAGE: &str = "\
chores of the project:
  cargo xtask test           set the machine up and run every test and check
  cargo xtask outside        hold units and uncertainty against other people's tables and libraries
  cargo xtask bench [STAGE ...]
                             measure publish, preview, mark, calls, keys, sizes; all of them unless some are named
  cargo xtask fuzz [TARGET ...] [--seconds N]
                             search for texts that are not borne: quantity, door, course
  cargo xtask learners       hold the drill against blocked practice, with made-up learners
  cargo xtask wasm           build the core's WebAssembly and keep it in calc-wasm/pkg
  cargo xtask wasm --check   build it elsewhere and compare it with calc-wasm/pkg
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let root = root();
    let done = match arguments.as_slice() {
        ["bench", stages @ ..] => bench::bench(&root, stages),
        [bench::measure::CHORE, program @ ..] => bench::measure::inner(program),
        ["fuzz", words @ ..] => fuzz::fuzz(&root, words),
        ["learners"] => {
            learners::learners();
            Ok(())
        }
        ["test"] => stages::run_all(&root),
        ["outside"] => stages::run_outside(&root),
        ["wasm"] => wasm::keep(&root),
        ["wasm", "--check"] => wasm::check(&root),
        [] | ["--help" | "help"] => {
            print!("{USAGE}");
            Ok(())
        }
        other => Err(Failure::new(format!("there is no chore `{}`\n{USAGE}", other.join(" ")))),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("error: {failure}");
            ExitCode::FAILURE
        }
    }
}

/// The root of the workspace: the folder above this package.
fn root() -> PathBuf {
    // Cargo says where the package is when it starts the chore; the place it was built at is the next best.
    let here =
        std::env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    here.parent().unwrap_or(&here).to_path_buf()
}
