//! What is taken of work in and on what stands: broken off, sawn, injected, patched, drilled and filled.

use super::{Rows, usual};
use crate::{
    compile::Compiled,
    holes,
    standards::{
        PRACTICE,
        mending::{PATCH_LOSS, RESIN_LOSS},
    },
    units::{Ratio, show},
};

/// Resin that is lost, and the time to fill a hole.
pub(super) fn resin(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    for fill in works.fills.iter().filter(|fill| fill.usual_waste) {
        let taken = show::percent(Ratio::from_fraction(holes::USUAL_WASTE)).to_string();
        rows.add(format!("{}: waste", job.name(fill.resin)), taken, PRACTICE);
    }
    for fill in works.fills.iter().filter(|fill| fill.usual_purge) {
        let taken = format!("{} with each nozzle", show::fluid(holes::USUAL_PURGE, system));
        rows.add(format!("{}: purge", job.name(fill.resin)), taken, PRACTICE);
    }
    for fill in works.fills.iter().filter(|fill| fill.usual_takes && fill.per_nozzle.is_some()) {
        let taken = format!("{} each", show::time(fill.takes));
        rows.add(format!("{}: filled and set in", job.name(fill.holes)), taken, PRACTICE);
    }
}

/// What is broken off, sawn, injected and patched.
pub(super) fn mended(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    for debris in &works.debris {
        let Some(strip) = job.remove(debris.strip) else { continue };
        if strip.say.bulks.is_none() {
            let taken = format!("{} more room when it is broken", show::percent(debris.bulks));
            rows.add(format!("{}: bulks", strip.name), taken, PRACTICE);
        }
        if strip.say.carry.is_none() {
            let taken = format!("{} at once", show::carried(debris.carry, system));
            rows.add(format!("{}: carry", strip.name), taken, PRACTICE);
        }
    }
    for saw in &works.saws {
        let Some(cut) = job.cut(saw.id) else { continue };
        let blade = cut.say.blade.as_ref();
        if blade.is_none() {
            let taken = format!("{} across", show::exact(saw.blade, system));
            rows.add(format!("{}: blade", cut.name), taken, PRACTICE);
        }
        if blade.is_none_or(|blade| blade.value.pass.is_none()) {
            let taken = format!("{} deep", show::exact(saw.pass, system));
            rows.add(format!("{}: pass", cut.name), taken, PRACTICE);
        }
    }
    for one in &works.injections {
        let taken = format!("{} times what it holds", show::decimal(RESIN_LOSS.value, 1));
        rows.add(format!("{}: resin", job.name(one.crack)), taken, RESIN_LOSS.source);
    }
    for patch in &works.patches {
        let taken = format!("{} times area by depth", show::decimal(PATCH_LOSS.value, 1));
        rows.add(format!("{}: filling", job.name(patch.spall)), taken, PATCH_LOSS.source);
    }
}

/// The drill, and holes that take no bar.
pub(super) fn drilled(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    for holes in job.holes.iter().filter(|holes| holes.say.drill.is_none()) {
        let (long, wide) = holes::USUAL_DRILL;
        let taken = format!("{} long, {} wide, the bit as long as the hole", usual(long, system), usual(wide, system));
        rows.add(format!("{}: drill", holes.name), taken, PRACTICE);
    }
    for fill in works.fills.iter().filter(|fill| fill.no_bar) {
        rows.add(
            format!("{}: filled", job.name(fill.holes)),
            "whole, no bar is set in them".to_owned(),
            "nothing is `in` them",
        );
    }
}
