//! What a job says block by block, in its own words: without comments, without the blanks between words, and without where
//! it stands. Two versions of a job are compared by it, so that nothing that was edited goes untold.

use std::{collections::BTreeMap, fmt};

use crate::{
    language::{Limits, Tok, TokenKind, parse},
    library,
    schema::KindId,
    source::{SourceId, Sources},
};

/// One block, or one line that takes no block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wording {
    /// The word of its kind, as it is written.
    pub kind: String,
    /// Its name; empty where it has none.
    pub name: String,
    /// What else stands in its head: the title, or all of a line.
    pub head: Phrase,
    /// Its clauses, in order.
    pub clauses: Vec<Phrase>,
}

/// Words one after the other.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Phrase(Vec<Piece>);

/// A word that can be a name, or anything else.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Piece {
    Word(String),
    Other(String),
}

impl Phrase {
    fn of(words: &[Tok]) -> Phrase {
        let piece = |word: &Tok| match word.kind {
            TokenKind::Word => Piece::Word(word.text.to_owned()),
            _ => Piece::Other(word.text.to_owned()),
        };
        Phrase(words.iter().map(piece).collect())
    }

    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Its first word; empty if there is none.
    #[must_use]
    pub fn first(&self) -> &str {
        match self.0.first() {
            Some(Piece::Word(text) | Piece::Other(text)) => text,
            None => "",
        }
    }

    /// The same with other names; what stands first is a word of the language and stays.
    #[must_use]
    pub fn renamed(&self, names: &BTreeMap<String, String>) -> Phrase {
        let piece = |(at, piece): (usize, &Piece)| match piece {
            Piece::Word(text) if at > 0 => {
                let (name, rest) = text.find('.').map_or((text.as_str(), ""), |dot| text.split_at(dot));
                Piece::Word(names.get(name).map_or_else(|| text.clone(), |other| format!("{other}{rest}")))
            }
            other => other.clone(),
        };
        Phrase(self.0.iter().enumerate().map(piece).collect())
    }
}

impl fmt::Display for Phrase {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut open = true;
        for piece in &self.0 {
            let (Piece::Word(text) | Piece::Other(text)) = piece;
            if !open && !matches!(text.as_str(), "," | ")" | ";") {
                out.write_str(" ")?;
            }
            out.write_str(text)?;
            open = text == "(";
        }
        Ok(())
    }
}

/// What a compiled job's own texts say, in the order it is read; the library behind them is left out.
#[must_use]
pub fn wordings(sources: &Sources, limits: &Limits) -> Vec<Wording> {
    let own = sources.len().saturating_sub(library::FILES.len());
    let mut out = Vec::new();
    let mut words = Vec::new();
    for id in (0..own).map(|id| SourceId(u32::try_from(id).unwrap_or(u32::MAX))) {
        let source = sources.get(id);
        // What is wrong with it was found when it was compiled.
        let tree = parse(id, source, limits, &mut Vec::new());
        for block in &tree.blocks {
            tree.words(source, &block.head, &mut words);
            let Some((kind, mut rest)) = words.split_first() else { continue };
            let named = KindId::of(kind.text).is_none_or(|kind| kind.kind().head.name.is_some() || kind == KindId::Let);
            let mut name = String::new();
            if let Some((first, others)) =
                rest.split_first().filter(|(first, _)| named && first.kind == TokenKind::Word)
            {
                name = first.text.to_owned();
                rest = others;
            }
            let mut wording = Wording { kind: kind.text.to_owned(), name, head: Phrase::of(rest), clauses: Vec::new() };
            let clauses =
                block.body.as_ref().map_or(0..0, |body| body.clauses.start as usize..body.clauses.end as usize);
            for clause in tree.clauses.get(clauses).unwrap_or(&[]) {
                tree.words(source, &clause.tokens, &mut words);
                wording.clauses.push(Phrase::of(&words));
            }
            out.push(wording);
        }
    }
    out
}
