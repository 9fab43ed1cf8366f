//! What is taken of bars, of what holds them, and of what they are cut from.

use super::{Rows, usual};
use crate::{
    compile::Compiled,
    standards::PRACTICE,
    steel::{USUAL_ENDS, longest_stock},
    units::{Length, show},
};

/// Ends, tails and laps of bars.
pub(super) fn bars(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    for bars in works.bars.iter().filter(|bars| bars.usual_ends) {
        let taken = usual(USUAL_ENDS, system).to_string();
        rows.add(format!("{}: ends", job.name(bars.id)), taken, "common practice for formed faces, no source");
    }
    for bars in &works.bars {
        for (turn, tail, source) in &bars.usual_tails {
            let turn = show::decimal(*turn, 0);
            rows.add(
                format!("{}: tail of {turn} deg", job.name(bars.id)),
                show::exact(*tail, system).to_string(),
                source,
            );
        }
        if let Some(lap) = bars.usual_lap {
            let (steel, concrete) = (show::stress(lap.yields_at, system), show::stress(lap.strength, system));
            let taken = format!("{}, for steel of {steel} in concrete of {concrete}", show::exact(lap.length, system));
            rows.add(format!("{}: lap", job.name(bars.id)), taken, lap.source);
        }
    }
}

/// Ties, supports and wire.
pub(super) fn ties(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    if works.tying.pours.iter().any(|pour| pour.crossings() > 0) && job.bars.iter().any(|bars| bars.say.ties.is_none())
    {
        rows.add("bars: ties".to_owned(), "every crossing".to_owned(), PRACTICE);
    }
    let held = works.tying.pours.iter().flat_map(|pour| pour.chairs.iter().chain(&pour.spacers));
    let unsaid = held.filter(|held| job.bars_of(held.bars).is_some_and(|bars| bars.say.supports.is_none()));
    let mut supports: Vec<Length> = unsaid.map(|held| held.spacing).collect();
    supports.sort_unstable();
    supports.dedup();
    for spacing in supports {
        let taken = format!("chairs and spacers {} apart", show::exact(spacing, system));
        rows.add("bars: supports".to_owned(), taken, PRACTICE);
    }
    if let Some(wire) = &works.tying.wire {
        if job.head.as_ref().is_none_or(|head| head.say.wire.is_none()) {
            rows.add("job: wire".to_owned(), job.name(wire.wire).to_owned(), "usual, as trade magazines print");
        }
        if wire.usual_coil {
            let taken = format!("coils of {}", show::mass(wire.coil, system));
            rows.add(format!("{}: coil", job.name(wire.wire)), taken, "coils of 3 to 4 lb are usual: a trade magazine");
        }
    }
}

/// Lengths that bars are sold in.
pub(super) fn stock(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    let mut sizes: Vec<_> = works.bars.iter().map(|bars| (bars.steel.diameter, bars.steel.id)).collect();
    sizes.sort_by_key(|(diameter, size)| (*diameter, job.name(*size)));
    sizes.dedup();
    for (_, size) in sizes {
        if let (stock, true) = longest_stock(job, size) {
            let taken = format!("{} long", show::exact(stock, system));
            rows.add(format!("{}: stock", job.name(size)), taken, PRACTICE);
        }
    }
}
