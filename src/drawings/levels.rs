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
        match self.marks.iter_mut().find(|mark| mark.level == level) {
            Some(mark) if mark.names.contains(&name) => {}
            Some(mark) => mark.names.push(name),
            None => self.marks.push(Mark { level, names: vec![name], ink }),
        }
    }

    fn words(&self, of: &Of, mark: &Mark) -> (String, String) {
        let names = mark.names.join("; ");
        let names = match self.stays {
            Some(stays) if mark.level < stays => {
                format!("{}  {names}", of.place(Length::round_nm(stays - mark.level)))
            }
            _ => names,
        };
        (of.place(Length::round_nm(mark.level)), names)
    }

    /// How much room the figures take on the left, and the names on the right.
    #[must_use]
    pub fn room(&self, of: &Of) -> (f64, f64) {
        let wide = |says: &str| lettering::width(says, SMALL, false);
        self.marks.iter().map(|mark| self.words(of, mark)).fold((0.0, 0.0), |(left, right), (level, names)| {
            (wide(&level).max(left - LED) + LED, wide(&names).max(right - LED) + LED)
        })
    }

    /// Draws them left and right of a drawing between two heights; false where not all had room.
    pub fn draw(
        mut self,
        of: &Of,
        canvas: &mut Canvas,
        model: &Model,
        (left, right, end): (f64, f64, f64),
        room: (f64, f64),
    ) -> bool {
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
            let (level, names) = self.words(of, mark);
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
            let names = lettering::fitted(&names, SMALL, false, end - right - LED);
            canvas.text(written(right + LED, Anchor::Start, names));
        }
        if self.marks.iter().any(|mark| mark.level >= 0.0) && self.marks.iter().any(|mark| mark.level <= 0.0) {
            let at = Spot::new(left + 2.0, model.at(0.0, 0.0).y);
            canvas.datum(at);
            canvas.labels.take(Room::upright(Spot::new(at.x - 2.0, at.y - 2.8), Spot::new(at.x + 2.0, at.y)));
        }
        kept.len() == wanted.len()
    }
}
