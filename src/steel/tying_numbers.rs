//! The worked numbers of ties, wire and supports: by pour `POUR.crossings`, `POUR.ties`, `POUR.wire`, `POUR.wire-weight`,
//! `POUR.chairs`, `POUR.spacers`; all together `job.ties.…`.

use super::tying::{Held, PourTies, TieSort, TieWire, Tying};
use crate::{
    job::Job,
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::{BlockId, KindId},
    standards::{PRACTICE, ties::OF_A_DOWEL},
    units::Mass,
};

const REACH: &str = "Where bars are tied: crossings whose surfaces are no farther apart than half the thicker bar or 10 mm; \
                     common practice, no source";
const ALONG: &str = "Chairs and spacers, one each spacing along a bar and one more: common practice, no source";

/// Enters what the ties and supports come to.
pub fn enter_tying(job: &Job, tying: &Tying, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for pour in &tying.pours {
        let name = job.name(pour.pour);
        let mut put = Put { job, ledger };
        if !pour.sorts.is_empty() {
            put.ties(name, pour);
            put.wire(name, pour, tying.wire.as_ref());
        }
        put.held(name, "chairs", &pour.chairs);
        put.held(name, "spacers", &pour.spacers);
    }
    let mut put = Put { job, ledger };
    let counted = |of: fn(&PourTies) -> u64| tying.pours.iter().map(of).sum::<u64>();
    let sums = [
        ("crossings", Figure::Count(counted(PourTies::crossings))),
        ("ties", Figure::Count(counted(PourTies::ties))),
        ("wire", Figure::Length(tying.pours.iter().map(PourTies::wire).sum())),
        ("wire-weight", Figure::Mass(tying.wire.map_or(Mass::from_kg(0.0), |wire| wire.weight()))),
        ("chairs", Figure::Count(counted(|pour| pour.chairs.iter().map(Held::total).sum()))),
        ("spacers", Figure::Count(counted(|pour| pour.spacers.iter().map(Held::total).sum()))),
    ];
    for (quantity, value) in sums {
        let names = tying.pours.iter().map(|pour| format!("{}.{quantity}", job.name(pour.pour)));
        let parts: Vec<Input> = names.filter_map(|name| put.ledger.number("part", &name)).collect();
        if !parts.is_empty() {
            put.enter(format!("job.ties.{quantity}"), value, "sum of the parts", "", parts);
        }
    }
}

struct Put<'p> {
    job: &'p Job,
    ledger: &'p mut Ledger,
}

/// What is added to a number's name for one of several sorts.
fn of_sort(pour: &PourTies, number: usize) -> String {
    if pour.sorts.len() == 1 { String::new() } else { format!(".{}", number + 1) }
}

impl Put<'_> {
    fn enter(&mut self, name: String, value: Figure, formula: &'static str, source: &'static str, inputs: Vec<Input>) {
        self.ledger.enter(|| Entry { name, value, formula, source, inputs });
    }

    /// The number's parts by sort, summed, where there are several sorts.
    fn sum(&mut self, pour: &PourTies, name: &str, quantity: &str, value: Figure) {
        if pour.sorts.len() > 1 {
            let parts = (0..pour.sorts.len())
                .filter_map(|at| self.ledger.number("part", &format!("{name}.{quantity}{}", of_sort(pour, at))))
                .collect();
            self.enter(format!("{name}.{quantity}"), value, "sum of the parts", "", parts);
        }
    }

    fn ties(&mut self, name: &str, pour: &PourTies) {
        for (number, sort) in pour.sorts.iter().enumerate() {
            let suffix = of_sort(pour, number);
            self.crossings(format!("{name}.crossings{suffix}"), pour, sort);
            let mut inputs = Vec::new();
            if sort.in_laps > 0 {
                let laps = format!("{name}.lap-ties{suffix}");
                self.laps(name, &laps, pour, sort);
                inputs.extend(self.ledger.number("laps", &laps));
            }
            let dowels = (sort.dowels > 0).then_some([
                Input::given("dowels", Figure::Count(sort.dowels), "dowels that stand beside a bar"),
                Input::given("each", Figure::Count(OF_A_DOWEL), "ties of such a dowel"),
            ]);
            inputs.extend(dowels.into_iter().flatten());
            let all = "crossings that are tied in any case: at the rim, of closed ties, of bars tied at every one";
            let always = Input::given("always", Figure::Count(sort.always), all);
            let inside =
                Input::given("inside", Figure::Count(sort.inside), "the others, every second of which is tied");
            let whole = |of: f64| Figure::Whole { count: sort.ties(), of };
            let laps = sort.in_laps > 0;
            let (value, formula) = match (sort.inside > 0, laps, sort.dowels > 0) {
                (false, false, false) => (Figure::Count(sort.ties()), "crossings, each tied"),
                (false, true, false) => (Figure::Count(sort.ties()), "crossings + laps, each crossing tied"),
                (false, false, true) => (Figure::Count(sort.ties()), "crossings + dowels * each"),
                (false, true, true) => (Figure::Count(sort.ties()), "crossings + laps + dowels * each"),
                (true, ..) => {
                    let fixed = sort.always + sort.in_laps + sort.dowels * OF_A_DOWEL;
                    let value = whole(fixed as f64 + sort.inside as f64 / 2.0);
                    let formula = match (laps, sort.dowels > 0) {
                        (false, false) => "always + inside / 2, up to whole ties",
                        (true, false) => "always + inside / 2 + laps, up to whole ties",
                        (false, true) => "always + inside / 2 + dowels * each, up to whole ties",
                        (true, true) => "always + inside / 2 + laps + dowels * each, up to whole ties",
                    };
                    (value, formula)
                }
            };
            if sort.inside > 0 {
                inputs.extend([always, inside]);
                inputs.extend(
                    self.said("ties", |bars| self.job.bars_of(bars).is_some_and(|bars| bars.say.ties.is_some())),
                );
            }
            inputs.extend(self.ledger.number("crossings", &format!("{name}.crossings{suffix}")));
            self.enter(format!("{name}.ties{suffix}"), value, formula, PRACTICE, inputs);
        }
        self.sum(pour, name, "crossings", Figure::Count(pour.crossings()));
        self.sum(pour, name, "ties", Figure::Count(pour.ties()));
    }

    /// The clauses of this word, where they are written.
    fn said(&self, clause: &'static str, is_said: impl Fn(BlockId) -> bool) -> Vec<Input> {
        let bars = self.job.bars.iter().filter(|bars| is_said(bars.id));
        bars.map(|bars| Input::typed(clause, bars.said(KindId::Bars, clause))).collect()
    }

    fn crossings(&mut self, name: String, pour: &PourTies, sort: &TieSort) {
        let count = sort.always + sort.inside;
        let at = |clause| {
            let pour = self.job.pour(pour.pour)?;
            Some(Input::typed(clause, pour.said(KindId::Pour, clause)))
        };
        let counted =
            Input::given("places", Figure::Count(count), "where bars cross within reach of a tie, counted in space");
        let inputs = [counted].into_iter().chain(at("fill")).collect();
        self.enter(name, Figure::Count(count), "places", REACH, inputs);
    }

    fn laps(&mut self, name: &str, sum: &str, pour: &PourTies, sort: &TieSort) {
        let mut parts = Vec::new();
        for lap in pour.laps.iter().filter(|lap| lap.wire == sort.each) {
            let bars = self.job.name(lap.bars);
            let own = format!("{name}.lap-ties.{bars}");
            let inputs = [
                Input::given("laps", Figure::Count(lap.laps), "laps of its long bars in this pour"),
                Input::given("each", Figure::Count(lap.each), "3 up to 3 ft of lap, else one a foot, up to whole feet"),
            ];
            let inputs = inputs.into_iter().chain(self.ledger.number("lap", &format!("{bars}.lap"))).collect();
            self.enter(own.clone(), Figure::Count(lap.laps * lap.each), "laps * each", PRACTICE, inputs);
            parts.extend(self.ledger.number("part", &own));
        }
        self.enter(sum.to_owned(), Figure::Count(sort.in_laps), "sum of the parts", "", parts);
    }

    fn wire(&mut self, name: &str, pour: &PourTies, wire: Option<&TieWire>) {
        for (number, sort) in pour.sorts.iter().enumerate() {
            let suffix = of_sort(pour, number);
            let why = "10 in (250 mm) up to #5; 12 in (300 mm) from #6 on and round bars that go up";
            let each = Input::given("each", Figure::Length(sort.each), why);
            let ties = self.ledger.number("ties", &format!("{name}.ties{suffix}"));
            let inputs = ties.into_iter().chain([each]).collect();
            let value = Figure::Length(sort.wire());
            self.enter(format!("{name}.wire{suffix}"), value, "ties * each", PRACTICE, inputs);
        }
        self.sum(pour, name, "wire", Figure::Length(pour.wire()));
        let Some(wire) = wire else { return };
        let Some(thing) = self.job.wire(wire.wire) else { return };
        let said = thing.said(KindId::Wire, "weight");
        let per = Input::said("weight", said, Figure::MassPerMetre(wire.per_metre));
        let length = self.ledger.number("wire", &format!("{name}.wire"));
        let value = Figure::Mass(wire.per_metre * pour.wire().metres());
        let inputs = length.into_iter().chain([per]).collect();
        self.enter(format!("{name}.wire-weight"), value, "wire * weight", "", inputs);
    }

    fn held(&mut self, name: &str, what: &str, all: &[Held]) {
        let mut parts = Vec::new();
        for (number, held) in all.iter().enumerate() {
            let Some(bars) = self.job.bars_of(held.bars) else { continue };
            let several = all.iter().filter(|other| other.bars == held.bars).count() > 1;
            let suffix = if several { format!(".{}", number + 1) } else { String::new() };
            let own = format!("{name}.{what}.{}{suffix}", bars.name);
            let along = Figure::Length(held.length);
            let spacing = match bars.say.supports {
                Some(said) => Input::said("spacing", bars.said(KindId::Bars, "supports"), Figure::Length(said.0)),
                None => Input::usual(
                    "spacing",
                    Usual { clause: "bars.supports", value: Figure::Length(held.spacing), source: PRACTICE },
                ),
            };
            let each = Figure::Whole { count: held.each(), of: held.exact() };
            let inputs = vec![Input::given("length", along, "of each bar, along what holds it"), spacing];
            self.enter(format!("{own}.each"), each, "length / spacing + 1, up to whole ones", ALONG, inputs);
            let bars = Input::given(
                "bars",
                Figure::Count(held.count),
                "bars of this length; one between two forms counts twice",
            );
            let each = self.ledger.number("each", &format!("{own}.each"));
            let inputs = [bars].into_iter().chain(each).collect();
            self.enter(own.clone(), Figure::Count(held.total()), "bars * each", "", inputs);
            parts.extend(self.ledger.number("part", &own));
        }
        if !parts.is_empty() {
            let total = Figure::Count(all.iter().map(Held::total).sum());
            self.enter(format!("{name}.{what}"), total, "sum of the parts", "", parts);
        }
    }
}
