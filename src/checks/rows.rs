//! What is wrong with rows of holes, in words; bars borrow them.

use std::collections::BTreeSet;

use super::words;
use crate::{
    holes::{AvoidFails, Level, RowTrouble, STEEPEST},
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, KindId, Stretch, StretchPart},
    source::Span,
    units::{Length, System, show},
    works::Works,
};

rule!(ROW_OUTSIDE, "row-outside", Error, "a row outside all sections it is to run along");
rule!(INSETS_CROSS, "insets-cross", Error, "insets that leave nothing between them");
rule!(ROW_CROWDED, "row-crowded", Error, "a row of holes or bars that reach into each other");
rule!(PLACE_OFF, "place-off", Error, "a place that is on no stretch of its row");
rule!(ROWS_MEASURE, "rows-measure", Error, "rows measured the wrong way for what they are in");
rule!(PARTS_TOO_MANY, "parts-too-many", Error, "more holes or bars than a job may have");
rule!(AVOID_FAILS, "avoid-fails", Error, "holes that cannot keep away from what they are to avoid");
rule!(TILT_WAY, "tilt-way", Error, "holes that cannot lean this way, or not by so much");
rule!(OFF_THE_WALL, "off-the-wall", Error, "holes where there is no wall to drill into");

pub(super) static RULES: &[&Rule] = &[
    &ROW_OUTSIDE,
    &INSETS_CROSS,
    &ROW_CROWDED,
    &PLACE_OFF,
    &ROWS_MEASURE,
    &PARTS_TOO_MANY,
    &OFF_THE_WALL,
    &AVOID_FAILS,
    &TILT_WAY,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let echoes = Echoes::new(works, problems);
    for (block, trouble) in &works.row_troubles {
        if !echoes.holds(job, works, *block, trouble) {
            problems.extend(word(job, *block, trouble).map(|problem| placed(job, works, trouble, problem)));
        }
    }
}

/// Says where on the job a trouble is, where the room told.
fn placed(job: &Job, works: &Works, trouble: &RowTrouble, problem: Problem) -> Problem {
    let RowTrouble::AvoidFails(fails) = trouble else { return problem };
    let system = job.system();
    problem.place(format!(
        "{} to {} on {}, {}",
        show::place(fails.from, system),
        show::place(fails.to, system),
        words::leg(job, &works.standing, fails.on),
        words::level(fails.level, system)
    ))
}

/// What tells a trouble that only follows from another one, which is told already.
pub(super) struct Echoes {
    /// Where findings point to, sorted.
    told: Vec<Span>,
    /// Holes with rows off their wall: the places of those rows are on no stretch for that reason.
    off_the_wall: BTreeSet<BlockId>,
}

impl Echoes {
    pub(super) fn new(works: &Works, problems: &[Problem]) -> Echoes {
        let mut told: Vec<Span> = problems.iter().filter_map(Problem::span).collect();
        told.sort_unstable();
        let off = works.row_troubles.iter().filter(|(_, trouble)| matches!(trouble, RowTrouble::NotInWall { .. }));
        Echoes { told, off_the_wall: off.map(|(block, _)| *block).collect() }
    }

    /// Whether a trouble of this block is an echo.
    pub(super) fn holds(&self, job: &Job, works: &Works, block: BlockId, trouble: &RowTrouble) -> bool {
        match trouble {
            RowTrouble::Outside { along, .. } => self.outside(job, works, block, *along),
            RowTrouble::PlaceOff { .. } => self.off_the_wall.contains(&block),
            _ => false,
        }
    }

    /// Whether a row is outside its stretch only because something about that stretch is told already.
    pub(super) fn outside(&self, job: &Job, works: &Works, block: BlockId, along: Span) -> bool {
        let from = self.told.partition_point(|span| (span.source, span.start) < (along.source, along.start));
        let told = self.told.get(from).is_some_and(|span| span.source == along.source && span.start < along.end);
        told || runs(job, block).is_some_and(|along| lacks_a_part(works, along))
    }
}

/// Where a block of holes or bars runs.
fn runs(job: &Job, block: BlockId) -> Option<&Stretch> {
    match job.holes_of(block) {
        Some(holes) => Some(&holes.say.along),
        None => job.bars_of(block)?.say.along.as_ref(),
    }
}

/// Whether a section, wall or line that is named could not be placed.
fn lacks_a_part(works: &Works, along: &Stretch) -> bool {
    let stands = |wall: BlockId| !works.standing.chains_of(wall).is_empty();
    along.0.iter().any(|part| match part.value {
        StretchPart::All(block) => match works.sections.find(block) {
            Some(placed) => placed.intervals.is_empty(),
            None => !stands(block),
        },
        StretchPart::Legs { from, .. } => !stands(from.wall),
    })
}

pub(super) fn word(job: &Job, block: BlockId, trouble: &RowTrouble) -> Option<Problem> {
    let system = job.system();
    Some(match trouble {
        RowTrouble::Outside { at, level, along } => {
            let (headline, here) = match level {
                Level::Height(_) => ("no part of this stretch is {0}", "this level"),
                Level::Offset(_) => ("nothing of this stretch lies {0}", "this distance"),
            };
            Problem::new(&ROW_OUTSIDE, *at, headline)
                .arg(words::level(*level, system))
                .here(here)
                .label(*along, "the stretch it runs along")
                .help("give the row a level that lies between the bottom and the top of one of the sections")
        }
        RowTrouble::InsetsCross { at, leg, length, insets } => {
            Problem::new(&INSETS_CROSS, *at, "the insets take {2} of a stretch on leg `{0}` that is {1} long")
                .arg(leg.as_str())
                .arg(*length)
                .arg(*insets)
                .help("make the insets smaller, {1} together at most, or leave this stretch out of `along`")
        }
        RowTrouble::Crowded { at, gap, wide } => {
            Problem::new(&ROW_CROWDED, *at, "they would stand {0} apart, and each is {1} wide")
                .arg(*gap)
                .arg(*wide)
                .here("one would reach into the next")
                .help(
                    "check the unit; write how far they are from centre to centre, as in `space at most {16\"|400 mm}`",
                )
        }
        RowTrouble::PlaceOff { at, station } => {
            let problem = Problem::new(&PLACE_OFF, *at, "the place {0} is on no stretch of its row")
                .arg(*station)
                .here("this place")
                .help("stations start again at 0 on each leg; check it against where the row runs");
            match job.holes_of(block) {
                Some(holes) => problem.label(holes.said(KindId::Holes, "along"), "the row runs here"),
                None => problem,
            }
        }
        RowTrouble::WrongMeasure { at, wants } => {
            let (headline, help) = if *wants == "height" {
                ("rows on a face are given by their levels", "write `rows height` and the levels")
            } else {
                (
                    "rows in a top or a floor are given by how far they are from the face",
                    "write `rows offset` and the distances from the face",
                )
            };
            Problem::new(&ROWS_MEASURE, *at, headline).help(help)
        }
        RowTrouble::NoRows { block } => Problem::new(
            &ROWS_MEASURE,
            job.holes_of(*block)?.said(KindId::Holes, "rows"),
            "it is not said where the rows of `{0}` are",
        )
        .arg(job.name(*block))
        .help("write `rows height` and levels for a face, `rows offset` and distances for a top or floor"),
        RowTrouble::TooMany { at, count, limit } => {
            let count = i64::try_from(*count).unwrap_or(i64::MAX);
            let limit = i64::try_from(*limit).unwrap_or(i64::MAX);
            Problem::new(&PARTS_TOO_MANY, *at, "this makes {0} parts, and there is room for {1}")
                .arg(count)
                .arg(limit)
                .help("check the spacing; if it is meant, `--limit parts=NUMBER` sets how many a job may have")
        }
        RowTrouble::NotInWall { at, leg, level, bottom, top } => {
            Problem::new(&OFF_THE_WALL, *at, "leg `{0}` stands from {2} to {3}; a hole at {1} is not wholly in it")
                .arg(leg.as_str())
                .arg(*level)
                .arg(*bottom)
                .arg(*top)
                .help("give the row a level between the two, half a bore inside at the least")
        }
        RowTrouble::AvoidFails(fails) => avoid_fails(job, block, fails)?,
        RowTrouble::Leans { at, face } => {
            let help = if *face {
                "holes in a face lean `up`, `down`, `left` or `right`, by {0} degrees at most"
            } else {
                "holes in a top or a floor lean `out`, `in`, `left` or `right`, by {0} degrees at most"
            };
            Problem::new(&TILT_WAY, *at, "a hole cannot lean like this")
                .arg(crate::problem::Arg::Number(STEEPEST))
                .help(help)
        }
        RowTrouble::OtherWall { at } => {
            Problem::new(&OFF_THE_WALL, *at, "these holes run along one thing and go into another")
                .help("let `along` name sections or legs of the wall the holes go into")
        }
    })
}

fn avoid_fails(job: &Job, block: BlockId, fails: &AvoidFails) -> Option<Problem> {
    let taken = fails.to - fails.from;
    let problem = match fails.widest {
        Some(widest) => {
            let problem = Problem::new(
                &AVOID_FAILS,
                fails.at,
                "keeping away from `{0}` leaves {1} without a hole; no gap may be wider than {2}",
            )
            .arg(job.name(fails.thing))
            .arg(taken)
            .arg(widest);
            let problem = match job.holes_of(block) {
                Some(holes) => problem.label(holes.said(KindId::Holes, "space"), "the gaps"),
                None => problem,
            };
            if taken > widest * 2 {
                problem.help("it lies along the row, and no hole is moved past it: write rows at another level or offset, or a smaller distance after `by`")
            } else if taken > widest {
                problem.help(
                    "write a smaller distance after `by`, gaps of {1} at most in `space`, or rows at another level",
                )
            } else {
                problem.help("write a smaller distance after `by`, smaller insets, or rows at another level")
            }
        }
        None => {
            // Places that can be written as they are told, and are clear all the same.
            let step = match job.system() {
                System::Feet => Length::from_nm(Length::INCH.nm() / 16),
                System::Metric => Length::from_nm(Length::METRE.nm() / 1000),
            };
            let down = |place: Length| step * place.nm().div_euclid(step.nm());
            Problem::new(&AVOID_FAILS, fails.at, "this place is too near `{0}`: {1} or {2} would be clear of it")
                .arg(job.name(fails.thing))
                .arg(down(fails.from))
                .arg(Length::ZERO - down(Length::ZERO - fails.to))
                .here("this place")
                .help("write another place; what is listed is not moved")
        }
    };
    let at = job.at(fails.thing)?;
    Some(problem.label(at, "what is in the way").thing(job.name(block)))
}
