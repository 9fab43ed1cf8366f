//! What may be asked of things: `high.top`, `old.back.length`; and the values of `let`.

use super::{
    desk::{Desk, Node, Read, Stop},
    rules,
};
use crate::{
    language::{Tok, TokenKind},
    problem::{Problem, nearest},
    schema::{Above, BlockId, Bore, KindId, LegRef, Named, Range, Said, Stretch, StretchPart, Thick, WallLeg},
    units::{Length, Quantity},
};

impl<'l> Desk<'l, '_> {
    /// `NAME.asked` in an expression.
    pub fn asked(&mut self, tok: &Tok<'l>, block: BlockId, kind: KindId, asked: &'l str) -> Read<Quantity> {
        let (leg, asked) = match asked.split_once('.') {
            Some((leg, asked)) => (Some(leg), asked),
            None => (None, asked),
        };
        let properties = kind.kind().properties;
        let name = tok.text.split('.').next().unwrap_or("");
        let leg = match leg {
            None => None,
            Some(leg) => {
                let Some(at) = self.leg_number(block, leg) else {
                    let (legs, names) = (self.legs(block), self.leg_names(block));
                    let near = self.may_suggest().then(|| nearest(leg, legs.iter().map(|entry| entry.name))).flatten();
                    let problem =
                        Problem::new(&rules::LEG_UNKNOWN, tok.span, "`{0}` has no leg called `{1}`").arg(name).arg(leg);
                    return self.fail(match near {
                        Some(near) => {
                            let meant = format!("{name}.{near}.{asked}");
                            problem.arg(meant.clone()).help("is `{2}` meant?").fix(tok.span, meant)
                        }
                        None => problem.arg(names).help("it has {2}"),
                    });
                };
                Some(at)
            }
        };
        let found = properties.iter().position(|known| known.word == asked && known.of_leg == leg.is_some());
        let Some(number) = found.and_then(|number| u8::try_from(number).ok()) else {
            let words: Vec<&str> =
                properties.iter().filter(|known| known.of_leg == leg.is_some()).map(|known| known.word).collect();
            let problem = Problem::new(&rules::PROPERTY_UNKNOWN, tok.span, "{2} has no `{1}`")
                .arg(name)
                .arg(asked)
                .arg(if leg.is_some() { "a leg".to_owned() } else { super::article(kind) });
            let is_leg = leg.is_none() && self.leg_number(block, asked).is_some();
            return self.fail(if is_leg {
                problem.help("`{0}.{1}` is a leg; ask for its length: `{0}.{1}.length`")
            } else if let Some(near) = nearest(asked, words.iter().copied()) {
                let meant = format!("{}{near}", tok.text.strip_suffix(asked).unwrap_or(""));
                problem.arg(meant.clone()).help("is `{3}` meant?").fix(tok.span, meant)
            } else if words.is_empty() {
                problem.help("it has no properties; write the value itself")
            } else {
                problem.arg(crate::problem::and(&words)).help("it has {3}")
            });
        };
        if kind == KindId::Stock && !self.is_written(block, asked) {
            let entry = self.blocks.entry(block);
            return self.fail(
                Problem::new(&rules::CLAUSE_MISSING, tok.span, "`{0}` has no `{1}`")
                    .arg(name)
                    .arg(asked)
                    .here("it is asked for here")
                    .label(entry.name.unwrap_or(entry.head), "and is not written here")
                    .help("write it into the block of `{0}`, as in `length {20'|6 m}`, or write the value itself"),
            );
        }
        self.value(Node::Property(block, leg, number))
    }

    /// Whether a block has a clause of this word; one that could not be read may have it.
    fn is_written(&self, block: BlockId, word: &str) -> bool {
        let entry = self.blocks.entry(block);
        let (tree, clauses) = self.blocks.clauses(&entry);
        let mut toks = Vec::new();
        let first_is = |clause| {
            self.words(tree, clause, &mut toks);
            toks.first().is_some_and(|first| first.is_word(word))
        };
        entry.broken || clauses.iter().any(first_is)
    }

    /// The value of a `let`.
    pub fn let_value(&mut self, block: BlockId) -> Read<Said<Quantity>> {
        let entry = self.blocks.entry(block);
        if entry.broken {
            return Err(Stop::Broken);
        }
        let tree = self.blocks.tree(&entry);
        let Some(line) = tree.blocks.get(entry.block as usize) else { return Err(Stop::Broken) };
        let mut toks: Vec<Tok<'l>> = Vec::new();
        tree.words(self.blocks.sources.get(tree.source), &line.head, &mut toks);
        match toks.as_slice() {
            [_, name, equals, rest @ ..] if name.kind == TokenKind::Word && equals.is_mark("=") => {
                let rest = rest.to_vec();
                let said = self.expression(&rest, None, equals.span)?;
                self.reading = Some(block);
                self.like_one_length(&rest);
                Ok(said)
            }
            [_, name, ..] if name.kind == TokenKind::Word => self.fail(
                Problem::new(&rules::VALUE_MISSING, name.span.after(), "`=` and a value are missing after `{0}`")
                    .arg(name.text)
                    .help("write it as in `let {0} = {1/2\"|12 mm}`"),
            ),
            _ => self.fail(
                Problem::new(&rules::NAME_MISSING, entry.head, "this `let` has no name")
                    .help("write it as in `let gap = {1/2\"|12 mm}`"),
            ),
        }
    }

    /// Reads one clause of a block by the word of its field, typed.
    fn clause_of<T: crate::schema::Take>(&mut self, block: BlockId, word: &str) -> Read<Option<T>> {
        let Some(kind) = self.blocks.entry(block).kind else { return Err(Stop::Broken) };
        let Some(field) = kind.kind().field(word) else { return Err(Stop::Broken) };
        match self.clause(block, field)? {
            Some(value) => T::take(value).map(Some).ok_or(Stop::Broken),
            None => Ok(None),
        }
    }

    fn must<T: crate::schema::Take>(&mut self, block: BlockId, word: &str) -> Read<T> {
        self.clause_of(block, word)?.ok_or(Stop::Broken)
    }

    /// A property of a block or of one of its legs.
    pub fn property(&mut self, block: BlockId, leg: Option<u16>, number: u8) -> Read<Quantity> {
        let Some(kind) = self.blocks.entry(block).kind else { return Err(Stop::Broken) };
        let Some(asked) = kind.kind().properties.get(number as usize) else { return Err(Stop::Broken) };
        let length: Length = match (kind, leg) {
            (KindId::Wall | KindId::Line, Some(leg)) => self.leg_property(block, kind, leg, asked.word)?,
            (KindId::Wall, None) => match asked.word {
                "thick" => self.must::<Above<Length>>(block, "thick")?.0,
                _ => side(self.must::<Range<Length>>(block, "height")?, asked.word),
            },
            (KindId::Footing, _) => {
                let thick = self.must::<Above<Length>>(block, "thick")?.0;
                if asked.word == "thick" {
                    thick
                } else {
                    let wall = self.must::<crate::schema::WallName>(block, "under")?.0;
                    let top = self.ask(wall, None, "bottom")?;
                    if asked.word == "top" { top } else { top - thick }
                }
            }
            (KindId::Slab, _) => {
                let thick = self.must::<Above<Length>>(block, "thick")?.0;
                let top = self.must::<Length>(block, "top")?;
                match asked.word {
                    "thick" => thick,
                    "top" => top,
                    _ => top - thick,
                }
            }
            (KindId::Section, _) => self.section_property(block, asked.word)?,
            (KindId::Void, _) => side(self.must::<Range<Length>>(block, "height")?, asked.word),
            (KindId::Holes, _) => {
                let bore = self.must::<Bore>(block, "bore")?;
                if asked.word == "bore" { bore.wide.0 } else { bore.deep.value.0 }
            }
            (KindId::Stock, _) => self.must::<Above<Length>>(block, "length")?.0,
            (KindId::Steel | KindId::Wire, _) => self.must::<Above<Length>>(block, "diameter")?.0,
            _ => return Err(Stop::Broken),
        };
        Ok(Quantity::from(length))
    }

    /// Asks another node, by words.
    fn ask(&mut self, block: BlockId, leg: Option<u16>, word: &str) -> Read<Length> {
        let kind = self.blocks.entry(block).kind.ok_or(Stop::Broken)?;
        let found = kind.kind().properties.iter().position(|asked| asked.word == word && asked.of_leg == leg.is_some());
        let number = found.and_then(|number| u8::try_from(number).ok()).ok_or(Stop::Broken)?;
        self.value(Node::Property(block, leg, number))?.length().ok_or(Stop::Broken)
    }

    fn leg_property(&mut self, block: BlockId, kind: KindId, leg: u16, asked: &str) -> Read<Length> {
        let entry = self.legs(block).get(leg as usize).copied().ok_or(Stop::Broken)?;
        let field = kind.kind().field("leg").ok_or(Stop::Broken)?;
        let value = self.clause_at(block, field, entry.clause)?;
        if kind == KindId::Line {
            let leg: Named<Above<Length>> = self.taken(value)?;
            return Ok(leg.value.0);
        }
        let leg: WallLeg = self.taken(value)?;
        match asked {
            "length" => Ok(leg.leg.value.0),
            "thick" => match leg.thick {
                Some(thick) => Ok(thick.0),
                None => self.ask(block, None, "thick"),
            },
            _ => match leg.height {
                Some(height) => Ok(side(height, asked)),
                None => self.ask(block, None, asked),
            },
        }
    }

    fn section_property(&mut self, block: BlockId, asked: &str) -> Read<Length> {
        match asked {
            "top" | "bottom" => Ok(side(self.must::<Range<Length>>(block, "height")?, asked)),
            "thick" => match self.clause_of::<Thick>(block, "thick")? {
                Some(thick) => Ok(thick.thick.0),
                None => {
                    let offset = self.must::<Range<Length>>(block, "offset")?;
                    Ok(offset.to - offset.from)
                }
            },
            _ => {
                let stretch = self.must::<Stretch>(block, "along")?;
                self.stretch_property(&stretch, asked)
            }
        }
    }

    fn stretch_property(&mut self, stretch: &Stretch, asked: &str) -> Read<Length> {
        let mut total = Length::ZERO;
        let mut start = None;
        let mut last = Length::ZERO;
        let mut wait = None;
        for part in &stretch.0 {
            let (from, first, to, end) = match part.value {
                StretchPart::All(block) => {
                    if self.blocks.entry(block).kind == Some(KindId::Section) {
                        return self.ask(block, None, asked);
                    }
                    let legs = u16::try_from(self.legs(block).len()).unwrap_or(u16::MAX);
                    let to = legs.checked_sub(1).ok_or(Stop::Broken)?;
                    (LegRef { wall: block, leg: 0 }, None, LegRef { wall: block, leg: to }, None)
                }
                StretchPart::Legs { from, start, to, end } => (from, start, to, end),
            };
            let first = first.unwrap_or(Length::ZERO);
            start.get_or_insert(first);
            for leg in from.leg..=to.leg {
                let begin = if leg == from.leg { first } else { Length::ZERO };
                let finish = match end {
                    Some(end) if leg == to.leg => end,
                    _ => match self.leg_length(LegRef { wall: from.wall, leg }) {
                        Ok(length) => length,
                        // All that is waited for is asked at once, not one leg a time.
                        Err(Stop::Wait(node)) => {
                            wait.get_or_insert(node);
                            continue;
                        }
                        Err(Stop::Broken) => return Err(Stop::Broken),
                    },
                };
                total += finish - begin;
                last = finish;
            }
        }
        if let Some(node) = wait {
            return Err(Stop::Wait(node));
        }
        Ok(match asked {
            "start" => start.unwrap_or(Length::ZERO),
            "end" => last,
            _ => total,
        })
    }
}

fn side(range: Range<Length>, asked: &str) -> Length {
    if asked == "top" { range.to } else { range.from }
}
