//! Acceptances: `accept NAME on THING down to VALUE because "reason"`.

use super::{Job, desk::Desk, rules};
use crate::{
    language::{self, Tok, TokenKind},
    problem::Problem,
    schema::{BlockId, KindId},
    source::Span,
    units::Length,
};

/// A warning let pass, with the reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Accept {
    /// The name of the rule.
    pub rule: String,
    /// Where it stands.
    pub rule_at: Span,
    /// The thing.
    pub thing: String,
    /// Where it stands.
    pub thing_at: Span,
    /// The number it is let go down to.
    pub down_to: Option<Length>,
    /// Why.
    pub because: String,
    /// The whole line.
    pub at: Span,
}

/// Reads all acceptances. The thing may be any name; whether the rule and the finding exist is checked afterwards.
pub(super) fn read<'l>(desk: &mut Desk<'l, '_>, job: &mut Job) {
    for at in 0..desk.blocks.own {
        let entry = desk.blocks.entries[at];
        if entry.kind != Some(KindId::Accept) || entry.broken {
            continue;
        }
        let tree = desk.blocks.tree(&entry);
        let Some(line) = tree.blocks.get(entry.block as usize) else { continue };
        let mut toks: Vec<Tok<'l>> = Vec::new();
        tree.words(desk.blocks.sources.get(tree.source), &line.head, &mut toks);
        match one(desk, &toks, entry.head) {
            Some(accept) => job.accepts.push(accept),
            None => {
                job.broken.insert(BlockId(u32::try_from(at).unwrap_or(u32::MAX)));
            }
        }
    }
}

fn one<'l>(desk: &mut Desk<'l, '_>, toks: &[Tok<'l>], at: Span) -> Option<Accept> {
    if toks.iter().any(|tok| matches!(tok.kind, TokenKind::Stray | TokenKind::OpenText)) {
        return None;
    }
    let (body, reason) = match toks.iter().position(|tok| tok.is_word("because")) {
        Some(because) => (&toks[..because], &toks[because + 1..]),
        None => (toks, &toks[toks.len()..]),
    };
    let shape = |place: Span, headline| {
        Problem::new(&rules::ACCEPT_UNREADABLE, place, headline)
            .help("write it as in `accept back-thin on pins because \"Agreed with the engineer\"`")
    };
    let [_, rule, on, thing, rest @ ..] = body else {
        desk.say(shape(at, "this does not say what is accepted, and on what"));
        return None;
    };
    if rule.kind != TokenKind::Word || !on.is_word("on") || thing.kind != TokenKind::Word {
        desk.say(shape(rule.span.to(thing.span), "this does not say what is accepted, and on what"));
        return None;
    }
    let down_to = match rest {
        [] => None,
        [down, to, value @ ..] if down.is_word("down") && to.is_word("to") => {
            Some(desk.length(value, to.span).ok()?.value)
        }
        [extra, ..] => {
            desk.say(shape(extra.span, "only `down to` and a value may stand before `because`"));
            return None;
        }
    };
    match reason {
        [text] if text.kind == TokenKind::Text && !language::unquote(text.text).trim().is_empty() => Some(Accept {
            rule: rule.text.to_owned(),
            rule_at: rule.span,
            thing: thing.text.to_owned(),
            thing_at: thing.span,
            down_to,
            because: language::unquote(text.text),
            at,
        }),
        _ => {
            desk.say(
                Problem::new(&rules::ACCEPT_UNREADABLE, at, "this acceptance does not say why")
                    .help("end it with `because \"the reason\"`; the reason is printed on the work order"),
            );
            None
        }
    }
}
