//! Many jobs at once: on all cores, what comes of them in the order they are named, few of them held at a time.

use std::{
    sync::mpsc::sync_channel,
    thread::{self, Builder},
};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::cores;

/// How many batches of one thread may wait until their turn comes.
const WINDOW: usize = 2;

/// How many jobs at most a thread does before it hands over what comes of them: each time another thread has to be woken, which
/// is felt beside a small job.
const BATCH: usize = 8;

/// The stack of a thread, as large as that of a process usually is.
const STACK: usize = 8 << 20;

/// From so many jobs on a bar shows how far it is.
const WATCHED_FROM: usize = 16;

/// How many threads so many jobs are worth.
#[must_use]
pub fn threads(jobs: usize) -> usize {
    cores::count().min(jobs.div_ceil(2)).max(1)
}

/// Does `work` for each number below `count`, on so many threads, and hands what comes of it to `take` in order, until that says
/// `false`. Each thread works with what `make` makes for it. With one thread none is started.
///
/// Thread `k` of `n` does every `n`th batch of jobs from the `k`th on, so that the results come from the threads in turn, and a
/// thread that is ahead waits: how much is held at a time does not hang on how many jobs there are.
pub fn in_order<S, T: Send>(
    count: usize,
    threads: usize,
    make: &(dyn Fn() -> S + Sync),
    work: &(dyn Fn(&mut S, usize) -> T + Sync),
    take: &mut dyn FnMut(T) -> bool,
) {
    if threads > 1
        && thread::scope(|scope| {
            let batch = (count / (threads * 4)).clamp(1, BATCH);
            let mut results = Vec::with_capacity(threads);
            for first in 0..threads {
                let (give, get) = sync_channel::<Vec<T>>(WINDOW);
                let run = move || {
                    cores::is_one_of_many();
                    let mut mine = make();
                    for from in (first * batch..count).step_by(threads * batch) {
                        let done = (from..count.min(from + batch)).map(|number| work(&mut mine, number)).collect();
                        // Nobody waits for it any more.
                        if give.send(done).is_err() {
                            break;
                        }
                    }
                };
                if Builder::new().stack_size(STACK).spawn_scoped(scope, run).is_err() {
                    return false;
                }
                results.push(get);
            }
            for number in 0..count.div_ceil(batch) {
                let batch = results.get(number % threads).and_then(|result| result.recv().ok());
                if !batch.is_some_and(|batch| batch.into_iter().all(&mut *take)) {
                    break;
                }
            }
            true
        })
    {
        return;
    }
    // One thread, or a system that gives no more.
    let mut mine = make();
    for number in 0..count {
        if !take(work(&mut mine, number)) {
            return;
        }
    }
}

/// A bar that shows how far the jobs are, where somebody watches.
pub struct Watch(Option<ProgressBar>);

impl Watch {
    /// A bar on stderr for so many jobs, if they are many and somebody watches.
    #[must_use]
    pub fn new(jobs: usize, watched: bool) -> Watch {
        if !watched || jobs < WATCHED_FROM {
            return Watch(None);
        }
        let bar = ProgressBar::with_draw_target(Some(jobs as u64), ProgressDrawTarget::stderr());
        let style = ProgressStyle::with_template("{bar:40} {pos} of {len} jobs");
        Watch(Some(match style {
            Ok(style) => bar.with_style(style),
            Err(_) => bar,
        }))
    }

    /// Does something that may write to the screen, with the bar out of the way; then one job more is done.
    pub fn step<T>(&self, step: impl FnOnce() -> T) -> T {
        let Some(bar) = &self.0 else { return step() };
        let done = bar.suspend(step);
        bar.inc(1);
        done
    }

    /// Takes the bar away.
    pub fn end(&self) {
        if let Some(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn results_come_in_order_whatever_the_number_of_threads() {
        for threads in [1, 2, 3, 7] {
            let mut got = Vec::new();
            let work = |_: &mut (), number: usize| {
                // The first are the slowest.
                thread::sleep(std::time::Duration::from_micros(if number < 4 { 500 } else { 1 }));
                number * 2
            };
            in_order(50, threads, &|| (), &work, &mut |result| {
                got.push(result);
                true
            });
            assert_eq!(got, (0..50).map(|number| number * 2).collect::<Vec<_>>(), "{threads}");
        }
    }

    #[test]
    fn few_are_held_at_a_time_and_the_rest_is_left_when_nobody_takes_more() {
        for threads in [1, 2, 5] {
            let done = AtomicUsize::new(0);
            let mut taken = 0;
            let work = |_: &mut (), _: usize| done.fetch_add(1, Ordering::Relaxed);
            in_order(100_000, threads, &|| (), &work, &mut |_| {
                taken += 1;
                let ahead = done.load(Ordering::Relaxed) - taken;
                assert!(ahead <= threads * (WINDOW + 2) * BATCH, "{ahead} are held");
                taken < 1_000
            });
            assert_eq!(taken, 1_000);
            assert!(done.load(Ordering::Relaxed) <= 1_000 + threads * (WINDOW + 2) * BATCH);
        }
    }

    #[test]
    fn few_jobs_start_no_thread() {
        assert_eq!((threads(0), threads(1), threads(2)), (1, 1, 1));
    }
}
