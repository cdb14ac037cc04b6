//! From a course's files to a site on disk, whole or not at all.

use crate::catalogue::read_ahead;
use crate::course::{Course, resolve_for_pages};
use crate::load::Files;
use crate::parallel::{threads, together};
use crate::problem::{Problem, Problems};
use crate::progress::Progress;
use crate::proof::dangers;
use crate::site::{self, Listed, Outgoing, WORKER, render, worker};
use crate::write::{Order, Staging, Whose, Written, WrittenFile, look};
use std::thread;

/// What was published.
#[derive(Debug)]
pub struct Published {
    /// The course: to free thousands of lessons takes a while, and a program that is about to end can skip it.
    pub course: Course,
    /// Question banks that learners can take.
    pub banks: usize,
    /// Files that browsers do not keep for use without a signal, because all of it would be too much.
    pub need_signal: Vec<String>,
    /// What is on the disk.
    pub written: Written,
}

/// Publishes a course; `None` if its problems rule it out. Problems are returned either way.
pub fn publish(files: &dyn Files, order: &Order) -> (Option<Published>, Problems) {
    publish_counted(files, order, &Progress::default())
}

/// The same, with its files counted as they are written.
pub fn publish_counted(files: &dyn Files, order: &Order, progress: &Progress) -> (Option<Published>, Problems) {
    let resolved = thread::scope(|scope| {
        // Nothing else is done while the settings are read, which list every lesson of a long course.
        if threads() > 1 {
            scope.spawn(|| {
                // Listing the folder of a long course takes as long as reading its settings; the list is kept.
                let _ = files.unlisted("lessons");
                read_ahead();
                site::read_ahead();
            });
        }
        resolve_for_pages(files)
    });
    let mut problems = resolved.problems.clone();
    let Some(mut course) = resolved.into_course() else {
        // A target that cannot be used is reported together with everything else.
        problems.extend(look(order).err().map(|problem| *problem));
        return (None, problems);
    };
    let title = course.settings.title.split_whitespace().collect::<Vec<_>>().join(" ");
    let whose = Whose { id: course.settings.id.clone(), title, demo: order.course.is_none() };
    let dangerous = dangers(&course);
    // What was wrong is known, with its places.
    course.forget_texts();
    let (site, begun) = together(|| render(&course, files), || Staging::begin(order, whose));
    let staging = match begun {
        Ok(staging) => staging,
        Err(problem) => return stopped(problems, problem),
    };
    problems.extend(dangerous.into_values().flatten());
    let site = match site {
        Ok(site) => site,
        Err(problem) => return stopped(problems, problem),
    };
    progress.expect(site.paths().len());
    staging.expect(site.paths().len());
    let failed = site.for_each(|part| match part {
        Outgoing::Page(page) => {
            progress.step();
            staging.write(page.path, page.bytes).is_ok()
        }
        Outgoing::Piece { path, bytes, last } => {
            if last {
                progress.step();
            }
            staging.append(path, bytes, last).is_ok()
        }
    });
    // What could not be written is reported when the site is finished.
    if !failed.is_empty() {
        problems.extend(failed);
        return (None, problems);
    }
    let mut need_signal = Vec::new();
    if course.settings.offline {
        let listed = staging.written().into_iter();
        let listed = listed.map(|WrittenFile { path, digest, size }| Listed { path, digest, size });
        let worker = worker(&course, &listed.collect::<Vec<_>>());
        need_signal = worker.left_out;
        // What could not be written is reported when the site is finished.
        let _ = staging.write(WORKER, worker.script.as_bytes());
    }
    let banks = course.banks_placed().len() + course.banks_by_themselves().count();
    let finished = thread::scope(|scope| {
        // The site is freed while the other thread waits for the disk.
        let gone = move || drop(site);
        if threads() > 1 {
            scope.spawn(gone);
        }
        staging.finish()
    });
    match finished {
        Ok(written) => (Some(Published { course, banks, need_signal, written }), problems),
        Err(problem) => stopped(problems, problem),
    }
}

fn stopped(mut problems: Problems, problem: Box<Problem>) -> (Option<Published>, Problems) {
    problems.push(problem);
    (None, problems)
}
