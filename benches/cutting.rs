//! Prints how long cutting plans take and how many are proved, over generated bar lists:
//! `cargo bench --bench cutting`, or `-- 50` for so many lists a size instead of 200.
//!
//! Half the lists are in sixteenths of an inch, cut from 20 ft with a kerf of 0, 1/8 or 1/4 in; half in millimetres, from
//! 12 m with 0, 3 or 5 mm. Lengths gather round a few as they do in a bar list, and a few kinds make up most of the pieces.

use std::{
    io::{self, Write},
    time::Instant,
};

use batterboard::cutting::{Piece, Plan, Problem, Proof, Stock};

/// Pieces and kinds of one size of list.
const SIZES: [(u64, usize); 6] = [(20, 5), (50, 8), (120, 12), (300, 20), (800, 35), (2_000, 60)];

fn main() -> io::Result<()> {
    let lists = std::env::args().skip(1).find_map(|arg| arg.parse::<u64>().ok()).unwrap_or(200);
    let mut out = io::stdout().lock();
    writeln!(out, "pieces/kinds   lists  proved  first fit best  bars saved  most  median ms   p99 ms   max ms")?;
    for (pieces, kinds) in SIZES {
        let mut times = Vec::new();
        let (mut proved, mut equal, mut saved, mut most) = (0, 0, 0, 0);
        for seed in 0..lists {
            let problem = list(pieces, kinds, seed);
            let start = Instant::now();
            let plan = problem.solve();
            times.push(start.elapsed().as_secs_f64() * 1e3);
            let Ok(plan) = plan else { continue };
            proved += u64::from(plan.proof != Proof::NotProven);
            let less = less_than_first_fit(&plan);
            equal += u64::from(less == 0);
            saved += less;
            most = most.max(less);
        }
        times.sort_by(f64::total_cmp);
        let at = |part: usize| times.get(times.len().saturating_sub(1) * part / 100).copied().unwrap_or(0.0);
        writeln!(
            out,
            "{:>7}/{kinds:<5} {lists:>6} {proved:>7} {equal:>15} {saved:>11} {most:>5} {:>10.2} {:>8.2} {:>8.2}",
            pieces,
            at(50),
            at(99),
            at(100)
        )?;
    }
    Ok(())
}

fn less_than_first_fit(plan: &Plan) -> u64 {
    let bars: u64 = plan.bars.iter().map(|bars| bars.times).sum();
    plan.first_fit.map_or(0, |quick| quick.bars.saturating_sub(bars))
}

/// A list of so many pieces of so many kinds.
fn list(pieces: u64, kinds: usize, seed: u64) -> Problem {
    let mut dice = Dice(seed.wrapping_mul(1_000_003) + pieces);
    let inches = seed.is_multiple_of(2);
    let (stock, step) = if inches { (3_840, 4) } else { (12_000, 10) };
    let kerfs = if inches { [0, 2, 4] } else { [0, 3, 5] };
    let kerf = kerfs[usize::try_from(seed / 2 % 3).unwrap_or(0)];
    let centres: Vec<i64> = (0..3 + kinds / 8).map(|_| dice.between(stock / 30, stock * 7 / 8)).collect();
    let mut lengths: Vec<i64> = Vec::new();
    while lengths.len() < kinds {
        let centre = centres[usize::try_from(dice.between(0, centres.len() as i64 - 1)).unwrap_or(0)];
        let near = centre + dice.between(-stock / 12, stock / 12);
        let length = (if dice.between(0, 5) == 0 { dice.between(stock / 40, stock) } else { near }) / step * step;
        if length >= stock / 40 && length <= stock && !lengths.contains(&length) {
            lengths.push(length);
        }
    }
    // One of each, and the rest by weights of which few are large.
    let weights: Vec<f64> = lengths.iter().map(|_| (1.0 / (0.02 + dice.part())).powf(1.1)).collect();
    let sum: f64 = weights.iter().sum();
    let rest = pieces.saturating_sub(kinds as u64);
    let mut counts: Vec<u64> = weights.iter().map(|weight| 1 + (weight / sum * rest as f64) as u64).collect();
    let given: u64 = counts.iter().sum();
    counts[0] += pieces.saturating_sub(given);
    let pieces = lengths.into_iter().zip(counts).map(|(length, count)| Piece { length, count }).collect();
    Problem { pieces, stock: vec![Stock { length: stock, price: 1, limit: None }], kerf }
}

/// Numbers that look thrown and are the same everywhere.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mixed = (self.0 ^ self.0 >> 33).wrapping_mul(0xff51_afd7_ed55_8ccd);
        mixed ^ mixed >> 29
    }

    fn between(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
