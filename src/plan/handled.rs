//! Who does what: the steps' verbs by thing, and what no step does.

use std::collections::{BTreeMap, BTreeSet};

use super::Nodes;
use crate::{
    concrete::Solids,
    job::Job,
    schema::{BlockId, KindId, VerbNeed},
    source::Span,
};

/// A step, by its number among the nodes, and where its `work` names the thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Doer {
    pub node: u32,
    pub at: Span,
}

/// What steps do to things; the doers of each in written order.
#[derive(Debug, Default)]
pub(super) struct Handled(BTreeMap<(BlockId, &'static str), Vec<Doer>>);

/// A thing that no step does what it needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unhandled {
    /// The thing.
    pub thing: BlockId,
    /// The verb it needs.
    pub verb: &'static str,
}

/// Bars that are handled by the wrong one of `set` and `place`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Misfit {
    /// The bars.
    pub thing: BlockId,
    /// The step.
    pub step: BlockId,
    /// What it does.
    pub verb: &'static str,
    /// What these bars need.
    pub wanted: &'static str,
    /// Where the step's `work` names them.
    pub at: Span,
}

/// A thing that has the same done to it twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Double {
    /// The thing.
    pub thing: BlockId,
    /// What is done.
    pub verb: &'static str,
    /// The step that stands first in the file, and where it names the thing.
    pub first: (BlockId, Span),
    /// Another step, or the same once more.
    pub again: (BlockId, Span),
}

impl Handled {
    pub fn new(job: &Job, nodes: &Nodes) -> Handled {
        let mut handled = Handled::default();
        for (node, id) in nodes.all() {
            let Some(step) = job.step(id) else { continue };
            for work in &step.say.work.0 {
                for thing in work.things.iter().filter(|thing| !job.broken.contains(&thing.value)) {
                    let doer = Doer { node, at: thing.span };
                    handled.0.entry((thing.value, work.verb)).or_default().push(doer);
                }
            }
        }
        handled
    }

    /// The steps that do this to this.
    pub fn doers(&self, thing: BlockId, verb: &'static str) -> &[Doer] {
        self.0.get(&(thing, verb)).map_or(&[], Vec::as_slice)
    }

    pub fn doubles(&self, nodes: &Nodes) -> Vec<Double> {
        let mut doubles = Vec::new();
        for ((thing, verb), doers) in &self.0 {
            let Some((first, more)) = doers.split_first() else { continue };
            doubles.extend(more.iter().map(|again| Double {
                thing: *thing,
                verb,
                first: (nodes.block(first.node), first.at),
                again: (nodes.block(again.node), again.at),
            }));
        }
        doubles
    }

    pub fn misfits(&self, job: &Job, nodes: &Nodes) -> Vec<Misfit> {
        let mut misfits = Vec::new();
        for bars in &job.bars {
            let (wanted, verb) = if bars.say.holes.is_some() { ("set", "place") } else { ("place", "set") };
            misfits.extend(self.doers(bars.id, verb).iter().map(|doer| Misfit {
                thing: bars.id,
                step: nodes.block(doer.node),
                verb,
                wanted,
                at: doer.at,
            }));
        }
        misfits
    }

    /// What no step does. A step that could not be read may do anything: as long as there is one, nothing is missed.
    pub fn unhandled(&self, job: &Job, solids: &Solids) -> Vec<Unhandled> {
        if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Step))) {
            return Vec::new();
        }
        let mut missed = self.buried_forms(job, solids);
        for id in (0..).map(BlockId).take_while(|id| job.at(*id).is_some()) {
            let Some(kind) = job.kind(id).filter(|_| !job.broken.contains(&id)) else { continue };
            let musts = kind.kind().verbs.iter().filter(|verb| verb.need == VerbNeed::Must).map(|verb| verb.word);
            missed
                .extend(musts.filter(|verb| self.doers(id, verb).is_empty()).map(|verb| Unhandled { thing: id, verb }));
            // Of bars, one of two verbs is a must; where only the wrong one is written, that is told as a misfit.
            if let Some(bars) = job.bars_of(id)
                && self.doers(id, "set").is_empty()
                && self.doers(id, "place").is_empty()
            {
                let verb = if bars.say.holes.is_some() { "set" } else { "place" };
                missed.push(Unhandled { thing: id, verb });
            }
        }
        missed
    }

    /// Forms that some step builds and none takes off, before what another fills in earth against.
    fn buried_forms(&self, job: &Job, solids: &Solids) -> Vec<Unhandled> {
        let filled = job.cures.iter().filter(|cure| !self.doers(cure.id, "backfill").is_empty());
        let filled: BTreeSet<BlockId> = filled.map(|cure| cure.say.of.value.0).collect();
        if filled.is_empty() {
            return Vec::new();
        }
        let stays = |forms: BlockId| !self.doers(forms, "form").is_empty() && self.doers(forms, "strip").is_empty();
        let poured = |section: BlockId| solids.with(section).is_some_and(|(solid, _)| filled.contains(&solid.pour));
        let left = job.forms.iter().filter(|forms| stays(forms.id) && !job.broken.contains(&forms.id));
        let left = left.filter(|forms| forms.say.against.iter().any(|section| poured(section.value.0)));
        left.map(|forms| Unhandled { thing: forms.id, verb: "strip" }).collect()
    }
}
