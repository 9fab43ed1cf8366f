//! Shear friction over the joints between new pours and the old walls they are cast against: ACI 318-19 22.9. Figures for an
//! engineer's eyes: nominal, without load factors, and no verdict on anything.
//!
//! The rule wants bars that can yield on both sides of the joint (22.9.5.1, from memory). A short bar set in resin often
//! cannot: a second figure takes no more force than its anchors hold.

use std::collections::BTreeMap;

use super::{
    anchorage::{Anchored, Uncovered, of_pour, put, strength, yield_input},
    bars::{BarsMade, made},
    lap_rule::yields_at,
    tying::Filled,
};
use crate::{
    concrete::{Class, Sections, Solids, Standing},
    geometry::Patch,
    holes::{Axis, HolesDone, Set},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, KindId},
    standards::{
        ConcreteWeight,
        friction::{Joint, Surface, greatest_yield},
    },
    units::{Area, Force, Stress},
};

/// How far out of its mouth a dowel is looked at to see which pour it goes into: a millimetre, in nanometres.
const OUT: f64 = 1e6;

/// The joint of one pour and one old wall.
#[derive(Debug, Clone, PartialEq)]
pub struct JointShear {
    /// The pour.
    pub pour: BlockId,
    /// The wall, with its footing.
    pub wall: BlockId,
    /// Dowels through it.
    pub dowels: u64,
    /// Their area.
    pub steel: Area,
    /// The area of contact.
    pub contact: Area,
    /// What the anchors hold in the old concrete, if that is known for all of them.
    pub held: Option<Force>,
    /// Dowels go through it that are not square to it: no figures of friction then.
    pub leaning: bool,
    /// What the wall is made of, where it is no concrete: nothing more is known then.
    pub material: Option<&'static str>,
    /// The figures for each surface.
    pub surfaces: Vec<Friction>,
}

/// The figures of one surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// The surface.
    pub surface: Surface,
    /// Its coefficient.
    pub mu: f64,
    /// With bars that can yield on both sides.
    pub nominal: Force,
    /// The most the concrete of the joint takes.
    pub limit: Force,
    /// With no more force in the bars than their anchors hold, if that is known.
    pub held: Option<Force>,
}

/// The word a surface has in the names of numbers.
#[must_use]
pub fn surface_word(surface: Surface) -> &'static str {
    match surface {
        Surface::Monolithic => "one-pour",
        Surface::Roughened => "rough",
        Surface::Plain => "plain",
        Surface::Steel => "steel",
    }
}

/// The joints of all pours with old walls, entered in the ledger. The file does not say how a face is prepared: both
/// surfaces of hardened concrete are worked out.
#[expect(clippy::too_many_arguments, reason = "a joint hangs on all that stands before it")]
pub fn joints(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    solids: &Solids,
    sets: &BTreeMap<BlockId, Set>,
    done: &HolesDone,
    all: &[BarsMade],
    anchored: &[Anchored],
    ledger: &mut Ledger,
) -> Vec<JointShear> {
    // What was drilled counts, where it is not as planned.
    let anchored: BTreeMap<BlockId, &Anchored> = anchored.iter().map(|anchored| (anchored.holes, anchored)).collect();
    let mut contacts: BTreeMap<(usize, BlockId), f64> = BTreeMap::new();
    for (at, pour) in solids.pours.iter().enumerate() {
        for skin in pour.skins.iter().filter(|skin| skin.class == Class::Old) {
            if let Patch::Upright { from, to, bottom, top } = &skin.patch
                && job.kind(skin.wall) == Some(KindId::Wall)
            {
                *contacts.entry((at, skin.wall)).or_default() += from.distance(*to) * (*top - *bottom).nm() as f64;
            }
        }
    }
    let filled = Filled::new(job, sections, solids);
    let mut crossing: BTreeMap<(BlockId, BlockId), BTreeMap<BlockId, u64>> = BTreeMap::new();
    for set in anchored.keys().filter_map(|holes| sets.get(holes)) {
        if job.kind(set.into.block) != Some(KindId::Wall) || set.axis != Axis::Face {
            continue;
        }
        for planned in set.each() {
            let Some(hole) = done.find(set.id, planned.number).map_or(Some(planned), |one| one.now) else { continue };
            let Some((mouth, way)) = set.aim(&hole, standing) else { continue };
            let [x, y, z] = mouth;
            let out = [x - way[0] * OUT, y - way[1] * OUT, z - way[2] * OUT];
            if let Some(pour) = filled.pour(set.into.block, out) {
                *crossing.entry((pour, set.into.block)).or_default().entry(set.id).or_default() += 1;
            }
        }
    }
    let mut out = Vec::new();
    for ((at, wall), contact) in contacts {
        let Some(pour) = solids.pours.get(at).map(|pour| pour.pour) else { continue };
        let contact = Area::from_nm2(contact.round() as i128);
        let through = crossing.get(&(pour, wall)).cloned().unwrap_or_default();
        let name = format!("{}.joint.{}", job.name(pour), job.name(wall));
        let leaning = through.keys().any(|set| sets.get(set).is_some_and(|set| set.tilt.is_some()));
        out.extend(Work { job, all, anchored: &anchored, name, ledger }.joint(
            (pour, wall, leaning),
            contact,
            &through,
        ));
    }
    out
}

struct Work<'w> {
    job: &'w Job,
    all: &'w [BarsMade],
    anchored: &'w BTreeMap<BlockId, &'w Anchored>,
    name: String,
    ledger: &'w mut Ledger,
}

impl Work<'_> {
    fn enter(&mut self, of: &str, value: Figure, formula: &'static str, source: &'static str, inputs: Vec<Input>) {
        let name = format!("{}.{of}", self.name);
        self.ledger.enter(|| Entry { name, value, formula, source, inputs });
    }

    fn number(&self, symbol: &'static str, of: &str) -> Option<Input> {
        self.ledger.number(symbol, &format!("{}.{of}", self.name))
    }

    fn joint(
        &mut self,
        (pour, wall, leaning): (BlockId, BlockId, bool),
        contact: Area,
        through: &BTreeMap<BlockId, u64>,
    ) -> Option<JointShear> {
        let (job, system) = (self.job, self.job.system());
        let why = "faces of the new concrete against the old wall and its footing";
        let fill = job.pour(pour).map(|pour| Input::typed("fill", pour.said(KindId::Pour, "fill")));
        let inputs = [Input::given("faces", Figure::Area(contact), why)].into_iter().chain(fill).collect();
        self.enter("contact", Figure::Area(contact), "faces", "plane geometry", inputs);
        let mut steel = Area::ZERO;
        let mut held = Some(Force::ZERO);
        let mut weakest: Option<(Stress, Input)> = None;
        let (mut areas, mut holds, mut counts) = (Vec::new(), Vec::new(), Vec::new());
        for (set, count) in through {
            let anchored = self.anchored.get(set)?;
            let made = made(self.all, anchored.bars)?;
            let bars = job.bars_of(anchored.bars)?;
            let area = Area::from_nm2(made.steel.area.nm2() * i128::from(*count));
            steel += area;
            let name = job.name(*set);
            let at = job.steel(made.steel.id).map_or(bars.at, |steel| steel.said(KindId::Steel, "area"));
            let whole = Input::given("dowels", Figure::Count(*count), "of these holes, into this pour");
            counts.push(Input { symbol: "part", ..whole });
            let one = Input::said("As", at, Figure::SmallArea(made.steel.area));
            self.enter(&format!("steel.{name}"), Figure::SmallArea(area), "dowels * As", "", vec![whole, one]);
            areas.extend(self.number("part", &format!("steel.{name}")));
            held = held.zip(anchored.least).map(|(sum, (_, least))| {
                let share = *count as f64 / anchored.count.max(1) as f64;
                let force = least * share;
                let inputs = [self.ledger.number("least", &format!("{}.least", anchored.name)), Some(whole)];
                let all = self.ledger.number("all", &format!("{}.count", anchored.name));
                let inputs = inputs.into_iter().flatten().chain(all).collect();
                self.enter(&format!("held.{name}"), Figure::Force(force), "least * dowels / all", "", inputs);
                holds.extend(self.number("part", &format!("held.{name}")));
                sum + force
            });
            let input = yield_input(bars, &made.steel);
            let fy = yields_at(&bars.say, made.steel.hooks);
            if weakest.is_none_or(|(known, _)| fy < known) {
                weakest = Some((fy, input));
            }
        }
        let dowels = through.values().sum();
        if dowels > 0 {
            self.enter("dowels", Figure::Count(dowels), "sum of the parts", "", counts);
            self.enter("steel", Figure::SmallArea(steel), "sum of the parts", "", areas);
            if let Some(held) = held {
                self.enter("held", Figure::Force(held), "sum of the parts", "", holds);
            }
        }
        let mut out = JointShear {
            pour,
            wall,
            dowels,
            steel,
            contact,
            held: held.filter(|_| dowels > 0),
            leaning,
            material: None,
            surfaces: Vec::new(),
        };
        let old = match strength(job, wall) {
            Ok(old) => old,
            Err(Uncovered::Material(stuff)) => {
                out.material = Some(stuff);
                return Some(out);
            }
            Err(_) => return Some(out),
        };
        let Some((fy, said)) = weakest.filter(|_| !leaning) else { return Some(out) };
        let new = of_pour(job, pour);
        let weaker = if new.value < old.value { new } else { old };
        self.enter(
            "concrete",
            Figure::Stress(weaker.value),
            "strength, the weaker of old and new",
            "",
            vec![weaker.input],
        );
        for surface in [Surface::Roughened, Surface::Plain] {
            let joint = Joint {
                system,
                surface,
                weight: ConcreteWeight::Normal,
                contact,
                steel,
                fy,
                old: old.value,
                new: new.value,
                compression: Force::ZERO,
            };
            out.surfaces.extend(self.friction(&joint, said, out.held));
        }
        Some(out)
    }

    fn friction(&mut self, joint: &Joint, fy: Input, held: Option<Force>) -> Option<Friction> {
        let word = surface_word(joint.surface);
        let of = |what: &str| format!("{word}.{what}");
        let (friction, limit, nominal) = (joint.friction().ok()?, joint.limit().ok()?, joint.nominal().ok()?);
        let steel = self.number("Avf", "steel");
        let strength = self.number("f'c", "concrete");
        let contact = self.number("Ac", "contact");
        let mut known: Vec<Input> = steel.into_iter().chain(strength).chain(contact).collect();
        // Above the most that counts the rule's own figure stands.
        if friction.part("fy") == Some(Figure::Stress(joint.fy)) {
            known.push(fy);
        }
        let name = self.name.clone();
        let mu = joint.surface.coefficient();
        put(self.ledger, format!("{name}.{}", of("friction")), Figure::Force(friction.value), &friction, &known);
        put(self.ledger, format!("{name}.{}", of("limit")), Figure::Force(limit.value), &limit, &known);
        let parts: Vec<Input> =
            ["friction", "limit"].into_iter().filter_map(|part| self.number(part, &of(part))).collect();
        put(self.ledger, format!("{name}.{}", of("nominal")), Figure::Force(nominal.value), &nominal, &parts);
        let held = held.map(|held| {
            let pulled = held.min(joint.fy.min(greatest_yield(joint.system)) * joint.steel);
            let value = (pulled * (mu * joint.weight.lambda())).min(limit.value);
            let given = Input::given("mu", Figure::Number(mu), "coefficient of friction of the surface");
            let parts = [self.number("held", "held"), self.number("limit", &of("limit")), Some(given)];
            self.enter(
                &of("held"),
                Figure::Force(value),
                "lesser of mu * held and limit",
                "ACI 318-19 22.9.4.2, with no more force in the bars than their anchors hold (22.9.5.1, from memory)",
                parts.into_iter().flatten().collect(),
            );
            value
        });
        Some(Friction { surface: joint.surface, mu, nominal: nominal.value, limit: limit.value, held })
    }
}
