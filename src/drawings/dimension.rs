//! Running dimensions: every figure is read from one hook of the tape, never from mark to mark.

use super::{
    canvas::Canvas,
    labels::{Room, spread},
    lettering::{self, SMALL},
    scene::{Anchor, Dash, Ink, Item, Spot, Text, Weight, stroke},
};

/// Figures beside each other are this far apart at least, in millimetres.
pub const PITCH: f64 = 3.9;
/// From the line of a dimension to its figures where they stand straight over their marks.
const SHORT: f64 = 1.6;
/// The same where they are led aside.
const LED: f64 = 4.6;
/// Half of a mark across the line.
const TICK: f64 = 1.1;

/// One mark: how far along the line, and what is written there.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// In millimetres of the sheet from the beginning of the line.
    pub at: f64,
    /// The figure.
    pub says: String,
    /// What it is of, for programs.
    pub of: Vec<(&'static str, String)>,
}

/// A line of running dimensions.
#[derive(Debug)]
pub struct Running {
    /// Where the tape hooks: 0.
    pub from: Spot,
    /// Which way the line runs; a unit vector.
    pub along: (f64, f64),
    /// Which way its figures stand away from it; a unit vector square to that.
    pub away: (f64, f64),
    /// Its marks, by how far along.
    pub marks: Vec<Mark>,
    /// How far back towards the thing its marks are drawn out, in millimetres; one for each mark, or none.
    pub back: Vec<f64>,
    /// How far its figures may be moved beyond its ends.
    pub slack: f64,
    /// What it is of.
    pub ink: Ink,
    /// The tape hooks here: a hook is drawn at 0.
    pub hook: bool,
}

/// How far the figures of these marks reach away from the line.
#[must_use]
pub fn reach(marks: &[Mark], slack: f64) -> f64 {
    let (_, led) = laid(marks, slack);
    let longest = marks.iter().map(|mark| lettering::width(&mark.says, SMALL, false)).fold(0.0, f64::max);
    longest + if led { LED } else { SHORT }
}

/// Where the figures stand, and whether any is led aside. Where there is no room for all, every second one is left out,
/// then of what is left again, never the first and the last.
fn laid(marks: &[Mark], slack: f64) -> (Vec<(usize, f64)>, bool) {
    let mut kept: Vec<usize> = (0..marks.len()).collect();
    let Some(last) = marks.len().checked_sub(1) else { return (Vec::new(), false) };
    let high = marks.iter().map(|mark| mark.at).fold(0.0, f64::max) + slack;
    let low = marks.iter().map(|mark| mark.at).fold(0.0, f64::min) - slack;
    let mut every = 1;
    loop {
        let wanted: Vec<f64> = kept.iter().filter_map(|at| marks.get(*at)).map(|mark| mark.at).collect();
        if let Some(places) = spread(&wanted, PITCH, (low, high)) {
            let led = places.iter().zip(&wanted).any(|(at, mark)| (at - mark).abs() > 0.05);
            return (kept.into_iter().zip(places).collect(), led);
        }
        if kept.len() <= 2 {
            return (kept.into_iter().take(1).zip([low.max(0.0)]).collect(), false);
        }
        every *= 2;
        kept = (0..last).step_by(every).filter(|at| *at == 0 || last - at >= every / 2).chain([last]).collect();
    }
}

/// The angle at which a text along this direction is not upside down, and the end of it that lies nearest to where it
/// comes from.
#[must_use]
pub fn upright((x, y): (f64, f64)) -> (f64, Anchor) {
    let angle = y.atan2(x).to_degrees();
    if angle > 89.9 {
        (angle - 180.0, Anchor::End)
    } else if angle < -90.1 {
        (angle + 180.0, Anchor::End)
    } else {
        (angle, Anchor::Start)
    }
}

impl Running {
    /// Draws it; whether all figures could be written.
    pub fn draw(&self, canvas: &mut Canvas) -> bool {
        let (places, led) = laid(&self.marks, self.slack);
        let thin = stroke(Weight::Thin, Dash::Solid, Ink::Soft);
        let at = |on: f64, off: f64| {
            Spot::new(
                self.from.x + self.along.0 * on + self.away.0 * off,
                self.from.y + self.along.1 * on + self.away.1 * off,
            )
        };
        let low = self.marks.iter().map(|mark| mark.at).fold(0.0, f64::min);
        let high = self.marks.iter().map(|mark| mark.at).fold(0.0, f64::max);
        let line = vec![at(low, 0.0), at(high, 0.0)];
        canvas.outline(&line);
        canvas.back(Item::line(line, thin));
        for (number, mark) in self.marks.iter().enumerate() {
            let back = self.back.get(number).copied().unwrap_or(0.0);
            if back > 0.0 {
                canvas.under(Item::line(vec![at(mark.at, -back), at(mark.at, 0.0)], thin));
            }
            let (a, b) = (at(mark.at - TICK * 0.6, TICK * 0.6), at(mark.at + TICK * 0.6, -TICK * 0.6));
            canvas.front(Item::line(vec![a, b], stroke(Weight::Medium, Dash::Solid, self.ink)));
        }
        if self.hook {
            self.draw_hook(canvas, &at);
        }
        let (angle, anchor) = upright(self.away);
        for (number, place) in &places {
            let Some(mark) = self.marks.get(*number) else { continue };
            let off = if led { LED } else { SHORT };
            if (place - mark.at).abs() > 0.05 {
                let points = vec![at(mark.at, 0.0), at(mark.at, 0.8), at(*place, off - 1.3), at(*place, off - 0.5)];
                canvas.front(Item::line(points, thin));
            } else if led {
                canvas.front(Item::line(vec![at(mark.at, 0.0), at(mark.at, off - 0.5)], thin));
            }
            let middle = at(*place, off);
            let text = Text {
                at: lettering::centred(middle, SMALL, angle),
                anchor,
                angle,
                size: SMALL,
                bold: false,
                ink: self.ink,
                says: mark.says.clone(),
            };
            canvas.text_of(text, mark.of.clone());
        }
        places.len() == self.marks.len()
    }

    /// The hook of a tape: a filled triangle that stands on 0.
    fn draw_hook(&self, canvas: &mut Canvas, at: &dyn Fn(f64, f64) -> Spot) {
        let points = vec![at(0.0, 0.0), at(-2.6, -1.5), at(-2.6, 1.5)];
        canvas.labels.take(Room([at(0.0, -1.5), at(-2.6, -1.5), at(-2.6, 1.5), at(0.0, 1.5)]));
        canvas.front(Item::area(points, None, Some(super::scene::Fill::Full(self.ink))));
    }
}

/// A figure farther than this from its dimension is led to.
const FIGURE_LED: f64 = 3.0;

/// One dimension between two places, its figure in the middle over the line; drawn `off` to the side of them. Where the
/// figure stands away from it, a line leads there. Gives false where its figure has no room; nothing is drawn then.
pub fn between(canvas: &mut Canvas, ends: (Spot, Spot), off: f64, says: &str, of: Vec<(&'static str, String)>) -> bool {
    figured(canvas, ends, off, says, of, 4)
}

/// The same, its figure close by alone.
pub fn between_close(canvas: &mut Canvas, ends: (Spot, Spot), says: &str, of: Vec<(&'static str, String)>) -> bool {
    figured(canvas, ends, 0.0, says, of, 0)
}

fn figured(
    canvas: &mut Canvas,
    (from, to): (Spot, Spot),
    off: f64,
    says: &str,
    of: Vec<(&'static str, String)>,
    farther: u32,
) -> bool {
    let length = from.distance(to);
    if length <= 0.0 {
        return false;
    }
    let along = ((to.x - from.x) / length, (to.y - from.y) / length);
    let (a, b) = (from.moved(along, 0.0, off), to.moved(along, 0.0, off));
    let (angle, _) = upright(along);
    let middle = Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
    let wide = lettering::width(says, SMALL, false);
    let (sin, cos) = angle.to_radians().sin_cos();
    let text = |at: Spot, anchor: Anchor| Text {
        at,
        anchor,
        angle,
        size: SMALL,
        bold: false,
        ink: Ink::Main,
        says: says.to_owned(),
    };
    let over = |at: Spot, rise: f64| at.moved((cos, sin), 0.0, -rise);
    // Over the line, under it, level beside one that stands, beyond its right end, beyond its left end, farther off.
    let beyond = length / 2.0 + 1.8;
    let mut places = Vec::new();
    if wide <= length - 1.0 {
        places.push(text(over(middle, 0.9), Anchor::Middle));
        places.push(text(over(middle, -0.9 - SMALL * lettering::CAPITAL), Anchor::Middle));
    } else if cos.abs() < 0.05 && length > SMALL + 1.0 {
        let base = middle.y + SMALL * lettering::CAPITAL / 2.0;
        for (by, anchor) in [(0.9, Anchor::Start), (-0.9, Anchor::End)] {
            places.push(Text { angle: 0.0, ..text(Spot::new(middle.x + by, base), anchor) });
        }
    }
    let lowered = |on: f64| over(middle.moved((cos, sin), on, 0.0), -SMALL * lettering::CAPITAL / 2.0);
    places.push(text(lowered(beyond), Anchor::Start));
    places.push(text(lowered(-beyond), Anchor::End));
    for step in 1..=farther {
        let by = f64::from(step) * 3.0;
        places.push(text(over(middle, 0.9 + by), Anchor::Middle));
        places.push(text(lowered(beyond + by), Anchor::Start));
        places.push(text(lowered(-beyond - by), Anchor::End));
        places.push(text(over(middle, -0.9 - SMALL * lettering::CAPITAL - by), Anchor::Middle));
    }
    let free = places.into_iter().filter(|text| canvas.labels.is_free(&lettering::room(text)));
    let Some(text) = free.min_by_key(|text| canvas.labels.lines_over(text)) else { return false };
    let thin = stroke(Weight::Thin, Dash::Solid, Ink::Soft);
    canvas.back(Item::line(vec![a, b], thin));
    let led = lettering::nearest(&text, middle);
    let start = [middle, a, b].into_iter().min_by(|one, two| one.distance(led).total_cmp(&two.distance(led)));
    if let Some(start) = start.filter(|start| start.distance(led) > FIGURE_LED) {
        canvas.front(Item::line(vec![start, led], thin));
        canvas.avoid(&[start, led]);
    }
    let sign = if off < 0.0 { -1.0 } else { 1.0 };
    for (thing, end) in [(from, a), (to, b)] {
        if off.abs() > 1.2 {
            canvas.back(Item::line(vec![thing.moved(along, 0.0, sign * 0.8), end.moved(along, 0.0, sign * 0.9)], thin));
        }
        let tick = vec![end.moved(along, 0.7, -0.7), end.moved(along, -0.7, 0.7)];
        canvas.front(Item::line(tick, stroke(Weight::Medium, Dash::Solid, Ink::Main)));
    }
    canvas.text_of(text, of);
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawings::labels::Room;

    /// All places near a short dimension are taken: its figure stands farther off, and a line leads there, or it is not drawn.
    #[test]
    fn a_figure_that_stands_away_is_led_to() {
        let ends = (Spot::new(50.0, 50.0), Spot::new(50.0, 54.0));
        let made = |taken: bool, close: bool| {
            let mut canvas = Canvas::default();
            if taken {
                canvas.labels.take(Room::upright(Spot::new(48.5, 42.0), Spot::new(51.5, 62.0)));
            }
            let drawn = match close {
                true => between_close(&mut canvas, ends, "8\"", Vec::new()),
                false => between(&mut canvas, ends, 0.0, "8\"", Vec::new()),
            };
            (drawn, canvas.items().len())
        };
        // The line, two ticks, the figure; and the line that leads.
        assert_eq!(made(false, false), (true, 4));
        assert_eq!(made(true, false), (true, 5));
        assert!(!made(true, true).0);
    }
}
