//! Puts records together.

use std::collections::BTreeMap;

use super::{DoneHole, DoneLook, DonePour, DoneSize, FactTrouble, Facts, On, Used};
use crate::{
    job::{Job, Thing},
    schema::{BlockId, Record, Said},
    source::Span,
    units::Date,
};

/// What the records of a job come to.
#[must_use]
pub fn facts(job: &Job) -> Facts {
    let mut records: Vec<(Date, &Thing<Record>)> =
        job.records.iter().filter_map(|record| Some((record.day?, record))).collect();
    records.sort_by_key(|(day, record)| (*day, record.at));
    let mut facts = Facts {
        days: records.first().zip(records.last()).map(|((first, _), (last, _))| (*first, *last)),
        ..Facts::default()
    };
    let start = job.head.as_ref().and_then(|head| head.say.start);
    for (day, record) in &records {
        if let Some(start) = start.filter(|start| day < start) {
            facts.troubles.push(FactTrouble::BeforeStart { on: On { day: *day, at: record.at }, start });
        }
        facts.take(*day, &record.say);
    }
    for sizes in facts.sizes.values_mut() {
        // Records of one day may stand in any order.
        sizes.sort_by_key(|one| (one.on.day, one.place(), one.values()));
    }
    facts.pours_are_steps(job);
    facts
}

impl Facts {
    fn take(&mut self, day: Date, say: &Record) {
        for said in &say.worked.0 {
            self.step(day, said, false);
        }
        for said in &say.done.0 {
            self.step(day, said, true);
        }
        for said in &say.holes.0 {
            self.hole(day, said);
        }
        for said in &say.short.0 {
            let count = said.value.count.map(|count| u64::try_from(count.0).unwrap_or(0));
            add(self.left_out.entry(said.value.bars.value.0).or_default(), count);
        }
        for said in &say.used.0 {
            let count = Said { value: u64::try_from(said.value.count.0).unwrap_or(0), span: said.span };
            add(self.used.entry(said.value.what.value.0).or_default(), count);
        }
        for said in &say.poured.0 {
            self.pour(day, said);
        }
        for said in &say.measured.0 {
            self.size(day, said);
        }
        for said in &say.looked.0 {
            self.look(day, said);
        }
        for said in &say.loaded.0 {
            once(&mut self.loaded, said.value.0, On { day, at: said.span }, &mut self.troubles);
        }
        for said in &say.backfilled.0 {
            once(&mut self.backfilled, said.value.0, On { day, at: said.span }, &mut self.troubles);
        }
        self.notes.extend(say.notes.0.iter().map(|note| (day, note.value.0.clone())));
    }

    fn step(&mut self, day: Date, said: &Said<crate::schema::DoneStep>, done: bool) {
        let id = said.value.step.value.0;
        let step = self.steps.entry(id).or_default();
        if done {
            match step.done {
                Some(first) if first.day != day => {
                    let (at, first) = (said.span, first.at);
                    self.troubles.push(FactTrouble::Otherwise { thing: id, number: None, at, first });
                    return;
                }
                Some(first) => {
                    // The same said twice is said once.
                    let took = said.value.took.map(|took| took.value.0);
                    if took.is_some_and(|took| step.took.iter().all(|known| known.value != took)) {
                        let (at, first) = (said.span, first.at);
                        self.troubles.push(FactTrouble::Otherwise { thing: id, number: None, at, first });
                    }
                    return;
                }
                None => step.done = Some(On { day, at: said.span }),
            }
        }
        let (first, last) = step.days.unwrap_or((day, day));
        step.days = Some((first.min(day), last.max(day)));
        step.took.extend(said.value.took.map(|took| took.map(|took| took.0)));
    }

    fn hole(&mut self, day: Date, said: &Said<crate::schema::DoneHole>) {
        let say = &said.value;
        for hole in &say.holes {
            let on = On { day, at: said.span };
            let new = DoneHole {
                on,
                wide: say.wide.map(|wide| wide.0),
                deep: say.deep.map(|deep| deep.0),
                moved: say.moved.as_ref().map(|moved| moved.value.0.clone()).unwrap_or_default(),
                hit: say.hit.map(|hit| hit.value.0),
                abandoned: say.abandoned.is_some(),
            };
            let all = self.holes.entry(hole.value.holes).or_default();
            let Some(before) = all.get_mut(&hole.value.number) else {
                all.insert(hole.value.number, new);
                continue;
            };
            let differs = |one: Option<_>, two: Option<_>| one.is_some() && two.is_some() && one != two;
            let moved = !before.moved.is_empty() && !new.moved.is_empty() && !same_way(before, &new);
            let otherwise = differs(before.wide, new.wide)
                || differs(before.deep, new.deep)
                || differs(before.hit, new.hit)
                || moved;
            if before.on.day == day && otherwise {
                let (thing, number, first) = (hole.value.holes, Some(hole.value.number), before.on.at);
                self.troubles.push(FactTrouble::Otherwise { thing, number, at: said.span, first });
                continue;
            }
            before.on = on;
            before.wide = new.wide.or(before.wide);
            before.deep = new.deep.or(before.deep);
            before.hit = new.hit.or(before.hit);
            before.abandoned |= new.abandoned;
            if !new.moved.is_empty() {
                before.moved = new.moved;
                // Drilled anew elsewhere.
                before.abandoned = new.abandoned;
            }
        }
    }

    fn pour(&mut self, day: Date, said: &Said<crate::schema::DonePour>) {
        let say = &said.value;
        let id = say.pour.value.0;
        let new = DonePour {
            on: On { day, at: said.span },
            hours: say.hours,
            bags: say.bags.map(|bags| bags.map(|bags| u64::try_from(bags.0).unwrap_or(0))),
            water: say.water.map(|water| water.map(|water| water.0)),
            air: say.air,
            concrete: say.concrete,
        };
        let Some(before) = self.pours.get_mut(&id) else {
            self.pours.insert(id, new);
            return;
        };
        fn differs<T: PartialEq>(one: Option<T>, two: Option<T>) -> bool {
            one.is_some() && two.is_some() && one != two
        }
        let value = |said: &Option<Said<u64>>| said.map(|said| said.value);
        let degrees = |said: &Option<Said<crate::units::Temperature>>| said.map(|said| said.value);
        let otherwise = before.on.day != day
            || differs(before.hours.map(|said| said.value), new.hours.map(|said| said.value))
            || differs(value(&before.bags), value(&new.bags))
            || differs(before.water.map(|said| said.value), new.water.map(|said| said.value))
            || differs(degrees(&before.air), degrees(&new.air))
            || differs(degrees(&before.concrete), degrees(&new.concrete));
        if otherwise {
            let first = before.on.at;
            self.troubles.push(FactTrouble::Otherwise { thing: id, number: None, at: said.span, first });
            return;
        }
        before.hours = before.hours.or(new.hours);
        before.bags = before.bags.or(new.bags);
        before.water = before.water.or(new.water);
        before.air = before.air.or(new.air);
        before.concrete = before.concrete.or(new.concrete);
    }

    fn size(&mut self, day: Date, said: &Said<crate::schema::DoneSize>) {
        let say = &said.value;
        let id = say.section.value.0;
        let new = DoneSize {
            on: On { day, at: said.span },
            at: say.at.as_ref().map(|at| Said { value: (at.value.leg.value, at.value.value.value), span: at.span }),
            thick: say.thick.map(|thick| thick.map(|thick| thick.0)),
            top: say.top,
            bottom: say.bottom,
            leans: say.leans.map(|leans| leans.map(|leans| leans.0)),
            said: say.said.as_ref().map(|said| said.0.clone()),
        };
        if new.values().iter().all(Option::is_none) {
            self.troubles.push(FactTrouble::NothingMeasured { section: id, at: said.span });
            return;
        }
        let all = self.sizes.entry(id).or_default();
        let otherwise = |one: &&DoneSize| {
            let both = one.values().into_iter().zip(new.values());
            let differs = both.filter_map(|(one, new)| one.zip(new)).any(|(one, new)| one != new);
            one.on.day == day && one.is_beside(&new) && differs
        };
        if let Some(first) = all.iter().find(otherwise).map(|one| one.on.at) {
            self.troubles.push(FactTrouble::Otherwise { thing: id, number: None, at: said.span, first });
            return;
        }
        all.push(new);
    }

    fn look(&mut self, day: Date, said: &Said<crate::schema::DoneLook>) {
        let say = &said.value;
        let id = say.look.value.0;
        if say.passed.is_some() == say.refused.is_some() {
            self.troubles.push(FactTrouble::NoVerdict { look: id, at: said.span });
            return;
        }
        let new = DoneLook {
            on: On { day, at: said.span },
            by: say.by.as_ref().map(|by| by.0.clone()),
            passed: say.passed.is_some(),
            said: say.said.as_ref().map(|said| said.0.clone()),
        };
        let all = self.looks.entry(id).or_default();
        if let Some(first) = all.last().filter(|last| last.on.day == day && last.passed != new.passed) {
            let (at, first) = (said.span, first.on.at);
            self.troubles.push(FactTrouble::Otherwise { thing: id, number: None, at, first });
            return;
        }
        all.push(new);
    }

    /// A step that does nothing but pour is done when all it pours is.
    fn pours_are_steps(&mut self, job: &Job) {
        for step in &job.steps {
            let things: Vec<BlockId> =
                step.say.work.0.iter().flat_map(|work| &work.things).map(|thing| thing.value).collect();
            let only = step.say.work.0.iter().all(|work| work.verb == "pour");
            let poured: Option<Vec<On>> =
                things.iter().map(|thing| self.pours.get(thing).map(|pour| pour.on)).collect();
            let last = poured.filter(|_| only).and_then(|all| all.into_iter().max_by_key(|on| on.day));
            if let Some(done) = self.steps.get(&step.id).and_then(|step| step.done)
                && let Some((pour, poured)) = self.poured_otherwise(&things, done, last.is_some())
            {
                self.troubles.push(FactTrouble::PouredOtherwise { step: step.id, done, pour, poured });
                continue;
            }
            let Some(last) = last else { continue };
            let known = self.steps.entry(step.id).or_default();
            known.done.get_or_insert(last);
            let (first, until) = known.days.unwrap_or((last.day, last.day));
            known.days = Some((first.min(last.day), until.max(last.day)));
        }
    }
}

impl Facts {
    /// The pour of a step that was poured after the step was done; or, where the step does nothing else, before that day.
    fn poured_otherwise(&self, things: &[BlockId], done: On, only: bool) -> Option<(BlockId, On)> {
        let poured = things.iter().filter_map(|thing| Some((*thing, self.pours.get(thing)?.on)));
        poured.max_by_key(|(_, on)| on.day).filter(|(_, on)| on.day > done.day || (only && on.day != done.day))
    }
}

fn same_way(one: &DoneHole, other: &DoneHole) -> bool {
    let plain = |hole: &DoneHole| hole.moved.iter().map(|one| (one.direction, one.length)).collect::<Vec<_>>();
    plain(one) == plain(other)
}

fn add(used: &mut Used, count: Said<u64>) {
    used.count = used.count.saturating_add(count.value);
    used.parts.push(count);
}

/// Something that happens once.
fn once(all: &mut BTreeMap<BlockId, On>, id: BlockId, on: On, troubles: &mut Vec<FactTrouble>) {
    match all.get(&id) {
        Some(first) if first.day != on.day => {
            let (at, first): (Span, Span) = (on.at, first.at);
            troubles.push(FactTrouble::Otherwise { thing: id, number: None, at, first });
        }
        Some(_) => {}
        None => _ = all.insert(id, on),
    }
}
