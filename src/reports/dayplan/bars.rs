//! The plan as bars of letters: a line a step, a column a day, or a week where there are many days.

use crate::{
    compile::Compiled,
    plan::{Daily, Dated, Days},
    reports::{Paper, Part, Words},
    scheduling::DAY,
    schema::KindId,
};

/// Columns at most; beyond that a column is a week.
const WIDE: i64 = 84;

/// Columns of weeks at most: what comes later is cut off, and the end of the line says so.
const WEEKS: i64 = 104;

/// Letters of a name at most.
const NAME: usize = 16;

pub(super) fn add<'w>(compiled: &'w Compiled, days: &'w Days, paper: &mut Paper<'w>) {
    let last = days.daily.iter().map(|daily| daily.from + daily.days - 1).max().unwrap_or(0);
    let count = ((days.ends - 1).max(0).div_euclid(DAY)).max(last) + 1;
    let step = if count <= WIDE { 1 } else { 7 };
    // Weeks begin on a Monday.
    let first = if step == 1 { 0 } else { -(i64::try_from(days.start.weekday()).unwrap_or(0)) };
    let columns = (count - first + step - 1).div_euclid(step).min(WEEKS);
    let job = &compiled.job;
    let wide = |name: &str| name.chars().count().min(NAME);
    // What it is comes first: of a long name the end is cut off.
    let care = |daily: &Daily| format!("{} {}", daily.care.word(), job.name(daily.cure));
    let cares: Vec<String> = days.daily.iter().map(care).collect();
    let names = days.done.iter().map(|dated| job.name(dated.node)).chain(cares.iter().map(String::as_str));
    let name_wide = names.map(wide).max().unwrap_or(0);
    let mut text = head(days, step, first, columns, name_wide);
    for dated in &days.done {
        line(&mut text, job.name(dated.node), name_wide, columns, |column| {
            mark(compiled, dated, first + column * step, step)
        });
    }
    for (daily, care) in days.daily.iter().zip(&cares) {
        line(&mut text, care, name_wide, columns, |column| {
            let from = first + column * step;
            let cared = daily.from < from + step && daily.from + daily.days > from;
            if cared { '+' } else { ' ' }
        });
    }
    paper.push(Part::Heading(2, Words::from("At a glance")));
    paper.push(Part::Code(text));
    let by = if step == 1 { "A column is a day" } else { "A column is a week, under the day of its Monday" };
    paper.push(Part::Text(Words::from(format!(
        "{by}. `#` work, `!` somebody looks, `~` a wait, `?` an answer is waited for, `+` care of young concrete (its forms stay on, it is kept wet, wrapped or warm), `.` it may slip until here."
    ))));
}

/// The lines over the bars: months, days of the month, days of the week.
fn head(days: &Days, step: i64, first: i64, columns: i64, name_wide: usize) -> String {
    const LETTERS: [char; 7] = ['M', 'T', 'W', 'T', 'F', 'S', 'S'];
    let date = |column: i64| days.start.plus_days(first + column * step);
    let mut months = " ".repeat(name_wide + 1);
    let mut last = String::new();
    for column in 0..columns {
        let month = date(column).map(|date| date.to_string()).and_then(|date| date.get(..7).map(str::to_owned));
        let month = month.unwrap_or_default();
        // A month is named where it begins and there is room for its name.
        if month != last && months.chars().count() <= name_wide + 1 + usize::try_from(column).unwrap_or(0) {
            while months.chars().count() < name_wide + 1 + usize::try_from(column).unwrap_or(0) {
                months.push(' ');
            }
            months.push_str(&month);
            months.push(' ');
            last = month;
        }
    }
    let mut tens = " ".repeat(name_wide + 1);
    let mut ones = " ".repeat(name_wide + 1);
    let mut letters = " ".repeat(name_wide + 1);
    for column in 0..columns {
        let day = date(column).map(|date| date.to_string());
        let mut figures = day.as_deref().unwrap_or_default().chars().rev();
        let (one, ten) = (figures.next().unwrap_or(' '), figures.next().unwrap_or(' '));
        tens.push(if ten == '0' { ' ' } else { ten });
        ones.push(one);
        letters.push(date(column).and_then(|date| LETTERS.get(date.weekday()).copied()).unwrap_or(' '));
    }
    let mut out = String::new();
    for line in [months, tens, ones, letters] {
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

fn line(text: &mut String, name: &str, name_wide: usize, columns: i64, mark: impl Fn(i64) -> char) {
    let mut line: String = name.chars().take(NAME).collect();
    while line.chars().count() < name_wide + 1 {
        line.push(' ');
    }
    line.extend((0..columns).map(mark));
    text.push_str(line.trim_end());
    text.push('\n');
}

/// What a step does in the days from `from` on.
fn mark(compiled: &Compiled, dated: &Dated, from: i64, step: i64) -> char {
    let (low, high) = (from * DAY, (from + step) * DAY);
    let meets = |start: i64, end: i64| start < high && end.max(start + 1) > low;
    let whole = [(dated.placed.start, dated.placed.finish)];
    let pieces = if dated.placed.pieces.is_empty() { whole.as_slice() } else { dated.placed.pieces.as_slice() };
    if pieces.iter().any(|(start, end)| meets(*start, *end)) {
        return match compiled.job.kind(dated.node) {
            Some(KindId::Step) => '#',
            Some(KindId::Look) => '!',
            Some(KindId::Wait) => '~',
            _ => '?',
        };
    }
    let slips = dated.times.late_finish > dated.placed.finish && meets(dated.placed.finish, dated.times.late_finish);
    if slips { '.' } else { ' ' }
}
