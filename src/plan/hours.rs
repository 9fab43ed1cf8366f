//! The hours that are worked, as calendars.

use foldhash::HashMap;

use super::days::{FAR, seconds};
use crate::{
    job::Job,
    scheduling::{Calendar, Shift},
    schema::{self, BlockId, Clock, Range},
    units::Date,
};

/// Calendars by their places: all hours, those that may be loud, those of people who look.
pub(super) const WORK: u32 = 0;
pub(super) const LOUD_HOURS: u32 = 1;
pub(super) const LOOKS: u32 = 2;

fn shift(hours: Range<Clock>) -> Shift {
    Shift { from: seconds(hours.from.0), to: seconds(hours.to.0) }
}

/// Usual hours: Monday to Friday, 8 to 16, rests within; common practice, no source.
#[must_use]
pub fn usual_week() -> [Vec<Shift>; 7] {
    let day = Shift { from: 8 * 3600, to: 16 * 3600 };
    std::array::from_fn(|at| if at < 5 { vec![day] } else { Vec::new() })
}

/// All hours, those that may be loud, those of people who look (Monday to Friday, 8 to 16), and after these those of looks
/// that say when they come.
pub(super) fn calendars(job: &Job, start: Date) -> (Vec<Calendar>, HashMap<BlockId, u32>) {
    let first = start.weekday();
    let mut out = common(job, start);
    let mut comes = HashMap::default();
    for look in job.looks.iter().filter(|look| !look.say.comes.0.is_empty()) {
        let mut own = Calendar::new(first, week(&look.say.comes.0));
        for day in off(job, start) {
            own.set_day(day, Vec::new());
        }
        comes.insert(look.id, u32::try_from(out.len()).unwrap_or(LOOKS));
        out.push(own);
    }
    (out, comes)
}

/// The hours of each day of a week.
fn week(said: &[schema::Shift]) -> [Vec<Shift>; 7] {
    let mut week: [Vec<Shift>; 7] = Default::default();
    for shifts in said {
        for day in &shifts.days.0 {
            if let Some(day) = week.get_mut(*day) {
                day.push(shift(shifts.hours));
            }
        }
    }
    week
}

/// The days nothing is done on, after the job's start.
fn off(job: &Job, start: Date) -> Vec<i64> {
    let Some(hours) = job.hours.first() else { return Vec::new() };
    let number = |date: Date| start.days_until(date);
    let single = hours.say.off.0.iter().flatten().map(|day| number(day.value));
    let away = hours.say.away.0.iter().flat_map(|away| {
        let (from, to) = (number(away.value.from), number(away.value.to));
        from.max(-FAR)..=to.min(FAR)
    });
    single.chain(away).filter(|day| day.abs() <= FAR).collect()
}

fn common(job: &Job, start: Date) -> Vec<Calendar> {
    let first = start.weekday();
    let mut looks = Calendar::new(first, usual_week());
    let Some(hours) = job.hours.first() else {
        let usual = Calendar::new(first, usual_week());
        return vec![usual.clone(), usual, looks];
    };
    let say = &hours.say;
    let week = week(&say.shifts.0);
    let loud = say.loud.map(|loud| shift(loud.value));
    let cut = |shifts: Vec<Shift>| -> Vec<Shift> {
        let Some(loud) = loud else { return shifts };
        shifts.into_iter().map(|shift| Shift { from: shift.from.max(loud.from), to: shift.to.min(loud.to) }).collect()
    };
    let mut work = Calendar::new(first, week.clone());
    let mut loud_hours = Calendar::new(first, week.map(cut));
    for also in &say.also.0 {
        let day = start.days_until(also.on);
        if day.abs() > FAR {
            continue;
        }
        let mut shifts = work.day(day).to_vec();
        shifts.push(shift(also.hours));
        loud_hours.set_day(day, cut(shifts.clone()));
        work.set_day(day, shifts);
    }
    for day in off(job, start) {
        work.set_day(day, Vec::new());
        loud_hours.set_day(day, Vec::new());
        looks.set_day(day, Vec::new());
    }
    vec![work, loud_hours, looks]
}
