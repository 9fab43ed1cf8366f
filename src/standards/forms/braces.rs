//! What holds a form up: braces, kickers and stakes. A one-sided form has nothing else but ties into the old wall.

use super::{
    Adjusted, Checked, Figure, Limit, Part, Rectangle, Setting, Unanswered, Worked, some_length, some_number,
    some_stress, widest,
};
use crate::{
    standards::PRACTICE,
    standards::pressure::{Envelope, shares},
    units::{Angle, Force, Length, LineLoad, Stress},
};

/// The least load along the top of a braced wall form: 100 lb a foot (seen in a textbook on formwork).
pub const LEAST_ALONG_THE_TOP: LineLoad = LineLoad::from_plf(100.0);

/// The least wind on an exposed form: 15 lb/ft2 (seen in a textbook on formwork).
pub const LEAST_WIND: Stress = Stress::from_psf(15.0);

/// What a wooden stake holds in firm ground before one has been pulled: common practice, no source. No general value exists;
/// a bearing on undisturbed ground or an anchor in old concrete is better, and one stake pulled to 1.5 times its load tells.
pub const STAKE: Setting<Force> = Setting { name: "2x2 or 2x4 stake", value: Force::from_lbf(100.0), source: PRACTICE };

/// What the least load along the top is: the greater of 100 lb a foot and the wind on half the form's height.
///
/// # Errors
///
/// [`Unanswered`] for no height and for a wind less than nothing.
pub fn least_top_load(height: Length, wind: Stress) -> Result<Worked<LineLoad>, Unanswered> {
    let h = some_length("h", height)?;
    if !(wind >= Stress::ZERO && wind.pa().is_finite()) {
        return Err(Unanswered::Nothing("wind"));
    }
    let blown = (wind * h) / 2.0;
    let source = "least lateral load of wall forms, seen in a textbook on formwork";
    Ok(if blown > LEAST_ALONG_THE_TOP {
        Worked {
            value: blown,
            formula: "wind * h / 2",
            source,
            parts: vec![
                Part::stress("wind", wind, "wind on the form"),
                Part::length("h", h, "height of the form; half of the wind is held at the top"),
            ],
        }
    } else {
        let least = Part::line_load("least", LEAST_ALONG_THE_TOP, "least load along the top of a wall form");
        Worked { value: LEAST_ALONG_THE_TOP, formula: "least", source, parts: vec![least] }
    })
}

/// What the least load along the top asks of braces that meet the form at a height, for each length of wall: moments about its foot.
/// The source knows no form too low for it.
///
/// # Errors
///
/// Those of [`least_top_load`]; and [`Unanswered`] for braces that meet the form at its foot.
pub fn least_at(height: Length, meets: Length, wind: Stress) -> Result<Worked<LineLoad>, Unanswered> {
    let top = least_top_load(height, wind)?;
    let y = some_length("y", meets)?;
    let mut parts = top.parts;
    let formula = if parts.iter().any(|part| part.symbol == "h") {
        "wind * h / 2 * h / y"
    } else {
        parts.push(Part::length("h", height, "height of the form"));
        "least * h / y"
    };
    parts.push(Part::length("y", meets, "how high braces meet it"));
    Ok(Worked { value: top.value * (height.metres() / y.metres()), formula, source: top.source, parts })
}

/// A brace at a level of the form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Brace {
    /// What the level holds for each length of wall.
    pub share: LineLoad,
    /// From brace to brace.
    pub spacing: Length,
    /// How steep it is, from the level.
    pub angle: Angle,
}

/// What a brace and its ends feel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BraceForces {
    /// Level push at its top, and on the stake at its foot.
    pub level: Force,
    /// Along the brace.
    pub axial: Force,
    /// What lifts the form at its top; the same presses its foot down.
    pub uplift: Force,
}

/// The forces of a brace: `H = share s`, `N = H / cos a`, uplift `H tan a`.
///
/// # Errors
///
/// [`Unanswered`] for no spacing, for a share less than nothing (a brace cannot pull), and for an angle not between 0 and
/// 85 degrees.
pub fn one_sided(brace: &Brace) -> Result<Worked<BraceForces>, Unanswered> {
    let s = some_length("s", brace.spacing)?;
    if !(brace.share >= LineLoad::ZERO && brace.share.n_m().is_finite()) {
        return Err(Unanswered::Outside("share", "the form is pulled in there, and a brace only pushes"));
    }
    if !(0.0..=85.0).contains(&brace.angle.degrees()) {
        return Err(Unanswered::Outside("a", "a brace is between level and 85 degrees steep"));
    }
    let angle = brace.angle.radians();
    let level = brace.share * s;
    Ok(Worked {
        value: BraceForces { level, axial: level / angle.cos(), uplift: level * angle.tan() },
        formula: "share * s",
        source: "statics",
        parts: vec![
            Part::line_load("share", brace.share, "what the level holds of the thrust"),
            Part::length("s", s, "spacing of the braces"),
            Part { symbol: "a", value: Figure::Angle(brace.angle), why: "how steep the brace is" },
        ],
    })
}

impl Brace {
    /// The brace of a one-sided form that is held at its foot and at one height above: what the height holds, and what is
    /// left to the foot, for each length of wall.
    ///
    /// # Errors
    ///
    /// Those of [`shares`].
    pub fn at(
        pressure: &Envelope,
        height: Length,
        spacing: Length,
        angle: Angle,
    ) -> Result<(Brace, LineLoad), Unanswered> {
        match shares(pressure, &[Length::ZERO, height])?.as_slice() {
            &[foot, share] => Ok((Brace { share, spacing, angle }, foot)),
            _ => Err(Unanswered::Nothing("levels")),
        }
    }
}

/// A strut from the ground to a form that is loaded along its top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strut {
    /// Load along the top of the form.
    pub along_the_top: LineLoad,
    /// Height of the form.
    pub height: Length,
    /// How high the strut meets the form.
    pub meets: Length,
    /// How far out its foot is.
    pub foot: Length,
    /// From strut to strut.
    pub spacing: Length,
}

/// What a strut feels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrutForces {
    /// Along it.
    pub axial: Force,
    /// Upright at either end.
    pub upright: Force,
    /// Its length.
    pub length: Length,
}

/// The forces of a strut: `P = H s h l / (h' l')`, and upright `H s h / l'` (seen in a textbook on formwork).
///
/// # Errors
///
/// [`Unanswered`] where a size or load is none, and for a strut that meets the form above its top.
pub fn strut(strut: &Strut) -> Result<Worked<StrutForces>, Unanswered> {
    some_number("H", strut.along_the_top.n_m())?;
    let h = some_length("h", strut.height)?;
    let meets = some_length("h'", strut.meets)?;
    let foot = some_length("l'", strut.foot)?;
    let s = some_length("s", strut.spacing)?;
    if meets > h {
        return Err(Unanswered::Outside("h'", "a strut meets the form below its top"));
    }
    let length = Length::round_nm((meets.metres().hypot(foot.metres())) * 1e9);
    let pushed = strut.along_the_top * s;
    Ok(Worked {
        value: StrutForces {
            axial: pushed * (h.metres() * length.metres() / (meets.metres() * foot.metres())),
            upright: pushed * (h.metres() / foot.metres()),
            length,
        },
        formula: "H * s * h * l / (meets * foot)",
        source: "statics, seen in a textbook on formwork",
        parts: vec![
            Part::line_load("H", strut.along_the_top, "load along the top of the form"),
            Part::length("s", s, "spacing of the struts"),
            Part::length("h", h, "height of the form"),
            Part::length("l", length, "length of the strut"),
            Part::length("meets", meets, "how high it meets the form"),
            Part::length("foot", foot, "how far out its foot is"),
        ],
    })
}

/// A strut looked at for buckling about its thinner side: NDS 3.7.1 (seen in a course notebook). The load grows with
/// `spacing`.
///
/// # Errors
///
/// [`Unanswered`] where a size, load or strength is none, and for struts thinner than a 50th of their length.
pub fn column(
    load: Force,
    length: Length,
    section: Rectangle,
    wood: &Adjusted,
    spacing: Length,
) -> Result<Checked, Unanswered> {
    some_number("P", load.newtons())?;
    let l = some_length("le", length)?;
    let thin = some_length("d", section.whole_breadth().min(section.depth))?;
    let s = some_length("s", spacing)?;
    let fc = some_stress("Fc", wood.compression)?;
    let least = some_stress("Emin", wood.least_modulus)?;
    let slender = l.nm() as f64 / thin.nm() as f64;
    if slender > 50.0 {
        return Err(Unanswered::Outside("le / d", "a strut is no more than 50 times as long as it is thick"));
    }
    let buckling = (least * 0.822) / (slender * slender);
    let of = buckling / fc;
    let a = (1.0 + of) / 1.6;
    let stable = a - (a * a - of / 0.8).max(0.0).sqrt();
    let takes = fc * stable * section.area();
    let ratio = load / takes;
    Ok(Checked {
        limit: Limit::Compression,
        load: Figure::Force(load),
        capacity: Figure::Force(takes),
        ratio,
        widest: widest(|at| ratio * (at.nm() as f64 / s.nm() as f64)),
        formula: "P against Fc * CP * A, CP from FcE = 0.822 * Emin / (le / d)^2 and c = 0.8",
        source: "NDS 3.7.1, seen in a course notebook",
        parts: vec![
            Part::force("P", load, "force along the strut"),
            Part::stress("Fc", fc, "compression along the grain with its factors"),
            Part::number("CP", stable, "what buckling leaves of it"),
            Part::area("A", section.area(), "section of the strut"),
            Part::number("le / d", slender, "length over the thinner side"),
            Part::stress("FcE", buckling, "at which it buckles"),
        ],
    })
}

/// What a level or the foot holds, against what one hold there takes: a kicker, a stake, a tie into the old wall, an anchor
/// against uplift. For each length of wall, times the spacing of the holds.
///
/// # Errors
///
/// [`Unanswered`] for no spacing or capacity, and for a share less than nothing: what only pushes cannot pull.
pub fn held(share: LineLoad, spacing: Length, capacity: Force) -> Result<Checked, Unanswered> {
    if !(share >= LineLoad::ZERO && share.n_m().is_finite()) {
        return Err(Unanswered::Outside("share", "the load comes from the other side"));
    }
    let s = some_length("s", spacing)?;
    some_number("capacity", capacity.newtons())?;
    let load = |at: Length| share * at;
    Ok(Checked {
        limit: Limit::Hold,
        load: Figure::Force(load(s)),
        capacity: Figure::Force(capacity),
        ratio: load(s) / capacity,
        widest: widest(|at| load(at) / capacity),
        formula: "share * s",
        source: "statics",
        parts: vec![
            Part::line_load("share", share, "what is held for each length of wall"),
            Part::length("s", s, "spacing of the holds"),
        ],
    })
}
