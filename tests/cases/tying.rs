//! Ties, wire, chairs and spacers, against counts by hand and the worked grids of the trade's patterns.

use batterboard::{
    compile::Compiled,
    ledger::Figure,
    reports::{self, print},
    standards::ties::{Pattern, on_a_grid},
    steel::PourTies,
    units::Length,
};
use proptest::prelude::*;

use super::{fine, near};

/// `n` upright bars and `m` long bars that touch each other, in a wall round a corner of this turn or along one leg.
fn grid(n: i64, m: i64, ties: &str, corner: Option<f64>, mirrored: bool) -> String {
    let length = 6 * (n + 1);
    let (first, second) = (length / 2, length - length / 2);
    let legs = match corner {
        None => format!("leg a {length}\""),
        Some(turn) => format!("leg a {first}\"; corner outside, turning {turn} deg; leg b {second}\""),
    };
    let side = |leg: &str, from: i64, until: i64, at: &[i64], name: &str| {
        let at: Vec<String> = at.iter().map(|at| format!("{at}\"")).collect();
        if at.is_empty() {
            return String::new();
        }
        format!(
            "bars up{name} {{ size #4; along old.{leg} {from}\" to {until}\"; space at {}; from offset 3\", height 1\"; legs up {}\"{ties} }}\n",
            at.join(", "),
            6 * m + 4
        )
    };
    // Stations from the left end; mirrored from the right.
    let mut places: Vec<i64> = (1..=n).map(|at| if mirrored { length - 6 * at } else { 6 * at }).collect();
    places.sort_unstable();
    let uprights = match corner {
        None => side("a", 0, length, &places, ""),
        Some(_) => {
            let (left, right): (Vec<i64>, Vec<i64>) = places.iter().partition(|at| **at < first);
            let right: Vec<i64> = right.iter().map(|at| at - first).collect();
            side("a", 0, first, &left, "-a") + &side("b", 0, second, &right, "-b")
        }
    };
    let levels: Vec<String> = (1..=m).map(|at| format!("{}\"", 6 * at)).collect();
    format!(
        "wall old {{ {legs}; thick 8\"; height -12\" to 400\"; of concrete }}
section s {{ along old; thick 8\"; height 0 to {}\" }}
{uprights}bars long {{ size #4; along s; rows height {}; offset 3 1/2\"; ends 2\"{ties} }}
stock rods {{ for #4; length 400' }}
pour p {{ fill s; mix bag-80-lb }}",
        6 * m + 8,
        levels.join(", ")
    )
}

fn only(job: &Compiled) -> &PourTies {
    assert_eq!(job.works.tying.pours.len(), 1);
    &job.works.tying.pours[0]
}

fn count(job: &Compiled, name: &str) -> u64 {
    match job.works.ledger.find(name).unwrap_or_else(|| panic!("no {name}")).value {
        Figure::Count(count) | Figure::Whole { count, .. } => count,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_grid_has_the_ties_of_its_pattern() {
    // TIE-1 to TIE-4.
    for (n, m) in [(15, 5), (21, 4), (9, 9), (31, 7), (2, 2), (1, 6), (3, 3)] {
        let ties = |clause: &str, pattern| {
            let job = fine(&grid(n, m, clause, None, false));
            let pour = only(&job);
            assert_eq!(pour.crossings(), (n * m) as u64, "{n} {m}");
            assert_eq!(pour.ties(), on_a_grid(pattern, n as u64, m as u64).value, "{n} {m} {clause}");
            assert_eq!(count(&job, "p.ties"), pour.ties());
            pour.ties()
        };
        let every = ties("", Pattern::Every);
        assert_eq!(ties("; ties every", Pattern::Every), every);
        ties("; ties second", Pattern::RimAndAlternate);
    }
}

#[test]
fn where_two_blocks_say_different_every_crossing_is_tied() {
    let job = |first: &str, second: &str| {
        let text = grid(9, 9, "", None, false);
        let text = text.replace("legs up 58\"", &format!("legs up 58\"{first}"));
        only(&fine(&text.replace("ends 2\"", &format!("ends 2\"{second}")))).ties()
    };
    assert_eq!(job("; ties second", "; ties every"), 81);
    assert_eq!(job("; ties every", "; ties second"), 81);
    assert_eq!(job("; ties second", ""), 57);
    assert_eq!(job("", "; ties second"), 57);
}

#[test]
fn wire_by_the_ties_and_its_own_gauge() {
    // 75 ties round bars that go up, 12 in each: 75 ft; by TIE-5 a foot of 16 gauge weighs 0.01044 lb.
    let job = fine(&grid(15, 5, "", None, false));
    near(only(&job).wire().inches() / 12.0, 75.0, 1e-9);
    let Figure::Mass(weight) = job.works.ledger.find("p.wire-weight").unwrap().value else { panic!() };
    near(weight.lb(), 75.0 * 0.01044, 1e-6);
    assert_eq!(count(&job, "buy.wire-16.packs"), 1);
    // 14 gauge weighs 0.0171 lb a foot.
    let text = format!(
        "job \"Case\" {{ show feet; wire mine }}\nwire mine {{ diameter 0.08\"; weight 1.71 lb, per 100 ft; coil 1/4 lb }}\n{}",
        grid(15, 5, "", None, false)
    );
    let job = fine(&text);
    // 1.2825 lb in coils of a quarter of a pound.
    assert_eq!(count(&job, "buy.mine.packs"), 6);
    assert!(job.works.ledger.find("buy.wire-16.packs").is_none());
}

/// TIE-5: level bars both ways are tied with 10 in each.
#[test]
fn a_mat_takes_snap_ties() {
    let long: Vec<String> = (1..=5)
        .map(|at| format!("bars l{at} {{ size #4; along s; rows height 4\"; offset {}\"; ends 2\" }}", 8 * at))
        .collect();
    let job = fine(&format!(
        "wall old {{ leg a 16'; thick 8\"; height -12\" to 40\"; of concrete }}
section s {{ along old; thick 4'; height 0 to 10\" }}
{}
bars cross {{ size #4; along s; space every 12\"; inset 12\"; from offset 3\", height 3 1/2\"; legs out 42\" }}
pour p {{ fill s; mix bag-80-lb }}",
        long.join("\n")
    ));
    let pour = only(&job);
    assert_eq!((pour.crossings(), pour.ties()), (75, 75));
    near(pour.wire().inches() / 12.0, 62.5, 1e-9);
    // Five bars of 15 ft 8 in over soil, 3 ft apart at most: 5.2 spacings, so 6 and one more on each.
    assert_eq!(count(&job, "p.chairs"), 5 * 7);
    // The last of them lies 8 in from the form: no spacer reaches so far.
    assert!(job.works.ledger.find("p.spacers").is_none());
    assert_eq!(count(&job, "buy.job.chairs.packs"), 35);
}

#[test]
fn laps_have_ties_of_their_own_and_no_crossing_counts_twice() {
    // 40 ft of bars from 20 ft: three pieces and two laps of 30 in a row, three ties each.
    let text = grid(79, 2, "", None, false).replace("length 400'", "length 20'");
    let job = fine(&text);
    let long = job.works.bars.iter().find(|made| job.job.name(made.id) == "long").unwrap();
    assert_eq!(long.groups.len(), 6);
    let pour = only(&job);
    assert_eq!(pour.crossings(), 158);
    assert_eq!(count(&job, "p.lap-ties.long"), 12);
    assert_eq!(pour.ties(), 158 + 12);
    // At the rim of the pattern lapped pieces are one bar: 2 rows of 79 are all rim.
    assert_eq!(only(&fine(&text.replace("ends 2\"", "ends 2\"; ties second"))).ties(), 158 + 12);
    let three = grid(79, 3, "; ties second", None, false).replace("length 400'", "length 20'");
    // 77 inside, of which 39 are tied.
    let job = fine(&three);
    assert_eq!(only(&job).ties() - count(&job, "p.lap-ties.long"), 79 * 2 + 2 + 39);
}

#[test]
fn a_ring_of_two_pieces_has_two_laps() {
    let job = fine(
        "wall old { leg a 6'; corner outside; leg b 6'; corner outside; leg c 6'; corner outside; leg d 6'; corner outside; thick 8\"; height -12\" to 40\"; of concrete }
section s { along old; thick 8\"; height 0 to 12\" }
bars ring { size #4; along s; rows height 6\"; offset 4\"; lap 24\" }
pour p { fill s; mix bag-80-lb }",
    );
    let pieces = job.works.bars[0].groups.len() as u64;
    assert_eq!(pieces, 2);
    assert_eq!(only(&job).laps[0].laps, pieces);
    assert_eq!(only(&job).ties(), 6);
}

#[test]
fn closed_ties_are_tied_at_every_corner() {
    // Four long bars in the corners of ten closed ties, whatever the pattern.
    let long: Vec<String> = [(2.75, 2.75), (2.75, 13.25), (9.25, 2.75), (9.25, 13.25)]
        .iter()
        .enumerate()
        .map(|(at, (offset, level))| {
            format!("bars l{at} {{ size #4; along s; rows height {level}\"; offset {offset}\"; ties second }}")
        })
        .collect();
    let job = fine(&format!(
        "line edge {{ leg a 10' }}
section s {{ along edge; thick 12\"; height 0 to 16\" }}
{}
bars hoops {{ size #4; along s; space every 12\"; inset 6\"; from offset 2 1/4\", height 2\"; legs up 12\", out 7 1/2\", down 12\", in 7 1/2\", hook 135 deg; ties second }}
pour p {{ fill s; mix bag-80-lb }}",
        long.join("\n")
    ));
    let pour = only(&job);
    assert_eq!((pour.crossings(), pour.ties()), (40, 40));
    // Two long bars next to each of the two forms, and two above the ground: 9 ft 8 in, four spacings of 3 ft and one more.
    assert_eq!(count(&job, "p.spacers"), 4 * 5);
    assert_eq!(count(&job, "p.chairs"), 2 * 5);
}

#[test]
fn supports_are_as_far_apart_as_is_said() {
    let job = |clause: &str| fine(&grid(15, 2, "", None, false).replace("ends 2\"", &format!("ends 2\"{clause}")));
    // 7 ft 8 in: 2.6 spacings of 3 ft; 4.6 of 20 in. The lower row stands on chairs, both are next to the form.
    assert_eq!(["p.chairs", "p.spacers"].map(|name| count(&job(""), name)), [4, 8]);
    assert_eq!(["p.chairs", "p.spacers"].map(|name| count(&job("; supports 20\""), name)), [6, 12]);
    let far = fine(
        &grid(15, 2, "", None, false).replace("section s { along old; thick 8\"", "section s { along old; thick 10\""),
    );
    assert!(far.works.ledger.find("p.spacers").is_none() && count(&far, "p.chairs") == 4);
    let trench = grid(15, 2, "", None, false).replace("height 0 to 20\"", "height 0 to 20\"; side earth; base form");
    let job = fine(&trench);
    assert!(job.works.ledger.find("p.spacers").is_none() && job.works.ledger.find("p.chairs").is_none());
}

#[test]
fn a_dowel_beside_a_bar_has_two_ties_and_one_across_it_has_one() {
    let base = |pegs: &str| {
        fine(&format!(
            "wall old {{ leg a 10'; thick 8\"; height -12\" to 40\"; of concrete }}
section base {{ along old; thick 16\"; height 0 to 10\" }}
section stem {{ along old; thick 8\"; height 10\" to 40\" }}
{pegs}
pour b {{ fill base; mix bag-80-lb }}
pour p {{ fill stem; mix bag-80-lb }}"
        ))
    };
    let down = base(
        "holes pins { into base.top; along base; rows offset 4\"; inset 6\"; space every 12\"; bore 5/8\" by 6\" }
bars pegs { size #4; in pins; out 20\" }
bars up { size #4; along stem; space every 12\"; inset 6 1/2\", at end 5\"; from offset 4\", height 12\"; legs up 24\" }",
    );
    let ties = only(&down);
    assert_eq!((down.job.name(ties.pour), ties.crossings(), ties.ties()), ("p", 0, 20));
    let level = base(
        "holes pins { into old; along stem; rows height 20\"; inset 6\"; space every 12\"; bore 5/8\" by 6\" }
bars pegs { size #4; in pins; out 5\" }
bars rail { size #4; along stem; rows height 20 1/2\"; offset 4\" }",
    );
    assert_eq!((only(&level).crossings(), only(&level).ties()), (10, 10));
}

/// A bar that is bent where another lies in its bend crosses it once.
#[test]
fn a_bar_in_a_bend_is_one_crossing() {
    let job = fine(
        "wall old { leg a 4'; thick 8\"; height -12\" to 40\"; of concrete }
section s { along old; thick 16\"; height 0 to 24\" }
bars rail { size #4; along s; rows height 2 7/8\"; offset 4 1/8\" }
bars bent { size #4; along s; space at 2'; from offset 12\", height 2\"; legs in 9\", up 18\" }
pour p { fill s; mix bag-80-lb }",
    );
    assert_eq!(only(&job).crossings(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn turned_or_mirrored_the_count_is_the_same(n in 2..12_i64, m in 1..5_i64, turn in 1..80_i64, second in any::<bool>()) {
        let ties = if second { "; ties second" } else { "" };
        let counted = |corner: Option<f64>, mirrored: bool| {
            let job = fine(&grid(n, m, ties, corner, mirrored));
            let pour = only(&job);
            (pour.crossings(), pour.ties(), pour.wire(), job.works.ledger.find("p.chairs").map(|entry| entry.value))
        };
        let plain = counted(None, false);
        prop_assert_eq!(plain, counted(None, true));
        prop_assert_eq!(plain.0, (n * m) as u64);
        // A corner turns half of the wall: bars across it still cross as often.
        let turned = counted(Some(turn as f64), false);
        prop_assert_eq!((plain.0, plain.1, plain.2), (turned.0, turned.1, turned.2));
        prop_assert_eq!(turned, counted(Some(turn as f64), false));
        prop_assert!(plain.2 == Length::INCH * 12 * plain.1 as i64);
    }
}

#[test]
fn what_nothing_holds_is_named() {
    // Uprights with their middle line 2 1/2 in out; long bars against them, or 3 1/2 in further out. Chairs stand under the lowest
    // row alone: with one row they are enough.
    let unheld = |rows: &str, offset: &str, base: &str| {
        let job = fine(&format!(
            "wall old {{ leg a 10'; thick 10\"; height -12\" to 40\" }}
section s {{ along old.a; thick 8\"; height 0 to 20\"; base {base} }}
bars ups {{ size #4; along s; space at most 12\"; inset 4\"; from offset 2 1/2\", height 3 1/2\"; legs up 14\" }}
bars rails {{ size #4; along s; rows height {rows}; offset {offset} }}
pour p {{ fill s; mix bag-80-lb }}"
        ));
        job.works
            .tying
            .unheld
            .iter()
            .map(|unheld| {
                (job.job.name(unheld.bars).to_owned(), unheld.levels.iter().map(|level| level.inches()).collect())
            })
            .collect::<Vec<(String, Vec<f64>)>>()
    };
    assert!(unheld("5\", 15\"", "3\"", "soil").is_empty());
    let rails = |levels: &[f64]| vec![("rails".to_owned(), levels.to_vec())];
    // Nothing goes past the uprights either, and they stand on no chair.
    let ups = || ("ups".to_owned(), Vec::new());
    assert_eq!(unheld("5\", 15\"", "6\"", "soil"), [vec![ups()], rails(&[15.0])].concat());
    assert_eq!(unheld("5\"", "6\"", "soil"), [ups()]);
    assert_eq!(unheld("5\"", "6\"", "form"), [vec![ups()], rails(&[])].concat());
}

#[test]
fn what_holds_uprights_is_told() {
    // Uprights 2 1/2 in out and nothing else; with starters a bar's width beside them; with a rail against them on one leg of two.
    let job = |more: &str| {
        fine(&format!(
            "wall old {{ leg a 10'; corner outside; leg b 8'; thick 10\"; height -12\" to 40\" }}
section s {{ along old.a 0 to old.b 8'; thick 8\"; height 0 to 20\"; base soil }}
bars ups {{ size #4; along s; space at most 12\"; inset 4\", at corners 12\"; from offset 2 1/2\", height 3 1/2\"; legs up 14\" }}
{more}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let held = |job: &Compiled| -> Vec<(String, Vec<String>)> {
        let name = |id| job.job.name(id).to_owned();
        let by = |(bars, to): &(_, Vec<_>)| (name(*bars), to.iter().map(|to| name(*to)).collect());
        job.works.tying.tied_to.iter().map(by).collect()
    };
    let alone = job("");
    assert!(held(&alone).is_empty());
    assert_eq!(alone.works.tying.unheld.len(), 1);
    let mut order = Vec::new();
    print::markdown(&reports::order(&alone), &mut order).unwrap();
    let order = String::from_utf8(order).unwrap();
    let chapter = &order[order.find("### Tying").unwrap()..];
    assert!(
        chapter.contains("**Held by nothing: ups.**") && chapter.contains("tied to a board across the forms"),
        "{chapter}"
    );
    let starters = job(
        "bars starters { size #4; along s; space at most 12\"; inset 4 1/2\", at corners 12 1/2\"; from offset 2 1/2\", height 3 1/2\"; legs up 12\" }",
    );
    assert_eq!(held(&starters)[0], ("ups".to_owned(), vec!["starters".to_owned()]));
    assert!(starters.works.tying.unheld.is_empty(), "{:?}", starters.works.tying.unheld);
    let half = job("bars rail { size #4; along old.a 0 to 9'; rows height 8\"; offset 3\" }");
    assert_eq!(held(&half), [("ups".to_owned(), vec!["rail".to_owned()])]);
    let legs: Vec<&str> = half
        .works
        .tying
        .unheld
        .iter()
        .flat_map(|one| &one.legs)
        .map(|leg| half.works.standing.leg_name(*leg))
        .collect();
    assert_eq!(legs, ["b"]);
}

#[test]
fn what_is_placed_after_the_pour_holds_no_starter() {
    let job = |order: &str| {
        fine(&format!(
            "job \"tie\" {{ show metric }}
line edge {{ leg front 2400 mm }}
ground {{ inside 0 }}
section pad {{ along edge.front; thick 1200 mm; height -200 mm to 50 mm; base gravel; side earth }}
section stem {{ along edge.front; offset 500 mm to 700 mm; height 50 mm to 550 mm }}
bars starters {{ size 12mm; along pad; space at most 250 mm; inset 100 mm; from offset 350 mm, height -95 mm; legs out 250 mm, up 560 mm }}
bars stem-long {{ size 10mm; along stem; rows height 350 mm; offset 605 mm; ends 60 mm }}
mix sack {{ bag 25 kg, yields 12 L }}
pour p1 {{ fill pad; mix sack }}
pour p2 {{ fill stem; mix sack }}
prepare seam {{ of stem; meets pad; roughen 6 mm; wet 12 h }}
{order}"
        ))
    };
    let rest = "step joint \"joint\" { work prepare seam; after cast-1 }\nstep cast-2 \"cast-2\" { work pour p2; after joint, cage-2 }";
    let name = |job: &Compiled, id| job.job.name(id).to_owned();
    let late = job(&format!(
        "step cage-1 \"a\" {{ work place starters }}
step cast-1 \"b\" {{ work pour p1; after cage-1 }}
step cage-2 \"c\" {{ work place stem-long; after cast-1 }}
{rest}"
    ));
    assert_eq!(late.works.tying.tied_to, []);
    let unheld: Vec<String> = late.works.tying.unheld.iter().map(|one| name(&late, one.bars)).collect();
    assert_eq!(unheld, ["starters"]);
    assert!(late.works.tying.unheld[0].upright);
    // Without steps nothing is said of when they are there.
    let unsaid = job("").works.tying;
    assert_eq!(unsaid.unheld, []);
    assert_eq!(unsaid.tied_to.len(), 1);
}
