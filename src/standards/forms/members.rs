//! Studs, walers, boards and panels looked at: what comes on them, what they take, how far apart their supports may be.

use super::{
    BeamStress, Checked, Figure, Inertia, Limit, Panel, PanelStress, Part, Rectangle, Spans, Unanswered, some_length,
    some_number, some_stress, widest,
};
use crate::units::{Area, Force, Length, LineLoad, Moment, Stress};

/// How far a member may sag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// No more than this part of the span, as 360 for L/360.
    pub part_of_span: f64,
    /// And no more than so much, as 1/16 in.
    pub cap: Option<Length>,
}

/// A straight member under an even load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Member {
    /// Its section, as it lies in the form.
    pub section: Rectangle,
    /// What its wood takes, with all factors.
    pub wood: BeamStress,
    /// Over how many spans.
    pub spans: Spans,
    /// Centre to centre of its supports.
    pub span: Length,
    /// What comes on it.
    pub load: LineLoad,
    /// How far it may sag.
    pub stiffness: Stiffness,
}

const STATICS: &str = "statics of beams over equal spans; allowable stress design of forms, seen in textbooks";
const SHEAR: &str = "NDS 3.4.3, shear looked at a depth from the support, seen in textbooks";

/// A stud, waler or board looked at for bending, shear and sag.
///
/// # Errors
///
/// [`Unanswered`] where a size, load or strength is none.
pub fn beam(member: &Member) -> Result<Vec<Checked>, Unanswered> {
    let section = member.section;
    let d = some_length("d", section.depth)?;
    some_length("b", section.whole_breadth())?;
    let l = some_length("L", member.span)?;
    let w = some_number("w", member.load.n_m()).map(|_| member.load)?;
    let fb = some_stress("Fb", member.wood.bending)?;
    let fv = some_stress("Fv", member.wood.shear)?;
    let e = some_stress("E", member.wood.modulus)?;
    let k = member.spans.coefficients();

    let bending = |span: Length| Moment::from_newton_metres(k.moment * w.n_m() * span.metres().powi(2));
    let bends = Moment::from_newton_metres(fb.pa() * section.modulus().cubic_metres());
    let shear = |span: Length| Force::from_newtons(k.shear * w.n_m() * (span - d * 2).max(Length::ZERO).metres());
    let shears = Force::from_newtons(fv.pa() * section.area().square_metres() / 1.5);
    let common = |symbol, coefficient| {
        vec![
            Part::number(symbol, coefficient, "coefficient of the number of spans"),
            Part::line_load("w", w, "load along the member"),
            Part::length("L", l, "centre to centre of the supports"),
        ]
    };
    let mut of_shear = common("kV", k.shear);
    of_shear.push(Part::length("d", d, "depth of the member"));
    let mut checks = vec![
        Checked {
            limit: Limit::Bending,
            load: Figure::Moment(bending(l)),
            capacity: Figure::Moment(bends),
            ratio: bending(l) / bends,
            widest: widest(|span| bending(span) / bends),
            formula: "kM * w * L^2",
            source: STATICS,
            parts: common("kM", k.moment),
        },
        Checked {
            limit: Limit::Shear,
            load: Figure::Force(shear(l)),
            capacity: Figure::Force(shears),
            ratio: shear(l) / shears,
            widest: widest(|span| shear(span) / shears),
            formula: "kV * w * (L - 2 * d)",
            source: SHEAR,
            parts: of_shear,
        },
    ];
    let sag = |span: Length| w.n_m() * span.metres().powi(4) / (k.sag * e.pa() * section.inertia().m4());
    checks.extend(sags(&member.stiffness, l, sag, "w * L^4 / (k * E * I)", STATICS, || {
        let mut parts = common("k", k.sag);
        parts.extend([
            Part::stress("E", e, "modulus of elasticity"),
            inertia("I", section.inertia(), "moment of inertia of the section, in4"),
        ]);
        parts
    })?);
    Ok(checks)
}

fn inertia(symbol: &'static str, inertia: Inertia, why: &'static str) -> Part {
    Part::number(symbol, inertia.in4(), why)
}

/// The sag against a part of the span and against its cap.
fn sags(
    stiffness: &Stiffness,
    at: Length,
    sag: impl Fn(Length) -> f64,
    formula: &'static str,
    source: &'static str,
    parts: impl Fn() -> Vec<Part>,
) -> Result<Vec<Checked>, Unanswered> {
    let part = some_number("part of the span", stiffness.part_of_span)?;
    let metres = |metres: f64| Figure::Length(Length::round_nm(metres * 1e9));
    let of_span = |span: Length| if span > Length::ZERO { sag(span) * part / span.metres() } else { 0.0 };
    let mut checks = vec![Checked {
        limit: Limit::Sag,
        load: metres(sag(at)),
        capacity: metres(at.metres() / part),
        ratio: of_span(at),
        widest: widest(of_span),
        formula,
        source,
        parts: parts(),
    }];
    if let Some(cap) = stiffness.cap {
        let most = some_length("cap", cap)?.metres();
        checks.push(Checked {
            limit: Limit::SagCap,
            load: metres(sag(at)),
            capacity: Figure::Length(cap),
            ratio: sag(at) / most,
            widest: widest(|span| sag(span) / most),
            formula,
            source,
            parts: parts(),
        });
    }
    Ok(checks)
}

/// What a panel rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Framing {
    /// Studs 1 1/2 in wide: sag is reckoned over the clear span and 1/4 in.
    TwoInch,
    /// Studs 3 1/2 in wide: over the clear span and 5/8 in.
    FourInch,
}

impl Framing {
    /// How wide its studs are.
    #[must_use]
    pub const fn width(self) -> Length {
        match self {
            Framing::TwoInch => Length::from_nm(38_100_000),
            Framing::FourInch => Length::from_nm(88_900_000),
        }
    }

    const fn allowance(self) -> Length {
        match self {
            Framing::TwoInch => Length::from_nm(6_350_000),
            Framing::FourInch => Length::from_nm(15_875_000),
        }
    }

    /// The clear span between studs so far apart.
    #[must_use]
    pub fn clear(self, spacing: Length) -> Length {
        (spacing - self.width()).max(Length::ZERO)
    }

    /// The span over which a panel's sag is reckoned.
    #[must_use]
    pub fn sagging(self, spacing: Length) -> Length {
        if spacing > self.width() { self.clear(spacing) + self.allowance() } else { Length::ZERO }
    }
}

const PANEL: &str = "textbook on formwork after the panel makers' guide: bending centre to centre, rolling shear over the \
                     clear span, sag over the clear span and an allowance, seen; sag by shear reproduces its table";

/// A panel looked at for bending, rolling shear and sag: bending centre to centre of the studs, rolling shear over the clear
/// span, sag by bending and by shear together over the clear span and an allowance.
///
/// # Errors
///
/// [`Unanswered`] where a size, pressure or strength is none.
pub fn sheathing(
    panel: &Panel,
    stress: &PanelStress,
    spans: Spans,
    framing: Framing,
    spacing: Length,
    pressure: Stress,
    stiffness: &Stiffness,
) -> Result<Vec<Checked>, Unanswered> {
    let l = some_length("L", spacing)?;
    let p = some_stress("p", pressure)?;
    let fb = some_stress("Fb", stress.bending)?;
    let fs = some_stress("Fs", stress.rolling_shear)?;
    let e = some_stress("E", stress.modulus)?;
    let ee = some_stress("Ee", stress.modulus_with_shear)?;
    let k = spans.coefficients();
    let w = p * Length::FOOT;
    let bending = |span: Length| Moment::from_newton_metres(k.moment * w.n_m() * span.metres().powi(2));
    let bends = Moment::from_newton_metres(fb.pa() * panel.modulus.cubic_metres());
    let rolling = |span: Length| Force::from_newtons(k.shear * w.n_m() * framing.clear(span).metres());
    let rolls = Force::from_newtons(fs.pa() * panel.shear_constant.square_metres());
    let common = |symbol, coefficient, span, why| {
        vec![
            Part::number(symbol, coefficient, "coefficient of the number of spans"),
            Part::line_load("w", w, "pressure on a strip 1 ft wide"),
            Part::length("L", span, why),
        ]
    };
    let mut checks = vec![
        Checked {
            limit: Limit::Bending,
            load: Figure::Moment(bending(l)),
            capacity: Figure::Moment(bends),
            ratio: bending(l) / bends,
            widest: widest(|span| bending(span) / bends),
            formula: "kM * w * L^2",
            source: PANEL,
            parts: common("kM", k.moment, l, "centre to centre of the studs"),
        },
        Checked {
            limit: Limit::RollingShear,
            load: Figure::Force(rolling(l)),
            capacity: Figure::Force(rolls),
            ratio: rolling(l) / rolls,
            widest: widest(|span| rolling(span) / rolls),
            formula: "kV * w * L",
            source: PANEL,
            parts: common("kV", k.shear, framing.clear(l), "clear span between the studs"),
        },
    ];
    let (t, i) = (panel.thickness.metres(), panel.inertia.m4());
    // 1270 and C belong to loads in pounds a foot and lengths in inches: twelve times as much for consistent units.
    let by_shear = panel.grain.shear_factor() / (1270.0 / 12.0);
    let sag = move |span: Length| {
        let (over, clear) = (framing.sagging(span).metres(), framing.clear(span).metres());
        w.n_m() * over.powi(4) / (k.sag * e.pa() * i) + by_shear * w.n_m() * (t * clear).powi(2) / (ee.pa() * i)
    };
    let formula = "w * L^4 / (k * E * I) + C * w * t^2 * Ls^2 / (105.83 * Ee * I), the first L and the clear Ls";
    checks.extend(sags(stiffness, l, sag, formula, PANEL, || {
        let mut parts = common("k", k.sag, framing.sagging(l), "clear span and an allowance");
        parts.extend([
            Part::stress("E", e, "modulus of elasticity for sag by bending"),
            inertia("I", panel.inertia, "moment of inertia of a strip 1 ft wide, in4"),
            Part::number("C", panel.grain.shear_factor(), "60 along, 120 across the supports, from memory"),
            Part::length("t", panel.thickness, "thickness of the panel"),
            Part::length("Ls", framing.clear(l), "clear span between the studs"),
            Part::stress("Ee", ee, "modulus of elasticity for sag by shear"),
        ]);
        parts
    })?);
    Ok(checks)
}

/// One member bearing on another: load over area against the strength across the grain. `spacing` is what the load grows
/// with.
///
/// # Errors
///
/// [`Unanswered`] where a load, area or strength is none.
pub fn bearing(load: Force, area: Area, strength: Stress, spacing: Length) -> Result<Checked, Unanswered> {
    some_number("P", load.newtons())?;
    let s = some_length("s", spacing)?;
    if area <= Area::ZERO {
        return Err(Unanswered::Nothing("A"));
    }
    let takes = some_stress("Fc", strength)?;
    let ratio = (load / area) / takes;
    Ok(Checked {
        limit: Limit::Bearing,
        load: Figure::Stress(load / area),
        capacity: Figure::Stress(takes),
        ratio,
        widest: widest(|span| ratio * (span.nm() as f64 / s.nm() as f64)),
        formula: "P / A",
        source: "NDS, bearing across the grain, seen in a course notebook",
        parts: vec![Part::force("P", load, "load"), Part::area("A", area, "area it bears on")],
    })
}
