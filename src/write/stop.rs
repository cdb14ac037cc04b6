//! Ctrl-C and the system's request to end: a site in the making is removed first.

#[cfg(unix)]
mod signals {
    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;
    use std::sync::atomic::{AtomicI32, Ordering};
    use std::sync::{Mutex, MutexGuard, PoisonError};

    /// The signal that came while a site was in the making.
    static CAME: AtomicI32 = AtomicI32::new(0);
    /// Whether a site is in the making.
    static MAKING: Mutex<u32> = Mutex::new(0);

    fn making() -> MutexGuard<'static, u32> {
        MAKING.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// From now on the two signals end the program only after it has cleaned up.
    pub fn watch() {
        let Ok(mut signals) = Signals::new([SIGINT, SIGTERM]) else { return };
        std::thread::spawn(move || {
            for signal in signals.forever() {
                let making = making();
                let second = CAME.swap(signal, Ordering::SeqCst) != 0;
                if *making == 0 || second {
                    let _ = emulate_default_handler(signal);
                }
            }
        });
    }

    /// Ends the program as the signal would have ended it, if one came.
    pub fn end_if_requested() {
        let signal = CAME.load(Ordering::SeqCst);
        if signal != 0 {
            let _ = emulate_default_handler(signal);
        }
    }

    pub(in crate::write) fn requested() -> bool {
        CAME.load(Ordering::Relaxed) != 0
    }

    pub(in crate::write) fn begin() {
        *making() += 1;
    }

    pub(in crate::write) fn end() {
        let mut making = making();
        *making = making.saturating_sub(1);
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
