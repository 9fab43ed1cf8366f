//! What must not change when a job is written another way: in another order, with a section split in two, from another
//! datum, under other names, in other units.

use std::collections::BTreeMap;

use batterboard::{
    compile::{Compiled, compile_text},
    concrete::{Class, classes_in_order},
    language::Limits,
    problem::Level,
    source::Shelf,
    units::Length,
};
use proptest::prelude::*;

/// A job made up: a wall of one corner, two sections that step, holes, bars. All lengths in sixteenths of an inch.
#[derive(Debug, Clone)]
struct Made {
    legs: [i64; 2],
    inside: bool,
    step: i64,
    thick: i64,
    low: [i64; 2],
    high: [i64; 2],
    most: i64,
    inset: i64,
    corner: i64,
    deep: i64,
    waste: u8,
}

fn made() -> impl Strategy<Value = Made> {
    (
        (1000..3000i64, 800..2000i64, any::<bool>(), 300..700i64),
        (64..200i64, -80..0i64, 100..200i64, 10..160i64),
        (100..400i64, 30..90i64, 150..250i64, 40..100i64, 0..20u8),
    )
        .prop_map(|((a, b, inside, step), (thick, bottom, top, up), (most, inset, corner, deep, waste))| Made {
            legs: [a, b],
            inside,
            step,
            thick,
            low: [bottom, top],
            high: [bottom, top + up],
            most,
            inset,
            corner,
            deep,
            waste,
        })
}

/// How a job is written.
#[derive(Debug, Clone, Copy)]
struct Hand {
    /// Lengths in millimetres.
    metric: bool,
    /// What level 0 lies above the made job's, in sixteenths.
    datum: i64,
    /// Where `high` is split on the second leg, if it is.
    split: Option<i64>,
    /// Other names.
    renamed: bool,
    /// The order of the blocks is turned by so many.
    turned: usize,
    /// The blocks come the other way round.
    reversed: bool,
    /// A section that lies within `low` is there too.
    doubled: bool,
}

const PLAIN: Hand =
    Hand { metric: false, datum: 0, split: None, renamed: false, turned: 0, reversed: false, doubled: false };

impl Hand {
    fn length(&self, sixteenths: i64) -> String {
        if !self.metric {
            return format!("({sixteenths}\" / 16)");
        }
        // A sixteenth of an inch is 1.5875 mm.
        let tenths = sixteenths * 15_875;
        let sign = if tenths < 0 { "-" } else { "" };
        format!("{sign}{}.{:04} mm", tenths.abs() / 10_000, tenths.abs() % 10_000)
    }

    fn level(&self, sixteenths: i64) -> String {
        self.length(sixteenths - self.datum)
    }

    fn write(&self, made: &Made) -> String {
        let l = |value: i64| self.length(value);
        let h = |value: i64| self.level(value);
        let [a, b] = made.legs;
        let (low, high) = (made.low, made.high);
        let corner = if made.inside { "inside" } else { "outside" };
        let [bottom, lower, upper] = [low[0], low[1], high[1]];
        let mut fill = vec!["lower"];
        let mut blocks = vec![
            format!(
                "wall old {{ leg back {}; corner {corner}; leg side {}; thick {}; height {} to {} }}",
                l(a),
                l(b),
                l(160),
                h(-400),
                h(800)
            ),
            format!(
                "section lower {{ along old.back 0 to {}; thick {}; height {} to {} }}",
                l(made.step),
                l(made.thick),
                h(bottom),
                h(lower)
            ),
            format!(
                "holes pins {{ into old; along lower, {}; rows height {}; inset {}, at corners {}; space at most {}; bore 5/8\" by {}; fill glue }}",
                if self.split.is_some() { "upper, beyond" } else { "upper" },
                h(lower - 40),
                l(made.inset),
                l(made.corner),
                l(made.most),
                l(made.deep)
            ),
            format!("bars pegs {{ size #4; in pins; out {} }}", l(60)),
            format!(
                "bars rails {{ size #4; along lower, {}; rows height {}; offset {}; ends 2\" }}",
                if self.split.is_some() { "upper, beyond" } else { "upper" },
                h(lower - 20),
                l(made.thick / 2)
            ),
            format!(
                "bars rises {{ size #4; along lower; space at most {}; inset {}; from offset 2\", height {}; legs up {}, right 8\" }}",
                l(made.most),
                l(made.inset),
                h(bottom + 8),
                l(90)
            ),
            format!("stock rods {{ for #4; length {} }}", l(40 * 12 * 16)),
            "resin glue { cartridge 22 fl-oz }".to_owned(),
            "mix bagged { bag 80 lb, yields 0.60 ft3 }".to_owned(),
        ];
        match self.split {
            None => {
                fill.push("upper");
                blocks.push(format!(
                    "section upper {{ along old.back {} to old.side {}; thick {}; height {} to {} }}",
                    l(made.step),
                    l(b),
                    l(made.thick),
                    h(bottom),
                    h(upper)
                ));
            }
            Some(at) => {
                fill.extend(["upper", "beyond"]);
                blocks.push(format!(
                    "section upper {{ along old.back {} to old.side {}; thick {}; height {} to {} }}",
                    l(made.step),
                    l(at),
                    l(made.thick),
                    h(bottom),
                    h(upper)
                ));
                blocks.push(format!(
                    "section beyond {{ along old.side {} to {}; thick {}; height {} to {} }}",
                    l(at),
                    l(b),
                    l(made.thick),
                    h(bottom),
                    h(upper)
                ));
            }
        }
        if self.doubled {
            fill.push("again");
            blocks.push(format!(
                "section again {{ along old.back {} to {}; thick {}; height {} to {} }}",
                l(made.step / 4),
                l(made.step / 2),
                l(made.thick / 2),
                h(bottom + 10),
                h(lower - 10)
            ));
        }
        blocks.push(format!("pour all {{ fill {}; mix bagged; waste {}% }}", fill.join(", "), made.waste));
        let turned = self.turned % blocks.len();
        blocks.rotate_left(turned);
        if self.reversed {
            blocks.reverse();
        }
        let head = format!("job \"Made up\" {{ show {} }}\n", if self.metric { "metric" } else { "feet" });
        let text = format!("{head}{}\n", blocks.join("\n"));
        if !self.renamed {
            return text;
        }
        let names = [
            "old", "back", "side", "lower", "upper", "beyond", "again", "pins", "pegs", "rails", "rises", "glue",
            "bagged", "all", "rods",
        ];
        names.iter().fold(text, |text, name| renamed(&text, name))
    }
}

/// The text with a word put for a name, wherever it stands alone.
fn renamed(text: &str, name: &str) -> String {
    let mut out = String::new();
    let mut word = String::new();
    for letter in text.chars().chain(['\n']) {
        if letter.is_alphanumeric() || letter == '-' {
            word.push(letter);
            continue;
        }
        // The first letter turns round what sorts first.
        out.push_str(&if word == name {
            format!("{}-{name}", if name.len().is_multiple_of(2) { "z" } else { "b" })
        } else {
            word.clone()
        });
        word.clear();
        out.push(letter);
    }
    out
}

fn compiled(text: &str) -> Compiled {
    let compiled = compile_text(&Shelf::default(), "made.job", text, &Limits::default());
    let errors: Vec<String> = compiled
        .problems
        .iter()
        // Holes and bars that meet are found in some of the jobs, and change nothing that is computed.
        .filter(|problem| problem.rule.level == Level::Error)
        .filter(|problem| !["holes-meet", "bars-clash", "bar-outside"].contains(&problem.rule.name))
        .map(|problem| format!("{}: {}", problem.rule.name, problem.says(compiled.job.system())))
        .collect();
    assert!(errors.is_empty(), "{text}\n{errors:#?}");
    compiled
}

/// What a job comes to, free of names and of the order it is written in.
#[derive(Debug, PartialEq)]
struct Sum {
    volume: i128,
    areas: Vec<i128>,
    bags: u64,
    /// Leg, row and station of each hole, in the order of the numbers.
    holes: Vec<(u64, u16, u16, i64)>,
    resin: i128,
    /// Pieces and cut length by mark.
    marks: BTreeMap<u32, (u64, i64)>,
    meetings: usize,
    /// Least cover of each class, in hundredths of a millimetre; how near parallel bars come, and how far bars run into each
    /// other; how many come out.
    covers: BTreeMap<Class, i64>,
    near: Vec<i64>,
    clashes: Vec<(i64, u64)>,
    outside: Vec<(bool, u64)>,
}

/// To the nearest cubic or square millimetre: levels away from 0 and other units leave no more than that.
fn sum(job: &Compiled) -> Sum {
    let works = &job.works;
    assert_eq!(works.solids.pours.len(), 1);
    let solid = &works.solids.pours[0];
    let mut marks: BTreeMap<u32, (u64, i64)> = BTreeMap::new();
    for group in works.bars.iter().flat_map(|bars| &bars.groups) {
        let mark = marks.entry(group.mark).or_insert((0, group.shape.cut.nm() / 1000));
        mark.0 += group.count;
    }
    let set = works.sets.values().next().unwrap();
    let rounded = |length: Length| (length.nm() as f64 / 10_000.0).round() as i64;
    let mut covers = BTreeMap::new();
    for cover in &works.clearances.covers {
        let least = covers.entry(cover.class).or_insert(i64::MAX);
        *least = rounded(cover.clear).min(*least);
    }
    let sorted = |mut all: Vec<i64>| {
        all.sort_unstable();
        all
    };
    Sum {
        near: sorted(works.clearances.parallel.iter().map(|near| rounded(near.clear)).collect()),
        clashes: {
            let mut all: Vec<_> = works.clearances.clashes.iter().map(|one| (rounded(one.clear), one.pairs)).collect();
            all.sort_unstable();
            all
        },
        outside: {
            let mut all: Vec<_> = works.clearances.outside.iter().map(|one| (one.whole, one.bars)).collect();
            all.sort_unstable();
            all
        },
        covers,
        volume: (solid.volume.cubic_metres() * 1e9).round() as i128,
        areas: classes_in_order()
            .into_iter()
            .map(|class| (solid.areas.of(class).square_metres() * 1e6).round() as i128)
            .collect(),
        bags: works.mixings[0].bags,
        holes: set.each().map(|hole| (hole.number, hole.on.leg, hole.row, hole.station.nm() / 1000)).collect(),
        resin: (works.fills[0].net.cubic_metres() * 1e12).round() as i128,
        marks,
        meetings: works.meetings.len(),
    }
}

fn come_to(made: &Made, hand: Hand) -> Sum {
    sum(&compiled(&hand.write(made)))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_blocks_changes_nothing(made in made(), turned in 0..11usize, reversed in any::<bool>()) {
        prop_assert_eq!(come_to(&made, PLAIN), come_to(&made, Hand { turned, reversed, ..PLAIN }));
    }

    #[test]
    fn other_names_change_nothing(made in made()) {
        let hand = Hand { renamed: true, ..PLAIN };
        prop_assert!(hand.write(&made).contains("section z-lower") || hand.write(&made).contains("section b-lower"));
        prop_assert_eq!(come_to(&made, PLAIN), come_to(&made, hand));
    }

    #[test]
    fn another_datum_changes_nothing(made in made(), datum in -3000..3000i64) {
        prop_assert_eq!(come_to(&made, PLAIN), come_to(&made, Hand { datum, ..PLAIN }));
    }

    #[test]
    fn a_section_split_in_two_is_the_same_concrete(made in made(), at in 300..700i64) {
        prop_assert_eq!(come_to(&made, PLAIN), come_to(&made, Hand { split: Some(at), ..PLAIN }));
    }

    #[test]
    fn concrete_named_twice_counts_once(made in made()) {
        prop_assert_eq!(come_to(&made, PLAIN), come_to(&made, Hand { doubled: true, ..PLAIN }));
    }

    #[test]
    fn millimetres_and_inches_agree(made in made()) {
        prop_assert_eq!(come_to(&made, PLAIN), come_to(&made, Hand { metric: true, ..PLAIN }));
    }

    #[test]
    fn holes_drilled_to_another_depth_take_other_resin(made in made(), deeper in -30..60i64) {
        let text = PLAIN.write(&made);
        let plan = compiled(&text);
        let count = plan.works.sets.values().map(|set| set.count).sum::<u64>();
        let deep = PLAIN.length(made.deep + deeper);
        let holes: Vec<String> = (1..=count).map(|number| format!("pins.{number}")).collect();
        let record = format!("record 2027-05-10 {{ hole {} by {deep} }}\n", holes.join(", "));
        let really = compiled(&format!("{text}{record}"));
        let drawn = compiled(&PLAIN.write(&Made { deep: made.deep + deeper, ..made.clone() }));
        let done = &really.works.holes_done.resin;
        let resin = done.values().next().copied().unwrap_or(really.works.fills[0].net);
        prop_assert_eq!(resin, drawn.works.fills[0].net);
        // The plan stays the plan, and no hole gets another number.
        prop_assert_eq!(really.works.fills[0].net, plan.works.fills[0].net);
        prop_assert_eq!(really.works.mixings[0].bags, plan.works.mixings[0].bags);
        let numbers = |job: &Compiled| job.works.sets.values().flat_map(|set| set.each().collect::<Vec<_>>()).collect::<Vec<_>>();
        prop_assert_eq!(numbers(&really), numbers(&plan));
    }

    #[test]
    fn a_record_that_equals_the_plan_changes_nothing(made in made()) {
        let text = PLAIN.write(&made);
        let plan = compiled(&text);
        let count = plan.works.sets.values().map(|set| set.count).sum::<u64>();
        let holes: Vec<String> = (1..=count).map(|number| format!("pins.{number}")).collect();
        let record = format!("record 2027-05-10 {{ hole {} bore 5/8\" by {} }}\n", holes.join(", "), PLAIN.length(made.deep));
        let done = compiled(&format!("{text}{record}"));
        let numbers = |job: &Compiled| job.works.ledger.entries().iter().map(|entry| (entry.name.clone(), entry.value)).collect::<Vec<_>>();
        prop_assert_eq!(numbers(&done), numbers(&plan));
        let says = |job: &Compiled| job.problems.iter().map(|one| (one.rule.name, one.says(job.job.system()))).collect::<Vec<_>>();
        prop_assert_eq!(says(&done), says(&plan));
        prop_assert!(done.works.holes_done.drilled.is_empty());
    }
}

/// Bars that are drawn just 1/16 in into each other still go in, wherever the levels are counted from: the distance of two bars
/// is judged by the nanometre, not by what is left beyond it.
#[test]
fn bars_just_so_far_into_each_other_as_gives_are_no_clash_at_any_datum() {
    let one = Made {
        legs: [1000, 800],
        inside: false,
        step: 549,
        thick: 64,
        low: [-21, 120],
        high: [-21, 130],
        most: 181,
        inset: 39,
        corner: 237,
        deep: 40,
        waste: 0,
    };
    let other = Made { step: 319, low: [-4, 117], high: [-4, 127], most: 100, inset: 30, corner: 150, ..one.clone() };
    for made in [one, other] {
        let plain = come_to(&made, PLAIN);
        assert!(plain.clashes.iter().all(|(clear, _)| *clear != -159), "{:?}", plain.clashes);
        for datum in (-480..480).step_by(16).chain([31, 48]) {
            assert_eq!(plain, come_to(&made, Hand { datum, ..PLAIN }), "{datum}");
        }
    }
}

#[test]
fn the_made_up_job_can_be_seen_to_change() {
    let made = Made {
        legs: [1920, 960],
        inside: false,
        step: 600,
        thick: 128,
        low: [-64, 192],
        high: [-64, 320],
        most: 224,
        inset: 80,
        corner: 144,
        deep: 96,
        waste: 8,
    };
    let plain = come_to(&made, PLAIN);
    let thicker = come_to(&Made { thick: 130, ..made.clone() }, PLAIN);
    assert_ne!(plain.volume, thicker.volume);
    assert_ne!(plain.areas, thicker.areas);
    let denser = come_to(&Made { most: 200, ..made }, PLAIN);
    assert_ne!(plain.holes, denser.holes);
}
