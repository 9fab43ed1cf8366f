//! Words that stand in a clause for another: parts under a word that is none, and which was meant.

use super::{desk::Desk, misread::spoken_unit, rules, values::of_these_figures};
use crate::{
    language::{Tok, TokenKind},
    problem::{Problem, nearest},
    schema::{BlockId, Field, Kind, KindId, Shape, Value},
    source::Span,
    units::{self, Dimension, Quantity, What},
};

impl<'l> Desk<'l, '_> {
    /// `, spacing at most 16"` behind a value: a part of the clause in a word that is nearly its own, or is one of its words.
    pub fn misspelt_part(&self, fields: &[Field], rest: &[Tok<'l>], word: Span) -> Option<Problem> {
        let [comma, part, ..] = rest else { return None };
        if !comma.is_mark(",") || part.kind != TokenKind::Word {
            return None;
        }
        let near = match fields.iter().find(|field| field.word.split(' ').skip(1).any(|piece| part.is_word(piece))) {
            Some(field) => field.word,
            None => nearest(part.text, firsts(fields))?,
        };
        Some(self.no_part(part, word, near))
    }

    /// A comma behind a value whose clause goes on in a word that is nearly one of its parts, or not at all.
    pub fn after_comma(&self, rest: &[Tok<'l>]) -> Option<Problem> {
        match rest {
            [comma] => Some(
                Problem::new(&rules::VALUE_EXTRA, comma.span, "nothing follows this comma")
                    .help("take it out")
                    .fix(comma.span, ""),
            ),
            [_, part, ..] if part.kind == TokenKind::Word => {
                let near = nearest(part.text, firsts(self.fields))?;
                Some(
                    Problem::new(&rules::CLAUSE_UNKNOWN, part.span, "this clause has no part called `{0}`")
                        .arg(part.text)
                        .arg(near)
                        .help("is `{1}` meant?")
                        .fix(part.span, near),
                )
            }
            _ => None,
        }
    }

    fn no_part(&self, part: &Tok, word: Span, near: &'static str) -> Problem {
        Problem::new(&rules::CLAUSE_UNKNOWN, part.span, "`{1}` has no part called `{0}`")
            .arg(part.text)
            .arg(self.blocks.sources.text(word))
            .arg(near)
            .help("is `{2}` meant?")
            .fix(part.span, near)
    }

    /// What is wrong with what stands at the head of a clause with parts, where it is surely a part in other words: `strip in
    /// 5 days`, `bit last 10'`, `inset 6", corners 10"`, `55 USD a day`, `2 paste`. Only where a number is wanted, which no
    /// such word can be.
    /// `alone` says that no part follows it.
    pub fn meant_part(
        &mut self,
        fields: &[Field],
        head: &Field,
        toks: &[Tok<'l>],
        alone: bool,
        word: Span,
    ) -> Option<Problem> {
        if !matches!(head.shape, Shape::Quantity(..) | Shape::Count(_)) {
            return None;
        }
        let [first, rest @ ..] = toks else { return None };
        if first.kind == TokenKind::Word {
            // A name would be one value; before a number it is a word for a part.
            let is_number = rest.first().is_some_and(|next| next.kind == TokenKind::Number);
            if !is_number || self.blocks.find(first.text).is_some() {
                return None;
            }
            let of = rest.last().and_then(|last| units::unit(last.text)).map(|unit| unit.dimension);
            let fits = |field: &&Field| match &field.shape {
                Shape::Quantity(dimension, _) => of.is_none_or(|of| of == *dimension) && !field.word.is_empty(),
                _ => false,
            };
            let near = nearest(first.text, firsts(fields)).or_else(|| fields.iter().find(fits).map(|field| field.word));
            return near.map(|near| self.no_part(first, word, near));
        }
        for at in 0..rest.len() {
            let here = &rest[at..];
            if let Some(problem) = self.misspelt_part(fields, here, word) {
                return Some(problem);
            }
            let [one, after @ ..] = here else { break };
            let per = fields.iter().any(|field| field.word == "per");
            let is_unit = || after.first().is_some_and(|next| units::unit(next.text).is_some());
            if per && matches!(one.text, "a" | "an" | "each" | "every" | "/") && is_unit() {
                let counted = fields.iter().find_map(|field| each_meant(fields, field, one.span, after));
                if counted.is_some() {
                    return counted;
                }
                return Some(
                    Problem::new(&rules::VALUE_EXTRA, one.span, "`{0}` does not belong here")
                        .arg(one.text)
                        .arg("per")
                        .arg(after.first().map_or("", |next| next.text))
                        .help("write `{1} {2}`")
                        .fix(one.span, "per"),
                );
            }
        }
        // `1 blade of …` counts with a noun.
        if let ([name], true, true) = (rest, alone, first.kind == TokenKind::Number)
            && fields.iter().any(|field| field.word == "of")
            && self.blocks.find(name.text).is_some()
        {
            return Some(
                Problem::new(&rules::VALUE_EXTRA, name.span, "`{0}` is a name and cannot follow a number")
                    .arg(name.text)
                    .arg(first.text)
                    .help("write `{1} of {0}`")
                    .fix(name.span, format!("of {}", name.text)),
            );
        }
        None
    }

    /// A name written in pieces: `12 mm` for `12mm`, `ply 3/4"` for `ply-3/4`, `2 x 4` and `2"x4"` for `2x4`.
    pub(super) fn name_apart(&mut self, kinds: &[KindId], toks: &[Tok<'l>], word: Span) -> Option<Problem> {
        let (one, last) = match toks {
            [one, last] | [one, _, last] => (one, last),
            _ => return None,
        };
        let may_be = |tok: &Tok| matches!(tok.kind, TokenKind::Word | TokenKind::Number);
        if !toks.iter().all(may_be) || !self.may_suggest() {
            return None;
        }
        let span = one.span.to(last.span);
        let known = self.known_names(kinds);
        let bare: Vec<&str> = toks.iter().map(|tok| tok.text.trim_end_matches('"')).collect();
        let name = [bare.concat(), bare.join("-")].into_iter().find(|name| known.contains(&name.as_str()));
        let shown = self.blocks.sources.text(span);
        let is_measure = one.kind == TokenKind::Number;
        let problem = if is_measure {
            Problem::new(&rules::VALUE_EXTRA, span, "`{0}` is a measure, and `{1}` takes a name")
        } else {
            Problem::new(&rules::NAME_UNKNOWN, span, "nothing here is called `{0}`")
        };
        let problem = problem.arg(shown).arg(self.blocks.sources.text(word));
        let Some(name) = name else {
            let near = of_these_figures(shown, &known, kinds).filter(|_| is_measure)?;
            return Some(problem.arg(near).help("a name is one word: is `{2}` meant?").fix(span, near));
        };
        let help = match (is_measure, toks.len()) {
            (true, 2) if name == one.text.to_owned() + last.text => "write it without the blank: `{2}`",
            _ => "a name is one word: `{2}`",
        };
        Some(problem.arg(name.as_str()).help(help).fix(span, name))
    }

    /// Names side by side where commas belong, bare or with `and`: says so at each of them.
    pub(super) fn commas_missing(&mut self, item: &[Tok<'l>], kinds: &[KindId]) -> bool {
        let mut found = false;
        let mut before = match item {
            [first, _, ..] if self.names_thing(first, kinds) => first,
            _ => return false,
        };
        let mut rest = &item[1..];
        loop {
            let (name, link, behind) = match rest {
                [link, name, behind @ ..] if matches!(link.text, "and" | "+") => (name, Some(link), behind),
                [name, behind @ ..] => (name, None, behind),
                [] => return found,
            };
            if !self.names_thing(name, kinds) {
                return found;
            }
            found = true;
            let gap = Span { start: before.span.end, end: name.span.start, ..name.span };
            let problem = match link {
                Some(link) => {
                    Problem::new(&rules::VALUE_EXTRA, link.span, "`{0}` stands where a comma is wanted").arg(link.text)
                }
                None => Problem::new(&rules::VALUE_EXTRA, name.span, "no comma stands before `{0}`").arg(name.text),
            };
            let listed = format!("{}, {}", before.text, name.text);
            self.say(problem.arg(listed).help("write `{1}`").fix(gap, ", "));
            (before, rest) = (name, behind);
        }
    }

    /// Whether a word names a thing of these kinds (of any if none is said), or a leg of one.
    fn names_thing(&mut self, tok: &Tok<'l>, kinds: &[KindId]) -> bool {
        if tok.kind != TokenKind::Word {
            return false;
        }
        let walls = kinds.contains(&KindId::Wall) || kinds.contains(&KindId::Line);
        if walls && self.names_leg(tok) {
            return true;
        }
        let kind = self.blocks.find(tok.text).and_then(|block| self.blocks.entry(block).kind);
        kind.is_some_and(|kind| if kinds.is_empty() { kind != KindId::Let } else { kinds.contains(&kind) })
    }

    /// A value behind another that is one of a part, with the part's word left out: `mon to sat 8:00 to 17:00`.
    pub(super) fn part_without_word(&self, extra: &Tok) -> Option<Problem> {
        let what = units::number(extra.text).ok().filter(|_| extra.kind == TokenKind::Number)?.what;
        let takes = |shape: &Shape| match what {
            What::Clock(_) => matches!(shape, Shape::Clock | Shape::Range(Shape::Clock)),
            What::Date(_) => matches!(shape, Shape::Date | Shape::Range(Shape::Date)),
            _ => false,
        };
        let mut fitting = self.fields.iter().filter(|field| !field.word.is_empty() && takes(&field.shape));
        let field = fitting.next().filter(|_| fitting.next().is_none())?;
        let start = Span { end: extra.span.start, ..extra.span };
        Some(
            Problem::new(&rules::VALUE_EXTRA, extra.span, "`{0}` stands without its word")
                .arg(extra.text)
                .arg(field.word)
                .help("write `{1}` before it: `{1} {0}`")
                .fix(start, format!("{} ", field.word)),
        )
    }

    /// `0 - 8'`, `0 -8'`, `0-8'` where a range is wanted.
    pub(super) fn dash_for_to(&self, toks: &[Tok<'l>]) -> Option<Problem> {
        const DASHES: [char; 5] = ['-', '\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}'];
        let (from, until) = match toks {
            [from, minus, until] if minus.kind == TokenKind::Mark && minus.text == "-" => (from.text, until.text),
            [from, until] => (from.text, until.text.strip_prefix('-')?),
            [one] if one.kind == TokenKind::Number && units::number(one.text).is_err() => {
                let dash = one.text.char_indices().skip(1).find(|(_, letter)| DASHES.contains(letter))?;
                (&one.text[..dash.0], &one.text[dash.0 + dash.1.len_utf8()..])
            }
            _ => return None,
        };
        let is_plain =
            |text: &str| matches!(units::number(text), Ok(reading) if matches!(reading.what, What::Plain(_)));
        let is_length =
            |text: &str| matches!(units::number(text), Ok(reading) if matches!(reading.what, What::Length(_)));
        if !is_length(until) || !(is_plain(from) || is_length(from)) {
            return None;
        }
        // `2-8'` is two feet, `0-8'` needs no mark.
        let mark = if is_length(from) || from == "0" { "" } else { until.get(until.len() - 1..)? };
        let span = toks.first()?.span.to(toks.last()?.span);
        let meant = format!("{from}{mark} to {until}");
        Some(
            Problem::new(&rules::VALUE_MISFIT, span, "`{0}` is no range")
                .arg(self.blocks.sources.text(span))
                .arg(meant.as_str())
                .help("write `{1}`")
                .fix(span, meant),
        )
    }

    /// `price 0.57 USD per ft` of pieces of 20 ft: what one costs.
    pub(super) fn price_by_measure(
        &mut self,
        id: BlockId,
        kind: &'static Kind,
        field: &Field,
        toks: &[Tok<'l>],
    ) -> Option<Problem> {
        if kind.id != KindId::Stock || !matches!(field.shape, Shape::Quantity(Dimension::Money, _)) {
            return None;
        }
        let [price, currency, per, unit] = toks.get(1..)? else { return None };
        if !(matches!(per.text, "per" | "/" | "a" | "each")) {
            return None;
        }
        let unit = units::unit(unit.text).or_else(|| units::unit(spoken_unit(unit.text, None)?))?;
        // What is counted is one piece or pack, where no number says how many are in it.
        let mut size = (unit.dimension == Dimension::Number).then_some(1.0);
        for field in ["length", "unit"].into_iter().filter_map(|word| kind.field(word)) {
            let (Ok(Some(said)), _) = self.trial(|desk| desk.clause(id, field)) else { continue };
            match said.value {
                Value::Quantity(quantity) if quantity.dimension() == unit.dimension => {
                    size = Some(quantity.amount().to_f64() / unit.factor().to_f64());
                }
                Value::Count(count) if unit.dimension == Dimension::Number => size = Some(count as f64),
                _ => {}
            }
        }
        let span = per.span.to(toks.last()?.span);
        let problem = Problem::new(&rules::VALUE_EXTRA, span, "a price in `stock` is that of one piece or pack")
            .arg(self.blocks.sources.text(span));
        let whole = size
            .zip(price.text.parse::<f64>().ok())
            .map(|(size, price)| format!("{:.2} {}", size * price, currency.text));
        Some(match whole {
            Some(whole) => {
                let said = price.span.to(toks.last()?.span);
                problem.arg(whole.as_str()).help("write what one costs: `{1}`").fix(said, whole)
            }
            None => {
                problem.help("write what one piece or pack costs, without `{0}`, and its size in `length` or `unit`")
            }
        })
    }
}

/// `takes 6 min per hole`: time for each of what is worked on.
pub(super) fn each_meant(fields: &[Field], field: &Field, word: Span, toks: &[Tok]) -> Option<Problem> {
    let [noun] = toks else { return None };
    let Shape::Choice(choices) = field.shape else { return None };
    let counts = units::unit(noun.text).is_some_and(|unit| unit.dimension == Dimension::Number);
    let has_each = fields.iter().any(|field| field.word == "each" && matches!(field.shape, Shape::Flag));
    if field.word != "per" || !counts || !has_each || choices.iter().any(|choice| noun.is_word(choice.word)) {
        return None;
    }
    let span = word.to(noun.span);
    Some(
        Problem::new(&rules::CHOICE_UNKNOWN, span, "`per` does not take `{0}`")
            .arg(noun.text)
            .help("write `each` for every one that is worked on")
            .fix(span, "each"),
    )
}

/// `from 8' to 13'` where `8' to 13'` says it.
pub(super) fn idle_from(toks: &[Tok]) -> Option<Problem> {
    let [from, next, ..] = toks else { return None };
    if !from.is_word("from") {
        return None;
    }
    Some(
        Problem::new(&rules::VALUE_EXTRA, from.span, "`from` does not belong here")
            .help("take it out: a range is written `A to B`")
            .fix(Span { end: next.span.start, ..from.span }, ""),
    )
}

/// `8:00 to 5:00`: what is meant where the end is one of the afternoon.
pub(super) fn afternoon(from: &Quantity, until: &Quantity) -> Option<(String, &'static str)> {
    let minutes = |time: &Quantity| (time.amount().to_f64() / 60.0).round() as i64;
    let (start, end) = (minutes(from), minutes(until) + 12 * 60);
    let clock = |minutes: i64| format!("{}:{:02}", minutes / 60, minutes % 60);
    let is_meant = minutes(until) < 12 * 60 && start < end;
    is_meant.then(|| (format!("{} to {}", clock(start), clock(end)), "hours count from 0 to 24: write `{2}`"))
}

/// `offset -9" to -17"`: what is meant where both ends have a minus that offsets do not want.
pub(super) fn outwards(word: &str, from: &str, until: &str) -> Option<(String, &'static str)> {
    let (from, until) = from.strip_prefix('-').zip(until.strip_prefix('-')).filter(|_| word == "offset")?;
    Some((format!("{from} to {until}"), "offsets grow out of the face: write `{2}`"))
}

/// The words parts begin with.
fn firsts(fields: &[Field]) -> impl Iterator<Item = &'static str> + '_ {
    let firsts = fields.iter().filter_map(|field| field.word.split(' ').next());
    firsts.filter(|first| !matches!(*first, "" | "\""))
}
