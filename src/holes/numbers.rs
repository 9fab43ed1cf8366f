//! The worked numbers of holes and of what fills them.

use std::collections::BTreeMap;

use super::{
    layout::{Row, Set},
    places::{Places, insets},
    resin::Fill,
};
use crate::{
    concrete::{LegAt, Standing},
    job::{Job, Thing},
    ledger::{Entry, EntryId, Figure, Input, Ledger, Origin, Usual},
    schema::{Asked, BlockId, Holes, Inset, KindId, Spacing},
    source::Span,
    standards::PRACTICE,
    units::Ratio,
};

/// Names for the rows of one block, in their order: `pins.back.1` for the first row on the leg `back`, `pins.back.1.2` for
/// its second piece there.
#[derive(Debug)]
pub struct RowNames<'n> {
    block: &'n str,
    pieces: BTreeMap<(LegAt, u16), u64>,
}

impl<'n> RowNames<'n> {
    /// Names for the rows of a block.
    #[must_use]
    pub fn new(block: &'n str) -> RowNames<'n> {
        RowNames { block, pieces: BTreeMap::new() }
    }

    /// The name of the next piece of this row on this leg.
    pub fn next(&mut self, standing: &Standing, on: LegAt, row: u16) -> String {
        let piece = self.pieces.entry((on, row)).or_insert(0);
        *piece += 1;
        let (block, leg) = (self.block, standing.leg_name(on));
        if *piece == 1 { format!("{block}.{leg}.{row}") } else { format!("{block}.{leg}.{row}.{piece}") }
    }
}

/// What spaces the places of a row, as it was written.
#[derive(Debug, Clone, Copy)]
pub struct SaidSpacing<'j> {
    /// The spacing.
    pub space: &'j Spacing,
    /// Where it stands.
    pub space_at: Span,
    /// The insets, and where they stand.
    pub inset: Option<(&'j Inset, Span)>,
    /// Where the stretch stands.
    pub along_at: Span,
    /// The clause that would say the insets.
    pub inset_clause: &'static str,
}

/// Enters `SET.bore`, `SET.depth`, the rows of the set, and `SET.count`.
pub fn enter(job: &Job, standing: &Standing, set: &Set, ledger: &mut Ledger) {
    let Some(holes) = job.holes_of(set.id).filter(|_| ledger.is_on()) else { return };
    let at = |clause| holes.said(KindId::Holes, clause);
    size(holes, set, ledger);
    let said = SaidSpacing {
        space: &holes.say.space,
        space_at: at("space"),
        inset: holes.say.inset.as_ref().map(|inset| (inset, at("inset"))),
        along_at: at("along"),
        inset_clause: "holes.inset",
    };
    let mut names = RowNames::new(&holes.name);
    let mut parts = Vec::with_capacity(set.rows.len());
    for row in &set.rows {
        let name = names.next(standing, row.on, row.row);
        enter_row(&name, row, said, standing, ledger);
        parts.extend(ledger.number("part", &format!("{name}.count")));
    }
    if parts.is_empty() {
        parts.push(Input::typed("rows", at("rows")));
    }
    ledger.enter(|| Entry {
        name: format!("{}.count", holes.name),
        value: Figure::Count(set.count),
        formula: "sum of the parts",
        source: "",
        inputs: parts,
    });
}

fn size(holes: &Thing<Holes>, set: &Set, ledger: &mut Ledger) {
    let at = holes.said(KindId::Holes, "bore");
    let written = (holes.say.bore.wide.0, holes.say.bore.deep.value.0);
    for (quantity, value, written) in [("bore", set.wide, written.0), ("depth", set.deep, written.1)] {
        let value_of = Figure::Length(value);
        let (formula, input) = if value == written {
            ("as written", Input::said("written", at, value_of))
        } else {
            ("as done", Input::given("done", value_of, "as it was really drilled"))
        };
        ledger.enter(|| Entry {
            name: format!("{}.{quantity}", holes.name),
            value: value_of,
            formula,
            source: "",
            inputs: vec![input],
        });
    }
}

/// Enters `NAME.gaps`, `NAME.gap`, `NAME.first` and `NAME.count` of one row.
pub fn enter_row(name: &str, row: &Row, said: SaidSpacing, standing: &Standing, ledger: &mut Ledger) {
    let mut enter = |quantity: &str, value: Figure, formula: &'static str, inputs: Vec<Input>| {
        ledger.enter(|| Entry { name: format!("{name}.{quantity}"), value, formula, source: "", inputs })
    };
    let stretch = row.stretch;
    let begin = Input::given("begin", Figure::Length(stretch.start), "station where the stretch begins on this leg");
    let (before, after) = insets(standing, stretch, said.inset.map(|(inset, _)| inset));
    let inset = |symbol, value| match said.inset {
        Some((_, at)) => Input::said(symbol, at, Figure::Length(value)),
        None => {
            let source = "the language's own default";
            Input::usual(symbol, Usual { clause: said.inset_clause, value: Figure::Length(value), source })
        }
    };
    let count = Figure::Count(row.places.count());
    let first = Figure::Length(row.places.at(0));
    let long = stretch.end - stretch.start;
    let clear = long - before - after;
    let long = Input::said("stretch", said.along_at, Figure::Length(long));
    let (start, end) = (inset("start", before), inset("end", after));
    match (said.space, &row.places) {
        (Spacing::AtMost(most), Places::Even { gaps, staggered, .. }) => {
            let most_at = Input::said("most", said.space_at, Figure::Length(most.value));
            let of = clear.metres() / most.value.metres();
            let value = Figure::Whole { count: *gaps, of };
            let formula = "(stretch - start - end) / most, up to whole gaps";
            let gaps_id = enter("gaps", value, formula, vec![long, start, end, most_at]);
            let number = Input::worked("gaps", gaps_id);
            let gap_id = row.places.gap().and_then(|gap| {
                let inputs = [long, start, end].into_iter().chain(number).collect();
                enter("gap", Figure::Length(gap), "(stretch - start - end) / gaps", inputs)
            });
            let gap = Input::worked("gap", gap_id).filter(|_| *staggered);
            let formula = if gap.is_some() { "begin + start + gap / 2" } else { "begin + start" };
            enter("first", first, formula, [begin, start].into_iter().chain(gap).collect());
            let formula = if *staggered { "gaps, one place in the middle of each" } else { "gaps + 1" };
            enter("count", count, formula, number.into_iter().collect());
        }
        (Spacing::Every(every), Places::Even { gaps, staggered, .. }) => {
            let gap_said = every.value;
            let every = Input::said("every", said.space_at, Figure::Length(gap_said));
            let formula = "(stretch - start - end) / every, down to whole gaps";
            let value = Figure::Whole { count: *gaps, of: clear.metres() / gap_said.metres() };
            let gaps_id = enter("gaps", value, formula, vec![long, start, end, every]);
            if let Some(gap) = row.places.gap() {
                enter("gap", Figure::Length(gap), "every", vec![every]);
            }
            let (formula, inputs) = if *staggered {
                ("begin + start + every / 2", vec![begin, start, every])
            } else {
                ("begin + start", vec![begin, start])
            };
            enter("first", first, formula, inputs);
            let formula = if *staggered { "gaps, one place in the middle of each" } else { "gaps + 1" };
            enter("count", count, formula, Input::worked("gaps", gaps_id).into_iter().collect());
        }
        (_, Places::Moved { .. }) => {
            let places = Input::typed("spacing", said.space_at);
            enter(
                "first",
                first,
                "the first place, moved out of the way of what is avoided",
                vec![places, long, start],
            );
            let formula = "the fewest places out of the way, no gap wider than the spacing";
            enter("count", count, formula, vec![places, long, start, end]);
        }
        _ => {
            let places = Input::typed("places", said.space_at);
            enter("first", first, "the first of the places on this stretch", vec![places, long]);
            enter("count", count, "how many of the places are on this stretch", vec![places, long]);
        }
    }
}

/// Enters what fills the holes of each block: `SET.resin-each`, `SET.resin-net`, `SET.resin`, `SET.nozzles`,
/// `SET.resin-order`, `SET.cure`, `SET.cartridges`. `set_in` gives the bar size set in a block of holes.
pub fn enter_fills(job: &Job, fills: &[Fill], set_in: &BTreeMap<BlockId, BlockId>, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for fill in fills {
        let Some(resin) = job.resin(fill.resin) else { continue };
        let name = job.name(fill.holes);
        let bar = set_in.get(&fill.holes).and_then(|size| job.steel(*size));
        let bar =
            bar.map(|bar| Input::said("bar", bar.said(KindId::Steel, "diameter"), Figure::Length(bar.say.diameter.0)));
        let of_set = |symbol, quantity: &str, ledger: &Ledger| ledger.number(symbol, &format!("{name}.{quantity}"));
        let (formula, source) = match bar {
            Some(_) => (
                "pi / 4 * (bore^2 - bar^2) * depth",
                "nominal diameter of a bar: that of a plain bar of the same weight (ASTM A615)",
            ),
            None => ("pi / 4 * bore^2 * depth", ""),
        };
        let bore = of_set("bore", "bore", ledger);
        let depth = of_set("depth", "depth", ledger);
        let each = ledger.enter(|| Entry {
            name: format!("{name}.resin-each"),
            value: Figure::Fluid(fill.each),
            formula,
            source,
            inputs: bore.into_iter().chain(bar).chain(depth).collect(),
        });
        let count = of_set("holes", "count", ledger);
        let net = ledger.enter(|| Entry {
            name: format!("{name}.resin-net"),
            value: Figure::Fluid(fill.net),
            formula: "each * holes",
            source: "",
            inputs: Input::worked("each", each).into_iter().chain(count).collect(),
        });
        let waste = waste(resin.said(KindId::Resin, "waste"), fill.waste, fill.usual_waste);
        let wanted = ledger.enter(|| Entry {
            name: format!("{name}.resin"),
            value: Figure::Fluid(fill.wanted),
            formula: "net * (1 + waste)",
            source: "",
            inputs: Input::worked("net", net).into_iter().chain([waste]).collect(),
        });
        let nozzles = enter_nozzles(job, name, fill, ledger);
        let purge = Figure::Fluid(fill.purge);
        let purge = if fill.usual_purge {
            Input::usual("purge", Usual { clause: "resin.cartridge.purge", value: purge, source: PRACTICE })
        } else {
            Input::said("purge", resin.said(KindId::Resin, "cartridge"), purge)
        };
        let order = ledger.enter(|| Entry {
            name: format!("{name}.resin-order"),
            value: Figure::Fluid(fill.order),
            formula: "wanted + purge * nozzles",
            source: "",
            inputs: Input::worked("wanted", wanted)
                .into_iter()
                .chain([purge])
                .chain(Input::worked("nozzles", nozzles))
                .collect(),
        });
        enter_cure(job, name, fill, ledger);
        let Some(cartridge) = &resin.say.cartridge else { continue };
        let size = cartridge.holds.0;
        let of = fill.order.cubic_metres() / size.cubic_metres();
        ledger.enter(|| Entry {
            name: format!("{name}.cartridges"),
            value: Figure::Whole { count: fill.cartridges(size), of },
            formula: "order / cartridge, up to whole cartridges",
            source: "",
            inputs: Input::worked("order", order)
                .into_iter()
                .chain([Input::said("cartridge", resin.said(KindId::Resin, "cartridge"), Figure::Fluid(size))])
                .collect(),
        });
    }
}

/// Enters `SET.nozzle-holes`, the holes filled with one nozzle, where that can be told, and `SET.nozzles`.
fn enter_nozzles(job: &Job, name: &str, fill: &Fill, ledger: &mut Ledger) -> Option<EntryId> {
    let resin = job.resin(fill.resin)?;
    let holes = ledger.number("holes", &format!("{name}.count"));
    let (Some(per), Some(Asked::Within(time) | Asked::Colder(time))) = (fill.per_nozzle, fill.works) else {
        let at = resin.said(KindId::Resin, "cartridge");
        return ledger.enter(|| Entry {
            name: format!("{name}.nozzles"),
            value: Figure::Count(fill.nozzles),
            formula: "one for each cartridge: how long the resin can be worked is not told for this job",
            source: PRACTICE,
            inputs: vec![Input::typed("cartridge", at)],
        });
    };
    let takes = Figure::Duration(fill.takes);
    let takes = if fill.usual_takes {
        Input::usual("takes", Usual { clause: "step.takes", value: takes, source: PRACTICE })
    } else {
        Input::given("takes", takes, "as the step that sets the bars says")
    };
    let works = Input::said("works", resin.said(KindId::Resin, "works"), Figure::Duration(time));
    let of = time.seconds() / fill.takes.seconds();
    let each = ledger.enter(|| Entry {
        name: format!("{name}.nozzle-holes"),
        value: Figure::Whole { count: per, of: of.max(1.0) },
        formula: "what is filled within `works`, at `takes` each, down to whole holes and one at the least",
        source: "works: in a straight line between the temperatures given, at the highest of the day",
        inputs: vec![works, takes],
    });
    let of = holes.and_then(|holes| match holes.from {
        Origin::Worked(id) => ledger.get(id).map(|entry| entry.value),
        _ => None,
    });
    let of = match of {
        Some(Figure::Count(count)) => count as f64 / per as f64,
        _ => fill.nozzles as f64,
    };
    ledger.enter(|| Entry {
        name: format!("{name}.nozzles"),
        value: Figure::Whole { count: fill.nozzles, of },
        formula: "holes / each, up to whole nozzles",
        source: PRACTICE,
        inputs: holes.into_iter().chain(Input::worked("each", each)).collect(),
    })
}

/// Enters `SET.cure`: how long its resin cures on the coldest hour of the job.
fn enter_cure(job: &Job, name: &str, fill: &Fill, ledger: &mut Ledger) {
    let (Some(cure), Some(resin), Some(air)) = (fill.cure(), job.resin(fill.resin), fill.air) else { return };
    ledger.enter(|| Entry {
        name: format!("{name}.cure"),
        value: Figure::Duration(cure),
        formula: "between the times given, in a straight line, at the lowest of the day; never beyond the warmest",
        source: "",
        inputs: vec![
            Input::typed("cures", resin.said(KindId::Resin, "cures")),
            Input::said("lowest", air.from.span, Figure::Temperature(air.from.value)),
        ],
    });
}

fn waste(at: Span, waste: Ratio, usual: bool) -> Input {
    let value = Figure::Ratio(waste);
    if usual {
        Input::usual("waste", Usual { clause: "resin.waste", value, source: PRACTICE })
    } else {
        Input::said("waste", at, value)
    }
}
