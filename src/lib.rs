//! Batterboard: a text language for concrete work added to an existing foundation, and its compiler.
//!
//! A job file is read into a [`language`] tree, built into a typed job, computed into works, checked,
//! and printed as papers. `DEVELOPERS.md` draws the rooms and the floors they stand on.

pub mod buying;
pub mod checks;
pub mod cli;
pub mod comparing;
pub mod compile;
pub mod concrete;
pub mod cores;
pub mod curing;
pub mod cutting;
pub mod drawings;
pub mod facts;
pub mod formwork;
pub mod gathering;
pub mod geometry;
pub mod hazards;
pub mod holes;
pub mod job;
pub mod language;
pub mod learning;
pub mod ledger;
pub mod library;
pub mod outcome;
pub mod placing;
pub mod plan;
pub mod pouring;
pub mod problem;
pub mod reports;
pub mod scheduling;
pub mod schema;
pub mod sitework;
pub mod source;
pub mod standards;
pub mod steel;
pub mod units;
pub mod works;
pub mod yard;
