//! A drawing while it is made: what lies under, what over, and the rooms that are taken.

use std::collections::BTreeMap;

use super::{
    Flags, Told, ids,
    labels::Labels,
    lettering::{self, NAME, SMALL, TITLE},
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Text, Weight, stroke},
    sheet::Scale,
};

/// How many findings are told in words under a drawing.
const NOTED: usize = 8;

/// What is stamped on a drawing of a job with errors.
const DRAFT: &str = "DRAFT";

/// A drawing being made.
#[derive(Debug, Default)]
pub struct Canvas {
    lowest: Vec<Item>,
    under: Vec<Item>,
    back: Vec<Item>,
    front: Vec<Item>,
    texts: Vec<Item>,
    /// What is drawn with an id, and where a flag for it would stand.
    things: Vec<(String, Spot, f64)>,
    /// The places on things that single findings speak of, by id and number.
    spots: BTreeMap<(String, usize), Spot>,
    /// The rooms that are taken.
    pub labels: Labels,
}

impl Canvas {
    /// Areas under all lines.
    pub fn lowest(&mut self, item: Item) {
        self.lowest.push(item);
    }

    /// Lines under those of the thing itself.
    pub fn under(&mut self, item: Item) {
        self.under.push(item);
    }

    /// Lines of the thing.
    pub fn back(&mut self, item: Item) {
        self.back.push(item);
    }

    /// Lines over these: bars, holes.
    pub fn front(&mut self, item: Item) {
        self.front.push(item);
    }

    /// Knows of lines that labels had better not cross.
    pub fn avoid(&mut self, points: &[Spot]) {
        for pair in points.windows(2) {
            if let [from, to] = pair {
                self.labels.line(*from, *to);
            }
        }
    }

    /// Knows of an outline that labels are to lie off.
    pub fn outline(&mut self, points: &[Spot]) {
        for pair in points.windows(2) {
            if let [from, to] = pair {
                self.labels.outline(*from, *to);
            }
        }
    }

    /// A text where it is; its room is taken.
    pub fn text(&mut self, text: Text) {
        self.text_of(text, Vec::new());
    }

    /// A text where it is, of something.
    pub fn text_of(&mut self, text: Text, data: Vec<(&'static str, String)>) {
        if text.says.is_empty() {
            return;
        }
        self.labels.take(lettering::room(&text));
        let item = Item::Text(text);
        self.texts.push(if data.is_empty() {
            item
        } else {
            Item::Group(Group { data, items: vec![item], ..Group::default() })
        });
    }

    /// Things with a text over them, together.
    pub fn tag(&mut self, mut group: Group, text: Text) {
        self.labels.take(lettering::room(&text));
        group.items.push(Item::Text(text));
        self.texts.push(Item::Group(group));
    }

    /// A plain text at a place.
    pub fn write(&mut self, at: Spot, anchor: Anchor, size: f64, ink: Ink, says: &str) {
        self.text(Text { at, anchor, angle: 0.0, size, bold: false, ink, says: says.to_owned() });
    }

    /// A label beside a thing, wherever there is room; false where there is none.
    pub fn label(&mut self, thing: Spot, keep: f64, size: f64, ink: Ink, says: &str) -> bool {
        let placed = self.labels.place(thing, keep, says, size, ink);
        self.placed(placed)
    }

    /// A label to the right of a thing, or to its left; false where there is no room.
    pub fn label_beside(&mut self, (thing, left): (Spot, bool), keep: f64, ink: Ink, says: &str) -> bool {
        let placed = self.labels.beside((thing, left), keep, says, SMALL, ink);
        self.placed(placed)
    }

    fn placed(&mut self, placed: Option<(Text, Option<[Spot; 2]>)>) -> bool {
        let Some((text, leader)) = placed else { return false };
        if let Some(leader) = leader {
            self.front(Item::line(leader.to_vec(), stroke(Weight::Thin, Dash::Solid, Ink::Soft)));
        }
        self.texts.push(Item::Text(text));
        true
    }

    /// The number of one of many alike, close by it; false where there is no room.
    pub fn number(&mut self, thing: Spot, keep: f64, ink: Ink, says: &str) -> bool {
        let text = self.labels.number(thing, keep, says, SMALL, ink);
        let placed = text.is_some();
        self.texts.extend(text.map(Item::Text));
        placed
    }

    /// Knows where a thing with an id is drawn: flags stand near there, so far from it at least.
    pub fn thing(&mut self, id: &str, at: Spot, keep: f64) {
        self.things.push((id.to_owned(), at, keep));
    }

    /// Knows of the place on a thing that one finding speaks of.
    pub fn spot(&mut self, id: &str, number: usize, at: Spot) {
        self.spots.insert((id.to_owned(), number), at);
    }

    /// Puts up the flags of findings that speak of what is drawn; gives what each says, and which have no room.
    pub fn flags(&mut self, flags: &Flags) -> Vec<String> {
        let mut notes: Vec<String> = Vec::new();
        let mut said: Vec<usize> = Vec::new();
        let mut more = 0;
        let mut stand: Vec<(usize, Spot)> = Vec::new();
        for (id, at, keep) in std::mem::take(&mut self.things) {
            for number in flags.of(&id) {
                let Some(told) = flags.told(*number) else { continue };
                let at = self.spots.get(&(id.clone(), *number)).copied().unwrap_or(at);
                // Two things that meet have one flag where they do.
                if stand.iter().any(|(other, there)| other == number && there.distance(at) < 1.0) {
                    continue;
                }
                stand.push((*number, at));
                let up = self.flag(*number, told, (&id, at, keep));
                if said.contains(number) {
                    continue;
                }
                said.push(*number);
                if said.len() > NOTED {
                    more += 1;
                    continue;
                }
                let room = if up { "" } else { " (no room for its flag)" };
                notes.push(format!("!{number} {}: {}.{room}", told.word, told.says));
            }
        }
        if more > 0 {
            notes.push(format!("{more} more: see the list of findings."));
        }
        notes
    }

    fn flag(&mut self, number: usize, told: &Told, (id, thing, keep): (&str, Spot, f64)) -> bool {
        let Some((text, room, foot)) = self.labels.flag(thing, keep, &format!("!{number}"), SMALL, Ink::Main) else {
            return false;
        };
        self.front(Item::line(vec![thing, foot], stroke(Weight::Thin, Dash::Solid, Ink::Main)));
        let line = stroke(Weight::Medium, Dash::Solid, Ink::Main);
        let group = Group {
            id: None,
            title: Some(format!("finding {number}, {}: {}", told.word, told.says)),
            to: Some(ids::finding(number)),
            data: vec![("flag", number.to_string()), ("at", id.to_owned())],
            items: vec![Item::area(room.0.to_vec(), line, Some(Fill::Paper)), Item::Text(text)],
        };
        self.texts.push(Item::Group(group));
        true
    }

    /// The title, and a line under it; that it is a draft, where errors stand. Gives the height they take.
    pub fn head(&mut self, flags: &Flags, width: f64, title: &str, under: &str) -> f64 {
        let mut bold = |x: f64, anchor: Anchor, says: String| {
            let (at, size, ink) = (Spot::new(x, 5.0), TITLE, Ink::Main);
            self.text(Text { at, anchor, angle: 0.0, size, bold: true, ink, says });
        };
        let (mut room, mut said) = (width, under.to_owned());
        if flags.has_errors() {
            bold(width, Anchor::End, DRAFT.into());
            room -= lettering::width(DRAFT, TITLE, true) + 4.0;
            said = format!("Draft: not to be built from. {under}");
        }
        bold(0.0, Anchor::Start, lettering::fitted(title, TITLE, true, room));
        let mut y = 10.4;
        for line in lettering::lines(&said, SMALL, width) {
            self.write(Spot::new(0.0, y), Anchor::Start, SMALL, Ink::Soft, &line);
            y += 4.4;
        }
        y - 1.0
    }

    /// Notes under a drawing; gives the height they take.
    pub fn notes(&mut self, top: f64, width: f64, notes: &[String]) -> f64 {
        let mut y = top + 3.6;
        for note in notes {
            for line in lettering::lines(note, SMALL, width) {
                self.write(Spot::new(0.0, y), Anchor::Start, SMALL, Ink::Main, &line);
                y += 4.5;
            }
        }
        y - top - 3.2
    }

    /// A scale bar with its figures; gives the height it takes.
    pub fn scale_bar(&mut self, top: f64, left: f64, scale: &Scale) -> f64 {
        let line = stroke(Weight::Thin, Dash::Solid, Ink::Main);
        for part in 0..scale.parts {
            let (from, to) = (left + scale.part * f64::from(part), left + scale.part * f64::from(part + 1));
            let fill = if part % 2 == 0 { Fill::Full(Ink::Main) } else { Fill::Paper };
            self.back(Item::rectangle(Spot::new(from, top), Spot::new(to, top + 1.5), line, Some(fill)));
        }
        for (part, says) in &scale.figures {
            let at = Spot::new(left + scale.part * f64::from(*part), top + 1.5 + SMALL);
            self.write(at, Anchor::Middle, SMALL, Ink::Main, says);
        }
        let end = left + scale.part * f64::from(scale.parts);
        let last = scale.figures.last().map_or(0.0, |(_, says)| lettering::width(says, SMALL, false) / 2.0);
        let at = Spot::new(end + last.max(2.0) + 3.0, top + 1.5 + SMALL);
        self.write(at, Anchor::Start, SMALL, Ink::Soft, &scale.name);
        6.5
    }

    /// The mark of level 0: a triangle that stands on it, with its line. It points to the right end of the line.
    pub fn datum(&mut self, at: Spot) {
        let line = stroke(Weight::Thin, Dash::Solid, Ink::Main);
        let points = vec![at, Spot::new(at.x - 1.7, at.y - 2.6), Spot::new(at.x + 1.7, at.y - 2.6)];
        self.front(Item::area(points, line, Some(Fill::Full(Ink::Main))));
    }

    /// A table of numbered words in columns under a drawing, for what was too crowded to be written at its place; gives the
    /// height it takes.
    pub fn key(&mut self, top: f64, width: f64, entries: &[(String, String)]) -> f64 {
        if entries.is_empty() {
            return 0.0;
        }
        let wide = entries
            .iter()
            .map(|(tag, says)| lettering::width(&format!("{tag}  {says}"), SMALL, false))
            .fold(0.0, f64::max);
        let columns = ((width / (wide + 6.0)).floor().max(1.0)) as usize;
        let rows = entries.len().div_ceil(columns);
        for (number, (tag, says)) in entries.iter().enumerate() {
            let (column, row) = (number / rows, number % rows);
            let at = Spot::new(column as f64 * (wide + 6.0), top + 3.6 + 4.4 * row as f64);
            let says = lettering::fitted(&format!("{tag}  {says}"), SMALL, false, width);
            self.write(at, Anchor::Start, SMALL, Ink::Main, &says);
        }
        4.4 * rows as f64 + 1.0
    }

    /// All of it, the lowest first.
    #[must_use]
    pub fn items(self) -> Vec<Item> {
        [self.lowest, self.under, self.back, self.front, self.texts].concat()
    }

    /// A name in the middle of a place, if there is room for all of it within `most`.
    pub fn name(&mut self, middle: Spot, most: f64, ink: Ink, says: &str) -> bool {
        self.name_at([middle], most, ink, says)
    }

    /// A name in the middle of the first of these places where it lies on no outline, turned clockwise by so many degrees.
    pub fn name_off(&mut self, middles: impl IntoIterator<Item = Spot>, angle: f64, ink: Ink, says: &str) -> bool {
        let texts = middles.into_iter().map(|middle| named(middle, angle, ink, says));
        let fits = |text: &Text| self.labels.is_free(&lettering::room(text)) && self.labels.is_off_outlines(text);
        let Some(text) = texts.into_iter().find(fits) else { return false };
        self.text(text);
        true
    }

    /// A name in the middle of the first of these places where no line at all runs through it, turned the first of these ways.
    pub fn name_clear(&mut self, middles: Vec<Spot>, angles: [f64; 2], ink: Ink, says: &str) -> bool {
        let texts = middles.iter().flat_map(|middle| angles.map(|angle| named(*middle, angle, ink, says)));
        let is_clear = |text: &Text| self.labels.is_free(&lettering::room(text)) && self.labels.lines_over(text) == 0;
        let Some(text) = texts.into_iter().find(is_clear) else { return false };
        self.text(text);
        true
    }

    /// A name in the middle of that of these places where fewest lines cross it; the earlier of two alike.
    pub fn name_at(&mut self, middles: impl IntoIterator<Item = Spot>, most: f64, ink: Ink, says: &str) -> bool {
        let text = self.least_crossed(middles, most, ink, says);
        text.map(|text| self.text(text)).is_some()
    }

    /// The same, but not where it would lie on an outline.
    pub fn name_inside(&mut self, middles: impl IntoIterator<Item = Spot>, most: f64, ink: Ink, says: &str) -> bool {
        let text = self.least_crossed(middles, most, ink, says).filter(|text| self.labels.is_off_outlines(text));
        text.map(|text| self.text(text)).is_some()
    }

    fn least_crossed(&self, middles: impl IntoIterator<Item = Spot>, most: f64, ink: Ink, says: &str) -> Option<Text> {
        if lettering::width(says, NAME, false) > most {
            return None;
        }
        let free = middles
            .into_iter()
            .map(|middle| named(middle, 0.0, ink, says))
            .filter(|text| self.labels.is_free(&lettering::room(text)));
        free.min_by_key(|text| self.labels.lines_over(text))
    }
}

fn named(middle: Spot, angle: f64, ink: Ink, says: &str) -> Text {
    Text {
        at: lettering::centred(middle, NAME, angle),
        anchor: Anchor::Middle,
        angle,
        size: NAME,
        bold: false,
        ink,
        says: says.to_owned(),
    }
}

/// What stands for words in a key: a to z, then a2 to z2 and so on.
#[must_use]
pub fn letters(number: usize) -> String {
    let letter = char::from(b'a' + u8::try_from(number % 26).unwrap_or(0));
    if number < 26 { letter.to_string() } else { format!("{letter}{}", number / 26 + 1) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_never_run_out_of_letters() {
        assert_eq!([0, 25, 26, 77].map(letters), ["a", "z", "a2", "z3"]);
    }
}
