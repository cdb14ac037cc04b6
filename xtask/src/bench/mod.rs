//! `cargo xtask bench`: how fast publishing is, compared with the least it could cost; how soon the preview shows a
//! change; how long a season's records take to mark; what a keystroke costs; how much a phone has to fetch.
//!
//! `cargo xtask bench publish` (or `preview`, `mark`, `calls`, `keys`, `sizes`) measures that alone.
//!
//! Times on one machine mean little on another, so the figures that matter are ratios between two
//! things measured in the same run.

mod course;
mod desk;
mod instructions;
pub(crate) mod measure;
mod sizes;

use crate::provide;
use crate::run::{self, Failure};
use crate::wasm;
use course::Plan;
use measure::Run;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Courses of three lengths, so that growth can be seen.
const LENGTHS: [usize; 3] = [1_000, 10_000, 30_000];
const LESSON_BYTES: usize = 4000;
/// Publishing may cost at most this many times the floor: with one lesson in ten worked, and with an example and a quiz
/// in every one.
const FLOOR_TIMES_AIMS: [f64; 2] = [1.6, 3.0];
/// The most memory, at ten thousand lessons.
const PEAK_AIM_BYTES: u64 = 150_000_000;

/// The programs that are measured.
struct Programs {
    tankside: PathBuf,
    floor: PathBuf,
    native_calls: PathBuf,
    instructions: PathBuf,
    preview_changes: PathBuf,
    training_records: PathBuf,
}

/// What can be measured, in the order in which it is.
const STAGES: [&str; 6] = ["publish", "preview", "mark", "calls", "keys", "sizes"];

/// Measures everything, or the named stages, and prints it.
pub(crate) fn bench(root: &Path, stages: &[&str]) -> Result<(), Failure> {
    if let Some(unknown) = stages.iter().find(|stage| !STAGES.contains(stage)) {
        return Err(Failure::new(format!("there is no benchmark `{unknown}`; there are {}", STAGES.join(", "))));
    }
    let wanted = |stage: &str| stages.is_empty() || stages.contains(&stage);
    let programs = build(root)?;
    let scratch = run::TempDir::new("bench")?;
    if wanted("publish") {
        publish(&programs, scratch.path())?;
    }
    if wanted("preview") {
        let folder = scratch.path().join("preview");
        course::write(&plan(desk::PREVIEWED_LESSONS, false), &folder)?;
        desk::preview(&programs, &folder)?;
    }
    if wanted("mark") {
        desk::marking(&programs, scratch.path())?;
    }
    if !["calls", "keys", "sizes"].into_iter().any(wanted) {
        return Ok(());
    }
    let demo = scratch.path().join("demo");
    let nowhere = scratch.path().join("nowhere");
    fs::create_dir_all(&nowhere).map_err(run::about(&nowhere))?;
    run::output(Command::new(&programs.tankside).current_dir(&nowhere).args(["publish", "--to"]).arg(&demo))?;
    if wanted("calls") {
        calls(root, &programs, &demo, scratch.path())?;
    }
    if wanted("keys") {
        keys(root, &demo)?;
    }
    if wanted("sizes") {
        sizes::print(root, &demo)?;
    }
    Ok(())
}

fn plan(lessons: usize, quizzes: bool) -> Plan {
    Plan { lessons, worked_one_in: if quizzes { 1 } else { 10 }, quizzes, lesson_bytes: LESSON_BYTES }
}

/// Publishes courses of three lengths and two mixes, and says how time and memory grow.
///
/// Nothing is removed before all are measured, though they take about 7 GB: ext4 passes over what was removed in the
/// last five minutes, one by one, for every file it makes, and took half the processor's time for it.
fn publish(programs: &Programs, scratch: &Path) -> Result<(), Failure> {
    for (quizzes, aim) in [false, true].into_iter().zip(FLOOR_TIMES_AIMS) {
        let mut before: Option<(usize, Run)> = None;
        for lessons in LENGTHS {
            let folder = scratch.join(format!("{lessons}-{quizzes}"));
            let run = publishing(programs, &plan(lessons, quizzes), aim, &folder)?;
            if let Some((fewer, less)) = before {
                growth(fewer, less, lessons, run);
            }
            before = Some((lessons, run));
        }
    }
    Ok(())
}

/// What one more lesson costs, between two lengths.
fn growth(fewer: usize, less: Run, lessons: usize, run: Run) {
    #[allow(clippy::cast_precision_loss, reason = "counts are far below 2^53")]
    let more = (lessons - fewer) as f64;
    let time = (run.time.as_secs_f64() - less.time.as_secs_f64()) * 1e6 / more;
    print!("  each lesson more: {time:.0} µs");
    if let (Some(peak), Some(before)) = (run.peak_bytes, less.peak_bytes) {
        #[allow(clippy::cast_precision_loss, reason = "memory sizes are far below 2^53")]
        let bytes = (peak as f64 - before as f64) / more / 1e3;
        print!(", {bytes:.1} KB of memory");
    }
    println!();
}

/// From a key to its painted answer, for every calculator, in a browser whose processor is slowed six times.
fn keys(root: &Path, demo: &Path) -> Result<(), Failure> {
    println!("\nfrom a key to its painted answer, processor slowed six times");
    run::check(Command::new("node").current_dir(root.join("tests/browser")).arg("keys.mjs").arg(demo))
}

fn build(root: &Path) -> Result<Programs, Failure> {
    // Each of them is linked whole, which takes a while: only those that are measured.
    for (package, names) in [
        ("tankside", &["--bins"][..]),
        (
            "xtask",
            &["--example=floor", "--example=core_calls", "--example=preview_changes", "--example=training_records"],
        ),
        ("tankside-calc", &["--example=instructions"]),
    ] {
        let mut cargo = Command::new(run::cargo());
        cargo.current_dir(root).args(["build", "--locked", "--quiet", "--release", "--package", package]).args(names);
        run::check(&mut cargo)?;
    }
    let built = wasm::target_dir(root).join("release");
    let program = |name: &str| built.join(format!("{name}{}", std::env::consts::EXE_SUFFIX));
    Ok(Programs {
        tankside: program("tankside"),
        floor: program("examples/floor"),
        native_calls: program("examples/core_calls"),
        instructions: program("examples/instructions"),
        preview_changes: program("examples/preview_changes"),
        training_records: program("examples/training_records"),
    })
}

/// How often each of the two is run: a short run is uneven, and the longest course fills gigabytes each time.
fn turns(lessons: usize) -> usize {
    match lessons {
        0..=1_000 => 27,
        1_001..=10_000 => 3,
        _ => 2,
    }
}

fn publishing(programs: &Programs, plan: &Plan, aim: f64, scratch: &Path) -> Result<Run, Failure> {
    let course = scratch.join("course");
    let bytes_in = course::write(plan, &course)?;
    let runs = turns(plan.lessons);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);

    let site = |turn: usize| scratch.join(format!("site-{turn}"));
    let (kept, manifest) = (site(runs - 1), scratch.join("manifest"));
    let (lessons, count) = (course.join("lessons"), threads.to_string());
    let publish = |turn: usize| {
        let to = site(turn);
        measure::once(&programs.tankside, &["publish".as_ref(), course.as_os_str(), "--to".as_ref(), to.as_os_str()])
    };
    let least = |turn: usize| {
        let to = scratch.join(format!("floor-{turn}"));
        measure::once(&programs.floor, &[lessons.as_os_str(), manifest.as_os_str(), to.as_os_str(), count.as_ref()])
    };
    // Turn and turn about: whatever else the machine does meets both alike.
    let first = publish(0)?;
    let written = list_files(&site(0), &manifest)?;
    let (mut published, mut floor) = (first, least(0)?);
    let mut ratios = vec![published.time_against(floor)];
    for turn in 1..runs {
        let pair = (publish(turn)?, least(turn)?);
        ratios.push(pair.0.time_against(pair.1));
        (published, floor) = (published.or_better(pair.0), floor.or_better(pair.1));
    }
    ratios.sort_by(f64::total_cmp);

    println!(
        "\npublishing {} lessons, {}: {} in, {} out in {} files; {threads} threads, best of {runs}",
        plan.lessons,
        if plan.quizzes { "an example and a quiz in every one" } else { "one in ten worked" },
        megabytes(bytes_in),
        megabytes(written.bytes),
        written.files,
    );
    print_run("tankside publish", published);
    let index = sizes::gzip(&kept.join("assets/search-index.js"))?;
    println!("  index of the search, gzip: {index} bytes, {} for each lesson", index / plan.lessons);
    print_run("floor", floor);
    let (best, middle) = (published.time_against(floor), ratios[ratios.len() / 2]);
    println!("  time against the floor: {best:.2} (aim: at most {aim}); {middle:.2} in the middle of the turns");
    if let (Some(ours), Some(least)) = (published.processor, floor.processor) {
        println!("  processor time against the floor: {:.2}", ours.as_secs_f64() / least.as_secs_f64());
    }
    if let (Some(ours), Some(least)) = (published.peak_bytes, floor.peak_bytes) {
        #[allow(clippy::cast_precision_loss, reason = "memory sizes are far below 2^53")]
        let ratio = ours as f64 / least as f64;
        println!("  memory against the floor: {ratio:.1}");
        if plan.lessons == 10_000 {
            println!("  peak memory: {} (aim: at most {})", megabytes(ours), megabytes(PEAK_AIM_BYTES));
        }
    }
    Ok(published)
}

fn print_run(name: &str, run: Run) {
    let peak = run.peak_bytes.map_or_else(|| "unknown".to_owned(), megabytes);
    let processor = run.processor.map_or_else(|| "unknown".to_owned(), |time| format!("{:.3} s", time.as_secs_f64()));
    println!("  {name:<18} {:>8.3} s   processor {processor}   peak memory {peak}", run.time.as_secs_f64());
}

struct Written {
    files: usize,
    bytes: u64,
}

/// Lists what was published, for the floor to write as much: `bytes<TAB>path` on each line.
fn list_files(site: &Path, manifest: &Path) -> Result<Written, Failure> {
    let mut listed = Vec::new();
    let mut folders = vec![site.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).map_err(run::about(&folder))? {
            let path = entry.map_err(run::about(&folder))?.path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let bytes = fs::metadata(&path).map_err(run::about(&path))?.len();
            let name = path.strip_prefix(site).unwrap_or(&path);
            listed.push((name.display().to_string(), bytes));
        }
    }
    listed.sort();
    let lines: String = listed.iter().map(|(name, bytes)| format!("{bytes}\t{name}\n")).collect();
    fs::write(manifest, lines).map_err(run::about(manifest))?;
    Ok(Written { files: listed.len(), bytes: listed.iter().map(|(_, bytes)| bytes).sum() })
}

/// Time per call of the core: a whole worked example, as on every keystroke.
fn calls(root: &Path, programs: &Programs, demo: &Path, scratch: &Path) -> Result<(), Failure> {
    provide::everything(root)?;
    let phrases = scratch.join("phrases.tsv");
    let in_browser = run::output(
        Command::new("node")
            .current_dir(root.join("tests/browser"))
            .arg("core_calls.mjs")
            .arg(root.join("xtask/src/bench/calls.json"))
            .arg(demo)
            .arg(&phrases),
    )?;
    let native = run::output(Command::new(&programs.native_calls).arg(&phrases))?;
    println!("\none core call, a whole worked example rendered (microseconds)");
    println!("  {:<18} {:>8} {:>12} {:>6}", "calculator", "native", "WebAssembly", "ratio");
    for (native, webassembly) in native.lines().zip(in_browser.lines()) {
        let (Some((name, native)), Some((_, webassembly))) = (read_call(native), read_call(webassembly)) else {
            continue;
        };
        println!("  {name:<18} {native:>8.1} {webassembly:>12.1} {:>6.2}", webassembly / native);
    }
    println!("  aim: WebAssembly at most twice native");
    instructions::print(root, programs, &phrases, scratch)
}

fn read_call(line: &str) -> Option<(&str, f64)> {
    let (name, microseconds) = line.split_once('\t')?;
    Some((name, microseconds.parse().ok()?))
}

fn megabytes(bytes: u64) -> String {
    #[allow(clippy::cast_precision_loss, reason = "sizes are far below 2^53")]
    let megabytes = bytes as f64 / 1e6;
    format!("{megabytes:.1} MB")
}
