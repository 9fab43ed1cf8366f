//! Prints how long critical paths take: `cargo bench --bench scheduling`.
//!
//! Tasks of 1 to 40 hours, each after three of the two hundred before it, on a clock that never stops.

use std::{
    io::{self, Write},
    time::Instant,
};

use batterboard::scheduling::{Link, critical_path};

/// How often each is measured; the least counts.
const TIMES: usize = 7;

fn main() -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "  tasks   links  critical path ms  ends after h")?;
    for count in [1_000_u32, 10_000, 100_000] {
        let (lasts, links) = network(count);
        let mut least = f64::INFINITY;
        let mut ends = 0;
        for _ in 0..TIMES {
            let begun = Instant::now();
            let network = critical_path(&lasts, &links).ok_or_else(|| io::Error::other("a circle"))?;
            least = least.min(begun.elapsed().as_secs_f64() * 1e3);
            ends = network.ends;
        }
        writeln!(out, "{count:>7} {:>7} {least:>17.2} {:>13}", links.len(), ends / 3600)?;
    }
    Ok(())
}

/// The same network every time: a plain generator of numbers.
fn network(count: u32) -> (Vec<i64>, Vec<Link>) {
    let mut state = 88_172_645_463_325_252_u64;
    let mut next = move |below: u64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state % below
    };
    let lasts = (0..count).map(|_| (1 + next(40) as i64) * 3600).collect();
    let mut links = Vec::new();
    for after in 1..count {
        for _ in 0..3 {
            let back = 1 + next(u64::from(after.min(200))) as u32;
            links.push(Link { before: after - back, after, lag: 0 });
        }
    }
    (lasts, links)
}
