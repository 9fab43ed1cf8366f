//! Numbers, units and expressions: a list of tokens becomes a quantity, exact where it can be.

use super::{
    desk::{Desk, Node, Read, Stop},
    misread::{
        MINUTES_HELP, equals_sign, glued, in_minutes, misread, run_on, spoken_unit, too_large, unit_in_two, unit_twice,
        working_days,
    },
    once::MEANT,
    rules,
};
use crate::{
    language::{Tok, TokenKind},
    problem::Problem,
    schema::{KindId, Said, Shape},
    source::Span,
    units::{self, Amount, Dimension, Exact, Misfit, Quantity, Unit, What},
};

/// A place in a list of tokens.
struct Cursor<'t, 'l> {
    toks: &'t [Tok<'l>],
    at: usize,
}

/// What a level of parentheses is for.
#[derive(Clone, Copy, PartialEq)]
enum Level {
    /// The expression itself.
    Whole,
    /// `( … )`.
    Group,
    /// `min( … )`.
    Least,
    /// `max( … )`.
    Most,
}

/// A level of parentheses while it is read. Levels stand on a stack of their own, never on the program's, so that no
/// depth can exhaust it.
struct Open<'l> {
    level: Level,
    /// The parenthesis that opened it.
    by: Option<Tok<'l>>,
    /// The least or most of the values before the last comma.
    best: Option<Quantity>,
    /// What stands before the last `+` or `-`, and whether it was `+`.
    sum: Option<(Quantity, bool)>,
    /// What stands before the last `*` or `/`, and whether it was `*`.
    product: Option<(Quantity, bool)>,
    /// Where the first value, the sum and the product begin.
    starts: [usize; 3],
}

impl<'l> Open<'l> {
    fn new(level: Level, by: Option<Tok<'l>>, at: usize) -> Open<'l> {
        Open { level, by, best: None, sum: None, product: None, starts: [at; 3] }
    }
}

impl<'t, 'l> Cursor<'t, 'l> {
    fn peek(&self) -> Option<&'t Tok<'l>> {
        self.toks.get(self.at)
    }

    /// The mark that comes next; empty for anything else.
    fn next_mark(&self) -> &'l str {
        self.peek().filter(|tok| tok.kind == TokenKind::Mark).map_or("", |tok| tok.text)
    }
}

impl<'l> Desk<'l, '_> {
    /// Works out an expression. `wanted` is the dimension wanted where it stands, if one is: it decides what a plain 0,
    /// a pound or a degree means. `word` is the word it stands after, for messages.
    pub fn expression(&mut self, toks: &[Tok<'l>], wanted: Option<Dimension>, word: Span) -> Read<Said<Quantity>> {
        let Some((first, last)) = toks.first().zip(toks.last()) else {
            return self.fail(
                Problem::new(&rules::VALUE_MISSING, word, "nothing stands after `{0}`")
                    .arg(self.blocks.sources.text(word))
                    .arg(wanted.map_or("a value", Dimension::name))
                    .help("write {1}"),
            );
        };
        let span = first.span.to(last.span);
        self.all_waits(toks)?;
        let mut cursor = Cursor { toks, at: 0 };
        // Most are a single value: nothing to reckon with where no mark stands.
        let value = if toks.iter().any(|tok| tok.kind == TokenKind::Mark) {
            self.reckon(&mut cursor, wanted)?
        } else {
            self.operand(&mut cursor, wanted)?
        };
        if let Some(extra) = cursor.peek() {
            return self.left_over(cursor.toks, cursor.at, extra, wanted);
        }
        Ok(Said { value, span })
    }

    /// While a node is worked out: asks for all names of an expression before any is reckoned with, so that the
    /// expression is gone through twice, not once for each name in it.
    fn all_waits(&mut self, toks: &[Tok<'l>]) -> Read<()> {
        if !self.is_quiet() {
            return Ok(());
        }
        let mut wait = None;
        let mut at = 0;
        while let Some(tok) = toks.get(at) {
            at += 1;
            match tok.kind {
                TokenKind::Number => {
                    self.unit_behind_at(toks, &mut at);
                }
                TokenKind::Word if !tok.text.contains('/') => {
                    if let Err(Stop::Wait(node)) = self.named(tok, None) {
                        wait.get_or_insert(node);
                    }
                }
                _ => {}
            }
        }
        wait.map_or(Ok(()), |node| Err(Stop::Wait(node)))
    }

    /// Reads and works out all that belongs together: products before sums, parentheses before both.
    fn reckon(&mut self, cursor: &mut Cursor<'_, 'l>, wanted: Option<Dimension>) -> Read<Quantity> {
        let mut levels: Vec<Open<'l>> = Vec::new();
        let mut open = Open::new(Level::Whole, None, cursor.at);
        loop {
            if let Some((level, by)) = self.opens(cursor) {
                self.deeper(levels.len() + 1, &by)?;
                levels.push(std::mem::replace(&mut open, Open::new(level, Some(by), cursor.at)));
                continue;
            }
            let mut value = self.operand(cursor, wanted)?;
            // Each parenthesis closed here makes one value for the level around it.
            loop {
                value = self.multiplied(&mut open, value, cursor)?;
                let mark = cursor.next_mark();
                if matches!(mark, "*" | "/") {
                    open.product = Some((value, mark == "*"));
                    break;
                }
                value = self.added(&mut open, value, cursor)?;
                if matches!(mark, "+" | "-" | "\u{2212}") {
                    open.sum = Some((value, mark == "+"));
                    open.starts[2] = cursor.at + 1;
                    break;
                }
                value = self.chosen(&mut open, value, cursor)?;
                if mark == "," && matches!(open.level, Level::Least | Level::Most) {
                    open.best = Some(value);
                    open.starts[1..].fill(cursor.at + 1);
                    break;
                }
                let Some(by) = open.by else { return Ok(value) };
                self.close(cursor, &by)?;
                match levels.pop() {
                    Some(around) => open = around,
                    None => return Ok(value),
                }
            }
            cursor.at += 1;
        }
    }

    /// The level of parentheses that begins here, passed over.
    fn opens(&self, cursor: &mut Cursor<'_, 'l>) -> Option<(Level, Tok<'l>)> {
        let tok = cursor.peek().copied()?;
        let level = match tok.text {
            "min" => Level::Least,
            "max" => Level::Most,
            _ => Level::Group,
        };
        let by = match (level, tok.kind) {
            (Level::Least | Level::Most, TokenKind::Word) => cursor.toks.get(cursor.at + 1).copied()?,
            _ => tok,
        };
        if !by.is_mark("(") {
            return None;
        }
        cursor.at += if level == Level::Group { 1 } else { 2 };
        Some((level, by))
    }

    fn multiplied(&mut self, open: &mut Open<'l>, with: Quantity, cursor: &Cursor<'_, 'l>) -> Read<Quantity> {
        let Some((value, times)) = open.product.take() else { return Ok(with) };
        let result = if times { value.times(with) } else { value.over(with) };
        result.or_else(|misfit| self.misfit(misfit, cursor, open.starts[2]))
    }

    fn added(&mut self, open: &mut Open<'l>, with: Quantity, cursor: &Cursor<'_, 'l>) -> Read<Quantity> {
        let Some((value, adds)) = open.sum.take() else { return Ok(with) };
        let result = if adds { value.plus(with) } else { value.minus(with) };
        match result {
            // 0 needs no unit.
            Err(Misfit::Unlike(..)) if zero(value) => if adds { Ok(with) } else { with.negated() }
                .or_else(|misfit| self.misfit(misfit, cursor, open.starts[1])),
            Err(Misfit::Unlike(..)) if zero(with) => Ok(value),
            other => other.or_else(|misfit| self.misfit(misfit, cursor, open.starts[1])),
        }
    }

    /// The least or most of the values so far.
    fn chosen(&mut self, open: &mut Open<'l>, with: Quantity, cursor: &Cursor<'_, 'l>) -> Read<Quantity> {
        let Some(value) = open.best.take() else { return Ok(with) };
        let result = if open.level == Level::Least { value.min(with) } else { value.max(with) };
        result.or_else(|misfit| self.misfit(misfit, cursor, open.starts[0]))
    }

    fn operand(&mut self, cursor: &mut Cursor<'_, 'l>, wanted: Option<Dimension>) -> Read<Quantity> {
        let Some(tok) = cursor.peek().copied() else {
            let last =
                cursor.toks.last().map_or(Span { source: crate::source::SourceId(0), start: 0, end: 0 }, |t| t.span);
            return self.fail(
                Problem::new(&rules::VALUE_MISSING, last.after(), "a value is missing here")
                    .help("write a value after the sign"),
            );
        };
        cursor.at += 1;
        match tok.kind {
            TokenKind::Number => self.number(cursor, &tok, wanted),
            TokenKind::Word => self.named(&tok, wanted),
            TokenKind::Mark if matches!(tok.text, "-" | "\u{2212}" | "+") => self.fail(
                Problem::new(&rules::VALUE_MISFIT, tok.span, "a `{0}` stands where a value begins").arg(tok.text).help(
                    "a sign touches its number, as in `{-4\"|-100 mm}`; to turn a named value round, write `0 - NAME`",
                ),
            ),
            TokenKind::Mark if tok.text == "=" => self.fail(equals_sign(&tok)),
            TokenKind::Stray | TokenKind::OpenText => Err(Stop::Broken),
            _ => self.fail(self.not_a_value(&tok, wanted)),
        }
    }

    fn not_a_value(&self, tok: &Tok, wanted: Option<Dimension>) -> Problem {
        Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is not {1}")
            .arg(tok.text)
            .arg(wanted.map_or("a value", Dimension::name))
            .arg(wanted.map_or("8\"", Dimension::example))
            .help("write {1} here, such as {2}")
    }

    fn deeper(&mut self, depth: usize, tok: &Tok<'l>) -> Read<()> {
        if depth > self.limits.depth {
            return self.fail(
                Problem::new(&rules::NESTED_DEEP, tok.span, "parentheses are nested deeper than {0}")
                    .arg(self.limits.depth)
                    .help("give the inner parts names with `let`"),
            );
        }
        Ok(())
    }

    fn close(&mut self, cursor: &mut Cursor<'_, 'l>, open: &Tok) -> Read<()> {
        match cursor.peek() {
            Some(tok) if tok.is_mark(")") => {
                cursor.at += 1;
                Ok(())
            }
            Some(tok) if tok.kind != TokenKind::Mark => {
                let (toks, at) = (cursor.toks, cursor.at);
                self.left_over(toks, at, tok, None)
            }
            _ => self.fail(
                Problem::new(&rules::VALUE_MISFIT, open.span, "this parenthesis is never closed")
                    .here("opened here")
                    .help("write `)` where it ends"),
            ),
        }
    }

    fn misfit<T>(&mut self, misfit: Misfit, cursor: &Cursor<'_, 'l>, start: usize) -> Read<T> {
        let from = cursor.toks.get(start).map(|tok| tok.span);
        let to = cursor.toks.get(cursor.at.saturating_sub(1)).map(|tok| tok.span);
        let Some(span) = from.zip(to).map(|(from, to)| from.to(to)) else { return Err(Stop::Broken) };
        let unlike = |headline, one: Dimension, two: Dimension| {
            Problem::new(&rules::DIMENSION_WRONG, span, headline).arg(Dimension::name(one)).arg(Dimension::name(two))
        };
        let problem =
            match misfit {
                Misfit::Unlike(one, two) => unlike("{0} and {1} are put together", one, two)
                    .help("only like can be added to like; check the units"),
                Misfit::NoProduct(one, two) => {
                    unlike("{0} times {1} gives nothing that is known here", one, two).help("check what is multiplied")
                }
                Misfit::NoQuotient(one, two) => unlike("{0} divided by {1} gives nothing that is known here", one, two)
                    .help("check what is divided"),
                Misfit::Currencies(one, two) => {
                    Problem::new(&rules::DIMENSION_WRONG, span, "money of two currencies is put together")
                        .arg(one.code())
                        .arg(two.code())
                        .help("write both in {0} or both in {1}")
                }
                Misfit::ByZero => Problem::new(&rules::DIVIDED_BY_ZERO, span, "this divides by zero")
                    .help("check the value after the `/`"),
                Misfit::TooLarge => too_large(span),
            };
        self.fail(problem)
    }

    /// What stands after a complete value and does not belong there.
    fn left_over<T>(&mut self, toks: &[Tok<'l>], at: usize, extra: &Tok<'l>, wanted: Option<Dimension>) -> Read<T> {
        let before = at.checked_sub(1).and_then(|at| toks.get(at));
        let text = |tok: Option<&Tok<'l>>| tok.map_or("", |tok| tok.text).to_owned();
        let problem = match (before.map(|tok| tok.kind), extra.kind) {
            (_, TokenKind::Stray | TokenKind::OpenText) => return Err(Stop::Broken),
            // `high.top -3"`, `12' -6"`
            (Some(TokenKind::Number | TokenKind::Word), TokenKind::Number) => {
                let span = before.map_or(extra.span, |tok| tok.span.to(extra.span));
                // `2 1/2` with a blank of an unusual kind inside is one number once that is mended, and that was said.
                let gap =
                    Span { start: before.map_or(extra.span.start, |tok| tok.span.end), end: extra.span.start, ..span };
                if !self.blocks.sources.text(gap).is_ascii() {
                    return Err(Stop::Broken);
                }
                // `1 h 30 min`
                let time = at.checked_sub(2).and_then(|from| toks.get(from..at + 2));
                if let Some([hours, hour, minutes, minute]) = time
                    && let Some(all) = in_minutes([hours.text, hour.text, minutes.text, minute.text])
                {
                    let span = hours.span.to(minute.span);
                    return self.fail(
                        Problem::new(&rules::SIDE_BY_SIDE, span, "`{0}` are two values side by side")
                            .arg(self.blocks.sources.text(span))
                            .arg(all.as_str())
                            .help(MINUTES_HELP)
                            .fix(span, all),
                    );
                }
                if let Some(problem) = self.blanks_in_fraction(toks, at) {
                    return self.fail(problem);
                }
                let bare = extra.text.trim_start_matches(['-', '\u{2212}']);
                let problem =
                    Problem::new(&rules::SIDE_BY_SIDE, span, "two values stand side by side with nothing between")
                        .arg(text(before))
                        .arg(extra.text)
                        .arg(bare.trim_start());
                if bare.len() < extra.text.len() {
                    problem.help("write `{0} - {2}` to take away, or `{0}, {1}` for two values")
                } else {
                    problem.help("write `{0}, {1}` for two values, or a sign between them to reckon with them")
                }
            }
            (Some(TokenKind::Number), TokenKind::Word) => self.not_a_unit(extra, toks.get(at + 1), wanted),
            (_, TokenKind::Mark) if extra.text == ")" => {
                Problem::new(&rules::VALUE_MISFIT, extra.span, "this parenthesis closes nothing").help("take it out")
            }
            (_, TokenKind::Mark) if extra.text == "," => {
                if let Some(problem) = self.after_comma(toks.get(at..).unwrap_or_default()) {
                    return self.fail(problem);
                }
                let span = toks.last().map_or(extra.span, |last| extra.span.to(last.span));
                if let (Some(before), [next]) = (before, toks.get(at + 1..).unwrap_or_default())
                    && self.takes_by()
                {
                    return self.fail(
                        Problem::new(&rules::VALUE_EXTRA, extra.span, "a comma stands between two sizes")
                            .arg(next.text)
                            .help("write `by {0}` in its place")
                            .fix(Span { start: before.span.end, end: next.span.start, ..extra.span }, " by "),
                    );
                }
                Problem::new(&rules::VALUE_EXTRA, span, "a second value follows where one is wanted")
                    .help("write one value; a new clause begins after `;`")
            }
            (_, TokenKind::Mark) if extra.text == "=" => equals_sign(extra),
            (Some(TokenKind::Text), _) => {
                return match before {
                    Some(string) => self.fail(run_on(string, extra)),
                    None => Err(Stop::Broken),
                };
            }
            _ => Problem::new(&rules::VALUE_EXTRA, extra.span, "`{0}` does not belong here")
                .arg(extra.text)
                .help("end the clause with `;` or a new line before it, or take it out"),
        };
        self.fail(problem)
    }

    /// Whether the clause that is read takes a second size behind `by`.
    fn takes_by(&self) -> bool {
        self.fields.iter().any(|field| field.word == "by" && matches!(field.shape, Shape::Quantity(..)))
    }

    /// `12 1 / 2"`: a fraction with blanks round its stroke; `at` is its upper number.
    fn blanks_in_fraction(&self, toks: &[Tok<'l>], at: usize) -> Option<Problem> {
        let [whole, over, stroke, under] = toks.get(at.checked_sub(1)?..at + 3)? else { return None };
        let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let meant = format!("{} {}/{}", whole.text, over.text, under.text);
        if !stroke.is_mark("/") || !is_digits(whole.text) || !is_digits(over.text) || units::number(&meant).is_err() {
            return None;
        }
        let span = whole.span.to(under.span);
        let problem = Problem::new(&rules::SIDE_BY_SIDE, span, "a fraction has no blanks round its stroke");
        Some(problem.arg(meant.as_str()).help("write `{0}`").fix(span, meant))
    }

    fn not_a_unit(&self, extra: &Tok, next: Option<&Tok>, wanted: Option<Dimension>) -> Problem {
        let fitting = |dimension: Dimension| {
            let mut words: Vec<&str> = units::of_dimension(dimension).map(|unit| unit.word).take(12).collect();
            words.dedup();
            words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
        };
        let problem = Problem::new(&rules::UNIT_UNKNOWN, extra.span, "`{0}` is not a unit").arg(extra.text);
        let days = working_days(extra, next).filter(|_| self.also == Some(Dimension::WorkingTime));
        if let Some((said, meant)) = days.or_else(|| unit_in_two(extra, next)) {
            return Problem::new(&rules::UNIT_UNKNOWN, said, "`{0}` is not a unit")
                .arg(self.blocks.sources.text(said))
                .arg(meant)
                .help("write `{1}`")
                .fix(said, meant);
        }
        // `5/8" x 5"`, `5/8" x5 1/2"`
        let crossed = extra
            .text
            .strip_prefix(['x', 'X'])
            .filter(|rest| rest.strip_suffix('"').unwrap_or(rest).bytes().all(|byte| byte.is_ascii_digit()));
        let is_size = |next: &Tok| next.kind == TokenKind::Number || next.kind == TokenKind::Word && self.takes_by();
        if let Some(figures) = crossed
            && (!figures.is_empty() || next.is_some_and(is_size))
        {
            let touches = self.blocks.sources.text(Span {
                start: extra.span.start.saturating_sub(1),
                end: extra.span.start,
                ..extra.span
            });
            let blank = if touches == " " { "" } else { " " };
            let text = if figures.is_empty() { format!("{blank}by") } else { format!("{blank}by {figures}") };
            let (start, end) = (extra.span.start, extra.span.start + 1);
            let problem = Problem::new(&rules::UNIT_UNKNOWN, Span { start, end, ..extra.span }, "`x` is not a unit");
            return problem.help("write `by` between two sizes").fix(extra.span, text);
        }
        if let Some(meant) = spoken_unit(extra.text, wanted) {
            return problem.arg(meant).help("write `{1}`").fix(extra.span, meant);
        }
        match wanted {
            Some(Dimension::Number) => problem.help("end the clause with `;` or a new line before it, or take it out"),
            Some(dimension) => {
                let mut words = fitting(dimension);
                if self.also == Some(Dimension::WorkingTime) {
                    words += ", `working days`";
                }
                problem.arg(dimension.name()).arg(words).help("{1} is written with {2}")
            }
            None => problem.help("`batterboard reference` lists the units"),
        }
    }

    /// A number token and the unit behind it.
    fn number(&mut self, cursor: &mut Cursor<'_, 'l>, tok: &Tok<'l>, wanted: Option<Dimension>) -> Read<Quantity> {
        let reading = match units::number(tok.text) {
            Ok(reading) => reading,
            Err(wrong) => return self.fail(misread(tok, &wrong)),
        };
        let unit = self.unit_behind(cursor);
        let number = match reading.what {
            What::Length(nanometres) => {
                if let Some((_, span)) = unit {
                    return self.fail(unit_twice(tok, span, self.blocks.sources.text(span)));
                }
                return Ok(exact(Dimension::Length, nanometres));
            }
            What::Percent(part) => {
                if let Some((_, span)) = unit {
                    return self.fail(unit_twice(tok, span, self.blocks.sources.text(span)));
                }
                return Ok(exact(Dimension::Ratio, part));
            }
            What::Date(_) | What::Clock(_) => return self.fail(self.not_a_value(tok, wanted)),
            What::Plain(number) => number,
        };
        let Some((unit, span)) = unit else { return Ok(exact(Dimension::Number, number)) };
        if unit.word == "in" && reading.denominator.is_some_and(|under| !units::on_a_tape(under)) {
            return self.fail(
                Problem::new(&rules::NUMBER_UNREADABLE, tok.span, "`{0}` is not on a tape measure")
                    .arg(tok.text)
                    .help("fractions of an inch have 2, 4, 8, 16, 32 or 64 below the line; or write decimals"),
            );
        }
        // A pound is a force where a force is wanted, a degree a step where a difference is.
        let unit = match wanted {
            Some(Dimension::Force) => unit.as_force().unwrap_or(unit),
            Some(Dimension::TemperatureDifference) => unit.as_difference().unwrap_or(unit),
            _ => unit,
        };
        match Quantity::of(number, unit) {
            Ok(quantity) => Ok(quantity),
            Err(_) => self.fail(too_large(tok.span.to(span))),
        }
    }

    /// The unit or counted noun straight after a number.
    fn unit_behind(&self, cursor: &mut Cursor<'_, 'l>) -> Option<(&'static Unit, Span)> {
        self.unit_behind_at(cursor.toks, &mut cursor.at)
    }

    fn unit_behind_at(&self, toks: &[Tok<'l>], at: &mut usize) -> Option<(&'static Unit, Span)> {
        let word = toks.get(*at).filter(|tok| tok.kind == TokenKind::Word)?;
        if let Some(second) = toks.get(*at + 1)
            && let Some(unit) = units::two_words(word.text, second.text)
        {
            *at += 2;
            return Some((unit, word.span.to(second.span)));
        }
        let unit = units::unit(word.text)?;
        *at += 1;
        Some((unit, word.span))
    }

    /// A name in an expression: a `let`, or a property of something.
    fn named(&mut self, tok: &Tok<'l>, wanted: Option<Dimension>) -> Read<Quantity> {
        if let Some(problem) = glued(tok) {
            return self.fail(problem);
        }
        let (name, asked) = match tok.text.split_once('.') {
            Some((name, asked)) => (name, Some(asked)),
            None => (tok.text, None),
        };
        if tok.text.contains('/') {
            return self.fail(
                Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is read as one name")
                    .arg(tok.text)
                    .help("to divide, write a blank on both sides of the `/`"),
            );
        }
        let Some(block) = self.blocks.find(name) else {
            let problem = self.unknown_name_or_value(tok, name, wanted);
            return self.fail(problem);
        };
        let Some(kind) = self.blocks.entry(block).kind else { return Err(Stop::Broken) };
        match (kind, asked) {
            (KindId::Let, None) => self.value(Node::Let(block)),
            (KindId::Let, Some(_)) => self.fail(
                Problem::new(&rules::PROPERTY_UNKNOWN, tok.span, "`{0}` is a value and has no properties")
                    .arg(name)
                    .help("write `{0}` alone"),
            ),
            (_, None) => self.fail(self.which_property(tok, kind)),
            (_, Some(asked)) => self.asked(tok, block, kind, asked),
        }
    }

    fn which_property(&self, tok: &Tok<'l>, kind: KindId) -> Problem {
        let words: Vec<String> = kind
            .kind()
            .properties
            .iter()
            .filter(|asked| !asked.of_leg)
            .map(|asked| format!("`{}.{}`", tok.text, asked.word))
            .collect();
        let problem = Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is {1}, not a value")
            .arg(tok.text)
            .arg(super::article(kind));
        if words.is_empty() {
            problem.help("write a value here")
        } else {
            problem.arg(words.join(", ")).help("ask for one of its properties: {2}")
        }
    }

    fn unknown_name_or_value(&mut self, tok: &Tok<'l>, name: &'l str, wanted: Option<Dimension>) -> Problem {
        // `top-3"`
        if let Some((before, less)) = name.split_once('-')
            && less.starts_with(|first: char| first.is_ascii_digit())
            && (matches!(before, "top" | "bottom") || self.blocks.find(before).is_some())
            && wanted == Some(Dimension::Length)
        {
            let apart = format!("{before} - {less}");
            return Problem::new(&rules::NAME_UNKNOWN, tok.span, "nothing here is called `{0}`")
                .arg(name)
                .arg(apart.as_str())
                .help("a `-` inside a word is part of the word; to take away, write blanks on both sides: `{1}`")
                .fix(tok.span, apart);
        }
        let near = self.near(name, &[]);
        let problem = Problem::new(&rules::NAME_UNKNOWN, tok.span, "nothing here is called `{0}`").arg(name);
        match near {
            Some(near) => {
                let text = tok.text.replacen(name, near, 1);
                problem.arg(near).help(MEANT).fix(tok.span, text)
            }
            None => problem
                .arg(wanted.map_or("a value", Dimension::name))
                .arg(wanted.map_or("8\"", Dimension::example))
                .help("write {1}, such as {2}, or the name of a `let`"),
        }
    }
}

fn exact(dimension: Dimension, amount: Exact) -> Quantity {
    Quantity::new(dimension, Amount::Exact(amount))
}

fn zero(quantity: Quantity) -> bool {
    quantity.dimension() == Dimension::Number && quantity.amount().is_zero()
}
