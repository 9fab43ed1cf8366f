//! Long bars: along a wall, over steps and round corners.

use super::{
    bars::{BarTrouble, Group, Maker, Place},
    course::{self, CourseTrouble},
    shape::Shape,
};
use crate::{
    holes::{Level, RowTrouble},
    schema::RowLevel,
    units::Length,
};

/// How far a long bar stops short of each end when nothing is said: common practice for formed faces, no source.
pub const USUAL_ENDS: Length = Length::from_nm(2 * Length::INCH.nm());

/// How many of its diameters a bar is lapped by when nothing is said: common practice, no source.
pub const USUAL_LAP_DIAMETERS: i64 = 40;

impl Maker<'_> {
    /// The bars of all rows.
    pub(super) fn long(&mut self) -> Option<Vec<Group>> {
        self.only("rows", &["out", "space", "inset", "from", "legs"]);
        let say = &self.bars.say;
        let Some(offset) = say.offset else {
            self.lacks("offset", "`rows`");
            return None;
        };
        let rows = say.rows.as_ref()?;
        let along = say.along.as_ref()?;
        let at = self.at("rows");
        let Some(heights) = rows.value.heights.as_ref().filter(|_| rows.value.offsets.is_none()) else {
            self.troubles.push(BarTrouble::Rows(RowTrouble::WrongMeasure { at, wants: "height" }));
            return None;
        };
        let ends = say.ends.map_or(USUAL_ENDS, |ends| ends.0);
        let usual_lap = self.steel.diameter * USUAL_LAP_DIAMETERS;
        let lap = say.lap.map_or(usual_lap, |lap| lap.value.0);
        let along_at = self.at("along");
        let said = course::Said { along, offset: offset.value, ends, lap };
        let mut groups = Vec::new();
        let mut found = Vec::new();
        for (number, height) in heights.iter().enumerate() {
            let courses = course::courses(self.job, self.standing, self.sections, said, height.value, &mut found);
            for trouble in found.drain(..) {
                self.troubles.push(match trouble {
                    CourseTrouble::NothingLeft { length } => BarTrouble::NothingLeft { at: along_at, length, ends },
                    CourseTrouble::LapShort { lap, room } => BarTrouble::LapShort { at: height.span, lap, room },
                });
            }
            let Some(courses) = courses else {
                let at = height.span;
                self.troubles.push(match height.value {
                    RowLevel::At(level) => {
                        BarTrouble::Rows(RowTrouble::Outside { at, level: Level::Height(level), along: along_at })
                    }
                    RowLevel::Top(_) | RowLevel::Bottom(_) => BarTrouble::NothingToFollow { at, along: along_at },
                });
                continue;
            };
            let row = u16::try_from(number + 1).unwrap_or(u16::MAX);
            for course in courses {
                if say.lap.is_none() && course.goes_on {
                    self.usual_lap = Some(usual_lap);
                }
                let (from, to) = (course.from, course.to);
                let Some(chain) = self.standing.chain(from.0) else { continue };
                let shape = Shape::along(
                    &chain.run,
                    (from.0.leg as usize, from.1),
                    (to.0.leg as usize, to.1),
                    offset.value,
                    self.steel.bend,
                    &self.steel,
                );
                match shape {
                    Ok(shape) => {
                        self.straight_between(&shape, along_at);
                        let place = Place::Long { row, level: course.level, from, to };
                        let begins = Some((offset.value, course.level));
                        groups.push(Group { place, from: begins, count: 1, shape, mark: 0 });
                    }
                    Err(refusal) => self.refused(refusal, along_at),
                }
            }
        }
        Some(groups)
    }
}
