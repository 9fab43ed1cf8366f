//! The days: which step is done when, by the hours that are worked.

use crate::{
    compile::Compiled,
    plan::{Dated, DayTrouble, Past},
    reports::{Column, Paper, Part, Row, Table, Weight, Words},
    scheduling::DAY,
    schema::KindId,
};

const WEEK: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    // Where no order of work is printed, no day of it is.
    if compiled.works.digs.iter().any(|dig| dig.under) {
        return;
    }
    let job = &compiled.job;
    let never = compiled.works.day_troubles.iter().find_map(|trouble| match trouble {
        DayTrouble::NeverHard { pour } => Some(*pour),
        _ => None,
    });
    if let Some(pour) = never {
        paper.push(Part::Heading(2, Words::from("Days")));
        paper.push(Part::Caution(Words::from(format!(
            "no days are planned: in the weather the file says, {} is not hard enough within a year for its forms to come off.",
            job.name(pour)
        ))));
    }
    let Some(days) = &compiled.works.days else { return };
    paper.push(Part::Heading(2, Words::from("Days")));
    let people = if days.crew == 1 { "one person".to_owned() } else { format!("{} people", days.crew) };
    let hours = match days.hours {
        Some(hours) => format!("in the hours of {}", job.name(hours)),
        None => "Monday to Friday from 8:00 to 16:00, as the file says no `hours`".to_owned(),
    };
    let ends = days.date(days.ends).map_or_else(String::new, |day| format!(" All is done on {day}."));
    paper.push(Part::Text(Words::from(format!(
        "From {} on, with {people}, {hours}. Waits run through nights and days off; a pour is not cut by the end of a shift; looks are on weekdays from 8:00 to 16:00 (common practice, no source).{ends}",
        days.start
    ))));
    let columns = vec![
        Column::text("day", "Day"),
        Column::text("from", "From"),
        Column::text("to", "To"),
        Column::text("what", "What"),
        Column::text("slack", "May slip by"),
        Column::mark("done", "Done"),
    ];
    let rows: Vec<Row> = days.done.iter().map(|dated| row(compiled, dated)).collect();
    paper.push(Part::Table(Table::new("days", columns, rows)));
    let unsaid: Vec<&str> = days.done.iter().filter(|dated| dated.unsaid).map(|dated| job.name(dated.node)).collect();
    if !unsaid.is_empty() {
        paper.push(Part::Text(Words::from(format!(
            "No time is said of {}: counted as none, and the days are too few by that.",
            unsaid.join(", ")
        ))));
    }
}

fn row(compiled: &Compiled, dated: &Dated) -> Row {
    let job = &compiled.job;
    let days = compiled.works.days.as_ref();
    let day = |time: i64| {
        let date = days.and_then(|days| days.date(time));
        date.map_or_else(String::new, |date| format!("{} {date}", WEEK.get(date.weekday()).copied().unwrap_or("")))
    };
    let clock = |time: i64| {
        let minutes = time.rem_euclid(DAY) / 60;
        format!("{}:{:02}", minutes / 60, minutes % 60)
    };
    let (start, finish) = (dated.placed.start, dated.placed.finish);
    let (name, title) = match job.kind(dated.node) {
        Some(KindId::Step) => ("", job.step(dated.node).map_or("", |step| step.title.as_str())),
        Some(KindId::Look) => ("HOLD: ", job.look(dated.node).map_or("", |look| look.title.as_str())),
        Some(KindId::Wait) => ("WAIT: ", job.wait(dated.node).map_or("", |wait| wait.title.as_str())),
        _ => ("ASK: ", job.ask(dated.node).map_or("", |ask| ask.title.as_str())),
    };
    // What ends as a day begins ends with the day before.
    let until = if start.div_euclid(DAY) == finish.div_euclid(DAY) {
        clock(finish)
    } else {
        format!("{} {}", day(finish), clock(finish))
    };
    let late = dated.times.late_start - start;
    Row::new(Weight::Item, |row| {
        row.text(day(start))
            .text(clock(start))
            .text(until)
            .text(format_args!("{name}{title} ({})", job.name(dated.node)));
        if let Some(past) = dated.past {
            row.text(match past {
                Past::Recorded => "done",
                Past::Assumed => "done by then, not recorded",
            });
        } else if late > DAY {
            let whole = usize::try_from(late / DAY).unwrap_or(0);
            row.text(crate::problem::count(whole, "day", "days"));
        } else if late > 0 {
            row.text("less than a day");
        } else {
            row.text("nothing");
        }
        if dated.past == Some(Past::Recorded) {
            row.text("yes");
        } else {
            row.tick();
        }
    })
}
