//! What is wrong with bars, in words.

use super::rows;
use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    steel::BarTrouble,
    works::Works,
};

rule!(BARS_UNCLEAR, "bars-unclear", Error, "bars of which it cannot be told what they are");
rule!(DOWEL_BENT, "dowel-bent", Error, "a bent bar in a drilled hole");
rule!(BAR_TOO_THICK, "bar-too-thick", Error, "a bar that does not go into its hole");
rule!(LEG_BENDS, "leg-bends", Error, "a leg of a bar too short for its bends");
rule!(BEND_BACK, "bend-back", Error, "a bar that turns straight back on itself");
rule!(BEND_TIGHT, "bend-tight", Error, "a bend tighter than the bar allows");
rule!(BAR_NOTHING_LEFT, "bar-nothing-left", Error, "a long bar of which its ends leave nothing");

pub(super) static RULES: &[&Rule] =
    &[&BARS_UNCLEAR, &DOWEL_BENT, &BAR_TOO_THICK, &LEG_BENDS, &BEND_BACK, &BEND_TIGHT, &BAR_NOTHING_LEFT];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for (_, trouble) in &works.bar_troubles {
        problems.extend(word(job, trouble));
    }
}

fn word(job: &Job, trouble: &BarTrouble) -> Option<Problem> {
    Some(match trouble {
        BarTrouble::Rows(trouble) => return rows::word(job, trouble),
        BarTrouble::Lacks { bars, clause, goes_with } => {
            Problem::new(&BARS_UNCLEAR, job.at(*bars)?, "`{0}` has no `{1}`, which goes with {2}")
                .arg(job.name(*bars))
                .arg(*clause)
                .arg(*goes_with)
                .help("dowels: `in` and `out`; long bars: `along`, `rows` and `offset`; bars side by side: `along`, `space`, `from` and `legs`")
        }
        BarTrouble::DoesNotGo { at, clause, with } => {
            Problem::new(&BARS_UNCLEAR, *at, "`{0}` does not go with `{1}`")
                .arg(*clause)
                .arg(*with)
                .help("dowels: `in` and `out`; long bars: `along`, `rows`, `offset` and `ends`; bars side by side: `along`, `space`, `inset`, `from` and `legs`")
        }
        BarTrouble::DowelBent { at } => Problem::new(&DOWEL_BENT, *at, "a bar with legs does not go into a drilled hole")
            .help("take `legs` out: dowels are straight; a bar that is to be bent stands beside them, lapped"),
        BarTrouble::TooThick { at, over, bore, .. } => {
            Problem::new(&BAR_TOO_THICK, *at, "this bar is {0} over its ribs and does not go into a hole of {1}")
                .arg(*over)
                .arg(*bore)
                .help("drill wider, or take a thinner bar")
        }
        BarTrouble::LegShort { at, leg, least } => {
            Problem::new(&LEG_BENDS, *at, "leg {0} is too short for its bends: it must be {1} at least")
                .arg(*leg)
                .arg(*least)
                .help("make the leg {1} or longer, or take a thinner bar")
        }
        BarTrouble::TurnsBack { at } => Problem::new(&BEND_BACK, *at, "one leg runs straight back along the one before")
            .help("write a leg across between the two, as in `up 12\", out 6\", down 12\"`"),
        BarTrouble::BendTight { at, inside, least } => Problem::new(
            &BEND_TIGHT,
            *at,
            "a bend of {0} inside is tighter than this bar allows; {1} is the least",
        )
        .arg(*inside)
        .arg(*least)
        .help("write `bend {1}`, or leave it out"),
        BarTrouble::NothingLeft { at, length, ends } => {
            Problem::new(&BAR_NOTHING_LEFT, *at, "a stretch of {0} leaves nothing of a bar that stops {1} short of both ends")
                .arg(*length)
                .arg(*ends)
                .help("write a smaller `ends`, or leave this stretch out of `along`")
        }
    })
}
