//! The widest spans of a beam under an even load: the formulas of textbooks on forms, in consistent units.
//!
//! Their US forms, with loads in pounds a foot and spans in inches, were seen in print; these are the same without rounded
//! constants. Answers are rounded down to a nanometre.

use super::{Coefficients, Inertia, Spans};
use crate::units::{Area, Length, LineLoad, Stress, Volume};

fn down(metres: f64) -> Length {
    Length::from_nm((metres * 1e9).floor().min(Length::LIMIT.nm() as f64) as i64)
}

/// By bending: the root of `F * S / (k_M * w)`.
#[must_use]
pub fn at_bending(spans: Spans, strength: Stress, modulus: Volume, load: LineLoad) -> Length {
    let Coefficients { moment, .. } = spans.coefficients();
    down((strength.pa() * modulus.cubic_metres() / (moment * load.n_m())).sqrt())
}

/// By shear of a rectangle, looked at a depth away from the support: `Fv * A / (1.5 * k_V * w) + 2 d`. The depth may be
/// added only where the load lies on the face opposite the supports and these bear over the full depth.
#[must_use]
pub fn at_shear(spans: Spans, strength: Stress, area: Area, depth: Length, load: LineLoad) -> Length {
    let Coefficients { shear, .. } = spans.coefficients();
    down(strength.pa() * area.square_metres() / (1.5 * shear * load.n_m()) + 2.0 * depth.metres())
}

/// By rolling shear of a panel: the clear span `Fs * (Ib/Q) / (k_V * w)`.
#[must_use]
pub fn at_rolling_shear(spans: Spans, strength: Stress, constant: Area, load: LineLoad) -> Length {
    let Coefficients { shear, .. } = spans.coefficients();
    down(strength.pa() * constant.square_metres() / (shear * load.n_m()))
}

/// By a sag of a part of the span, as 360 for L/360: the third root of `k * E * I / (m * w)`.
#[must_use]
pub fn at_part_of_span(spans: Spans, modulus: Stress, inertia: Inertia, part: f64, load: LineLoad) -> Length {
    let Coefficients { sag, .. } = spans.coefficients();
    down((sag * modulus.pa() * inertia.m4() / (part * load.n_m())).cbrt())
}

/// By a sag of so much: the fourth root of `k * E * I * cap / w`.
#[must_use]
pub fn at_cap(spans: Spans, modulus: Stress, inertia: Inertia, cap: Length, load: LineLoad) -> Length {
    let Coefficients { sag, .. } = spans.coefficients();
    down((sag * modulus.pa() * inertia.m4() * cap.metres() / load.n_m()).sqrt().sqrt())
}
