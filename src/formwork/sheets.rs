//! Sheets: where they are joined along a form, who closes a corner, and how pieces lie in whole sheets.

use super::{Panel, Use, lumber::up};
use crate::{
    geometry::Point,
    job::Job,
    schema::{BlockId, Forms, Sheet},
    units::Length,
};

/// Ends of panels nearer to each other than this, in nanometres, meet.
const NEAR: f64 = 1_000_000.0;

/// Sheets that are shorter count as so long: of shorter ones no form is built.
const SHORTEST: Length = Length::INCH;

/// Corners that turn by less than this, as the sine of the angle, are none.
const STRAIGHT: f64 = 0.1;

/// Sheets sawn alike.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct SheetLine {
    /// How many.
    pub times: u64,
    /// Pieces: how long, how high, how many.
    pub pieces: Vec<(Length, Length, u64)>,
}

/// Whole sheets and what is sawn out of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheets {
    /// The size.
    pub size: BlockId,
    /// Sheets in all.
    pub count: u64,
    /// The sheets, alike ones together.
    pub lines: Vec<SheetLine>,
}

/// The long side of a sheet, which lies along the wall.
fn long_side(sheet: &Sheet) -> Length {
    sheet.wide.0.max(sheet.long.0)
}

/// How many bays between studs the shortest piece of a panel spans: its sheets are joined on studs.
pub(super) fn fewest_bays(job: &Job, forms: &Forms, panel: &Panel) -> u64 {
    let spacing = forms.studs.value.space.value.0;
    let sheet = job.lumber_of(forms.sheath.value.0).and_then(|size| size.say.sheet.as_ref());
    let long = sheet.map_or(panel.width, long_side);
    let studs = panel.along(spacing);
    let joints = joints(panel, Past::default(), spacing, long);
    let bays = |ends: &[Length]| 1 + inside(&studs, ends[0], ends[1]).len();
    joints.windows(2).map(|ends| bays(ends) as u64).min().unwrap_or(1)
}

/// How far the sheets of a panel reach past the ends of its face; less than nothing where another's stand in their way.
#[derive(Debug, Clone, Copy, Default)]
struct Past {
    from: Length,
    to: Length,
}

/// Where the sheets of a panel begin, are joined and end, along its face: joined in the middle of a stud, and the last piece is no
/// single bay if the one before it can spare one.
fn joints(panel: &Panel, past: Past, spacing: Length, long: Length) -> Vec<Length> {
    let (start, end) = (Length::ZERO - past.from, panel.width + past.to);
    // A bulkhead has its cleats at both ends alone.
    let studs = if panel.closes == Use::Face { panel.along(spacing) } else { Vec::new() };
    let long = long.max(SHORTEST);
    let mut out = vec![start];
    let mut last = start;
    while end - last > long {
        let reach = last + long;
        last = between(&studs, last, reach).last().copied().unwrap_or(reach);
        out.push(last);
    }
    if let [.., before, joint] = out[..] {
        let is_single = inside(&studs, joint, end).is_empty();
        if let (true, [_, .., one]) = (is_single, inside(&studs, before, joint))
            && end - *one <= long
            && let Some(joint) = out.last_mut()
        {
            *joint = *one;
        }
    }
    out.push(end);
    out
}

/// The studs after one place, up to another.
fn between(studs: &[Length], after: Length, to: Length) -> &[Length] {
    let from = studs.partition_point(|stud| *stud <= after);
    let until = studs.partition_point(|stud| *stud <= to);
    studs.get(from..until).unwrap_or_default()
}

/// The studs between two places, neither of them counted.
fn inside(studs: &[Length], after: Length, before: Length) -> &[Length] {
    between(studs, after, before - Length::from_nm(1))
}

/// Where two faces meet at a corner of the concrete, the sheets of one reach past the other's by their thickness, so that the
/// corner is closed; where they meet in a corner of the form, those of one end before the other's. Of the two it is the one
/// whose sheets do for it. Past an end with a bulkhead they reach by its thickness and a cleat, which it is nailed to.
fn past_corners(panels: &[Panel], (thick, cleat): (Length, Length), spacing: Length, long: Length) -> Vec<Past> {
    let mut out = vec![Past::default(); panels.len()];
    let is_face = |panel: &Panel| panel.closes == Use::Face;
    for (at, one) in panels.iter().enumerate().filter(|(_, panel)| is_face(panel)) {
        let [start, corner] = one.ends();
        let meets = |panel: &Panel, at: Point, end: usize| {
            panel.bottom < one.top && one.bottom < panel.top && panel.ends()[end].distance(at) < NEAR
        };
        // At a step the lower face goes on in line: there is no room beside the higher one's end.
        let goes_on = |at: Point, end: usize| {
            panels.iter().any(|panel| is_face(panel) && meets(panel, at, end) && one.turn(panel).abs() <= STRAIGHT)
        };
        let closes = |at: Point, end: usize| {
            panels.iter().any(|panel| panel.is_end && !is_face(panel) && meets(panel, at, end)) && !goes_on(at, end)
        };
        if closes(start, 1) {
            out[at].from = thick + cleat;
        }
        if closes(corner, 0) {
            out[at].to = thick + cleat;
        }
        let next = panels.iter().enumerate().find(|(other, panel)| {
            let level = panel.bottom < one.top && one.bottom < panel.top;
            *other != at && is_face(panel) && level && panel.ends()[0].distance(corner) < NEAR
        });
        let Some((after, other)) = next else { continue };
        // Seen from above, concrete lies to the left of each face.
        let turn = one.turn(other);
        if turn > STRAIGHT {
            let sheets = |panel: &Panel, past: Past| joints(panel, past, spacing, long).len();
            let to = Past { to: thick, ..out[at] };
            let from = Past { from: thick, ..out[after] };
            let costs = sheets(one, to) > sheets(one, out[at]);
            if costs && sheets(other, from) == sheets(other, out[after]) {
                out[after] = from;
            } else {
                out[at] = to;
            }
        } else if turn < -STRAIGHT {
            out[at].to = Length::ZERO - thick;
        }
    }
    out
}

/// How much longer than each face its sheathing is, so that it closes corners and ends; of boards no piece is longer than `long`.
pub(super) fn longer(panels: &[Panel], across: (Length, Length), spacing: Length, long: Length) -> Vec<Length> {
    past_corners(panels, across, spacing, long).into_iter().map(|past| past.from + past.to).collect()
}

/// The next face where one ends in a corner of the form: the boards along it stand in the way of this one's.
pub(super) fn is_shut_in(panels: &[Panel], one: &Panel) -> bool {
    let [_, corner] = one.ends();
    panels.iter().any(|panel| {
        let level = panel.bottom < one.top && one.bottom < panel.top;
        panel.closes == Use::Face && level && panel.ends()[0].distance(corner) < NEAR && one.turn(panel) < -STRAIGHT
    })
}

/// A sheet being filled: strips from one long edge to the other, each filled from one end.
struct Filling {
    strips: Vec<(Length, Length)>,
    used: Length,
    pieces: Vec<(Length, Length)>,
}

/// Pieces out of whole sheets: strips of the height of their first piece, highest and longest pieces first, each piece into
/// the first strip that has room. A sensible layout, not proved to be the least.
pub(super) fn sheets(job: &Job, forms: &Forms, cleat: Length, panels: &[Panel]) -> Option<Sheets> {
    let size = forms.sheath.value.0;
    let sheet = job.lumber_of(size)?.say.sheet.as_ref()?;
    let (wide, long) = (sheet.wide.0.min(sheet.long.0), long_side(sheet));
    let spacing = forms.studs.value.space.value.0;
    let system = job.system();
    let mut pieces: Vec<(Length, Length)> = Vec::new();
    let past = past_corners(panels, (sheet.thick.0, cleat), spacing, long);
    for (panel, past) in panels.iter().zip(past) {
        let joints = joints(panel, past, spacing, long);
        let mut high = up(panel.height(), system);
        while high > Length::ZERO {
            let row = high.min(wide);
            pieces.extend(joints.windows(2).map(|ends| (up(ends[1] - ends[0], system), row)));
            high = high - row;
        }
    }
    pieces.sort_by_key(|(length, height)| std::cmp::Reverse((*height, *length)));
    let mut all: Vec<Filling> = Vec::new();
    for (length, height) in pieces {
        let fits = all.iter().enumerate().find_map(|(sheet, filling)| {
            let strip = filling.strips.iter().position(|(high, used)| *high >= height && *used + length <= long);
            strip.map(|strip| (sheet, Some(strip))).or_else(|| (filling.used + height <= wide).then_some((sheet, None)))
        });
        let (at, strip) = fits.unwrap_or_else(|| {
            all.push(Filling { strips: Vec::new(), used: Length::ZERO, pieces: Vec::new() });
            (all.len() - 1, None)
        });
        let Some(filling) = all.get_mut(at) else { continue };
        match strip.and_then(|strip| filling.strips.get_mut(strip)) {
            Some((_, used)) => *used += length,
            None => {
                filling.strips.push((height, length));
                filling.used += height;
            }
        }
        filling.pieces.push((length, height));
    }
    let mut lines: Vec<SheetLine> = Vec::new();
    for filling in &all {
        let mut pieces: Vec<(Length, Length, u64)> = Vec::new();
        for (length, height) in &filling.pieces {
            match pieces.iter_mut().find(|(l, h, _)| (l, h) == (length, height)) {
                Some((.., count)) => *count += 1,
                None => pieces.push((*length, *height, 1)),
            }
        }
        match lines.iter_mut().find(|line| line.pieces == pieces) {
            Some(line) => line.times += 1,
            None => lines.push(SheetLine { times: 1, pieces }),
        }
    }
    Some(Sheets { size, count: u64::try_from(all.len()).unwrap_or(u64::MAX), lines })
}
