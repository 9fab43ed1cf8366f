//! Outlines, layered solids, faces, walks and distances. Knows nothing of concrete.

mod boxes;
mod cake;
mod carve;
mod face;
mod outline;
mod point;
mod run;
mod walk;

#[cfg(test)]
mod cases;

pub use boxes::{Bounds, BoxTree};
pub use cake::{Old, Piece, Solid, Void, solid};
pub use face::{Face, FaceKind};
pub use outline::{Edge, Flank, Outline, Ring, Side};
pub use point::{Frame, Point};
pub use run::{Leg, Refusal, Run, SHARPEST, Strip};
pub use walk::{
    BendRefusal, SHARPEST_APEX, Spot, Walk, cut_length, hook_addition, out_to_out_deduction, out_to_out_length,
    path_round_corners,
};
