//! From walls and sections to solids, and from solids to bags, water, batches and trips.

mod classes;
mod filled;
mod hanging;
mod keys;
mod mix;
mod mix_numbers;
mod numbers;
mod over;
mod planned;
mod pours;
mod readied;
mod sections;
mod standing;

pub use classes::{Areas, Class, class, classes_in_order};
pub use filled::{OnLeg, filled_to, on_legs};
pub use keys::{Key, Keys};
pub use mix::{Batch, CEMENT_IN_A_BAG, MOST_BAGS, Mixing, TooWet, USUAL_WASTE, Unmixed, mixing, too_wet};
pub use mix_numbers::{enter_mixing, enter_mixings};
pub use numbers::{enter_solids, strip_plan};
pub use over::{Over, over, room_for};
pub use planned::{Planned, PlannedAt, planned_at};
pub use pours::{Hang, Joint, Made, Meets, PourSolid, Removed, Shared, Skin, Solids, formed, pour_faces, solids};
pub use readied::Readied;
pub use sections::{Placed, PlacedVoid, SectionTrouble, Sections, depth, sections};
pub use standing::{Chain, Interval, LegAt, OldPart, Piece, Standing, StandingTrouble, standing};
