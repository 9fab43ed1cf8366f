//! The order of work as bars over the days.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    labels::Room,
    lettering::{self, SMALL},
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Text, Weight, stroke},
    sheet,
    svg::shown,
};
use crate::{
    plan::{Daily, Dated, Days},
    scheduling::DAY,
    schema::KindId,
};

/// From a line to the next.
const STEP: f64 = 5.6;
/// A bar is this high.
const BAR: f64 = 3.0;

/// The days; none where no days are planned, or nothing may be begun.
pub fn draw(of: &Of) -> Vec<Drawing> {
    // Where no order of work is printed, no day of it is.
    if of.works.digs.iter().any(|dig| dig.under) {
        return Vec::new();
    }
    match &of.works.days {
        Some(days) if !days.done.is_empty() => vec![chart(of, days)],
        _ => Vec::new(),
    }
}

fn chart(of: &Of, days: &Days) -> Drawing {
    let first = days.done.iter().map(|dated| dated.placed.start.div_euclid(DAY)).min().unwrap_or(0).min(0);
    let last = days.done.iter().map(|dated| dated.placed.finish).max().unwrap_or(0).max(days.ends);
    let cared = |daily: &Daily| (daily.from * DAY, (daily.from + daily.days) * DAY);
    let last = days.daily.iter().map(|daily| cared(daily).1 - 1).fold(last, i64::max);
    let count = (last - first * DAY).div_euclid(DAY) + 1;
    let (upright, lying) = (sheet::upright(of.system), sheet::lying(of.system));
    let is_lying = count > 21;
    let sheet = if is_lying { lying } else { upright };
    let names: Vec<String> = days.done.iter().map(|dated| name(of, dated)).collect();
    let care = |daily: &Daily| format!("care of {}: {}", of.name(daily.cure), daily.care.word());
    let cares: Vec<String> = days.daily.iter().map(care).collect();
    let widest = names.iter().chain(&cares).map(|says| lettering::width(says, SMALL, false)).fold(0.0, f64::max);
    let left = (widest + 3.0).min(sheet.width * 0.42);
    let day = (sheet.width - left - 1.0) / count as f64;
    let x = |time: i64| left + (time - first * DAY) as f64 / DAY as f64 * day;
    let mut canvas = Canvas::default();
    let under = format!(
        "{}. Full: work. Open: a wait that runs through nights and days off, or young concrete that is looked after. Diamond: somebody looks, and work holds. Ring: a question is to be answered by then. Grey: Saturday, Sunday.",
        of.title()
    );
    let top = canvas.head(of.flags, sheet.width, "Days", &under) + 10.0;
    let rows = days.done.len() + days.daily.len();
    let bottom = top + STEP * rows as f64 + 1.5;
    dates(&mut canvas, days, (first, count), &|at| left + (at - first) as f64 * day, (top, bottom));
    for (number, (dated, says)) in days.done.iter().zip(&names).enumerate() {
        let y = top + STEP * (number as f64 + 0.5);
        row(&mut canvas, says, y, left, sheet.width);
        let items = bars(of, dated, y, &x);
        let id = of.id("day", dated.node);
        canvas.thing(&id, Spot::new(x(dated.placed.finish), y), 2.5);
        canvas.labels.take(Room::upright(
            Spot::new(x(dated.placed.start) - 2.1, y - BAR / 2.0),
            Spot::new(x(dated.placed.finish) + 2.1, y + BAR / 2.0),
        ));
        canvas.front(Item::Group(Group {
            id: Some(id),
            title: Some(names.get(number).cloned().unwrap_or_default()),
            data: vec![("node", of.job.name(dated.node).to_owned())],
            items,
            ..Group::default()
        }));
    }
    for (number, (daily, says)) in (days.done.len()..).zip(days.daily.iter().zip(&cares)) {
        let y = top + STEP * (number as f64 + 0.5);
        row(&mut canvas, says, y, left, sheet.width);
        let (from, to) = cared(daily);
        let room = (Spot::new(x(from), y - BAR / 2.0), Spot::new(x(to), y + BAR / 2.0));
        canvas.labels.take(Room::upright(room.0, room.1));
        let medium = stroke(Weight::Medium, Dash::Solid, Ink::Main);
        canvas.front(Item::rectangle(room.0, room.1, medium, Some(Fill::Paper)));
    }
    let date = |time: i64| days.date(time).map_or_else(String::new, |date| date.to_string());
    let done = match days.all_done() {
        Some(day) => format!("all is done on {day}"),
        None => format!("what has a day is done on {}", date(days.ends)),
    };
    let until = days.daily.iter().map(|daily| cared(daily).1 - 1).max().filter(|last| *last > days.ends);
    let until = until.map_or_else(String::new, |last| format!(", young concrete is looked after until {}", date(last)));
    let mut notes = vec![format!("From {}; {done}{until}.", days.start)];
    canvas.labels.within = Some((Spot::new(left, top), Spot::new(sheet.width, bottom)));
    notes.extend(canvas.flags(of.flags));
    canvas.labels.within = None;
    let y = bottom + canvas.notes(bottom + 1.0, sheet.width, &notes);
    let steps: Vec<String> = days
        .done
        .iter()
        .map(|dated| {
            format!("{} from {} to {}", of.name(dated.node), date(dated.placed.start), date(dated.placed.finish))
        })
        .collect();
    Drawing {
        id: "days".into(),
        view: View::Days,
        title: "Days".into(),
        description: format!("{}.", steps.join("; ")),
        width: sheet.width,
        height: y + 2.5,
        lying: is_lying,
        model: None,
        items: canvas.items(),
    }
}

/// The name of a row, and the line below it.
fn row(canvas: &mut Canvas, says: &str, y: f64, left: f64, width: f64) {
    canvas.text(Text {
        at: lettering::centred(Spot::new(0.0, y), SMALL, 0.0),
        anchor: Anchor::Start,
        angle: 0.0,
        size: SMALL,
        bold: false,
        ink: Ink::Main,
        says: lettering::fitted(says, SMALL, false, left - 3.0),
    });
    canvas.under(Item::line(
        vec![Spot::new(0.0, y + STEP / 2.0), Spot::new(width - 1.0, y + STEP / 2.0)],
        stroke(Weight::Thin, Dash::Solid, Ink::Soft),
    ));
}

/// The days along the top, weekends grey.
fn dates(
    canvas: &mut Canvas,
    days: &Days,
    (first, count): (i64, i64),
    x: &dyn Fn(i64) -> f64,
    (top, bottom): (f64, f64),
) {
    let thin = stroke(Weight::Thin, Dash::Solid, Ink::Soft);
    let every_day = x(first + 1) - x(first) >= 3.0;
    for at in first..first + count {
        let Some(date) = days.start.plus_days(at) else { continue };
        let (from, to) = (x(at), x(at + 1));
        if date.weekday() >= 5 {
            canvas.lowest(Item::rectangle(
                Spot::new(from, top),
                Spot::new(to, bottom),
                None,
                Some(Fill::Light(Ink::Soft)),
            ));
        }
        let monday = date.weekday() == 0;
        if every_day || monday {
            canvas.under(Item::line(
                vec![Spot::new(from, top - if monday { 2.0 } else { 0.0 }), Spot::new(from, bottom)],
                thin,
            ));
        }
        let digits = date.to_string();
        let (month, number) = (digits.get(5..).unwrap_or(""), digits.get(8..).unwrap_or(""));
        if at == first || monday {
            // On the last days it stands before its line, so that it stays on the sheet.
            let at = (from + 0.3).min(x(first + count) - lettering::width(month, SMALL, false));
            let text = written(Spot::new(at, top - 5.6), Anchor::Start, Ink::Main, month.to_owned());
            if canvas.labels.is_free(&lettering::room(&text)) {
                canvas.text(text);
            }
        }
        let text = written(Spot::new((from + to) / 2.0, top - 1.2), Anchor::Middle, Ink::Soft, number.to_owned());
        if to - from >= 5.4 && canvas.labels.is_free(&lettering::room(&text)) {
            canvas.text(text);
        }
    }
}

fn written(at: Spot, anchor: Anchor, ink: Ink, says: String) -> Text {
    Text { at, anchor, angle: 0.0, size: SMALL, bold: false, ink, says }
}

fn name(of: &Of, dated: &Dated) -> String {
    let job = of.job;
    let (before, title) = match job.kind(dated.node) {
        Some(KindId::Look) => ("HOLD: ", job.look(dated.node).map_or("", |look| look.title.as_str())),
        Some(KindId::Wait) => ("WAIT: ", job.wait(dated.node).map_or("", |wait| wait.title.as_str())),
        Some(KindId::Step) => ("", job.step(dated.node).map_or("", |step| step.title.as_str())),
        _ => ("ASK: ", job.ask(dated.node).map_or("", |ask| ask.title.as_str())),
    };
    shown(&format!("{before}{title}"))
}

fn bars(of: &Of, dated: &Dated, y: f64, x: &dyn Fn(i64) -> f64) -> Vec<Item> {
    let (start, finish) = (x(dated.placed.start), x(dated.placed.finish));
    let medium = stroke(Weight::Medium, Dash::Solid, Ink::Main);
    let between = |from: f64, to: f64, fill: Option<Fill>| {
        let (a, b) = (Spot::new(from, y - BAR / 2.0), Spot::new(to.max(from + 0.5), y + BAR / 2.0));
        Item::rectangle(a, b, medium, fill)
    };
    match of.job.kind(dated.node) {
        Some(KindId::Step) => {
            let mut items = vec![Item::line(
                vec![Spot::new(start, y), Spot::new(finish, y)],
                stroke(Weight::Thin, Dash::Solid, Ink::Main),
            )];
            let pieces = &dated.placed.pieces;
            items.extend(pieces.iter().map(|(from, to)| between(x(*from), x(*to), Some(Fill::Full(Ink::Main)))));
            if pieces.is_empty() {
                items.push(between(start, finish, Some(Fill::Full(Ink::Main))));
            }
            items
        }
        Some(KindId::Wait) => vec![between(start, finish, Some(Fill::Paper))],
        Some(KindId::Look) => {
            let r = 2.1;
            let points = vec![
                Spot::new(start, y - r),
                Spot::new(start + r, y),
                Spot::new(start, y + r),
                Spot::new(start - r, y),
            ];
            let wait = Item::line(vec![Spot::new(start, y), Spot::new(finish, y)], medium);
            vec![wait, Item::area(points, medium, Some(Fill::Full(Ink::Clear)))]
        }
        _ => {
            let line = vec![Spot::new(start, y), Spot::new(finish, y)];
            vec![
                Item::line(line, stroke(Weight::Thin, Dash::Hidden, Ink::Main)),
                Item::Circle { at: Spot::new(finish, y), radius: 1.4, stroke: medium, fill: Some(Fill::Paper) },
            ]
        }
    }
}
