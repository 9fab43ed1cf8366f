//! The steps in order, with boxes to tick; and the hold points.

use foldhash::HashMap;

use crate::{
    compile::Compiled,
    plan::{Lasts, Reason},
    reports::{
        BoxLine, Column, Paper, Part, Rows, Table, Words,
        order::{forms, whole},
        words,
    },
    schema::{BlockId, KindId},
    units::show,
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let order = &compiled.works.plan.order;
    if order.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Steps, in this order")));
    if compiled.works.digs.iter().any(|dig| dig.under) {
        paper.push(Part::Caution(Words::from(
            "no order of work: the ground would be taken from under the old work. A licensed engineer plans that, and nobody digs before.",
        )));
        return;
    }
    if !compiled.works.plan.circles.is_empty() || !compiled.works.plan.undone.is_empty() {
        paper.push(Part::Caution(Words::from(
            "some of these wait for each other in a circle; until that is mended their order means nothing.",
        )));
    }
    let waits = waits(compiled);
    let lines = order.iter().filter_map(|id| match job.kind(*id) {
        Some(KindId::Step) => step(compiled, *id, &waits),
        Some(KindId::Look) => look(compiled, *id, &waits),
        Some(KindId::Wait) => wait(compiled, *id, &waits),
        Some(KindId::Ask) => ask(compiled, *id),
        _ => None,
    });
    paper.push(Part::Boxes(lines.collect()));
}

/// What each step, look and wait is written to come after, by its own `after` or by the `before` of another; less the questions that
/// are answered.
fn waits(compiled: &Compiled) -> HashMap<BlockId, Vec<BlockId>> {
    let mut out: HashMap<BlockId, Vec<BlockId>> = HashMap::default();
    let is_open = |id: BlockId| compiled.job.ask(id).is_none_or(|ask| ask.say.answered.is_none());
    for edge in compiled.works.plan.edges.iter().filter(|edge| is_open(edge.before)) {
        if matches!(edge.reason, Reason::After | Reason::Before) {
            let names = out.entry(edge.after).or_default();
            if !names.contains(&edge.before) {
                names.push(edge.before);
            }
        }
    }
    out
}

fn step(compiled: &Compiled, id: BlockId, waits: &HashMap<BlockId, Vec<BlockId>>) -> Option<BoxLine> {
    let job = &compiled.job;
    let step = job.step(id)?;
    let mut line = BoxLine::new(Words::default().strong(&step.title).plain(format_args!(" ({})", step.name)));
    for work in &step.say.work.0 {
        let things: Vec<String> = work
            .things
            .iter()
            .map(|thing| {
                let name = job.name(thing.value);
                let out = left_out(compiled, work.verb, thing.value);
                match pieces(compiled, thing.value) {
                    Some(count) if out > 0 => {
                        format!("{name} ({} of {count}: {out} left out, as recorded)", count - out)
                    }
                    Some(count) => format!("{name} ({count})"),
                    None => name.to_owned(),
                }
            })
            .collect();
        line = line.detail(format!("{}: {}", work.verb, things.join(", ")));
        if work.verb == "form" {
            // They stand in the order of their numbers.
            let all = &compiled.works.forms;
            let found =
                |id: BlockId| all.binary_search_by_key(&id, |forms| forms.forms).ok().and_then(|at| all.get(at));
            let named = work.things.iter().filter_map(|thing| found(thing.value));
            let boxes = named.flat_map(|named| forms::boxes(compiled, named));
            line = boxes.fold(line, |line, says| line.detail(format!("box {says}")));
        }
    }
    line = lasts(compiled, id, line);
    if step.say.takes.is_none() {
        let things = || step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
        for placing in compiled.works.placings.iter().filter(|one| things().any(|thing| thing.value == one.pour)) {
            let name = job.name(placing.pour);
            line = line.detail(format!("{name} lasts {} by the pour sheet", show::time(placing.lasts())));
        }
    }
    if let Some(people) = step.say.people.filter(|people| people.value.0 > 1) {
        line = line.detail(format!("takes {} people", people.value.0));
    }
    line = whole::at_step(compiled, id).into_iter().fold(line, BoxLine::detail);
    line = after(compiled, id, waits, line);
    for note in job.notes.iter().filter(|note| note.block == id) {
        line = line.detail(note.text.as_str());
    }
    Some(match compiled.works.facts.done(id) {
        Some(on) => line.ticked(true).detail(format!("done on {}, as recorded", on.day)),
        None => line.blank("Done on").blank("by"),
    })
}

fn look(compiled: &Compiled, id: BlockId, waits: &HashMap<BlockId, Vec<BlockId>>) -> Option<BoxLine> {
    let job = &compiled.job;
    let look = job.look(id)?;
    let mut line = BoxLine::new(
        Words::default().strong(format_args!("HOLD: {}", look.title)).plain(format_args!(" ({})", look.name)),
    );
    if let Some(sees) = &look.say.sees {
        let names = words::names(job, sees.iter().map(|thing| thing.value.0));
        line = line.detail(format!("to be seen before it is hidden: {names}"));
    }
    if let Some(by) = &look.say.by {
        line = line.detail(format!("looked at by: {}", by.0));
    }
    if let Some(notice) = look.say.notice {
        line = line.detail(format!("to be called {} ahead", words::ahead(notice)));
    }
    line = lasts(compiled, id, line);
    line = after(compiled, id, waits, line);
    for note in job.notes.iter().filter(|note| note.block == id) {
        line = line.detail(note.text.as_str());
    }
    Some(match compiled.works.facts.passed(id) {
        Some(on) => line.ticked(true).detail(format!("passed on {}, as recorded", on.day)),
        None => line.blank("Called on").blank("Passed on"),
    })
}

fn wait(compiled: &Compiled, id: BlockId, waits: &HashMap<BlockId, Vec<BlockId>>) -> Option<BoxLine> {
    let wait = compiled.job.wait(id)?;
    let mut line = BoxLine::new(
        Words::default().strong(format_args!("WAIT: {}", wait.title)).plain(format_args!(" ({})", wait.name)),
    );
    line = line.detail(format!("{}, nights and days off count", show::time(wait.say.takes.time.0)));
    line = after(compiled, id, waits, line);
    // What waits for it was recorded: it is over.
    let over = compiled.works.days.as_ref().and_then(|days| days.of(id)).is_some_and(|dated| dated.past.is_some());
    Some(if over { line.ticked(true) } else { line.blank("From").blank("until") })
}

fn ask(compiled: &Compiled, id: BlockId) -> Option<BoxLine> {
    let ask = compiled.job.ask(id)?;
    let mut line = BoxLine::new(
        Words::default().strong(format_args!("ASK: {}", ask.title)).plain(format_args!(" ({})", ask.name)),
    );
    if let Some(about) = ask.say.about {
        line = line.detail(format!("about: {}", about.word()));
    }
    match &ask.say.answered {
        Some(answered) => {
            let said = answered.said.as_ref().map_or("", |said| said.0.as_str());
            line = line.ticked(true).detail(format!("answered {}: {said}", answered.on));
        }
        None => {
            if let Some(lead) = ask.say.lead {
                line = line.detail(format!("an answer takes {}", words::ahead(lead)));
            }
            line = line.blank("Asked on").blank("Answer");
        }
    }
    Some(line)
}

fn lasts(compiled: &Compiled, id: BlockId, line: BoxLine) -> BoxLine {
    let found = compiled.works.plan.durations.iter().find(|(node, _)| *node == id).map(|(_, lasts)| *lasts);
    let works = || compiled.job.step(id).into_iter().flat_map(|step| &step.say.work.0);
    let out = works().flat_map(|work| work.things.iter().map(|thing| left_out(compiled, work.verb, thing.value))).sum();
    match found.map(|lasts| lasts.without(out)) {
        Some(Lasts::For(time)) => line.detail(format!("takes about {}", show::time(time))),
        Some(Lasts::Each { one, pieces, all }) => {
            line.detail(format!("takes about {} each, {} for {pieces}", show::time(one), show::time(all)))
        }
        Some(Lasts::Per { one, measure, all, .. }) => {
            line.detail(format!("takes about {} per {}, {} in all", show::time(one), measure.word(), show::time(all)))
        }
        Some(Lasts::Uncounted { one, measure: None }) => line.detail(format!("takes about {} each", show::time(one))),
        Some(Lasts::Uncounted { one, measure: Some(measure) }) => {
            line.detail(format!("takes about {} per {}", show::time(one), measure.word()))
        }
        Some(Lasts::Unsaid) | None => line,
    }
}

fn after(compiled: &Compiled, id: BlockId, waits: &HashMap<BlockId, Vec<BlockId>>, line: BoxLine) -> BoxLine {
    match waits.get(&id) {
        Some(names) => line.detail(format!("after: {}", words::names(&compiled.job, names.iter().copied()))),
        None => line,
    }
}

/// How many of the bars a step sets or places are recorded as left out.
fn left_out(compiled: &Compiled, verb: &str, thing: BlockId) -> u64 {
    if matches!(verb, "set" | "place") { compiled.works.left_out(thing) } else { 0 }
}

/// How many pieces a thing is.
fn pieces(compiled: &Compiled, thing: BlockId) -> Option<u64> {
    let works = &compiled.works;
    works
        .sets
        .get(&thing)
        .map(|set| set.count)
        .or_else(|| works.bars.iter().find(|bars| bars.id == thing).map(|bars| bars.count))
}

/// The hold points: name, time, passed or not.
pub(super) fn hold_points<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.job.looks.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Hold points")));
    let columns = vec![
        Column::text("hold", "Hold"),
        Column::text("what", "What is looked at"),
        Column::text("by", "Who looks"),
        Column::text("day", "Day and time"),
        Column::text("passed", "Passed / not"),
        Column::text("signed", "Signed"),
    ];
    let order = &compiled.works.plan.order;
    let rows = Rows::formula(move |lines| {
        for id in order {
            let Some(look) = compiled.job.look(*id) else { continue };
            lines.item(|row| {
                row.text(&look.name).text(&look.title);
                match &look.say.by {
                    Some(by) => row.text(&by.0),
                    None => row.blank(),
                };
                row.blank().blank().blank();
            })?;
        }
        Ok(())
    });
    paper.push(Part::Table(Table::new("holds", columns, rows)));
}
