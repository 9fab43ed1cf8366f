//! The worked numbers of a pour as it goes.

use super::{Holds, Placing, Trip, Way, seconds};
use crate::{
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger, Usual},
    pouring::Wait,
    schema::{KindId, Mix, Pour},
    source::Span,
    standards::handwork::{RODDING, TIPPING, WALKING},
};

/// Enters what of a pour hangs on the weather: `POUR.knits` and `POUR.stiffens`.
pub fn enter_holds(job: &Job, placing: &Placing, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    let Some(pour) = job.pour(placing.pour) else { return };
    let Some(mix) = job.mix(pour.say.mix.0) else { return };
    let mut sheet = Sheet { pour, mix, ledger };
    sheet.holds("knits", "mix.knits", &placing.knits);
    if placing.went.shortest_above_open.is_some() {
        sheet.holds("stiffens", "mix.stiffens", &placing.stiffens);
    }
}

/// Enters what a pour comes to in any weather: `POUR.trip`, `POUR.longest-wait`, `POUR.longest-front`, `POUR.wait-above-step`, `POUR.rise` and
/// `POUR.lasts`.
pub fn enter(job: &Job, placing: &Placing, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    let Some(pour) = job.pour(placing.pour) else { return };
    let Some(mix) = job.mix(pour.say.mix.0) else { return };
    let name = |quantity: &str| format!("{}.{quantity}", pour.name);
    let mut sheet = Sheet { pour, mix, ledger };
    sheet.trip(job, placing);
    if let Some(wait) = placing.went.longest {
        sheet.wait(placing, "longest-wait", wait, false);
    }
    if let Some(front) = placing.went.longest_front {
        let given = |symbol, time, why| Input::given(symbol, Figure::Duration(seconds(time)), why);
        sheet.enter(
            name("longest-front"),
            Figure::Duration(seconds(front.lasts())),
            "comes - placed",
            vec![
                given("comes", front.comes, "the first of the next batch, laid against its end"),
                given("placed", front.placed, "the last of the batch"),
            ],
        );
    }
    if let Some(wait) = placing.went.shortest_above_open {
        sheet.wait(placing, "wait-above-step", wait, true);
    }
    let rising = placing.went.lifts.iter().filter_map(|lift| Some((lift, lift.rise()?)));
    let fastest = rising.reduce(|best, other| if other.1 > best.1 { other } else { best });
    if let Some((lift, rise)) = fastest {
        sheet.enter(
            name("rise"),
            Figure::Rise(rise),
            "high / time, of the layer that rises fastest",
            vec![
                Input::given("high", Figure::Length(lift.height), "the height of the layer"),
                Input::given(
                    "time",
                    Figure::Duration(seconds(lift.to - lift.from)),
                    "from its first concrete to its last",
                ),
            ],
        );
    }
    let Some(last) = placing.went.batches.last() else { return };
    let placed = seconds(last.placed_to - last.mixed);
    let takes = seconds(placing.plan.mixing);
    let at = pour.said(KindId::Pour, "mixer");
    sheet.enter(
        name("lasts"),
        Figure::Duration(placing.lasts()),
        "begun + mixing + placing, of the last batch",
        vec![
            Input::given("begun", Figure::Duration(seconds(last.begun)), "after the first, batch by batch"),
            Input::said("mixing", at, Figure::Duration(takes)),
            Input::given("placing", Figure::Duration(placed), "waiting in the mixer, carrying, tipping and rodding"),
        ],
    );
}

struct Sheet<'s> {
    pour: &'s Thing<Pour>,
    mix: &'s Thing<Mix>,
    ledger: &'s mut Ledger,
}

impl Sheet<'_> {
    fn enter(&mut self, name: String, value: Figure, formula: &'static str, inputs: Vec<Input>) {
        self.ledger.enter(|| Entry { name, value, formula, source: "", inputs });
    }

    fn said(&self, clause: &str) -> Span {
        self.pour.said(KindId::Pour, clause)
    }

    fn trip(&mut self, job: &Job, placing: &Placing) {
        let name = format!("{}.trip", self.pour.name);
        let of = placing.plan.lifts.iter().flat_map(|lift| &lift.places).map(|place| place.trip).next();
        let value = Figure::Duration(seconds(of.unwrap_or(0)));
        match placing.trip {
            Trip::Said(takes) => {
                let takes = Input::said("takes", self.said("carry"), Figure::Duration(takes));
                self.enter(name, value, "takes", vec![takes]);
            }
            Trip::Route(route, far) => {
                let Some(route) = job.routes.iter().find(|other| other.id == route) else { return };
                let far = Input::said("far", route.said(KindId::Route, "far"), Figure::Length(far));
                let walking =
                    Usual { clause: "pour.carry", value: Figure::Speed(WALKING.value), source: WALKING.source };
                let tip =
                    Usual { clause: "pour.carry", value: Figure::Duration(TIPPING.value), source: TIPPING.source };
                let inputs = vec![far, Input::usual("walking", walking), Input::usual("tipping", tip)];
                self.enter(name, value, "2 * far / walking + tipping, up to whole seconds", inputs);
            }
            Trip::Usual => {
                let source = crate::standards::handwork::TRIP.source;
                let usual = Usual { clause: "pour.carry", value, source };
                self.enter(name, value, "usual", vec![Input::usual("usual", usual)]);
            }
        }
        if placing.usual.rod {
            let usual = Usual { clause: "pour.rod", value: Figure::Duration(RODDING.value), source: RODDING.source };
            let name = format!("{}.rodding", self.pour.name);
            self.enter(name, usual.value, "usual", vec![Input::usual("usual", usual)]);
        }
    }

    fn holds(&mut self, quantity: &'static str, clause: &'static str, holds: &Holds) {
        let name = format!("{}.{quantity}", self.pour.name);
        let value = Figure::Duration(holds.time);
        let at = Input::given("T", Figure::Temperature(holds.at), "the temperature that is reckoned with");
        let typed = self.mix.said(KindId::Mix, quantity);
        let (model, reference) = match holds.way {
            Way::Said(time) => {
                let inputs = vec![Input::said("time", typed, Figure::Duration(time)), at];
                self.enter(name, value, "time, at T in a straight line between what is said", inputs);
                return;
            }
            Way::From(model) => (model, Input::said("reference", typed, Figure::Duration(model.reference))),
            Way::Usual(model) => {
                let source = "common practice, no source; engineering judgement";
                let usual = Usual { clause, value: Figure::Duration(model.reference), source };
                (model, Input::usual("reference", usual))
            }
        };
        let capped = holds.time >= model.most;
        let (formula, inputs) = if capped {
            let most = Input::given("most", Figure::Duration(model.most), "never longer: common practice, no source");
            ("most, which reference at T would pass", vec![most, reference, at])
        } else {
            let known = Input::given("Tr", Figure::Temperature(model.at), "temperature of the reference");
            let q = Input::given("q", Figure::Number(model.q), "how it hangs on temperature, kelvins; common practice");
            ("by reference * exp(q * (1 / T - 1 / Tr)), in kelvins", vec![reference, q, at, known])
        };
        self.enter(name, value, formula, inputs);
    }

    /// A wait of one place for another, from when the one was placed to when the other comes.
    fn wait(&mut self, placing: &Placing, quantity: &str, wait: Wait, above: bool) {
        let name = format!("{}.{quantity}", self.pour.name);
        let laid = |spot: crate::pouring::Spot| placing.went.laid.get(spot.lift)?.get(spot.place).copied();
        let (Some(under), Some(over)) = (laid(wait.lying), laid(wait.comes)) else { return };
        let first_to_first = over.from.saturating_sub(under.from) >= over.to.saturating_sub(under.to);
        let (from, to, why_from, why_to) = match (above, first_to_first) {
            (true, _) => (under.to, over.from, "the last of the open top", "the first that stands higher"),
            (false, true) => (under.from, over.from, "its first concrete", "the first that comes on it or against it"),
            (false, false) => (under.to, over.to, "its last concrete", "the last that comes on it or against it"),
        };
        let given = |symbol, time, why| Input::given(symbol, Figure::Duration(seconds(time)), why);
        let inputs = vec![given("covered", to, why_to), given("placed", from, why_from)];
        self.enter(name, Figure::Duration(seconds(wait.lasts)), "covered - placed", inputs);
    }
}
