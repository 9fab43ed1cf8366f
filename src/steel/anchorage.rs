//! What published formulas say of bars set in drilled holes: bond, concrete breakout, yield, development length. Figures for
//! an engineer's eyes: nominal, without load factors, and no verdict on anything.
//!
//! The formulas are those of [`crate::standards::anchors`]; all holes of one leg count as one group that carries one tension
//! without eccentricity, in cracked concrete of normal weight. What they do not cover is said, never guessed.

use std::collections::BTreeMap;

use super::{
    bars::{BarsMade, Place},
    lap_rule::yields_at,
    shape::Steel,
};
use crate::{
    concrete::{LegAt, Standing},
    holes::{Around, Axis, Drilled, Hole, HolesDone, Level, Set},
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger, Origin, Usual},
    schema::{Bars, BlockId, KindId, Stuff, Surroundings},
    source::Span,
    standards::{
        ConcreteWeight, PRACTICE, Unanswered, Worked,
        anchors::{
            self, COLDEST, Conditions, Drilling, Edges, LEAST_AGE, Service, Unmet, bond_of_group, bond_of_one,
            breakout, breakout_of_one, default_bond, embedment_to_yield,
        },
        development::{self, Coating, Method, Straight},
    },
    units::{Force, Length, Stress, System},
};

/// Holes of one leg beyond this number are not reckoned as a group.
const GROUP_AT_MOST: u64 = 2000;

/// Why some figure is missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Uncovered {
    /// What the holes are drilled into is this, and no concrete.
    Material(&'static str),
    /// The default bond stresses do not hold.
    Bond(Unmet),
    /// A rule does not answer.
    Rule(Unanswered),
    /// Holes in a top or a floor are not reckoned as a group.
    Top,
    /// Holes that lean are not reckoned as a group.
    Leans,
    /// There are too many in one leg.
    Many(u64),
}

/// Which figure is the least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Governs {
    /// The bond of the resin.
    Bond,
    /// The breakout of the concrete.
    Breakout,
    /// The yield of the bars.
    Yield,
}

/// The figures of the bars in one set of holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Anchored {
    /// The holes.
    pub holes: BlockId,
    /// As they were really drilled, where that is not as planned; else as planned.
    pub as_drilled: bool,
    /// What the worked numbers of these figures begin with.
    pub name: String,
    /// How deep they are; as drilled the shallowest counts for all.
    pub deep: Length,
    /// The bars in them.
    pub bars: BlockId,
    /// Their size.
    pub size: BlockId,
    /// How many.
    pub count: u64,
    /// Least distance of two of them, centre to centre, where there are two on a leg.
    pub spacing: Option<Length>,
    /// Least distance of one to an edge, where one is near.
    pub edge: Option<Length>,
    /// The strength that was taken for the concrete.
    pub strength: Option<Stress>,
    /// Nobody said it.
    pub usual_strength: bool,
    /// Where they serve, which decides the bond stress.
    pub service: Service,
    /// The bond of one, far from edges and others.
    pub bond_of_one: Option<Force>,
    /// The bond of all as they stand.
    pub bond: Option<Force>,
    /// The breakout of all as they stand.
    pub breakout: Option<Force>,
    /// What all bars yield at.
    pub yields: Force,
    /// The least of the three, if all are known.
    pub least: Option<(Governs, Force)>,
    /// The embedment at which the bond alone would make the bar yield.
    pub to_yield: Option<Length>,
    /// The development length of a bar cast into such concrete.
    pub development: Option<Length>,
    /// The embedment as a part of it.
    pub developed: Option<f64>,
    /// What is not covered.
    pub uncovered: Vec<Uncovered>,
}

/// A strength of concrete, and where it comes from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strength {
    pub value: Stress,
    pub input: Input,
    pub said: bool,
}

/// The strength of concrete when nothing is said: 2500 psi or 20 MPa, common practice, no source.
#[must_use]
pub fn usual_strength(system: System) -> Stress {
    match system {
        System::Feet => Stress::from_psi(2500.0),
        System::Metric => Stress::from_mpa(20.0),
    }
}

fn usual(clause: &'static str, system: System) -> Strength {
    let value = usual_strength(system);
    let usual = Usual { clause, value: Figure::Stress(value), source: PRACTICE };
    Strength { value, input: Input::usual("strength", usual), said: false }
}

/// The strength of the old or new concrete of a block.
pub(super) fn strength(job: &Job, block: BlockId) -> Result<Strength, Uncovered> {
    let system = job.system();
    if let Some(section) = job.section(block) {
        let pour = job.pours.iter().find(|pour| pour.say.fill.iter().any(|fill| fill.value.0 == section.id));
        return Ok(pour.map_or_else(|| usual("mix.strength", system), |pour| of_pour(job, pour.id)));
    }
    let wall = job.footing(block).map_or(block, |footing| footing.say.under.0);
    let Some(wall) = job.wall(wall) else { return Ok(usual("wall.of strength", system)) };
    let Some(made) = &wall.say.of else { return Ok(usual("wall.of strength", system)) };
    match (made.of, made.hollow.is_some()) {
        (Stuff::Concrete, false) => {}
        (Stuff::Concrete, true) => return Err(Uncovered::Material("hollow concrete")),
        (stuff, _) => return Err(Uncovered::Material(stuff.word())),
    }
    Ok(match made.strength {
        Some(said) => {
            let input = Input::said("strength", wall.said(KindId::Wall, "of"), Figure::Stress(said.0));
            Strength { value: said.0, input, said: true }
        }
        None => usual("wall.of strength", system),
    })
}

/// The strength of the concrete of a pour.
pub(super) fn of_pour(job: &Job, pour: BlockId) -> Strength {
    let mix = job.pour(pour).and_then(|pour| job.mix(pour.say.mix.0));
    match mix.and_then(|mix| Some((mix, mix.say.strength?))) {
        Some((mix, said)) => {
            let input = Input::said("strength", mix.said(KindId::Mix, "strength"), Figure::Stress(said.0));
            Strength { value: said.0, input, said: true }
        }
        None => usual("mix.strength", job.system()),
    }
}

/// Enters a worked number; letters that are numbers of their own, or were typed, lead to them.
pub(super) fn put<T>(ledger: &mut Ledger, name: String, value: Figure, worked: &Worked<T>, known: &[Input]) {
    ledger.enter(|| {
        let mut inputs: Vec<Input> = worked
            .inputs()
            .map(|input| known.iter().find(|known| known.symbol == input.symbol).copied().unwrap_or(input))
            .map(small)
            .collect();
        // What a letter was made of, where the formula has another letter for it.
        inputs.extend(known.iter().filter(|known| known.symbol == "strength"));
        Entry { name, value, formula: worked.formula, source: worked.source, inputs }
    });
}

/// Areas of steel are told in small units.
fn small(input: Input) -> Input {
    match (input.symbol, input.from) {
        ("As" | "Ase" | "Avf", Origin::Given(Figure::Area(area), why)) => {
            Input::given(input.symbol, Figure::SmallArea(area), why)
        }
        _ => input,
    }
}

/// The bar's yield as it is said, or as is usual.
pub(super) fn yield_input(bars: &Thing<Bars>, steel: &Steel) -> Input {
    let value = Figure::Stress(yields_at(&bars.say, steel.hooks));
    match bars.say.yields {
        Some(_) => Input::said("fy", bars.said(KindId::Bars, "yield"), value),
        None => {
            let source = "Grade 60, or B500 for sizes whose hooks follow EN: common practice, no source";
            Input::usual("fy", Usual { clause: "bars.yield", value, source })
        }
    }
}

/// The figures of all bars that are set in holes, entered in the ledger: as planned, and once more as drilled where records say
/// otherwise.
pub fn anchored(
    job: &Job,
    standing: &Standing,
    sets: &BTreeMap<BlockId, Set>,
    around: &BTreeMap<BlockId, Around>,
    done: &HolesDone,
    all: &[BarsMade],
    ledger: &mut Ledger,
) -> Vec<Anchored> {
    let mut out: Vec<Anchored> = Vec::new();
    for made in all {
        let holes = made.groups.iter().find_map(|group| match group.place {
            Place::Holes(holes) => Some(holes),
            Place::Long { .. } | Place::Side(_) => None,
        });
        let Some(set) = holes.and_then(|holes| sets.get(&holes)).filter(|set| set.count > 0) else { continue };
        let Some(bars) = job.bars_of(made.id) else { continue };
        if out.iter().any(|known| known.holes == set.id) {
            continue;
        }
        let edge = around.get(&set.id).and_then(|around| around.edge).map(|edge| edge.apart);
        let (steel, name) = (made.steel, job.name(set.id));
        let planned = Group::planned(set, edge, name);
        out.push(Work { job, standing, set, bars, steel, group: &planned, ledger }.figures());
        if let Some(drilled) = Group::as_drilled(set, done, edge, name) {
            drilled.enter(job, set, done, ledger);
            out.push(Work { job, standing, set, bars, steel, group: &drilled, ledger }.figures());
        }
    }
    out
}

/// Places on a leg: station and level.
type Places = Vec<(Length, Length)>;

/// Holes of one block, as planned or as drilled.
struct Group {
    as_drilled: bool,
    name: String,
    count: u64,
    /// Of the shallowest.
    deep: Length,
    edge: Option<Length>,
    /// The places by leg, not more than are reckoned as a group.
    legs: BTreeMap<LegAt, Places>,
    /// How many there are on the leg that has most.
    most: u64,
    /// The lowest of those in a face.
    lowest: Option<Length>,
}

impl Group {
    fn planned(set: &Set, edge: Option<Length>, name: &str) -> Group {
        let (mut legs, mut sums): (BTreeMap<LegAt, Places>, BTreeMap<LegAt, u64>) = Default::default();
        for row in &set.rows {
            let (Level::Height(across) | Level::Offset(across)) = row.level;
            let places = legs.entry(row.on).or_default();
            let left = GROUP_AT_MOST.saturating_sub(places.len() as u64);
            places.extend((0..row.places.count().min(left)).map(|at| (row.places.at(at), across)));
            *sums.entry(row.on).or_default() += row.places.count();
        }
        let lowest = set.rows.iter().filter_map(|row| height(row.level)).min();
        let most = sums.into_values().max().unwrap_or(0);
        Group { as_drilled: false, name: name.to_owned(), count: set.count, deep: set.deep, edge, legs, most, lowest }
    }

    /// Those that are there, where they are; nothing where all are as planned, or none is left.
    fn as_drilled(set: &Set, done: &HolesDone, edge: Option<Length>, name: &str) -> Option<Group> {
        let (others, other) = altered(set, done)?;
        let there: Vec<Hole> = set
            .each()
            .filter_map(|hole| match done.find(set.id, hole.number) {
                Some(one) => one.now,
                None => Some(hole),
            })
            .collect();
        let mut legs: BTreeMap<LegAt, Places> = BTreeMap::new();
        for hole in &there {
            let (Level::Height(across) | Level::Offset(across)) = hole.level;
            legs.entry(hole.on).or_default().push((hole.station, across));
        }
        let most = legs.values().map(Vec::len).max().unwrap_or(0) as u64;
        let edges = others.iter().filter_map(|one| one.around.as_ref()?.edge.map(|edge| edge.apart));
        Some(Group {
            as_drilled: true,
            name: format!("{name}.as-drilled"),
            count: there.len() as u64,
            deep: others.iter().map(|one| one.deep).chain(other.then_some(set.deep)).min()?,
            edge: edges.chain(edge).min(),
            legs,
            most,
            lowest: there.iter().filter_map(|hole| height(hole.level)).min(),
        })
    }

    /// Enters `HOLES.as-drilled.count` and `.depth`.
    fn enter(&self, job: &Job, set: &Set, done: &HolesDone, ledger: &mut Ledger) {
        let (Some((others, other)), Some(holes)) = (altered(set, done), job.holes_of(set.id)) else { return };
        let empty = set.count - self.count;
        let all = ledger.number("all", &format!("{}.count", holes.name));
        let why = "holes that are left empty";
        let inputs = all.into_iter().chain([Input::given("empty", Figure::Count(empty), why)]).collect();
        let (name, value) = (format!("{}.count", self.name), Figure::Count(self.count));
        ledger.enter(|| Entry { name, value, formula: "all - empty", source: "", inputs });
        let planned = Input::said("part", holes.said(KindId::Holes, "bore"), Figure::Length(set.deep));
        let depths = others.iter().map(|one| Input::said("part", one.fact.on.at, Figure::Length(one.deep)));
        let inputs = depths.chain(other.then_some(planned)).collect();
        let (name, value) = (format!("{}.depth", self.name), Figure::Length(self.deep));
        ledger.enter(|| Entry { name, value, formula: "the least of the parts", source: "", inputs });
    }
}

/// The holes of a set that are there and not as planned, and whether there are others; nothing where none is altered.
fn altered<'d>(set: &Set, done: &'d HolesDone) -> Option<(Vec<&'d Drilled>, bool)> {
    let mine = || done.drilled.iter().filter(|one| one.set == set.id);
    let all = mine().count() as u64;
    (all > 0).then(|| (mine().filter(|one| one.now.is_some()).collect(), all < set.count))
}

fn height(level: Level) -> Option<Length> {
    match level {
        Level::Height(level) => Some(level),
        Level::Offset(_) => None,
    }
}

struct Work<'w> {
    job: &'w Job,
    standing: &'w Standing,
    set: &'w Set,
    bars: &'w Thing<Bars>,
    steel: Steel,
    group: &'w Group,
    ledger: &'w mut Ledger,
}

impl Work<'_> {
    fn figures(mut self) -> Anchored {
        let system = self.job.system();
        let fy = yields_at(&self.bars.say, self.steel.hooks);
        let group = self.group;
        let many = group.most > GROUP_AT_MOST;
        let spacing = group.legs.values().filter_map(|places| least_apart(places)).min().filter(|_| !many);
        let service = self.service();
        let mut out = Anchored {
            holes: self.set.id,
            as_drilled: group.as_drilled,
            name: group.name.clone(),
            deep: group.deep,
            bars: self.bars.id,
            size: self.steel.id,
            count: group.count,
            spacing,
            edge: group.edge,
            strength: None,
            usual_strength: false,
            service,
            bond_of_one: None,
            bond: None,
            breakout: None,
            yields: Force::from_newtons((fy * self.steel.area).newtons() * group.count as f64),
            least: None,
            to_yield: None,
            development: None,
            developed: None,
            uncovered: Vec::new(),
        };
        self.places(&out);
        self.yields(&out);
        let concrete = match strength(self.job, self.set.into.block) {
            Ok(concrete) => concrete,
            Err(uncovered) => {
                out.uncovered.push(uncovered);
                return out;
            }
        };
        out.strength = Some(concrete.value);
        out.usual_strength = !concrete.said;
        self.enter("concrete", Figure::Stress(concrete.value), "strength", "", vec![concrete.input]);
        self.development(&mut out, fy, concrete.value, system);
        self.bond_and_breakout(&mut out, fy, concrete.value, system);
        if let (Some(bond), Some(breakout)) = (out.bond, out.breakout) {
            let each = [(Governs::Bond, bond), (Governs::Breakout, breakout), (Governs::Yield, out.yields)];
            let least = each.into_iter().reduce(|one, other| if other.1 < one.1 { other } else { one });
            out.least = least;
            let inputs = ["bond", "breakout", "bars-yield"];
            let inputs = inputs.iter().filter_map(|of| self.ledger.number("part", &self.of(of))).collect();
            if let Some((_, force)) = least {
                self.enter("least", Figure::Force(force), "the least of the parts", "", inputs);
            }
        }
        out
    }

    fn of(&self, quantity: &str) -> String {
        format!("{}.{quantity}", self.group.name)
    }

    fn enter(
        &mut self,
        quantity: &str,
        value: Figure,
        formula: &'static str,
        source: &'static str,
        inputs: Vec<Input>,
    ) {
        let name = self.of(quantity);
        self.ledger.enter(|| Entry { name, value, formula, source, inputs });
    }

    /// Outdoors and below the ground outside they may be saturated; indoors only what is known to be dry counts as such.
    fn service(&self) -> Service {
        let indoors = self.job.head.as_ref().and_then(|head| head.say.place) == Some(Surroundings::Indoors);
        let outside =
            self.job.grounds.iter().filter_map(|ground| ground.say.outside.as_ref()).map(|ground| ground.level);
        match (self.group.lowest, outside.max()) {
            (Some(lowest), Some(ground)) if indoors && lowest > ground => Service::Indoor,
            _ => Service::Outdoor,
        }
    }

    fn diameter(&self) -> Input {
        let at = self.job.steel(self.steel.id).map(|steel| steel.said(KindId::Steel, "diameter"));
        let value = Figure::Length(self.steel.diameter);
        at.map_or(Input::given("da", value, "nominal diameter"), |at| Input::said("da", at, value))
    }

    fn area(&self, symbol: &'static str) -> Input {
        let at = self.job.steel(self.steel.id).map(|steel| steel.said(KindId::Steel, "area"));
        let value = Figure::SmallArea(self.steel.area);
        at.map_or(Input::given(symbol, value, "nominal area"), |at| Input::said(symbol, at, value))
    }

    fn places(&mut self, out: &Anchored) {
        let rows = vec![Input::typed("rows", self.said("rows")), Input::typed("space", self.said("space"))];
        if let Some(spacing) = out.spacing {
            let least = Input::given("least", Figure::Length(spacing), "of all that stand on one leg");
            let inputs = [least].into_iter().chain(rows.clone()).collect();
            self.enter("spacing", Figure::Length(spacing), "least", "plane geometry", inputs);
        }
        if let Some(edge) = out.edge {
            let least = Input::given("least", Figure::Length(edge), "from the axis of a hole to an edge, in space");
            let inputs = [least].into_iter().chain(rows).collect();
            self.enter("edge", Figure::Length(edge), "least", "plane geometry", inputs);
        }
    }

    fn said(&self, clause: &str) -> Span {
        self.job.holes_of(self.set.id).map_or(self.bars.at, |holes| holes.said(KindId::Holes, clause))
    }

    fn yields(&mut self, out: &Anchored) {
        let of = if self.group.as_drilled { &self.group.name } else { &self.bars.name };
        let count = self.ledger.number("bars", &format!("{of}.count"));
        let fy = yield_input(self.bars, &self.steel);
        let inputs = count.into_iter().chain([self.area("As"), fy]).collect();
        self.enter("bars-yield", Figure::Force(out.yields), "bars * As * fy", "", inputs);
    }

    /// The development length of a bar cast into concrete like this, with the holes' own spacing and edge for cover.
    fn development(&mut self, out: &mut Anchored, fy: Stress, fc: Stress, system: System) {
        let diameter = self.steel.diameter;
        let far = Length::METRE;
        let bar = Straight {
            system,
            diameter,
            fy,
            fc,
            weight: ConcreteWeight::Normal,
            coating: Coating::Bare,
            cover: (out.edge.unwrap_or(far) - diameter / 2).max(Length::ZERO),
            clear_spacing: (out.spacing.unwrap_or(far) - diameter).max(Length::ZERO),
            ties: false,
            ktr: Length::ZERO,
            fresh_below: None,
        };
        let formula = match development::formula_length(&bar, Method::Simplified) {
            Ok(worked) => worked,
            Err(unanswered) => return out.uncovered.push(Uncovered::Rule(unanswered)),
        };
        let strength = self.ledger.number("strength", &self.of("concrete"));
        let known: Vec<Input> = [yield_input(self.bars, &self.steel)].into_iter().chain(strength).collect();
        let value = Figure::Length(formula.value);
        put(self.ledger, self.of("development-formula"), value, &formula, &known);
        let length = formula.value.max(development::least_length(system));
        out.development = Some(length);
        let least = Figure::Length(development::least_length(system));
        let least = Input::given("least", least, "the least development length, ACI 318-19 25.4.2.1");
        let formula = self.ledger.number("formula", &self.of("development-formula"));
        let parts = formula.into_iter().chain([least]).collect();
        self.enter("development", Figure::Length(length), "greater of formula and least", "", parts);
        let share = self.group.deep.metres() / length.metres();
        out.developed = Some(share);
        let inputs = ["depth", "development"].into_iter().filter_map(|of| self.ledger.number(of, &self.of(of)));
        let inputs = inputs.collect();
        self.enter("developed", Figure::Number(share), "depth / development", "", inputs);
    }

    fn bond_and_breakout(&mut self, out: &mut Anchored, fy: Stress, fc: Stress, system: System) {
        let (diameter, deep) = (self.steel.diameter, self.group.deep);
        let bond = default_bond(out.service, system);
        let unmet = anchors::unmet(&self.conditions(out.service, fc), system);
        out.uncovered.extend(unmet.iter().copied().map(Uncovered::Bond));
        let depth = self.ledger.number("hef", &self.of("depth"));
        let strength = self.ledger.number("strength", &self.of("concrete"));
        let diameter_said = self.diameter();
        let known: Vec<Input> = depth.into_iter().chain([diameter_said]).collect();
        let mut bonded = unmet.is_empty();
        if bonded {
            match bond_of_one(diameter, deep, &bond, true, ConcreteWeight::Normal) {
                Ok(worked) => {
                    out.bond_of_one = Some(worked.value);
                    put(self.ledger, self.of("bond-of-one"), Figure::Force(worked.value), &worked, &known);
                }
                Err(unanswered) => {
                    bonded = false;
                    out.uncovered.push(Uncovered::Rule(unanswered));
                }
            }
            if let Ok(worked) = embedment_to_yield(self.steel.area, fy, diameter, bond.cracked) {
                out.to_yield = Some(worked.value);
                let known = [self.area("As"), yield_input(self.bars, &self.steel), diameter_said];
                put(self.ledger, self.of("embedment-to-yield"), Figure::Length(worked.value), &worked, &known);
            }
        }
        if let Ok(worked) = breakout_of_one(deep, fc, ConcreteWeight::Normal, system) {
            let known: Vec<Input> = known.iter().copied().chain(strength).collect();
            put(self.ledger, self.of("breakout-of-one"), Figure::Force(worked.value), &worked, &known);
        }
        if let Axis::Down(_) = self.set.axis {
            return out.uncovered.push(Uncovered::Top);
        }
        if self.set.tilt.is_some() {
            return out.uncovered.push(Uncovered::Leans);
        }
        let (most, legs) = (self.group.most, &self.group.legs);
        if most > GROUP_AT_MOST {
            return out.uncovered.push(Uncovered::Many(most));
        }
        let mut sums = [Some(Force::ZERO), Some(Force::ZERO)];
        let alone = legs.len() == 1;
        let mut parts: [Vec<String>; 2] = [Vec::new(), Vec::new()];
        for (on, places) in legs {
            let group = anchors::Group {
                system,
                places,
                edges: self.edges(*on),
                diameter,
                embedment: deep,
                fc,
                weight: ConcreteWeight::Normal,
                cracked: true,
                eccentricity: Length::ZERO,
            };
            let found = [bonded.then(|| bond_of_group(&group, &bond)), Some(breakout(&group))];
            let words = [("bond", "Nba", "bond-of-one"), ("breakout", "Nb", "breakout-of-one")];
            for (at, (found, (quantity, symbol, one))) in found.into_iter().zip(words).enumerate() {
                let Some(found) = found else {
                    sums[at] = None;
                    continue;
                };
                match found {
                    Ok(worked) => {
                        sums[at] = sums[at].map(|sum| sum + worked.value);
                        let leg = self.standing.leg_name(*on);
                        let name = if alone { self.of(quantity) } else { self.of(&format!("{quantity}.{leg}")) };
                        let known: Vec<Input> = self.ledger.number(symbol, &self.of(one)).into_iter().collect();
                        put(self.ledger, name.clone(), Figure::Force(worked.value), &worked, &known);
                        parts[at].push(name);
                    }
                    Err(unanswered) => {
                        sums[at] = None;
                        let uncovered = Uncovered::Rule(unanswered);
                        if !out.uncovered.contains(&uncovered) {
                            out.uncovered.push(uncovered);
                        }
                    }
                }
            }
        }
        [out.bond, out.breakout] = sums;
        if !alone {
            for ((sum, parts), quantity) in sums.into_iter().zip(parts).zip(["bond", "breakout"]) {
                let Some(sum) = sum else { continue };
                let inputs = parts.iter().filter_map(|name| self.ledger.number("part", name)).collect();
                self.enter(quantity, Figure::Force(sum), "sum of the parts", "", inputs);
            }
        }
    }

    /// What is known of the conditions of the default bond stresses; what nobody can know from the file, the papers ask.
    fn conditions(&self, service: Service, fc: Stress) -> Conditions {
        Conditions {
            service,
            qualified: true,
            drilling: Drilling::Hammer,
            dry: true,
            fc,
            age: LEAST_AGE,
            temperature: self.job.air().map_or(COLDEST, |air| air.from.value),
        }
    }

    /// Where the concrete of a leg ends, in its face: at ends and outside corners, at its top, and at its bottom where no
    /// footing goes on.
    fn edges(&self, on: LegAt) -> Edges {
        let Some(chain) = self.standing.chain(on) else { return Edges::NONE };
        let ends = |turn: Option<f64>| turn.is_none_or(|turn| turn > 0.5);
        let leg = usize::from(on.leg);
        let heights = self.standing.heights(on);
        let footed = self.job.footings.iter().any(|footing| footing.say.under.0 == chain.wall);
        Edges {
            left: ends(chain.run.turn_before(leg)).then_some(Length::ZERO),
            right: ends(chain.run.turn_after(leg)).then(|| chain.run.length(leg)),
            bottom: heights.map(|(bottom, _)| bottom).filter(|_| !footed),
            top: heights.map(|(_, top)| top),
        }
    }
}

/// The least distance of two places; none where there are not two.
fn least_apart(places: &[(Length, Length)]) -> Option<Length> {
    let mut sorted = places.to_vec();
    sorted.sort_unstable();
    let mut least = f64::INFINITY;
    for (at, (x, y)) in sorted.iter().enumerate() {
        for (u, v) in sorted.iter().skip(at + 1) {
            let (dx, dy) = ((*u - *x).nm() as f64, (*v - *y).nm() as f64);
            if dx >= least {
                break;
            }
            least = least.min(dx.hypot(dy));
        }
    }
    least.is_finite().then(|| Length::round_nm(least))
}
