//! Texts of many jobs, written one job after the other, and what several jobs come to together.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::{
    MassMeasure, Measure, SCHEMA_VERSION, Units, VolumeMeasure,
    money::{Amount, amount},
};
use crate::{
    compile::Compiled,
    gathering::{Gathered, share},
    reports::{quantities::buy::called, words},
    units::System,
};

/// A text of many jobs in the making: the same bytes as if all of them had been written at once.
pub struct Jobs<'o> {
    out: &'o mut dyn Write,
    any: bool,
}

impl<'o> Jobs<'o> {
    /// Begins the text.
    ///
    /// # Errors
    /// When `out` does.
    pub fn begin(out: &'o mut dyn Write) -> io::Result<Jobs<'o>> {
        write!(out, "{{\n  \"schema_version\": {SCHEMA_VERSION},\n  \"jobs\": [")?;
        Ok(Jobs { out, any: false })
    }

    /// Adds a job: its part as `findings_part`, `tally_part` or `why_part` makes it.
    ///
    /// # Errors
    /// When the output does.
    pub fn job(&mut self, part: &[u8]) -> io::Result<()> {
        self.out.write_all(if self.any { b",\n" } else { b"\n" })?;
        self.any = true;
        indented(part, b"    ", self.out)
    }

    /// Ends the text, with what the jobs come to together where that is told.
    ///
    /// # Errors
    /// When the output does.
    pub fn end(self, gathered: Option<&Gathered>) -> io::Result<()> {
        self.out.write_all(if self.any { b"\n  ]" } else { b"]" })?;
        if let Some(gathered) = gathered {
            self.out.write_all(b",\n  \"together\": ")?;
            let sums = serde_json::to_vec_pretty(&together(gathered))?;
            indented(&sums, b"  ", self.out)?;
        }
        self.out.write_all(b"\n}\n")
    }
}

/// Writes lines, each but an opening one that follows on further in; no text in JSON holds a line end.
fn indented(part: &[u8], by: &[u8], out: &mut dyn Write) -> io::Result<()> {
    for (number, line) in part.split(|byte| *byte == b'\n').enumerate() {
        if number > 0 {
            out.write_all(b"\n")?;
        }
        // What follows a key stands on the key's line.
        if number > 0 || by.len() > 2 {
            out.write_all(by)?;
        }
        out.write_all(line)?;
    }
    Ok(())
}

/// What several jobs come to.
#[derive(Serialize, JsonSchema)]
pub(super) struct Together {
    jobs: usize,
    /// How many of them have errors, so that something is missing here.
    drafts: usize,
    errors: usize,
    warnings: usize,
    concrete: VolumeMeasure,
    bags: u64,
    holes: u64,
    bars: u64,
    buy: Vec<NeedTally>,
    /// What all that has a price costs, by currency; hire, fees, deliveries and tax are in each job's own bill.
    costs: Vec<Amount>,
    /// Lines to buy without a price; they are in no sum.
    not_priced: usize,
}

/// Something bought for several jobs: like things are added up before packs are rounded.
#[derive(Serialize, JsonSchema)]
struct NeedTally {
    item: String,
    /// How many jobs want it.
    jobs: usize,
    /// Whole packs; none where a part of it is not counted.
    packs: Option<u64>,
    /// Packs of it that lie at hand; they are not among those to buy.
    #[serde(skip_serializing_if = "super::money::is_zero")]
    at_hand: u64,
    /// What a pack holds, where it is not one piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pack: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<String>,
    /// What a pack costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    volume: Option<VolumeMeasure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight: Option<MassMeasure>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lengths: Vec<LengthTally>,
}

/// Packs of one length.
#[derive(Serialize, JsonSchema)]
struct LengthTally {
    length: Measure,
    count: u64,
}

/// What these jobs come to; of one alone nothing is told.
pub(super) fn of(jobs: &[(&str, &Compiled)]) -> Option<Together> {
    let mut gathered = Gathered::default();
    jobs.iter().for_each(|(_, compiled)| gathered.add(&share(compiled)));
    (jobs.len() > 1).then(|| together(&gathered))
}

fn together(gathered: &Gathered) -> Together {
    let units = Units(gathered.system.unwrap_or(System::Feet));
    let [errors, warnings, _] = gathered.findings;
    Together {
        jobs: gathered.jobs,
        drafts: gathered.drafts,
        errors,
        warnings,
        concrete: units.volume(gathered.concrete),
        bags: gathered.bags,
        holes: gathered.holes,
        bars: gathered.bars,
        buy: gathered
            .needs
            .iter()
            .map(|(ware, need)| NeedTally {
                item: called(&ware.item),
                jobs: need.jobs,
                packs: need.packs(),
                at_hand: need.at_hand(),
                pack: need.pack.map(|pack| words::pack(pack, need.system)),
                supplier: ware.from.clone(),
                price: ware.price.map(amount),
                cost: ware.costs(need).map(amount),
                volume: (need.volume > crate::units::Volume::ZERO).then(|| units.fluid(need.volume)),
                weight: need.weighs().map(|weight| units.mass(weight)),
                lengths: need
                    .lengths
                    .iter()
                    .rev()
                    .map(|(length, count)| LengthTally { length: units.length(*length), count: *count })
                    .collect(),
            })
            .collect(),
        costs: gathered.costs().into_iter().map(amount).collect(),
        not_priced: gathered.unpriced().count(),
    }
}
