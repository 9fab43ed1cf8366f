//! Bars set in drilled holes of concrete: how far from edges and from each other, how deep, how wide a hole.
//!
//! Six bar diameters to an edge without product data (ACI 318-19 Table 17.9.2(b)) and from bar to bar (Table 17.9.2(a), from
//! memory); embedment of 4 to 20 diameters (17.3.3). These are limits of geometry: what a bar holds is for an engineer and
//! for what is printed with the resin. They are about concrete: hollow block, brick and rubble get `trial-hole` instead.

use std::collections::BTreeSet;

use super::{back_thin::is_swapped, holes_meet, words};
use crate::{
    holes::{Level, Rim, Set},
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, Holes, KindId, Stuff},
    standards,
    steel::Place,
    units::{Length, System, show},
    works::Works,
};

rule!(HOLE_EDGE, "hole-edge", Warning, "a hole near an edge of what it goes into");
rule!(HOLES_CLOSE, "holes-close", Warning, "holes nearer to each other than their bars should be");
rule!(EMBED_SHORT, "embed-short", Warning, "a bar that is set less than four diameters deep");
rule!(EMBED_DEEP, "embed-deep", Warning, "a bar that is set more than twenty diameters deep");
rule!(BORE_ODD, "bore-odd", Warning, "a hole much narrower or wider than its bar needs");
rule!(TRIAL_HOLE, "trial-hole", Warning, "holes for bars in old work that is not solid concrete");

pub(super) static RULES: &[&Rule] = &[&HOLE_EDGE, &HOLES_CLOSE, &EMBED_SHORT, &EMBED_DEEP, &BORE_ODD, &TRIAL_HOLE];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    // A bar that does not go into its hole at all is told by its own room.
    let groups = works.bars.iter().flat_map(|made| &made.groups);
    let barred: BTreeSet<BlockId> = groups
        .filter_map(|group| match group.place {
            Place::Holes(holes) => Some(holes),
            _ => None,
        })
        .collect();
    for holes in &job.holes {
        let Some(set) = works.sets.get(&holes.id).filter(|set| set.count > 0 && !is_swapped(set)) else { continue };
        if let Some(problem) = trial(job, holes, set) {
            problems.push(problem);
            continue;
        }
        let Some(bar) = set.bar else { continue };
        problems.extend(edge(job, works, holes, set, bar));
        problems.extend(depth(holes, set, bar));
        if barred.contains(&holes.id) {
            problems.extend(bore(job, holes, set, bar));
        }
    }
    close(job, works, problems);
}

/// What old work that is not solid concrete is made of.
pub(crate) fn unlike_concrete(job: &Job, set: &Set) -> Option<&'static str> {
    let made = job.wall(set.into.block)?.say.of.as_ref()?;
    match (made.of, made.hollow.is_some()) {
        // That concrete is not hollow has been told.
        (Stuff::Concrete, _) => None,
        (Stuff::Block, true) => Some("hollow block"),
        (stuff, _) => Some(stuff.word()),
    }
}

fn trial(job: &Job, holes: &Thing<Holes>, set: &Set) -> Option<Problem> {
    let stuff = unlike_concrete(job, set)?;
    let wall = job.wall(set.into.block)?;
    Some(
        Problem::new(&TRIAL_HOLE, holes.say.into.span, "these holes go into {0}: no rule for concrete tells what holds there")
            .arg(stuff)
            .arg(holes.name.as_str())
            .thing(holes.name.as_str())
            .label(wall.said(KindId::Wall, "of"), "what it is made of")
            .help("drill one trial hole, set a bar in it and pull it as an engineer tells; write down what came of it: `accept trial-hole on {1} because \"…\"`"),
    )
}

fn edge(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, bar: Length) -> Option<Problem> {
    // Cover and aggregate of old concrete are seldom known, and a dowel's cover is looked at with the bars.
    let wanted = standards::anchors::least_edge(bar, Length::ZERO, Length::ZERO).ok()?.value;
    let edge = works.around.get(&set.id)?.edge.filter(|edge| edge.apart < wanted)?;
    let (Level::Height(at) | Level::Offset(at)) = edge.hole.level;
    let (headline, help) = match edge.rim {
        Rim::Top => (
            "the top of the old work is {0} from the axis of a hole; {1} is the least",
            "lower the row, or let it end before this leg",
        ),
        Rim::Bottom => ("the bottom of the old work is {0} from the axis of a hole; {1} is the least", "raise the row"),
        Rim::End => (
            "an end of the work is {0} from the axis of a hole; {1} is the least",
            "keep the holes further from the end: a larger `inset`",
        ),
        Rim::Wall => (
            "the edge of the slab at the wall is {0} from the axis of a hole; {1} is the least",
            "lay the row further out: {2} from the wall would do",
        ),
        Rim::Face => (
            "another face of the work is {0} from the axis of a hole; {1} is the least",
            "keep the holes further from the corner: a larger `inset`, `at corners`",
        ),
    };
    Some(
        Problem::new(&HOLE_EDGE, holes.said(KindId::Holes, "bore"), headline)
            .arg(edge.apart)
            .arg(wanted)
            .arg(show::cut_length(at + (wanted - edge.apart), job.system()))
            .thing(holes.name.as_str())
            .place(words::hole(job, &works.standing, &holes.name, &edge.hole))
            .one(holes.name.as_str(), edge.hole.number)
            .measure(edge.apart)
            .help(help),
    )
}

fn depth(holes: &Thing<Holes>, set: &Set, bar: Length) -> Option<Problem> {
    let (least, most) = standards::anchors::embedment_window(bar).ok()?.value;
    let at = holes.say.bore.deep.span;
    if set.deep < least {
        return Some(
            Problem::new(&EMBED_SHORT, at, "a bar of {0} is set {1} deep; the rules for such bars begin at {2}")
                .arg(bar)
                .arg(set.deep)
                .arg(least)
                .thing(holes.name.as_str())
                .measure(set.deep)
                .help("drill {2} deep or deeper, or take a thinner bar"),
        );
    }
    (set.deep > most).then(|| {
        Problem::new(&EMBED_DEEP, at, "a bar of {0} is set {1} deep; the rules for such bars end at {2}")
            .arg(bar)
            .arg(set.deep)
            .arg(most)
            .thing(holes.name.as_str())
            .help("deeper than {2} counts for nothing more; fill and clean such a hole only as its resin allows")
    })
}

/// The width of hole that is usual for a bar: for one no table has, an eighth of an inch more, or 4 mm.
fn usual_bore(bar: Length, system: System) -> Length {
    let (more, step) = match system {
        System::Feet => (Length::INCH / 8, Length::INCH.nm() / 16),
        System::Metric => (Length::MILLIMETRE * 4, Length::MILLIMETRE.nm()),
    };
    let near = (bar + more).nm().saturating_add(step / 2).div_euclid(step) * step;
    standards::anchors::usual_hole(bar).map_or(Length::from_nm(near), |worked| worked.value)
}

fn bore(job: &Job, holes: &Thing<Holes>, set: &Set, bar: Length) -> Option<Problem> {
    // A sixteenth of an inch more than the bar is the least that resin gets round it in (a state's road specification for
    // resin-type grout); a quarter more, three eighths for thick bars, is where more resin only costs and sags.
    let least = standards::anchors::resin_grout_hole(bar).ok()?.value;
    let most = bar + if bar <= Length::MILLIMETRE * 20 { Length::INCH / 4 } else { Length::INCH * 3 / 8 };
    if (least..=most).contains(&set.wide) {
        return None;
    }
    let usual = usual_bore(bar, job.system());
    let headline = if set.wide < least {
        "a hole of {0} is narrow for a bar of {1}; {2} is usual"
    } else {
        "a hole of {0} is wide for a bar of {1}; {2} is usual"
    };
    Some(
        Problem::new(&BORE_ODD, holes.said(KindId::Holes, "bore"), headline)
            .arg(set.wide)
            .arg(bar)
            .arg(usual)
            .arg(show::exact(usual, job.system()).to_string())
            .thing(holes.name.as_str())
            .help("drill {3} wide, unless what is printed with the resin says otherwise"),
    )
}

fn close(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for close in &works.close {
        let (one, two) = (close.first.0, close.second.0);
        let (Some(first), Some(second)) = (works.sets.get(&one), works.sets.get(&two)) else { continue };
        if unlike_concrete(job, first).is_some() || unlike_concrete(job, second).is_some() {
            continue;
        }
        let Some(holes) = job.holes_of(two) else { continue };
        let name = |id, hole| words::hole(job, &works.standing, job.name(id), hole);
        let pairs = close.pairs.and_then(|pairs| i64::try_from(pairs).ok()).unwrap_or(0);
        let mut problem = Problem::new(
            &HOLES_CLOSE,
            holes.said(KindId::Holes, "space"),
            "holes stand {0} apart; bars of this size want {1} from centre to centre",
        )
        .arg(close.apart)
        .arg(close.wanted)
        .arg(pairs)
        .thing(holes.name.as_str())
        .place(format!("{}\n{}", name(one, &close.first.1), name(two, &close.second.1)))
        .one(job.name(one), close.first.1.number)
        .one(job.name(two), close.second.1.number)
        .measure(close.apart);
        problem = match close.pairs {
            None => problem.here("all of this row"),
            Some(1) => problem,
            Some(_) => problem.here("{2} pairs are too near, the nearest is told"),
        };
        if let Some(other) = job.holes_of(one).filter(|_| one != two) {
            problem = problem.label(other.said(KindId::Holes, "space"), "and these");
        }
        let far = holes_meet::far_enough(job, works, [close.first, close.second], close.wanted - Length::from_nm(1));
        problems.push(match far {
            Some(far) if close.first.1.on != close.second.1.on => problem.arg(far).help("keep holes further from the corner: `at corners {3}` in `inset` would do; or put rows at other levels, or take a thinner bar: six diameters are the least"),
            _ => problem
                .help("space them wider, put rows further apart, or take a thinner bar: six diameters are the least"),
        });
    }
}
