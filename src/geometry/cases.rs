//! Solids with known answers.

use super::*;
use crate::units::{Area, Length, Volume};

pub(super) const INCH: f64 = 25.4e6;
const MM: f64 = 1e6;
const SQUARE_FOOT: f64 = 304.8e6 * 304.8e6;

/// What stands between stations of a run: (leg, station) twice, thickness, bottom, top, in the unit of the job.
pub(super) type Block = ((usize, f64), (usize, f64), f64, f64, f64);

pub(super) struct Job {
    unit: f64,
    pub run: Run,
    pub pieces: Vec<Piece>,
    pub surroundings: Vec<Old<u8>>,
}

pub(super) const WALL: u8 = 7;

impl Job {
    pub fn new(unit: f64, heading: f64, legs: &[f64], turns: &[f64], blocks: &[Block]) -> Job {
        let legs: Vec<Leg> = legs.iter().map(|&l| Leg { length: Length::round_nm(l * unit) }).collect();
        let run = Run::new(Point::new(5.0e9, -3.0e9), heading, legs, turns.to_vec(), false);
        let mut job = Job { unit, run, pieces: Vec::new(), surroundings: Vec::new() };
        for (index, &(from, to, t, bottom, top)) in blocks.iter().enumerate() {
            let outline = job.strip(from, to, &|_| 0.0, &|_| t);
            job.pieces.push(Piece { outline, bottom: job.length(bottom), top: job.length(top), id: index as u32 });
        }
        let last = job.run.legs().len() - 1;
        let wall =
            job.run.strip((0, Length::ZERO), (last, job.run.length(last)), &|_| Length::round_nm(-9.0 * unit), &|_| {
                Length::ZERO
            });
        // A run that crosses itself has no wall behind it.
        if let Ok(wall) = wall {
            let (bottom, top) = (job.length(-1000.0), job.length(1000.0));
            job.surroundings.push(Old { outline: wall.outline, bottom, top, tag: WALL });
        }
        job
    }

    pub fn length(&self, value: f64) -> Length {
        Length::round_nm(value * self.unit)
    }

    pub fn strip(
        &self,
        from: (usize, f64),
        to: (usize, f64),
        inner: &dyn Fn(usize) -> f64,
        outer: &dyn Fn(usize) -> f64,
    ) -> Outline {
        let (from, to) = ((from.0, self.length(from.1)), (to.0, self.length(to.1)));
        let made = self.run.strip(from, to, &|leg| self.length(inner(leg)), &|leg| self.length(outer(leg)));
        made.unwrap().outline
    }

    pub fn solid(&self) -> Solid<u8> {
        let made = solid(&self.pieces, &[], &self.surroundings, true);
        assert_closed(&made);
        made
    }
}

pub(super) fn sum<T: Copy>(made: &Solid<T>, wanted: impl Fn(&Face<T>) -> bool) -> f64 {
    made.faces.iter().filter(|face| wanted(face)).map(|face| face.area).sum::<Area>().nm2() as f64
}

pub(super) fn is_upright<T>(face: &Face<T>) -> bool {
    matches!(face.kind, FaceKind::Upright { .. })
}

fn is_inner<T>(face: &Face<T>) -> bool {
    is_upright(face) && face.flank.is_some_and(|flank| flank.side == Side::Inner)
}

pub(super) fn is_top<T>(face: &Face<T>) -> bool {
    matches!(face.kind, FaceKind::Top { .. })
}

pub(super) fn is_under<T>(face: &Face<T>) -> bool {
    matches!(face.kind, FaceKind::Under { .. })
}

/// The face area vectors of a closed surface add up to nothing, also at every height (so that uprights close round
/// each layer); and the divergence of the position over the surface is three times the volume.
pub(super) fn assert_closed<T: Copy>(made: &Solid<T>) {
    let (mut x, mut y, mut all, mut volume) = (0.0, 0.0, 0.0, 0.0);
    // Volume by the divergence of (0, 0, z), and by that of (x, 0, 0) from the uprights alone.
    let mut from_uprights = 0.0;
    let mut size: f64 = 0.0;
    for face in &made.faces {
        let area = face.area.nm2() as f64;
        assert!(area > 0.0);
        match face.kind {
            FaceKind::Upright { from, to, bottom, top } => {
                let height = (top - bottom).nm() as f64;
                assert!((from.distance(to) * height - area).abs() <= 1e-6 * area + height * 2.0);
                x += (to.y - from.y) * height;
                y -= (to.x - from.x) * height;
                all += area;
                from_uprights += f64::midpoint(from.x, to.x) * (to.y - from.y) * height;
                size = size.max(from.x.abs()).max(from.y.abs());
            }
            FaceKind::Top { height } => volume += area * height.nm() as f64,
            FaceKind::Under { height } => volume -= area * height.nm() as f64,
        }
    }
    assert!(x.hypot(y) <= 1e-7 * all, "uprights: {x} {y} of {all}");
    let (top, under) = (sum(made, is_top), sum(made, is_under));
    assert!((top - under).abs() <= 1e-7 * top, "tops {top}, undersides {under}");
    let expected = made.volume.nm3() as f64;
    assert!((volume - expected).abs() <= 1e-6 * expected, "from level faces {volume}, not {expected}");
    assert!((from_uprights - expected).abs() <= 1e-6 * expected + 1e-7 * all * size, "{from_uprights}, not {expected}");
    assert_eq!(made.pieces.iter().copied().sum::<Volume>(), made.volume);
    // The plans of a level face come to its area.
    for (index, face) in made.faces.iter().enumerate().filter(|(_, face)| !is_upright(face)) {
        let plans = || made.plans.iter().filter(|(of, _)| *of as usize == index).map(|(_, plan)| plan);
        let (area, drawn) = (face.area.nm2() as f64, plans().map(Outline::area).sum::<Area>().nm2() as f64);
        // Carving may move each edge by `TOUCH`: of a sliver some micrometres wide that is more than a millionth.
        let round = plans().flat_map(Outline::edges).map(|(from, to, _)| from.distance(to)).sum::<f64>();
        let off = (area - drawn).abs();
        assert!(off <= 1e-6 * area + carve::TOUCH * round, "a face of {area}, {round} round, is drawn as {drawn}");
    }
}

/// Volume (ft3 or m3), old, formed, under and top (ft2 or m2).
fn assert_case(job: &Job, volume: f64, areas: [f64; 4]) {
    let made = job.solid();
    let (volume_unit, area_unit) = if job.unit == MM { (1e27, 1e18) } else { (SQUARE_FOOT * 304.8e6, SQUARE_FOOT) };
    let got = made.volume.nm3() as f64 / volume_unit;
    assert!((got - volume).abs() < 6e-10, "volume {got}, not {volume}");
    let found = [
        sum(&made, is_inner),
        sum(&made, |face| is_upright(face) && !is_inner(face)),
        sum(&made, is_under),
        sum(&made, is_top),
    ];
    for (got, expected) in found.iter().zip(areas) {
        let got = got / area_unit;
        assert!((got - expected).abs() <= 1e-7 * expected, "{got}, not {expected}");
    }
    assert_eq!(sum(&made, is_inner), sum(&made, |face| face.behind == Some(WALL)));
}

fn s1(heading: f64) -> Job {
    Job::new(
        INCH,
        heading,
        &[120.0, 36.0],
        &[90.0],
        &[((0, 0.0), (0, 72.0), 8.0, -4.0, 12.0), ((0, 72.0), (1, 36.0), 8.0, -4.0, 20.0)],
    )
}

fn s6(heading: f64, wall_bottom: f64) -> Job {
    Job::new(
        INCH,
        heading,
        &[120.0, 84.0],
        &[90.0],
        &[((0, 0.0), (1, 84.0), 14.0, -8.0, 0.0), ((0, 0.0), (1, 84.0), 6.0, wall_bottom, 28.0)],
    )
}

fn s11(heading: f64) -> Job {
    Job::new(
        INCH,
        heading,
        &[144.0],
        &[],
        &[
            ((0, 0.0), (0, 48.0), 8.0, -4.0, 12.0),
            ((0, 48.0), (0, 96.0), 8.0, 4.0, 20.0),
            ((0, 96.0), (0, 144.0), 8.0, 12.0, 28.0),
        ],
    )
}

#[test]
fn s1_two_blocks_round_an_outside_corner() {
    let job = s1(0.0);
    assert_case(&job, 15.555_555_556, [22.0, 27.333_333_333, 9.111_111_111, 9.111_111_111]);
    let cubic_inch: i128 = 25_400_000 * 25_400_000 * 25_400_000;
    assert_eq!(job.solid().volume, Volume::from_nm3(26_880 * cubic_inch));
    for heading in [90.0, 33.3, 211.7] {
        assert_eq!(s1(heading).solid().volume, Volume::from_nm3(26_880 * cubic_inch));
    }
}

#[test]
fn s2_a_free_line() {
    let mut job = Job::new(INCH, 0.0, &[240.0], &[], &[((0, 0.0), (0, 240.0), 6.0, 0.0, 10.0)]);
    job.surroundings.clear();
    let made = job.solid();
    assert_eq!(made.volume.cubic_feet(), 240.0 * 60.0 / 1728.0);
    let upright = sum(&made, is_upright) / SQUARE_FOOT;
    assert!((upright - (16.666_666_667 + 17.5)).abs() < 1e-8);
    assert_eq!(sum(&made, is_top) / SQUARE_FOOT, 10.0);
    assert_eq!(sum(&made, is_under) / SQUARE_FOOT, 10.0);
    assert!(made.faces.iter().all(|face| face.behind.is_none()));
}

#[test]
fn s3_an_inside_corner() {
    let job = Job::new(INCH, 0.0, &[96.0, 48.0], &[-90.0], &[((0, 0.0), (1, 48.0), 8.0, 0.0, 24.0)]);
    assert_case(&job, 15.111_111_111, [24.0, 24.0, 7.555_555_556, 7.555_555_556]);
}

#[test]
fn s4_an_outside_corner_of_60_degrees() {
    let job = Job::new(INCH, 0.0, &[90.0, 70.0], &[60.0], &[((0, 0.0), (1, 70.0), 9.0, -6.0, 15.0)]);
    assert_case(&job, 18.068_329_171, [23.333_333_333, 27.473_877_790, 10.324_759_526, 10.324_759_526]);
}

#[test]
fn s5_an_inside_corner_of_45_degrees() {
    let job = Job::new(INCH, 0.0, &[90.0, 70.0], &[-45.0], &[((0, 0.0), (1, 70.0), 9.0, -6.0, 15.0)]);
    assert_case(&job, 17.092_258_525, [23.333_333_333, 24.871_022_732, 9.767_004_871, 9.767_004_871]);
}

#[test]
fn s6_a_wall_on_its_footing() {
    let job = s6(0.0, 0.0);
    assert_case(&job, 34.546_296_296, [51.0, 58.777_777_778, 21.194_444_444, 21.194_444_444]);
    assert!(job.solid().overlap.is_empty());
}

#[test]
fn s7_a_wall_that_starts_inside_its_footing_counts_once() {
    let job = s6(0.0, -2.0);
    assert_case(&job, 34.546_296_296, [51.0, 58.777_777_778, 21.194_444_444, 21.194_444_444]);
    let shared = job.length(2.0);
    let expected = job.pieces[1].outline.area() * shared;
    assert_eq!(job.solid().overlap, [(0, 1, expected)]);
}

#[test]
fn s8_unlike_thicknesses_round_a_corner() {
    let mut job = Job::new(INCH, 0.0, &[100.0, 50.0], &[90.0], &[]);
    let outline = job.strip((0, 0.0), (1, 50.0), &|_| 0.0, &|leg| [6.0, 10.0][leg]);
    job.pieces.push(Piece { outline, bottom: Length::ZERO, top: job.length(18.0), id: 0 });
    assert_case(&job, 12.083_333_333, [18.75, 22.75, 8.055_555_556, 8.055_555_556]);
}

#[test]
fn s9_round_two_corners() {
    let legs = [60.0, 30.0, 60.0];
    let job = Job::new(INCH, 0.0, &legs, &[90.0, 90.0], &[((0, 12.0), (2, 48.0), 5.0, 0.0, 30.0)]);
    assert_case(&job, 11.805_555_556, [26.25, 32.5, 4.722_222_222, 4.722_222_222]);
}

#[test]
fn s10_in_millimetres() {
    let blocks: [Block; 2] =
        [((0, 0.0), (0, 1800.0), 180.0, -150.0, 300.0), ((0, 1800.0), (1, 1200.0), 180.0, -150.0, 520.0)];
    let job = Job::new(MM, 0.0, &[3000.0, 1200.0], &[90.0], &blocks);
    assert_case(&job, 0.456_948, [2.418, 2.900_4, 0.788_4, 0.788_4]);
    assert_eq!(job.solid().volume, Volume::from_nm3(456_948_000 * 1_000_000_000_000_000_000));
}

#[test]
fn s11_a_stepped_bottom_has_risers() {
    let job = s11(0.0);
    assert_case(&job, 10.666_666_667, [16.0, 19.555_555_556, 8.0, 8.0]);
    let made = job.solid();
    assert_eq!(sum(&made, |face| face.riser) / SQUARE_FOOT, 2.0 * 64.0 / 144.0);
    // The steps at the top are ends, not risers.
    let steps = |face: &Face<u8>| is_upright(face) && !face.riser && face.flank.unwrap().side == Side::Start;
    assert_eq!(sum(&made, steps) / SQUARE_FOOT, (2.0 * 64.0 + 128.0) / 144.0);
}

/// Closed form of a mitred sweep, V = A·ΣL − 2·S·Σ tan(θ/2), for the tiers of a stepped profile: 12, 8 and 6 in wide,
/// each 12 in high.
#[test]
fn tiers_along_six_plans_agree_with_the_closed_form() {
    let tiers = [(12.0, 0.0), (8.0, 12.0), (6.0, 24.0)];
    let plans: [(&[f64], &[f64], f64); 5] = [
        (&[20.0], &[], 43.3333),
        (&[12.0, 8.0], &[90.0], 45.0278),
        (&[12.0, 8.0], &[-90.0], 41.6389),
        (&[10.0, 6.0, 8.0], &[90.0, -90.0], 52.0),
        (&[10.0, 72.0_f64.sqrt()], &[45.0], 40.7533),
    ];
    for (legs, turns, expected) in plans {
        let legs: Vec<f64> = legs.iter().map(|feet| feet * 12.0).collect();
        let last = (legs.len() - 1, legs[legs.len() - 1]);
        let blocks: Vec<Block> = tiers.iter().map(|&(t, z)| ((0, 0.0), last, t, z, z + 12.0)).collect();
        let made = Job::new(INCH, 0.0, &legs, turns, &blocks).solid();
        assert!((made.volume.cubic_feet() - expected).abs() < 5e-5, "{legs:?} {turns:?}");
        let tangents: f64 = turns.iter().map(|turn: &f64| (turn / 2.0).to_radians().tan()).sum();
        let exact = 26.0 / 12.0 * legs.iter().sum::<f64>() / 12.0 + 2.0 * 0.847_222_222_222 * tangents;
        assert!((made.volume.cubic_feet() / exact - 1.0).abs() < 1e-9);
        if turns == [90.0] {
            let outer = |tier: u32| {
                let is_outer = |face: &Face<u8>| face.flank.is_some_and(|flank| flank.side == Side::Outer);
                sum(&made, |face| face.piece == tier && is_outer(face)) / SQUARE_FOOT
            };
            for (tier, expected) in [(0, 22.0), (1, 21.3333), (2, 21.0)] {
                assert!((outer(tier) - expected).abs() < 5e-5);
            }
        }
    }
}

#[test]
fn a_closed_square_seen_from_inside_agrees_with_the_closed_form() {
    let foot = 304.8e6;
    let legs = vec![Leg { length: Length::round_nm(10.0 * foot) }; 4];
    let room = Run::new(Point::default(), 12.0, legs, vec![-90.0; 4], true);
    let end = (3, Length::round_nm(10.0 * foot));
    let outline = room.strip((0, Length::ZERO), end, &|_| Length::ZERO, &|_| Length::FOOT).unwrap().outline;
    let piece = Piece { outline, bottom: Length::ZERO, top: Length::FOOT * 2, id: 0 };
    let made = solid::<u8>(&[piece], &[], &[], true);
    assert_closed(&made);
    assert_eq!(made.volume.cubic_feet(), 72.0);
    assert_eq!(sum(&made, is_upright) / SQUARE_FOOT, 2.0 * (40.0 + 32.0));
}

#[test]
fn a_void_through_a_wall_leaves_its_reveals() {
    let job = Job::new(INCH, 0.0, &[100.0], &[], &[((0, 0.0), (0, 100.0), 8.0, 0.0, 50.0)]);
    let outline = job.strip((0, 40.0), (0, 60.0), &|_| -1.0, &|_| 9.0);
    let void = Void { outline, bottom: job.length(10.0), top: job.length(30.0) };
    let made = solid(&job.pieces, &[void], &job.surroundings, true);
    assert_closed(&made);
    assert_eq!(made.volume, job.length(8.0) * job.length(100.0) * job.length(46.0));
    let made_by_void = |face: &Face<u8>| face.void;
    assert_eq!(sum(&made, made_by_void) / INCH / INCH, 4.0 * 20.0 * 8.0);
    assert_eq!(sum(&made, is_inner) / INCH / INCH, 4600.0);
    assert_eq!(sum(&made, |face| face.behind == Some(WALL)) / INCH / INCH, 4600.0);
}

#[test]
fn faces_are_divided_where_what_lies_behind_them_changes() {
    let mut job = Job::new(INCH, 25.0, &[100.0], &[], &[((0, 0.0), (0, 100.0), 8.0, 0.0, 50.0)]);
    let old = |from: f64, to: f64, inner: f64, outer: f64, bottom: f64, top: f64, tag: u8| Old {
        outline: job.strip((0, from), (0, to), &|_| inner, &|_| outer),
        bottom: job.length(bottom),
        top: job.length(top),
        tag,
    };
    let surroundings = vec![
        // An old wall over part of the face, its lower 40 in.
        old(0.0, 70.0, -10.0, 0.0, -20.0, 40.0, 1),
        // A slab under the left half, half a millimetre lower.
        old(-10.0, 50.0, 0.0, 30.0, -4.0, -0.019, 2),
        // An earlier pour at the right end, and one further off than a millimetre.
        old(100.0, 120.0, 0.0, 8.0, 0.0, 25.0, 3),
        old(-20.0, -0.05, 0.0, 8.0, 0.0, 50.0, 4),
    ];
    job.surroundings = surroundings;
    let made = job.solid();
    let area = |tag: u8| sum(&made, |face| face.behind == Some(tag)) / INCH / INCH;
    assert!((area(1) / (70.0 * 40.0) - 1.0).abs() < 1e-7);
    assert!((area(2) / (50.0 * 8.0) - 1.0).abs() < 1e-7);
    assert!((area(3) / (25.0 * 8.0) - 1.0).abs() < 1e-7);
    assert_eq!(area(4), 0.0);
    let free_inner = sum(&made, |face| is_inner(face) && face.behind.is_none()) / INCH / INCH;
    assert!((free_inner / (5000.0 - 2800.0) - 1.0).abs() < 1e-7);
}

#[test]
fn a_pad_on_two_slabs_and_a_pit() {
    let mut job = Job::new(INCH, 0.0, &[100.0], &[], &[((0, 0.0), (0, 40.0), 40.0, 0.0, 10.0)]);
    let old = |from: f64, to: f64, inner: f64, outer: f64, tag: u8| Old {
        outline: job.strip((0, from), (0, to), &|_| inner, &|_| outer),
        bottom: job.length(-4.0),
        top: Length::ZERO,
        tag,
    };
    job.surroundings = vec![old(-10.0, 20.0, -10.0, 20.0, 1), old(10.0, 50.0, 0.0, 30.0, 2)];
    let made = job.solid();
    let area = |tag: Option<u8>| sum(&made, |face| is_under(face) && face.behind == tag) / INCH / INCH;
    assert_eq!(area(Some(1)), 400.0);
    assert_eq!(area(Some(2)), 30.0 * 30.0 - 10.0 * 20.0);
    assert_eq!(area(None), 1600.0 - 400.0 - 700.0);
}

#[test]
fn nothing_and_nonsense_make_nothing() {
    assert_eq!(solid::<u8>(&[], &[], &[], true).volume, Volume::ZERO);
    let point = |x, y| Point::new(x, y);
    let outlines = [
        Outline::default(),
        Outline::polygon(&[]),
        Outline::polygon(&[point(0.0, 0.0)]),
        Outline::polygon(&[point(0.0, 0.0), point(0.0, 0.0), point(0.0, 0.0)]),
        Outline::polygon(&[point(0.0, 0.0), point(1e9, 0.0), point(2e9, 0.0)]),
        Outline::polygon(&[point(f64::NAN, 0.0), point(1e9, f64::INFINITY), point(2e300, -1e300)]),
    ];
    let flat = Outline::polygon(&[point(0.0, 0.0), point(1e9, 0.0), point(1e9, 1e9)]);
    let mut pieces: Vec<Piece> = outlines
        .iter()
        .map(|outline| Piece { outline: outline.clone(), bottom: Length::ZERO, top: Length::FOOT, id: 1 })
        .collect();
    pieces.push(Piece { outline: flat.clone(), bottom: Length::FOOT, top: Length::FOOT, id: 2 });
    pieces.push(Piece { outline: flat, bottom: Length::FOOT, top: Length::ZERO, id: 3 });
    let voids: Vec<Void> = pieces
        .iter()
        .map(|piece| Void { outline: piece.outline.clone(), bottom: piece.bottom, top: piece.top })
        .collect();
    let olds: Vec<Old<u8>> = pieces
        .iter()
        .map(|piece| Old { outline: piece.outline.clone(), bottom: piece.bottom, top: piece.top, tag: 1 })
        .collect();
    pieces.truncate(5);
    let made = solid(&pieces, &voids, &olds, true);
    assert_eq!(made.volume, Volume::ZERO);
    assert!(made.faces.is_empty());
}
