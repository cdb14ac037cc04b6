//! `cargo xtask test`: every check of the project, one named stage after another; those that leave a processor idle run
//! beside the rest.
//!
//! A failed stage does not hide the next one: all that can run are run, and the table at the end
//! tells them apart. The last line adds up what the test runners counted.

use crate::fuzz;
use crate::provide;
use crate::run::{self, Failure};
use crate::table::{Count, Done, Table};
use crate::wasm;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::thread;

const OUTSIDE: &str = "checks from outside: units and uncertainty";

/// Runs the checks from outside alone.
pub(crate) fn run_outside(root: &Path) -> Result<(), Failure> {
    let mut table = Table::default();
    table.stage(OUTSIDE, || outside(root));
    table.close()
}

/// Checks the units table and the uncertainty budgets against independent libraries and printed tables.
fn outside(root: &Path) -> Done {
    let folder = root.join("tests/outside");
    let prepared = || -> Result<(PathBuf, PathBuf, run::TempDir), Failure> {
        let python = provide::python(root)?;
        let program = build(root)?;
        let place = run::TempDir::new("units")?;
        let file = place.path().join("units.tsv");
        std::fs::write(&file, run::output(&mut example(root, "units_table"))?).map_err(run::about(&file))?;
        let file = place.path().join("logs.jsonl");
        std::fs::write(&file, run::output(&mut example(root, "day_logs"))?).map_err(run::about(&file))?;
        let file = place.path().join("records.jsonl");
        std::fs::write(&file, run::output(&mut example(root, "record_statistics"))?).map_err(run::about(&file))?;
        Ok((python, program, place))
    };
    let (python, program, place) = match prepared() {
        Ok(prepared) => prepared,
        Err(failure) => return (None, Err(failure)),
    };
    let mut sum = Count::default();
    let mut wrong = Ok(());
    let scripts = [
        ("units.py", place.path().join("units.tsv")),
        ("uncertainty.py", program),
        ("chart.py", place.path().join("logs.jsonl")),
        ("records.py", place.path().join("records.jsonl")),
    ];
    for (script, about) in scripts {
        // -B: no compiled copies next to the sources.
        let (count, done) = counted(Command::new(&python).arg("-B").arg(folder.join(script)).arg(about), outside_count);
        let count = count.unwrap_or_default();
        (sum.passed, sum.failed) = (sum.passed + count.passed, sum.failed + count.failed);
        wrong = wrong.and(done);
    }
    (Some(sum), wrong)
}

/// Sets the machine up and runs everything.
pub(crate) fn run_all(root: &Path) -> Result<(), Failure> {
    let mut table = Table::default();
    let provided = table.stage("set-up: browser, java, node, python, packages", || (None, provide::everything(root)));
    table.stage("formatting", || {
        let own = run::check(cargo(root).args(["fmt", "--all", "--check"]));
        let fuzz = ["fmt", "--check", "--manifest-path", "tests/fuzz/Cargo.toml", "--package", "tankside-fuzz"];
        (None, own.and_then(|()| run::check(cargo(root).args(fuzz))))
    });
    // Each builds for itself, in folders that no other stage writes to.
    let place = root.to_path_buf();
    let wasm_place = place.clone();
    table.beside("WebAssembly in the tree is what is built", "test-wasm", move || (None, wasm::check(&wasm_place)));
    table.beside("fuzz targets: nothing found in a while", "test-fuzz", move || fuzzed(&place));
    table.stage("lints: no warning", || {
        let mut clippy = cargo(root);
        clippy.args(["clippy", "--locked", "--workspace", "--all-targets"]);
        clippy.args(["--quiet", "--", "--deny", "warnings"]);
        (None, run::check(&mut clippy))
    });
    table.stage("tests: cargo", || {
        let mut tests = cargo(root);
        tests.args(["test", "--locked", "--workspace", "--no-fail-fast"]);
        counted(&mut tests, cargo_count)
    });
    let site = run::TempDir::new("test-site")?;
    let mut program = PathBuf::new();
    let published = table.stage("demo course published", || {
        let done = publish_demo(root, site.path()).map(|built| program = built);
        (None, done)
    });
    // The program is built by now: were it built again, tests that start it would find none for a moment.
    if !provided {
        table.not_run(OUTSIDE, "the set-up failed");
    } else if !published {
        table.not_run(OUTSIDE, "there is no program");
    } else {
        let place = root.to_path_buf();
        table.beside(OUTSIDE, "test-outside", move || outside(&place));
    }
    if !provided {
        table.not_run("tests: browser", "the set-up failed");
    } else if !published {
        table.not_run("tests: browser", "there is no published course");
    } else {
        table.stage("tests: browser", || counted(&mut browser_tests(root, &program, site.path()), node_count));
    }
    table.close()
}

/// Lets every fuzz target search a while; each that finds nothing counts as a test passed.
fn fuzzed(root: &Path) -> Done {
    let programs = match fuzz::build(root) {
        Ok(programs) => programs,
        Err(failure) => return (None, Err(failure)),
    };
    let mut count = Count::default();
    let mut done = Ok(());
    for (name, longest) in fuzz::TARGETS {
        match fuzz::search(root, &programs, name, longest, fuzz::SECONDS_IN_TESTS) {
            Ok(()) => count.passed += 1,
            Err(failure) => {
                count.failed += 1;
                done = Err(failure);
            }
        }
    }
    (Some(count), done)
}

/// Builds the program and publishes the course embedded in it, from a folder that holds none.
fn publish_demo(root: &Path, to: &Path) -> Result<PathBuf, Failure> {
    let program = build(root)?;
    let mut publish = Command::new(&program);
    publish.current_dir(to).arg("publish").arg("--to");
    publish.arg(to.join("site"));
    run::check(&mut publish)?;
    if !to.join("site/index.html").exists() {
        return Err(Failure::new("what was published has no index.html"));
    }
    Ok(program)
}

/// Builds all that the stages start. The whole workspace at once has the same features as under `cargo test`: what that
/// has built is not built again, as it would be package by package.
fn build(root: &Path) -> Result<PathBuf, Failure> {
    run::check(cargo(root).args(["build", "--locked", "--quiet", "--workspace", "--bins", "--examples"]))?;
    Ok(debug(root).join(format!("tankside{}", std::env::consts::EXE_SUFFIX)))
}

/// An example of this package, built by [`build`].
fn example(root: &Path, name: &str) -> Command {
    let mut example =
        Command::new(debug(root).join("examples").join(format!("{name}{}", std::env::consts::EXE_SUFFIX)));
    example.current_dir(root);
    example
}

fn debug(root: &Path) -> PathBuf {
    wasm::target_dir(root).join("debug")
}

fn browser_tests(root: &Path, program: &Path, site: &Path) -> Command {
    let mut node = Command::new("node");
    node.current_dir(root.join("tests/browser"))
        // Four files at a time: while one waits for its browser, the others work.
        .args(["--test", "--test-concurrency=4", "--test-reporter=spec"])
        .env("TANKSIDE_BIN", program)
        .env("TANKSIDE_EXAMPLES", debug(root).join("examples"))
        .env("TANKSIDE_SITE", site.join("site"));
    if let Some(browser) = provide::browser() {
        node.env("CHROMIUM", browser);
    }
    node
}

fn cargo(root: &Path) -> Command {
    let mut command = Command::new(run::cargo());
    command.current_dir(root);
    command
}

/// Runs a test runner, shows what it prints as it prints it, and counts.
fn counted(command: &mut Command, count_line: fn(&str, &mut Count)) -> Done {
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = match command.spawn() {
        Ok(child) => child,
        Err(why) => return (None, Err(run::not_started(command, &why))),
    };
    let count = Mutex::new(Count::default());
    let (out, err) = run::printers();
    thread::scope(|scope| {
        if let Some(printed) = child.stdout.take() {
            scope.spawn(|| pass_on(printed, out, &count, count_line));
        }
        if let Some(printed) = child.stderr.take() {
            scope.spawn(|| pass_on(printed, err, &count, count_line));
        }
    });
    let count = count.into_inner().unwrap_or_default();
    let done = match child.wait() {
        Err(why) => Err(run::not_started(command, &why)),
        Ok(status) if !status.success() => Err(Failure::new(format!("{} ended with {status}", run::shown(command)))),
        // A runner that found nothing to run must not look like one whose tests all passed.
        Ok(_) if count.passed == 0 => Err(Failure::new(format!("{} ran no test", run::shown(command)))),
        Ok(_) => Ok(()),
    };
    (Some(count), done)
}

fn pass_on(from: impl Read, mut to: impl Write, count: &Mutex<Count>, count_line: fn(&str, &mut Count)) {
    for line in BufReader::new(from).split(b'\n').map_while(Result::ok) {
        let line = String::from_utf8_lossy(&line);
        // A reader that went away, as with `| head`, ends the output, not the tests.
        let _ = writeln!(to, "{line}");
        if let Ok(mut count) = count.lock() {
            count_line(&line, &mut count);
        }
    }
}

/// `test result: ok. 12 passed; 0 failed; …`, once for each test binary.
fn cargo_count(line: &str, count: &mut Count) {
    let Some(result) = line.trim().strip_prefix("test result: ") else {
        return;
    };
    for part in result.split([';', '.']) {
        match part.trim().split_once(' ') {
            Some((number, "passed")) => count.passed += number.parse().unwrap_or(0),
            Some((number, "failed")) => count.failed += number.parse().unwrap_or(0),
            _ => {}
        }
    }
}

/// `ℹ pass 12` and `ℹ fail 0`, once at the end.
fn node_count(line: &str, count: &mut Count) {
    let words: Vec<&str> = line.split_whitespace().collect();
    match words.as_slice() {
        ["ℹ" | "#", "pass", number] => count.passed += number.parse().unwrap_or(0),
        ["ℹ" | "#", "fail", number] => count.failed += number.parse().unwrap_or(0),
        _ => {}
    }
}

/// `units: 184 passed, 0 failed`, once at the end of a script.
fn outside_count(line: &str, count: &mut Count) {
    let Some((_, counts)) = line.split_once(": ") else { return };
    if let [passed, "passed,", failed, "failed"] = counts.split_whitespace().collect::<Vec<_>>().as_slice() {
        count.passed += passed.parse().unwrap_or(0);
        count.failed += failed.parse().unwrap_or(0);
    }
}

#[cfg(test)]
mod tests {
    use super::{Count, cargo_count, node_count, outside_count};

    #[test]
    fn the_counts_of_the_checks_from_outside_add_up() {
        let mut count = Count::default();
        for line in
            ["FAILED gal against pint: 1.0 here, 2.0 there", "units: 183 passed, 1 failed", "x: 2 passed, 0 failed"]
        {
            outside_count(line, &mut count);
        }
        assert_eq!((count.passed, count.failed), (185, 1));
    }

    #[test]
    fn the_counts_of_several_test_binaries_add_up() {
        let mut count = Count::default();
        for line in [
            "running 3 tests",
            "test result: ok. 3 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s",
            "test result: FAILED. 1 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s",
        ] {
            cargo_count(line, &mut count);
        }
        assert_eq!((count.passed, count.failed), (4, 2));
    }

    #[test]
    fn the_counts_of_the_browser_tests_are_read_from_their_summary() {
        let mut count = Count::default();
        for line in ["✔ a page opens (12ms)", "ℹ tests 3", "ℹ pass 2", "ℹ fail 1"] {
            node_count(line, &mut count);
        }
        assert_eq!((count.passed, count.failed), (2, 1));
    }
}
