//! Reads single values: quantities with their dimension and sign, counts, dates, words of closed lists, names.

use foldhash::HashSet;

use super::{
    desk::{Desk, Read, Stop},
    misread::{misread, spoken_unit, too_large},
    once::MEANT,
    rules,
};
use crate::{
    language::{Tok, TokenKind},
    library,
    problem::{Problem, nearest, or},
    schema::{BlockId, Choice, KindId, PerLoad, Said, Sign, Value, Weekday},
    source::Span,
    units::{self, Amount, Dimension, Exact, Force, Length, Quantity, Sound, System, What, show},
};

impl<'l> Desk<'l, '_> {
    /// Reads a quantity of this dimension.
    pub fn quantity(&mut self, dimension: Dimension, sign: Sign, toks: &[Tok<'l>], word: Span) -> Read<Quantity> {
        let said = self.expression(toks, Some(dimension), word)?;
        let plain_zero = said.value.dimension() == Dimension::Number && said.value.amount().is_zero();
        let quantity = match said.value.dimension() {
            found if found == dimension => said.value,
            // 0 needs no unit, save on the scales where it is a point of its own.
            _ if plain_zero && dimension != Dimension::Temperature => Quantity::new(dimension, said.value.amount()),
            _ => return self.wrong_dimension(dimension, said, toks),
        };
        if quantity.dimension() == Dimension::Length && quantity.length().is_none() {
            return self.fail(too_large(said.span));
        }
        if quantity.dimension() == Dimension::Volume && quantity.volume().is_none() {
            return self.fail(too_large(said.span));
        }
        if quantity.sound().is_some_and(|level| level > Sound::LOUDEST) {
            return self.fail(too_large(said.span));
        }
        self.check_sign(quantity, sign, said.span, word)?;
        if dimension == Dimension::Length {
            self.like_one_length(toks);
        }
        Ok(quantity)
    }

    /// `12' - 6"`: many drawings write twelve feet six so, and it takes six inches away.
    pub fn like_one_length(&mut self, toks: &[Tok<'l>]) {
        let [feet, minus, inches] = toks else { return };
        let is_feet = feet.text.strip_suffix(['\'', '\u{2032}', '\u{2019}']);
        let is_whole =
            is_feet.is_some_and(|figures| !figures.is_empty() && figures.bytes().all(|c| c.is_ascii_digit()));
        let is_inches =
            inches.text.ends_with(['"', '\u{2033}', '\u{201d}']) && !inches.text.starts_with(['-', '\u{2212}']);
        if !is_whole || !is_inches || !matches!(minus.text, "-" | "\u{2212}") {
            return;
        }
        match units::number(inches.text).map(|reading| reading.what) {
            Ok(What::Length(inches)) if inches < Exact::from(Length::FOOT.nm()) => {}
            _ => return,
        }
        let span = feet.span.to(inches.span);
        let mut problem = Problem::new(&rules::FEET_MINUS_INCHES, span, "`{0}` takes {2} away from {1}")
            .arg(self.blocks.sources.text(span))
            .arg(feet.text)
            .arg(inches.text)
            .help("write `{1}-{2}` if one length is meant, or `{1} - ({2})` to take away");
        if let Some(block) = self.reading {
            problem = problem.thing(self.blocks.name(block));
        }
        self.say(problem);
    }

    fn check_sign(&mut self, quantity: Quantity, sign: Sign, span: Span, word: Span) -> Read<()> {
        let value = match quantity.amount() {
            Amount::Exact(amount) if amount.is_zero() => 0.0,
            Amount::Exact(amount) if amount.is_negative() => -1.0,
            Amount::Exact(_) => 1.0,
            Amount::Float(amount) => amount,
        };
        let wrong = match sign {
            Sign::Any => false,
            Sign::NotNegative => value < 0.0,
            Sign::Positive => value <= 0.0,
        };
        if !wrong {
            return Ok(());
        }
        let headline = if value < 0.0 { "`{0}` cannot be less than zero" } else { "`{0}` cannot be zero" };
        let shown = self.blocks.sources.text(word);
        let problem = Problem::new(&rules::SIGN_WRONG, span, headline).arg(shown);
        self.fail(match sign {
            Sign::Positive => problem.help("write a value above zero"),
            Sign::Any | Sign::NotNegative => problem.help("write zero or more"),
        })
    }

    fn wrong_dimension<T>(&mut self, wanted: Dimension, said: Said<Quantity>, toks: &[Tok<'l>]) -> Read<T> {
        let found = said.value.dimension();
        if found == Dimension::Number {
            // Where the value has a name, its unit is missing where it gets it.
            let given = self.let_number(toks);
            let at = given.map_or(said.span, |number| number.span);
            let word = given.or(match toks {
                [one] => Some(*one),
                _ => None,
            });
            let shown = word.map_or_else(|| self.blocks.sources.text(said.span), |word| word.text);
            let problem = Problem::new(&rules::UNIT_MISSING, at, "`{0}` has no unit")
                .arg(shown)
                .arg(wanted.name())
                .arg(wanted.example());
            let problem = match given {
                Some(_) => problem.here("a number alone").label(said.span, "{1} is wanted here"),
                None => problem.here("{1} is wanted"),
            };
            let single = word.is_some_and(|word| word.kind == TokenKind::Number);
            // Nobody writes half of a percent without its sign.
            let part = said.value.amount().to_f64();
            if wanted == Dimension::Ratio && single && 0.0 < part && part < 1.0 {
                let percent = (part * 1e5).round() / 1e3;
                let written = format!("{percent}%");
                return self.fail(problem.arg(written.as_str()).help("write `{3}`").fix(at, written));
            }
            return self.fail(match wanted {
                Dimension::Length if single => problem.help("write `{0}\"` for inches, `{0}'` for feet, or `{0} mm`"),
                Dimension::Ratio if single => problem.help("write `{0}%`"),
                _ if word.is_some() && !single => {
                    problem.help("the value of `{0}` is a number alone; take one with its unit, as in {2}")
                }
                _ => problem.help("write it with its unit, as in {2}"),
            });
        }
        if wanted == Dimension::Force
            && found == Dimension::Mass
            && let Some(weight) = weight(said.value, toks)
        {
            return self.fail(
                Problem::new(&rules::DIMENSION_WRONG, said.span, "{0} stands where {1} is wanted")
                    .arg(found.name())
                    .arg(wanted.name())
                    .arg(self.blocks.sources.text(said.span))
                    .arg(weight.as_str())
                    .here("this is {0}")
                    .help("what holds {2} holds the weight of that: write `{3}`")
                    .fix(said.span, weight),
            );
        }
        self.fail(
            Problem::new(&rules::DIMENSION_WRONG, said.span, "{0} stands where {1} is wanted")
                .arg(found.name())
                .arg(wanted.name())
                .arg(wanted.example())
                .here("this is {0}")
                .help("write {1}, such as {2}"),
        )
    }

    /// The number after the `=` of the `let` that these words name, where it stands there alone.
    fn let_number(&mut self, toks: &[Tok<'l>]) -> Option<Tok<'l>> {
        let [name] = toks else { return None };
        let block = self.blocks.find(name.text).filter(|_| name.kind == TokenKind::Word)?;
        let entry = self.blocks.entry(block);
        if entry.kind != Some(KindId::Let) {
            return None;
        }
        let tree = self.blocks.tree(&entry);
        let line = tree.blocks.get(entry.block as usize)?;
        let mut words: Vec<Tok<'l>> = Vec::new();
        tree.words(self.blocks.sources.get(tree.source), &line.head, &mut words);
        match words[..] {
            [_, _, _, number] if number.kind == TokenKind::Number => Some(number),
            _ => None,
        }
    }

    /// A whole count.
    pub fn whole(&mut self, sign: Sign, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let said = self.expression(toks, Some(Dimension::Number), word)?;
        if said.value.dimension() != Dimension::Number {
            return self.wrong_dimension(Dimension::Number, said, toks);
        }
        let Some(count) = said.value.count().filter(|count| count.abs() <= 1_000_000_000) else {
            let large = matches!(said.value.amount(), Amount::Exact(amount) if amount.is_whole());
            return self.fail(if large {
                too_large(said.span).help("check the figures; counts go up to 1000000000")
            } else {
                Problem::new(&rules::COUNT_BROKEN, said.span, "`{0}` is not a whole number")
                    .arg(self.blocks.sources.text(said.span))
                    .help("write a count without a fraction")
            });
        };
        self.check_sign(said.value, sign, said.span, word)?;
        Ok(Value::Count(count))
    }

    /// "per ft", "per 100 ft".
    pub fn per(&mut self, dimension: Dimension, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        if let [one] = toks
            && one.kind == TokenKind::Word
            && units::unit(one.text).is_none()
            && self.blocks.find(one.text).is_none()
            && let Some(meant) = spoken_unit(one.text, Some(dimension))
        {
            let problem = Problem::new(&rules::UNIT_UNKNOWN, one.span, "`{0}` is not a unit").arg(one.text);
            return self.fail(problem.arg(meant).help("write `{1}`").fix(one.span, meant));
        }
        if let [one] = toks
            && let Some(unit) = units::unit(one.text)
        {
            if unit.dimension == dimension {
                return Ok(Value::Quantity(Quantity::new(dimension, Amount::Exact(unit.factor()))));
            }
            let one = Quantity::new(unit.dimension, Amount::Exact(unit.factor()));
            return self.wrong_dimension(dimension, Said { value: one, span: toks[0].span }, toks);
        }
        self.quantity(dimension, Sign::Positive, toks, word).map(Value::Quantity)
    }

    /// `trip`, or a weight or a volume as after "per".
    pub fn per_load(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        if let [one] = toks
            && one.is_word(PerLoad::TRIP)
        {
            return Ok(Value::Flag);
        }
        let unit = match toks {
            [one] => units::unit(one.text).map(|unit| unit.dimension),
            _ => None,
        };
        let dimension = match unit {
            Some(dimension) => dimension,
            None => self.expression(toks, None, word)?.value.dimension(),
        };
        if matches!(dimension, Dimension::Mass | Dimension::Volume) {
            return self.per(dimension, toks, word);
        }
        let span = toks.first().zip(toks.last()).map_or(word, |(first, last)| first.span.to(last.span));
        self.fail(
            Problem::new(&rules::VALUE_MISFIT, span, "`{0}` is neither a trip nor a weight nor a volume")
                .arg(self.blocks.sources.text(span))
                .help("write `per trip`, or a weight or a volume, as in `per ton` or `per 5 yd3`"),
        )
    }

    /// A count, or a length, area, volume or weight; above zero.
    pub fn pack(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let said = self.expression(toks, None, word)?;
        match said.value.dimension() {
            Dimension::Number => self.whole(Sign::Positive, toks, word),
            dimension @ (Dimension::Length | Dimension::Area | Dimension::Volume | Dimension::Mass) => {
                self.quantity(dimension, Sign::Positive, toks, word).map(Value::Quantity)
            }
            found => self.fail(
                Problem::new(&rules::DIMENSION_WRONG, said.span, "{0} stands where the content of a pack is wanted")
                    .arg(found.name())
                    .here("this is {0}")
                    .help("write a count, or a length, area, volume or weight: `unit 100`, `unit {50 ft|15 m}`, `unit {5 lb|2 kg}`"),
            ),
        }
    }

    /// A date.
    pub fn date(&mut self, tok: &Tok<'l>) -> Read<Value> {
        if tok.kind == TokenKind::Number {
            match units::number(tok.text) {
                Ok(reading) => {
                    if let What::Date(date) = reading.what {
                        return Ok(Value::Date(date));
                    }
                }
                Err(wrong) => return self.fail(misread(tok, &wrong)),
            }
        }
        self.fail(
            Problem::new(&rules::DATE_UNREADABLE, tok.span, "`{0}` is not a date")
                .arg(tok.text)
                .help("write year-month-day, as in `2027-05-03`"),
        )
    }

    /// A time of day.
    pub fn clock(&mut self, tok: &Tok<'l>) -> Read<Value> {
        if tok.kind == TokenKind::Number {
            match units::number(tok.text) {
                Ok(reading) => {
                    if let What::Clock(minutes) = reading.what {
                        let seconds = Amount::Float(f64::from(minutes) * 60.0);
                        return Ok(Value::Quantity(Quantity::new(Dimension::Time, seconds)));
                    }
                }
                Err(wrong) => return self.fail(misread(tok, &wrong)),
            }
        }
        self.fail(
            Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is not a time of day")
                .arg(tok.text)
                .help("write hours and minutes, as in `16:30`"),
        )
    }

    /// `4 pm`, `4:30pm`, or `8` alone: the time that is meant, as it is written here.
    pub fn half_day(&self, toks: &[Tok<'l>]) -> Option<Problem> {
        let span = toks.first()?.span.to(toks.last()?.span);
        let said = self.blocks.sources.text(span).to_ascii_lowercase();
        let figures = said.trim_end_matches(|last: char| !last.is_ascii_digit());
        let (hours, minutes) = figures.split_once(':').unwrap_or((figures, "00"));
        let hours = hours.parse::<u32>().ok()?;
        let half: String = said.get(figures.len()..)?.chars().filter(char::is_ascii_alphabetic).collect();
        let hours = match (half.as_str(), hours) {
            ("am", 12) => 0,
            ("pm", 1..12) => hours + 12,
            ("am", 1..12) | ("pm", 12) => hours,
            // What is whole already is read as it stands.
            ("" | "h", 0..=24) if toks.first()?.text == figures && !figures.contains(':') => hours,
            _ => return None,
        };
        if minutes.len() != 2 || minutes.parse::<u32>().ok()? > 59 {
            return None;
        }
        let meant = format!("{hours}:{minutes}");
        Some(
            Problem::new(&rules::VALUE_MISFIT, span, "`{0}` is not a time of day")
                .arg(self.blocks.sources.text(span))
                .arg(meant.as_str())
                .help("hours count from 0 to 24: write `{1}`")
                .fix(span, meant),
        )
    }

    /// Days of the week: `mon to fri, sun`.
    pub fn days(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let choices = Weekday::CHOICES;
        let mut out = Vec::new();
        for part in toks.split(|tok| tok.is_mark(",")) {
            let span = part.first().map_or(word, |first| first.span);
            let day = |desk: &mut Self, toks: &[Tok<'l>]| match desk.choice(choices, toks, word)? {
                Value::Choice(day) => Ok(day),
                _ => Err(Stop::Broken),
            };
            let days = match part.iter().position(|tok| tok.is_word("to")) {
                Some(to) => {
                    let from = day(self, part.get(..to).unwrap_or_default())?;
                    let until = day(self, part.get(to + 1..).unwrap_or_default())?;
                    // Over the weekend the days go round: `sat to mon`.
                    (0..7).map(|step| (from + step) % 7).take((until + 7 - from) % 7 + 1).collect()
                }
                None => vec![day(self, part)?],
            };
            out.extend(days.into_iter().map(|day| Said { value: Value::Choice(day), span }));
        }
        Ok(Value::Many(out))
    }

    /// One of a closed list of words.
    pub fn choice(&mut self, choices: &'static [Choice], toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let tok = match toks {
            [] => {
                return self.fail(
                    Problem::new(&rules::VALUE_MISSING, word, "nothing stands after `{0}`")
                        .arg(self.blocks.sources.text(word))
                        .arg(one_of(choices))
                        .help("write {1}"),
                );
            }
            _ => self.one(toks, word, "one word")?,
        };
        if let Some(at) = choices.iter().position(|choice| tok.is_word(choice.word)) {
            return Ok(Value::Choice(at));
        }
        let problem = Problem::new(&rules::CHOICE_UNKNOWN, tok.span, "`{1}` does not take `{0}`")
            .arg(tok.text)
            .arg(self.blocks.sources.text(word))
            .arg(one_of(choices));
        let problem = match nearest(tok.text, choices.iter().map(|choice| choice.word)) {
            Some(near) => problem.arg(near).help("is `{3}` meant? it takes {2}").fix(tok.span, near),
            None => problem.help("write {2}"),
        };
        self.fail(problem)
    }

    /// Looks a name up; it must be of one of these kinds, or of any if none is said.
    pub fn block_name(&mut self, tok: &Tok<'l>, kinds: &[KindId]) -> Read<BlockId> {
        if tok.kind != TokenKind::Word {
            let problem = Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is not a name").arg(tok.text);
            let inside = tok.text.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
            let known = inside.filter(|inside| self.blocks.find(inside).is_some());
            let size = if tok.kind == TokenKind::Number { self.size_of(tok.text, kinds) } else { None };
            return self.fail(match (known, size) {
                (Some(inside), _) => problem.arg(inside).help("write it without quotes: `{1}`").fix(tok.span, inside),
                (None, Some(size)) => problem.arg(size).help("is `{1}` meant?").fix(tok.span, size),
                (None, None) => problem.arg(super::kinds_in_words(kinds)).help("write the name of {1}"),
            });
        }
        let Some(id) = self.blocks.find(tok.text) else {
            let problem = self.unknown_name(tok, tok.text, kinds);
            return self.fail(problem);
        };
        let entry = self.blocks.entry(id);
        let Some(kind) = entry.kind else { return Err(Stop::Broken) };
        if kinds.is_empty() || kinds.contains(&kind) {
            return Ok(id);
        }
        if let Some(other) = self.blocks.namesake(tok.text, kinds) {
            return Ok(other);
        }
        let mut problem = Problem::new(&rules::NAME_MISFIT, tok.span, "`{0}` is {1}; {2} is wanted here")
            .arg(tok.text)
            .arg(super::article(kind))
            .arg(super::kinds_in_words(kinds))
            .here("used here")
            .help("write the name of {2}");
        if let Some(name) = entry.name {
            problem = problem.label(name, "`{0}` is {1}");
        }
        self.fail(problem)
    }

    /// The thing that is called by this number: `#4` for `4`.
    fn size_of(&mut self, number: &str, kinds: &[KindId]) -> Option<&'l str> {
        let known = if self.may_suggest() { self.known_names(kinds) } else { return None };
        let barred = known.iter().copied().find(|name| name.strip_prefix('#') == Some(number));
        barred.or_else(|| of_these_figures(number, &known, kinds))
    }

    /// The finding for a name nothing has.
    pub fn unknown_name(&mut self, tok: &Tok<'l>, name: &'l str, kinds: &[KindId]) -> Problem {
        let problem = Problem::new(&rules::NAME_UNKNOWN, tok.span, "nothing here is called `{0}`").arg(name);
        let known = if self.may_suggest() { self.known_names(kinds) } else { Vec::new() };
        let near = of_these_figures(name, &known, kinds).or_else(|| whose_property(name, &known));
        if let Some(near) = near.or_else(|| nearest(name, known.iter().copied())) {
            let text = tok.text.replacen(name, near, 1);
            return problem.arg(near).help(MEANT).fix(tok.span, text);
        }
        let problem = problem.arg(super::kinds_in_words(kinds));
        match known.as_slice() {
            [] => problem.help("write the name of {1}, or add a block with this name"),
            all if all.len() > LISTED => {
                problem.help("write the name of {1}, or add a block with this name; `batterboard reference` lists them")
            }
            all => problem.arg(or(all)).help("write the name of {1} ({2}), or add a block with this name"),
        }
    }

    /// The nearest known name, the library's among them, for the first hundred unknown ones: beyond that nobody reads them.
    pub fn near(&mut self, name: &str, kinds: &[KindId]) -> Option<&'l str> {
        if !self.may_suggest() {
            return None;
        }
        nearest(name, self.known_names(kinds))
    }

    /// The names of these kinds (of any if none is said): the job's as they are written, then what else the library has.
    pub fn known_names(&self, kinds: &[KindId]) -> Vec<&'l str> {
        let wanted = |kind: KindId| kinds.is_empty() || kinds.contains(&kind);
        let mut written: HashSet<&str> = HashSet::default();
        // A name given twice is offered once.
        let mut names: Vec<&str> = self.blocks.names_of(&wanted).filter(|name| written.insert(*name)).collect();
        let library = library::entries().filter(|(kind, _)| KindId::of(kind).is_some_and(&wanted));
        names.extend(library.map(|(_, name)| name).filter(|name| !written.contains(name)));
        names
    }

    /// Whether a further name is given a suggestion; nothing said, nothing counted.
    pub fn may_suggest(&mut self) -> bool {
        if self.is_quiet() {
            return false;
        }
        self.suggested += 1;
        self.suggested <= 100
    }

    /// The legs of a wall or line in words; of many, the first few.
    pub fn leg_names(&mut self, block: BlockId) -> String {
        let legs = self.legs(block);
        let names: Vec<&str> = legs.iter().take(12).map(|leg| leg.name).collect();
        if legs.len() > names.len() {
            let named: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
            return format!("{} and {} more", named.join(", "), legs.len() - names.len());
        }
        crate::problem::and(&names)
    }

    /// A length, for places.
    pub fn length(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Said<Length>> {
        let span = toks.first().zip(toks.last()).map_or(word, |(first, last)| first.span.to(last.span));
        let quantity = self.quantity(Dimension::Length, Sign::Any, toks, word)?;
        match quantity.length() {
            Some(value) => Ok(Said { value, span }),
            None => self.fail(too_large(span)),
        }
    }
}

/// The weight of a mass, as a force is written; in newtons where it was written in kilograms.
fn weight(mass: Quantity, toks: &[Tok]) -> Option<String> {
    let mass = mass.mass()?;
    let force = Force::from_newtons(mass.kg() * 9.806_65);
    let metric = toks.iter().any(|tok| matches!(tok.text, "kg" | "g" | "t"));
    Some(show::force(force, if metric { System::Metric } else { System::Feet }).to_string())
}

fn one_of(choices: &[Choice]) -> String {
    or(&choices.iter().map(|choice| choice.word).collect::<Vec<_>>())
}

/// The thing a property was written of, where the thing itself is wanted: `low` for `low.front`.
fn whose_property<'l>(name: &str, known: &[&'l str]) -> Option<&'l str> {
    let (thing, _) = name.split_once('.')?;
    known.iter().copied().find(|known| *known == thing)
}

/// So many names are told one by one where none is near.
const LISTED: usize = 30;

/// The one name with the figures of this one, among things that are called by their size: `12mm` for `T12`.
pub(super) fn of_these_figures<'l>(name: &str, known: &[&'l str], kinds: &[KindId]) -> Option<&'l str> {
    fn figures(name: &str) -> impl Iterator<Item = &str> {
        name.split(|c: char| !c.is_ascii_digit()).filter(|figures| !figures.is_empty())
    }
    let sized = |kind: &KindId| matches!(kind, KindId::Steel | KindId::Lumber | KindId::Mix | KindId::Wire);
    if !kinds.iter().any(sized) || figures(name).next().is_none() {
        return None;
    }
    let mut alike = known.iter().filter(|known| figures(known).eq(figures(name)));
    alike.next().copied().filter(|_| alike.next().is_none())
}
