//! The trainer's desk: how soon a saved change shows in the preview, and how long a season's records take to mark.

use super::measure::{self, Run};
use super::{Programs, print_run};
use crate::run::{self, Failure};
use std::path::Path;
use std::process::Command;

/// Lessons of the course that is edited, and how soon a change must show: of one lesson, of a phrase or a template.
pub(super) const PREVIEWED_LESSONS: usize = 10_000;
const PREVIEW_AIMS_MS: [(&str, f64); 2] = [("one lesson changed", 100.0), ("changed", 2_000.0)];

/// Records of 20 answers, and how long the last of these numbers may take.
const RECORDS: [usize; 3] = [1_000, 10_000, 100_000];
const RECORDS_AIM_S: f64 = 10.0;
/// Memory counts as flat if a hundred times the records take no more than this many times the memory.
const FLAT_TIMES: f64 = 2.0;

/// Edits a course as a trainer does. The course is changed by it.
pub(super) fn preview(programs: &Programs, course: &Path) -> Result<(), Failure> {
    let printed = run::output(Command::new(&programs.preview_changes).arg(course))?;
    println!("\nuntil a saved change shows, {PREVIEWED_LESSONS} lessons (milliseconds)");
    println!("  {:<20} {:>8} {:>8}", "", "median", "slowest");
    for line in printed.lines() {
        let mut fields = line.split('\t');
        let (Some(what), Some(median), Some(slowest)) = (fields.next(), fields.next(), fields.next()) else { continue };
        let aim = PREVIEW_AIMS_MS.iter().find(|(ending, _)| what.ends_with(ending));
        let aim = aim.map(|(_, aim)| format!("   (aim: under {aim} ms)")).unwrap_or_default();
        println!("  {what:<20} {median:>8} {slowest:>8}{aim}");
    }
    Ok(())
}

/// Marks more and more records of the demo course.
pub(super) fn marking(programs: &Programs, scratch: &Path) -> Result<(), Failure> {
    println!("\nmarking records of 20 answers");
    let mut least: Option<Run> = None;
    for count in RECORDS {
        let records = scratch.join(format!("records-{count}"));
        run::check(Command::new(&programs.training_records).arg(&records).arg(count.to_string()))?;
        let to = scratch.join(format!("roster-{count}"));
        let marked = measure::once(
            &programs.tankside,
            &["mark".as_ref(), records.as_os_str(), "--to".as_ref(), to.as_os_str()],
        )?;
        print_run(&format!("{count} records"), marked);
        #[allow(clippy::cast_precision_loss, reason = "counts are far below 2^53")]
        let each = marked.time.as_secs_f64() * 1e6 / count as f64;
        println!("  {:<18} {each:>8.1} µs each", "");
        if let (Some(first), Some(peak)) = (least.and_then(|run| run.peak_bytes), marked.peak_bytes) {
            #[allow(clippy::cast_precision_loss, reason = "memory sizes are far below 2^53")]
            let times = peak as f64 / first as f64;
            println!("  {:<18} {times:>8.2} × the memory of {} (aim: at most {FLAT_TIMES})", "", RECORDS[0]);
        }
        least.get_or_insert(marked);
    }
    println!("  aim: at most {RECORDS_AIM_S} s for {} records on two cores", RECORDS[RECORDS.len() - 1]);
    Ok(())
}
