//! Work over many items with a few threads; the results come in the order of the items, however many threads there are.

use std::panic::resume_unwind;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Names how many threads are used; for shared machines, and to test that it makes no difference.
pub const THREADS: &str = "TANKSIDE_THREADS";

/// As many threads as the machine runs at once, unless [`THREADS`] names another number from 1 to 64.
pub fn threads() -> usize {
    // The system looks into several files to answer, while nothing else is done.
    static MACHINE: LazyLock<usize> = LazyLock::new(|| thread::available_parallelism().map_or(1, usize::from));
    let asked = std::env::var(THREADS).ok().and_then(|text| text.parse().ok());
    asked.filter(|count| (1..=64).contains(count)).unwrap_or_else(|| *MACHINE)
}

/// Two pieces of work, side by side where there is more than one thread.
pub fn together<A, B: Send>(one: impl FnOnce() -> A, other: impl FnOnce() -> B + Send) -> (A, B) {
    if threads() == 1 {
        return (one(), other());
    }
    thread::scope(|scope| {
        let other = scope.spawn(other);
        let one = one();
        (one, other.join().unwrap_or_else(|panic| resume_unwind(panic)))
    })
}

/// The most items that a thread takes at a time: enough that the counter costs nothing.
const BATCH: usize = 16;
/// What is left is shared as if each thread came back so many times: fewer items at a time towards the end, so that all
/// finish together.
const TURNS: usize = 4;

/// The results of `work` for every item, in order.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], threads: usize, work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    for_each(items, threads, |item| Some(work(item)))
}

/// Does `work` for every item; the results for each batch come in the order of the items.
pub fn for_each<T: Sync, R: Send>(items: &[T], threads: usize, work: impl Fn(&T) -> Option<R> + Sync) -> Vec<R> {
    let mut done = batches(items, threads, work);
    done.sort_unstable_by_key(|(start, _)| *start);
    // A batch is let go of when its results are in the list: those of thousands of lessons are not kept twice.
    let mut all = Vec::with_capacity(done.iter().map(|(_, results)| results.len()).sum());
    done.into_iter().for_each(|(_, results)| all.extend(results));
    all
}

/// Batches of items, each with the place of its first item and what `work` gave for the batch, in any order.
fn batches<T: Sync, R: Send>(
    items: &[T],
    threads: usize,
    work: impl Fn(&T) -> Option<R> + Sync,
) -> Vec<(usize, Vec<R>)> {
    let threads = threads.clamp(1, items.len().div_ceil(BATCH).max(1));
    if threads == 1 {
        return vec![(0, items.iter().filter_map(work).collect())];
    }
    let next = AtomicUsize::new(0);
    let share = || {
        let mut own = Vec::new();
        loop {
            let after = |start: usize| start + (items.len().saturating_sub(start) / (TURNS * threads)).clamp(1, BATCH);
            let taken = next.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |start| Some(after(start)));
            let start = taken.unwrap_or_else(|start| start);
            if start >= items.len() {
                return own;
            }
            let end = after(start);
            let done: Vec<R> = items[start..end].iter().filter_map(&work).collect();
            if !done.is_empty() {
                own.push((start, done));
            }
        }
    };
    thread::scope(|scope| {
        let workers: Vec<_> = (1..threads).map(|_| scope.spawn(share)).collect();
        let mut all = share();
        for worker in workers {
            all.extend(worker.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        all
    })
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
        let odd = for_each(&items, 3, |item| (item % 2 == 1).then_some(*item));
        assert!(odd.len() == 500 && odd.is_sorted());
    }
}
