//! What must be bought, in whole packs where packs are known; what is hired and paid beside it; who it is bought from, what is
//! fetched with the truck, and what all of it costs. What has no price is not priced: it never counts as nothing.

mod bill;
mod goods;
mod hires;
mod left;
mod loads;
mod misfits;
mod money;
mod numbers;
mod packs;
mod purchase;
mod split;

use std::collections::BTreeMap;

use crate::{
    facts::Facts,
    job::Job,
    schema::{BlockId, Pack, Said},
    steel::Held,
    units::{Length, Mass, Volume},
};

pub use bill::{Bill, Made, Of, Paid, Post, Share, bill};
pub use goods::{Around, Sundry, bits_for};
pub use hires::{Hired, Taken};
pub use left::Left;
pub use loads::{Fetched, Loads, Rubble};
pub use misfits::{Misfit, misfits};
pub use money::enter_money;
pub(crate) use money::purchase_name;
pub use numbers::enter;
pub use packs::{Cover, Offer, cover};
pub use purchase::{NAILS_8D_PER_LB, NAILS_16D_PER_LB, Purchase, currency, prices, rounded, wood};
pub use split::{CutOf, Split, split};

/// A line of the buy list.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    /// Bags of a mix.
    Bags {
        /// The mix.
        mix: BlockId,
        /// Whole bags.
        count: u64,
        /// Their weight.
        weight: Mass,
    },
    /// Resin.
    Resin {
        /// The resin.
        resin: BlockId,
        /// What is wanted, with waste and what is lost with nozzles.
        volume: Volume,
        /// Whole cartridges, if their size is known.
        cartridges: Option<u64>,
        /// Nozzles that are used up.
        nozzles: u64,
        /// Nozzles that come with the cartridges, if it is said.
        packed: Option<u64>,
    },
    /// Bars of one size.
    Bars {
        /// The size.
        steel: BlockId,
        /// How long and how many the bars to buy are, longest first, if a plan could be made.
        bought: Option<Vec<(Length, u64)>>,
        /// Pieces.
        pieces: u64,
        /// Length of all pieces.
        length: Length,
        /// The longest piece.
        longest: Length,
        /// The weight of the bars to buy; of the pieces, if no plan could be made.
        weight: Mass,
    },
    /// Tie wire.
    Wire {
        /// The wire.
        wire: BlockId,
        /// Whole coils.
        coils: u64,
        /// What one weighs.
        coil: Mass,
        /// How much wire the ties take.
        length: Length,
        /// The weight of the coils.
        weight: Mass,
    },
    /// What holds bars in place.
    Supports {
        /// Which.
        sort: Support,
        /// How many.
        count: u64,
    },
    /// What forms are built from.
    Forms {
        /// Which.
        sort: FormStuff,
        /// How many.
        count: u64,
        /// Of boards: how long, and how many so long; longest first.
        lengths: Vec<(Length, u64)>,
    },
    /// Goods the job reckons.
    Goods {
        /// Which.
        sort: Sundry,
        /// How much; none where it is not known.
        amount: Option<Pack>,
        /// The blocks they are for.
        by: Vec<BlockId>,
    },
    /// Goods someone wrote.
    Own {
        /// Which.
        goods: BlockId,
        /// How much.
        amount: Pack,
    },
}

/// How what is bought of a line is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bought {
    /// By the cutting plan of bars.
    Bars,
    /// By the cutting plan of boards.
    Boards,
    /// In packs.
    Packs,
}

impl Line {
    /// The name of its item in the ledger.
    #[must_use]
    pub fn item<'j>(&self, job: &'j Job) -> &'j str {
        match self {
            Line::Bags { mix, .. } => job.name(*mix),
            Line::Resin { resin, .. } => job.name(*resin),
            Line::Bars { steel, .. } => job.name(*steel),
            Line::Wire { wire, .. } => job.name(*wire),
            Line::Supports { sort, .. } => sort.item(),
            Line::Forms { sort, .. } => sort.item(job),
            Line::Goods { sort, .. } => sort.item(),
            Line::Own { goods, .. } => job.name(*goods),
        }
    }

    /// The block that a stock of it names; none where nothing names it.
    #[must_use]
    pub fn block(&self, job: &Job) -> Option<BlockId> {
        match self {
            Line::Bags { mix: block, .. }
            | Line::Resin { resin: block, .. }
            | Line::Bars { steel: block, .. }
            | Line::Wire { wire: block, .. }
            | Line::Forms { sort: FormStuff::Boards(block) | FormStuff::Sheets(block), .. }
            | Line::Own { goods: block, .. } => Some(*block),
            Line::Supports { .. } | Line::Forms { .. } | Line::Goods { .. } => {
                let name = purchase::library_name(self)?;
                job.goods.iter().find(|goods| goods.name == name).map(|goods| goods.id)
            }
        }
    }

    /// How many of it are wanted, where it is counted.
    #[must_use]
    pub fn packs(&self) -> Option<u64> {
        match self {
            Line::Bags { count, .. } | Line::Supports { count, .. } | Line::Forms { count, .. } => Some(*count),
            Line::Resin { cartridges, .. } => *cartridges,
            Line::Bars { bought, .. } => bought.as_ref().map(|all| all.iter().map(|(_, count)| count).sum()),
            Line::Wire { coils, .. } => Some(*coils),
            Line::Goods { amount: Some(Pack::Count(count)), .. } | Line::Own { amount: Pack::Count(count), .. } => {
                u64::try_from(*count).ok()
            }
            Line::Goods { .. } | Line::Own { .. } => None,
        }
    }

    fn bought(&self) -> Bought {
        match self {
            Line::Bars { .. } => Bought::Bars,
            Line::Forms { sort: FormStuff::Boards(_), .. } => Bought::Boards,
            _ => Bought::Packs,
        }
    }
}

/// Whether goods of this name are among those the job reckons.
fn sundry(name: &str) -> Option<()> {
    const RECKONED: [&str; 19] = [
        "nails-8d",
        "nails-16d",
        "stakes",
        "form-ties",
        "hold-downs",
        "chairs",
        "side-spacers",
        "mixing-nozzles",
        "saw-blades",
        "drill-bits",
        "props",
        "wrap-sheet",
        "blankets",
        "respirators",
        "goggles",
        "ear-muffs",
        "work-gloves",
        "rubber-gloves",
        "bar-caps",
    ];
    RECKONED.contains(&name).then_some(())
}

/// What forms are built from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormStuff {
    /// Boards of a size.
    Boards(BlockId),
    /// Sheets of a size.
    Sheets(BlockId),
    /// Nails for sheathing: 8d common.
    Nails8,
    /// Nails for joints: 16d.
    Nails16,
    /// Stakes.
    Stakes,
}

impl FormStuff {
    /// The name of its item.
    #[must_use]
    pub fn item(self, job: &Job) -> &str {
        match self {
            FormStuff::Boards(size) | FormStuff::Sheets(size) => job.name(size),
            FormStuff::Nails8 => "job.nails-8d",
            FormStuff::Nails16 => "job.nails-16d",
            FormStuff::Stakes => "job.stakes",
        }
    }
}

/// What holds bars in place while concrete is placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// Under them, off the ground.
    Chair,
    /// Between them and a form.
    Spacer,
}

impl Support {
    /// The name of its item: no block can be called `job`.
    #[must_use]
    pub fn item(self) -> &'static str {
        match self {
            Support::Chair => "job.chairs",
            Support::Spacer => "job.spacers",
        }
    }
}

/// How many bags a pour really took, where that is recorded: bought is what was used, and what is planned of the others.
fn used(facts: &Facts, pour: BlockId) -> Option<Said<u64>> {
    facts.pours.get(&pour).and_then(|done| done.bags)
}

/// The buy list: mixes, resins, bars, wire, each in the order of their names, then forms and goods. Bags are whole for each pour,
/// cartridges for the job.
#[must_use]
pub fn lines(job: &Job, around: &Around) -> Vec<Line> {
    let Around { mixings, facts, resins, bars, cuts, tying, boards, forms, .. } = *around;
    let mut bags: BTreeMap<(&str, BlockId), (u64, Mass)> = BTreeMap::new();
    for mixing in mixings {
        let sum = bags.entry((job.name(mixing.mix), mixing.mix)).or_insert((0, Mass::from_kg(0.0)));
        let (count, weight) = match (used(facts, mixing.pour), job.mix(mixing.mix)) {
            (Some(bags), Some(mix)) => (bags.value, mix.say.bag.value.weighs.0 * bags.value as f64),
            _ => (mixing.bags, mixing.weight),
        };
        *sum = (sum.0.saturating_add(count), sum.1 + weight);
    }
    let mut sizes: BTreeMap<(Length, &str, BlockId), (u64, Length, Length)> = BTreeMap::new();
    for made in bars {
        let key = (made.steel.diameter, job.name(made.steel.id), made.steel.id);
        let sum = sizes.entry(key).or_insert((0, Length::ZERO, Length::ZERO));
        let longest = made.groups.iter().map(|group| group.shape.cut).max().unwrap_or_default();
        *sum = (sum.0 + made.count, sum.1 + made.length, sum.2.max(longest));
    }
    let mut out = Vec::with_capacity(bags.len() + resins.len() + sizes.len());
    out.extend(bags.into_iter().map(|((_, mix), (count, weight))| Line::Bags { mix, count, weight }));
    out.extend(resins.iter().map(|order| Line::Resin {
        resin: order.resin,
        volume: order.volume,
        cartridges: order.cartridges,
        nozzles: order.nozzles,
        packed: order.packed,
    }));
    out.extend(sizes.into_iter().map(|((_, _, steel), (pieces, length, longest))| {
        let bought = cuts.iter().find(|plan| plan.steel == steel).map(|plan| {
            let mut bought: Vec<_> = plan.bought().map(|(source, count)| (source.length, count)).collect();
            bought.sort_unstable_by_key(|(length, _)| std::cmp::Reverse(*length));
            bought
        });
        let carried = bought.as_ref().map(|bought| {
            bought.iter().map(|(length, count)| *length * i64::try_from(*count).unwrap_or(i64::MAX)).sum()
        });
        let weight =
            crate::steel::steel(job, steel).map_or(Mass::from_kg(0.0), |steel| steel.weight(carried.unwrap_or(length)));
        Line::Bars { steel, bought, pieces, length, longest, weight }
    }));
    out.extend(tying.wire.as_ref().map(|wire| {
        let coils = wire.coils();
        Line::Wire { wire: wire.wire, coils, coil: wire.coil, length: wire.length, weight: wire.coil * coils as f64 }
    }));
    let chairs = tying.pours.iter().flat_map(|pour| &pour.chairs).map(Held::total).sum();
    let spacers = tying.pours.iter().flat_map(|pour| &pour.spacers).map(Held::total).sum();
    let held = [(Support::Chair, chairs), (Support::Spacer, spacers)].into_iter().filter(|(_, count)| *count > 0);
    out.extend(held.map(|(sort, count)| Line::Supports { sort, count }));
    out.extend(boards.iter().map(|plan| {
        let lengths = plan.bought();
        let count = lengths.iter().map(|(_, count)| count).sum();
        Line::Forms { sort: FormStuff::Boards(plan.size), count, lengths }
    }));
    let mut sheets: BTreeMap<(&str, BlockId), u64> = BTreeMap::new();
    for sheet in forms.iter().filter_map(|forms| forms.sheets.as_ref()) {
        *sheets.entry((job.name(sheet.size), sheet.size)).or_default() += sheet.count;
    }
    let sheets = sheets.into_iter().map(|((_, size), count)| (FormStuff::Sheets(size), count));
    let nails = |at: usize| forms.iter().filter_map(|forms| forms.nails.get(at)).sum::<u64>();
    let stakes = forms.iter().map(|forms| forms.stakes).sum();
    let small = [(FormStuff::Nails8, nails(0)), (FormStuff::Nails16, nails(1)), (FormStuff::Stakes, stakes)];
    let counted = sheets.chain(small).filter(|(_, count)| *count > 0);
    out.extend(counted.map(|(sort, count)| Line::Forms { sort, count, lengths: Vec::new() }));
    for line in &mut out {
        // Whoever writes how many they want gets as many.
        let wanted = purchase::library_name(line).and_then(|name| goods::wanted(job, name));
        if let (Line::Supports { count, .. } | Line::Forms { count, .. }, Some(Pack::Count(wanted))) = (line, wanted) {
            *count = u64::try_from(wanted).unwrap_or(0);
        }
    }
    out.extend(goods::lines(job, around));
    out
}
