//! Work spread over the cores of the machine. What comes of it stands in the order of what went in, and is the same however
//! many cores there are.

use std::{
    cell::Cell,
    num::NonZero,
    panic::resume_unwind,
    sync::atomic::{AtomicUsize, Ordering},
    thread::{Builder, ScopedJoinHandle, available_parallelism, scope},
};

/// So many items are taken at a time.
const BATCH: usize = 16;

/// The stack of a thread, as large as that of a process usually is.
const STACK: usize = 8 << 20;

thread_local! {
    /// Whether this thread is one of those the cores are shared among already.
    static IS_ONE_OF_MANY: Cell<bool> = const { Cell::new(false) };
}

/// How many cores there are for this thread: one, if it is one of many.
#[must_use]
pub fn count() -> usize {
    if IS_ONE_OF_MANY.get() { 1 } else { available_parallelism().map_or(1, NonZero::get) }
}

/// The cores are shared out: from now on this thread does its work by itself.
pub fn is_one_of_many() {
    IS_ONE_OF_MANY.set(true);
}

/// What `work` makes of each item, in their order: on all cores if it is `heavy`, for starting a thread takes as long as a
/// small job.
pub fn each<T: Sync, R: Send>(items: &[T], heavy: bool, work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = if heavy { count().min(items.len().div_ceil(BATCH)) } else { 1 };
    if threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done = Vec::new();
        loop {
            let from = next.fetch_add(BATCH, Ordering::Relaxed);
            let Some(batch) = items.get(from..items.len().min(from + BATCH)).filter(|batch| !batch.is_empty()) else {
                return done;
            };
            done.push((from, batch.iter().map(&work).collect::<Vec<R>>()));
        }
    };
    let mut parts = scope(|scope| {
        // A system that gives no more threads leaves more for this one.
        let other = || {
            is_one_of_many();
            share()
        };
        let start = |_| Builder::new().stack_size(STACK).spawn_scoped(scope, other).ok();
        let others: Vec<_> = (1..threads).filter_map(start).collect();
        let mut parts = share();
        parts.extend(others.into_iter().flat_map(joined));
        parts
    });
    parts.sort_unstable_by_key(|(from, _)| *from);
    parts.into_iter().flat_map(|(_, part)| part).collect()
}

/// What comes of both: at the same time if they are `heavy`.
pub fn both<A: Send, B>(heavy: bool, one: impl Fn() -> A + Sync, other: impl FnOnce() -> B) -> (A, B) {
    if !heavy || count() < 2 {
        return (one(), other());
    }
    scope(|scope| {
        let thread = Builder::new().stack_size(STACK).spawn_scoped(scope, &one).ok();
        let other = other();
        (thread.map_or_else(&one, joined), other)
    })
}

/// What a thread came to; a panic in it goes on in this one.
fn joined<T>(thread: ScopedJoinHandle<T>) -> T {
    thread.join().unwrap_or_else(|panic| resume_unwind(panic))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_of_many_starts_no_others() {
        let inner = |_: &u64| std::thread::current().id();
        let told = std::thread::spawn(move || {
            is_one_of_many();
            (count(), each(&[1; 100], true, inner), std::thread::current().id())
        });
        let (count, by, itself) = told.join().unwrap_or_else(|panic| resume_unwind(panic));
        assert_eq!(count, 1);
        assert!(by.iter().all(|thread| *thread == itself));
    }

    #[test]
    fn what_comes_of_each_stands_in_their_order() {
        for count in [0_u64, 1, 15, 16, 17, 1_000] {
            let items: Vec<u64> = (0..count).collect();
            let squares: Vec<u64> = items.iter().map(|item| item * item).collect();
            for heavy in [false, true] {
                assert_eq!(each(&items, heavy, |item| item * item), squares);
            }
        }
        assert_eq!(both(true, || 1, || "two"), both(false, || 1, || "two"));
    }
}
