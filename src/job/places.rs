//! Reads places: legs, stretches, spots, what holes go into; and the other values with a grammar of their own.

use super::{
    desk::{Desk, Node, Read, Stop},
    meant::idle_from,
    reader::{empty_item, items},
    rules,
};
use crate::{
    language::{Tok, TokenKind},
    problem::{Problem, nearest},
    schema::{
        Above, BlockId, Direction, HoleRef, KINDS, KindId, LegRef, RowLevel, Said, Sign, Spacing, Spot, Spots, Stretch,
        StretchPart, Take, Target, Value, Walk, WalkMove, Work,
    },
    source::Span,
    units::{Angle, Dimension, Length},
};

/// What a stretch may be named by.
const RUNS_ALONG: [KindId; 3] = [KindId::Wall, KindId::Line, KindId::Section];

/// Words for the widest gap that is allowed.
const AT_MOST: [&str; 6] = ["max", "maximum", "most", "within", "under", "upto"];

/// What a word in a place stands for.
enum Spoken {
    Leg(LegRef),
    Block(BlockId, KindId),
}

impl<'l> Desk<'l, '_> {
    /// A word that names a leg or a whole thing.
    fn spoken(&mut self, tok: &Tok<'l>, kinds: &[KindId]) -> Read<Spoken> {
        if tok.kind != TokenKind::Word {
            return self.fail(
                Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is not the name of a leg or section")
                    .arg(tok.text)
                    .help("write where it is first, as in `old.back 0 to {6'|1.8 m}`"),
            );
        }
        let (name, leg) = match tok.text.split_once('.') {
            Some((name, leg)) => (name, Some(leg)),
            None => (tok.text, None),
        };
        let Some(leg) = leg else {
            // Where a job has one wall its name may be left out.
            if let [wall] = self.walls[..]
                && let Some(leg) = self.leg_number(wall, name)
                && self.blocks.find(name).is_none()
            {
                return Ok(Spoken::Leg(LegRef { wall, leg }));
            }
            let block = self.block_name(tok, kinds)?;
            let Some(kind) = self.blocks.entry(block).kind else { return Err(Stop::Broken) };
            return Ok(Spoken::Block(block, kind));
        };
        let Some(block) = self.blocks.find(name) else {
            let problem = self.unknown_name(tok, name, &[KindId::Wall, KindId::Line]);
            return self.fail(problem);
        };
        let walls = [KindId::Wall, KindId::Line];
        let fits = self.blocks.entry(block).kind.is_none_or(|kind| walls.contains(&kind));
        let block = if fits { block } else { self.blocks.namesake(name, &walls).unwrap_or(block) };
        match self.blocks.entry(block).kind {
            Some(KindId::Wall | KindId::Line) => {}
            Some(kind) => {
                return self.fail(
                    Problem::new(&rules::NAME_MISFIT, tok.span, "`{0}` is {1} and has no legs")
                        .arg(name)
                        .arg(super::article(kind))
                        .help("write `{0}` alone where all of it is meant, or a leg of a wall, as in `old.back`"),
                );
            }
            None => return Err(Stop::Broken),
        }
        match self.leg_number(block, leg) {
            Some(leg) => Ok(Spoken::Leg(LegRef { wall: block, leg })),
            None => {
                let (legs, names) = (self.legs(block), self.leg_names(block));
                let problem =
                    Problem::new(&rules::LEG_UNKNOWN, tok.span, "`{0}` has no leg called `{1}`").arg(name).arg(leg);
                let near = self.may_suggest().then(|| nearest(leg, legs.iter().map(|entry| entry.name))).flatten();
                self.fail(match near {
                    Some(near) => {
                        let meant = format!("{name}.{near}");
                        problem.arg(meant.clone()).help("is `{2}` meant?").fix(tok.span, meant)
                    }
                    None if legs.is_empty() => problem.help("write its legs in its block, as in `leg back {10'|3 m}`"),
                    None => problem.arg(names).help("it has {2}"),
                })
            }
        }
    }

    /// A leg by name.
    pub fn leg(&mut self, tok: &Tok<'l>) -> Read<LegRef> {
        match self.spoken(tok, &[KindId::Wall, KindId::Line])? {
            Spoken::Leg(leg) => Ok(leg),
            Spoken::Block(block, _) => {
                let legs = self.legs(block);
                if legs.len() == 1 {
                    return Ok(LegRef { wall: block, leg: 0 });
                }
                let name = self.blocks.name(block);
                let names: Vec<String> = legs.iter().take(12).map(|leg| format!("`{name}.{}`", leg.name)).collect();
                self.fail(
                    Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` has more than one leg")
                        .arg(name)
                        .arg(names.join(", "))
                        .help("say which one: {1}"),
                )
            }
        }
    }

    /// `old.back 6' to old.side 3'`, `old.back`, `old`, `low, high`.
    pub fn stretch(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Stretch> {
        if toks.is_empty() {
            return self.nothing(word, "a leg or a section");
        }
        let mut parts = Vec::new();
        let mut whole = true;
        let mut wait = None;
        let mut at = 0;
        for item in items(toks) {
            let place = at;
            at += item.len() + 1;
            let Some((first, last)) = item.first().zip(item.last()) else {
                whole = false;
                self.say(empty_item(toks, place, word));
                continue;
            };
            let span = first.span.to(last.span);
            if self.commas_missing(item, &RUNS_ALONG) {
                whole = false;
                continue;
            }
            match self.stretch_part(item) {
                Ok(value) => parts.push(Said { value, span }),
                Err(Stop::Wait(node)) => _ = wait.get_or_insert(node),
                Err(Stop::Broken) => whole = false,
            }
        }
        if let Some(node) = wait {
            return Err(Stop::Wait(node));
        }
        if whole { Ok(Stretch(parts)) } else { Err(Stop::Broken) }
    }

    fn stretch_part(&mut self, item: &[Tok<'l>]) -> Read<StretchPart> {
        let Some((first, rest)) = item.split_first() else { return Err(Stop::Broken) };
        let from = match self.spoken(first, &RUNS_ALONG)? {
            Spoken::Block(block, KindId::Section) => {
                return match rest.first() {
                    None => Ok(StretchPart::All(block)),
                    Some(extra) => self.fail(
                        Problem::new(&rules::VALUE_EXTRA, extra.span, "a section is meant whole here")
                            .help("write its name alone, or stations on a leg, as in `old.back 0 to {6'|1.8 m}`"),
                    ),
                };
            }
            Spoken::Block(block, _) if rest.is_empty() => return Ok(StretchPart::All(block)),
            Spoken::Block(..) => self.leg(first)?,
            Spoken::Leg(leg) => leg,
        };
        if rest.is_empty() {
            return Ok(StretchPart::Legs { from, start: None, to: from, end: None });
        }
        if let Some(problem) = idle_from(rest) {
            return self.fail(problem);
        }
        let Some(to) = rest.iter().position(|tok| tok.is_word("to")) else {
            if let Some(problem) = self.dash_for_to(rest) {
                return self.fail(problem);
            }
            return self.fail(
                Problem::new(
                    &rules::VALUE_MISSING,
                    rest[rest.len() - 1].span.after(),
                    "the other end of the stretch is missing",
                )
                .arg(self.blocks.sources.text(first.span.to(rest[rest.len() - 1].span)))
                .help("write `to` and where it ends, as in `{0} to {6'|1.8 m}`"),
            );
        };
        let (before, link, after) = (&rest[..to], rest[to].span, &rest[to + 1..]);
        let start = if before.is_empty() { Ok(None) } else { self.length(before, first.span).map(Some) };
        // The other end may be on another leg.
        let (until, after, word) = match after.first() {
            Some(tok) if tok.kind == TokenKind::Word && self.names_leg(tok) => (self.leg(tok)?, &after[1..], tok.span),
            _ => (from, after, link),
        };
        let end = if after.is_empty() && until != from { Ok(None) } else { self.length(after, word).map(Some) };
        let (start, end) = (start?, end?);
        if until.wall != from.wall || until.leg < from.leg {
            return self.fail(
                Problem::new(
                    &rules::RANGE_BACKWARDS,
                    first.span.to(link).to(word),
                    "the stretch does not run from left to right along one wall",
                )
                .help("begin at the leg further left, as you stand in front of it"),
            );
        }
        if let (Some(start), Some(end)) = (start, end)
            && until == from
            && start.value >= end.value
        {
            let span = start.span.to(end.span);
            return self.fail(
                Problem::new(&rules::RANGE_BACKWARDS, span, "the stretch ends before it begins")
                    .arg(self.blocks.sources.text(start.span))
                    .arg(self.blocks.sources.text(end.span))
                    .help("write the station further left first: `{1} to {0}`")
                    .fix(
                        span,
                        format!("{} to {}", self.blocks.sources.text(end.span), self.blocks.sources.text(start.span)),
                    ),
            );
        }
        Ok(StretchPart::Legs { from, start: start.map(|said| said.value), to: until, end: end.map(|said| said.value) })
    }

    /// Whether a word in a place names a leg rather than a value.
    pub(super) fn names_leg(&mut self, tok: &Tok<'l>) -> bool {
        let (name, leg) = tok.text.split_once('.').unwrap_or((tok.text, ""));
        if leg.is_empty()
            && let [wall] = self.walls[..]
            && self.leg_number(wall, name).is_some()
        {
            return true;
        }
        // `old.back.length` is a value on a leg, `old.back` the leg.
        !leg.contains('.')
            && self
                .blocks
                .find(name)
                .is_some_and(|block| matches!(self.blocks.entry(block).kind, Some(KindId::Wall | KindId::Line)))
            && !KINDS[KindId::Wall as usize].properties.iter().any(|asked| !asked.of_leg && asked.word == leg)
    }

    /// `old.back at 2', 6'`; further legs after a comma.
    pub fn spots(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Spots> {
        if toks.is_empty() {
            return self.nothing(word, "a leg, `at` and stations");
        }
        let mut spots: Vec<Said<Spot>> = Vec::new();
        let mut whole = true;
        for item in items(toks) {
            let Some((first, last)) = item.first().zip(item.last()) else { continue };
            let span = first.span.to(last.span);
            let read = match item.get(1) {
                Some(at) if at.is_word("at") => self.leg(first).and_then(|leg| {
                    let station = self.length(&item[2..], at.span)?;
                    spots.push(Said { value: Spot { leg, at: vec![station] }, span });
                    Ok(())
                }),
                _ => match spots.last_mut() {
                    Some(_) => self.length(item, word).map(|station| {
                        if let Some(spot) = spots.last_mut() {
                            spot.value.at.push(station);
                            spot.span = spot.span.to(span);
                        }
                    }),
                    None if whole => self.fail(
                        Problem::new(&rules::VALUE_MISFIT, span, "it is not said where along a leg this is")
                            .help("write the leg, `at` and the stations, as in `old.back at {2', 6'|600 mm, 1800 mm}`"),
                    ),
                    None => Err(Stop::Broken),
                },
            };
            match read {
                Ok(()) => {}
                Err(wait @ Stop::Wait(_)) => return Err(wait),
                Err(Stop::Broken) => whole = false,
            }
        }
        if whole { Ok(Spots(spots)) } else { Err(Stop::Broken) }
    }

    /// `old`, `old.back`, `floor`, `pad.top`.
    pub fn target(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Target> {
        let Some((tok, rest)) = toks.split_first() else { return self.nothing(word, "what they are drilled into") };
        if let Some(extra) = rest.first() {
            return self.fail(
                Problem::new(&rules::VALUE_EXTRA, extra.span, "`{0}` does not belong here")
                    .arg(extra.text)
                    .help("holes of one block go into one thing; write a second block for the other"),
            );
        }
        let kinds = [KindId::Wall, KindId::Slab, KindId::Section, KindId::Footing];
        if let Some((name, "top")) = tok.text.split_once('.') {
            let short = Tok { text: name, ..*tok };
            let block = self.block_name(&short, &kinds)?;
            return Ok(Target { block, leg: None, top: true });
        }
        match self.spoken(tok, &kinds)? {
            Spoken::Leg(leg) => Ok(Target { block: leg.wall, leg: Some(leg.leg), top: false }),
            Spoken::Block(block, kind) => {
                Ok(Target { block, leg: None, top: matches!(kind, KindId::Slab | KindId::Footing) })
            }
        }
    }

    /// `at most 14"`, `every 12"`, `at 2', 4'`.
    pub fn spacing(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Spacing> {
        match toks {
            [at, most, rest @ ..] if at.is_word("at") && most.is_word("most") => {
                let span = at.span.to(most.span);
                self.gap(rest, span).map(Spacing::AtMost)
            }
            [every, rest @ ..] if every.is_word("every") => self.gap(rest, every.span).map(Spacing::Every),
            [at, rest @ ..] if at.is_word("at") => {
                let mut stations = Vec::new();
                let mut whole = true;
                for item in items(rest) {
                    match self.length(item, at.span) {
                        Ok(station) => stations.push(station),
                        Err(wait @ Stop::Wait(_)) => return Err(wait),
                        Err(Stop::Broken) => whole = false,
                    }
                }
                if whole { Ok(Spacing::At(stations)) } else { Err(Stop::Broken) }
            }
            [] => self.nothing(word, "`at most`, `every` or `at`, and a length"),
            [most, _, ..] if AT_MOST.iter().any(|known| most.is_word(known)) => self.fail(
                Problem::new(&rules::VALUE_MISFIT, most.span, "it is not said how this spaces")
                    .arg(self.blocks.sources.text(word))
                    .arg(self.blocks.sources.text(toks[1].span.to(toks[toks.len() - 1].span)))
                    .help("write `{0} at most {1}`")
                    .fix(most.span, "at most"),
            ),
            [first, .., last] | [first @ last] => {
                let span = first.span.to(last.span);
                self.fail(
                    Problem::new(&rules::VALUE_MISFIT, span, "it is not said how this spaces")
                        .arg(self.blocks.sources.text(word))
                        .arg(self.blocks.sources.text(span))
                        .help("write `{0} at most {1}` for equal gaps up to it, `{0} every {1}` for just this gap, or `{0} at` and stations"),
                )
            }
        }
    }

    fn gap(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Said<Length>> {
        let value = self.said(&<crate::schema::Above<Length> as Take>::SHAPE, toks, word)?;
        let span = value.span;
        match Length::take(value) {
            Some(value) => Ok(Said { value, span }),
            None => Err(Stop::Broken),
        }
    }

    /// `4"`, `top - 3"`, `bottom + 4"`.
    pub fn row_level(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let from = toks.first().and_then(|first| RowLevel::FROM.iter().position(|from| first.is_word(from)));
        let (Some(from), Some((first, rest))) = (from, toks.split_first()) else {
            return self.quantity(Dimension::Length, Sign::Any, toks, word).map(Value::Quantity);
        };
        // What follows is reckoned from 0 in its place.
        let zero = Tok { kind: TokenKind::Number, text: "0\"", ..*first };
        let toks: Vec<Tok<'l>> = std::iter::once(zero).chain(rest.iter().copied()).collect();
        let by = self.quantity(Dimension::Length, Sign::Any, &toks, word)?;
        let said = |value| Said { value, span: first.span };
        Ok(Value::Many(vec![said(Value::Choice(from)), said(Value::Quantity(by))]))
    }

    /// `135 deg`, `90 deg up`.
    pub fn hook(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let is_way = |tok: &Tok| Direction::CHOICES.iter().any(|choice| tok.is_word(choice.word));
        let (turn, way) = match toks.split_last() {
            Some((last, before)) if !before.is_empty() && is_way(last) => (before, Some(last)),
            _ => (toks, None),
        };
        let mut values = vec![self.said(&<Above<Angle> as Take>::SHAPE, turn, word)?];
        if let Some(way) = way {
            values.push(self.said(&<Direction as Take>::SHAPE, std::slice::from_ref(way), word)?);
        }
        Ok(Value::Many(values))
    }

    /// `up 18", right 8"`.
    pub fn walk(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Walk> {
        if toks.is_empty() {
            return self.nothing(word, "directions with lengths, as in `up 18\", right 8\"`");
        }
        let mut moves = Vec::new();
        let mut whole = true;
        for item in items(toks) {
            let Some((first, rest)) = item.split_first() else { continue };
            let direction = self.read(&<Direction as Take>::SHAPE, &item[..1], word);
            let length = match direction {
                Ok(_) => self.gap(rest, first.span),
                Err(stop) => Err(stop),
            };
            match (direction, length) {
                (Ok(direction), Ok(length)) => {
                    if let Some(direction) = Direction::take(Said { value: direction, span: first.span }) {
                        moves.push(WalkMove { direction, length: length.value, span: first.span.to(length.span) });
                    }
                }
                (Err(wait @ Stop::Wait(_)), _) | (_, Err(wait @ Stop::Wait(_))) => return Err(wait),
                _ => whole = false,
            }
        }
        if whole { Ok(Walk(moves)) } else { Err(Stop::Broken) }
    }

    /// `pins.3`.
    pub fn hole(&mut self, toks: &[Tok<'l>], word: Span) -> Read<HoleRef> {
        let tok = self.one(toks, word, "a hole, such as `pins.3`")?;
        let number = tok.text.rsplit_once('.').and_then(|(name, number)| Some((name, number.parse::<u64>().ok()?)));
        let Some((name, number)) = number.filter(|(_, number)| tok.kind == TokenKind::Word && *number > 0) else {
            let problem = Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` does not say which hole").arg(tok.text);
            return self.fail(problem.help("write the name of the row, a dot and the hole's number, as `pins.3`"));
        };
        let holes = self.block_name(&Tok { text: name, ..*tok }, &[KindId::Holes])?;
        Ok(HoleRef { holes, number })
    }

    /// `mark pins`, `place rails, crown`.
    pub fn work(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Work> {
        let Some((verb, rest)) = toks.split_first() else {
            return self.nothing(word, "a verb and what it is done to, as in `drill pins`");
        };
        let verbs = || KINDS.iter().flat_map(|kind| kind.verbs).map(|verb| verb.word);
        let Some(known) = verbs().find(|known| verb.is_word(known)) else {
            let problem =
                Problem::new(&rules::VERB_UNKNOWN, verb.span, "nobody knows how to `{0}` here").arg(verb.text);
            return self.fail(match nearest(verb.text, verbs()) {
                Some(near) => problem.arg(near).help("is `{1}` meant?").fix(verb.span, near),
                None => {
                    let mut words: Vec<&str> = verbs().collect();
                    words.sort_unstable();
                    words.dedup();
                    problem.arg(crate::problem::or(&words)).help("write {1}; other work needs no `work` clause")
                }
            });
        };
        if rest.is_empty() {
            return self.nothing(verb.span, "what it is done to");
        }
        let mut things = Vec::new();
        let mut whole = true;
        let mut at = 0;
        for item in items(rest) {
            let place = at;
            at += item.len() + 1;
            let [tok] = item else {
                whole = false;
                if self.commas_missing(item, &[]) {
                    continue;
                }
                if item.is_empty() {
                    self.say(empty_item(rest, place, verb.span));
                }
                let comma = place.checked_sub(1).and_then(|before| rest.get(before));
                if let ([again, _], Some(comma)) = (item, comma)
                    && let Some(also) = verbs().find(|known| again.is_word(known))
                {
                    self.say(
                        Problem::new(&rules::VALUE_EXTRA, again.span, "`{0}` is a second verb in one `work`")
                            .arg(also)
                            .help("write a `work` for each, with `;` between")
                            .fix(comma.span.to(again.span), format!("; work {also}")),
                    );
                } else if let Some(extra) = item.get(1) {
                    self.say(
                        Problem::new(&rules::VALUE_EXTRA, extra.span, "`{0}` does not belong here")
                            .arg(extra.text)
                            .help("write the names of the things with commas between"),
                    );
                }
                continue;
            };
            match self.block_name(tok, &[]) {
                Ok(value) => {
                    let kind = self.blocks.entry(value).kind;
                    if kind.is_some_and(|kind| kind.kind().verbs.iter().any(|can| can.word == known)) {
                        things.push(Said { value, span: tok.span });
                    } else {
                        whole = false;
                        let kind = kind.unwrap_or(KindId::Job);
                        self.say(self.cannot(tok, kind, known));
                    }
                }
                Err(wait @ Stop::Wait(_)) => return Err(wait),
                Err(Stop::Broken) => whole = false,
            }
        }
        if whole { Ok(Work { verb: known, things }) } else { Err(Stop::Broken) }
    }

    fn cannot(&self, tok: &Tok, kind: KindId, verb: &'static str) -> Problem {
        let problem = Problem::new(&rules::VERB_MISFIT, tok.span, "`{0}` is {1}: one does not `{2}` it")
            .arg(tok.text)
            .arg(super::article(kind))
            .arg(verb);
        let takes: Vec<KindId> =
            KINDS.iter().filter(|kind| kind.verbs.iter().any(|known| known.word == verb)).map(|kind| kind.id).collect();
        let problem = problem.arg(super::kinds_in_words(&takes));
        let verbs: Vec<&str> = kind.kind().verbs.iter().map(|verb| verb.word).collect();
        if verbs.is_empty() {
            problem.help("write the name of {3} after `{2}`")
        } else {
            problem.arg(crate::problem::or(&verbs)).help("write {4}, or after `{2}` the name of {3}")
        }
    }

    /// The length of a leg.
    pub fn leg_length(&mut self, leg: LegRef) -> Read<Length> {
        let kind = self.blocks.entry(leg.wall).kind;
        let number = kind
            .and_then(|kind| kind.kind().properties.iter().position(|asked| asked.of_leg && asked.word == "length"));
        let Some(number) = number.and_then(|number| u8::try_from(number).ok()) else { return Err(Stop::Broken) };
        let quantity = self.value(Node::Property(leg.wall, Some(leg.leg), number))?;
        quantity.length().ok_or(Stop::Broken)
    }

    /// The typed form of a value read by the shape of its type.
    pub fn taken<T: Take>(&mut self, value: Said<Value>) -> Read<T> {
        T::take(value).ok_or(Stop::Broken)
    }
}
