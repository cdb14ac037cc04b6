//! `cargo xtask fuzz`: a coverage-guided search for texts that the core or the loaders cannot handle.
//!
//! The targets are a package of their own in `tests/fuzz`, instrumented with what the stable compiler has. What a run
//! learns stays in the target folder and is where the next run begins; a finding is fixed with a named test.

use crate::run::{self, Failure};
use crate::wasm;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Every target, with the longest text worth trying.
pub(crate) const TARGETS: [(&str, usize); 3] = [("quantity", 96), ("door", 4096), ("course", 4096)];

/// How long `cargo xtask test` gives each target, which shares the processors with other stages there.
pub(crate) const SECONDS_IN_TESTS: u32 = 15;
const SECONDS: u32 = 60;
/// Lines of a finding that are shown: the panic and how to reproduce it.
const SHOWN: usize = 60;

/// What libFuzzer needs to see of a run: which edges were taken, and what was compared with what.
const COVERAGE: [&str; 5] = [
    "-Cpasses=sancov-module",
    "-Cllvm-args=-sanitizer-coverage-level=4",
    "-Cllvm-args=-sanitizer-coverage-inline-8bit-counters",
    "-Cllvm-args=-sanitizer-coverage-pc-table",
    "-Cllvm-args=-sanitizer-coverage-trace-compares",
];

/// Runs the targets named in `words`, or all, as long as `--seconds` says.
pub(crate) fn fuzz(root: &Path, words: &[&str]) -> Result<(), Failure> {
    let mut seconds = SECONDS;
    let mut targets = Vec::new();
    let mut words = words.iter();
    while let Some(word) = words.next() {
        if *word == "--seconds" {
            let number = words.next().and_then(|text| text.parse().ok()).filter(|seconds| *seconds > 0);
            seconds = number.ok_or_else(|| Failure::new("write --seconds and a whole number above 0"))?;
        } else {
            targets.push(target(word)?);
        }
    }
    if targets.is_empty() {
        targets.extend(TARGETS);
    }
    let programs = build(root)?;
    for (name, longest) in targets {
        search(root, &programs, name, longest, seconds)?;
    }
    Ok(())
}

fn target(name: &str) -> Result<(&'static str, usize), Failure> {
    TARGETS.into_iter().find(|(known, _)| *known == name).ok_or_else(|| {
        let known: Vec<&str> = TARGETS.iter().map(|(known, _)| *known).collect();
        Failure::new(format!("there is no fuzz target `{name}`; there are {}", known.join(", ")))
    })
}

/// Builds every target; the folder they are in.
pub(crate) fn build(root: &Path) -> Result<PathBuf, Failure> {
    let about = run::output(Command::new("rustc").current_dir(root).arg("-vV"))?;
    let host = about.lines().find_map(|line| line.strip_prefix("host: "));
    let host = host.ok_or_else(|| Failure::new("`rustc -vV` does not name its host"))?;
    let to = wasm::target_dir(root).join("fuzz");
    run::check(
        Command::new(run::cargo())
            .current_dir(root)
            .args(["build", "--locked", "--quiet", "--bins", "--manifest-path", "tests/fuzz/Cargo.toml"])
            // With a target named, build scripts and macros are not instrumented.
            .args(["--target", host, "--target-dir"])
            .arg(&to)
            .env("CARGO_ENCODED_RUSTFLAGS", COVERAGE.join("\x1f"))
            .env_remove("RUSTFLAGS"),
    )?;
    Ok(to.join(host).join("debug"))
}

/// Lets one target search; a finding is a failure that says where the text is and how to try it again.
pub(crate) fn search(root: &Path, programs: &Path, name: &str, longest: usize, seconds: u32) -> Result<(), Failure> {
    let folder = root.join("tests/fuzz");
    let (learnt, finds) = (programs.join("learnt").join(name), programs.join("finds").join(name));
    for place in [&learnt, &finds] {
        fs::create_dir_all(place).map_err(run::about(place))?;
    }
    let program = programs.join(name);
    let mut search = Command::new(&program);
    search
        .arg(&learnt)
        .arg(folder.join("seeds").join(name))
        .arg(format!("-max_total_time={seconds}"))
        .arg(format!("-max_len={longest}"))
        .arg(format!("-dict={}", folder.join("words").join(format!("{name}.txt")).display()))
        .arg(format!("-artifact_prefix={}/", finds.display()))
        .args(["-timeout=20", "-rss_limit_mb=1024", "-print_final_stats=1"])
        .env("RUST_BACKTRACE", "1")
        .stdin(Stdio::null());
    run::say(format_args!("{name}: searching for {seconds} s"));
    let told = search.output().map_err(|why| run::not_started(&search, &why))?;
    let said = String::from_utf8_lossy(&told.stderr);
    let count = |what: &str| said.lines().find_map(|line| line.strip_prefix(what)).unwrap_or("?").trim().to_owned();
    if told.status.success() && !said.contains("no interesting inputs") {
        let (tried, new) = (count("stat::number_of_executed_units:"), count("stat::new_units_added:"));
        run::say(format_args!("{name}: {tried} texts tried, {new} of them took a new way"));
        return Ok(());
    }
    let last: Vec<&str> = said.lines().rev().take(SHOWN).collect();
    last.iter().rev().for_each(run::say_wrong);
    Err(Failure::new(format!(
        "{name} found a text that is not borne, or does not run; a text is in {}, and `{} FILE` tries it again",
        finds.display(),
        program.display()
    )))
}
