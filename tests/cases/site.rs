//! What is done to the old work first: saw cuts, debris, cracks, broken places, props; and what is stopped.

use batterboard::compile::Compiled;

use super::{compiled, fine, found, when};

const WALL: &str = "wall old { leg a 10'; corner outside; leg b 3'; thick 8\"; height -12\" to 26\" }
slab floor { against old; thick 4\"; top 0 }\n";

fn near(value: f64, wanted: f64, by: f64) {
    assert!((value - wanted).abs() <= by, "{value} {wanted}");
}

#[test]
fn a_cut_runs_outside_of_its_corner() {
    // By hand: 10 ft and 3 ft along the face, and twice 10 in round the corner of 90 degrees; two cuts across of 10 in.
    let length = |more: &str| {
        let job = fine(&format!("{WALL}cut edge {{ in floor; along old; out 10\"; deep 4\"{more} }}"));
        let saw = &job.works.saws[0];
        (saw.length.inches(), saw.passes, saw.left.inches())
    };
    // Half the chord of a blade of 14 in at 4 in: sqrt(4 · 10).
    let (all, passes, left) = length("");
    near(all, 120.0 + 36.0 + 20.0, 1e-6);
    assert_eq!(passes, 4);
    near(left, 40_f64.sqrt(), 1e-6);
    near(length("; ends").0, 196.0, 1e-6);
    assert_eq!(length("; blade 16\", pass 1 1/2\"").1, 3);
    let inside = fine(&format!(
        "{}cut edge {{ in floor; along old; out 10\"; deep 4\"; blade 14\", lasts 40' }}",
        WALL.replace("outside", "inside")
    ));
    let saw = &inside.works.saws[0];
    near(saw.length.inches(), 136.0, 1e-6);
    // 136 in, 4 in deep, of blades that last 480 in at 1 in.
    near(saw.blades.unwrap(), 136.0 * 4.0 / 480.0, 1e-9);
}

#[test]
fn a_cut_all_the_way_round_has_four_corners_and_no_end() {
    // 8 ft by 6 ft: 28 ft along the faces and 20 in at each of four corners.
    let job = fine(
        "wall old { leg a 8'; corner outside; leg b 6'; corner outside; leg c 8'; corner outside; leg d 6'; corner outside
thick 8\"; height -12\" to 26\" }
slab floor { against old; thick 4\"; top 0 }\ncut edge { in floor; along old; out 10\"; deep 4\"; ends }",
    );
    near(job.works.saws[0].length.inches(), 336.0 + 80.0, 1e-6);
    assert_eq!(job.works.saws[0].across, 0);
}

#[test]
fn debris_takes_more_room_than_it_had() {
    // 10 ft by 12 in by 4 in is 3.333 ft3, 500 lb at 150 lb/ft3; half as much room more is 5 ft3, 37.4 gal, 13 trips of 3.
    let job = fine(
        "wall old { leg a 10'; thick 8\"; height -12\" to 26\" }
slab floor { against old; thick 4\"; top 0 }
remove strip { in floor; along old; out 12\" }",
    );
    let debris = &job.works.debris[0];
    near(debris.loose.cubic_feet(), 5.0, 1e-9);
    near(debris.weight.lb(), 500.0, 1e-6);
    assert_eq!(debris.trips, 13);
}

#[test]
fn cracks_take_resin_and_ports() {
    // A worked figure: 6 ft by 8 in by 0.020 in is 11.52 in3, half as much again is bought; ports at 8 in over 72 in: 10.
    let job = |crack: &str| -> Compiled {
        fine(&format!(
            "wall old {{ leg a 10'; thick 8\"; height -12\" to 80\" }}\nresin thin {{ cartridge 10 fl-oz }}
crack split {{ on old.a at 5'; height 0 to 72\"; gap 0.02 in; {crack}; fill thin }}
ask cause \"Why?\" {{ about cause }}"
        ))
    };
    let through = job("through");
    let one = &through.works.injections[0];
    near(one.net.cubic_inches(), 11.52, 1e-6);
    near(one.order.cubic_inches(), 17.28, 1e-6);
    assert_eq!(one.ports, 10);
    assert_eq!(through.works.resins[0].cartridges, Some(1));
    near(job("deep 4\"").works.injections[0].net.cubic_inches(), 5.76, 1e-6);
    assert_eq!(job("deep 4\"").works.injections[0].ports, 19);
}

#[test]
fn a_pour_fills_the_broken_places_it_is_written_to_fill() {
    let bags = |with: &str| {
        let job = fine(&format!(
            "wall old {{ leg a 10'; thick 8\"; height -12\" to 26\" }}
section s {{ along old; thick 6\"; height 0 to 12\" }}\npour p {{ fill s; mix bag-80-lb; waste 0% }}
spall bite {{ on old.a 2' to 4'; height 0 to 10\"; deep 2\"; {with} }}"
        ));
        job.works.mixings[0].wanted.cubic_inches()
    };
    // 24 by 10 by 2 in, and a tenth more.
    near(bags("with p") - bags(""), 528.0, 1e-6);
}

#[test]
fn digging_below_the_base_is_stopped() {
    let dig = |from: i64, bottom: i64| {
        found(&format!(
            "wall old {{ leg a 10'; thick 8\"; height -12\" to 26\" }}\nfooting foot {{ under old; thick 8\"; out 4\" }}
section s {{ along old.a; offset {from}\" to {}\"; height {bottom}\" to 0 }}",
            from + 8
        ))
    };
    // The footing's base is at -20 in, its edge 4 in out; 24 in away and 12 in deeper holds in any soil.
    assert_eq!(dig(28, -32), Vec::<&str>::new());
    assert_eq!(dig(28, -33), ["digs-near"]);
    assert_eq!(dig(28, -44), ["digs-near"]);
    assert_eq!(dig(28, -45), ["undermines"]);
    assert_eq!(dig(4, -20), Vec::<&str>::new());
    assert_eq!(dig(4, -21), ["undermines"]);
    // No order of work is printed.
    let job = compiled(
        "wall old { leg a 10'; thick 8\"; height -12\" to 26\" }\nsection s { along old; thick 8\"; height -20\" to 0 }
step dig \"Dig under it\" {}",
    );
    let mut out = Vec::new();
    let paper = batterboard::reports::order(&job);
    batterboard::reports::print::markdown(&paper, &mut out).unwrap();
    let text = String::from_utf8(out).unwrap();
    assert!(text.contains("no order of work") && !text.contains("Dig under it"), "{text}");
}

#[test]
fn props_stand_before_and_stay_until_the_pour() {
    let job = fine(&format!(
        "{WALL}support posts {{ carries \"the beam\"; posts 2 }}\nask lines-there \"Lines?\" {{ about lines; before go }}
remove strip {{ in floor; along old.a; out 10\" }}\nsection s {{ along old.a; thick 8\"; height -4\" to 12\" }}
pour p {{ fill s; mix bag-80-lb }}
step away \"Take the props away\" {{ work strike posts }}\nstep fill \"Pour\" {{ work pour p }}
step go \"Break\" {{ work remove strip }}\nstep prop \"Prop\" {{ work set posts }}"
    ));
    let order: Vec<&str> = job.works.plan.order.iter().map(|id| job.job.name(*id)).collect();
    let place = |name: &str| order.iter().position(|step| *step == name).unwrap();
    assert!(place("prop") < place("go") && place("go") < place("fill") && place("fill") < place("away"), "{order:?}");
}

#[test]
fn props_stay_until_the_concrete_bears_what_they_carried() {
    let job = |head: &str, more: &str| {
        compiled(&format!(
            "job \"Props\" {{ start 2027-05-10{head} }}
wall old {{ leg back 8'; thick 8\"; height -12\" to 6'; of concrete }}
slab floor {{ against old.back; thick 4\"; top 0 }}
remove strip {{ in floor; along old.back; out 8\" }}
section new {{ along old.back; thick 8\"; height -4\" to 12\" }}
support rakers {{ carries \"the foot of the wall\"; posts 2; by \"engineer\" }}
mix bagged {{ bag 60 lb, yields 0.45 ft3; strength 4000 psi }}
pour cast {{ fill new; mix bagged }}
ask lines \"Lines?\" {{ about lines; answered 2027-05-01 \"no\" }}
step prop \"Set the props\" {{ work set rakers; takes 1 h }}
step scan \"Look\" {{ work scan floor; takes 10 min }}
step break \"Break out the strip\" {{ work remove strip; takes 2 h }}
step castit \"Cast\" {{ work pour cast; takes 2 h }}
step unprop \"Take the props away\" {{ work strike rakers; takes 30 min }}{more}"
        ))
    };
    const DAY: i64 = 86_400;
    let gap = |job: &Compiled| when(job, "unprop").0 - when(job, "castit").1;
    // 70% of the strength by ACI 209R is there after 4 · 0.7 / (1 - 0.85 · 0.7) = 6.9 days at its temperature.
    let usual = gap(&job("", ""));
    assert!((6 * DAY..11 * DAY).contains(&usual), "{usual}");
    assert!(gap(&job("; weather 41 degF to 50 degF, humidity 60%, wind 5 mph", "")) > usual);
    assert!(gap(&job("", "\ncure keep { of cast; wet daily for 7 days; load after 21 days }")) >= 21 * DAY);
    let never = job("; weather -40 degF to -30 degF, humidity 60%, wind 5 mph", "");
    let days = never.works.days.as_ref().unwrap();
    assert!(days.done.iter().all(|dated| never.job.name(dated.node) != "unprop"), "no day is named for it");
    let told = never.problems.iter().find(|problem| problem.rule.name == "load-soon").unwrap();
    let says = told.says(batterboard::units::System::Feet);
    assert!(says.contains("`unprop` takes `rakers` away"), "{says}");
}
