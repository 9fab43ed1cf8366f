//! What waits for what: as written, and by itself from what is done to the things.

use std::collections::BTreeSet;

use super::{
    Edge, Nodes, Reason,
    buried::{Buried, buried, levels},
    graph::Arc,
    handled::{Doer, Handled},
};
use crate::{
    curing::Act,
    job::{Job, Thing},
    schema::{Ask, BlockId, KindId, LaterName, Said, StepName},
    source::Span,
    units::Length,
};

/// What `after` names: this one is later than those.
type Later = Option<Vec<Said<StepName>>>;
/// What `before` names: this one is earlier than those.
type Earlier = Option<Vec<Said<LaterName>>>;

/// All edges; those written stand first.
#[derive(Debug, Default)]
pub(super) struct Waits {
    pub edges: Vec<Edge>,
    /// The same edges by the numbers of the nodes.
    pub arcs: Vec<Arc>,
    /// The thing at which there were too many edges by themselves.
    pub cut: Option<BlockId>,
    /// So many edges that follow by themselves may still be added.
    pub left: usize,
    /// Each thing with the sections it lies in or behind, sorted by thing.
    pub lies: Vec<(BlockId, BlockId)>,
}

/// Finds all edges, at most `limit` that stand there by themselves.
pub(super) fn waits(job: &Job, nodes: &Nodes, handled: &Handled, limit: usize) -> Waits {
    let mut waits = Waits { left: limit, ..Waits::default() };
    for (node, id) in nodes.all() {
        waits.written(job, nodes, node, id);
    }
    if let Err(thing) = waits.by_themselves(job, nodes, handled, limit) {
        waits.cut = Some(thing);
    }
    waits
}

impl Waits {
    fn written(&mut self, job: &Job, nodes: &Nodes, node: u32, id: BlockId) {
        let (after, before): (&Later, &Earlier) = if let Some(step) = job.step(id) {
            (&step.say.after, &step.say.before)
        } else if let Some(look) = job.look(id) {
            (&look.say.after, &look.say.before)
        } else if let Some(wait) = job.wait(id) {
            (&wait.say.after, &wait.say.before)
        } else if let Some(ask) = job.ask(id).filter(|ask| !is_settled(job, ask)) {
            (&None, &ask.say.before)
        } else {
            return;
        };
        for name in after.iter().flatten() {
            let answered = job.ask(name.value.0).is_some_and(|ask| is_settled(job, ask));
            if let Some(other) = nodes.node(name.value.0).filter(|_| !answered) {
                self.push(nodes, other, node, Reason::After, name.span);
            }
        }
        for name in before.iter().flatten() {
            if let Some(other) = nodes.node(name.value.0) {
                self.push(nodes, node, other, Reason::Before, name.span);
            }
        }
    }

    pub(super) fn push(&mut self, nodes: &Nodes, before: u32, after: u32, reason: Reason, at: Span) {
        self.edges.push(Edge { before: nodes.block(before), after: nodes.block(after), reason, at });
        self.arcs.push((before, after));
    }

    /// Each of some before each of others; a step that does both sees to the order itself.
    fn link(
        &mut self,
        nodes: &Nodes,
        before: &[Doer],
        after: &[Doer],
        reason: Reason,
        thing: BlockId,
    ) -> Result<(), BlockId> {
        for first in before {
            for then in after.iter().filter(|then| then.node != first.node) {
                self.left = self.left.checked_sub(1).ok_or(thing)?;
                self.push(nodes, first.node, then.node, reason, first.at);
            }
        }
        Ok(())
    }

    fn by_themselves(&mut self, job: &Job, nodes: &Nodes, handled: &Handled, limit: usize) -> Result<(), BlockId> {
        let pours = pours_of_sections(job);
        for holes in &job.holes {
            let (id, into) = (holes.id, holes.say.into.value.block);
            let drill = handled.doers(id, "drill");
            self.link(nodes, handled.doers(id, "mark"), drill, Reason::Marked { holes: id }, id)?;
            for scanned in [id, into] {
                let reason = Reason::Scanned { place: scanned, thing: id };
                self.link(nodes, handled.doers(scanned, "scan"), drill, reason, id)?;
            }
            for pour in filled(&pours, into) {
                for verb in ["scan", "mark", "drill"] {
                    let reason = Reason::Hardened { pour, thing: id };
                    self.link(nodes, handled.doers(pour, "pour"), handled.doers(id, verb), reason, id)?;
                }
            }
        }
        for bars in &job.bars {
            let Some(holes) = bars.say.holes else { continue };
            for verb in ["set", "place"] {
                let reason = Reason::Drilled { holes: holes.value.0, bars: bars.id };
                let drill = handled.doers(holes.value.0, "drill");
                self.link(nodes, drill, handled.doers(bars.id, verb), reason, bars.id)?;
            }
        }
        let removed = job.removes.iter().map(|thing| (thing.id, thing.say.slab.0, "remove"));
        let sawn = job.cuts.iter().map(|thing| (thing.id, thing.say.slab.0, "cut"));
        for (thing, slab, verb) in removed.chain(sawn) {
            let (work, reason) = (handled.doers(thing, verb), Reason::Scanned { place: slab, thing });
            self.link(nodes, handled.doers(slab, "scan"), work, reason, thing)?;
            for props in &job.supports {
                let reason = Reason::Propped { props: props.id, thing };
                self.link(nodes, handled.doers(props.id, "set"), work, reason, thing)?;
            }
        }
        for cut in &job.cuts {
            for strip in job.removes.iter().filter(|strip| strip.say.slab.0 == cut.say.slab.0) {
                let reason = Reason::Sawn { cut: cut.id, strip: strip.id };
                let (saw, remove) = (handled.doers(cut.id, "cut"), handled.doers(strip.id, "remove"));
                self.link(nodes, saw, remove, reason, cut.id)?;
            }
        }
        for props in &job.supports {
            for pour in &job.pours {
                let reason = Reason::Carried { pour: pour.id, props: props.id };
                let strike = handled.doers(props.id, "strike");
                self.link(nodes, handled.doers(pour.id, "pour"), strike, reason, props.id)?;
            }
        }
        for cure in &job.cures {
            let pour = cure.say.of.value.0;
            for verb in ["wet", "wrap"] {
                let reason = Reason::Cured { pour, cure: cure.id };
                self.link(nodes, handled.doers(pour, "pour"), handled.doers(cure.id, verb), reason, cure.id)?;
            }
            for (verb, act) in [("load", Act::Load), ("backfill", Act::Backfill)] {
                let reason = Reason::Loaded { pour, cure: cure.id, act };
                self.link(nodes, handled.doers(pour, "pour"), handled.doers(cure.id, verb), reason, cure.id)?;
            }
        }
        for forms in &job.forms {
            let mut poured: Vec<BlockId> =
                forms.say.against.iter().flat_map(|section| filled(&pours, section.value.0)).collect();
            poured.sort_unstable();
            poured.dedup();
            for pour in poured {
                let (form, strip) = (handled.doers(forms.id, "form"), handled.doers(forms.id, "strip"));
                let over = handled.doers(pour, "pour");
                self.link(nodes, form, over, Reason::Formed { forms: forms.id, pour }, forms.id)?;
                self.link(nodes, over, strip, Reason::Stripped { pour, forms: forms.id }, forms.id)?;
            }
        }
        let mut sights = sights(job, nodes);
        for (thing, look) in &sights {
            let mut made = |thing: BlockId, verb| {
                self.link(nodes, handled.doers(thing, verb), &[*look], Reason::Made { thing }, thing)
            };
            match job.kind(*thing) {
                Some(KindId::Holes) => made(*thing, "drill")?,
                Some(KindId::Bars) => {
                    made(*thing, "set")?;
                    made(*thing, "place")?;
                }
                Some(KindId::Remove) => made(*thing, "remove")?,
                Some(KindId::Cut) => made(*thing, "cut")?,
                Some(KindId::Crack) => made(*thing, "inject")?,
                Some(KindId::Spall) => made(*thing, "patch")?,
                Some(KindId::Prepare) => made(*thing, "prepare")?,
                Some(KindId::Forms) => made(*thing, "form")?,
                Some(KindId::Pour) => made(*thing, "pour")?,
                Some(KindId::Cure) => {
                    made(*thing, "wet")?;
                    made(*thing, "wrap")?;
                }
                Some(KindId::Section) => {
                    for pour in filled(&pours, *thing) {
                        made(pour, "pour")?;
                    }
                }
                _ => {}
            }
        }
        sights.sort_by_key(|(thing, look)| (*thing, look.node));
        let mut buried = buried(job, limit);
        self.bared(job, nodes, handled, &buried)?;
        self.behind_forms(job, nodes, handled, &buried)?;
        self.lies = std::mem::take(&mut buried.lies);
        for (thing, pour) in buried.pairs {
            let reason = Reason::Hides { thing, cover: pour };
            let over = handled.doers(pour, "pour");
            for verb in job.kind(thing).into_iter().flat_map(|kind| kind.kind().verbs) {
                self.link(nodes, handled.doers(thing, verb.word), over, reason, thing)?;
            }
            let from = sights.partition_point(|(seen, _)| *seen < thing);
            for (_, look) in sights[from..].iter().take_while(|(seen, _)| *seen == thing) {
                self.link(nodes, &[*look], over, reason, thing)?;
            }
        }
        buried.cut.map_or(Ok(()), Err)
    }

    /// A strip of a slab is out before work begins on what lies below it: holes under its top, and all that belongs to a section
    /// whose bottom is under it.
    fn bared(&mut self, job: &Job, nodes: &Nodes, handled: &Handled, buried: &Buried) -> Result<(), BlockId> {
        for strip in &job.removes {
            let out = handled.doers(strip.id, "remove");
            let Some(slab) = job.slab(strip.say.slab.0).filter(|_| !out.is_empty()) else { continue };
            let over: BTreeSet<BlockId> = sections_of(buried, strip.id).collect();
            let deep = |section: BlockId| {
                over.contains(&section)
                    && job.section(section).is_some_and(|section| levels(&section.say).0 < slab.say.top)
            };
            let mut below: BTreeSet<(BlockId, &str)> = BTreeSet::new();
            for &(thing, section) in buried.lies.iter().filter(|(_, section)| over.contains(section)) {
                let from = job.crack(thing).map(|crack| crack.say.height.value.from);
                let from = from.or_else(|| job.spall(thing).map(|spall| spall.say.height.from));
                let under = match (job.holes_of(thing), from) {
                    // Other holes go into the slab itself, or into what is poured later.
                    (Some(holes), _) => {
                        in_old_face(job, thing)
                            && holes.say.rows.heights.iter().flatten().any(|height| height.value < slab.say.top)
                    }
                    (None, Some(from)) => from < slab.say.top,
                    (None, None) => deep(section),
                };
                below.extend(work_on(job, thing).filter(|_| under).map(|verb| (thing, verb)));
            }
            for forms in &job.forms {
                if forms.say.against.iter().any(|section| deep(section.value.0)) {
                    below.insert((forms.id, "form"));
                }
            }
            for (thing, verb) in below {
                let reason = Reason::Bared { strip: strip.id, thing };
                self.link(nodes, out, handled.doers(thing, verb), reason, strip.id)?;
            }
        }
        Ok(())
    }

    /// The old face is worked on before forms stand in front of it; where the section is wider than high, one reaches over them.
    fn behind_forms(&mut self, job: &Job, nodes: &Nodes, handled: &Handled, buried: &Buried) -> Result<(), BlockId> {
        let mut formed: Vec<(BlockId, BlockId)> = Vec::new();
        for forms in job.forms.iter().filter(|forms| !handled.doers(forms.id, "form").is_empty()) {
            let narrow = forms.say.against.iter().filter(|section| is_narrow(job, section.value.0));
            formed.extend(narrow.map(|section| (section.value.0, forms.id)));
        }
        formed.sort_unstable();
        let mut hidden: BTreeSet<(BlockId, BlockId, &str)> = BTreeSet::new();
        for &(thing, section) in &buried.lies {
            let verb = match job.kind(thing) {
                Some(KindId::Holes) if in_old_face(job, thing) => "drill",
                // A face that is only cleaned and wetted can be within the forms.
                Some(KindId::Prepare) if job.prepare(thing).is_some_and(|face| face.say.roughen.is_some()) => "prepare",
                Some(KindId::Crack) => "inject",
                Some(KindId::Spall) => "patch",
                _ => continue,
            };
            let from = formed.partition_point(|(of, _)| *of < section);
            let forms = formed[from..].iter().take_while(|(of, _)| *of == section);
            hidden.extend(forms.map(|(_, forms)| (thing, *forms, verb)));
        }
        for (thing, forms, verb) in hidden {
            let reason = Reason::Hides { thing, cover: forms };
            self.link(nodes, handled.doers(thing, verb), handled.doers(forms, "form"), reason, thing)?;
        }
        Ok(())
    }
}

/// Whether a section is higher than wide: over others one can reach.
pub(super) fn is_narrow(job: &Job, section: BlockId) -> bool {
    job.section(section).is_some_and(|section| {
        let (bottom, top) = levels(&section.say);
        section.say.outs(Length::max).is_some_and(|(near, far)| far - near <= top - bottom)
    })
}

/// Whether a question was answered by the day the job starts: it holds nothing up. One that is answered later is waited for.
pub(super) fn is_settled(job: &Job, ask: &Thing<Ask>) -> bool {
    let start = job.head.as_ref().and_then(|head| head.say.start);
    ask.say.answered.as_ref().is_some_and(|answer| start.is_none_or(|start| answer.on <= start))
}

/// The sections a thing lies in or behind.
fn sections_of(buried: &Buried, thing: BlockId) -> impl Iterator<Item = BlockId> {
    let from = buried.lies.partition_point(|(of, _)| *of < thing);
    buried.lies[from..].iter().take_while(move |(of, _)| *of == thing).map(|(_, section)| *section)
}

/// Whether holes go into an upright face of what stands there.
fn in_old_face(job: &Job, holes: BlockId) -> bool {
    let Some(holes) = job.holes_of(holes) else { return false };
    let into = holes.say.into.value;
    !into.top && matches!(job.kind(into.block), Some(KindId::Wall | KindId::Line | KindId::Footing))
}

/// What is done to a thing where it lies, apart from setting dowels, which waits for the drilling.
fn work_on(job: &Job, thing: BlockId) -> Option<&'static str> {
    match job.kind(thing)? {
        KindId::Holes => Some("drill"),
        KindId::Prepare => Some("prepare"),
        KindId::Crack => Some("inject"),
        KindId::Spall => Some("patch"),
        KindId::Bars => Some("place"),
        _ => None,
    }
}

/// Each thing seen and the look that sees it.
fn sights(job: &Job, nodes: &Nodes) -> Vec<(BlockId, Doer)> {
    let mut sights = Vec::new();
    for (node, id) in nodes.all() {
        let sees = job.look(id).and_then(|look| look.say.sees.as_ref());
        sights.extend(sees.into_iter().flatten().map(|name| (name.value.0, Doer { node, at: name.span })));
    }
    sights
}

/// Each section and a pour that fills it, sorted.
pub(super) fn pours_of_sections(job: &Job) -> Vec<(BlockId, BlockId)> {
    let fills = job.pours.iter().flat_map(|pour| pour.say.fill.iter().map(|section| (section.value.0, pour.id)));
    let mut pours: Vec<_> = fills.collect();
    pours.sort_unstable();
    pours.dedup();
    pours
}

fn filled(pours: &[(BlockId, BlockId)], section: BlockId) -> impl Iterator<Item = BlockId> {
    let from = pours.partition_point(|(filled, _)| *filled < section);
    pours[from..].iter().take_while(move |(filled, _)| *filled == section).map(|(_, pour)| *pour)
}
