//! Bent lines: a bar as a chain of straights and arcs, and how long the straight bar is that it is bent from.
//!
//! Straights and circular arcs of the centre line's radius R = r + d/2, with r the inside radius and d the nominal
//! diameter; no spring-back, and steel does not stretch on its centre line. The formulas follow from plane geometry;
//! the dimensions are those of a bending schedule (out to out, hooks to the outer tangent, as in ACI 315).

use std::f64::consts::PI;

use super::{Point, Run, distance::Segment, point::nm};
use crate::units::Length;

/// Straights may come out shorter than nothing by this, in nanometres: noise.
const NOISE: f64 = 0.5;

/// The sharpest bend, in degrees, that is dimensioned to its outside apex; hooks are dimensioned to the outer
/// tangent.
pub const SHARPEST_APEX: f64 = 90.0;

/// A place in space.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spot {
    /// Where in plan, or (station, offset) in the frame of a leg, in nanometres.
    pub plan: Point,
    /// How high, in nanometres.
    pub height: f64,
}

impl Spot {
    /// The place over a plan point at a height.
    #[must_use]
    pub fn new(plan: Point, height: Length) -> Spot {
        Spot { plan, height: nm(height) }
    }
}

/// A chain of straight moves through sharp corners, each of which is bent to the same inside radius.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// The corners of the centre line, with its two ends.
    pub vertices: Vec<Spot>,
    /// Inside radius of the bends.
    pub inside_radius: Length,
    /// Nominal diameter.
    pub diameter: Length,
}

impl Walk {
    /// Its cut length: see [`cut_length`].
    ///
    /// # Errors
    ///
    /// A [`BendRefusal`] where it cannot be bent.
    pub fn cut_length(&self) -> Result<Length, BendRefusal> {
        cut_length(&self.vertices, self.inside_radius, self.diameter)
    }

    /// Its straights, and chords of its arcs that leave the arc by no more than `within` (nanometres): the way a bar
    /// really lies. A walk that cannot be bent gives what can be drawn of it.
    #[must_use]
    pub fn segments(&self, within: f64) -> Vec<Segment> {
        let radius = nm(self.inside_radius) + nm(self.diameter) / 2.0;
        let place = |spot: Spot| [spot.plan.x, spot.plan.y, spot.height];
        let mut out = Vec::with_capacity(self.vertices.len());
        let Some(first) = self.vertices.first() else { return out };
        let mut from = place(*first);
        let mut draw = |to: [f64; 3]| {
            out.push(Segment { from, to });
            from = to;
        };
        for corner in self.vertices.windows(3) {
            let &[a, b, c] = corner else { continue };
            let angle = turn(a, b, c);
            let (before, after) = (apart(a, b), apart(b, c));
            if !(1e-9..PI - 1e-6).contains(&angle) || before <= 0.0 || after <= 0.0 {
                draw(place(b));
                continue;
            }
            // Where the arc begins and ends, and its middle, which lies from the corner towards the inside.
            let eaten = radius * (angle / 2.0).tan();
            let (u, v) = (between(a, b).map(|part| part / before), between(b, c).map(|part| part / after));
            let step = |at: usize, along: f64, out: f64| {
                let of = |from: &[f64; 3]| from.get(at).copied().unwrap_or(0.0);
                of(&place(b)) + along * of(&u) + out * of(&v)
            };
            // A point of the arc: from its middle, turned by a part of the angle.
            let chords = (angle / (2.0 * (1.0 - (within / radius.max(within)).min(1.0)).acos())).ceil().max(1.0);
            for number in 0..=chords as u32 {
                let turned = angle * f64::from(number) / chords;
                // Along u it goes as R sin, across it as R (1 - cos); v is u cos + w sin of the whole angle.
                let across = radius * (1.0 - turned.cos()) / angle.sin();
                let along = radius * turned.sin() - eaten - across * angle.cos();
                draw([step(0, along, across), step(1, along, across), step(2, along, across)]);
            }
        }
        if let Some(last) = self.vertices.get(1..).and_then(|rest| rest.last()) {
            draw(place(*last));
        }
        out
    }

    /// The turn at each inner vertex, in degrees: 0 is straight on. A leg without length turns by nothing.
    pub fn turns(&self) -> impl Iterator<Item = f64> + '_ {
        self.vertices.windows(3).map(|corner| match corner {
            [a, b, c] => turn(*a, *b, *c).to_degrees(),
            _ => 0.0,
        })
    }
}

/// Why a line cannot be bent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BendRefusal {
    /// There are fewer than two vertices or no leg.
    Empty,
    /// A radius or a diameter is less than nothing, or an angle is none.
    NoBend,
    /// The bend after this leg turns straight back (180 degrees at a sharp corner, which no arc rounds), or it is
    /// dimensioned to an outside apex although it turns by more than 90 degrees.
    TurnTooSharp {
        /// The leg before the bend, counted from 0.
        leg: usize,
        /// The turn.
        degrees: f64,
    },
    /// The bends at the ends of a leg use up more than the leg.
    LegTooShort {
        /// The leg, counted from 0.
        leg: usize,
        /// The least length of the leg, measured as the leg was given.
        least: Length,
    },
}

/// The exact length of the centre line through these vertices, each turn rounded with the inside radius: the sum of
/// the distances less 2 R tan(θ/2) − R θ for each turn θ.
///
/// Consecutive vertices that are the same count as one.
///
/// # Errors
///
/// A [`BendRefusal`] where a bend turns straight back or a leg is shorter than its bends.
pub fn cut_length(vertices: &[Spot], inside_radius: Length, diameter: Length) -> Result<Length, BendRefusal> {
    let radius = centre_radius(inside_radius, diameter)?;
    let mut points: Vec<Spot> = Vec::with_capacity(vertices.len());
    for vertex in vertices {
        if points.last().is_none_or(|last| apart(*last, *vertex) > NOISE) {
            points.push(*vertex);
        }
    }
    if points.len() < 2 {
        return Err(BendRefusal::Empty);
    }
    let mut length = 0.0;
    let mut eaten_before = 0.0;
    for (leg, pair) in points.windows(2).enumerate() {
        let &[from, to] = pair else { continue };
        let straight = apart(from, to);
        let angle = points.get(leg + 2).map_or(0.0, |next| turn(from, to, *next));
        // A hair's breadth from straight back the tangents run away for good.
        if angle > PI - 1e-6 {
            return Err(BendRefusal::TurnTooSharp { leg, degrees: angle.to_degrees() });
        }
        let eaten = radius * (angle / 2.0).tan();
        if straight - eaten_before - eaten < -NOISE {
            return Err(BendRefusal::LegTooShort { leg, least: up(eaten_before + eaten) });
        }
        length += straight - 2.0 * eaten + radius * angle;
        eaten_before = eaten;
    }
    Ok(Length::round_nm(length))
}

/// The exact cut length from out-to-out dimensions: legs measured between the outside apexes of the bends (or from
/// an end of the bar), each turn between two legs in degrees, at most 90. The sum of the legs less
/// [`out_to_out_deduction`] for each turn, whichever way it goes.
///
/// # Errors
///
/// A [`BendRefusal`] where a turn is over 90 degrees or a leg is shorter than its bends.
pub fn out_to_out_length(
    legs: &[Length],
    turns: &[f64],
    inside_radius: Length,
    diameter: Length,
) -> Result<Length, BendRefusal> {
    centre_radius(inside_radius, diameter)?;
    if legs.is_empty() {
        return Err(BendRefusal::Empty);
    }
    let bend = nm(inside_radius) + nm(diameter);
    let (mut length, mut eaten_before) = (0.0, 0.0);
    for (leg, own) in legs.iter().enumerate() {
        let degrees = if leg + 1 < legs.len() { turns.get(leg).copied().unwrap_or(0.0).abs() } else { 0.0 };
        if !degrees.is_finite() {
            return Err(BendRefusal::NoBend);
        }
        if degrees > SHARPEST_APEX + 1e-9 {
            return Err(BendRefusal::TurnTooSharp { leg, degrees });
        }
        let eaten = bend * (degrees.to_radians() / 2.0).tan();
        if nm(*own) - eaten_before - eaten < -NOISE {
            return Err(BendRefusal::LegTooShort { leg, least: up(eaten_before + eaten) });
        }
        length += nm(*own) - deduction(degrees, inside_radius, diameter);
        eaten_before = eaten;
    }
    Ok(Length::round_nm(length))
}

/// How much shorter the centre line is than two out-to-out legs with a turn (in degrees) between them:
/// 2 (r + d) tan(θ/2) − (r + d/2) θ.
///
/// # Errors
///
/// A [`BendRefusal`] for a turn over 90 degrees, whose outside apex nobody can measure to.
pub fn out_to_out_deduction(degrees: f64, inside_radius: Length, diameter: Length) -> Result<Length, BendRefusal> {
    centre_radius(inside_radius, diameter)?;
    if !degrees.is_finite() {
        return Err(BendRefusal::NoBend);
    }
    if degrees.abs() > SHARPEST_APEX + 1e-9 {
        return Err(BendRefusal::TurnTooSharp { leg: 0, degrees: degrees.abs() });
    }
    Ok(Length::round_nm(deduction(degrees.abs(), inside_radius, diameter)))
}

fn deduction(degrees: f64, inside_radius: Length, diameter: Length) -> f64 {
    let (r, d, angle) = (nm(inside_radius), nm(diameter), degrees.to_radians());
    2.0 * (r + d) * (angle / 2.0).tan() - (r + d / 2.0) * angle
}

/// What a hook of 90 to 180 degrees with a straight extension adds to a leg that is measured to the outermost
/// tangent of its bend: (r + d/2) θ + extension − (r + d).
///
/// # Errors
///
/// A [`BendRefusal`] for a turn outside 90 to 180 degrees, or an extension less than nothing.
pub fn hook_addition(
    degrees: f64,
    extension: Length,
    inside_radius: Length,
    diameter: Length,
) -> Result<Length, BendRefusal> {
    let radius = centre_radius(inside_radius, diameter)?;
    if !(90.0..=180.0).contains(&degrees) || extension < Length::ZERO {
        return Err(BendRefusal::NoBend);
    }
    let added = radius * degrees.to_radians() + nm(extension) - nm(inside_radius) - nm(diameter);
    Ok(Length::round_nm(added))
}

/// The length of a line that follows a run at an offset from one place (leg, station) to another, with each corner
/// rounded by an arc of this radius (of the line itself). At a corner the straight stretches meet where the offset
/// lines do; legs that go straight on have none.
///
/// # Errors
///
/// A [`BendRefusal`] where a stretch is shorter than its arcs; its least length is that between the corner points of
/// the line itself.
pub fn path_round_corners(
    run: &Run,
    from: (usize, Length),
    to: (usize, Length),
    offset: Length,
    radius: Length,
) -> Result<Length, BendRefusal> {
    let count = run.legs().len();
    let onwards = from.0 < to.0 || (from.0 == to.0 && from.1 < to.1);
    if from.0 >= count || to.0 >= count || from == to || !(onwards || run.closed()) {
        return Err(BendRefusal::Empty);
    }
    if radius < Length::ZERO {
        return Err(BendRefusal::NoBend);
    }
    let legs = if onwards { to.0 - from.0 + 1 } else { count - from.0 + to.0 + 1 };
    let (offset, radius) = (nm(offset), nm(radius));
    let (mut length, mut corner_before, mut eaten_before) = (0.0, 0.0, 0.0);
    for step in 0..legs {
        let leg = (from.0 + step) % count;
        let start = if step == 0 { nm(from.1) } else { 0.0 };
        let last = step + 1 == legs;
        let end = if last { nm(to.1) } else { nm(run.length(leg)) };
        let degrees = if last { 0.0 } else { run.turn_after(leg).unwrap_or(0.0) };
        let angle = degrees.to_radians();
        if angle.abs() > PI - 1e-6 {
            return Err(BendRefusal::TurnTooSharp { leg, degrees });
        }
        // Outside, the offset line is longer than the face by this at each corner; inside, shorter.
        let corner = offset * (angle / 2.0).tan();
        let eaten = radius * (angle.abs() / 2.0).tan();
        let straight = end - start + corner_before + corner;
        if straight - eaten_before - eaten < -NOISE {
            return Err(BendRefusal::LegTooShort { leg, least: up(eaten_before + eaten) });
        }
        length += straight - 2.0 * eaten + radius * angle.abs();
        (corner_before, eaten_before) = (corner, eaten);
    }
    Ok(Length::round_nm(length))
}

fn centre_radius(inside_radius: Length, diameter: Length) -> Result<f64, BendRefusal> {
    if inside_radius < Length::ZERO || diameter < Length::ZERO {
        return Err(BendRefusal::NoBend);
    }
    Ok(nm(inside_radius) + nm(diameter) / 2.0)
}

/// To the whole nanometre that is enough.
fn up(length: f64) -> Length {
    Length::from_nm((length - NOISE).ceil() as i64)
}

fn between(a: Spot, b: Spot) -> [f64; 3] {
    [b.plan.x - a.plan.x, b.plan.y - a.plan.y, b.height - a.height]
}

fn dot([ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3]) -> f64 {
    ax * bx + ay * by + az * bz
}

fn apart(a: Spot, b: Spot) -> f64 {
    let way = between(a, b);
    dot(way, way).sqrt()
}

/// The turn at `b`, in radians.
fn turn(a: Spot, b: Spot, c: Spot) -> f64 {
    let (u, v) = (between(a, b), between(b, c));
    let ([ux, uy, uz], [vx, vy, vz]) = (u, v);
    let across = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    dot(across, across).sqrt().atan2(dot(u, v))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::Leg;

    const INCH: f64 = 25.4e6;
    const MM: f64 = 1e6;
    // Nominal diameters, ASTM A615.
    const NO_3: f64 = 0.375 * INCH;
    const NO_4: f64 = 0.5 * INCH;
    const NO_5: f64 = 0.625 * INCH;

    fn of(value: f64) -> Length {
        Length::round_nm(value)
    }

    fn bent(legs: &[f64], turns: &[f64], r: f64, d: f64) -> f64 {
        let legs: Vec<Length> = legs.iter().map(|&leg| of(leg)).collect();
        nm(out_to_out_length(&legs, turns, of(r), of(d)).unwrap())
    }

    fn hook(degrees: f64, extension: f64, r: f64, d: f64) -> f64 {
        nm(hook_addition(degrees, of(extension), of(r), of(d)).unwrap())
    }

    /// A flat walk: legs, and turns in degrees between them.
    fn flat(legs: &[f64], turns: &[f64]) -> Vec<Spot> {
        let mut heading: f64 = 0.0;
        let mut vertices = vec![Spot::default()];
        for (index, leg) in legs.iter().enumerate() {
            let last = vertices[vertices.len() - 1];
            let (sin, cos) = heading.to_radians().sin_cos();
            vertices
                .push(Spot { plan: Point::new(last.plan.x + leg * cos, last.plan.y), height: last.height + leg * sin });
            heading += turns.get(index).copied().unwrap_or(0.0);
        }
        vertices
    }

    fn walked(legs: &[f64], turns: &[f64], r: f64, d: f64) -> f64 {
        nm(cut_length(&flat(legs, turns), of(r), of(d)).unwrap())
    }

    #[track_caller]
    fn assert_inches(length: f64, expected: f64) {
        assert!((length / INCH - expected).abs() < 5.1e-5, "{} in, not {expected}", length / INCH);
    }

    #[track_caller]
    fn assert_mm(length: f64, expected: f64) {
        assert!((length / MM - expected).abs() < 5.1e-3, "{} mm, not {expected}", length / MM);
    }

    #[test]
    fn bnd_1_to_4_bars_with_square_bends() {
        assert_inches(bent(&[10.0 * INCH, 24.0 * INCH], &[90.0], 1.5 * INCH, NO_4), 32.7489);
        assert_inches(bent(&[6.0 * INCH, 18.0 * INCH], &[90.0], 1.5 * INCH, NO_4), 22.7489);
        assert_inches(bent(&[8.0 * INCH, 36.0 * INCH], &[90.0], 1.875 * INCH, NO_5), 42.4361);
        assert_inches(bent(&[24.0 * INCH, 8.0 * INCH, 24.0 * INCH], &[90.0, 90.0], 1.5 * INCH, NO_4), 53.4978);
    }

    #[test]
    fn bnd_5_and_6_legs_with_hooks() {
        assert_inches(36.0 * INCH + hook(180.0, 2.5 * INCH, 1.5 * INCH, NO_4), 41.9978);
        assert_inches(30.0 * INCH + hook(90.0, 6.0 * INCH, 1.5 * INCH, NO_4), 36.7489);
        // The same as an L with the hook's leg measured out to out: r + d + extension = 8 in.
        assert_inches(bent(&[30.0 * INCH, 8.0 * INCH], &[90.0], 1.5 * INCH, NO_4), 36.7489);
    }

    /// A closed tie: two widths and two heights out to out, three corners, two hooks at the fourth.
    fn tie(w: f64, h: f64, degrees: f64, extension: f64, r: f64, d: f64) -> f64 {
        bent(&[w, h, w, h], &[90.0; 3], r, d) + 2.0 * hook(degrees, extension, r, d)
    }

    #[test]
    fn bnd_7_to_9_closed_ties() {
        assert_inches(tie(8.0 * INCH, 12.0 * INCH, 135.0, 3.0 * INCH, 0.75 * INCH, NO_3), 45.8357);
        assert_inches(tie(10.0 * INCH, 16.0 * INCH, 135.0, 3.0 * INCH, INCH, NO_4), 57.7810);
        let square = tie(8.0 * INCH, 12.0 * INCH, 90.0, 3.0 * INCH, 0.75 * INCH, NO_3);
        assert_inches(square, 44.3631);
        let c = (0.75 + 0.375 + 3.0) * INCH;
        let legs = [c, 8.0 * INCH, 12.0 * INCH, 8.0 * INCH, 12.0 * INCH, c];
        assert!((bent(&legs, &[90.0; 5], 0.75 * INCH, NO_3) - square).abs() <= 3.0);
    }

    #[test]
    fn bnd_10_and_11_cranks_from_the_centre_line() {
        let angle = (1.0_f64 / 6.0).atan().to_degrees();
        let incline = 1.5 / angle.to_radians().sin();
        assert!((incline - 9.1241).abs() < 5e-5);
        let legs = [24.0 * INCH, incline * INCH, 24.0 * INCH];
        assert_inches(walked(&legs, &[angle, -angle], 1.875 * INCH, NO_5), 57.1225);
        let legs = [24.0 * INCH, 8.0 * 2.0_f64.sqrt() * INCH, 24.0 * INCH];
        assert_inches(walked(&legs, &[45.0, -45.0], 1.5 * INCH, NO_4), 59.1631);
    }

    #[test]
    fn bnd_12_a_z_from_the_centre_line_and_out_to_out() {
        let r = 1.5 * INCH;
        assert_inches(walked(&[24.0 * INCH, 12.0 * INCH, 24.0 * INCH], &[90.0, -90.0], r, NO_4), 58.4978);
        assert_inches(bent(&[24.25 * INCH, 12.5 * INCH, 24.25 * INCH], &[90.0, -90.0], r, NO_4), 58.4978);
    }

    #[test]
    fn bnd_13_to_18_metric_bars() {
        assert_mm(bent(&[250.0 * MM, 600.0 * MM], &[90.0], 24.0 * MM, 12.0 * MM), 825.12);
        assert_mm(bent(&[500.0 * MM, 200.0 * MM, 500.0 * MM], &[90.0; 2], 24.0 * MM, 12.0 * MM), 1150.25);
        assert_mm(bent(&[600.0 * MM, 350.0 * MM, 600.0 * MM], &[90.0; 2], 70.0 * MM, 20.0 * MM), 1441.33);
        let link = [130.0, 400.0, 250.0, 400.0, 250.0, 130.0].map(|leg| leg * MM);
        assert_mm(bent(&link, &[90.0; 5], 20.0 * MM, 10.0 * MM), 1456.35);
        // A semicircle of outside width 300 mm between two legs measured to its outer tangent, by the hook formula:
        // the second leg runs from that tangent too, so its straight is the leg less half the width.
        let r = (150.0 - 16.0) * MM;
        assert_mm(400.0 * MM + hook(180.0, (400.0 - 150.0) * MM, r, 16.0 * MM), 946.11);
        let crank = [600.0, 80.0 * 2.0_f64.sqrt(), 600.0].map(|leg| leg * MM);
        assert_mm(walked(&crank, &[45.0, -45.0], 32.0 * MM, 16.0 * MM), 1309.69);
        assert_mm(crank.iter().sum(), 1313.14);
    }

    #[test]
    fn special_angles_of_the_deduction() {
        // Multiples of r and d, from the formula in closed form.
        let of_angle = |degrees: f64, r: f64, d: f64| nm(out_to_out_deduction(degrees, of(r), of(d)).unwrap());
        for (degrees, of_r, of_d) in [
            (30.0, 0.012_300, 0.274_099),
            (45.0, 0.043_029, 0.435_728),
            (60.0, 0.107_503, 0.631_102),
            (90.0, 0.429_204, 1.214_602),
        ] {
            assert!((of_angle(degrees, 1e9, 0.0) / 1e9 - of_r).abs() < 1e-6);
            assert!((of_angle(degrees, 0.0, 1e9) / 1e9 - of_d).abs() < 1e-6);
        }
    }

    #[test]
    fn legs_too_short_for_their_bends_are_refused_with_the_least_length() {
        let short = out_to_out_length(&[of(2.0 * INCH), of(1.9 * INCH)], &[90.0], of(1.5 * INCH), of(NO_4));
        assert_eq!(short, Err(BendRefusal::LegTooShort { leg: 1, least: of(2.0 * INCH) }));
        let short = cut_length(&flat(&[9.0 * INCH, 3.4 * INCH, 9.0 * INCH], &[90.0, 90.0]), of(1.5 * INCH), of(NO_4));
        assert_eq!(short, Err(BendRefusal::LegTooShort { leg: 1, least: of(3.5 * INCH) }));
        assert!(cut_length(&flat(&[9e8, 3.5 * INCH, 9e8], &[90.0, 90.0]), of(1.5 * INCH), of(NO_4)).is_ok());
    }

    #[test]
    fn what_is_no_bend_is_refused() {
        assert_eq!(cut_length(&[], Length::ZERO, Length::ZERO), Err(BendRefusal::Empty));
        assert_eq!(cut_length(&[Spot::default(); 4], Length::ZERO, Length::ZERO), Err(BendRefusal::Empty));
        assert_eq!(cut_length(&flat(&[1e9], &[]), -Length::INCH, Length::ZERO), Err(BendRefusal::NoBend));
        let back = cut_length(&flat(&[1e9, 1e9], &[180.0]), Length::INCH, Length::ZERO);
        assert!(matches!(back, Err(BendRefusal::TurnTooSharp { leg: 0, .. })));
        let sharp = out_to_out_length(&[Length::METRE; 2], &[91.0], Length::INCH, Length::ZERO);
        assert_eq!(sharp, Err(BendRefusal::TurnTooSharp { leg: 0, degrees: 91.0 }));
        assert_eq!(hook_addition(60.0, Length::INCH, Length::INCH, Length::INCH), Err(BendRefusal::NoBend));
        assert_eq!(hook_addition(f64::NAN, Length::INCH, Length::INCH, Length::INCH), Err(BendRefusal::NoBend));
        assert_eq!(out_to_out_deduction(f64::NAN, Length::INCH, Length::INCH), Err(BendRefusal::NoBend));
    }

    #[test]
    fn a_long_bar_follows_the_run() {
        let legs = vec![Leg { length: of(120.0 * INCH) }, Leg { length: of(36.0 * INCH) }];
        let path = |turn: f64, offset: f64, radius: f64| {
            let run = Run::new(Point::default(), 30.0, legs.clone(), vec![turn], false);
            path_round_corners(&run, (0, of(2.0 * INCH)), (1, of(34.0 * INCH)), of(offset * INCH), of(radius * INCH))
        };
        assert_inches(nm(path(0.0, 5.0, 3.0).unwrap()), 152.0);
        let round = PI / 2.0 * 3.0 - 2.0 * 3.0;
        assert_inches(nm(path(90.0, 5.0, 3.0).unwrap()), 152.0 + 10.0 + round);
        assert_inches(nm(path(-90.0, 5.0, 3.0).unwrap()), 152.0 - 10.0 + round);
        // On a circle round the corner itself the length is the face's and the arc.
        assert_inches(nm(path(90.0, 5.0, 5.0).unwrap()), 152.0 + PI / 2.0 * 5.0);
        assert_eq!(path(-90.0, 30.0, 5.0), Err(BendRefusal::LegTooShort { leg: 1, least: of(5.0 * INCH) }));
        let square = Run::new(Point::default(), 0.0, vec![Leg { length: Length::METRE }; 4], vec![90.0; 4], true);
        let half = Length::METRE / 2;
        let round = path_round_corners(&square, (3, half), (0, half), Length::ZERO, Length::ZERO);
        assert_eq!(round, Ok(Length::METRE));
        assert_eq!(path_round_corners(&square, (4, half), (0, half), half, half), Err(BendRefusal::Empty));
        assert_eq!(path_round_corners(&square, (0, half), (0, half), half, half), Err(BendRefusal::Empty));
    }

    fn length(segments: &[Segment]) -> f64 {
        let size = |s: &Segment| (0..3).map(|at| (s.to[at] - s.from[at]).powi(2)).sum::<f64>().sqrt();
        segments.iter().map(size).sum()
    }

    #[test]
    fn the_drawn_line_begins_and_ends_where_it_should_and_is_as_long_as_the_cut() {
        for turns in [[90.0, -90.0], [45.0, 135.0], [120.0, 30.0], [0.0, 60.0]] {
            let walk = Walk {
                vertices: flat(&[20.0 * INCH, 18.0 * INCH, 15.0 * INCH], &turns),
                inside_radius: of(1.5 * INCH),
                diameter: of(NO_4),
            };
            let segments = walk.segments(1000.0);
            let place = |spot: &Spot| [spot.plan.x, spot.plan.y, spot.height];
            assert_eq!(segments[0].from, place(&walk.vertices[0]));
            assert_eq!(segments[segments.len() - 1].to, place(&walk.vertices[3]));
            assert!(segments.windows(2).all(|pair| pair[0].to == pair[1].from));
            let cut = nm(walk.cut_length().unwrap());
            assert!((length(&segments) - cut).abs() < cut * 1e-5, "{} {cut}", length(&segments));
            // Coarser, it is shorter, and no chord is longer than the arc it stands for.
            assert!(length(&walk.segments(1e6)) < length(&segments));
            assert!(walk.segments(1e6).len() < segments.len());
        }
    }

    proptest! {
        #[test]
        fn centre_line_and_out_to_out_agree_and_so_does_the_way_back(
            legs in prop::collection::vec(200.0..2000.0_f64, 1..6),
            turns in prop::collection::vec(-90.0..90.0_f64, 5),
            r in 12.0..40.0_f64,
            d in 6.0..20.0_f64,
        ) {
            let (legs, r, d): (Vec<f64>, f64, f64) = (legs.iter().map(|leg| leg * MM).collect(), r * MM, d * MM);
            let apex = |index: usize| {
                if index + 1 < legs.len() { d / 2.0 * (turns[index].abs().to_radians() / 2.0).tan() } else { 0.0 }
            };
            let outs: Vec<f64> = legs
                .iter()
                .enumerate()
                .map(|(index, leg)| leg + apex(index) + index.checked_sub(1).map_or(0.0, apex))
                .collect();
            let walk = Walk { vertices: flat(&legs, &turns), inside_radius: of(r), diameter: of(d) };
            let length = nm(walk.cut_length().unwrap());
            prop_assert!((length - bent(&outs, &turns, r, d)).abs() < 10.0);
            for (found, given) in walk.turns().zip(&turns) {
                prop_assert!((found - given.abs()).abs() < 1e-6);
            }
            let mut back = walk;
            back.vertices.reverse();
            prop_assert!((nm(back.cut_length().unwrap()) - length).abs() <= 1.0);
        }

        #[test]
        fn the_deduction_grows_with_angle_radius_and_diameter(
            degrees in 1.0..89.0_f64,
            r in 1.0..100.0_f64,
            d in 1.0..40.0_f64,
        ) {
            let at = |degrees, r: f64, d: f64| deduction(degrees, of(r * MM), of(d * MM));
            let here = at(degrees, r, d);
            prop_assert!(here > 0.0);
            prop_assert!(at(degrees + 1.0, r, d) > here);
            prop_assert!(at(degrees, r + 1.0, d) > here);
            prop_assert!(at(degrees, r, d + 1.0) > here);
            prop_assert!(at(1e-6, r, d) < 1.0);
        }
    }
}
