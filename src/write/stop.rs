//! Ctrl-C and the system's request to end: a site in the making is removed first.

#[cfg(unix)]
mod signals {
    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::flag;
    use signal_hook::low_level::emulate_default_handler;
    use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
    use std::sync::{Arc, LazyLock, Mutex, MutexGuard, PoisonError};

    /// The signal that came while a site was in the making.
    static CAME: LazyLock<Arc<AtomicUsize>> = LazyLock::new(Arc::default);
    /// Whether a signal ends the program at once: nothing is in the making, or it is the second one.
    static AT_ONCE: LazyLock<Arc<AtomicBool>> = LazyLock::new(|| Arc::new(AtomicBool::new(true)));
    /// How many sites are in the making.
    static MAKING: Mutex<u32> = Mutex::new(0);

    fn making() -> MutexGuard<'static, u32> {
        MAKING.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// From now on the two signals end the program only after it has cleaned up.
    ///
    /// What came is noted while the signal is handled, and not by a thread of its own, which might get its turn only
    /// after all is written.
    pub fn watch() {
        for signal in [SIGINT, SIGTERM] {
            // In this order: the first signal is noted, and so the second one ends the program.
            let _ = flag::register_conditional_default(signal, AT_ONCE.clone())
                .and_then(|_| flag::register_usize(signal, CAME.clone(), signal.unsigned_abs() as usize))
                .and_then(|_| flag::register(signal, AT_ONCE.clone()));
        }
    }

    /// Ends the program as the signal would have ended it, if one came.
    pub fn end_if_requested() {
        for signal in [SIGINT, SIGTERM] {
            if CAME.load(Ordering::SeqCst) == signal.unsigned_abs() as usize {
                let _ = emulate_default_handler(signal);
            }
        }
    }

    pub(in crate::write) fn requested() -> bool {
        CAME.load(Ordering::SeqCst) != 0
    }

    pub(in crate::write) fn begin() {
        let mut making = making();
        *making += 1;
        if !requested() {
            AT_ONCE.store(false, Ordering::SeqCst);
        }
    }

    pub(in crate::write) fn end() {
        let mut making = making();
        *making = making.saturating_sub(1);
        if *making == 0 {
            AT_ONCE.store(true, Ordering::SeqCst);
        }
    }
}

#[cfg(not(unix))]
mod signals {
    /// Nothing to watch for: the next run removes what an interrupted one left.
    pub fn watch() {}
    /// As above.
    pub fn end_if_requested() {}
    pub(in crate::write) fn requested() -> bool {
        false
    }
    pub(in crate::write) fn begin() {}
    pub(in crate::write) fn end() {}
}

pub use signals::{end_if_requested, watch};

/// While this exists, a signal waits until the site in the making has been put in its place or removed.
#[derive(Debug)]
pub(crate) struct Making(());

impl Making {
    pub(crate) fn begin() -> Making {
        signals::begin();
        Making(())
    }

    /// Whether the site in the making should be given up.
    pub(crate) fn is_stopped(&self) -> bool {
        signals::requested()
    }
}

impl Drop for Making {
    fn drop(&mut self) {
        signals::end();
    }
}
