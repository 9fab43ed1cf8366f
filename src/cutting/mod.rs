//! Cutting pieces out of bars or boards with the least cost: how many bars to buy, and what to cut from each.
//!
//! A [`Problem`] holds pieces, stock and kerf, in whole numbers; [`Problem::solve`] gives a [`Plan`], or says why there is
//! none. The room knows lengths, counts and prices only.

mod columns;
mod decreasing;
mod diving;
mod knapsack;
mod leftover;
mod measure;
mod order;
mod packing;
mod plan;
mod problem;
mod search;
mod simplex;

#[cfg(test)]
mod cases;

pub use plan::{Bars, Certificate, Plan, Proof, Quick, Solved};
pub use problem::{Piece, Problem, Refusal, Stock};
pub use search::Effort;
