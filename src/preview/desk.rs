//! What the preview shows: shared by the builder, which replaces it, and the server, whose pages wait for changes.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use tokio::sync::watch;

use super::builder::Builder;
use super::hosts::Hosts;
use super::shown;
use super::version::Way;

/// The most pages that wait for changes at a time.
const LISTENERS: usize = 64;

/// What is shown now.
#[derive(Clone, Debug, Default)]
pub(super) struct Now {
    pub(super) way: Option<Way>,
    pub(super) look: u64,
    pub(super) html: String,
    pub(super) summary: String,
}

/// What the server and the builder share.
#[derive(Clone, Debug)]
pub struct Desk {
    now: Arc<Mutex<Now>>,
    changes: watch::Sender<u64>,
    listeners: Arc<AtomicUsize>,
    /// Whose requests are answered.
    pub(super) hosts: Arc<Hosts>,
}

impl Desk {
    /// Nothing shown yet.
    pub fn new(hosts: Hosts) -> Self {
        let (changes, _) = watch::channel(0);
        Self { now: Arc::default(), changes, listeners: Arc::default(), hosts: Arc::new(hosts) }
    }

    /// Shows what a builder has made.
    pub fn show(&self, builder: &Builder) {
        let (errors, warnings) = builder.problems().count();
        let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
        let kept = match (errors, builder.way()) {
            (0, _) => ".",
            (_, Some(_)) => "; the page is the last good one.",
            (_, None) => "; there is no good page yet.",
        };
        let now = Now {
            way: builder.way(),
            look: builder.look(),
            html: shown::problems(builder.problems()),
            summary: format!("{}, {}{kept}", plural(errors, "error"), plural(warnings, "warning")),
        };
        // A poisoned lock only means that another thread stopped; what is in it is replaced.
        *self.now.lock().unwrap_or_else(std::sync::PoisonError::into_inner) = now;
        self.changes.send_modify(|count| *count += 1);
    }

    /// What is shown now.
    pub(super) fn now(&self) -> Now {
        self.now.lock().unwrap_or_else(std::sync::PoisonError::into_inner).clone()
    }

    /// A place among the pages that wait for changes, and what tells of them; `None` where too many wait already.
    pub(super) fn listen(&self) -> Option<(Listener, watch::Receiver<u64>)> {
        let listener = Listener(Arc::clone(&self.listeners));
        if self.listeners.fetch_add(1, Ordering::Relaxed) >= LISTENERS {
            return None;
        }
        let mut changes = self.changes.subscribe();
        changes.mark_unchanged();
        Some((listener, changes))
    }
}

/// A page that waits for changes; it is counted until it is dropped.
pub(super) struct Listener(Arc<AtomicUsize>);

impl Drop for Listener {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}
