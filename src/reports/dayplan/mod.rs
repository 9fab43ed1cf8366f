//! The day plan: what is done on each day, what must be there, who is called when; as a paper, as bars, as a calendar.

mod bars;
mod calendar;
mod needs;

pub use calendar::calendar;

use super::{BoxLine, Column, Paper, Part, Row, Table, Weight, Words, words};
use crate::{
    compile::Compiled,
    curing::Weathers,
    job::Job,
    plan::{self, Care, Dated, Days, Past},
    problem::count,
    scheduling::DAY,
    schema::{BlockId, KindId},
    standards::weather::{COLD_BELOW, HOTTEST},
    units::{Duration, show},
};

/// The days of a week, Monday first.
const WEEK: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// Days that are written out; a longer plan goes on in the table alone.
const DAYS_AT_MOST: usize = 120;

/// The day plan of a job.
#[must_use]
pub fn day_plan(compiled: &Compiled) -> Paper<'_> {
    let title = match compiled.job.title.as_str() {
        "" => "untitled job",
        title => title,
    };
    let mut paper = Paper::new(format!("Day plan: {title}"));
    if compiled.has_errors() {
        paper.stamp = Some(Words::from("DRAFT: what the errors touch is left out, or wrong"));
    }
    let Some(days) = days(compiled) else {
        paper.push(Part::Caution(Words::from(why_not(compiled))));
        return paper;
    };
    paper.push(Part::Text(Words::from(opening(compiled, days))));
    if let Some(never) = never(compiled, days) {
        paper.push(Part::Caution(Words::from(never)));
    }
    bars::add(compiled, days, &mut paper);
    ahead(compiled, days, &mut paper);
    paper.push(Part::Heading(2, Words::from("Day by day")));
    let all = busy(days);
    for (at, day) in all.iter().take(DAYS_AT_MOST).enumerate() {
        one(compiled, days, at, *day, &mut paper);
    }
    if all.len() > DAYS_AT_MOST {
        let left = count(all.len() - DAYS_AT_MOST, "day", "days");
        paper.push(Part::Text(Words::from(format!("{left} more stand in the table."))));
    }
    paper.push(Part::Heading(2, Words::from("What may slip")));
    add_table(compiled, days, &mut paper);
    paper
}

/// The days that are planned; none where no order of work may be printed.
fn days(compiled: &Compiled) -> Option<&Days> {
    let dug = compiled.works.digs.iter().any(|dig| dig.under);
    compiled.works.days.as_ref().filter(|_| !dug)
}

fn why_not(compiled: &Compiled) -> String {
    let job = &compiled.job;
    if compiled.works.digs.iter().any(|dig| dig.under) {
        return "no days are planned: the ground would be taken from under the old work. A licensed engineer plans that, and nobody digs before.".to_owned();
    }
    if !compiled.works.day_troubles.is_empty() {
        return "no days are planned: the findings say which step does not go into the hours there are.".to_owned();
    }
    let started = job.head.as_ref().is_some_and(|head| head.say.start.is_some());
    match (started, job.steps.is_empty()) {
        (false, _) => {
            "no days are planned: the file does not say when the job begins. Write `start 2027-05-03` in `job`."
        }
        (true, true) => "no days are planned: the file has no steps.",
        (true, false) => {
            "no days are planned: the steps wait for each other in a circle, or one is hidden before it is done."
        }
    }
    .to_owned()
}

/// What waits for concrete that is not hard enough within a year, and what waits for that.
pub(super) fn never(compiled: &Compiled, days: &Days) -> Option<String> {
    let job = &compiled.job;
    let one = days.never.first()?;
    let mut steps: Vec<BlockId> = days.never.iter().map(|never| never.step).collect();
    steps.dedup();
    let mut after: Vec<&str> =
        days.undated.iter().filter(|node| !steps.contains(node)).map(|node| job.name(*node)).collect();
    after.sort_unstable();
    let steps: Vec<&str> = steps.into_iter().map(|step| job.name(step)).collect();
    let after = match after.is_empty() {
        true => String::new(),
        false => format!(", nor of what comes after: {}", after.join(", ")),
    };
    Some(format!(
        "in the weather the file says, {} is not hard enough within a year for what waits for it. No day is planned of {}{after}. The findings say what would help.",
        job.name(one.pour),
        steps.join(", ")
    ))
}

/// Whether a cure is wetted morning and evening, and not kept from drying at all.
fn is_wetted_daily(job: &Job, cure: BlockId) -> bool {
    let wet = job.cure(cure).and_then(|cure| cure.say.wet.as_ref());
    wet.is_some_and(|wet| wet.value.daily.is_some())
}

/// From when, with whom, in which hours.
pub(super) fn opening(compiled: &Compiled, days: &Days) -> String {
    let job = &compiled.job;
    let people = if days.crew == 1 { "one person".to_owned() } else { format!("{} people", days.crew) };
    let hours = match days.hours {
        Some(hours) => format!("in the hours of {}", job.name(hours)),
        None => "Monday to Friday from 8:00 to 16:00, as the file says no `hours`".to_owned(),
    };
    let own = job.looks.iter().any(|look| !look.say.comes.0.is_empty());
    let own = if own { ", unless they say when they come" } else { "" };
    let ends = match (days.all_done(), days.date(days.ends)) {
        (Some(day), _) => format!(" All is done on {day}"),
        (None, Some(day)) => format!(" What has a day is done on {day}"),
        (None, None) => String::new(),
    };
    let cared = days.daily.iter().map(|daily| daily.from + daily.days - 1).max().filter(|last| last * DAY > days.ends);
    let cared = cared.and_then(|last| days.date(last * DAY));
    let cared = cared.map_or_else(String::new, |day| format!("; young concrete is looked after until {day}"));
    let latest = job.head.as_ref().and_then(|head| head.say.latest).map(|latest| latest.value);
    let last = latest.zip(days.date((days.ends - 1).max(0))).map_or_else(String::new, |(latest, done)| {
        match done.days_until(latest) {
            0 => " That is the last day said for it.".to_owned(),
            spare if spare > 0 => {
                let spare = count(usize::try_from(spare).unwrap_or(0), "day", "days");
                format!(" The last day said is {latest}, {spare} later.")
            }
            _ => format!(" The last day said is {latest}: that is passed."),
        }
    });
    let ends = if ends.is_empty() { ends } else { format!("{ends}{cared}.{last}") };
    format!(
        "From {} on, with {people}, {hours}. Waits run through nights and days off; a pour is not cut by the end of a shift; looks are on weekdays from 8:00 to 16:00{own} (common practice, no source).{ends}",
        days.start
    )
}

/// All of it by the time it begins, and how far it may slip.
pub(super) fn add_table<'w>(compiled: &'w Compiled, days: &'w Days, paper: &mut Paper<'w>) {
    let columns = vec![
        Column::text("day", "Day"),
        Column::text("from", "From"),
        Column::text("to", "To"),
        Column::text("what", "What"),
        Column::text("slack", "May slip by"),
        Column::mark("done", "Done"),
    ];
    let said = compiled.job.head.as_ref().is_some_and(|head| head.say.latest.is_some());
    let own = days.done.iter().any(|dated| plan::last_day(&compiled.job, dated.node).is_some());
    if said || own {
        paper.push(Part::Text(Words::from(match (said, own) {
            (true, false) => "What may slip is reckoned to the planned end. Beyond it all of it together may slip up to the last day said.",
            (true, true) => "What may slip is reckoned to the planned end, and no further than a step's own last day. Beyond the end all of it together may slip up to the last day said for the job.",
            (false, _) => "What may slip is reckoned to the planned end, and no further than a step's own last day.",
        })));
    }
    let rows: Vec<Row> = days.done.iter().map(|dated| row(compiled, days, dated)).collect();
    paper.push(Part::Table(Table::new("days", columns, rows)));
    let unsaid: Vec<&str> =
        days.done.iter().filter(|dated| dated.unsaid).map(|dated| compiled.job.name(dated.node)).collect();
    if !unsaid.is_empty() {
        paper.push(Part::Text(Words::from(format!(
            "No time is said of {}: counted as none, and the days are too few by that.",
            unsaid.join(", ")
        ))));
    }
}

fn row(compiled: &Compiled, days: &Days, dated: &Dated) -> Row {
    let (start, finish) = (dated.placed.start, dated.placed.finish);
    let until = if start.div_euclid(DAY) == finish.div_euclid(DAY) {
        clock(finish)
    } else {
        format!("{} {}", weekday(days, finish), clock(finish))
    };
    let last = plan::last_day(&compiled.job, dated.node).map(|last| last.value);
    // Up to the end of its own last day, if it has one.
    let own = last.map_or(i64::MAX, |last| (days.start.days_until(last) + 1) * DAY - finish);
    let late = (dated.times.late_start - start).min(own);
    let until = match last {
        Some(last) => format!("{until}, by {last}"),
        None => until,
    };
    Row::new(Weight::Item, |row| {
        row.text(weekday(days, start)).text(clock(start)).text(until).text(format_args!(
            "{} ({})",
            titled(compiled, dated.node),
            compiled.job.name(dated.node)
        ));
        if let Some(past) = dated.past {
            row.text(match past {
                Past::Recorded => "done",
                Past::Assumed => "done by then, not recorded",
            });
        } else if late > DAY {
            row.text(count(usize::try_from(late / DAY).unwrap_or(0), "day", "days"));
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

/// The day of a time: `Mon 2027-05-03`.
fn weekday(days: &Days, time: i64) -> String {
    let date = days.date(time);
    date.map_or_else(String::new, |date| format!("{} {date}", WEEK.get(date.weekday()).copied().unwrap_or("")))
}

/// A time, or the same on the Friday before where it falls on a weekend: whoever is called or answers is in his office then.
fn in_the_week(days: &Days, time: i64) -> i64 {
    let weekday = days.date(time).map_or(0, |date| date.weekday());
    let back = i64::try_from(weekday).unwrap_or(0) - 4;
    time - back.max(0) * DAY
}

/// The time of day: `16:30`.
fn clock(time: i64) -> String {
    // To the nearest minute, so that it agrees with how long things take.
    let minutes = ((time + 30).div_euclid(60)).rem_euclid(24 * 60);
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// What is done, with a word before it where it is no step.
fn titled(compiled: &Compiled, node: BlockId) -> String {
    let job = &compiled.job;
    match job.kind(node) {
        Some(KindId::Step) => job.step(node).map_or(String::new(), |step| step.title.clone()),
        Some(KindId::Look) => format!("HOLD: {}", job.look(node).map_or("", |look| look.title.as_str())),
        Some(KindId::Wait) => format!("WAIT: {}", job.wait(node).map_or("", |wait| wait.title.as_str())),
        _ => format!("ASK: {}", job.ask(node).map_or("", |ask| ask.title.as_str())),
    }
}

/// Whether somebody has looked already, and let it pass.
fn passed(compiled: &Compiled, look: BlockId) -> bool {
    compiled.works.facts.looks.get(&look).is_some_and(|all| all.iter().any(|one| one.passed))
}

/// What has to be asked or told ahead: when, and for when.
fn ahead<'w>(compiled: &'w Compiled, days: &'w Days, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let mut lines: Vec<(i64, String)> = Vec::new();
    for dated in &days.done {
        let (start, finish) = (dated.placed.start, dated.placed.finish);
        match job.kind(dated.node) {
            Some(KindId::Ask) if is_answered(compiled, dated.node) => {}
            Some(KindId::Ask) => lines.push((
                start,
                format!(
                    "{} ({}): an answer is wanted by {}",
                    titled(compiled, dated.node),
                    job.name(dated.node),
                    weekday(days, in_the_week(days, finish))
                ),
            )),
            Some(KindId::Look) if !passed(compiled, dated.node) => {
                let Some(look) = job.look(dated.node) else { continue };
                let told = look.say.notice.map_or(start, |notice| plan::before(days.start, start, notice));
                let by = look.say.by.as_ref().map_or("whoever looks", |by| by.0.as_str());
                lines.push((
                    in_the_week(days, told),
                    format!("call {by} for {} {}: {} ({})", weekday(days, start), clock(start), look.title, look.name),
                ));
            }
            _ => {}
        }
    }
    let passed_by = |ask: BlockId| days.of(ask).is_none() && !days.undated.contains(&ask);
    let late = job.asks.iter().filter(|ask| ask.say.answered.is_none() && passed_by(ask.id));
    let late = late.map(|ask| {
        let text = format!(": ASK: {} ({}): work went on past it, and it is not answered", ask.title, ask.name);
        BoxLine::new(Words::default().strong("before more is done").plain(text)).blank("Done on")
    });
    let late: Vec<BoxLine> = late.collect();
    if lines.is_empty() && late.is_empty() {
        return;
    }
    lines.sort();
    paper.push(Part::Heading(2, Words::from("To ask and to call")));
    let boxes = lines.into_iter().map(|(by, text)| {
        let by = weekday(days, by);
        BoxLine::new(Words::default().strong(format_args!("by {by}")).plain(format_args!(": {text}"))).blank("Done on")
    });
    paper.push(Part::Boxes(late.into_iter().chain(boxes).collect()));
}

/// Whether a question is answered, if only on a day of the job.
fn is_answered(compiled: &Compiled, ask: BlockId) -> bool {
    compiled.job.ask(ask).is_some_and(|ask| ask.say.answered.is_some())
}

/// The days on which something is done, counted from the start.
fn busy(days: &Days) -> Vec<i64> {
    let pieces = days.done.iter().flat_map(|dated| match dated.placed.pieces.as_slice() {
        [] => vec![dated.placed.start.div_euclid(DAY)],
        pieces => pieces.iter().map(|(from, _)| from.div_euclid(DAY)).collect(),
    });
    let mut out: Vec<i64> =
        pieces.chain(days.daily.iter().flat_map(|daily| daily.from..daily.from + daily.days)).collect();
    out.extend(days.soaks.iter().map(|soak| soak.from.div_euclid(DAY)));
    out.sort_unstable();
    out.dedup();
    out
}

fn one<'w>(compiled: &'w Compiled, days: &'w Days, at: usize, day: i64, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    paper.push(Part::Heading(3, Words::from(format!("Day {}: {}", at + 1, weekday(days, day * DAY)))));
    let mut lines: Vec<(i64, BoxLine)> = Vec::new();
    let mut pours = Vec::new();
    for dated in &days.done {
        let whole = [(dated.placed.start, dated.placed.start)];
        let pieces = if dated.placed.pieces.is_empty() { whole.as_slice() } else { dated.placed.pieces.as_slice() };
        for (number, (from, to)) in pieces.iter().enumerate().filter(|(_, (from, _))| from.div_euclid(DAY) == day) {
            lines.push((*from, piece(compiled, days, dated, number, (*from, *to))));
            if let Some(step) = job.step(dated.node) {
                let poured = step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
                pours.extend(poured.map(|thing| thing.value));
            }
        }
    }
    for daily in days.daily.iter().filter(|daily| (daily.from..daily.from + daily.days).contains(&day)) {
        let what = match daily.care {
            Care::Wet => words::wet(is_wetted_daily(job, daily.cure)),
            Care::FormsOn => "leave the forms on, and wet them",
            Care::Wrap => "see that the wrap is tight, and the concrete wet under it",
            Care::Warm => "read the thermometer under the covers, and see to the heat",
        };
        let nth = day - daily.from + 1;
        let words = Words::default()
            .strong(format_args!("Care of {}", job.name(daily.cure)))
            .plain(format_args!(": {what} (day {nth} of {})", daily.days));
        lines.push((day * DAY, BoxLine::new(words)));
    }
    for soak in days.soaks.iter().filter(|soak| soak.from.div_euclid(DAY) == day) {
        let until = if soak.until.div_euclid(DAY) == day { String::new() } else { weekday(days, soak.until) + " " };
        let words = Words::default().strong(format_args!("by {} ", clock(soak.from))).plain(format_args!(
            "Wet the {} ({}) and keep it wet until concrete comes ({}), {until}{}; on top it is dry again then",
            words::readied(compiled, soak.face, Some(soak.pour)).0,
            job.name(soak.face),
            job.name(soak.pour),
            clock(soak.until)
        ));
        lines.push((soak.from, BoxLine::new(words)));
    }
    lines.sort_by_key(|(from, _)| *from);
    paper.push(Part::Boxes(lines.into_iter().map(|(_, line)| line).collect()));
    weather(compiled, day, &pours, paper);
}

fn piece(compiled: &Compiled, days: &Days, dated: &Dated, number: usize, (from, to): (i64, i64)) -> BoxLine {
    let job = &compiled.job;
    let time = match (job.kind(dated.node), from == to) {
        (Some(KindId::Wait), _) => {
            format!("from {} until {} {}", clock(from), weekday(days, dated.placed.finish), clock(dated.placed.finish))
        }
        (Some(KindId::Ask), _) if is_answered(compiled, dated.node) => "answered:".to_owned(),
        (Some(KindId::Ask), _) => {
            format!("answer wanted by {}:", weekday(days, in_the_week(days, dated.placed.finish)))
        }
        (_, true) => clock(from),
        (_, false) => format!("{} to {}", clock(from), clock(to)),
    };
    let mut line = BoxLine::new(Words::default().strong(format_args!("{time} ")).plain(format_args!(
        "{} ({})",
        titled(compiled, dated.node),
        job.name(dated.node)
    )));
    let last = dated.placed.pieces.len().saturating_sub(1);
    if number > 0 {
        line = line.detail(if number == last { "goes on and is finished" } else { "goes on" });
        return line;
    }
    if last > 0 {
        line =
            line.detail(format!("goes on until {} {}", weekday(days, dated.placed.finish), clock(dated.placed.finish)));
    }
    if let Some(past) = dated.past {
        return line.detail(match past {
            Past::Recorded => "done, as recorded",
            Past::Assumed => "done by then, not recorded",
        });
    }
    if dated.begun > 0 {
        let begun = Duration::from_seconds(dated.begun as f64);
        line = line.detail(format!("{} of it are done, as recorded; this is the rest", show::time(begun)));
    }
    if dated.people > 1 {
        line = line.detail(format!("{} people", dated.people));
    }
    let there = needs::of(compiled, dated.node);
    if !there.is_empty() {
        line = line.detail(format!("there before it begins: {}", there.join(", ")));
    }
    line
}

/// What the weather of a day of pouring may be.
fn weather<'w>(compiled: &'w Compiled, day: i64, pours: &[BlockId], paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let system = job.system();
    let mut lines: Vec<Words> = Vec::new();
    for pour in pours {
        let (weathers, _) = Weathers::of(job);
        let said = weathers.at(Duration::from_days(day as f64));
        let cured = compiled.works.cures.iter().find(|cured| cured.pour == *pour);
        let mut limits: Vec<String> = Vec::new();
        if let Some(said) = said {
            let air = said.value.air;
            limits.push(format!(
                "planned with {} to {}",
                show::temperature(air.from, system),
                show::temperature(air.to, system)
            ));
        }
        if let Some(cured) = cured {
            if let Some(cold) = &cured.cold {
                limits.push(format!(
                    "as placed not under {} (ACI 306R), where the air goes under {}",
                    show::temperature(cold.as_placed.value, system),
                    show::temperature(COLD_BELOW, system)
                ));
            }
            limits.push(format!("as placed not over {} (ACI 305.1)", show::temperature(HOTTEST, system)));
            if cured.is_hot {
                limits.push("too warm as planned: see the cure".to_owned());
            }
        }
        if !limits.is_empty() {
            lines.push(
                Words::default().strong(format_args!("Weather for {}", words::names(job, [*pour]))).plain(
                    format_args!(": {}; read the thermometer before the first bag is opened", limits.join("; ")),
                ),
            );
        }
    }
    if !lines.is_empty() {
        paper.push(Part::Bullets(lines));
    }
}
