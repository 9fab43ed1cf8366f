//! The formatter: purely lexical, so that it needs no schema and can never change what a file says.
//!
//! It sets blanks and indents, drops what trails, keeps at most one empty line, and aligns nothing across lines (a line
//! changed is one line in a diff). Every comment is kept. A line with a lexical fault is left as it stands.

use super::{limits::Limits, scan, tree::Token, tree::TokenKind};
use crate::source::{Source, SourceId};

const INDENT: &str = "    ";

/// A text in its one form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Formatted {
    /// The text.
    pub text: String,
    /// How many lines have a lexical fault and stand as they were.
    pub left: usize,
}

/// The text in its one form. Formatting the result again gives the same bytes.
#[must_use]
pub fn format(source: &Source, limits: &Limits) -> String {
    form(source, limits).text
}

/// The text in its one form, and how many lines were left as they are.
#[must_use]
pub fn form(source: &Source, limits: &Limits) -> Formatted {
    let tokens = scan::scan(SourceId(0), source, 0..source.text.len(), limits, &mut Vec::new());
    let text = source.text.as_str();
    let mut page =
        Page { out: String::with_capacity(text.len() + 16), inside: false, goes_on: false, empty: 0, left: 0 };
    let mut line = 0;
    let mut line_start = 0;
    while line < tokens.len() {
        let end = tokens[line..]
            .iter()
            .position(|token| token.kind() == TokenKind::Newline)
            .map_or(tokens.len(), |at| line + at);
        let line_end = tokens.get(end).map_or(text.len(), |newline| newline.start());
        page.line(text, &tokens[line..end], text.get(line_start..line_end).unwrap_or(""));
        line_start = tokens.get(end).map_or(text.len(), |newline| newline.end());
        line = end + 1;
    }
    // Odd as it is, this one must not become a byte order mark, which says nothing and is dropped.
    if page.out.starts_with('\u{feff}') {
        page.out.insert(0, '\n');
    }
    Formatted { text: page.out, left: page.left }
}

struct Page {
    out: String,
    /// A block is open.
    inside: bool,
    /// The last line ended in a comma.
    goes_on: bool,
    /// Empty lines seen since the last full one.
    empty: usize,
    /// Lines with a lexical fault.
    left: usize,
}

impl Page {
    fn line(&mut self, text: &str, tokens: &[Token], as_written: &str) {
        if tokens.is_empty() {
            self.empty += 1;
            return;
        }
        if self.empty > 0 && !self.out.is_empty() {
            self.out.push('\n');
        }
        self.empty = 0;
        if is_broken(text, tokens) {
            self.left += 1;
            self.out.push_str(as_written);
        } else {
            self.indent(text, tokens);
            self.words(text, tokens);
        }
        self.out.push('\n');
        self.follow(text, tokens);
    }

    fn indent(&mut self, text: &str, tokens: &[Token]) {
        let first = letters(text, tokens[0]);
        let opens = tokens.iter().any(|token| is_mark(text, *token, "{"));
        let closes = is_mark(text, tokens[0], "}");
        // A head inside an open block closes it, so it stands at the margin.
        if self.inside && !closes && (!opens || self.goes_on) {
            self.out.push_str(INDENT);
        }
        if self.goes_on && !first.starts_with("//") && !closes {
            self.out.push_str(INDENT);
        }
    }

    fn words(&mut self, text: &str, tokens: &[Token]) {
        let mut before: Option<Token> = None;
        for token in tokens {
            if let Some(before) = before {
                self.out.push_str(gap(text, before, *token));
            }
            self.out.push_str(letters(text, *token).trim_end_matches([' ', '\t']));
            before = Some(*token);
        }
    }

    fn follow(&mut self, text: &str, tokens: &[Token]) {
        for token in tokens {
            match token.kind() {
                TokenKind::Mark => {
                    let mark = letters(text, *token);
                    match mark {
                        "{" => self.inside = true,
                        "}" => self.inside = false,
                        _ => {}
                    }
                    self.goes_on = mark == ",";
                }
                TokenKind::Comment | TokenKind::OddBlank | TokenKind::Newline => {}
                TokenKind::Word | TokenKind::Number | TokenKind::Text | TokenKind::OpenText | TokenKind::Stray => {
                    self.goes_on = false;
                }
            }
        }
    }
}

/// What stands between two tokens of a line.
fn gap(text: &str, before: Token, after: Token) -> &'static str {
    if after.kind() == TokenKind::Comment {
        return "  ";
    }
    let apart = before.end() < after.start();
    let as_it_was = if apart { " " } else { "" };
    let (left, right) = (letters(text, before), letters(text, after));
    let (left_mark, right_mark) = (before.kind() == TokenKind::Mark, after.kind() == TokenKind::Mark);
    if right_mark {
        match right {
            "," | ";" | ")" => return "",
            "(" | "+" | "-" | "*" | "/" | "\u{2212}" => return as_it_was,
            "}" if left_mark && left == "{" => return as_it_was,
            _ => {}
        }
    }
    if left_mark {
        match left {
            "(" => return "",
            "+" | "-" | "*" | "/" | "\u{2212}" => return as_it_was,
            _ => {}
        }
    }
    " "
}

/// Whether a line has a lexical fault: it is then left as it stands.
fn is_broken(text: &str, tokens: &[Token]) -> bool {
    let fault =
        tokens.iter().any(|token| matches!(token.kind(), TokenKind::Stray | TokenKind::OpenText | TokenKind::OddBlank));
    // `1,5` would become the list `1, 5` by putting the blank in.
    let glued = tokens.windows(3).any(|three| {
        three[0].kind() == TokenKind::Number
            && is_mark(text, three[1], ",")
            && three[2].kind() == TokenKind::Number
            && three[0].end() == three[1].start()
            && three[1].end() == three[2].start()
    });
    fault || glued
}

fn letters(text: &str, token: Token) -> &str {
    text.get(token.start()..token.end()).unwrap_or("")
}

fn is_mark(text: &str, token: Token, mark: &str) -> bool {
    token.kind() == TokenKind::Mark && letters(text, token) == mark
}
