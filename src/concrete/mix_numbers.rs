//! The worked numbers of mixing a pour.

use super::mix::{Batch, Mixing, WATER_KG_M3, too_wet};
use crate::{
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::{KindId, Mix, Pour},
    units::{Density, Length, Mass, Volume},
};

/// Enters what mixing a pour comes to: `POUR.mixed`, `POUR.bags` and all that follows from them. `high` is how high the
/// pour is, from its lowest level to its highest.
pub fn enter_mixing(job: &Job, mixing: &Mixing, high: Length, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    let (Some(pour), Some(mix)) = (job.pour(mixing.pour), job.mix(mixing.mix)) else { return };
    let mut sheet = Sheet { pour, mix, mixing, ledger };
    sheet.bags();
    sheet.batches();
    sheet.carried();
    for (number, lost) in (1..).zip(too_wet(&mix.say, job.system()).into_iter().flat_map(|wet| wet.lost)) {
        let inputs: Vec<Input> = lost.inputs().collect();
        sheet.enter(&format!("too-wet.{number}"), Figure::Ratio(lost.value), lost.formula, lost.source, inputs);
    }
    if let Some(lift) = pour.say.lift {
        let of = high.metres() / lift.0.metres();
        let inputs = vec![
            Input::given("high", Figure::Length(high), "from its lowest level to its highest"),
            Input::said("lift", pour.said(KindId::Pour, "lift"), Figure::Length(lift.0)),
        ];
        let value = Figure::Whole { count: crate::units::whole_up(of), of };
        sheet.enter("layers", value, "high / lift, up to whole layers", "", inputs);
    }
}

/// Enters the sums over all pours: `job.pours.mixed`, `job.pours.bags`, `job.pours.bags-weight`.
pub fn enter_mixings(job: &Job, mixings: &[Mixing], ledger: &mut Ledger) {
    if !ledger.is_on() || mixings.is_empty() {
        return;
    }
    let sums = [
        ("mixed", Figure::Volume(mixings.iter().map(|mixing| mixing.wanted).sum())),
        ("bags", Figure::Count(mixings.iter().map(|mixing| mixing.bags).sum())),
        ("bags-weight", Figure::Mass(mixings.iter().map(|mixing| mixing.weight).sum::<Mass>())),
    ];
    for (quantity, value) in sums {
        let names = mixings.iter().map(|mixing| format!("{}.{quantity}", job.name(mixing.pour)));
        let inputs: Vec<Input> = names.filter_map(|name| ledger.number("part", &name)).collect();
        let name = format!("job.pours.{quantity}");
        ledger.enter(|| Entry { name, value, formula: "sum of the parts", source: "", inputs });
    }
}

/// What is known while the numbers of one pour are entered.
struct Sheet<'m> {
    pour: &'m Thing<Pour>,
    mix: &'m Thing<Mix>,
    mixing: &'m Mixing,
    ledger: &'m mut Ledger,
}

impl Sheet<'_> {
    fn enter(
        &mut self,
        quantity: &str,
        value: Figure,
        formula: &'static str,
        source: &'static str,
        inputs: impl IntoIterator<Item = Input>,
    ) {
        let name = format!("{}.{quantity}", self.pour.name);
        self.ledger.enter(|| Entry { name, value, formula, source, inputs: inputs.into_iter().collect() });
    }

    fn number(&self, symbol: &'static str, quantity: &str) -> Option<Input> {
        self.ledger.number(symbol, &format!("{}.{quantity}", self.pour.name))
    }

    /// A value of the pour's block, or of the mix's.
    fn of_pour(&self, symbol: &'static str, clause: &str, value: Figure) -> Input {
        Input::said(symbol, self.pour.said(KindId::Pour, clause), value)
    }

    fn of_mix(&self, symbol: &'static str, clause: &str, value: Figure) -> Input {
        Input::said(symbol, self.mix.said(KindId::Mix, clause), value)
    }

    fn bags(&mut self) {
        let mixing = self.mixing;
        let waste = Figure::Ratio(mixing.waste);
        let waste = if mixing.usual_waste {
            let source = "common practice for formed work, no source";
            Input::usual("waste", Usual { clause: "pour.waste", value: waste, source })
        } else {
            self.of_pour("waste", "waste", waste)
        };
        let mut inputs: Vec<Input> = self.number("volume", "volume").into_iter().chain([waste]).collect();
        let formula = if mixing.patches > Volume::ZERO {
            let why = "broken places of the old surface that it fills";
            inputs.push(Input::given("patches", Figure::Volume(mixing.patches), why));
            "(volume + patches) * (1 + waste)"
        } else {
            "volume * (1 + waste)"
        };
        self.enter("mixed", Figure::Volume(mixing.wanted), formula, "", inputs);
        let of = (mixing.placed + mixing.patches).cubic_metres() * (1.0 + mixing.waste.fraction())
            / mixing.yields.cubic_metres();
        let yields = self.of_mix("yields", "bag", Figure::Volume(mixing.yields));
        let inputs: Vec<Input> = self.number("mixed", "mixed").into_iter().chain([yields]).collect();
        let value = Figure::Whole { count: mixing.bags, of };
        self.enter("bags", value, "mixed / yields, up to whole bags", "", inputs);
        let bag = self.of_mix("bag", "bag", Figure::Mass(self.mix.say.bag.value.weighs.0));
        let inputs: Vec<Input> = self.number("bags", "bags").into_iter().chain([bag]).collect();
        self.enter("bags-weight", Figure::Mass(mixing.weight), "bags * bag", "", inputs);
    }

    fn batches(&mut self) {
        let mixing = self.mixing;
        let (Some(per), Some(batches)) = (mixing.per_batch, mixing.batches) else { return };
        let each = self.of_pour("each", "mixer", Figure::Count(per));
        let inputs: Vec<Input> = self.number("bags", "bags").into_iter().chain([each]).collect();
        let value = Figure::Whole { count: batches, of: mixing.bags as f64 / per.max(1) as f64 };
        self.enter("batches", value, "bags / each, up to whole batches", "", inputs);
        let Some(first) = mixing.each_batch().next() else { return };
        let (formula, inputs) = if first.bags == per {
            ("each", vec![each])
        } else {
            ("bags, which are less than a mixer takes", self.number("bags", "bags").into_iter().collect())
        };
        self.enter("batch.bags", Figure::Count(first.bags), formula, "", inputs);
        self.batch("batch", first);
        let last = mixing.each_batch().last().filter(|last| last.bags != first.bags);
        if let Some(last) = last {
            let inputs: Vec<Input> = self
                .number("bags", "bags")
                .into_iter()
                .chain(self.number("batches", "batches"))
                .chain([each])
                .collect();
            self.enter("last-batch.bags", Figure::Count(last.bags), "bags - (batches - 1) * each", "", inputs);
            self.batch("last-batch", last);
        }
    }

    /// Water and trips of one batch.
    fn batch(&mut self, which: &'static str, batch: Batch) {
        let bags = self.number("bags", &format!("{which}.bags"));
        let times = i64::try_from(batch.bags).unwrap_or(i64::MAX);
        if let Some((least, most)) = self.mixing.water {
            for (quantity, water) in [("water", least), ("water-most", most)] {
                let one = self.of_mix("water", "water", Figure::Water(water));
                let inputs: Vec<Input> = bags.into_iter().chain([one]).collect();
                self.enter(&format!("{which}.{quantity}"), Figure::Water(water * times), "bags * water", "", inputs);
            }
        }
        // Where the pour is planned, each batch has its own.
        if let (Some(carry), Some(trips), true) =
            (self.mixing.carry, self.mixing.trips_of(batch), self.mixing.walked.is_empty())
        {
            let of = batch.bags as f64 * self.mixing.yields.cubic_metres() / carry.cubic_metres();
            let yields = self.of_mix("yields", "bag", Figure::Volume(self.mixing.yields));
            let carry = self.of_pour("carry", "carry", Figure::Volume(carry));
            let inputs: Vec<Input> = bags.into_iter().chain([yields, carry]).collect();
            let value = Figure::Whole { count: trips, of };
            self.enter(&format!("{which}.trips"), value, "bags * yields / carry, up to whole trips", "", inputs);
        }
    }

    fn carried(&mut self) {
        let mixing = self.mixing;
        let Some(carry) = mixing.carry else { return };
        if let Some(trips) = mixing.trips {
            self.trips(trips, carry);
        }
        let Some(weight) = mixing.carry_weight else { return };
        let load = self.of_pour("carry", "carry", Figure::Volume(carry));
        let (formula, source, inputs) = match mixing.water {
            Some((least, _)) => (
                "(bag + water * density) / yields * carry",
                "water at 20 degC weighs 998.2 kg/m3: handbook value",
                vec![
                    self.of_mix("bag", "bag", Figure::Mass(self.mix.say.bag.value.weighs.0)),
                    self.of_mix("water", "water", Figure::Volume(least)),
                    Input::given("density", Figure::Density(Density::from_kg_m3(WATER_KG_M3)), "of water at 20 degC"),
                    self.of_mix("yields", "bag", Figure::Volume(mixing.yields)),
                    load,
                ],
            ),
            None => (
                "density * carry",
                "plain concrete weighs 145 lb/ft3: common practice, no source",
                vec![Input::given("density", Figure::Density(Density::from_pcf(145.0)), "the mix says no water"), load],
            ),
        };
        self.enter("carry-weight", Figure::Mass(weight), formula, source, inputs);
    }

    fn trips(&mut self, trips: u64, carry: Volume) {
        if !self.mixing.walked.is_empty() {
            let carry = self.of_pour("carry", "carry", Figure::Volume(carry));
            let inputs: Vec<Input> = self.number("batches", "batches").into_iter().chain([carry]).collect();
            let formula = "by the plan of the pour: loads of each batch, each to one place of one layer";
            self.enter("trips", Figure::Count(trips), formula, "", inputs);
            return;
        }
        let each = self.number("trips", "batch.trips");
        let last = self.number("last", "last-batch.trips");
        let mut value = Figure::Count(trips);
        let (formula, inputs): (_, Vec<Input>) = match (each, last) {
            (Some(each), Some(last)) => (
                "(batches - 1) * trips + last",
                self.number("batches", "batches").into_iter().chain([each, last]).collect(),
            ),
            (Some(each), None) => {
                ("batches * trips", self.number("batches", "batches").into_iter().chain([each]).collect())
            }
            // No mixer is named: all of it is one batch.
            (None, _) => {
                let made = self.mixing.bags as f64 * self.mixing.yields.cubic_metres();
                value = Figure::Whole { count: trips, of: made / carry.cubic_metres() };
                let yields = self.of_mix("yields", "bag", Figure::Volume(self.mixing.yields));
                let carry = self.of_pour("carry", "carry", Figure::Volume(carry));
                (
                    "bags * yields / carry, up to whole trips",
                    self.number("bags", "bags").into_iter().chain([yields, carry]).collect(),
                )
            }
        };
        self.enter("trips", value, formula, "", inputs);
    }
}
