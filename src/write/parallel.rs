//! Work over many items with a few threads; the results come in the order of the items, however many threads there are.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// Names how many threads are used; for machines shared with others, and for tests that it makes no difference.
pub const THREADS: &str = "TANKSIDE_THREADS";

/// As many threads as the machine runs at once, unless [`THREADS`] names another number from 1 to 64.
pub fn threads() -> usize {
    let asked = std::env::var(THREADS).ok().and_then(|text| text.parse().ok());
    asked
        .filter(|count| (1..=64).contains(count))
        .unwrap_or_else(|| thread::available_parallelism().map_or(1, usize::from))
}

/// Items that one thread takes at a time: enough that the counter costs nothing, few enough that all finish together.
const BATCH: usize = 16;

/// The results of `work` for every item, in order.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], threads: usize, work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = threads.clamp(1, items.len().div_ceil(BATCH).max(1));
    if threads == 1 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let (sender, receiver) = mpsc::channel();
    let mut slots: Vec<Option<R>> = Vec::new();
    slots.resize_with(items.len(), || None);
    thread::scope(|scope| {
        for _ in 0..threads {
            let (sender, next, work) = (sender.clone(), &next, &work);
            scope.spawn(move || {
                loop {
                    let start = next.fetch_add(BATCH, Ordering::Relaxed);
                    if start >= items.len() {
                        break;
                    }
                    let end = (start + BATCH).min(items.len());
                    let done: Vec<R> = items[start..end].iter().map(work).collect();
                    // The receiver lives until every thread has ended.
                    let _ = sender.send((start, done));
                }
            });
        }
        drop(sender);
        for (start, done) in receiver {
            for (slot, result) in slots[start..].iter_mut().zip(done) {
                *slot = Some(result);
            }
        }
    });
    // Every batch was sent, else a thread panicked and the scope passed it on.
    slots.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_keep_the_order_of_the_items() {
        let items: Vec<usize> = (0..1000).collect();
        for threads in [0, 1, 2, 7] {
            assert_eq!(
                in_parallel(&items, threads, |item| item * 2),
                items.iter().map(|item| item * 2).collect::<Vec<_>>()
            );
        }
        assert!(in_parallel(&[] as &[u8], 4, |item| *item).is_empty());
    }
}
