//! The resin that fills the room between a bar and its hole.

use std::f64::consts::PI;

use super::layout::Set;
use crate::{
    job::{Job, Thing},
    schema::{BlockId, Holes},
    units::{Length, Ratio, Volume, whole_up},
};

/// Taken when a resin does not say its waste: common practice, no source (10 to 50 % are seen in use).
pub const USUAL_WASTE: f64 = 0.25;

/// What fills the holes of one block.
#[derive(Debug, Clone, Copy)]
pub struct Fill {
    /// The holes.
    pub holes: BlockId,
    /// The resin.
    pub resin: BlockId,
    /// In one hole, bar in place, nothing wasted.
    pub each: Volume,
    /// In all of them, nothing wasted.
    pub net: Volume,
    /// The waste, as a part of it.
    pub waste: Ratio,
    /// The waste was not said.
    pub usual_waste: bool,
    /// To be bought.
    pub wanted: Volume,
    /// No bar is set in these holes: they are filled whole.
    pub no_bar: bool,
}

impl Fill {
    /// Whole cartridges of this size.
    #[must_use]
    pub fn cartridges(&self, size: Volume) -> u64 {
        whole_up(self.wanted.cubic_metres() / size.cubic_metres())
    }
}

/// The room between a bar and its hole: pi / 4 (D^2 - d^2) L, with the bar's nominal diameter, which is that of a plain
/// bar of its weight (ASTM A615).
#[must_use]
pub fn annulus(bore: Length, bar: Length, depth: Length) -> Volume {
    let (bore, bar, depth) = (bore.metres(), bar.metres(), depth.metres());
    Volume::round_cubic_metres(PI / 4.0 * (bore * bore - bar * bar).max(0.0) * depth)
}

/// What fills a block's holes; none if it says no resin, or one that could not be read. `bar` is the nominal diameter of
/// the bars set in them.
pub fn fill(job: &Job, holes: &Thing<Holes>, set: &Set, bar: Option<Length>) -> Option<Fill> {
    let resin = job.resin(holes.say.fill?.0)?;
    let each = annulus(set.wide, bar.unwrap_or(Length::ZERO), set.deep);
    let net = each * i64::try_from(set.count).unwrap_or(i64::MAX);
    let said = resin.say.waste.map(|waste| waste.0);
    let waste = said.unwrap_or(Ratio::from_fraction(USUAL_WASTE));
    let wanted = Volume::round_cubic_metres(net.cubic_metres() * (1.0 + waste.fraction()));
    Some(Fill {
        holes: holes.id,
        resin: resin.id,
        each,
        net,
        waste,
        usual_waste: said.is_none(),
        wanted,
        no_bar: bar.is_none(),
    })
}
