//! The worked numbers of bars.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Group, Place},
    hooks::Hook,
    lap_rule::{self, USUAL_LAP, USUAL_LAP_DIAMETERS, whole_steps},
    long::USUAL_ENDS,
    shape::Shape,
};
use crate::{
    concrete::Standing,
    geometry::{hook_addition, out_to_out_deduction},
    holes::{RowNames, SaidSpacing, enter_row},
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::{Bars, KindId, Steel},
    units::{Angle, Mass},
};

/// The names of the places of a block's groups, in their order: `rails.back.1`; the block's own for dowels, which are where
/// their holes are.
#[must_use]
pub fn place_names(job: &Job, standing: &Standing, made: &BarsMade) -> Vec<String> {
    let block = job.name(made.id);
    let mut names = RowNames::new(block);
    let name = |group: &Group| match &group.place {
        Place::Holes(_) => block.to_owned(),
        Place::Long { row, from, .. } => names.next(standing, from.0, *row),
        Place::Side(row) => names.next(standing, row.on, row.row),
    };
    made.groups.iter().map(name).collect()
}

/// The name of a number of one mark of a block: `rises.cut` where all its bars are alike, `rails.cut.2` where not.
#[must_use]
pub fn of_mark(job: &Job, made: &BarsMade, quantity: &str, mark: u32) -> String {
    let name = job.name(made.id);
    let alike = made.groups.iter().all(|group| group.mark == mark);
    if alike { format!("{name}.{quantity}") } else { format!("{name}.{quantity}.{mark}") }
}

/// Enters what the bars come to, once they have their marks: by block `BARS.count`, `BARS.cut`, `BARS.length`,
/// `BARS.weight`, `BARS.lap`; by mark `job.mark.N.…`; all together `job.bars.…`.
pub fn enter(job: &Job, standing: &Standing, all: &[BarsMade], ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for made in all {
        if let (Some(bars), Some(steel)) = (job.bars_of(made.id), job.steel(made.steel.id)) {
            Block { job, standing, bars, steel, made, ledger }.enter();
        }
    }
    marks(job, all, ledger);
    if all.is_empty() {
        return;
    }
    let sums = [
        ("count", Figure::Count(all.iter().map(|made| made.count).sum())),
        ("length", Figure::Cut(all.iter().map(|made| made.length).sum())),
        ("weight", Figure::Mass(all.iter().map(|made| made.weight).sum::<Mass>())),
    ];
    for (quantity, value) in sums {
        let names = all.iter().map(|made| format!("{}.{quantity}", job.name(made.id)));
        let inputs: Vec<Input> = names.filter_map(|name| ledger.number("part", &name)).collect();
        let name = format!("job.bars.{quantity}");
        ledger.enter(|| Entry { name, value, formula: "sum of the parts", source: "", inputs });
    }
}

/// The weight of a length of this size.
fn per_length(made: &BarsMade, steel: &Thing<Steel>) -> Input {
    Input::said("weight", steel.said(KindId::Steel, "weight"), Figure::MassPerMetre(made.steel.per_metre))
}

fn marks(job: &Job, all: &[BarsMade], ledger: &mut Ledger) {
    let mut by_mark: BTreeMap<u32, Vec<&BarsMade>> = BTreeMap::new();
    for made in all {
        let own: BTreeSet<u32> = made.groups.iter().map(|group| group.mark).collect();
        for mark in own {
            by_mark.entry(mark).or_default().push(made);
        }
    }
    for (mark, blocks) in by_mark {
        let Some(made) = blocks.first() else { continue };
        let Some(shape) = made.groups.iter().find(|group| group.mark == mark).map(|group| &group.shape) else {
            continue;
        };
        let groups = blocks.iter().flat_map(|made| &made.groups).filter(|group| group.mark == mark);
        let count: u64 = groups.map(|group| group.count).sum();
        let parts: Vec<Input> =
            blocks.iter().filter_map(|made| ledger.number("part", &of_mark(job, made, "count", mark))).collect();
        let count_id = ledger.enter(|| Entry {
            name: format!("job.mark.{mark}.count"),
            value: Figure::Count(count),
            formula: "sum of the parts",
            source: "",
            inputs: parts,
        });
        let cut = ledger.number("cut", &of_mark(job, made, "cut", mark));
        ledger.enter(|| Entry {
            name: format!("job.mark.{mark}.cut"),
            value: Figure::Cut(shape.cut),
            formula: "cut",
            source: "",
            inputs: cut.into_iter().collect(),
        });
        let Some(steel) = job.steel(made.steel.id) else { continue };
        let weight = made.steel.weight(shape.cut * i64::try_from(count).unwrap_or(i64::MAX));
        ledger.enter(|| Entry {
            name: format!("job.mark.{mark}.weight"),
            value: Figure::Mass(weight),
            formula: "pieces * cut * weight",
            source: "",
            inputs: Input::worked("pieces", count_id).into_iter().chain(cut).chain([per_length(made, steel)]).collect(),
        });
    }
}

/// One block of bars.
struct Block<'b> {
    job: &'b Job,
    standing: &'b Standing,
    bars: &'b Thing<Bars>,
    steel: &'b Thing<Steel>,
    made: &'b BarsMade,
    ledger: &'b mut Ledger,
}

impl Block<'_> {
    fn put(&mut self, name: String, value: Figure, formula: &'static str, source: &'static str, inputs: Vec<Input>) {
        self.ledger.enter(|| Entry { name, value, formula, source, inputs });
    }

    fn typed(&self, clause: &'static str) -> Input {
        Input::typed(clause, self.bars.said(KindId::Bars, clause))
    }

    fn enter(&mut self) {
        let made = self.made;
        let places = place_names(self.job, self.standing, made);
        let name = &self.bars.name;
        let mut counts = Vec::with_capacity(places.len());
        for (group, place) in made.groups.iter().zip(&places) {
            self.place(group, place);
            counts.extend(self.ledger.number("part", &format!("{place}.count")));
        }
        let is_dowels = made.groups.iter().any(|group| matches!(group.place, Place::Holes(_)));
        if !is_dowels {
            if counts.is_empty() {
                counts.push(self.typed("along"));
            }
            self.put(format!("{name}.count"), Figure::Count(made.count), "sum of the parts", "", counts);
        }
        self.lap();
        let marks: BTreeSet<u32> = made.groups.iter().map(|group| group.mark).collect();
        let alike = marks.len() < 2;
        let mut lengths = Vec::new();
        for mark in marks {
            let groups: Vec<(&Group, &String)> =
                made.groups.iter().zip(&places).filter(|(group, _)| group.mark == mark).collect();
            let Some((first, _)) = groups.first() else { continue };
            self.cut(first, of_mark(self.job, made, "cut", mark));
            if alike {
                continue;
            }
            let count: u64 = groups.iter().map(|(group, _)| group.count).sum();
            let parts =
                groups.iter().filter_map(|(_, place)| self.ledger.number("part", &format!("{place}.count"))).collect();
            self.put(format!("{name}.count.{mark}"), Figure::Count(count), "sum of the parts", "", parts);
            let length = first.shape.cut * i64::try_from(count).unwrap_or(i64::MAX);
            let inputs = self.pieces_and_cut(&format!(".{mark}"));
            self.put(format!("{name}.length.{mark}"), Figure::Cut(length), "pieces * cut", "", inputs);
            lengths.extend(self.ledger.number("part", &format!("{name}.length.{mark}")));
        }
        let (formula, inputs) =
            if alike { ("pieces * cut", self.pieces_and_cut("")) } else { ("sum of the parts", lengths) };
        self.put(format!("{name}.length"), Figure::Cut(made.length), formula, "", inputs);
        let length = self.ledger.number("length", &format!("{name}.length"));
        let inputs = length.into_iter().chain([per_length(made, self.steel)]).collect();
        self.put(format!("{name}.weight"), Figure::Mass(made.weight), "length * weight", "", inputs);
    }

    /// How long the laps are, and what their rule asks.
    fn lap(&mut self) {
        let Some(length) = self.made.laps_by else { return };
        let name = format!("{}.lap", self.bars.name);
        let (lap, worked) = lap_rule::lap(self.job, &self.bars.say, &self.made.steel, &self.made.round);
        let rule = format!("{name}.rule");
        let value = Figure::Length(length);
        let diameter =
            Input::said("d", self.steel.said(KindId::Steel, "diameter"), Figure::Length(self.made.steel.diameter));
        if let Some(worked) = &worked {
            self.put(
                rule.clone(),
                Figure::Length(worked.value),
                worked.formula,
                worked.source,
                worked.inputs().collect(),
            );
        }
        let asked = self.ledger.number("rule", &rule);
        match (&self.bars.say.lap, worked) {
            (Some(said), _) => {
                let inputs = [Input::said("lap", said.span, value)].into_iter().chain(asked).collect();
                self.put(name, value, "lap", "", inputs);
            }
            (None, Some(worked)) => {
                let (step, steps) = whole_steps(worked.value, lap.system);
                let whole = Figure::Whole {
                    count: u64::try_from(steps).unwrap_or(0),
                    of: worked.value.metres() / step.metres(),
                };
                let steps = Input::given("steps", whole, "the rule's length in steps, up to whole ones");
                let step = Input::given("step", Figure::Length(step), "what laps are rounded up to: our choice");
                self.put(name, value, "steps * step", "", [steps, step].into_iter().chain(asked).collect());
            }
            (None, None) => {
                let times = Input::given("times", Figure::Count(USUAL_LAP_DIAMETERS.unsigned_abs()), "common practice");
                self.put(name, value, "times * d", USUAL_LAP, vec![times, diameter]);
            }
        }
    }

    fn pieces_and_cut(&self, of: &str) -> Vec<Input> {
        let name = &self.bars.name;
        let pieces = self.ledger.number("pieces", &format!("{name}.count{of}"));
        let cut = self.ledger.number("cut", &format!("{name}.cut{of}"));
        pieces.into_iter().chain(cut).collect()
    }

    /// How many bars one place has.
    fn place(&mut self, group: &Group, place: &str) {
        let count = Figure::Count(group.count);
        match &group.place {
            Place::Holes(holes) => {
                let inputs = self.ledger.number("holes", &format!("{}.count", self.job.name(*holes)));
                let inputs = inputs.into_iter().collect();
                self.put(format!("{place}.count"), count, "holes, one bar in each", "", inputs);
            }
            Place::Long { .. } => {
                let inputs = vec![self.typed("along"), self.typed("rows")];
                self.put(format!("{place}.count"), count, "a long bar along each stretch of each row", "", inputs);
            }
            Place::Side(row) => {
                let Some(space) = &self.bars.say.space else { return };
                let at = |clause| self.bars.said(KindId::Bars, clause);
                let said = SaidSpacing {
                    space: &space.value,
                    space_at: space.span,
                    inset: self.bars.say.inset.as_ref().map(|inset| (inset, at("inset"))),
                    along_at: at("along"),
                    inset_clause: "bars.inset",
                };
                enter_row(place, row, said, self.standing, self.ledger);
            }
        }
    }

    /// How long a bar of one shape is cut.
    fn cut(&mut self, group: &Group, name: String) {
        let value = Figure::Cut(group.shape.cut);
        let bars = self.bars;
        match &group.place {
            Place::Holes(holes) if group.shape.is_straight() => {
                let depth = self.ledger.number("depth", &format!("{}.depth", self.job.name(*holes)));
                let out = bars.say.out.map(|out| Input::said("out", out.span, Figure::Length(out.value.0)));
                self.put(name, value, "depth + out", "", depth.into_iter().chain(out).collect());
            }
            Place::Long { from, to, .. }
                if group.shape.is_straight() && from.0 == to.0 && group.shape.cut == to.1 - from.1 =>
            {
                let begins = "station where it begins, its end distance inside the stretch";
                let inputs = vec![
                    Input::given("to", Figure::Length(to.1), "station where it ends, likewise"),
                    Input::given("from", Figure::Length(from.1), begins),
                    self.typed("along"),
                    self.ends(),
                ];
                self.put(name, value, "to - from", "", inputs);
            }
            place => {
                let mut inputs = match place {
                    Place::Side(_) => {
                        let at = bars.said(KindId::Bars, "legs");
                        group.shape.legs.iter().map(|leg| Input::said("leg", at, Figure::Length(*leg))).collect()
                    }
                    Place::Holes(_) | Place::Long { .. } => {
                        let why = "out to out, along the face at the bar's offset, less its end distances";
                        let legs = group.shape.legs.iter();
                        let mut inputs: Vec<Input> =
                            legs.map(|leg| Input::given("leg", Figure::Length(*leg), why)).collect();
                        inputs.extend([self.typed("along"), self.typed("offset"), self.ends()]);
                        inputs
                    }
                };
                let (formula, source) = self.bends(&group.shape, &mut inputs);
                self.put(name, value, formula, source, inputs);
            }
        }
    }

    /// Adds what the bends and hooks of a shape are reckoned from; gives the formula and its source.
    fn bends(&self, shape: &Shape, inputs: &mut Vec<Input>) -> (&'static str, &'static str) {
        let hooks: Vec<Hook> = shape.hooks.iter().flatten().copied().collect();
        if shape.turns.is_empty() && hooks.is_empty() {
            return ("sum of the legs", "");
        }
        let own = self.bars.say.legs.as_ref().filter(|legs| legs.value.bend.is_some()).map(|legs| legs.span);
        let inside = own.unwrap_or_else(|| self.steel.said(KindId::Steel, "bend"));
        inputs.push(Input::said("inside", inside, Figure::Length(shape.inside)));
        let thick = self.made.steel.diameter;
        inputs.push(Input::said("d", self.steel.said(KindId::Steel, "diameter"), Figure::Length(thick)));
        let source = "Cut lengths: the centre line of straights and arcs, nothing deducted by rule of thumb. Least bends: \
                      ACI 318-19 Table 25.3.1 (US and Canadian sizes), EN 1992-1-1 Table 8.1N (ISO sizes)";
        let angle = |degrees: f64| Figure::Angle(Angle::from_degrees(degrees));
        for hook in &hooks {
            let Ok(more) = hook_addition(hook.turn, hook.tail, shape.inside / 2, thick) else { continue };
            inputs.push(Input::given("a", angle(hook.turn), "turn of a hook"));
            inputs.push(Input::given("tail", Figure::Length(hook.tail), "the straight behind it"));
            let why = "what it adds: (inside / 2 + d / 2) * a * pi / 180 + tail - (inside / 2 + d)";
            inputs.push(Input::given("hook", Figure::Length(more), why));
        }
        let alike = shape.turns.first().filter(|turn| shape.turns.iter().all(|other| (other - *turn).abs() <= 1e-6));
        let formula = match (alike, hooks.is_empty()) {
            (None, _) if shape.turns.is_empty() => "sum of the legs + sum of the hooks",
            (Some(turn), true) => {
                let bends = Figure::Count(shape.turns.len() as u64);
                inputs.push(Input::given("bends", bends, "one between each two legs"));
                inputs.push(Input::given("a", angle(*turn), "turn of each bend"));
                "sum of the legs - bends * (2 * (inside / 2 + d) * tan(a / 2) - (inside / 2 + d / 2) * a * pi / 180)"
            }
            (_, is_plain) => {
                for turn in &shape.turns {
                    let Ok(less) = out_to_out_deduction(*turn, shape.inside / 2, thick) else {
                        return (
                            "the centre line of straights and arcs, each leg to the point its bends are laid out from",
                            source,
                        );
                    };
                    inputs.push(Input::given("a", angle(*turn), "turn of a bend"));
                    let why =
                        "what it takes off: 2 * (inside / 2 + d) * tan(a / 2) - (inside / 2 + d / 2) * a * pi / 180";
                    inputs.push(Input::given("bend", Figure::Length(less), why));
                }
                match is_plain {
                    true => "sum of the legs - (sum of the bends)",
                    false => "sum of the legs - (sum of the bends) + sum of the hooks",
                }
            }
        };
        (formula, source)
    }

    fn ends(&self) -> Input {
        match self.bars.say.ends {
            Some(ends) => Input::said("ends", self.bars.said(KindId::Bars, "ends"), Figure::Length(ends.0)),
            None => {
                let source = "common practice for formed faces, no source";
                Input::usual("ends", Usual { clause: "bars.ends", value: Figure::Length(USUAL_ENDS), source })
            }
        }
    }
}
