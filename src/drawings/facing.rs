//! The sheet of a view that faces a leg: levels at its sides, stations on one tape below it, a scale, notes.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    dimension::{Mark, Running, reach},
    lettering::{self, SMALL},
    levels::Levels,
    scene::{Anchor, Ink, Spot, Text},
    sheet::{self, Model, Scale, Sheet, scale_for},
};
use crate::units::Length;

/// From a line of dimensions to the next.
const BETWEEN: f64 = 3.2;
/// Beyond the ends of the leg, where slab and ground go on.
pub const BEYOND: f64 = 5.0;

/// A line of stations under an elevation.
pub struct Row {
    /// What it is of.
    pub title: String,
    /// The stations, and what each is of, for programs.
    pub stations: Vec<(Length, Vec<(&'static str, String)>)>,
    /// What it is of.
    pub ink: Ink,
}

/// Such a sheet while the view on it is drawn.
pub struct Facing {
    /// What is drawn.
    pub canvas: Canvas,
    /// The way from stations and levels to the sheet.
    pub model: Model,
    /// What is said under the view.
    pub notes: Vec<String>,
    title: String,
    sheet: Sheet,
    lying: bool,
    scale: u32,
    /// Where the last line of stations ends.
    below: f64,
}

impl Facing {
    /// A sheet with its head, levels and lines of stations, for a view that goes so far across and up, in nanometres, and is
    /// turned where stations run from the right. Labels stay within the view until it ends.
    pub fn new(
        of: &Of,
        levels: Levels,
        rows: &[Row],
        (across, up, turned): ((f64, f64), (f64, f64), bool),
        (title, under): (String, &str),
    ) -> Facing {
        let titles = rows.iter().map(|row| lettering::width(&row.title, SMALL, false)).fold(0.0, f64::max);
        let beside = levels.room(of);
        let most = sheet::lying(of.system).width * 0.3;
        let left = (beside.0 + 1.0).max(titles + 3.0).min(most) + BEYOND;
        let right = (beside.1 + 1.0).min(most) + BEYOND;
        let work = ((across.1 - across.0) * 1e-6, (up.1 - up.0) * 1e-6);
        let (sheet, lying, scale) = choose_sheet(of, rows.len(), work, left + right);
        let mut canvas = Canvas::default();
        let top = canvas.head(of.flags, sheet.width, &title, under) + 5.0;
        let of_scale = |length: f64| length * 1e-6 / f64::from(scale);
        let first = if turned { of_scale(across.1) } else { -of_scale(across.0) };
        let origin = Spot::new(left + first, top + of_scale(up.1));
        let model = Model { origin, per_mm: 1.0 / f64::from(scale), turned };
        let floor = model.at(0.0, up.0).y;
        let (begins, ends) = (left - BEYOND, left + of_scale(across.1 - across.0) + BEYOND);
        let mut notes: Vec<String> = Vec::new();
        notes.extend(levels.datum(of));
        notes.extend(levels.draw(of, &mut canvas, &model, (begins, ends, sheet.width), (top - 3.0, floor + 3.0)));
        let below = draw_rows(of, rows, &mut canvas, &model, (left, floor + 8.0), &mut notes);
        canvas.labels.within = Some((Spot::new(begins, top - 4.0), Spot::new(ends, floor + 3.5)));
        Facing { canvas, model, notes, title, sheet, lying, scale, below }
    }

    /// The drawing: with flags, a scale, and the notes.
    pub fn end(mut self, of: &Of, id: String, view: View, description: String) -> Drawing {
        let flags = self.canvas.flags(of.flags);
        self.canvas.labels.within = None;
        self.notes.extend(flags);
        let mut y = self.below + 2.0;
        y += self.canvas.scale_bar(y, 6.0, &Scale::new(self.scale, of.system)) + 1.5;
        y += self.canvas.notes(y, self.sheet.width, &self.notes);
        Drawing {
            id,
            view,
            title: self.title,
            description,
            width: self.sheet.width,
            height: y + 1.5,
            lying: self.lying,
            model: Some(self.model),
            items: self.canvas.items(),
        }
    }
}

/// Upright where that is large enough, else on its side: the sheet, whether it lies, the scale.
fn choose_sheet(of: &Of, rows: usize, work: (f64, f64), beside: f64) -> (Sheet, bool, u32) {
    let rows = 20.0 * rows as f64;
    let (upright, lying) = (sheet::upright(of.system), sheet::lying(of.system));
    let fit = |sheet: Sheet| {
        scale_for(work, ((sheet.width - beside - BEYOND).max(20.0), (sheet.height - rows - 40.0).max(40.0)), of.smaller)
    };
    let (small, large) = (fit(upright), fit(lying));
    if small <= 16 || small <= large { (upright, false, small) } else { (lying, true, large) }
}

/// Draws lines of stations below each other; gives where they end.
fn draw_rows(
    of: &Of,
    rows: &[Row],
    canvas: &mut Canvas,
    model: &Model,
    (left, top): (f64, f64),
    notes: &mut Vec<String>,
) -> f64 {
    let mut y = top;
    let zero = model.at(0.0, 0.0).x;
    for row in rows {
        let mut marks: Vec<Mark> = row
            .stations
            .iter()
            .map(|(at, data)| Mark { at: model.length(*at), says: of.place(*at), of: data.clone() })
            .collect();
        if marks.first().is_none_or(|mark| mark.at > 0.0) {
            marks.insert(0, Mark { at: 0.0, says: "0".into(), of: Vec::new() });
        }
        let running = Running {
            from: Spot::new(zero, y),
            along: (if model.turned { -1.0 } else { 1.0 }, 0.0),
            away: (0.0, 1.0),
            back: vec![1.8; marks.len()],
            slack: BEYOND - 1.5,
            ink: row.ink,
            hook: true,
            marks,
        };
        let deep = reach(&running.marks, running.slack);
        if !running.draw(canvas) {
            notes.push(format!("Not every station of {} has room here: the tables have them all.", row.title));
        }
        let title = lettering::fitted(&row.title, SMALL, false, left - BEYOND - 1.0);
        let at = Spot::new(left - BEYOND - 1.0, y);
        canvas.text(Text {
            at: lettering::centred(at, SMALL, 0.0),
            anchor: Anchor::End,
            angle: 0.0,
            size: SMALL,
            bold: false,
            ink: row.ink,
            says: title,
        });
        y += deep + BETWEEN;
    }
    y
}
