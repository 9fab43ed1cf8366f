//! The working shown: every figure a paper prints is a number of the ledger with the same value, every number leads back
//! to something, and every source is told once.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use batterboard::{
    compile::{Compiled, compile, compile_text},
    language::Limits,
    ledger::{Entry, Figure, Origin},
    reports::{self, Cell, Figures, Paper, Part, Table},
    source::Shelf,
    units::Volume,
};

const EXAMPLES: [&str; 7] = ["boathouse", "cellar", "gate", "icehouse", "pad", "pier", "sluice"];

fn example(name: &str) -> Compiled {
    let files = fs::read_dir(format!("examples/{name}")).unwrap().map(|entry| entry.unwrap().path());
    let read = files.map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(&path).unwrap()));
    compile(&Shelf::new(read), &format!("{name}.job"), &Limits::default()).unwrap()
}

/// A job with what no example has: a last batch that is smaller, a void, unlike thicknesses, every kind of spacing, two
/// pours, no mixer, staggered rows.
fn odd() -> Compiled {
    let text = "job \"Odd\" { show feet }
wall old { leg a 12'; corner outside; leg b 7'; thick 8\"; height -12\" to 40\" }
section s { along old.a; thick 8\"; height 0 to 24\" }
section t { along old.b 1' to 7'; thick 8\", on old.b 10\"; height 0 to 20\" }
section u { along old.b 1' to 4'; thick 6\"; height 20\" to 30\" }
void gap { in s; on old.a 3' to 4'; height 6\" to 12\" }
holes one { into old; along s; rows height 4\", 8\", staggered; inset 6\"; space every 13\"; bore 5/8\" by 5\"; fill glue }
holes two { into old; along t; rows height 5\"; space at 2', 3'-6\", 5'; bore 3/4\" by 4 1/2\"; fill glue }
holes three { into old; along s; rows height 14\", 18\", staggered; inset 5\"; space at most 20\"; bore 5/8\" by 5\" }
bars pegs { size #4; in one; out 4\" }
bars long { size #4; along s, t; rows height 3\", 10\", 22\"; offset 3\"; ends 3\" }
bars bent { size #5; along s; space every 15\"; from offset 4\", height 1\"; legs up 12\", right 9\", down 6\" }
resin glue { cartridge 10 fl-oz; waste 30% }
pour p { fill s; mix bag-80-lb; mixer 5 bags; carry 4 gal; waste 6% }
pour q { fill t, u; mix bag-60-lb; carry 3 gal; lift 7\" }
";
    let job = compile_text(&Shelf::default(), "odd.job", text, &Limits::default());
    let broken: Vec<String> = job.job.broken.iter().map(|id| job.job.name(*id).to_owned()).collect();
    assert!(broken.is_empty(), "{broken:?}");
    job
}

/// The boathouse with its records.
fn as_done() -> Compiled {
    let read = |name: &str| (name.to_owned(), fs::read(format!("examples/boathouse/{name}")).unwrap());
    let shelf = Shelf::new([read("as-done.job"), read("boathouse.job"), read("shop.job")]);
    compile(&shelf, "as-done.job", &Limits::default()).unwrap()
}

fn jobs() -> Vec<(&'static str, Compiled)> {
    let mut jobs: Vec<_> = EXAMPLES.into_iter().map(|name| (name, example(name))).collect();
    jobs.push(("as done", as_done()));
    jobs.push(("odd", odd()));
    jobs.push(("bent", bent()));
    jobs
}

/// Bars with hooks, and bars round corners that are not alike.
fn bent() -> Compiled {
    let text = "job \"Bent\" { show feet }
wall old { leg a 9'; corner outside, turning 45 deg; leg b 8'; corner outside, turning 60 deg; leg c 7'; thick 8\"; height -12\" to 60\"; of concrete }
section s { along old; thick 16\"; height 0 to 48\" }
bars rails { size #4; along s; rows height 6\"; offset 5\" }
bars hooked { size #3; along old.a; space every 40\"; inset 12\"; from offset 10\", height 10\"; legs up 28\", hook at end 180 deg out }
bars tied { size #3; along old.b; space every 40\"; inset 24\"; from offset 3\", height 10\"; legs up 20\", out 10\", down 20\", in 10\", hook 135 deg }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour p { fill s; mix bagged }
";
    compile_text(&Shelf::default(), "bent.job", text, &Limits::default())
}

/// A number in the unit of a column.
fn in_unit(figure: Figure, unit: Option<&str>) -> f64 {
    let fluid_ounce = 1.804_687_5; // in3, NIST Handbook 44, Appendix C
    match (figure, unit) {
        (Figure::Length(length) | Figure::Cut(length), Some("in")) => length.inches(),
        (Figure::Length(length) | Figure::Cut(length), Some("mm")) => length.metres() * 1e3,
        (Figure::Area(area), Some("ft2")) => area.square_feet(),
        (Figure::Area(area), Some("m2")) => area.square_metres(),
        (Figure::Volume(volume), Some("ft3")) => volume.cubic_feet(),
        (Figure::Volume(volume), Some("m3")) => volume.cubic_metres(),
        (Figure::Fluid(volume), Some("fl-oz")) => volume.cubic_inches() / fluid_ounce,
        (Figure::Fluid(volume), Some("mL")) => volume.cubic_metres() * 1e6,
        (Figure::Mass(mass), Some("lb")) => mass.lb(),
        (Figure::Mass(mass), Some("kg")) => mass.kg(),
        (Figure::Ratio(ratio), Some("%")) => ratio.percent(),
        (Figure::Count(count) | Figure::Whole { count, .. }, None) => count as f64,
        (Figure::SmallArea(area), Some("in2")) => area.square_feet() * 144.0,
        (Figure::SmallArea(area), Some("mm2")) => area.square_metres() * 1e6,
        (Figure::Force(force), Some("lbf")) => force.lbf(),
        (Figure::Force(force), Some("kN")) => force.kn(),
        (Figure::Stress(stress), Some("psi")) => stress.psi(),
        (Figure::Stress(stress), Some("MPa")) => stress.mpa(),
        (Figure::Acceleration(acceleration), Some("m/s2")) => acceleration.m_s2(),
        (Figure::Number(number), None | Some("min")) => number,
        (Figure::Money(money), Some(code)) if money.currency.code() == code => money.amount.to_f64(),
        (Figure::Duration(time), Some("min")) => time.minutes(),
        (figure, unit) => panic!("{figure:?} in {unit:?}"),
    }
}

/// Every figure of a table has its number, with the same value; how many were looked at.
fn look_at(job: &Compiled, table: &Table, seen: &mut BTreeSet<String>) -> usize {
    let ledger = &job.works.ledger;
    let mut looked = 0;
    table
        .rows
        .each(&mut |row| {
            for (column, cell) in table.columns.iter().zip(row.cells(table.columns.len())) {
                let printed = match cell {
                    Cell::Count(count) => count as f64,
                    Cell::Figure { raw, .. } => raw,
                    _ => continue,
                };
                let place = format!("{}, column {}", table.name, column.key);
                match column.figures {
                    Figures::None => panic!("{place}: figures that are neither written nor worked out"),
                    Figures::Written => continue,
                    Figures::Worked(_) => {}
                }
                let name = row.number(column).unwrap_or_else(|| panic!("{place}: the row does not say whose it is"));
                let entry = ledger.find(&name).unwrap_or_else(|| panic!("{place}: there is no number `{name}`"));
                let mut value = in_unit(entry.value, column.unit);
                if (table.name, column.key) == ("holes", "station") {
                    // Each place of a row follows from its first and its gap.
                    let of = name.strip_suffix(".first").unwrap();
                    let gap = ledger.find(&format!("{of}.gap")).map(|gap| in_unit(gap.value, column.unit));
                    value += gap.map_or(printed - value, |gap| ((printed - value) / gap).round() * gap);
                }
                assert!((value - printed).abs() <= 1e-3 + 1e-6 * value.abs(), "{place}: {name} {value} {printed}");
                seen.insert(name);
                looked += 1;
            }
            Ok(())
        })
        .unwrap();
    looked
}

#[test]
fn every_figure_a_table_prints_is_a_worked_number_of_the_same_value() {
    for (name, job) in jobs() {
        let mut seen = BTreeSet::new();
        let mut looked = 0;
        for paper in [reports::order(&job), reports::tally(&job), reports::buy(&job), reports::record(&job)] {
            looked += paper.tables().map(|table| look_at(&job, table, &mut seen)).sum::<usize>();
        }
        assert!(looked > 40 && seen.len() > 20, "{name}: {looked} {}", seen.len());
    }
}

/// What a formula with values says, by hand: the numbers and signs of `arithmetic` before its last `=`.
#[test]
fn the_arithmetic_shown_comes_out() {
    let mut reckoned = 0;
    for (name, job) in jobs() {
        let mut out = Vec::new();
        reports::json::why(&[(name, &job)], None, &mut out).unwrap();
        let file: serde_json::Value = serde_json::from_slice(&out).unwrap();
        for number in file["jobs"][0]["numbers"].as_array().unwrap() {
            let Some(shown) = number["arithmetic"].as_str() else { continue };
            // Times are told in hours and minutes, which no calculator takes.
            if shown.contains(" h") || shown.contains(" min") {
                continue;
            }
            let mut sides = shown.split(" = ");
            let left = Reckoner::new(sides.next().unwrap()).sum();
            let right = sides.next().unwrap().split(',').next().unwrap();
            let right = right.split(' ').next().unwrap();
            let (digits, scale) = right.strip_suffix('%').map_or((right, 1.0), |digits| (digits, 100.0));
            let right: f64 = digits.parse::<f64>().map_or(f64::NAN, |right| right / scale);
            if right.is_nan() {
                continue;
            }
            // Each value is shown to four decimals at least, or to a few more digits where it is small.
            // A cut length is told as it is reckoned.
            let within = if number["name"].as_str().unwrap().contains(".cut") { 1e-4 } else { 2e-3 };
            assert!(
                (left - right).abs() <= within + within * right.abs(),
                "{name}: {} {shown}: {left}",
                number["name"]
            );
            reckoned += 1;
        }
    }
    assert!(reckoned > 300, "{reckoned}");
}

/// Reckons what a person types into a calculator; units are read over, hundredths and degrees are taken as such.
struct Reckoner<'t> {
    words: std::iter::Peekable<std::vec::IntoIter<&'t str>>,
}

impl<'t> Reckoner<'t> {
    fn new(text: &'t str) -> Reckoner<'t> {
        let mut words = Vec::new();
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let same = |letter: char| letter.is_ascii_alphanumeric() || letter == '.';
            let end =
                if same(first) { rest.find(|letter| !same(letter)).unwrap_or(rest.len()) } else { first.len_utf8() };
            let (word, after) = rest.split_at(end);
            let is_number = first.is_ascii_digit();
            let is_unit = same(first) && !is_number && !matches!(word, "pi" | "tan" | "sqrt");
            // A unit with strokes or hyphens: lb/in, lbf-in.
            if is_unit {
                let after_unit = after.strip_prefix("/in").or(after.strip_prefix("/ft3")).or(after.strip_prefix("/mm"));
                let after_unit = after_unit.or(after.strip_prefix("-in")).or(after.strip_prefix("-mm"));
                let after_unit = after_unit.or(after.strip_prefix("/s2"));
                rest = after_unit.or(after.strip_prefix("/m3")).unwrap_or(after);
                continue;
            }
            if !word.trim().is_empty() {
                words.push(word);
            }
            rest = after;
        }
        Reckoner { words: words.into_iter().peekable() }
    }

    fn sum(&mut self) -> f64 {
        let mut sum = self.product();
        while let Some(sign) = self.words.next_if(|word| matches!(*word, "+" | "-")) {
            let next = self.product();
            sum += if sign == "+" { next } else { -next };
        }
        sum
    }

    fn product(&mut self) -> f64 {
        let mut product = self.power();
        while let Some(sign) = self.words.next_if(|word| matches!(*word, "*" | "/")) {
            let next = self.power();
            product = if sign == "*" { product * next } else { product / next };
        }
        product
    }

    fn power(&mut self) -> f64 {
        let base = self.one();
        if self.words.next_if_eq(&"^").is_some() { base.powf(self.one()) } else { base }
    }

    fn one(&mut self) -> f64 {
        let word = self.words.next().expect("a number");
        let value = match word {
            "(" => {
                let inner = self.sum();
                assert_eq!(self.words.next(), Some(")"));
                inner
            }
            "pi" => std::f64::consts::PI,
            "tan" => return self.one().to_radians().tan(),
            "sqrt" => return self.one().sqrt(),
            // A level below 0.
            "-" => return -self.one(),
            number => number.parse().unwrap_or_else(|_| panic!("{number}")),
        };
        if self.words.next_if_eq(&"%").is_some() { value / 100.0 } else { value }
    }
}

/// The bags of the lead example from its tree alone, typed values and signs: 28.
#[test]
fn the_bags_of_the_boathouse_follow_from_what_was_typed() {
    let job = example("boathouse");
    let ledger = &job.works.ledger;
    let tree = ledger.tree(ledger.id("wall.bags").unwrap());
    let names: Vec<&str> = tree.iter().map(|entry| entry.name.as_str()).collect();
    assert_eq!(names, ["wall.bags", "wall.mixed", "wall.volume", "low.volume", "low.plan", "high.volume", "high.plan"]);
    let typed = |name: &str, symbol: &str| {
        let entry = tree.iter().find(|entry| entry.name == name).unwrap();
        let input = entry.inputs.iter().find(|input| input.symbol == symbol).unwrap();
        match input.from {
            Origin::Typed(_, Some(value)) | Origin::Given(value, _) => value,
            other => panic!("{other:?}"),
        }
    };
    let length = |name, symbol| match typed(name, symbol) {
        Figure::Length(length) => length,
        other => panic!("{other:?}"),
    };
    let Figure::Area(corner) = typed("high.plan", "corners") else { panic!() };
    assert_eq!(
        corner,
        length("high.plan", "width") * length("high.plan", "width"),
        "one mitre of 90 degrees: 8 in square"
    );
    let low = length("low.plan", "length") * length("low.plan", "width") * length("low.volume", "height");
    let high =
        (length("high.plan", "length") * length("high.plan", "width") + corner) * length("high.volume", "height");
    let volume: Volume = low + high;
    assert_eq!(volume, job.works.solids.total);
    let (Figure::Ratio(waste), Figure::Volume(yields)) = (typed("wall.mixed", "waste"), typed("wall.bags", "yields"))
    else {
        panic!()
    };
    let of = volume.cubic_metres() * (1.0 + waste.fraction()) / yields.cubic_metres();
    assert!((of - 28.0).abs() < 1e-9, "{of}");
    assert_eq!(ledger.find("wall.bags").map(|entry| entry.value), Some(Figure::Whole { count: 28, of }));
}

#[test]
fn every_number_has_a_name_of_its_own_and_is_made_from_something_before_it() {
    for (name, job) in jobs() {
        let ledger = &job.works.ledger;
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        for entry in ledger.entries() {
            assert!(!entry.formula.is_empty() && !entry.inputs.is_empty(), "{name}: {}", entry.name);
            for input in &entry.inputs {
                assert!(!input.symbol.is_empty(), "{name}: {}", entry.name);
                if let Origin::Worked(id) = input.from {
                    let made = ledger.get(id).unwrap();
                    assert!(seen.contains(made.name.as_str()), "{name}: {} before {}", entry.name, made.name);
                }
            }
            assert!(seen.insert(&entry.name), "{name}: {} twice", entry.name);
            let (first, _) = entry.name.split_once('.').unwrap();
            let is_block = job.job.at(batterboard::schema::BlockId(0)).is_some()
                && (0..10_000).map(batterboard::schema::BlockId).any(|id| job.job.name(id) == first);
            assert!(is_block || matches!(first, "job" | "buy"), "{name}: {}", entry.name);
        }
        let trees = ledger.entries().iter().map(|entry| ledger.tree(ledger.id(&entry.name).unwrap()).len());
        assert!(trees.max() > Some(5), "{name}");
    }
}

/// The bullets under a heading.
fn under(paper: &Paper, heading: &str) -> Vec<String> {
    let mut parts = paper.parts.iter();
    parts.by_ref().find(|part| matches!(part, Part::Heading(_, words) if words.text() == heading)).expect(heading);
    parts
        .take_while(|part| !matches!(part, Part::Heading(..)))
        .filter_map(|part| match part {
            Part::Bullets(lines) => Some(lines.iter().map(|line| line.text().to_owned())),
            _ => None,
        })
        .flatten()
        .collect()
}

#[test]
fn every_source_is_told_once_with_what_rests_on_it() {
    for (name, job) in jobs() {
        let lines = under(&reports::order(&job), "Where the numbers come from");
        let mut sources: BTreeMap<&str, Vec<&Entry>> = BTreeMap::new();
        for entry in job.works.ledger.entries() {
            for source in entry.sources() {
                sources.entry(source).or_default().push(entry);
            }
        }
        assert!(lines.len() > sources.len(), "{name}: {lines:#?}");
        for (source, entries) in sources {
            let told: Vec<&String> = lines.iter().filter(|line| line.starts_with(&format!("{source}: "))).collect();
            assert_eq!(told.len(), 1, "{name}: {source}: {lines:#?}");
            assert!(told[0].contains(&entries[0].name), "{name}: {}", told[0]);
        }
        let distinct: BTreeSet<&String> = lines.iter().collect();
        assert_eq!(distinct.len(), lines.len(), "{name}: {lines:#?}");
    }
}

#[test]
fn a_number_that_was_rounded_says_from_what() {
    for (name, job) in jobs() {
        for entry in job.works.ledger.entries() {
            let Figure::Whole { count, of } = entry.value else { continue };
            let whole =
                if entry.formula.contains(", down to") { of.floor() as u64 } else { batterboard::units::whole_up(of) };
            assert_eq!(whole, count, "{name}: {} {of}", entry.name);
        }
    }
}

#[test]
fn a_number_is_explained_down_to_lines_of_the_files() {
    let job = example("boathouse");
    let paper = reports::why(&job, "pins.resin").unwrap();
    assert_eq!(paper.title.text(), "Why pins.resin is 11.0 fl-oz");
    let mut lines = paper.parts.iter().filter_map(|part| match part {
        Part::Bullets(lines) => Some(lines.iter().map(|line| line.text().to_owned())),
        _ => None,
    });
    let all: Vec<String> = lines.by_ref().flatten().collect();
    for wanted in [
        "waste: 25%, taken as usual where resin.waste is not written: common practice, no source",
        "bar: 1/2\" (0.5 in), library/bars.job:9 says diameter 1/2\" (ASTM A615)",
        "end: 9\", boathouse.job:51 says inset 5\", at corners 9\"",
    ] {
        assert!(all.iter().any(|line| line == wanted), "{wanted}: {all:#?}");
    }
    assert!(reports::why(&job, "pins.nothing").is_none());
}
