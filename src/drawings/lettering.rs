//! How much room letters take.
//!
//! Widths are those of whichever is wider, letter by letter: DejaVu Sans, a wide sans, or a sans as wide as most offices
//! print with (measured in Liberation Sans, whose widths are those of the usual sans of printers). So a text keeps inside
//! its room with either. `tests/drawings.rs` holds the table to the font itself.

use unicode_width::UnicodeWidthChar as _;

use super::{
    labels::Room,
    scene::{Anchor, Spot, Text},
};

/// The smallest letters, in millimetres of font size: capitals and figures are 2.2 mm high.
pub const SMALL: f64 = 3.1;
/// Names of things.
pub const NAME: f64 = 3.5;
/// The title over a drawing.
pub const TITLE: f64 = 5.0;

/// Thousandths of the font size from the line of writing up to the top of the tallest letter.
const UP: f64 = 810.0;
/// Thousandths of the font size from the line of writing down to the foot of the lowest letter.
const DOWN: f64 = 240.0;
/// How high a capital is: half of it below the line puts a text in the middle.
pub const CAPITAL: f64 = 0.72;
/// Heavy letters are wider by no more than this.
const BOLD: f64 = 1.27;
/// Any letter that is not in the table.
const OTHER: f64 = 1000.0;

/// Thousandths of the font size, from the blank on.
const WIDTHS: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637, 637, 637, 637, 637,
    637, 637, 637, 337, 337, 838, 838, 838, 557, 1016, 685, 687, 723, 771, 667, 611, 778, 752, 295, 500, 667, 558, 863,
    749, 788, 667, 788, 723, 667, 611, 732, 685, 989, 686, 667, 686, 391, 337, 391, 838, 557, 500, 613, 635, 550, 635,
    616, 353, 635, 634, 278, 278, 580, 278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637,
    337, 637, 838,
];

fn letter(letter: char) -> f64 {
    match u32::from(letter).checked_sub(32).and_then(|at| WIDTHS.get(at as usize)) {
        Some(width) => f64::from(*width),
        None => match letter.width() {
            Some(0) => 0.0,
            Some(2) => 1.2 * OTHER,
            _ => OTHER,
        },
    }
}

/// How wide a text is at most, in millimetres.
#[must_use]
pub fn width(says: &str, size: f64, bold: bool) -> f64 {
    let sum: f64 = says.chars().map(letter).sum();
    sum * size * if bold { BOLD } else { 1.0 } / 1000.0
}

/// A text no wider than this: its end is left out where it is longer.
#[must_use]
pub fn fitted(says: &str, size: f64, bold: bool, most: f64) -> String {
    if width(says, size, bold) <= most {
        return says.to_owned();
    }
    let mut room = most - width("...", size, bold);
    let mut out = String::new();
    for character in says.chars() {
        room -= width(character.encode_utf8(&mut [0; 4]), size, bold);
        if room < 0.0 {
            break;
        }
        out.push(character);
    }
    out.truncate(out.trim_end().len());
    out + "..."
}

/// Lines no wider than this, broken at blanks; a word that is wider is cut.
#[must_use]
pub fn lines(says: &str, size: f64, most: f64) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for word in says.split_whitespace() {
        let word = fitted(word, size, false, most);
        match out.last_mut() {
            Some(last) if width(&format!("{last} {word}"), size, false) <= most => {
                last.push(' ');
                last.push_str(&word);
            }
            _ => out.push(word),
        }
    }
    out
}

/// The room of a text.
#[must_use]
pub fn room(text: &Text) -> Room {
    around(text, UP * text.size / 1000.0, DOWN * text.size / 1000.0)
}

/// The room of the letters themselves, with so much round them: as high as capitals, and feet where the text has letters
/// that can have them.
#[must_use]
pub fn letters(text: &Text, round: f64) -> Room {
    let feet: f64 = if text.says.chars().any(char::is_alphabetic) { 0.7 } else { 0.1 };
    around(text, CAPITAL * text.size + round, feet.max(round))
}

/// The middle of that side of the letters which is nearest to a place.
#[must_use]
pub fn nearest(text: &Text, to: Spot) -> Spot {
    let Room(corners) = letters(text, 0.3);
    let sides = [(0, 1), (1, 2), (2, 3), (3, 0)].map(|(one, two): (usize, usize)| {
        Spot::new((corners[one].x + corners[two].x) / 2.0, (corners[one].y + corners[two].y) / 2.0)
    });
    sides.into_iter().min_by(|one, two| one.distance(to).total_cmp(&two.distance(to))).unwrap_or(to)
}

fn around(text: &Text, up: f64, down: f64) -> Room {
    let width = width(&text.says, text.size, text.bold);
    let (sin, cos) = text.angle.to_radians().sin_cos();
    let from = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let up = -up;
    let corner = |on: f64, aside: f64| text.at.moved((cos, sin), on, aside);
    Room([corner(from, up), corner(from + width, up), corner(from + width, down), corner(from, down)])
}

/// The place for the line of writing of a text whose letters have this place in the middle of their height.
#[must_use]
pub fn centred(middle: Spot, size: f64, angle: f64) -> Spot {
    let (sin, cos) = angle.to_radians().sin_cos();
    middle.moved((cos, sin), 0.0, size * CAPITAL / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_as_wide_as_its_letters() {
        assert!((width("il", 10.0, false) - 5.56).abs() < 1e-9);
        assert!(width("M", 10.0, true) > width("M", 10.0, false));
        assert!(width("\u{65e5}", 1.0, false) > 1.0);
    }

    #[test]
    fn what_is_too_long_is_cut_and_broken() {
        assert_eq!(fitted("short", 3.0, false, 100.0), "short");
        let cut = fitted("a rather long title of a job", 3.0, false, 20.0);
        assert!(cut.ends_with("...") && width(&cut, 3.0, false) <= 20.0, "{cut}");
        let broken = lines("one two three four", 3.0, 14.0);
        assert!(broken.len() > 1 && broken.iter().all(|line| width(line, 3.0, false) <= 14.0), "{broken:?}");
        assert_eq!(broken.join(" "), "one two three four");
    }
}
