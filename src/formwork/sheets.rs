//! Sheets: where they are joined along a form, and how pieces lie in whole sheets.

use super::{
    BoxOut, Panel, Past, Use,
    lumber::{kerf, up},
};
use crate::{
    job::Job,
    schema::{BlockId, Forms, Sheet},
    units::{Length, System, whole_up},
};

/// Sheets that are shorter count as so long: of shorter ones no form is built.
const SHORTEST: Length = Length::INCH;

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
    /// What a cut takes.
    pub kerf: Length,
}

/// The long side of a sheet, which lies along the wall.
pub(super) fn long_side(sheet: &Sheet) -> Length {
    sheet.wide.0.max(sheet.long.0)
}

/// How many bays between studs the shortest piece of a panel spans: its sheets are joined on studs.
pub(super) fn fewest_bays(job: &Job, forms: &Forms, panel: &Panel) -> u64 {
    let studs = panel.studs(forms.studs.value.space.value.0);
    let (Some(first), Some(last)) = (studs.first(), studs.last()) else { return 1 };
    // What reaches past the outermost stud is no bay.
    let bays = |ends: &[Length]| 1 + inside(&studs, ends[0].max(*first), ends[1].min(*last)).len();
    sheathing(job, forms, panel).windows(2).map(|ends| bays(ends) as u64).min().unwrap_or(1)
}

/// Where the sheathing of a panel begins, is joined upright and ends, along its face. Boards are joined where the longest that is
/// bought ends, which no drawing tells.
#[must_use]
pub fn sheathing(job: &Job, forms: &Forms, panel: &Panel) -> Vec<Length> {
    let sheet = job.lumber_of(forms.sheath.value.0).and_then(|size| size.say.sheet.as_ref());
    match sheet {
        Some(sheet) => joints(panel, panel.reach.sheath, forms.studs.value.space.value.0, long_side(sheet)),
        None => <[Length; 2]>::from(panel.reach.sheath.along(panel.width)).to_vec(),
    }
}

/// Where the sheets of a panel begin, are joined and end, along its face: joined in the middle of a stud, and the last piece is no
/// single bay if the one before it can spare one.
pub(super) fn joints(panel: &Panel, past: Past, spacing: Length, long: Length) -> Vec<Length> {
    let (start, end) = past.along(panel.width);
    // A bulkhead has its cleats at both ends alone.
    let studs = if panel.closes == Use::Face { panel.studs(spacing) } else { Vec::new() };
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

/// Boards of the sheathing upon each other before a panel, and how wide the top one is ripped where it is narrower than the others;
/// none where it is of sheets.
#[must_use]
pub fn boards_high(job: &Job, forms: &Forms, panel: &Panel) -> Option<(u64, Option<Length>)> {
    let wide = job.lumber_of(forms.sheath.value.0)?.say.size.as_ref()?.wide.0;
    let rows = whole_up(panel.height().nm() as f64 / wide.nm().max(1) as f64);
    let below = wide * i64::try_from(rows).unwrap_or(i64::MAX).saturating_sub(1);
    let top = panel.height() - below;
    Some((rows, (top < wide).then_some(top)))
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

/// A sheet being filled: strips from one long edge to the other, each filled from one end.
struct Filling {
    strips: Vec<(Length, Length)>,
    used: Length,
    pieces: Vec<(Length, Length)>,
}

/// A board that is larger than a sheet, as the pieces it is put together from.
fn parted(length: Length, height: Length, (long, wide): (Length, Length), system: System) -> Vec<(Length, Length)> {
    let parts = |all: Length, most: Length| {
        let mut left = up(all, system);
        std::iter::from_fn(move || {
            let part = left.min(most);
            left = left - part;
            (part > Length::ZERO).then_some(part)
        })
    };
    parts(height, wide).flat_map(|high| parts(length, long).map(move |long| (long, high))).collect()
}

/// Pieces out of whole sheets: strips of the height of their first piece, highest and longest pieces first, each piece into
/// the first strip that has room. Between two strips, and between two pieces of one, the saw takes its cut; what ends at an edge of
/// the sheet takes none. A sensible layout, not proved to be the least.
pub(super) fn sheets(job: &Job, forms: &Forms, panels: &[Panel], boxes: &[BoxOut]) -> Option<Sheets> {
    let size = forms.sheath.value.0;
    let sheet = job.lumber_of(size)?.say.sheet.as_ref()?;
    let (wide, long) = (sheet.wide.0.min(sheet.long.0), long_side(sheet));
    let (system, kerf) = (job.system(), kerf(job, size));
    let mut pieces: Vec<(Length, Length)> = Vec::new();
    for panel in panels {
        let joints = sheathing(job, forms, panel);
        let mut high = up(panel.height(), system);
        while high > Length::ZERO {
            let row = high.min(wide);
            pieces.extend(joints.windows(2).map(|ends| (up(ends[1] - ends[0], system), row)));
            high = high - row;
        }
    }
    for (length, height, count) in boxes.iter().flat_map(|one| &one.boards) {
        for (length, height) in parted(*length, *height, (long.max(SHORTEST), wide.max(SHORTEST)), system) {
            pieces.extend((0..*count).map(|_| (length, height)));
        }
    }
    pieces.sort_by_key(|(length, height)| std::cmp::Reverse((*height, *length)));
    let mut all: Vec<Filling> = Vec::new();
    for (length, height) in pieces {
        let fits = all.iter().enumerate().find_map(|(sheet, filling)| {
            let strip = filling.strips.iter().position(|(high, used)| *high >= height && *used + kerf + length <= long);
            strip
                .map(|strip| (sheet, Some(strip)))
                .or_else(|| (filling.used + kerf + height <= wide).then_some((sheet, None)))
        });
        let (at, strip) = fits.unwrap_or_else(|| {
            all.push(Filling { strips: Vec::new(), used: Length::ZERO, pieces: Vec::new() });
            (all.len() - 1, None)
        });
        let Some(filling) = all.get_mut(at) else { continue };
        match strip.and_then(|strip| filling.strips.get_mut(strip)) {
            Some((_, used)) => *used += kerf + length,
            None => {
                filling.used += if filling.strips.is_empty() { height } else { kerf + height };
                filling.strips.push((height, length));
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
    Some(Sheets { size, count: u64::try_from(all.len()).unwrap_or(u64::MAX), lines, kerf })
}
