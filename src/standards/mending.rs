//! Cracks filled, spalls patched, rough ground made up for, and rubble carted off.

use super::{PRACTICE, Part, Unanswered, Worked, forms::Setting, pressure::some_number, some_length};
use crate::units::{Area, Length, Mass, Ratio, Volume, gaps, whole_up};

/// How much more resin goes into a crack than its volume: 1.5, between 1.2 and 2.
pub const RESIN_LOSS: Setting<f64> = Setting { name: "resin beside a crack's volume", value: 1.5, source: PRACTICE };

/// How much more a spall takes than its volume.
pub const PATCH_LOSS: Setting<f64> = Setting { name: "patch beside a spall's volume", value: 1.1, source: PRACTICE };

/// How much room broken concrete takes, over the room it took in one piece.
pub const BULKING: Setting<f64> = Setting { name: "rubble beside solid concrete", value: 1.5, source: PRACTICE };

/// The finest crack that resin bonds: 0.002 in (0.05 mm), ACI 224.1R (from memory).
pub const FINEST_CRACK: Length = Length::from_nm(50_000);

/// The widest that is filled so: 1/4 in. Wider ones and those that move want another way (common practice, no source).
pub const WIDEST_CRACK: Length = Length::from_nm(6_350_000);

/// The resin a crack takes: length, depth and mean width, times what is lost on the way.
///
/// # Errors
///
/// [`Unanswered`] where a size is none, and for a loss below 1.
pub fn crack_resin(length: Length, depth: Length, width: Length, loss: f64) -> Result<Worked<Volume>, Unanswered> {
    let (l, d, w) = (some_length("L", length)?, some_length("D", depth)?, some_length("w", width)?);
    let f = some_loss(loss)?;
    Ok(Worked {
        value: more(l * d * w, f),
        formula: "L * D * w * f",
        source: "",
        parts: vec![
            Part::length("L", l, "length of the crack"),
            Part::length("D", d, "its depth, the thickness of the member where it goes through"),
            Part::length("w", w, "its mean width"),
            Part::number("f", f, "resin lost on the way"),
        ],
    })
}

/// How many ports a crack gets: no further apart than it is deep, one at each end. Department of Transportation concrete
/// repair manual (seen).
///
/// # Errors
///
/// [`Unanswered`] for no length or spacing.
pub fn ports(length: Length, apart: Length) -> Result<Worked<u64>, Unanswered> {
    let (l, s) = (some_length("L", length)?, some_length("s", apart)?);
    let between = gaps(l, s).ok_or(Unanswered::Nothing("s"))?;
    Ok(Worked {
        value: between.saturating_add(1),
        formula: "L / s + 1, up to whole ports",
        source: "Texas Department of Transportation concrete repair manual, chapter 3",
        parts: vec![
            Part::length("L", l, "length of the crack"),
            Part::length("s", s, "from port to port, no more than the crack is deep"),
        ],
    })
}

/// What a patch takes: area and mean depth, times what is lost on the way.
///
/// # Errors
///
/// [`Unanswered`] where a size is none, and for a loss below 1.
pub fn patch(area: Area, depth: Length, loss: f64) -> Result<Worked<Volume>, Unanswered> {
    if area <= Area::ZERO {
        return Err(Unanswered::Nothing("A"));
    }
    let d = some_length("D", depth)?;
    let f = some_loss(loss)?;
    Ok(Worked {
        value: more(area * d, f),
        formula: "A * D * f",
        source: "",
        parts: vec![
            Part::area("A", area, "area of the patch"),
            Part::length("D", d, "its mean depth"),
            Part::number("f", f, "patch lost on the way"),
        ],
    })
}

/// What an uneven face takes beside the solid: contact area times the mean gap to a string line.
///
/// # Errors
///
/// [`Unanswered`] for no area and no gaps.
pub fn overbreak(contact: Area, gaps: &[Length]) -> Result<Worked<Volume>, Unanswered> {
    if contact <= Area::ZERO {
        return Err(Unanswered::Nothing("A"));
    }
    let count = i64::try_from(gaps.len()).unwrap_or(0);
    if count == 0 {
        return Err(Unanswered::Nothing("gaps"));
    }
    let mean = gaps.iter().copied().sum::<Length>() / count;
    Ok(Worked {
        value: contact * mean,
        formula: "A * gap",
        source: "",
        parts: vec![
            Part::area("A", contact, "area of contact"),
            Part::length("gap", mean, "mean of the gaps measured to a string line"),
        ],
    })
}

/// The room rubble takes, from what it took in one piece.
///
/// # Errors
///
/// [`Unanswered`] for no volume, and for a bulking below 1.
pub fn rubble(solid: Volume, bulking: f64) -> Result<Worked<Volume>, Unanswered> {
    some_number("solid", solid.cubic_metres())?;
    let b = some_loss(bulking)?;
    Ok(Worked {
        value: more(solid, b),
        formula: "solid * bulking",
        source: "",
        parts: vec![
            Part::volume("solid", solid, "as it lies in one piece"),
            Part::number("bulking", b, "room it takes when it is broken"),
        ],
    })
}

fn some_loss(factor: f64) -> Result<f64, Unanswered> {
    if factor >= 1.0 && factor.is_finite() { Ok(factor) } else { Err(Unanswered::Outside("f", "1 or more")) }
}

/// So many times a volume; the factor to the nearest millionth, so that the sum is exact.
fn more(volume: Volume, factor: f64) -> Volume {
    let millionths = (factor * 1e6).round().min(1e12) as i128;
    Volume::from_nm3(volume.nm3().saturating_mul(millionths) / 1_000_000)
}

/// How many buckets, bags or loads carry so much, by room and by weight: the greater count.
///
/// # Errors
///
/// [`Unanswered`] for a container that takes nothing.
pub fn containers(volume: Volume, mass: Mass, room: Volume, most: Mass) -> Result<u64, Unanswered> {
    some_number("room", room.cubic_metres())?;
    some_number("most", most.kg())?;
    let by_room = whole_up(volume.cubic_metres() / room.cubic_metres());
    Ok(by_room.max(whole_up(mass / most)))
}

/// The fall of the ground, and what 5% would want more: IRC R401.3, 6 in in the first 10 ft (seen).
///
/// # Errors
///
/// [`Unanswered`] for no run.
pub fn fall(fall: Length, run: Length) -> Result<Worked<Ratio>, Unanswered> {
    let run = some_length("run", run)?;
    Ok(Worked {
        value: Ratio::from_fraction(fall.nm() as f64 / run.nm() as f64),
        formula: "fall / run",
        source: "IRC R401.3: 5% within 10 ft",
        parts: vec![
            Part::length("fall", fall, "how far the ground falls away from the wall"),
            Part::length("run", run, "over what distance"),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::{
        mils, mm,
        tests::{inches, printed},
    };

    #[test]
    fn resin_and_ports() {
        // Our own arithmetic; ports by the Texas Department of Transportation concrete repair manual, chapter 3.
        let of = |l, d, w, f| crack_resin(l, d, w, f).unwrap().value;
        let millilitres = |volume: Volume| volume.cubic_metres() * 1e6;
        let foot = of(inches(72.0), inches(8.0), mils(20), 1.0);
        printed(foot.cubic_inches(), 11.52, 6);
        printed(millilitres(foot), 188.8, 1);
        printed(millilitres(of(inches(72.0), inches(8.0), mils(20), RESIN_LOSS.value)), 283.0, 0);
        let metric = |f| millilitres(of(mm(2000), mm(200), Length::from_nm(300_000), f));
        printed(metric(1.0), 120.0, 6);
        printed(metric(1.5), 180.0, 6);
        let wide = of(inches(120.0), inches(8.0), inches(1.0 / 16.0), 1.0);
        printed(wide.cubic_inches(), 60.0, 6);
        printed(millilitres(wide), 983.0, 0);
        assert_eq!(ports(inches(72.0), inches(8.0)).unwrap().value, 10);
        assert!(crack_resin(inches(72.0), inches(8.0), mils(20), 0.9).is_err());
    }

    #[test]
    fn fall_of_the_ground() {
        // IRC R401.3: 6 in in the first 10 ft, which are 5%; over 8 ft that takes 4.8 in.
        let found = fall(inches(3.0), inches(96.0)).unwrap().value;
        printed(found.percent(), 3.1, 1);
        assert!(found.percent() < 5.0);
        printed(fall(inches(4.8), inches(96.0)).unwrap().value.percent(), 5.0, 9);
        printed(fall(inches(6.0), inches(120.0)).unwrap().value.percent(), 5.0, 9);
    }

    #[test]
    fn rubble_and_patches() {
        let foot3 = Length::FOOT * Length::FOOT * Length::FOOT;
        assert_eq!(rubble(foot3, 1.5).unwrap().value, Volume::from_nm3(foot3.nm3() * 3 / 2));
        assert_eq!(containers(foot3, Mass::from_lb(145.0), foot3, Mass::from_lb(50.0)), Ok(3));
        assert_eq!(containers(foot3 * 4, Mass::from_lb(145.0), foot3, Mass::from_lb(50.0)), Ok(4));
        printed(patch(Length::FOOT * Length::FOOT, Length::INCH, 1.1).unwrap().value.cubic_inches(), 158.4, 6);
        let uneven = overbreak(Length::FOOT * Length::FOOT, &[Length::INCH, Length::INCH * 3]).unwrap().value;
        printed(uneven.cubic_inches(), 288.0, 9);
        assert!(overbreak(Length::FOOT * Length::FOOT, &[]).is_err());
    }
}
