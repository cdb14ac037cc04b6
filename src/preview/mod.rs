//! A course shown while it is written: a saved file is on the page at once, with what is wrong shown on top of the
//! page.
//!
//! One thread watches and resolves; each version of the course has a thread that makes its pages when they are asked
//! for; the server answers browsers. Pages come from memory, so no address leads to a file outside the site.

mod answer;
mod builder;
mod desk;
mod door;
mod hosts;
mod shown;
mod version;
mod watch;

pub use builder::{Builder, Reload};
pub use desk::Desk;
pub use door::Door;
pub use hosts::Hosts;
pub use watch::Watch;

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

/// How often to check whether the course folder is still the same one.
const LOOK: Duration = Duration::from_millis(700);

/// Shows every change until the end of the program; `tell` is called for each.
pub fn follow(
    mut builder: Builder,
    desk: &Desk,
    course: &Path,
    changes: &Receiver<BTreeSet<String>>,
    mut watch: Watch,
    mut tell: impl FnMut(&Reload),
) {
    loop {
        let changed = match changes.recv_timeout(LOOK) {
            Ok(mut changed) => {
                // A burst of saves is one change.
                while let Ok(more) = changes.try_recv() {
                    changed.extend(more);
                }
                Some(changed)
            }
            Err(RecvTimeoutError::Timeout) => None,
            Err(RecvTimeoutError::Disconnected) => return,
        };
        // A folder that was removed, or replaced by another of the same name, is watched again.
        let moved = watch.renew(course);
        let reload = match changed {
            _ if moved => builder.whole(course),
            Some(changed) => builder.changed(course, &changed),
            None => continue,
        };
        desk.show(&builder);
        tell(&reload);
    }
}
