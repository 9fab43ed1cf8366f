//! What is to be cut out of what, and what cannot be taken up at all.

/// The largest length taken: some 1,100 km in nanometres.
const LONGEST: i64 = 1 << 50;
/// The largest count of pieces, and of bars, taken.
const MOST: u64 = 1 << 30;
/// The highest price of one bar taken.
const DEAREST: i64 = 1 << 40;

/// Pieces of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Piece {
    /// Finished length, in the same whole units as every other length of the problem.
    pub length: i64,
    /// How many are needed.
    pub count: u64,
}

/// Bars of one stock length: bought ones, or offcuts at hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Stock {
    /// Length of one bar.
    pub length: i64,
    /// Price of one bar in whole money units; the length where no price is known; zero for an offcut already paid for.
    pub price: i64,
    /// How many there are; `None` when as many as needed can be had.
    pub limit: Option<u64>,
}

/// Pieces to be cut out of stock with the least cost.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Problem {
    /// The pieces. Two kinds may have one length.
    pub pieces: Vec<Piece>,
    /// The stock.
    pub stock: Vec<Stock>,
    /// What one cut takes. The last piece of a bar needs no cut when it ends where the bar ends, so a bar holds k
    /// pieces if their lengths and k − 1 cuts fit; a leftover shorter than the cut is lost.
    pub kerf: i64,
}

/// Why there is no plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// A piece of no length.
    PieceLength {
        /// Which kind of piece.
        piece: usize,
    },
    /// A bar of no length.
    StockLength {
        /// Which stock.
        stock: usize,
    },
    /// A price below zero.
    Price {
        /// Which stock.
        stock: usize,
    },
    /// A cut that takes less than nothing.
    Kerf,
    /// A length, count or price beyond what is reckoned with, or a sum of them.
    TooLarge,
    /// Pieces, and nothing to cut them from.
    NoStock,
    /// A piece longer than every bar.
    TooLong {
        /// The longest such kind of piece.
        piece: usize,
    },
    /// The bars at hand do not do.
    StockShort {
        /// How many more of the longest bar would do.
        missing: u64,
        /// Whether fewer are known not to do.
        proven: bool,
    },
}

impl Problem {
    /// Whether it can be taken up: lengths, counts and prices in range, and a bar for every piece.
    pub(super) fn check(&self) -> Result<(), Refusal> {
        if self.kerf < 0 {
            return Err(Refusal::Kerf);
        }
        for (at, piece) in self.pieces.iter().enumerate() {
            if piece.length <= 0 {
                return Err(Refusal::PieceLength { piece: at });
            }
        }
        for (at, stock) in self.stock.iter().enumerate() {
            if stock.length <= 0 {
                return Err(Refusal::StockLength { stock: at });
            }
            if stock.price < 0 {
                return Err(Refusal::Price { stock: at });
            }
        }
        let total: u128 = self.pieces.iter().map(|piece| u128::from(piece.count)).sum();
        let long = |length: i64| length > LONGEST;
        if total > u128::from(MOST)
            || long(self.kerf)
            || self.pieces.iter().any(|piece| long(piece.length))
            || self.stock.iter().any(|stock| long(stock.length) || stock.price > DEAREST)
        {
            return Err(Refusal::TooLarge);
        }
        let wanted = || self.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0);
        // The first of the longest, so that the answer does not hang on how the longest is looked for.
        let Some((piece, longest)) = wanted().rev().max_by_key(|(_, piece)| piece.length) else { return Ok(()) };
        match self.stock.iter().filter(|stock| stock.limit != Some(0)).map(|stock| stock.length).max() {
            None => Err(Refusal::NoStock),
            Some(bar) if bar < longest.length => Err(Refusal::TooLong { piece }),
            Some(_) => Ok(()),
        }
    }
}
