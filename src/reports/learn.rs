//! What finished jobs teach, with clauses to paste into the shop's files.

use super::{Column, Paper, Part, Row, Table, Weight, Words};
use crate::{
    compile::Compiled,
    learning::{ENOUGH, Lesson, Rate, Subject, lessons},
    problem::count,
    units::{Duration, Length, Ratio, System, show},
};

/// What these jobs teach (shown name and job); those with errors are left out and named.
#[must_use]
pub fn learn<'c>(jobs: &[(&'c str, &'c Compiled)]) -> Paper<'c> {
    let (fit, unfit): (Vec<_>, Vec<_>) = jobs.iter().copied().partition(|(_, job)| !job.has_errors());
    let system = fit.first().map_or(System::Feet, |(_, job)| job.job.system());
    let all = lessons(&fit.iter().map(|(_, job)| (&job.job, &job.works)).collect::<Vec<_>>());
    let mut paper = Paper::new(format!("What {}", count(fit.len(), "job teaches", "jobs teach")));
    if !unfit.is_empty() {
        let names: Vec<&str> = unfit.iter().map(|(name, _)| *name).collect();
        paper.push(Part::Caution(Words::from(format!("left out, for they have errors: {}.", names.join(", ")))));
    }
    if all.is_empty() {
        paper.push(Part::Text(Words::from(
            "Nothing is recorded in them that teaches anything: a step that does one thing only, with `done` and `took`; a pour with its hours and bags; cartridges and blades that were used up.",
        )));
        return paper;
    }
    paper.push(Part::Text(Words::from(format!(
        "Each job gives one figure of a sort, over all it did of it. Under {ENOUGH} jobs a figure shows what happened, and is no habit yet.",
    ))));
    let columns = vec![
        Column::text("what", "What"),
        Column::count("jobs", "Jobs").written(),
        Column::text("things", "Rests on"),
        Column::text("least", "Least"),
        Column::text("median", "Median"),
        Column::text("most", "Most"),
        Column::text("write", "Write"),
    ];
    let rows: Vec<Row> = all.iter().map(|lesson| row(lesson, system)).collect();
    paper.push(Part::Table(Table::new("lessons", columns, rows)));
    let clauses: Vec<String> = all.iter().filter_map(|lesson| clause_line(lesson, system)).collect();
    if !clauses.is_empty() {
        paper.push(Part::Heading(2, Words::from("To paste")));
        paper.push(Part::Code(clauses.join("\n")));
    }
    paper.push(Part::Heading(2, Words::from("Job by job")));
    let columns = vec![
        Column::text("what", "What"),
        Column::text("job", "Job"),
        Column::text("things", "Rests on"),
        Column::text("rate", "Came to"),
    ];
    let mut rows = Vec::new();
    for lesson in &all {
        for seen in &lesson.seen {
            rows.push(Row::new(Weight::Item, |row| {
                row.text(what(&lesson.subject, system)).text(fit.get(seen.job).map_or("", |(name, _)| *name));
                row.text(things(&lesson.subject, seen.things)).text(figure(&lesson.subject, seen.rate, system));
            }));
        }
    }
    paper.push(Part::Table(Table::new("seen", columns, rows)));
    paper
}

fn row(lesson: &Lesson, system: System) -> Row {
    Row::new(Weight::Item, |row| {
        row.text(what(&lesson.subject, system)).count(i64::try_from(lesson.seen.len()).unwrap_or(i64::MAX));
        row.text(things(&lesson.subject, lesson.things));
        for rate in lesson.range {
            row.text(figure(&lesson.subject, rate, system));
        }
        match clause(lesson, system) {
            _ if !lesson.is_enough() => row.text(format_args!("too few to learn from: {ENOUGH} jobs are wanted")),
            Some(clause) => row.text(clause),
            None => row.text("nothing: no clause takes it"),
        };
    })
}

/// What it is about.
pub(super) fn what(subject: &Subject, system: System) -> String {
    match subject {
        Subject::Drill(wide) => format!("drill and clean a hole of {}", show::exact(*wide, system)),
        Subject::Set(size) => format!("set a dowel of {size}"),
        Subject::Place(size) => format!("place and tie a bar of {size}"),
        Subject::Batch(bags) => {
            format!("a batch of {}, all told", count(usize::try_from(*bags).unwrap_or(usize::MAX), "bag", "bags"))
        }
        Subject::ConcreteWaste => "concrete beyond what the forms hold".to_owned(),
        Subject::ResinWaste(resin) => format!("{resin} beyond what holes and nozzles take, in whole cartridges"),
        Subject::Blade(across) => format!("how far a blade of {} saws, 1 in deep", show::exact(*across, system)),
    }
}

fn things(subject: &Subject, number: u64) -> String {
    let (one, many) = match subject {
        Subject::Drill(_) => ("hole", "holes"),
        Subject::Set(_) | Subject::Place(_) => ("bar", "bars"),
        Subject::Batch(_) => ("batch", "batches"),
        Subject::ConcreteWaste => ("bag", "bags"),
        Subject::ResinWaste(_) => ("cartridge", "cartridges"),
        Subject::Blade(_) => ("blade", "blades"),
    };
    count(usize::try_from(number).unwrap_or(usize::MAX), one, many)
}

/// A rate as people read it.
pub(super) fn figure(subject: &Subject, rate: Rate, system: System) -> String {
    match subject {
        Subject::Drill(_) | Subject::Set(_) | Subject::Place(_) | Subject::Batch(_) => {
            format!("{} min", show::decimal(Duration::from_seconds(rate.value()).minutes(), 1))
        }
        Subject::ConcreteWaste | Subject::ResinWaste(_) => {
            show::percent(Ratio::from_fraction(rate.value())).to_string()
        }
        Subject::Blade(_) => show::place(Length::round_nm(rate.value()), system).to_string(),
    }
}

/// The clause to write: times and waste up, blades down to what one would write.
pub(super) fn clause(lesson: &Lesson, system: System) -> Option<String> {
    let median = lesson.median();
    match &lesson.subject {
        Subject::Drill(_) | Subject::Set(_) | Subject::Place(_) => {
            Some(format!("takes {} min each", median.up(1, 60).max(1)))
        }
        Subject::Batch(_) => None,
        Subject::ConcreteWaste | Subject::ResinWaste(_) => Some(format!("waste {}%", median.up(100, 1).max(0))),
        Subject::Blade(across) => {
            let far = match system {
                System::Feet => format!("{}'", median.down(1, i128::from(Length::FOOT.nm())).max(1)),
                System::Metric => format!("{} m", median.down(1, i128::from(Length::MILLIMETRE.nm()) * 1000).max(1)),
            };
            Some(format!("blade {}, lasts {far}", show::exact(*across, system)))
        }
    }
}

fn clause_line(lesson: &Lesson, system: System) -> Option<String> {
    let clause = clause(lesson, system).filter(|_| lesson.is_enough())?;
    let [least, _, most] = lesson.range.map(|rate| figure(&lesson.subject, rate, system));
    Some(format!(
        "{clause}  // {}: {least} to {most}, {} of {}",
        what(&lesson.subject, system),
        things(&lesson.subject, lesson.things),
        count(lesson.seen.len(), "job", "jobs")
    ))
}
