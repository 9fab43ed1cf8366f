//! Long bars: along a wall, over steps and round corners.

use super::{
    bars::{BarTrouble, Group, Maker, Place},
    course::{self, Course, CourseTrouble},
    lap_rule,
    laps::{self, Layout, Rule},
    round::LongBars,
    shape::Shape,
    stock::longest_stock,
    way::Way,
};
use crate::{
    concrete::LegAt,
    holes::{Level, RowTrouble},
    schema::RowLevel,
    source::Span,
    units::Length,
};

/// How far a long bar stops short of each end when nothing is said: common practice for formed faces, no source.
pub const USUAL_ENDS: Length = Length::from_nm(2 * Length::INCH.nm());

impl Maker<'_> {
    /// The bars of all rows.
    pub(super) fn long(&mut self, long: &LongBars) -> Option<Vec<Group>> {
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
        self.round = long.round(self.job, self.standing, self.sections, self.bars);
        let (rule, _) = lap_rule::lap(self.job, say, &self.steel, &self.round);
        let lap = say.lap.map_or(rule.length, |lap| lap.value.0);
        let mut laps_somewhere = false;
        let along_at = self.at("along");
        let said = course::Said { along, offset: offset.value, ends, lap };
        let mut drafts: Vec<Draft> = Vec::new();
        let mut found = Vec::new();
        let mut short: Option<(Span, Length, Length)> = None;
        let mut farthest: Option<(Span, Length, Length)> = None;
        let may = lap_rule::apart(self.job, &self.steel, lap, &rule);
        for (number, height) in heights.iter().enumerate() {
            let courses = course::courses(self.job, self.standing, self.sections, said, height.value, &mut found);
            for trouble in found.drain(..) {
                match trouble {
                    CourseTrouble::NothingLeft { length } => {
                        self.troubles.push(BarTrouble::NothingLeft { at: along_at, length, ends });
                    }
                    // One lap is written for all rows: the one with least room is told.
                    CourseTrouble::LapShort { lap, room } => {
                        if short.is_none_or(|(_, _, least)| room < least) {
                            short = Some((height.span, lap, room));
                        }
                    }
                }
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
                if let Some(past) = course.goes_on {
                    laps_somewhere = true;
                    let apart = long.nearest(past, course.level, offset.value, self.steel.diameter);
                    if apart > may.most && farthest.is_none_or(|(_, _, most)| apart > most) {
                        farthest = Some((height.span, course.level, apart));
                    }
                }
                drafts.extend(self.draft(row, course, said, along_at));
            }
        }
        self.troubles.extend(short.map(|(at, lap, room)| BarTrouble::LapShort { at, lap, room }));
        self.troubles.extend(farthest.map(|(at, level, apart)| {
            let apart = Some(apart).filter(|apart| *apart < Length::METRE);
            BarTrouble::LapApart { at, level, apart, may }
        }));
        // Rows are beside each other in the order of their levels.
        drafts.sort_by_key(|draft| (draft.course.from.0.chain, draft.course.level, draft.row, draft.course.from));
        self.apart = laps::stagger(lap);
        let rows: Vec<&[Layout]> = drafts.iter().map(|draft| draft.layouts.as_slice()).collect();
        let chosen = laps::pick(&rows, self.apart, &laps::least_steel);
        for (draft, chosen) in drafts.iter_mut().zip(chosen) {
            draft.chosen = chosen;
        }
        drafts.sort_by_key(|draft| (draft.row, draft.course.from, draft.course.to));
        let open = drafts.iter_mut().filter(|draft| draft.layouts.len() > 1);
        for (draft, chosen) in open.zip(self.chosen.into_iter().flatten()) {
            draft.chosen = *chosen;
        }
        let groups = self.pieces(&drafts, offset.value, along_at)?;
        if laps_somewhere || groups.iter().any(|group| !group.lapped_with.is_empty()) {
            self.laps_by = Some(lap);
            match say.lap {
                None => self.usual_lap = Some(rule),
                Some(said) if said.value.0 < rule.length => {
                    let fits = drafts.iter().all(|draft| self.has_room(draft.course, offset.value, rule.length));
                    self.troubles.push(BarTrouble::LapUnderRule { at: said.span, lap: said.value.0, rule, fits });
                }
                Some(_) => {}
            }
        }
        self.rows = drafts
            .into_iter()
            .filter(|draft| draft.layouts.len() > 1)
            .map(|draft| LongRow {
                row: draft.row,
                from: draft.course.from,
                level: draft.course.level,
                layouts: draft.layouts,
                chosen: draft.chosen,
            })
            .collect();
        Some(groups)
    }

    /// The longest piece a long bar may have.
    fn longest_piece(&self) -> Length {
        let (stock, _) = longest_stock(self.job, self.steel.id);
        self.bars.say.pieces.as_ref().map_or(stock, |pieces| pieces.value.most.0.min(stock))
    }

    /// The ways one bar may be cut into pieces.
    fn draft(&mut self, row: u16, course: Course, said: course::Said, at: Span) -> Option<Draft> {
        let chain = self.standing.chain(course.from.0)?;
        let run = &chain.run;
        let most = self.longest_piece();
        let radius = (self.steel.bend + self.steel.diameter) / 2;
        let rule = Rule { lap: said.lap, most, radius, diameter: self.steel.diameter };
        let run_of = |(on, station): (LegAt, Length)| run.distance(usize::from(on.leg), station);
        let whole = |from, to| Layout { spans: vec![(from, to)], cuts: Vec::new(), laps: Vec::new() };
        let made = |layouts| Some(Draft { row, course, layouts, chosen: 0 });
        let refused = if course.ring {
            let pieces = pieces_at_least(run.total(), rule);
            if pieces > self.limit {
                return self.too_many(pieces);
            }
            match laps::ring_layouts(run, course.from.0.chain, said.offset, rule, &run_of) {
                Ok(layouts) => return made(layouts),
                Err(refused) => refused,
            }
        } else {
            let way = Way::new(run, course.from, course.to, true, said.offset);
            let Some(way) = way else { return made(vec![whole(course.from, course.to)]) };
            let pieces = pieces_at_least(way.length(), rule);
            if pieces > self.limit {
                return self.too_many(pieces);
            }
            match laps::layouts(&way, rule, &run_of) {
                Ok(layouts) => return made(layouts),
                Err(refused) => refused,
            }
        };
        let (lap, ring) = (said.lap, course.ring);
        let asked = lap_rule::lap(self.job, &self.bars.say, &self.steel, &self.round).0.length;
        self.troubles.push(BarTrouble::NoRoomForLap { at, lap, most, would_do: refused.would_do, asked, ring });
        // A ring that cannot be lapped ends short on both sides of its corner.
        let (mut from, mut to) = (course.from, course.to);
        if course.ring {
            (from.1, to.1) = (from.1 + said.ends, to.1 - said.ends);
        }
        made(vec![whole(from, to)])
    }

    /// Whether a course has room for laps of this length.
    fn has_room(&self, course: Course, offset: Length, lap: Length) -> bool {
        let Some(chain) = self.standing.chain(course.from.0) else { return true };
        let run = &chain.run;
        let radius = (self.steel.bend + self.steel.diameter) / 2;
        let rule = Rule { lap, most: self.longest_piece(), radius, diameter: self.steel.diameter };
        let run_of = |(on, station): (LegAt, Length)| run.distance(usize::from(on.leg), station);
        if course.ring {
            return laps::ring_layouts(run, course.from.0.chain, offset, rule, &run_of).is_ok();
        }
        let way = Way::new(run, course.from, course.to, true, offset);
        way.is_none_or(|way| laps::layouts(&way, rule, &run_of).is_ok())
    }

    fn too_many(&mut self, count: u64) -> Option<Draft> {
        let at = self.at("pieces");
        self.troubles.push(BarTrouble::Rows(RowTrouble::TooMany { at, count, limit: self.limit }));
        None
    }

    /// The bars of the layouts that were chosen: each piece a bar of its own, which knows the pieces it is lapped with.
    fn pieces(&mut self, drafts: &[Draft], offset: Length, along_at: Span) -> Option<Vec<Group>> {
        let mut groups: Vec<Group> = Vec::new();
        for draft in drafts {
            let Some(layout) = draft.layouts.get(draft.chosen) else { continue };
            let first = groups.len();
            for (from, to) in &layout.spans {
                let Some(chain) = self.standing.chain(from.0) else { continue };
                let (begins, ends) = ((from.0.leg as usize, from.1), (to.0.leg as usize, to.1));
                match Shape::along(&chain.run, begins, ends, offset, self.steel.bend, &self.steel) {
                    Ok(shape) => {
                        self.straight_between(&shape, along_at);
                        let level = draft.course.level;
                        let place = Place::Long { row: draft.row, level, from: *from, to: *to };
                        let lapped_with = Vec::new();
                        groups.push(Group {
                            place,
                            from: Some((offset, level)),
                            count: 1,
                            shape,
                            mark: 0,
                            lapped_with,
                        });
                    }
                    Err(refusal) => self.refused(refusal, along_at),
                }
            }
            let made = groups.len() - first;
            if made == layout.spans.len() && made > 1 {
                let number = |at: usize| u32::try_from(first + at).unwrap_or(u32::MAX);
                for (at, group) in groups.iter_mut().skip(first).enumerate() {
                    if draft.course.ring || at > 0 {
                        self.laps.push(number(at));
                    }
                    let before = if draft.course.ring { Some((at + made - 1) % made) } else { at.checked_sub(1) };
                    let after = if draft.course.ring { Some((at + 1) % made) } else { Some(at + 1) };
                    group.lapped_with = before.into_iter().chain(after.filter(|at| *at < made)).map(number).collect();
                    group.lapped_with.sort_unstable();
                    group.lapped_with.dedup();
                }
            }
            if u64::try_from(groups.len()).is_ok_and(|count| count > self.limit) {
                let count = groups.len() as u64;
                self.too_many(count);
                return None;
            }
        }
        Some(groups)
    }

    /// Says which bars are longer than what they can be cut from; of long bars that is said with their laps.
    pub(super) fn too_long(&mut self, groups: &[Group]) {
        let (stock, _) = longest_stock(self.job, self.steel.id);
        let longest =
            groups.iter().filter(|group| !matches!(group.place, Place::Long { .. })).map(|group| group.shape.cut).max();
        if let Some(cut) = longest.filter(|cut| *cut > stock) {
            let at = self.at(if self.bars.say.legs.is_some() { "legs" } else { "out" });
            self.troubles.push(BarTrouble::TooLong { at, cut, stock });
        }
    }
}

/// A long bar that is cut into pieces, and how else it could be.
#[derive(Debug, Clone, PartialEq)]
pub struct LongRow {
    /// Its row, from 1.
    pub row: u16,
    /// Where it begins.
    pub from: (LegAt, Length),
    /// Its level.
    pub level: Length,
    /// All ways to cut it that are worth a choice.
    pub layouts: Vec<Layout>,
    /// The one that was chosen.
    pub chosen: usize,
}

impl LongRow {
    /// Where it lies, so that rows in this order are beside each other.
    pub(super) fn place(&self) -> impl Ord + use<> {
        (self.from.0.chain, self.level, self.row, self.from)
    }
}

/// A bar that is still to be cut into pieces.
struct Draft {
    row: u16,
    course: Course,
    layouts: Vec<Layout>,
    chosen: usize,
}

/// How many pieces a bar of this length comes to at the least, where each is the longest; 0 where none is longer than its lap.
fn pieces_at_least(length: Length, rule: Rule) -> u64 {
    // Pieces no longer than their laps get nowhere: there is no room, however many they are.
    let gain = (rule.most - rule.lap).nm();
    if gain <= 0 {
        return 0;
    }
    u64::try_from((length - rule.lap).nm() / gain).unwrap_or(0)
}
