//! What is wrong with bars, in words.

use super::rows;
use crate::{
    job::Job,
    problem::{Arg, Problem, Rule},
    rule,
    schema::{BlockId, KindId},
    steel::BarTrouble,
    units::{Length, System, show},
    works::Works,
};

rule!(BARS_UNCLEAR, "bars-unclear", Error, "bars of which it cannot be told what they are");
rule!(DOWEL_BENT, "dowel-bent", Error, "a bent bar in a drilled hole");
rule!(BAR_TOO_THICK, "bar-too-thick", Error, "a bar that does not go into its hole");
rule!(LEG_BENDS, "leg-bends", Error, "a leg of a bar too short for its bends");
rule!(BEND_BACK, "bend-back", Error, "a bar that turns straight back on itself");
rule!(BEND_TIGHT, "bend-tight", Error, "a bend tighter than the bar allows");
rule!(BAR_NOTHING_LEFT, "bar-nothing-left", Error, "a long bar of which its ends leave nothing");

rule!(HOOK_UNCLEAR, "hook-unclear", Error, "a hook that turns by no angle hooks have, or no known way");
rule!(TAIL_SHORT, "tail-short", Warning, "a hook whose straight end is shorter than its rule asks");
rule!(LEG_STRAIGHT, "leg-straight", Warning, "two bends with too little straight between them");
rule!(BAR_CROSSES_ITSELF, "bar-crosses-itself", Error, "a bar that runs through itself");
rule!(NO_ROOM_FOR_LAP, "no-room-for-lap", Error, "a long bar that must be lapped where no lap fits");
rule!(BAR_TOO_LONG, "bar-too-long", Warning, "a bar longer than the bars it is to be cut from");
rule!(LAP_APART, "lap-apart", Warning, "a bar that goes on past a step too far from the bars it should lap with");
rule!(LAP_SHORT, "lap-short", Warning, "a bar lapped by less than it should be");

pub(super) static RULES: &[&Rule] = &[
    &BARS_UNCLEAR,
    &DOWEL_BENT,
    &BAR_TOO_THICK,
    &LEG_BENDS,
    &BEND_BACK,
    &BEND_TIGHT,
    &HOOK_UNCLEAR,
    &TAIL_SHORT,
    &LEG_STRAIGHT,
    &BAR_CROSSES_ITSELF,
    &BAR_NOTHING_LEFT,
    &LAP_APART,
    &LAP_SHORT,
    &NO_ROOM_FOR_LAP,
    &BAR_TOO_LONG,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let echoes = rows::Echoes::new(works, problems);
    for (block, trouble) in &works.bar_troubles {
        let echo = match trouble {
            BarTrouble::Rows(row) => echoes.holds(job, works, *block, row),
            BarTrouble::NothingToFollow { along, .. } => echoes.outside(job, works, *block, *along),
            _ => false,
        };
        if !echo {
            problems.extend(word(job, *block, trouble));
        }
    }
}

fn word(job: &Job, block: BlockId, trouble: &BarTrouble) -> Option<Problem> {
    Some(match trouble {
        BarTrouble::Rows(trouble) => return rows::word(job, block, trouble),
        BarTrouble::Lacks { bars, clause, goes_with } => {
            let (headline, help) = match *clause {
                "along" => (
                    "`{0}` are neither in holes nor along anything",
                    "write `in` and `out` for dowels, `along`, `rows` and `offset` for long bars, or `along`, `space`, `from` and `legs` for bars side by side",
                ),
                "rows" => (
                    "`{0}` have neither `rows` nor `space`",
                    "write `rows` and `offset` for long bars, or `space`, `from` and `legs` for bars side by side",
                ),
                "out" => ("`{0}` have {2} but no `{1}`", "write how far they stand out of their holes"),
                "offset" => ("`{0}` have {2} but no `{1}`", "write how far from the old face the bars' centres are"),
                "from" => ("`{0}` have {2} but no `{1}`", "write `from offset … , height …`: where each bar begins"),
                _ => ("`{0}` have {2} but no `{1}`", "write which way each bar goes and how far, leg by leg"),
            };
            Problem::new(&BARS_UNCLEAR, job.at(*bars)?, headline)
                .arg(job.name(*bars))
                .arg(*clause)
                .arg(*goes_with)
                .help(help)
        }
        BarTrouble::DoesNotGo { at, clause, with } => {
            Problem::new(&BARS_UNCLEAR, *at, "`{0}` does not go with `{1}`").arg(*clause).arg(*with).help(match *with {
                "in" => "dowels have `in` and `out`; take the other clause out",
                "rows" => {
                    "long bars have `along`, `rows`, `offset`, `ends`, `lap` and `pieces`; take the other clause out"
                }
                _ => "bars side by side have `along`, `space`, `inset`, `from` and `legs`; take the other clause out",
            })
        }
        BarTrouble::DowelBent { at } => {
            Problem::new(&DOWEL_BENT, *at, "a bar with legs does not go into a drilled hole")
                .help("take `legs` out: dowels are straight; a bar that is to be bent stands beside them, lapped")
        }
        BarTrouble::TooThick { at, over, bore, .. } => {
            let problem =
                Problem::new(&BAR_TOO_THICK, *at, "this bar is {0} over its ribs and does not go into a hole of {1}")
                    .arg(*over)
                    .arg(*bore)
                    .here("this bar")
                    .help("drill wider, or take a thinner bar");
            let holes = job.bars_of(block).and_then(|bars| job.holes_of(bars.say.holes?.value.0));
            match holes {
                Some(holes) => problem.label(holes.said(KindId::Holes, "bore"), "into these holes"),
                None => problem,
            }
        }
        BarTrouble::LegShort { at, leg, least } => {
            // Long bars take their legs from the wall, others have them written.
            let (headline, help) = if job.bars_of(block)?.say.legs.is_some() {
                (
                    "leg {0} is too short for its bends: it must be {1} at least",
                    "make the leg {1} or longer, or take a thinner bar",
                )
            } else {
                (
                    "on leg {0} of the wall this bar has no room for its bends: they take {1}",
                    "let the bar end before the corner, lay it further out, or take a thinner bar",
                )
            };
            Problem::new(&LEG_BENDS, *at, headline).arg(*leg).arg(*least).help(help)
        }
        BarTrouble::TurnsBack { at } => {
            Problem::new(&BEND_BACK, *at, "one leg runs straight back along the one before")
                .help("write a leg across between the two, as in `{up 12\", out 6\", down 12\"|up 300 mm, out 150 mm, down 300 mm}`")
        }
        BarTrouble::BendTight { at, inside, least } => {
            Problem::new(&BEND_TIGHT, *at, "a bend of {0} inside is tighter than this bar allows; {1} is the least")
                .arg(*inside)
                .arg(*least)
                .help("write `bend {1}` or more, or leave `bend` out")
        }
        BarTrouble::HookUnclear { at, turn: Some(turn) } => {
            Problem::new(&HOOK_UNCLEAR, *at, "hooks do not turn by {0} degrees")
                .arg(Arg::Number(*turn))
                .help("write 90, 135 or 180 deg, which is how far the bar turns")
        }
        BarTrouble::HookUnclear { at, turn: None } => {
            Problem::new(&HOOK_UNCLEAR, *at, "it is not plain which way this hook turns")
                .help("write a direction across the leg behind the angle, as in `180 deg up`")
        }
        BarTrouble::TailShort { at, turn, tail, least, source } => {
            // As it can be typed without loss: what no tape shows is a metric figure.
            let tape = 64 * least.nm() % Length::INCH.nm() == 0;
            let written = show::exact(*least, if tape { System::Feet } else { System::Metric }).to_string();
            Problem::new(&TAIL_SHORT, *at, "behind a hook of {2} degrees {0} is straight; its rule asks for {1}")
                .arg(*tail)
                .arg(*least)
                .arg(Arg::Number(*turn))
                .arg(*source)
                .arg(written.as_str())
                .help("write `tail {4}`, or leave `tail` out ({3})")
                .fix(*at, written)
                .thing(job.name(block))
                .measure(*tail)
        }
        BarTrouble::LegStraight { at, leg, straight, least } => {
            Problem::new(&LEG_STRAIGHT, *at, "between its bends leg {0} has {1} of straight; {2} is wanted")
                .arg(*leg)
                .arg(*straight)
                .arg(*least)
                .help("make the leg longer by the difference")
                .thing(job.name(block))
                .measure(*straight)
        }
        BarTrouble::CrossesItself { at, closed: _, hooked: Some((way, wide)) } => {
            let problem =
                Problem::new(&BAR_CROSSES_ITSELF, *at, "this tie is too narrow for its hooks: they run through it")
                    .arg(way.word())
                    .arg(wide.unwrap_or(Length::ZERO))
                    .arg(way.opposite().word());
            problem.help(match wide {
                Some(_) => "`{0} {1}` and `{2} {1}` would do, or a thinner bar",
                None => "take a thinner bar, or two bars with a leg each",
            })
        }
        BarTrouble::CrossesItself { at, closed, hooked: None } => {
            let problem = Problem::new(&BAR_CROSSES_ITSELF, *at, "this bar runs through itself");
            if *closed {
                problem.help("if it is a closed tie, say how its ends are hooked: write `hook 135 deg` at the end")
            } else {
                problem.help("change a leg so that the bar passes clear of itself")
            }
        }
        BarTrouble::NothingLeft { at, length, ends } => Problem::new(
            &BAR_NOTHING_LEFT,
            *at,
            "a stretch of {0} leaves nothing of a bar that stops {1} short of both ends",
        )
        .arg(*length)
        .arg(*ends)
        .help("write a smaller `ends`, or leave this stretch out of `along`"),
        BarTrouble::NothingToFollow { at, along } => {
            Problem::new(&rows::ROW_OUTSIDE, *at, "no section stands along this stretch for a row to follow")
                .here("this level")
                .label(*along, "the stretch it runs along")
                .help("write the level itself, or let `along` name sections")
        }
        BarTrouble::NoRoomForLap { at, lap, most, would_do, asked, ring } => {
            let problem = Problem::new(
                &NO_ROOM_FOR_LAP,
                *at,
                "pieces of {1} at most must be lapped by {0}, and between the corners no lap fits",
            )
            .arg(*lap)
            .arg(*most);
            let problem = problem.arg(would_do.map_or(String::new(), |do_it| show::cut(do_it, job.system()).to_string()));
            // A lap shorter than is asked for would only be told as that.
            problem.help(match (would_do.is_some(), lap > asked, ring) {
                (true, true, _) => "pieces of {2} would reach a straight that can hold a lap; or write a shorter `lap`",
                (true, false, _) => "pieces of {2} would reach a straight that can hold a lap; or take thinner bars, which lap by less",
                (false, true, _) => "write a shorter `lap`: it has to fit on one straight, clear of the bends",
                (false, false, true) => "so long a lap is asked for, and no straight of the way round holds it: take thinner bars, which lap by less, a way further out, whose straights are longer, or a closed tie round it (`legs …, hook 135 deg`), which has no lap",
                (false, false, false) => "so long a lap is asked for, and no straight on the way holds it: take thinner bars, which lap by less, or let bars end at the corner and go round it with bent bars of their own",
            })
        }
        BarTrouble::TooLong { at, cut, stock } => {
            Problem::new(&BAR_TOO_LONG, *at, "this bar is {0} long, and the longest bar it can be cut from is {1}")
                .arg(show::cut(*cut, job.system()).to_string())
                .arg(*stock)
                .help("make it of two bars that lap, or write the longer bars you can have as `stock`")
                .thing(job.name(block))
                .measure(*cut)
        }
        BarTrouble::LapUnderRule { at, lap, rule, fits } => {
            let tape = 64 * rule.length.nm() % Length::INCH.nm() == 0;
            let written = show::exact(rule.length, if tape { System::Feet } else { System::Metric }).to_string();
            let problem = Problem::new(&LAP_SHORT, *at, "these bars lap by {0}, and {1} is asked for")
                .arg(*lap)
                .arg(rule.length)
                .arg(rule.source)
                .arg(show::stress(rule.yields_at, job.system()).to_string())
                .arg(show::stress(rule.strength, job.system()).to_string())
                .arg(written.as_str())
                .thing(job.name(block))
                .measure(*lap);
            if *fits {
                problem
                    .help(
                        "write `lap {5}`, or leave `lap` out ({2}; steel of {3}, concrete of {4}, all lapped at one place)",
                    )
                    .fix(*at, format!("lap {written}"))
            } else {
                problem.help("so long a lap has no room between the corners ({2}; steel of {3}, concrete of {4}, all lapped at one place): take thinner bars, which lap by less, a way with longer straights, or a closed tie round it (`legs …, hook 135 deg`), which has no lap; or ask an engineer")
            }
        }
        BarTrouble::LapApart { at, level, apart, may } => {
            let Some(apart) = apart else {
                return Some(
                    Problem::new(&LAP_APART, *at, "past the step no bar is near that this one could lap with")
                        .arg(*level)
                        .help("write `{0}` in its place, so that this row runs through both sections, and give what is higher or lower a row of its own")
                        .thing(job.name(block)),
                );
            };
            let problem = Problem::new(
                &LAP_APART,
                *at,
                "past the step the next bar is {0} clear of this one, too far to lap with it",
            )
            .arg(*apart)
            .arg(may.most)
            .arg(*level)
            .arg(may.source)
            .thing(job.name(block))
            .measure(*apart);
            match may.longer_than {
                Some(rule) => problem.arg(show::exact(rule + *apart, System::Metric).to_string()).help(
                    "bars that lap are {1} apart at the most ({3}): write `{2}` in its place, so that this row runs through both sections, and give what is higher or lower a row of its own; or `lap {4}`, longer by what is clear between them",
                ),
                None => problem.help(
                    "bars that lap are {1} apart at the most ({3}): write `{2}` in its place, so that this row runs through both sections, and give what is higher or lower a row of its own",
                ),
            }
        }
        BarTrouble::LapShort { at, lap, room } => {
            Problem::new(&LAP_SHORT, *at, "past the step there is room for {1} of this bar; its lap is {0}")
                .arg(*lap)
                .arg(*room)
                .help("lengthen the section it goes on into, or how far of it the bars run `along`; or, if less will do, write `lap {1}`")
                .thing(job.name(block))
                .measure(*room)
        }
    })
}
