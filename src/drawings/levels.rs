//! Levels beside a drawing: figures from the datum on the left, names on the right, and where something stays free above the
//! work, figures measured down from it before the names.

use super::{
    Of,
    canvas::Canvas,
    dimension::PITCH,
    labels::{Room, spread},
    lettering::{self, SMALL},
    scene::{Anchor, Dash, Ink, Item, Spot, Text, Weight, stroke},
    sheet::Model,
};
use crate::units::Length;

/// From the drawing to the figures: a line that may be led aside.
const LED: f64 = 5.8;

/// A level worth a figure, in nanometres.
#[derive(Debug)]
struct Mark {
    level: f64,
    names: Vec<String>,
    ink: Ink,
}

/// The levels of one drawing.
#[derive(Debug, Default)]
pub struct Levels {
    marks: Vec<Mark>,
    /// What stays free when the work is done: levels are measured down from here too.
    pub stays: Option<f64>,
}

impl Levels {
    /// None yet, measured down from here too.
    #[must_use]
    pub fn down_from(stays: Option<f64>) -> Levels {
        Levels { marks: Vec::new(), stays }
    }

    /// Adds a name to a level.
    pub fn add(&mut self, level: f64, name: String, ink: Ink) {
        let Some(mark) = self.marks.iter_mut().find(|mark| mark.level == level) else {
            self.marks.push(Mark { level, names: vec![name], ink });
            return;
        };
        // "top of low, high", not "top of low; top of high".
        let begins =
            |word: &str| name.starts_with(word) && mark.names.last().is_some_and(|last| last.starts_with(word));
        let marked = name.split_once(", mark ").map_or_else(String::new, |(bars, _)| format!("{bars}, mark "));
        match ["top of ", "bottom of ", &marked].into_iter().find(|word| !word.is_empty() && begins(word)) {
            _ if mark.names.contains(&name) => {}
            Some(word) => {
                if let Some(last) = mark.names.last_mut() {
                    let rest = name.get(word.len()..).unwrap_or("");
                    if !last.split(", ").any(|other| other.trim_start_matches(word) == rest) {
                        last.push_str(", ");
                        last.push_str(rest);
                    }
                }
            }
            None => mark.names.push(name),
        }
    }

    /// The figure from the datum, the one measured down from what stays free, and the names.
    fn words(&self, of: &Of, mark: &Mark) -> (String, String, String) {
        let down = self
            .stays
            .filter(|stays| mark.level < *stays)
            .map_or_else(String::new, |stays| of.place(Length::round_nm(stays - mark.level)));
        (of.place(Length::round_nm(mark.level)), down, mark.names.join("; "))
    }

    /// How wide the figures on the left, those on the right and the names are.
    fn widths(&self, of: &Of) -> (f64, f64, f64) {
        let wide = |says: &str| lettering::width(says, SMALL, false);
        self.marks.iter().map(|mark| self.words(of, mark)).fold((0.0, 0.0, 0.0), |most: (f64, f64, f64), says| {
            (most.0.max(wide(&says.0)), most.1.max(wide(&says.1)), most.2.max(wide(&says.2)))
        })
    }

    /// How much room they take on the left and on the right.
    #[must_use]
    pub fn room(&self, of: &Of) -> (f64, f64) {
        let (left, down, names) = self.widths(of);
        let down = if down > 0.0 { down + 2.2 } else { 0.0 };
        (left + LED, down + names + LED)
    }

    fn hold_datum(&self) -> bool {
        self.marks.iter().any(|mark| mark.level >= 0.0) && self.marks.iter().any(|mark| mark.level <= 0.0)
    }

    /// What level 0 is, and where it is to be seen.
    #[must_use]
    pub fn datum(&self, of: &Of) -> Option<String> {
        let datum = of.datum()?;
        Some(if self.hold_datum() {
            format!("Level 0 (filled triangle): {datum}.")
        } else {
            format!("Level 0, off this drawing: {datum}.")
        })
    }

    /// Draws them left and right of a drawing between two heights; gives notes of what had no room.
    pub fn draw(
        mut self,
        of: &Of,
        canvas: &mut Canvas,
        model: &Model,
        (left, right, end): (f64, f64, f64),
        room: (f64, f64),
    ) -> Vec<String> {
        let mut notes = Vec::new();
        let (_, down_wide, _) = self.widths(of);
        self.marks.sort_by(|a, b| b.level.total_cmp(&a.level));
        let wanted: Vec<f64> = self.marks.iter().map(|mark| model.at(0.0, mark.level).y).collect();
        let mut kept: Vec<usize> = (0..wanted.len()).collect();
        let places = loop {
            let these: Vec<f64> = kept.iter().filter_map(|at| wanted.get(*at).copied()).collect();
            match spread(&these, PITCH, room) {
                Some(places) => break places,
                None if kept.len() < 2 => break these,
                None => kept = kept.into_iter().step_by(2).collect(),
            }
        };
        let thin = stroke(Weight::Thin, Dash::Solid, Ink::Soft);
        for (at, place) in kept.iter().zip(&places) {
            let (Some(mark), Some(y)) = (self.marks.get(*at), wanted.get(*at)) else { continue };
            let (level, down, names) = self.words(of, mark);
            let leader = |x: f64, way: f64| {
                let spot = |on: f64, y: f64| Spot::new(x + way * on, y);
                vec![spot(0.0, *y), spot(1.0, *y), spot(4.0, *place), spot(LED - 0.6, *place)]
            };
            canvas.back(Item::line(leader(left, -1.0), thin));
            canvas.back(Item::line(leader(right, 1.0), thin));
            let written = |x: f64, anchor: Anchor, says: String| Text {
                at: lettering::centred(Spot::new(x, *place), SMALL, 0.0),
                anchor,
                angle: 0.0,
                size: SMALL,
                bold: false,
                ink: mark.ink,
                says,
            };
            let of_level = vec![("level", Length::round_nm(mark.level).nm().to_string())];
            canvas.text_of(written(left - LED, Anchor::End, level), of_level);
            let of_down = vec![("down", Length::round_nm(self.stays.unwrap_or(0.0) - mark.level).nm().to_string())];
            canvas.text_of(written(right + LED + down_wide, Anchor::End, down), of_down);
            let begins = right + LED + if down_wide > 0.0 { down_wide + 2.2 } else { 0.0 };
            let short = lettering::fitted(&names, SMALL, false, end - begins);
            if short != names {
                notes.push(format!("Level {}: {names}.", of.place(Length::round_nm(mark.level))));
            }
            canvas.text(written(begins, Anchor::Start, short));
        }
        if self.hold_datum() {
            let at = Spot::new(left + 2.0, model.at(0.0, 0.0).y);
            canvas.datum(at);
            canvas.labels.take(Room::upright(Spot::new(at.x - 2.0, at.y - 2.8), Spot::new(at.x + 2.0, at.y)));
        }
        if kept.len() < wanted.len() {
            notes.push("Not every level has room here: the tables have them all.".into());
        }
        notes
    }
}
