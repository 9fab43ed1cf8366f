//! Outlines, layered solids, faces, walks and distances. Knows nothing of concrete.
//!
//! A [`Run`] is a chain of legs in plan, and [`Run::strip`] gives the [`Outline`] of what stands along it. [`solid`]
//! stacks outlines into a [`Solid`] with its volume and its faces, each with what lies behind it. A [`Walk`] is a bent
//! line and has a cut length; [`distance`] finds what comes near what. Lengths are whole nanometres, plan points are
//! nanometres in `f64`, and whatever is square to its own legs is measured exactly, whichever way the job is turned.

mod boxes;
mod cake;
mod carve;
pub mod distance;
mod face;
mod outline;
mod patch;
mod point;
mod run;
mod strip;
mod walk;

#[cfg(test)]
mod cases;
#[cfg(test)]
mod invariants;

pub use boxes::{Bounds, BoxTree};
pub use cake::{Old, Piece, Solid, Void, solid};
pub use face::{Face, FaceKind};
pub use outline::{Edge, Flank, Outline, Ring, Side};
pub use patch::{Patch, near_patches, patches_about};
pub use point::{Frame, Point};
pub use run::{Leg, Run};
pub use strip::{Refusal, SHARPEST, Strip};
pub use walk::{
    BendRefusal, SHARPEST_APEX, Spot, Walk, cut_length, hook_addition, out_to_out_deduction, out_to_out_length,
    path_round_corners,
};
