//! Work over many items with a few threads; the results come in the order of the items, however many threads there are.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{LazyLock, OnceLock};
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
    let shares = Shares::of(items, threads);
    if shares.threads == 1 {
        return items.iter().filter_map(work).collect();
    }
    let share = || {
        let done = |batch: &[T]| batch.iter().filter_map(&work).collect();
        std::iter::from_fn(|| shares.take()).map(|(start, batch)| (start, done(batch))).collect()
    };
    in_order(by_all(&shares, || (), share))
}

/// Runs `first` on this thread while others begin the items with `early`; once its result is there, all threads finish
/// items with `work`, which needs it. Returns that result, and those of the items in order.
pub fn in_parallel_after<T: Sync, C: Send + Sync, E, R: Send>(
    items: &[T],
    threads: usize,
    first: impl FnOnce() -> C,
    early: impl Fn(&T) -> E + Sync,
    work: impl Fn(E, &C) -> R + Sync,
) -> (C, Vec<R>) {
    let shares = Shares::of(items, threads);
    if shares.threads == 1 {
        let ready = first();
        let done = items.iter().map(|item| work(early(item), &ready)).collect();
        return (ready, done);
    }
    let ready: OnceLock<Option<C>> = OnceLock::new();
    let share = || {
        let (mut begun, mut done) = (Vec::new(), Vec::new());
        loop {
            let batch = shares.take();
            let is_last = batch.is_none();
            begun.extend(batch.map(|(start, batch)| (start, batch.iter().map(&early).collect::<Vec<E>>())));
            match if is_last { Some(ready.wait()) } else { ready.get() } {
                Some(Some(ready)) => {
                    let worked = |batch: Vec<E>| batch.into_iter().map(|item| work(item, ready)).collect();
                    done.extend(begun.drain(..).map(|(start, batch)| (start, worked(batch))));
                }
                // It will never come.
                Some(None) => return Vec::new(),
                None => {}
            }
            if is_last {
                return done;
            }
        }
    };
    let made = || {
        let handover = Handover(&ready);
        let _ = handover.0.set(Some(first()));
    };
    let done = in_order(by_all(&shares, made, share));
    let Some(Some(ready)) = ready.into_inner() else { unreachable!("a panic was passed on") };
    (ready, done)
}

/// Where other threads wait for a value; if making it panics, they learn that there will be none.
struct Handover<'r, C>(&'r OnceLock<Option<C>>);

impl<C> Drop for Handover<'_, C> {
    fn drop(&mut self) {
        let _ = self.0.set(None);
    }
}

/// Items of which each thread takes the next few, until none are left.
struct Shares<'i, T> {
    items: &'i [T],
    threads: usize,
    next: AtomicUsize,
}

impl<'i, T> Shares<'i, T> {
    fn of(items: &'i [T], threads: usize) -> Self {
        let threads = threads.clamp(1, items.len().div_ceil(BATCH).max(1));
        Shares { items, threads, next: AtomicUsize::new(0) }
    }

    /// The next few, with the place of the first.
    fn take(&self) -> Option<(usize, &'i [T])> {
        let left = |start: usize| self.items.len().saturating_sub(start);
        let after = |start: usize| start + (left(start) / (TURNS * self.threads)).clamp(1, BATCH);
        let taken = self.next.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |start| Some(after(start)));
        let start = taken.unwrap_or_else(|start| start);
        (left(start) > 0).then(|| (start, &self.items[start..after(start)]))
    }
}

/// Some results, with the place of the item that the first is of.
type Batch<R> = (usize, Vec<R>);

/// What all threads return for their shares; this one runs `first` before it takes its own.
fn by_all<T: Sync, R: Send>(
    shares: &Shares<'_, T>,
    first: impl FnOnce(),
    share: impl Fn() -> Vec<Batch<R>> + Sync,
) -> Vec<Batch<R>> {
    thread::scope(|scope| {
        let workers: Vec<_> = (1..shares.threads).map(|_| scope.spawn(&share)).collect();
        first();
        let mut all = share();
        for worker in workers {
            all.extend(worker.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        all
    })
}

fn in_order<R>(mut done: Vec<Batch<R>>) -> Vec<R> {
    done.sort_unstable_by_key(|(start, _)| *start);
    // A batch is let go of when its results are in the list: those of thousands of lessons are not kept twice.
    let mut all = Vec::with_capacity(done.iter().map(|(_, results)| results.len()).sum());
    done.into_iter().for_each(|(_, results)| all.extend(results));
    all
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

    #[test]
    fn what_comes_early_is_done_while_the_first_thing_is_made_and_the_rest_after_it() {
        let items: Vec<usize> = (0..1000).collect();
        for threads in [0, 1, 2, 7] {
            let begun = AtomicUsize::new(0);
            let early = |item: &usize| {
                begun.fetch_add(1, Ordering::Relaxed);
                item * 2
            };
            // Where there are others, they do all that comes early while this thread waits for it.
            let first = || {
                while threads > 1 && begun.load(Ordering::Relaxed) < items.len() {
                    thread::yield_now();
                }
                String::from("x")
            };
            let (first, all) = in_parallel_after(&items, threads, first, early, |item, first| format!("{item}{first}"));
            assert_eq!(all, items.iter().map(|item| format!("{}x", item * 2)).collect::<Vec<_>>());
            assert_eq!((first.as_str(), begun.into_inner()), ("x", items.len()));
        }
        let (first, none) = in_parallel_after(&[] as &[u8], 4, || 7, |_| (), |(), _| 0);
        assert!(first == 7 && none.is_empty());
    }

    #[test]
    fn a_panic_ends_the_waiting_of_all_threads() {
        let items: Vec<usize> = (0..100).collect();
        let ended = |panics_first: bool| {
            let first = || assert!(!panics_first, "the first thing cannot be made");
            let work = |item: usize, (): &()| assert!(item != 50, "this one cannot be done");
            std::panic::catch_unwind(|| in_parallel_after(&items, 3, first, |item| *item, work)).is_err()
        };
        assert!(ended(true) && ended(false));
    }
}
