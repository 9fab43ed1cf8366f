//! `too-long-for-way`: bars, boards and pieces of sheet that do not get in.
//!
//! What gets round the corners of a way in is measured by whoever writes it; no source. Boards and sheets are taken as sawn
//! before they are carried in.

use crate::{
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{KindId, Route},
    units::{Length, show},
    works::Works,
};

rule!(TOO_LONG_FOR_WAY, "too-long-for-way", Warning, "a bar, a board or a sheet that the way in does not let through");

pub(super) static RULES: &[&Rule] = &[&TOO_LONG_FOR_WAY];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let longest = job.routes.iter().filter_map(|route| Some((route.say.longest?.0, route)));
    if let Some((most, route)) = longest.min_by_key(|(most, _)| *most) {
        bars(job, works, most, route, problems);
        boards(job, works, most, route, problems);
    }
    let hatches = job.routes.iter().filter_map(|route| Some((route.say.hatch.as_ref()?.wide.0, route)));
    if let Some((wide, route)) = hatches.min_by_key(|(wide, _)| *wide) {
        sheets(job, works, wide, route, problems);
    }
}

fn bars(job: &Job, works: &Works, most: Length, route: &Thing<Route>, problems: &mut Vec<Problem>) {
    for made in &works.bars {
        let Some(bars) = job.bars_of(made.id) else { continue };
        let Some(cut) = made.groups.iter().map(|group| group.shape.cut).max().filter(|cut| *cut > most) else {
            continue;
        };
        problems.push(
            Problem::new(&TOO_LONG_FOR_WAY, bars.at, "the longest of `{0}` is {1}, and `{2}` lets {3} through")
                .arg(bars.name.as_str())
                .arg(show::cut(cut, job.system()).to_string())
                .arg(route.name.as_str())
                .arg(most)
                .thing(&bars.name)
                .measure(cut)
                .help("cut it into pieces that lap (`pieces at most {3}`), bend it inside, or measure the way again"),
        );
    }
}

fn boards(job: &Job, works: &Works, most: Length, route: &Thing<Route>, problems: &mut Vec<Problem>) {
    for formed in &works.forms {
        let Some(forms) = job.forms_of(formed.forms) else { continue };
        let boards = formed.parts.iter().map(|part| (part.length, part.size));
        let sheets = formed.sheets.iter().flat_map(|sheets| {
            let pieces = sheets.lines.iter().flat_map(|line| &line.pieces);
            pieces.map(|(long, high, _)| ((*long).max(*high), sheets.size))
        });
        let Some((long, size)) = boards.chain(sheets).max_by_key(|(long, _)| *long).filter(|(long, _)| *long > most)
        else {
            continue;
        };
        problems.push(
            Problem::new(
                &TOO_LONG_FOR_WAY,
                forms.at,
                "the longest piece of {4} for `{0}` is {1}, and `{2}` lets {3} through",
            )
            .arg(forms.name.as_str())
            .arg(show::cut(long, job.system()).to_string())
            .arg(route.name.as_str())
            .arg(most)
            .arg(Arg::Text(job.name(size).to_owned()))
            .thing(&forms.name)
            .measure(long)
            .help("saw it shorter and join it behind a stud or a brace, or measure the way again"),
        );
    }
}

/// What is wider than the larger side of a hatch, both ways, does not go through it flat.
fn sheets(job: &Job, works: &Works, wide: Length, route: &Thing<Route>, problems: &mut Vec<Problem>) {
    for formed in &works.forms {
        let (Some(forms), Some(sheets)) = (job.forms_of(formed.forms), &formed.sheets) else { continue };
        let pieces = sheets.lines.iter().flat_map(|line| &line.pieces);
        let widest = pieces.map(|(long, high, _)| (*long).min(*high)).max();
        let Some(narrow) = widest.filter(|narrow| *narrow > wide) else { continue };
        problems.push(
            Problem::new(
                &TOO_LONG_FOR_WAY,
                route.said(KindId::Route, "hatch"),
                "a piece of {4} for `{0}` is {1} wide, and the hatch of `{2}` lets {3} through",
            )
            .arg(forms.name.as_str())
            .arg(show::cut(narrow, job.system()).to_string())
            .arg(route.name.as_str())
            .arg(wide)
            .arg(Arg::Text(job.name(sheets.size).to_owned()))
            .thing(&forms.name)
            .measure(narrow)
            .help("saw the sheets into strips that go through, and join them at a stud"),
        );
    }
}
