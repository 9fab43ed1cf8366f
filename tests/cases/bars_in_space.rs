//! Where bars lie in space: their centre lines against their shapes, and against places worked out by hand.

use std::{fs, path::Path};

use batterboard::{
    compile::{Compiled, compile, compile_text},
    geometry::Walk,
    language::Limits,
    source::Shelf,
    steel::lines,
};

/// The centre lines of the bars of one block.
fn walks(job: &Compiled, name: &str) -> Vec<Walk> {
    let made = job.works.bars.iter().find(|made| job.job.name(made.id) == name).expect("bars of this name");
    let set = job.job.bars_of(made.id).and_then(|bars| job.works.sets.get(&bars.say.holes?.value.0));
    made.groups.iter().flat_map(|group| lines(made, group, set, &job.works.standing)).map(|line| line.walk).collect()
}

/// In inches: along the first leg, out of its face, up. (In plan a first leg runs along x and its face looks along -y.)
fn inches(walk: &Walk) -> Vec<[f64; 3]> {
    let round = |nm: f64| (nm / 25_400.0).round() / 1000.0;
    walk.vertices.iter().map(|spot| [round(spot.plan.x), -round(spot.plan.y), round(spot.height)]).collect()
}

fn boathouse() -> Compiled {
    let files = batterboard::source::Shelf::new(["boathouse.job", "shop.job"].map(|name| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/boathouse").join(name);
        (name.to_owned(), fs::read_to_string(path).expect("an example"))
    }));
    compile(&files, "boathouse.job", &Limits::default()).expect("readable")
}

/// All examples, and the jobs of the reference.
fn examples() -> Vec<(String, Compiled)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut out = Vec::new();
    for example in fs::read_dir(folder).expect("examples") {
        let folder = example.expect("an example").path();
        let name = folder.file_name().and_then(|name| name.to_str()).expect("a name").to_owned();
        let files = fs::read_dir(&folder).expect("a folder").map(|file| file.expect("a file").path()).map(|path| {
            let file = path.file_name().and_then(|name| name.to_str()).expect("a name").to_owned();
            (file, fs::read_to_string(path).unwrap_or_default())
        });
        let job = compile(&Shelf::new(files), &format!("{name}.job"), &Limits::default()).expect("readable");
        out.push((name, job));
    }
    for (name, text) in [("base", batterboard::schema::BASE), ("unusual", batterboard::schema::UNUSUAL)] {
        out.push((name.to_owned(), compile_text(&Shelf::default(), "job.job", text, &Limits::default())));
    }
    out
}

#[test]
fn the_centre_line_of_every_bar_is_as_long_as_its_cut() {
    let mut count = 0;
    for (name, job) in examples() {
        let before = count;
        for made in &job.works.bars {
            let set = job.job.bars_of(made.id).and_then(|bars| job.works.sets.get(&bars.say.holes?.value.0));
            for group in &made.groups {
                let lines: Vec<_> = lines(made, group, set, &job.works.standing).collect();
                assert_eq!(lines.len() as u64, group.count);
                for line in lines {
                    let cut = line.walk.cut_length().expect("bendable");
                    assert!((cut - group.shape.cut).nm().abs() <= 4, "{name}: {cut:?} {:?}", group.shape.cut);
                    count += 1;
                }
            }
        }
        assert_eq!(count - before, job.works.bars.iter().map(|made| made.count).sum::<u64>(), "{name}");
    }
    assert!(count > 100, "{count}");
}

#[test]
fn bars_lie_where_they_are_written() {
    let job = boathouse();
    // A dowel: 6 in into the wall, 5 1/2 in out of it, first row 4 in up.
    assert_eq!(inches(&walks(&job, "pegs")[0]), [[5.0, -6.0, 4.0], [5.0, 5.5, 4.0]]);
    // A bent bar: its end at its offset and level; the corner of the centre line half a diameter inside the out-to-out
    // corner, so that the far end is 8 - 1/4 in from it.
    let rises = inches(&walks(&job, "rises")[0]);
    assert_eq!(rises, [[76.0, 4.0, -0.75], [76.0, 4.0, 17.0], [83.75, 4.0, 17.0]]);
    // A long bar round the outside corner: past the leg's end by its offset, 2 in short of both ends.
    let crown = inches(&walks(&job, "crown")[0]);
    assert_eq!(crown, [[74.0, 4.5, 15.5], [124.5, 4.5, 15.5], [124.5, -34.0, 15.5]]);
}

#[test]
fn a_bar_in_a_corner_turns_with_its_wall() {
    let job = compile_text(
        &Shelf::default(),
        "nook.job",
        r#"wall nook { leg a 6'; corner inside, turning 45 deg; leg b 5'; thick 8"; height -12" to 30"; of concrete }
section whole { along nook; thick 8"; height 0 to 20" }
bars long { size #4; along whole; rows height 6"; offset 4"; ends 0 }
"#,
        &Limits::default(),
    );
    let walk = &walks(&job, "long")[0];
    let turn: Vec<f64> = walk.turns().collect();
    assert!((turn[0] - 45.0).abs() < 1e-9);
    // Inside a corner the bar is shorter than the face by its offset times tan(45 / 2) on each leg.
    assert!((inches(walk)[1][0] - (72.0 - 4.0 * 22.5_f64.to_radians().tan())).abs() < 0.001);
}

#[test]
fn a_dowel_in_the_plane_of_an_end_comes_out_there() {
    let holes = |inset: &str| {
        let text = format!(
            "wall old {{ leg a 12'; thick 12\"; height -24\" to 60\"; of concrete }}
section low {{ along old.a 2' to 10'; thick 8\"; height 0 to 30\" }}
holes h {{ into old; along low; rows height 15\"; space every 12\"; {inset}; bore 5/8\" by 6\"; fill resin }}
resin resin {{ cartridge 22 fl-oz }}
bars pegs {{ size #4; in h; out 5\" }}
pour p {{ fill low; mix bag-80-lb }}"
        );
        let job = compile_text(&Shelf::default(), "end.job", &text, &Limits::default());
        job.problems.iter().map(|problem| problem.rule.name).filter(|name| *name == "bar-outside").count()
    };
    // Of the first and the last half lies in the air beside the section.
    assert_eq!(holes("inset 0"), 1);
    assert_eq!(holes("inset 3\""), 0);
}
