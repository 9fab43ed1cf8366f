//! All tests that look at the crate from outside, in one binary: one file a subject.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod cases;
mod commands;
mod contract;
mod drawings;
mod examples;
mod floors;
mod hostile;
mod invariants;
mod marks;
mod mistakes;
mod numbers;
mod reading;
mod readme;
mod reference;
