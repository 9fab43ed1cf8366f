//! Pours minute by minute, through the language.

use batterboard::{
    placing::Placing,
    pouring::Spot,
    reports::{self, print},
    units::Volume,
};
use proptest::prelude::*;

use super::{compiled, fine, found};

/// A stepped wall round a corner, with these words in its pour and weather.
fn wall(weather: &str, pour: &str) -> String {
    format!(
        "job \"Ferry steps\" {{ show feet; weather {weather} }}
wall old {{ leg a 10'; corner outside; leg b 3'; thick 8\"; height -12\" to 26\" }}
section low {{ along old.a 0 to 6'; thick 8\"; height -4\" to 12\" }}
section high {{ along old.a 6' to old.b 3'; thick 8\"; height -4\" to 20\" }}
mix m {{ bag 80 lb, yields 0.60 ft3; knits 60 min at 70 degF }}
pour p {{ fill low, high; mix m; waste 8%; mixer 2 bags, takes 5 min; carry 3 gal, takes 2 min; {pour} }}"
    )
}

fn planned(text: &str) -> Placing {
    fine(text).works.placings[0].clone()
}

/// Where the batches of a layer end, as the pour sheet says it.
fn ends(along: &str, thick: &str) -> Vec<String> {
    let job = fine(&format!(
        "job \"Thin leg, thick leg\" {{ show metric }}
wall old {{ leg north 3 m; corner {along}; leg east 3 m; thick 300 mm; height -300 mm to 1900 mm; of concrete }}
section low {{ along old.north 1000 mm to old.east 2000 mm; thick {thick}; height 0 to 200 mm }}
mix sack {{ bag 25 kg, yields 12 L; knits 90 min at 20 degC }}
pour a {{ fill low; mix sack; mixer 1 bag, takes 5 min; crew 2; waste 0%; lift 200 mm }}"
    ));
    let mut text = Vec::new();
    print::markdown(&reports::order(&job), &mut text).unwrap();
    let text = String::from_utf8(text).unwrap();
    let cells = text.lines().filter_map(|line| line.split('|').map(str::trim).find(|cell| cell.contains("low to ")));
    cells.map(|cell| cell.rsplit("low to ").next().unwrap().to_owned()).collect()
}

#[test]
fn batches_end_where_their_concrete_ends() {
    // 12 L in a layer of 200 mm are 60,000 mm2 of plan: 600 mm of 100 mm, 200 mm of 300 mm.
    let outside = ends("outside", "100 mm, on old.east 300 mm");
    assert_eq!(outside[..3], ["north 1600 mm", "north 2200 mm", "north 2800 mm"]);
    // 200 mm are left, then 300 by 100 mm of corner: 10,000 mm2 of the fourth batch go round it, 33 mm; and 200 mm with every other.
    assert_eq!(outside[3..6], ["east 30 mm", "east 230 mm", "east 430 mm"]);
    assert_eq!(outside.last().unwrap(), "its end");
    // In an inside corner the first leg has all of what both share: the other begins 100 mm from its start.
    let inside = ends("inside", "100 mm, on old.east 300 mm");
    assert_eq!(inside[..5], ["north 1600 mm", "north 2200 mm", "north 2800 mm", "east 230 mm", "east 430 mm"]);
}

#[test]
fn a_pour_by_hand() {
    // By hand: a batch of two bags is 1.2 ft3, 8.98 gal, 3 trips: 5 + 3 · 2 + 3 = 14 min. 15.5556 · 1.08 / 1.2 = 14 batches.
    // A batch that goes to two places is carried in loads of their own: 4 trips, 16 min. Layers of 8 in hold 5.926 ft3, 6.4
    // with waste: batches 6 and 11 lie in two layers, 3 and 8 in two sections.
    let placing = planned(&wall("52 degF to 66 degF", "lift 8\""));
    assert_eq!(placing.went.batches.len(), 14);
    let minutes: Vec<u64> = placing.went.batches.iter().map(|batch| (batch.placed_to - batch.begun) / 60).collect();
    let two: Vec<u64> = (1..=14).map(|number| if [3, 6, 8, 11].contains(&number) { 16 } else { 14 }).collect();
    assert_eq!(minutes, two);
    assert_eq!(placing.went.lasts, 60 * two.iter().sum::<u64>());
    // The trips that are told are those that are walked: 14 times 3, and one more for each of the four.
    let job = fine(&wall("52 degF to 66 degF", "lift 8\""));
    let mixing = &job.works.mixings[0];
    assert_eq!(mixing.trips, Some(46));
    let told: Vec<u64> = mixing.each_batch().filter_map(|batch| mixing.trips_of(batch)).collect();
    assert_eq!(told, two.iter().map(|minutes| (minutes - 8) / 2).collect::<Vec<_>>());
    assert_eq!(placing.sites.iter().map(Vec::len).collect::<Vec<_>>(), [2, 2, 1]);
    // The first layer of the low part is begun at 5 min and covered when batch 6 gets to its second place.
    let spot = Spot { lift: 0, place: 0 };
    assert_eq!(placing.went.laid[0][0].from, 5 * 60);
    assert_eq!(placing.went.lies(spot), placing.went.longest.map(|wait| wait.lasts));
    assert!(placing.cold().is_some(), "77 min, and 68 are left at 66 degF");
    // 60 min · exp(5000 (1 / 292.04 - 1 / 294.26)) = 68.3 min.
    assert!((placing.knits.time.minutes() - 68.27).abs() < 0.05, "{}", placing.knits.time.minutes());
}

#[test]
fn concrete_that_goes_in_warmer_than_the_air_knits_no_longer_than_that() {
    let text = wall("40 degF to 50 degF", "lift 8\"");
    let knits = |cure: &str| planned(&format!("{text}\ncure k {{ of p; {cure} }}")).knits;
    let (air, warm, cold) = (knits("wet daily for 7 days"), knits("fresh 70 degF"), knits("fresh 45 degF"));
    assert_eq!(warm.at.deg_f().round(), 70.0);
    assert_eq!(warm.time.minutes(), 60.0, "as the mix says");
    assert!(warm.time.seconds() < air.time.seconds());
    // Cold concrete is warmed by the air: what is sure is the shorter time.
    assert_eq!(cold.time.seconds(), air.time.seconds());
}

#[test]
fn what_would_do_does() {
    let text = wall("52 degF to 66 degF", "lift 8\"; lid low");
    let placing = planned(&text);
    assert_eq!(found(&text), ["cold-joint"]);
    let people = placing.would_do.people.unwrap();
    let lift = placing.would_do.lift.unwrap();
    assert!(planned(&text.replace("lid low", &format!("lid low; crew {people}"))).cold().is_none());
    let lower = format!("lift {}\"", lift.inches());
    assert!(planned(&text.replace("lift 8\"", &lower)).cold().is_none(), "{lower}");
    assert!(planned(&text.replace("lift 8\"", "lift 7\"")).cold().is_some() || lift.inches() >= 7.0);
}

#[test]
fn an_open_step_waits_or_gets_a_lid() {
    let text = wall("50 degF to 60 degF", "lift 8\"; crew 2");
    assert_eq!(found(&text), ["step-boils-up"]);
    let placing = planned(&text);
    let wait = placing.boils().unwrap();
    assert_eq!((wait.lying, wait.comes), (Spot { lift: 1, place: 0 }, Spot { lift: 2, place: 0 }));
    assert!(found(&text.replace("crew 2", "crew 2; lid low")).is_empty());
    // What the finding says: so long a rest, from when it says.
    let missing = placing.stiffens.time.seconds() - wait.lasts as f64;
    let minutes = (missing / 300.0).ceil() * 5.0;
    let before = placing.went.batches.iter().find(|batch| batch.portions.iter().any(|part| part.spot == wait.comes));
    let rest = format!("crew 2; break {minutes} min, after {} s", before.unwrap().begun);
    let rested = planned(&text.replace("crew 2", &rest));
    assert!(rested.boils().is_none(), "{rest}: {:?}", rested.went.shortest_above_open);
}

#[test]
fn a_footing_under_a_wall_boils_up_too() {
    let text = "job \"Ferry steps\" { show feet; weather 60 degF to 70 degF }
wall old { leg a 10'; thick 8\"; height -12\" to 26\" }
section foot { along old.a; thick 24\"; height -8\" to 0 }
section stem { along old.a; thick 8\"; height 0 to 16\" }
pour p { fill stem, foot; mix bag-80-lb; mixer 2 bags, takes 2 min; carry 3 gal, takes 1 min; crew 4; lift 8\" }";
    let placing = planned(text);
    // From below, whatever order they are named in.
    assert_eq!(placing.sites[0].len(), 1);
    let shortest = placing.went.shortest_above_open.unwrap();
    assert_eq!((shortest.lying, shortest.comes), (Spot { lift: 0, place: 0 }, Spot { lift: 1, place: 0 }));
    assert!(found(text).contains(&"step-boils-up"));
}

#[test]
fn sections_that_do_not_touch_do_not_wait_for_each_other() {
    let text = "job \"Ferry steps\" { show feet; weather 60 degF to 70 degF }
wall old { leg a 20'; thick 8\"; height -12\" to 40\" }
section one { along old.a 0 to 3'; thick 8\"; height 0 to 8\" }
section two { along old.a 17' to 20'; thick 8\"; height 0 to 24\" }
pour p { fill one, two; mix bag-80-lb; mixer 2 bags, takes 5 min; carry 3 gal, takes 2 min; lift 8\" }";
    let placing = planned(text);
    assert!(placing.went.shortest_above_open.is_none());
    assert_eq!(placing.went.lies(Spot { lift: 0, place: 0 }), None, "nothing comes on it");
}

#[test]
fn what_fills_broken_places_is_placed_too() {
    let text = wall("60 degF to 70 degF", "lift 6\"; lid low")
        + "\nspall pit { on old.a 2' to 3'; height 0 to 6\"; deep 1\"; with p }";
    let job = fine(&text);
    let placing = &job.works.placings[0];
    assert_eq!(placing.went.solid, job.works.solids.total + job.works.patches[0].volume);
}

#[test]
fn volumes_are_conserved_in_every_example() {
    let mut planned = 0;
    for folder in std::fs::read_dir("examples").unwrap() {
        let folder = folder.unwrap().path();
        let name = folder.file_name().unwrap().to_str().unwrap().to_owned();
        let files = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
        let read =
            files.map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), std::fs::read(&path).unwrap()));
        let shelf = batterboard::source::Shelf::new(read);
        let job =
            batterboard::compile::compile(&shelf, &format!("{name}.job"), &batterboard::language::Limits::default());
        let works = &job.unwrap().works;
        for placing in &works.placings {
            conserved(
                placing,
                works.solids.pours.iter().find(|solid| solid.pour == placing.pour).unwrap().volume
                    + works
                        .patches
                        .iter()
                        .filter(|patch| patch.pour == Some(placing.pour))
                        .map(|patch| patch.volume)
                        .sum(),
            );
            planned += 1;
        }
    }
    assert!(planned >= 1);
}

/// Batches add up to the solid and its waste, to the last cubic nanometre, and so do the places.
#[track_caller]
fn conserved(placing: &Placing, solid: Volume) {
    let went = &placing.went;
    assert_eq!(went.solid, solid);
    let batches: Volume = went.batches.iter().map(|batch| batch.volume).sum();
    let portions: Volume = went.batches.iter().flat_map(|batch| &batch.portions).map(|part| part.volume).sum();
    assert_eq!(batches, went.solid + went.waste);
    assert_eq!(portions, batches);
    let stated = went.waste.cubic_metres() / went.solid.cubic_metres();
    assert!((stated - placing.plan.waste.fraction()).abs() < 2e-6, "{stated}");
}

#[test]
fn figures_that_are_no_plan_are_told() {
    for (clauses, rule) in [
        ("crew 0", "value-range"),
        ("mixer 2 bags, takes 0 min", "value-range"),
        ("lift 40\"", "lift-high"),
        ("mixer 3 bags, takes 5 min, holds 1.5 ft3", "mixer-small"),
        ("mixer 1 bag, takes 5 min, holds 1/4 ft3", "mixer-small"),
        ("mixer 2 bags, takes 5 min; lift 0.01\"", "pour-unplanned"),
    ] {
        let text = format!(
            "line edge {{ leg a 10' }}\nsection s {{ along edge; thick 8\"; height 0 to 24\" }}\npour p {{ fill s; mix bag-80-lb; {clauses} }}"
        );
        let all = found(&text);
        assert!(all.contains(&rule) || (rule == "value-range" && !all.is_empty()), "{clauses}: {all:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// More people, a quicker mixer, a shorter way never make a pour longer or a wait longer; warmer never knits longer.
    #[test]
    fn nothing_moves_the_wrong_way(
        low in 4_u32..30, high in 4_u32..30, turn in 20_u32..160, lift in 4_u32..12, bags in 1_u32..5,
        mixes in 1_u32..15, trip in 1_u32..6, people in 1_u32..4, cold in 35_u32..60, range in 0_u32..30,
    ) {
        let text = |mixes: u32, trip: u32, people: u32, shift: u32| format!(
            "job \"Ferry steps\" {{ show feet; weather {} degF to {} degF }}
wall old {{ leg a 10'; corner outside, turning {turn} deg; leg b 6'; thick 8\"; height -12\" to 40\" }}
section low {{ along old.a 0 to 6'; thick 8\"; height 0 to {low}\" }}
section high {{ along old.a 6' to old.b 3'; thick 8\"; height 0 to {high}\" }}
section off {{ along old.b 3' to 6'; thick 6\"; height 2\" to {}\" }}
pour p {{ fill low, high, off; mix bag-80-lb; waste 7%; mixer {bags} bags, takes {mixes} min; carry 3 gal, takes {trip} min; crew {people}; lift {lift}\" }}",
            cold + shift, cold + range + shift, high + 3
        );
        let job = compiled(&text(mixes, trip, people, 0));
        let base = job.works.placings[0].clone();
        conserved(&base, job.works.solids.pours[0].volume);
        let wait = |placing: &Placing| placing.went.longest.map_or(0, |wait| wait.lasts);
        for (mixes, trip, people) in [(mixes + 3, trip, people), (mixes, trip + 1, people)] {
            let slower = compiled(&text(mixes, trip, people, 0)).works.placings[0].clone();
            prop_assert!(slower.went.lasts >= base.went.lasts);
            // From two people on the mixer works ahead: what is placed first may be placed later than its neighbours.
            if people == 1 {
                prop_assert!(wait(&slower) >= wait(&base));
                prop_assert!(slower.rise() <= base.rise());
            }
        }
        let more = compiled(&text(mixes, trip, people + 1, 0)).works.placings[0].clone();
        prop_assert!(more.went.lasts <= base.went.lasts);
        let warmer = compiled(&text(mixes, trip, people, 10)).works.placings[0].clone();
        prop_assert!(warmer.knits.time.seconds() <= base.knits.time.seconds());
        prop_assert!(warmer.stiffens.time.seconds() <= base.stiffens.time.seconds());
        prop_assert_eq!(warmer.went.lasts, base.went.lasts);
    }
}

#[test]
fn the_ice_house_needs_its_two_pours() {
    let two = std::fs::read_to_string("examples/icehouse/icehouse.job").unwrap();
    assert!(found(&two).is_empty());
    let one: String = two
        .lines()
        // What the joint asks for goes with it.
        .filter(|line| {
            !["pour second", "step cast-far", "prepare end-face", "wait stand", "step joint"]
                .iter()
                .any(|gone| line.starts_with(gone))
        })
        .map(|line| line.replace("fill near;", "fill near, far;") + "\n")
        .collect();
    assert_eq!(found(&one), ["cold-joint"]);
}

#[test]
fn two_times_that_differ_by_seconds_are_not_told_as_equal() {
    let text = wall("52 degF to 70 degF", "lift 8\"");
    let lasts = planned(&text).cold().unwrap().lasts;
    let knits = |seconds: u64| text.replace("knits 60 min", &format!("knits {seconds} s"));
    let says = |text: &str| {
        let job = compiled(text);
        let cold = job.problems.iter().find(|problem| problem.rule.name == "cold-joint");
        cold.map(|cold| cold.says(job.job.system())).unwrap_or_default()
    };
    let near = says(&knits(lasts - 1));
    assert!(near.contains("lies a little more than ") && near.contains("until fresh concrete"), "{near}");
    assert!(!says(&knits(lasts - 600)).contains("a little"), "{}", says(&knits(lasts - 600)));
}

#[test]
fn a_pour_knits_by_the_weather_of_its_day() {
    let steps = "ask lines \"Lines?\" { about lines; answered 2027-04-01 \"no\" }
step cast \"Cast\" { work pour p }";
    let job = |start: &str| {
        let text = wall(&format!("40 degF to 50 degF; weather 60 degF to 80 degF, from 2027-06-01; start {start}"), "");
        planned(&format!("{text}\n{steps}"))
    };
    let (cool, warm) = (job("2027-04-19"), job("2027-05-31"));
    assert_eq!(cool.knits.at.deg_f().round(), 50.0);
    assert_eq!(cool.stiffens.at.deg_f().round(), 40.0);
    assert_eq!(cool.would_do, batterboard::placing::WouldDo::default(), "{:?}", cool.cold());
    // The last day of May is cool yet.
    assert_eq!(warm.knits.at.deg_f().round(), 50.0);
    // Without days it is judged by all of the weather.
    let text = wall("40 degF to 50 degF; weather 60 degF to 80 degF, from 2027-06-01; start 2027-04-19", "");
    assert_eq!(planned(&text).knits.at.deg_f().round(), 80.0);
    assert!(cool.knits.time.seconds() > planned(&text).knits.time.seconds());
    // Poured in June, as recorded.
    let june = planned(&format!("{text}\n{steps}\nrecord 2027-06-03 {{ poured p from 9:00 to 12:00 }}"));
    assert_eq!(june.knits.at.deg_f().round(), 80.0);
}
