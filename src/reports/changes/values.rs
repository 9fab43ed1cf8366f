//! Values of two versions in words: what they tell, as they are shown, how far they lie apart.

use crate::{
    comparing::{Apart, Change, Fact, Group, State, Value, What},
    concrete::classes_in_order,
    problem::count,
    reports::{figures, words},
    units::{Date, Duration, System, show},
};

/// How many sorts of pieces are told before the rest is only counted.
const SORTS_AT_MOST: usize = 6;

const WEEK: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// What a value tells.
pub(in crate::reports) fn what(what: What) -> &'static str {
    match what {
        What::Concrete => "concrete",
        What::Holes => "holes",
        What::Bars => "bars",
        What::Bags => "bags",
        What::BarsWeigh => "bars weigh",
        What::Weight => "weight",
        What::Starts => "starts",
        What::Ends => "ends",
        What::Volume => "volume",
        What::Bottom => "bottom",
        What::Top => "top",
        What::Area => "area",
        What::Mixed => "to be mixed",
        What::Waste => "waste",
        What::Batches => "batches",
        What::Lasts => "lasts",
        What::LongestWait => "longest wait of a layer",
        What::Thick => "thick",
        What::Length => "length",
        What::Into => "into",
        What::Count => "count",
        What::Bore => "bore",
        What::Depth => "depth",
        What::Resin => "resin",
        What::Size => "size",
        What::Shapes => "pieces",
        What::Packs => "how many",
        What::Lengths => "lengths",
        What::Nozzles => "nozzles",
        What::Amount => "amount",
        What::Begins => "begins",
        What::People => "people",
        What::DownTo => "down to",
        What::Because => "because",
        What::Asks => "asks",
        What::Answer => "answer",
    }
}

/// What a group is called, as a heading.
pub(in crate::reports) fn group(group: Group) -> &'static str {
    match group {
        Group::Whole => "In short",
        Group::Section => "Sections",
        Group::Face => "Faces",
        Group::Pour => "Pours",
        Group::Site => "Sawing, breaking out, mending",
        Group::Holes => "Holes",
        Group::Bars => "Bars",
        Group::Bought => "To buy",
        Group::Money => "Money",
        Group::Step => "Days",
        Group::Acceptance => "Accepted warnings",
        Group::Question => "Questions",
    }
}

/// What became of a thing.
pub(in crate::reports) fn state(state: State) -> &'static str {
    match state {
        State::Added => "new",
        State::Gone => "gone",
        State::Changed => "changed",
    }
}

/// The name of a thing as people know it.
pub(super) fn name(change: &Change) -> String {
    match change.group {
        Group::Face => {
            let class = classes_in_order().into_iter().find(|class| class.word() == change.name);
            class.map_or_else(|| change.name.clone(), |class| words::class(class).to_owned())
        }
        // What is bought for the job as a whole has a name no block can have.
        _ => change
            .name
            .strip_prefix("job.")
            .unwrap_or(&change.name)
            .replace('-', if change.name.starts_with("job.") { " " } else { "-" }),
    }
}

/// A value as the papers show it.
pub(in crate::reports) fn shown(value: &Value, system: System) -> String {
    match value {
        Value::Count(count) => count.to_string(),
        Value::Length(length) => show::exact(*length, system).to_string(),
        Value::Place(length) => show::place(*length, system).to_string(),
        Value::Cut(length) => show::cut(*length, system).to_string(),
        Value::Area(area) => show::area(*area, system).to_string(),
        Value::Volume(volume) => show::volume(*volume, system).to_string(),
        Value::Fluid(volume) => show::fluid(*volume, system).to_string(),
        Value::Mass(mass) => show::mass(*mass, system).to_string(),
        Value::Time(time) => show::time(*time).to_string(),
        Value::Ratio(ratio) => show::percent(*ratio).to_string(),
        Value::Money(money) => show::money(*money).to_string(),
        Value::When(day, second) => when(*day, *second),
        Value::Text(text) => text.clone(),
        Value::Shapes(all) => list(all, |(count, shape)| {
            let cut = show::cut(shape.cut, system);
            let legs = words::legs(shape, system);
            if shape.is_straight() { format!("{count} of {cut}") } else { format!("{count} of {cut}, {legs}") }
        }),
        Value::Lengths(all) => list(all, |(length, count)| format!("{count} of {}", show::exact(*length, system))),
    }
}

fn list<T>(all: &[T], words: impl Fn(&T) -> String) -> String {
    let mut out: Vec<String> = all.iter().take(SORTS_AT_MOST).map(words).collect();
    let left = all.len().saturating_sub(SORTS_AT_MOST);
    if left > 0 {
        out.push(format!("and {left} more sorts"));
    }
    out.join("; ")
}

/// A day, and the hour where it is not its beginning.
fn when(day: Date, second: i64) -> String {
    let week = WEEK.get(day.weekday()).copied().unwrap_or("");
    let minutes = minutes(second);
    if minutes == 0 { format!("{week} {day}") } else { format!("{week} {day} {}:{:02}", minutes / 60, minutes % 60) }
}

/// Minutes of a day to the nearest, as the day plan shows them.
fn minutes(second: i64) -> i64 {
    ((second + 30) / 60).min(24 * 60 - 1)
}

/// How far two values lie apart: "+9", "2 days later"; empty where that cannot be said.
pub(in crate::reports) fn apart(fact: &Fact, system: System) -> String {
    // Days are counted as on a calendar, whatever the hour.
    if let (Some(Value::When(before, _)), Some(Value::When(after, _))) = (&fact.before, &fact.after)
        && before != after
    {
        let by = before.days_until(*after);
        let days = count(usize::try_from(by.unsigned_abs()).unwrap_or(usize::MAX), "day", "days");
        return format!("{days} {}", if by > 0 { "later" } else { "earlier" });
    }
    match fact.apart() {
        None => String::new(),
        Some(Apart::Count(by)) => format!("{by:+}"),
        Some(Apart::More(by)) => format!("+{}", figures::shown(by, system)),
        Some(Apart::Less(by)) => format!("-{}", figures::shown(by, system)),
        Some(Apart::Money(by)) => {
            let shown = show::money(by).to_string();
            if shown.starts_with('-') { shown } else { format!("+{shown}") }
        }
        Some(Apart::Later(0)) => String::new(),
        Some(Apart::Later(by)) => {
            // As far apart as the two times that are shown.
            let shown = match (&fact.before, &fact.after) {
                (Some(Value::When(_, before)), Some(Value::When(_, after))) => {
                    (minutes(*after) - minutes(*before)) * 60
                }
                _ => by,
            };
            let time = show::time(Duration::from_seconds(shown.unsigned_abs() as f64));
            format!("{time} {}", if by > 0 { "later" } else { "earlier" })
        }
    }
}
