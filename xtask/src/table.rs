//! The stages of `cargo xtask test`: run, shown, and told apart in a table at the end.

use crate::beside::Beside;
use crate::run::Failure;
use std::time::{Duration, Instant};

/// Tests counted by the runners.
#[derive(Default, Clone, Copy)]
pub(crate) struct Count {
    pub(crate) passed: u32,
    pub(crate) failed: u32,
}

enum StageResult {
    Passed,
    Failed(String),
    /// A stage that needs what an earlier, failed stage should have provided.
    NotRun(&'static str),
}

struct StageRow {
    name: &'static str,
    outcome: StageResult,
    time: Duration,
    count: Option<Count>,
}

/// What the runner of a stage counted, and whether all was well.
pub(crate) type Done = (Option<Count>, Result<(), Failure>);

#[derive(Default)]
pub(crate) struct Table {
    rows: Vec<StageRow>,
    under_way: Vec<Beside<Done>>,
}

impl Table {
    /// Runs one stage and keeps its line of the table; says whether it passed.
    pub(crate) fn stage(&mut self, name: &'static str, run: impl FnOnce() -> Done) -> bool {
        println!("\n== {name}");
        let begun = Instant::now();
        let done = run();
        let passed = self.row(name, begun.elapsed(), done);
        self.show_through(|beside| beside.is_through());
        passed
    }

    /// Starts a stage that runs beside those that follow, and is shown after one of them.
    pub(crate) fn beside(&mut self, name: &'static str, short: &str, run: impl FnOnce() -> Done + Send + 'static) {
        match Beside::start(name, short, run) {
            Ok(beside) => self.under_way.push(beside),
            Err(failure) => drop(self.row(name, Duration::ZERO, (None, Err(failure)))),
        }
    }

    /// Shows the stages that ran beside others, those of them that are wanted; waits for each to be through.
    fn show_through(&mut self, wanted: impl Fn(&Beside<Done>) -> bool) {
        let (shown, rest) = std::mem::take(&mut self.under_way).into_iter().partition(wanted);
        self.under_way = rest;
        for beside in shown {
            let name = beside.name();
            println!("\n== {name}");
            match beside.end() {
                Ok(through) => {
                    print!("{}", through.printed);
                    self.row(name, through.time, through.came_to);
                }
                Err(failure) => drop(self.row(name, Duration::ZERO, (None, Err(failure)))),
            }
        }
    }

    fn row(&mut self, name: &'static str, time: Duration, (count, done): Done) -> bool {
        let outcome = match done {
            Ok(()) => StageResult::Passed,
            Err(failure) => {
                eprintln!("error: {failure}");
                StageResult::Failed(failure.to_string())
            }
        };
        let passed = matches!(outcome, StageResult::Passed);
        self.rows.push(StageRow { name, outcome, time, count });
        passed
    }

    pub(crate) fn not_run(&mut self, name: &'static str, why: &'static str) {
        self.rows.push(StageRow { name, outcome: StageResult::NotRun(why), time: Duration::ZERO, count: None });
    }

    /// Prints the table and the closing line; fails if any stage did.
    pub(crate) fn close(mut self) -> Result<(), Failure> {
        self.show_through(|_| true);
        println!("\n{:<44} {:>8}  result", "stage", "time");
        let mut sum = Count::default();
        let mut wrong = Vec::new();
        for row in &self.rows {
            let time = format!("{:.1} s", row.time.as_secs_f64());
            let counted = row
                .count
                .map_or_else(String::new, |count| format!(", {} passed, {} failed", count.passed, count.failed));
            let result = match &row.outcome {
                StageResult::Passed => format!("passed{counted}"),
                StageResult::Failed(why) => {
                    format!("FAILED{counted}: {}", why.lines().next().unwrap_or_default())
                }
                StageResult::NotRun(why) => format!("not run: {why}"),
            };
            println!("{:<44} {time:>8}  {result}", row.name);
            let count = row.count.unwrap_or_default();
            sum.passed += count.passed;
            sum.failed += count.failed;
            if !matches!(row.outcome, StageResult::Passed) {
                wrong.push(row.name);
            }
        }
        println!("\n{} passed, {} failed", sum.passed, sum.failed);
        if wrong.is_empty() {
            return Ok(());
        }
        Err(Failure::new(format!("not passed: {}", wrong.join("; "))))
    }
}
