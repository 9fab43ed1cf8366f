//! Words that stand in a clause for another: parts under a word that is none, and which was meant.

use super::{desk::Desk, rules};
use crate::{
    language::{Tok, TokenKind},
    problem::{Problem, nearest},
    schema::{Field, KindId, Shape},
    source::Span,
    units,
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

    /// A name written in two: `12 mm` for `12mm`, `ply 3/4"` for `ply-3/4`.
    pub(super) fn name_apart(&mut self, kinds: &[KindId], toks: &[Tok], word: Span) -> Option<Problem> {
        let [one, two] = toks else { return None };
        let span = one.span.to(two.span);
        if !self.may_suggest() {
            return None;
        }
        let is_known = |name: &String| self.known_names(kinds).contains(&name.as_str());
        if one.kind == TokenKind::Number {
            let name = Some(format!("{}{}", one.text, two.text)).filter(is_known)?;
            return Some(
                Problem::new(&rules::VALUE_EXTRA, span, "`{0}` is a measure, and `{1}` takes a name")
                    .arg(self.blocks.sources.text(span))
                    .arg(self.blocks.sources.text(word))
                    .arg(name.as_str())
                    .help("write it without the blank: `{2}`")
                    .fix(span, name),
            );
        }
        if two.kind != TokenKind::Number {
            return None;
        }
        let name = Some(format!("{}-{}", one.text, two.text.trim_end_matches('"'))).filter(is_known)?;
        Some(
            Problem::new(&rules::NAME_UNKNOWN, span, "nothing here is called `{0}`")
                .arg(self.blocks.sources.text(span))
                .arg(name.as_str())
                .help("a name is one word: `{1}`")
                .fix(span, name),
        )
    }
}

/// The words parts begin with.
fn firsts(fields: &[Field]) -> impl Iterator<Item = &'static str> + '_ {
    let firsts = fields.iter().filter_map(|field| field.word.split(' ').next());
    firsts.filter(|first| !matches!(*first, "" | "\""))
}
