//! What is wrong with rows of holes, in words; bars borrow them.

use super::words;
use crate::{
    holes::{Level, RowTrouble},
    job::Job,
    problem::{Problem, Rule},
    rule,
    works::Works,
};

rule!(ROW_OUTSIDE, "row-outside", Error, "a row outside all sections it is to run along");
rule!(INSETS_CROSS, "insets-cross", Error, "insets that leave nothing between them");
rule!(PLACE_OFF, "place-off", Error, "a place that is on no stretch of its row");
rule!(ROWS_MEASURE, "rows-measure", Error, "rows measured the wrong way for what they are in");
rule!(PARTS_TOO_MANY, "parts-too-many", Error, "more holes or bars than a job may have");
rule!(OFF_THE_WALL, "off-the-wall", Error, "holes where there is no wall to drill into");

pub(super) static RULES: &[&Rule] =
    &[&ROW_OUTSIDE, &INSETS_CROSS, &PLACE_OFF, &ROWS_MEASURE, &PARTS_TOO_MANY, &OFF_THE_WALL];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for (_, trouble) in &works.row_troubles {
        problems.extend(word(job, trouble));
    }
}

pub(super) fn word(job: &Job, trouble: &RowTrouble) -> Option<Problem> {
    let system = job.system();
    Some(match trouble {
        RowTrouble::Outside { at, level, along } => {
            let headline = match level {
                Level::Height(_) => "no part of this stretch is {0}",
                Level::Offset(_) => "nothing of this stretch lies {0}",
            };
            Problem::new(&ROW_OUTSIDE, *at, headline)
                .arg(words::level(*level, system))
                .here("this row")
                .label(*along, "the stretch it runs along")
                .help("give the row a level that lies between the bottom and the top of one of the sections")
        }
        RowTrouble::InsetsCross { at, leg, length, insets } => Problem::new(
            &INSETS_CROSS,
            *at,
            "the insets take {2} of a stretch on leg `{0}` that is {1} long",
        )
        .arg(leg.as_str())
        .arg(*length)
        .arg(*insets)
        .help("make the insets smaller, {1} together at most, or leave this stretch out of `along`"),
        RowTrouble::PlaceOff { at, station } => {
            Problem::new(&PLACE_OFF, *at, "the place {0} is on no stretch of this row")
                .arg(*station)
                .help("stations start again at 0 on each leg; check it against where the row runs")
        }
        RowTrouble::WrongMeasure { at, wants } => Problem::new(&ROWS_MEASURE, *at, "these rows are given by `{0}`")
            .arg(*wants)
            .help("write `rows {0}`: rows on a face are levels (`height`), rows in a top or floor are distances from the face (`offset`)"),
        RowTrouble::NoRows { block } => Problem::new(&ROWS_MEASURE, job.at(*block)?, "it is not said where the rows of `{0}` are")
            .arg(job.name(*block))
            .help("write `rows height` and levels for a face, `rows offset` and distances for a top or floor"),
        RowTrouble::TooMany { at, count, limit } => {
            let count = i64::try_from(*count).unwrap_or(i64::MAX);
            let limit = i64::try_from(*limit).unwrap_or(i64::MAX);
            Problem::new(&PARTS_TOO_MANY, *at, "this makes {0} parts; {1} are left of what a job may have")
                .arg(count)
                .arg(limit)
                .help("check the spacing; the limit is set with `--limit parts=NUMBER`")
        }
        RowTrouble::NotInWall { at, leg, level, bottom, top } => {
            Problem::new(&OFF_THE_WALL, *at, "leg `{0}` runs from {2} to {3}; a hole at {1} is not in it")
                .arg(leg.as_str())
                .arg(*level)
                .arg(*bottom)
                .arg(*top)
                .help("give the row a level between the two, half a bore inside")
        }
        RowTrouble::OtherWall { at } => {
            Problem::new(&OFF_THE_WALL, *at, "these holes run along a face of something else than they go into")
                .help("let `along` name sections or legs of the wall the holes go into")
        }
    })
}
