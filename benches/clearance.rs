//! Prints how long it takes to find what is near what: `cargo bench --bench clearance`.
//!
//! The bars are those of mats of 20 by 20 bars of 240 in, 12 in apart, every other of them bent up at an end. The same scene is
//! measured along the axes and turned by 37 degrees in plan and 23 out of it. The surface is one of upright rectangles round
//! the mats. Every pair of bars is measured as well, as far as that is bearable.

use std::{
    io::{self, Write},
    time::Instant,
};

use batterboard::{
    geometry::{
        Patch, Point,
        distance::{Segment, near_of_others, nearest},
        near_patches,
    },
    units::Length,
};

const INCH: f64 = 25_400_000.0;
/// How far apart two bars are looked at, in nanometres: an inch clear and a diameter.
const REACH: f64 = 1.5 * INCH;
/// How often each is measured; the least counts.
const TIMES: usize = 5;

fn main() -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "   bars  segments  along the axes ms  turned ms  every pair ms     near")?;
    for bars in [200, 2_000, 20_000] {
        let (segments, owners) = cage(bars, false);
        let (turned, _) = cage(bars, true);
        let (along, near) = measured(&segments, &owners);
        let (leaning, same) = measured(&turned, &owners);
        if near != same {
            return Err(io::Error::other(format!("{near} near along the axes, {same} turned")));
        }
        let all = if bars > 2_000 { None } else { Some(every_pair(&segments, &owners)) };
        let all = all.map_or_else(|| "-".to_owned(), |ms| format!("{ms:.2}"));
        writeln!(out, "{bars:>7} {:>9} {along:>18.2} {leaning:>10.2} {all:>14} {near:>8}", segments.len())?;
    }
    writeln!(out, "   bars   patches         against them ms        near")?;
    for (bars, patches) in [(200, 1_000), (2_000, 10_000), (200, 100_000), (2_000, 100_000)] {
        let (segments, _) = cage(bars, false);
        let surface = surface(patches);
        let mut near = 0_u64;
        let ms = least(|| {
            near = 0;
            near_patches(&segments, &surface, 4.0 * INCH, |_, _, _| near += 1);
        });
        writeln!(out, "{bars:>7} {:>9} {ms:>23.2} {near:>11}", surface.len())?;
    }
    Ok(())
}

/// The least time of some runs, in milliseconds.
fn least(mut run: impl FnMut()) -> f64 {
    let times = (0..TIMES).map(|_| {
        let start = Instant::now();
        run();
        start.elapsed().as_secs_f64() * 1e3
    });
    times.fold(f64::INFINITY, f64::min)
}

fn measured(segments: &[Segment], owners: &[u32]) -> (f64, u64) {
    let mut near = 0;
    let ms = least(|| {
        near = 0;
        near_of_others(segments, owners, REACH, u64::MAX, |_, _, _| near += 1);
    });
    (ms, near)
}

fn every_pair(segments: &[Segment], owners: &[u32]) -> f64 {
    least(|| {
        let mut near = 0_u64;
        for (at, one) in segments.iter().enumerate() {
            for (other, owner) in segments.iter().zip(owners).skip(at + 1) {
                near += u64::from(owners.get(at) != Some(owner) && nearest(one, other).distance < REACH);
            }
        }
        std::hint::black_box(near);
    })
}

/// So many bars in mats of forty beside and over each other.
fn cage(bars: u32, turned: bool) -> (Vec<Segment>, Vec<u32>) {
    let (mut segments, mut owners) = (Vec::new(), Vec::new());
    for bar in 0..bars {
        let (mat, number) = (bar / 40, bar % 40);
        let (row, column) = (f64::from(mat / 25), f64::from(mat % 25));
        let (x, y, z) = (column * 250.0, row % 5.0 * 250.0, (row / 5.0).floor() * 20.0);
        let at = 6.0 + f64::from(number % 20) * 12.0;
        // The upper layer lies on the lower; every other bar turns up at its end.
        let mut corners = if number < 20 {
            vec![[x, y + at, z], [x + 240.0, y + at, z], [x + 240.0, y + at, z + 8.0]]
        } else {
            vec![[x + at, y, z + 0.5], [x + at, y + 240.0, z + 0.5], [x + at, y + 240.0, z + 8.5]]
        };
        corners.truncate(if bar % 2 == 0 { 3 } else { 2 });
        for pair in corners.windows(2) {
            if let [from, to] = pair {
                let place = |place: &[f64; 3]| if turned { turn(*place) } else { *place }.map(|part| part * INCH);
                segments.push(Segment { from: place(from), to: place(to) });
                owners.push(bar);
            }
        }
    }
    (segments, owners)
}

fn turn([x, y, z]: [f64; 3]) -> [f64; 3] {
    let ((s, c), (t, d)) = (37_f64.to_radians().sin_cos(), 23_f64.to_radians().sin_cos());
    let (x, y) = (c * x - s * y, s * x + c * y);
    [d * x - t * z, y, t * x + d * z]
}

/// So many upright rectangles in rings.
fn surface(patches: u32) -> Vec<Patch> {
    let point = |x: f64, y: f64| Point::new(x * INCH, y * INCH);
    (0..patches)
        .map(|number| {
            let (ring, side) = (number / 4, number % 4);
            let (x, y) = (f64::from(ring % 25) * 250.0 - 3.0, f64::from(ring / 25 % 1_000) * 250.0 - 3.0);
            let corners = [point(x, y), point(x + 246.0, y), point(x + 246.0, y + 246.0), point(x, y + 246.0)];
            let corner = |at: u32| corners.get(at as usize % 4).copied().unwrap_or(point(x, y));
            let (from, to) = (corner(side), corner(side + 1));
            let inch = Length::INCH;
            Patch::Upright { from, to, bottom: inch * -3, top: inch * 12 }
        })
        .collect()
}
