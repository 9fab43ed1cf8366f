//! Where holes are drilled now: which are new, gone, moved, and which only have another number.

use super::values;
use crate::{
    comparing::{Comparison, Drilled, Group, Places},
    compile::Compiled,
    holes::Level,
    reports::{Paper, Part, Words},
    units::{Length, System, show},
};

/// Holes that are new, gone, moved or numbered otherwise, set by set.
pub(super) fn add(comparison: &Comparison, paper: &mut Paper) {
    if comparison.places.is_empty() {
        return;
    }
    if comparison.of(Group::Holes).next().is_none() {
        paper.push(Part::Heading(2, Words::from(values::group(Group::Holes))));
    }
    let system = comparison.after.job.system();
    for set in &comparison.places {
        paper.push(Part::Bullets(moves(comparison.after, set, system)));
    }
}

fn moves(compiled: &Compiled, places: &Places, system: System) -> Vec<Words> {
    let leg = |leg: &str| {
        let bare = leg.split_once('.').map_or(leg, |(_, leg)| leg);
        if compiled.job.walls.len() + compiled.job.lines.len() == 1 { bare.to_owned() } else { leg.to_owned() }
    };
    let row = |on: &str, level: &Level| format!("{}, {}", leg(on), at(*level, system));
    let drilled = |run: &Drilled| {
        let (first, last) = (show::place(run.stations.0, system), show::place(run.stations.1, system));
        let stations =
            if run.numbers.0 == run.numbers.1 { format!("at {first}") } else { format!("{first} to {last}") };
        format!("{} ({}, {stations})", numbers(run.numbers), row(&run.leg, &run.level))
    };
    let line = |word: &str| Words::new().strong(&places.set).plain(format_args!(" {word} "));
    let mut out = Vec::new();
    out.extend(places.added.iter().map(|run| line("new:").plain(drilled(run))));
    out.extend(places.gone.iter().map(|run| line("gone:").plain(drilled(run))));
    for run in &places.moved {
        let mut says = format!("{} ({})", numbers(run.before), row(&run.leg, &run.level.0));
        if run.before != run.after {
            says.push_str(&format!(", now {}", numbers(run.after)));
        }
        if run.level.0 != run.level.1 {
            says.push_str(&format!(", to {}", at(run.level.1, system)));
        }
        if run.farthest > Length::ZERO {
            let upto = if run.before.0 == run.before.1 { "by" } else { "by up to" };
            says.push_str(&format!(", along the wall {upto} {}", show::place(run.farthest, system)));
        }
        out.push(line("moved:").plain(says));
    }
    for run in &places.renumbered {
        let says = format!("{} is now {}", numbers(run.before), numbers(run.after));
        let says = if run.before.0 == run.before.1 { says } else { says.replacen(" is now ", " are now ", 1) };
        out.push(line("same place, new number:").plain(says));
    }
    out
}

fn at(level: Level, system: System) -> String {
    match level {
        Level::Height(level) => format!("level {}", show::place(level, system)),
        Level::Offset(offset) => format!("{} off the face", show::place(offset, system)),
    }
}

fn numbers((first, last): (u64, u64)) -> String {
    if first == last { first.to_string() } else { format!("{first} to {last}") }
}
