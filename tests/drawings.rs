//! Drawings: read back from their SVG and held against the works, and their letters against the font itself.

use std::{
    collections::BTreeSet,
    fs,
    path::Path,
    process::{Command, Output},
};

use batterboard::{
    buying::{Line, Sundry},
    compile::{Compiled, compile},
    drawings::{
        self, Drawing, Flags, View,
        labels::Room,
        lettering,
        scene::{Anchor, Ink, Spot, Text},
    },
    formwork::{Hold, Use},
    geometry::Point,
    holes::{Axis, Level},
    language::Limits,
    placing,
    reports::{flags, order_page, print::Live},
    schema::Pack,
    source::Shelf,
    steel::{Place, lines},
    units::{Length, Volume, show},
};
use roxmltree::{Document, Node};
use ttf_parser::{Face, GlyphId};

/// Every example: its folder, or a file beside the one that has the folder's name.
const EXAMPLES: [&str; 11] = [
    "boathouse",
    "boathouse/as-done",
    "cellar",
    "dairy",
    "dairy/smithy",
    "dairy/wheel-house",
    "gate",
    "icehouse",
    "pad",
    "pier",
    "sluice",
];

fn example(name: &str) -> Compiled {
    let (name, file) = name.split_once('/').unwrap_or((name, name));
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let jobs = files.filter(|path| path.extension().is_some_and(|ending| ending == "job"));
    let read = |path: std::path::PathBuf| {
        (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read_to_string(&path).unwrap())
    };
    compile(&Shelf::new(jobs.map(read).collect::<Vec<_>>()), &format!("{file}.job"), &Limits::default()).unwrap()
}

/// No job of the examples is left out of these tests; what has no `job` block is a shop others include.
#[test]
fn every_example_is_among_those_drawn() {
    let mut jobs: Vec<String> = Vec::new();
    for folder in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")).unwrap() {
        let folder = folder.unwrap();
        let name = folder.file_name().into_string().unwrap();
        for file in fs::read_dir(folder.path()).unwrap().map(|file| file.unwrap().path()) {
            let stem = file.file_stem().unwrap().to_str().unwrap();
            let job = if stem == name { name.clone() } else { format!("{name}/{stem}") };
            if file.extension().is_some_and(|ending| ending == "job") && example(&job).job.head.is_some() {
                jobs.push(job);
            }
        }
    }
    jobs.sort();
    assert_eq!(jobs, EXAMPLES);
}

fn written(text: &str) -> Compiled {
    let files = vec![("a.job".to_owned(), text.to_owned())];
    compile(&Shelf::new(files), "a.job", &Limits::default()).unwrap()
}

fn all(compiled: &Compiled) -> Vec<Drawing> {
    drawings::all(&compiled.job, &compiled.works, &flags(compiled), &[])
}

/// Every drawing of every example, with its SVG.
fn each(mut look: impl FnMut(&str, &Compiled, &Drawing, &Document)) {
    let mut seen = 0;
    for name in EXAMPLES {
        let compiled = example(name);
        for drawing in all(&compiled) {
            let svg = drawings::svg(&drawing, None);
            let document = Document::parse(&svg).unwrap_or_else(|error| panic!("{name} {}: {error}", drawing.id));
            look(name, &compiled, &drawing, &document);
            seen += 1;
        }
    }
    assert!(seen > 50, "{seen}");
}

fn number(node: Node, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn texts<'d>(document: &'d Document) -> impl Iterator<Item = Node<'d, 'd>> {
    document.descendants().filter(|node| node.has_tag_name("text"))
}

fn says(node: Node) -> String {
    node.text().unwrap_or("").to_owned()
}

fn face(bold: bool) -> Face<'static> {
    let bytes = if bold { dejavu::sans::bold() } else { dejavu::sans::regular() };
    Face::parse(bytes, 0).unwrap()
}

/// The room a text takes with the outlines of its letters as the font has them.
fn room(node: Node) -> Room {
    let classes: Vec<&str> = node.attribute("class").unwrap_or("").split(' ').collect();
    let face = face(classes.contains(&"b"));
    let (size, units) = (number(node, "font-size"), f64::from(face.units_per_em()));
    let (mut on, mut top, mut foot) = (0.0, 0.0_f64, 0.0_f64);
    for letter in says(node).chars() {
        let glyph = face.glyph_index(letter).unwrap_or(GlyphId(0));
        if let Some(outline) = face.glyph_bounding_box(glyph) {
            top = top.max(f64::from(outline.y_max) / units * size);
            foot = foot.min(f64::from(outline.y_min) / units * size);
        }
        on += f64::from(face.glyph_hor_advance(glyph).unwrap()) / units * size;
    }
    let from = if classes.contains(&"m") {
        -on / 2.0
    } else if classes.contains(&"e") {
        -on
    } else {
        0.0
    };
    let at = Spot::new(number(node, "x"), number(node, "y"));
    let angle = node
        .attribute("transform")
        .map_or(0.0, |turn| turn.trim_start_matches("rotate(").split(' ').next().unwrap().parse::<f64>().unwrap());
    let (sin, cos) = angle.to_radians().sin_cos();
    let corner = |along: f64, down: f64| at.moved((cos, sin), along, down);
    Room([corner(from, -top), corner(from + on, -top), corner(from + on, -foot), corner(from, -foot)])
}

#[test]
fn every_view_of_every_example_is_well_formed_and_has_words() {
    let mut views = BTreeSet::new();
    each(|name, _, drawing, document| {
        let root = document.root_element();
        assert!(root.has_tag_name("svg"), "{name} {}", drawing.id);
        assert_eq!(root.attribute("id"), Some(drawing.id.as_str()));
        for tag in ["title", "desc"] {
            let words = root.children().find(|node| node.has_tag_name(tag)).and_then(|node| node.text());
            assert!(words.is_some_and(|words| words.len() > 3), "{name} {} has no {tag}", drawing.id);
        }
        assert!(!document.descendants().any(|node| node.has_tag_name("script")));
        views.insert(drawing.view);
    });
    assert_eq!(views.len(), View::ALL.len(), "{views:?}");
}

#[test]
fn the_same_job_gives_the_same_bytes_and_every_id_once_on_a_page() {
    for name in EXAMPLES {
        let svgs = |compiled: &Compiled| -> Vec<String> {
            all(compiled).iter().map(|drawing| drawings::svg(drawing, Some(&BTreeSet::new()))).collect()
        };
        let (once, twice) = (svgs(&example(name)), svgs(&example(name)));
        assert_eq!(once, twice);
        let mut ids = BTreeSet::new();
        for svg in &once {
            assert!(!svg.contains("<style"), "the page holds the style of embedded drawings");
            let document = Document::parse(svg).unwrap();
            for id in document.descendants().filter_map(|node| node.attribute("id")) {
                assert!(ids.insert(id.to_owned()), "{name}: `{id}` twice");
            }
        }
        let compiled = example(name);
        for set in compiled.works.sets.values() {
            for hole in set.each() {
                let id = format!("hole-{}-{}", compiled.job.name(set.id), hole.number);
                assert!(ids.contains(&id), "{name}: nothing to link to for {id}");
            }
        }
    }
}

fn page(compiled: &Compiled) -> String {
    let mut out = Vec::new();
    order_page(compiled, Live::No, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// The values of an attribute in a page, in order.
fn values<'p>(page: &'p str, attribute: &str) -> Vec<&'p str> {
    let begin = format!(" {attribute}=\"");
    page.split(&begin).skip(1).map(|rest| rest.split('"').next().unwrap()).collect()
}

#[test]
fn every_link_of_a_page_leads_somewhere_and_back() {
    let mut back = 0;
    for name in EXAMPLES {
        let compiled = example(name);
        let page = page(&compiled);
        let all = values(&page, "id");
        let ids: BTreeSet<&str> = all.iter().copied().collect();
        assert_eq!(ids.len(), all.len(), "{name}: an id twice");
        let leads: BTreeSet<&str> = values(&page, "href").into_iter().map(|to| to.strip_prefix('#').unwrap()).collect();
        for to in &leads {
            assert!(ids.contains(to), "{name}: nothing is called {to}");
        }
        let mut drawn: Vec<String> = Vec::new();
        for set in compiled.works.sets.values() {
            drawn.extend(set.each().map(|hole| format!("hole-{}-{}", compiled.job.name(set.id), hole.number)));
        }
        let groups = compiled.works.bars.iter().flat_map(|made| &made.groups);
        drawn.extend(groups.map(|group| format!("mark-{}", group.mark)));
        for placing in &compiled.works.placings {
            let pour = compiled.job.name(placing.pour);
            drawn.extend((1..=placing.sites.len()).map(|layer| format!("layer-{pour}-{layer}")));
        }
        for id in drawn {
            assert!(leads.contains(id.as_str()), "{name}: no line of a table leads to {id}");
            assert!(leads.contains(format!("line-{id}").as_str()), "{name}: {id} leads to no line");
            back += 1;
        }
    }
    assert!(back > 150, "{back}");
}

/// The same with findings of every rule on the page: each number once, and as many as the work order shows.
#[test]
fn pages_of_all_mistakes_lead_somewhere() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes");
    let mut flags = 0;
    for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file()) {
        let Ok(text) = fs::read_to_string(&path) else { continue };
        let page = page(&written(&text));
        let all = values(&page, "id");
        let ids: BTreeSet<&str> = all.iter().copied().collect();
        assert_eq!(ids.len(), all.len(), "{}: an id twice", path.display());
        for to in values(&page, "href") {
            assert!(ids.contains(to.strip_prefix('#').unwrap()), "{}: nothing is called {to}", path.display());
        }
        flags += page.matches("class=\"flag\"").count();
    }
    assert!(flags > 40, "{flags}");
}

/// A pour whose batches are not planned: its layers come to the solid, and the drawing says what is not known.
#[test]
fn pours_without_times_are_drawn_layer_by_layer() {
    let mut seen = 0;
    for name in EXAMPLES {
        let compiled = example(name);
        let works = &compiled.works;
        let drawn = all(&compiled);
        for solid in &works.solids.pours {
            let id = format!("pour-{}", compiled.job.name(solid.pour));
            let drawing = drawn.iter().find(|drawing| drawing.id == id).unwrap_or_else(|| panic!("{name}: no {id}"));
            if works.placings.iter().any(|placing| placing.pour == solid.pour) {
                continue;
            }
            let mixing = works.mixings.iter().find(|mixing| mixing.pour == solid.pour);
            let layers = placing::layered(&compiled.job, &works.sections, solid, mixing).unwrap();
            let filled = || layers.iter().flatten();
            assert_eq!(filled().map(|one| one.volume).sum::<Volume>(), solid.volume);
            let bags: f64 = filled().filter_map(|one| one.bags).sum();
            let wanted = mixing.map_or(0.0, |mixing| mixing.wanted.cubic_metres() / mixing.yields.cubic_metres());
            assert!((bags - wanted).abs() < 1e-6, "{name} {id}: {bags} {wanted}");
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let blocks = document.descendants().filter(|node| node.attribute("data-layer").is_some());
            assert!(
                blocks.clone().count() >= layers.len()
                    && blocks.clone().all(|one| one.attribute("data-batches").is_none())
            );
            assert!(texts(&document).map(says).any(|line| line.starts_with("Which batch goes where is not known")));
            seen += 1;
        }
    }
    assert!(seen >= 4, "{seen}");
}

/// The points of all paths of a node, in order.
fn points(node: Node) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    let drawn = |node: &Node| !node.ancestors().any(|node| node.has_tag_name("pattern"));
    for path in node.descendants().filter(|node| node.has_tag_name("path")).filter(drawn) {
        for pair in path.attribute("d").unwrap().split(['M', 'L', 'Z']).filter(|pair| !pair.is_empty()) {
            let (x, y) = pair.split_once(' ').unwrap();
            out.push((x.parse().unwrap(), y.parse().unwrap()));
        }
    }
    for circle in node.descendants().filter(|node| node.has_tag_name("circle")) {
        out.push((number(circle, "cx"), number(circle, "cy")));
    }
    out
}

#[test]
fn holes_and_bars_of_elevations_lie_where_the_works_have_them() {
    for name in EXAMPLES {
        let compiled = example(name);
        let works = &compiled.works;
        let (mut holes_seen, mut bars_seen) = (BTreeSet::new(), BTreeSet::new());
        for drawing in all(&compiled).iter().filter(|drawing| drawing.view == View::Elevation) {
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let root = document.root_element();
            let (per_mm, x0, y0) =
                (number(root, "data-per-mm"), number(root, "data-origin-x"), number(root, "data-origin-y"));
            let tolerance = 1e-6 * drawing.width;
            let place = |station: f64, level: f64| (x0 + station * 1e-6 * per_mm, y0 - level * 1e-6 * per_mm);
            let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() <= tolerance && (a.1 - b.1).abs() <= tolerance;
            let on = works
                .standing
                .chains
                .iter()
                .enumerate()
                .flat_map(|(chain, legs)| (0..legs.legs.len()).map(move |leg| (chain, leg)))
                .map(|(chain, leg)| batterboard::concrete::LegAt { chain: chain as u32, leg: leg as u16 })
                .find(|at| {
                    let wall = works.standing.leg_ref(*at).map(|leg| compiled.job.name(leg.wall)).unwrap();
                    drawing.id == format!("elevation-{wall}-{}", works.standing.leg_name(*at))
                })
                .unwrap();
            let frame = works.standing.chain(on).unwrap().run.frame(usize::from(on.leg)).unwrap();
            for node in document.descendants().filter(|node| node.attribute("data-hole").is_some()) {
                let of = node.attribute("data-hole").unwrap();
                let (set, hole) = works
                    .sets
                    .values()
                    .flat_map(|set| set.each().map(move |hole| (set, hole)))
                    .find(|(set, hole)| format!("{} {}", compiled.job.name(set.id), hole.number) == of)
                    .unwrap();
                // What was recorded as moved is drawn where it is.
                let hole = works.holes_done.find(set.id, hole.number).and_then(|one| one.now).unwrap_or(hole);
                assert_eq!(hole.on, on);
                let level = match (set.axis, hole.level) {
                    (Axis::Face, Level::Height(level)) => level,
                    (Axis::Down(top), _) => top,
                    _ => panic!("{of}"),
                };
                let wanted = place(hole.station.nm() as f64, level.nm() as f64);
                let first = points(node);
                assert!(first.iter().any(|at| near(*at, wanted)), "{name} {of}: {wanted:?} not in {first:?}");
                assert!(holes_seen.insert(of.to_owned()), "{of} in two elevations");
            }
            for node in document.descendants().filter(|node| node.attribute("data-bar").is_some()) {
                let key =
                    ["data-bar", "data-group", "data-number"].map(|name| node.attribute(name).unwrap().to_owned());
                let made = works.bars.iter().find(|made| compiled.job.name(made.id) == key[0]).unwrap();
                let group = &made.groups[key[1].parse::<usize>().unwrap()];
                let set = match group.place {
                    Place::Holes(set) => works.holes_done.set(set).or(works.sets.get(&set)),
                    _ => None,
                };
                let line = lines(made, group, set, &works.standing)
                    .find(|line| line.number.to_string() == key[2])
                    .unwrap_or_else(|| panic!("{key:?}"));
                let drawn = points(node);
                // Every corner of what is drawn lies on the bar as it is bent, and what lies before this leg is drawn.
                let bent: Vec<(f64, f64)> = line
                    .walk
                    .segments(100_000.0)
                    .iter()
                    .flat_map(|segment| [segment.from, segment.to])
                    .map(|[x, y, level]| place(frame.local(Point::new(x, y)).0, level))
                    .collect();
                for at in &drawn {
                    assert!(bent.iter().any(|wanted| near(*at, *wanted)), "{name} {key:?}: {at:?} not in {bent:?}");
                }
                let ends = [bent.first().unwrap(), bent.last().unwrap()];
                let found = ends.iter().filter(|end| drawn.iter().any(|at| near(*at, ***end))).count();
                let whole = !matches!(group.place, Place::Long { .. });
                assert!(found >= usize::from(whole), "{name} {key:?}");
                bars_seen.insert(key);
            }
        }
        let holes: u64 = works.sets.values().map(|set| set.count).sum();
        let empty: u64 = works.sets.keys().map(|set| works.holes_done.lost(*set)).sum();
        let bars: u64 = works.bars.iter().map(|made| made.count).sum::<u64>() - empty;
        assert_eq!((holes_seen.len() as u64, bars_seen.len() as u64), (holes, bars), "{name}");
    }
}

#[test]
fn figures_are_those_of_the_works() {
    let mut seen = 0;
    each(|name, compiled, drawing, document| {
        let system = compiled.job.system();
        let of = |attribute: &str| {
            let attribute = attribute.to_owned();
            document.descendants().filter_map(move |node| {
                Some((
                    node.attribute(attribute.as_str())?.to_owned(),
                    says(node.descendants().find(|node| node.has_tag_name("text"))?),
                ))
            })
        };
        for (hole, figure) in of("data-station-of") {
            let hole = compiled
                .works
                .sets
                .values()
                .flat_map(|set| set.each().map(|hole| (format!("{} {}", compiled.job.name(set.id), hole.number), hole)))
                .find(|(key, _)| *key == hole)
                .unwrap()
                .1;
            let done = compiled.works.holes_done.drilled.iter().find(|one| one.hole == hole).and_then(|one| one.now);
            let hole = done.unwrap_or(hole);
            assert_eq!(figure, show::place(hole.station, system).to_string(), "{name} {}", drawing.id);
            seen += 1;
        }
        for attribute in ["data-level", "data-station", "data-cover", "data-thick", "data-down"] {
            for (nm, figure) in of(attribute) {
                let length = batterboard::units::Length::from_nm(nm.parse().unwrap());
                assert_eq!(figure, show::place(length, system).to_string(), "{name} {} {attribute}", drawing.id);
                seen += 1;
            }
        }
        for (mark, figure) in of("data-cut-of") {
            let groups = compiled.works.bars.iter().flat_map(|made| &made.groups);
            let group = groups.clone().find(|group| group.mark.to_string() == mark).unwrap();
            let cut = show::cut(group.shape.cut, system).to_string();
            assert!(figure.ends_with(&format!("cut {cut}")), "{figure}");
            let count: u64 = groups.filter(|group| group.mark.to_string() == mark).map(|group| group.count).sum();
            assert!(figure.starts_with(&format!("{count} ")), "{figure}");
            seen += 1;
        }
    });
    assert!(seen > 300, "{seen}");
}

#[test]
fn no_two_texts_lie_over_each_other_and_none_off_the_sheet() {
    let mut wrong: Vec<String> = Vec::new();
    each(|name, _, drawing, document| {
        let rooms: Vec<(String, Room)> = texts(document).map(|node| (says(node), room(node))).collect();
        for (x, y) in points(document.root_element()) {
            if !(-1.0..=drawing.width + 1.0).contains(&x) || !(-1.0..=drawing.height + 1.0).contains(&y) {
                wrong.push(format!("{name} {}: a line goes off the sheet at {x} {y}", drawing.id));
            }
        }
        for (at, (one, room)) in rooms.iter().enumerate() {
            let (low, high) = room.bounds();
            if low.x < -0.01 || low.y < -0.01 || high.x > drawing.width + 0.01 || high.y > drawing.height + 0.01 {
                wrong.push(format!("{name} {}: `{one}` is off the sheet", drawing.id));
            }
            for (other, other_room) in &rooms[at + 1..] {
                if room.meets(other_room) {
                    wrong.push(format!("{name} {}: `{one}` and `{other}`", drawing.id));
                }
            }
        }
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_label_lies_over_an_outline_of_the_new_concrete() {
    let mut wrong: Vec<String> = Vec::new();
    let mut lines = 0;
    each(|name, _, drawing, document| {
        if !matches!(drawing.view, View::Elevation | View::Section | View::Plan) {
            return;
        }
        let rooms: Vec<(String, Room)> = texts(document).map(|node| (says(node), room(node))).collect();
        for section in document.descendants().filter(|node| node.attribute("data-section").is_some()) {
            let path = section.children().find(|node| node.has_tag_name("path")).unwrap();
            let corners: Vec<Spot> = points(path).into_iter().map(|(x, y)| Spot::new(x, y)).collect();
            for (at, from) in corners.iter().enumerate() {
                let to = corners[(at + 1) % corners.len()];
                let line = Room([*from, to, to, *from]);
                lines += 1;
                let over = rooms.iter().filter(|(_, room)| room.meets(&line));
                wrong.extend(over.map(|(says, _)| format!("{name} {}: `{says}`", drawing.id)));
            }
        }
    });
    wrong.sort();
    wrong.dedup();
    assert!(lines > 100, "{lines}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

const CORNERED: &str = r#"job "Cornered" { show feet }
wall old {
    leg back 9'
    corner outside
    leg side 5'
    thick 10"
    height -18" to 30"
    of concrete
}
slab floor { against old.back, old.side; thick 4"; top 0 }
remove strip { in floor; along old.back, old.side; out 16" }
section foot1 { along old.back 0 to 5'; thick 14"; height -12" to -5" }
section foot2 { along old.back 5' to old.side 5'; thick 14"; height -18" to -5" }
section wall1 { along old.back 0 to 5'; thick 8"; height -5" to 16" }
section wall2 { along old.back 5' to old.side 5'; thick 8"; height -5" to 24" }
holes pins { into old; along wall1, wall2; rows height 2"; inset 6"; space at most 16"; bore 5/8" by 6" }
bars pegs { size #4; in pins; out 5" }
bars foot-rails { size #4; along foot1, foot2; rows height bottom + 3 1/2"; offset 7"; ends 3" }
bars rails { size #4; along wall1, wall2; rows height 4", 13"; offset 5 1/2" }
"#;

/// A name or a thickness of new concrete on the old wall would speak of that, and one across bars cannot be read.
#[test]
fn what_the_plan_says_of_new_concrete_lies_on_nothing_old_and_on_no_bar() {
    let (mut wrong, mut names) = (Vec::new(), 0);
    let written = [("cornered", written(CORNERED)), ("free", written(FREE))].map(|(name, job)| (name.to_owned(), job));
    for (job, compiled) in EXAMPLES.map(|name| (name.to_owned(), example(name))).into_iter().chain(written) {
        let drawn = drawings::drawings(&compiled.job, &compiled.works, &flags(&compiled), View::Plan, &[]);
        let svg = drawings::svg(&drawn[0], None);
        let document = Document::parse(&svg).unwrap();
        let has = |node: &Node, title: &str| {
            node.children().any(|child| child.has_tag_name("title") && child.text() == Some(title))
        };
        let old: Vec<_> = document.descendants().filter(|node| has(node, "the old wall")).flat_map(areas).collect();
        let bars: Vec<(f64, f64)> =
            document.descendants().filter(|node| node.attribute("data-bar").is_some()).flat_map(points).collect();
        let sections: Vec<&str> =
            compiled.works.sections.placed.iter().map(|placed| compiled.job.name(placed.id)).collect();
        let thick: Vec<f64> = old_thick(&compiled);
        for text in texts(&document) {
            let measured = text.ancestors().find_map(|node| node.attribute("data-thick"));
            let of_new = measured.is_some_and(|value| !thick.contains(&value.parse().unwrap()));
            let is_name = sections.contains(&says(text).as_str());
            if !is_name && !of_new {
                continue;
            }
            names += 1;
            let (low, high) = room(text).bounds();
            if inside(&old, ((low.x + high.x) / 2.0, (low.y + high.y) / 2.0)) {
                wrong.push(format!("{job}: `{}` on the old wall", says(text)));
            }
            // Dots, and the ends and bends of long bars.
            let over = bars
                .iter()
                .any(|(x, y)| room(text).meets(&Room::upright(Spot::new(*x, *y), Spot::new(x + 0.01, y + 0.01))));
            if is_name && over {
                wrong.push(format!("{job}: `{}` on a bar", says(text)));
            }
        }
    }
    assert!(names > 40, "{names}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// How thick the legs of old walls are.
fn old_thick(compiled: &Compiled) -> Vec<f64> {
    let standing = &compiled.works.standing;
    let chains = standing.chains.iter().enumerate();
    let legs = chains.flat_map(|(chain, legs)| (0..legs.legs.len()).map(move |leg| (chain, leg)));
    legs.filter_map(|(chain, leg)| {
        standing.thickness(batterboard::concrete::LegAt { chain: chain as u32, leg: leg as u16 })
    })
    .map(|thick| thick.nm() as f64)
    .collect()
}

const MENDED: &str = r#"job "Mended" { show feet }
wall old { leg back 10'; thick 10"; height -12" to 30"; of concrete }
section low { along old.back; thick 8"; height -12" to 16" }
void vent { in low; on old.back 6' to 7'; height 0 to 8" }
spall bite { on old.back 2' to 3'; height 0 to 8"; deep 1"; with all }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour all { fill low; mix bagged }
"#;

/// A broken place is filled or patched, so it stands in the elevation at its own levels; what is left empty is white from the
/// corner too, and both legends say what that is.
#[test]
fn broken_places_and_voids_are_drawn_and_told() {
    let drawn = all(&written(MENDED));
    let by = |id: &str| drawn.iter().find(|drawing| drawing.id == id).unwrap();
    let elevation = by("elevation-old-back");
    let (svg, model) = (drawings::svg(elevation, None), elevation.model.unwrap());
    let document = Document::parse(&svg).unwrap();
    let bite = document.descendants().find(|node| node.attribute("data-spall") == Some("bite")).unwrap();
    assert_eq!(bite.attribute("id"), Some("spall-bite"));
    let inch = 25.4e6;
    let (a, b) = (model.at(24.0 * inch, 8.0 * inch), model.at(36.0 * inch, 0.0));
    // Jagged by a millimetre of the sheet at most, with corners where they are.
    let around = box_of(bite);
    for (drawn, wanted) in around.iter().zip([a.x, a.y, b.x, b.y]) {
        assert!((drawn - wanted).abs() <= 1.0, "{around:?} {a:?} {b:?}");
    }
    for corner in [a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y)] {
        assert!(points(bite).iter().any(|(x, y)| corner.distance(Spot::new(*x, *y)) < 1e-3), "{corner:?}");
    }
    let lines = |document: &Document| texts(document).map(says).collect::<Vec<String>>().join(" ");
    let told = lines(&document);
    for part in ["Jagged all round: broken away.", "Crossed out: left empty.", "bite, 1\" deep", "broken away"] {
        assert!(told.contains(part), "no `{part}` in {told}");
    }
    let svg = drawings::svg(by("corner"), None);
    let document = Document::parse(&svg).unwrap();
    let vent = document.descendants().find(|node| node.attribute("data-void") == Some("vent")).unwrap();
    let body = document.descendants().find(|node| node.attribute("data-section") == Some("low")).unwrap();
    let (vent, body) = (box_of(vent), box_of(body));
    assert!(vent[2] - vent[0] > 3.0 && vent[3] - vent[1] > 3.0, "{vent:?}");
    assert!(body[0] < vent[0] && body[1] < vent[1] && vent[2] < body[2] && vent[3] < body[3], "{vent:?} {body:?}");
    let told = lines(&document);
    assert!(told.contains("White in it: left empty.") && told.contains("vent"), "{told}");
    // Who only mends has a drawing of it.
    let bare = MENDED.lines().filter(|line| !["section", "void", "pour"].iter().any(|word| line.starts_with(word)));
    let drawn = all(&written(&bare.collect::<Vec<&str>>().join("\n").replace("; with all", "")));
    assert!(drawn.iter().any(|drawing| drawing.id == "elevation-old-back"), "no elevation");
}

const CURBED: &str = r#"job "Curbed" { show metric }
line edge { leg front 2 m }
section pad { along edge; offset 0 to 900 mm; height -100 mm to 50 mm; base gravel; side earth }
section curb { along edge; offset 0 to 120 mm; height 50 mm to 130 mm }
section lip { along edge 0 to 300 mm; offset 700 mm to 800 mm; height 50 mm to 75 mm }
bars low { size 10mm; along pad; rows height -40 mm; offset 80 mm }
mix bagged { bag 25 kg, yields 11.7 L }
forms rim { against pad, curb; sheath ply-21; studs 2x4, space at most 400 mm; kick 2x4, on bank; brace 2x4, space at most 800 mm, on stakes, holds 2 kN }
pour one { fill pad, curb, lip; mix bagged; mixer 2 bags, takes 4 min; carry 12 L, takes 2 min; crew 2; lift 60 mm }
"#;

/// Words in a place of a pour are those of that place, not of one that is drawn over it; what has no room stands beside all.
#[test]
fn the_plan_shows_what_is_left_empty() {
    // A hole of 6 in through a slab, 12 to 18 in out of the face, 4 ft along it; and a pocket in its underside.
    let compiled = written(
        "job \"Tide mill\" { show feet }
wall old { leg a 10'; thick 12\"; height -28\" to 32\" }
section pad { along old.a; thick 40\"; height -6\" to 0; base gravel; side earth }
void sleeve { in pad; on old.a 4' to 4'-6\"; height -6\" to 0; offset 12\" to 18\" }
void pocket { in pad; on old.a 7' to 8'; height -6\" to -3\"; offset 6\" to 20\" }",
    );
    let drawn = all(&compiled);
    let plan = drawn.iter().find(|drawing| drawing.id == "plan").unwrap();
    let (svg, model) = (drawings::svg(plan, None), plan.model.unwrap());
    let document = Document::parse(&svg).unwrap();
    let of = |name: &str| document.descendants().find(|node| node.attribute("data-void") == Some(name)).unwrap();
    let inch = 25.4e6;
    let (a, b) = (model.at(48.0 * inch, -12.0 * inch), model.at(54.0 * inch, -18.0 * inch));
    for (drawn, wanted) in box_of(of("sleeve")).iter().zip([a.x, a.y, b.x, b.y]) {
        assert!((drawn - wanted).abs() < 1e-2, "{:?} {a:?} {b:?}", box_of(of("sleeve")));
    }
    // Crossed out where it is seen, dashed where it is hidden.
    let lines =
        |name: &str| of(name).descendants().filter(|node| node.is_element() && node.has_tag_name("path")).count();
    assert_eq!((lines("sleeve"), lines("pocket")), (3, 1), "{svg}");
    let told = texts(&document).map(says).collect::<Vec<String>>().join(" ");
    for part in
        ["crossed out: left empty; dashed: hidden", "Left empty, sleeve: from 1'-0\" to 1'-6\" out of the face."]
    {
        assert!(told.contains(part), "no `{part}` in {told}");
    }
}

#[test]
fn what_is_written_in_a_layer_is_of_that_layer() {
    let drawn = all(&written(CURBED));
    let svg = drawings::svg(drawn.iter().find(|drawing| drawing.view == View::Pour).unwrap(), None);
    let document = Document::parse(&svg).unwrap();
    let blocks: Vec<([f64; 4], &str)> =
        document.descendants().filter_map(|node| Some((box_of(node), node.attribute("data-batches")?))).collect();
    assert!(blocks.len() >= 5, "{blocks:?}");
    let lines: Vec<String> = texts(&document).map(says).collect();
    let keyed = |tag: &str| lines.iter().find(|line| line.starts_with(&format!("{tag}  layer ")));
    let (mut within, mut beside) = (0, 0);
    for text in texts(&document) {
        let says = says(text);
        let (low, high) = room(text).bounds();
        let (x, y) = ((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
        let on = blocks.iter().rev().find(|(at, _)| (at[0]..=at[2]).contains(&x) && (at[1]..=at[3]).contains(&y));
        match (on, keyed(&says)) {
            (Some((_, batches)), Some(line)) => assert!(line.ends_with(&format!(": {batches}")), "`{says}`: {line}"),
            (Some((_, batches)), None) => assert_eq!(says, *batches),
            (None, Some(_)) => beside += 1,
            (None, None) => continue,
        }
        within += usize::from(on.is_some());
    }
    assert!(within >= 3 && beside >= 2, "{within} {beside}");
    // Two forms of one size have one letter for it.
    let section = drawn.iter().find(|drawing| drawing.view == View::Section).unwrap();
    let svg = drawings::svg(section, None);
    let document = Document::parse(&svg).unwrap();
    let keys: Vec<String> = texts(&document)
        .map(says)
        .filter_map(|line| line.split_once("  ").map(|(_, words)| words.to_owned()))
        .collect();
    let once: BTreeSet<&String> = keys.iter().collect();
    assert!(!keys.is_empty() && once.len() == keys.len(), "{keys:?}");
}

const FLAGGED: &str = r#"job "Flagged" { show feet }
wall old { leg back 10'; thick 8"; height -12" to 26"; of concrete }
section low { along old.back; thick 8"; height -4" to 12" }
holes pins { into old; along low; rows height 4"; inset 5"; space at most 14"; bore 5/8" by 7" }
bars pegs { size #4; in pins; out 9" }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour all { fill low; mix bagged }
"#;

/// What a finding speaks of has a flag with its number, and each leads to the other on the page.
#[test]
fn findings_have_flags_where_what_they_speak_of_is_drawn() {
    let compiled = written(FLAGGED);
    let page = page(&compiled);
    let lines: Vec<&str> = page.split("<li id=\"finding-").skip(1).collect();
    let line = |rule: &str, part: &str| {
        let found = lines.iter().find(|line| line.split("</li>").next().unwrap().contains(part));
        found.unwrap_or_else(|| panic!("no finding {rule}: {lines:?}")).split("</li>").next().unwrap()
    };
    // A hole by its number, and a bar.
    let thin = line("back-thin", "is left behind these holes");
    assert!(thin.contains("href=\"#hole-pins-1\"") && thin.contains("in Elevation of back"), "{thin}");
    let outside = line("bar-outside", "concrete");
    assert!(outside.contains("href=\"#bar-pegs-"), "{outside}");
    let mut flags = 0;
    for drawing in all(&compiled) {
        let alone = drawings::svg(&drawing, None);
        assert!(!alone.contains("<a "), "a file leads nowhere");
        let svg = drawings::svg(&drawing, Some(&values(&page, "id").into_iter().map(str::to_owned).collect()));
        let document = Document::parse(&svg).unwrap();
        for flag in document.descendants().filter(|node| node.attribute("data-flag").is_some()) {
            let number = flag.attribute("data-flag").unwrap();
            assert_eq!(flag.parent().unwrap().attribute("href"), Some(format!("#finding-{number}").as_str()));
            let label = flag.descendants().find(|node| node.has_tag_name("text")).map(says);
            assert_eq!(label, Some(format!("!{number}")));
            let told = texts(&document).map(says).filter(|line| line.starts_with(&format!("!{number} "))).count();
            assert_eq!(told, 1, "said in words under the drawing");
            let at = flag.attribute("data-at").unwrap();
            assert!(document.descendants().any(|node| node.attribute("id") == Some(at)), "{at}");
            assert!(page.contains(&format!("href=\"#{at}\">!{number} in ")), "{number} {at}");
            flags += 1;
        }
    }
    assert!(flags >= 2, "{flags}");
    let none = drawings::all(&compiled.job, &compiled.works, &Flags::default(), &[]);
    assert!(none.iter().all(|drawing| drawing.flags().is_empty()));
}

/// Forms: every face on some leg, every tie at its place, in the old wall and on the tape, as many as are bought.
#[test]
fn forms_are_drawn_with_every_tie_where_it_is_drilled() {
    let (mut faces, mut ties) = (0, 0);
    for name in ["boathouse", "pier"] {
        let compiled = example(name);
        let (mut drawn_faces, mut drawn_ties) = (0, 0);
        for drawing in all(&compiled).iter().filter(|drawing| drawing.view == View::Form) {
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let model = drawing.model.unwrap();
            let with = |name: &'static str| {
                let value = move |node: Node| node.attribute(name)?.parse::<f64>().ok();
                document.descendants().filter_map(move |node| Some((node, value(node)?)))
            };
            drawn_faces += document.descendants().filter(|node| node.attribute("data-form").is_some()).count();
            let on_tape: Vec<f64> = with("data-station").map(|(_, station)| station).collect();
            let whole = on_tape.iter().copied().fold(0.0, f64::max);
            for (tie, station) in with("data-tie") {
                drawn_ties += 1;
                let at = model.at(station, number(tie, "data-high"));
                let circle = tie.children().find(|node| node.has_tag_name("circle")).unwrap();
                assert!((number(circle, "cx") - at.x).abs() < 1e-3 && (number(circle, "cy") - at.y).abs() < 1e-3);
                assert!(on_tape.contains(&station) && 0.0 < station && station < whole, "{name}: {station}");
            }
        }
        let bought = compiled.works.buying.iter().find_map(|line| match line {
            Line::Goods { sort: Sundry::FormTies, amount: Some(Pack::Count(count)), .. } => Some(*count),
            _ => None,
        });
        let mut wanted = (0, usize::try_from(bought.unwrap_or(0)).unwrap());
        let mut fewest = 0;
        for made in &compiled.works.forms {
            let say = &compiled.job.forms_of(made.forms).unwrap().say;
            for panel in made.panels.iter().filter(|panel| panel.closes == Use::Face) {
                wanted.0 += 1;
                let design = made.designs.iter().find(|design| design.section == panel.section).unwrap();
                let rows = design.levels.iter().filter(|level| matches!(level.hold, Hold::Tie(_))).count();
                let space = say.ties.as_ref().map(|ties| ties.value.space.value.0);
                fewest += rows * space.map_or(0, |space| panel.middles(space, (Length::ZERO, panel.width)).len());
            }
        }
        assert_eq!((drawn_faces, drawn_ties), wanted, "{name}");
        assert!(drawn_ties >= fewest, "{name}: {drawn_ties} {fewest}");
        faces += drawn_faces;
        ties += drawn_ties;
    }
    assert!(faces > 4 && ties > 20, "{faces} {ties}");
}

const FREE: &str = r#"job "Free" { show metric }
line ring {
    leg north 2.4 m
    corner outside
    leg east 1.8 m
    corner outside
    leg south 2.4 m
    corner outside
    leg west 1.8 m
    corner outside
}
ground { outside -50 mm; inside 150 mm }
section stem { along ring; offset 100 mm to 300 mm; height -200 mm to 300 mm }
forms box {
    against stem
    sheath ply-21
    studs 2x4, space at most 400 mm
    brace 2x4, space at most 800 mm, angle 45 deg, on stakes, holds 2 kN
    kick 2x4, on stakes, holds 2 kN
    down 1 kN, space at most 800 mm
}
mix bagged { bag 25 kg, yields 11.7 L }
pour all { fill stem; mix bagged }
"#;

/// What stands free has a form on its inner side too: drawn as one stands before it, so that stations run from the right.
#[test]
fn inner_sides_of_forms_are_drawn_on_the_same_tape() {
    let compiled = written(FREE);
    let works = &compiled.works;
    let made = &works.forms[0];
    let drawn = all(&compiled);
    let drawings: Vec<&Drawing> = drawn.iter().filter(|drawing| drawing.view == View::Form).collect();
    let faces = made.panels.iter().filter(|panel| panel.closes == Use::Face).count();
    assert_eq!((drawings.len(), faces), (8, 8), "each leg has two faces");
    let chain = &works.standing.chains[0];
    let say = &compiled.job.forms_of(made.forms).unwrap().say;
    let mut braces = 0;
    for (leg, name) in ["north", "east", "south", "west"].into_iter().enumerate() {
        let frame = chain.run.frame(leg).unwrap();
        for (ending, off, turned) in [("", 300e6, false), ("-inner", 100e6, true)] {
            let id = format!("form-ring-{name}{ending}");
            let drawing = drawings.iter().find(|drawing| drawing.id == id).unwrap_or_else(|| panic!("no {id}"));
            let model = drawing.model.unwrap();
            assert_eq!(model.turned, turned, "{id}");
            // The panel on that side, by its own ends.
            let stations: Vec<f64> = made
                .panels
                .iter()
                .map(|panel| (panel, panel.ends().map(|end| frame.local(end))))
                .filter(|(_, [a, b])| (a.1 - off).abs() < 1e3 && (b.1 - off).abs() < 1e3)
                .flat_map(|(panel, [a, b])| {
                    let way = (b.0 - a.0).signum();
                    assert_eq!(way < 0.0, turned, "{id}");
                    let along = panel.braces(say.brace.as_ref().unwrap().value.space.value.0);
                    along.into_iter().map(move |at| a.0 + way * at.nm() as f64)
                })
                .collect();
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let wanted: BTreeSet<i64> = stations.iter().map(|at| (at / 1e3).round() as i64).collect();
            let nodes: Vec<Node> = document.descendants().filter(|node| node.has_attribute("data-brace")).collect();
            let found: BTreeSet<i64> =
                nodes.iter().map(|node| (number(*node, "data-brace") / 1e3).round() as i64).collect();
            assert_eq!(found, wanted, "{id}");
            for node in nodes {
                let at = model.at(number(node, "data-brace"), number(node, "data-high"));
                let xs: Vec<f64> = points(node).into_iter().map(|(x, _)| x).collect();
                let middle =
                    (xs.iter().fold(f64::MAX, |a, b| a.min(*b)) + xs.iter().fold(0.0, |a: f64, b| a.max(*b))) / 2.0;
                assert!((middle - at.x).abs() < 1e-3, "{id}: {middle} {at:?}");
                braces += 1;
            }
            // Two stations of the tape, and which of them stands farther right on the paper.
            let mut edges: Vec<(f64, f64)> = document
                .descendants()
                .filter(|node| node.has_attribute("data-station"))
                .map(|node| {
                    let text = node.descendants().find(|node| node.has_tag_name("text")).unwrap();
                    (number(node, "data-station"), number(text, "x"))
                })
                .collect();
            edges.sort_by(|a, b| a.0.total_cmp(&b.0));
            let (first, last) = (edges[0], edges[edges.len() - 1]);
            assert_eq!(first.1 > last.1, turned, "{id}: {first:?} {last:?}");
        }
    }
    assert!(braces >= 20, "{braces}");
}

const STEPPED: &str = r#"job "Z" { place indoors }
line run { leg slope 8' }
section lower { along run 0 to 5'; thick 16"; height -12" to 0; side earth }
section upper { along run 4' to 8'; thick 16"; height 0 to 12"; side earth }
bars tie { size #4; along run; space at 3'; from offset 6", height -6"; legs right 18", up 9 3/4", right 24" }
"#;

/// A leg that runs along the wall is a dot where it is cut; what stands between two such legs is drawn where it stands.
#[test]
fn legs_of_bent_bars_are_cut_where_they_run_and_stand_where_they_stand() {
    let drawn = all(&written(STEPPED));
    let sections = drawn.iter().filter(|drawing| drawing.view == View::Section).map(|drawing| {
        let svg = drawings::svg(drawing, None);
        let document = Document::parse(&svg).unwrap();
        let bar = document.descendants().find(|node| node.attribute("data-bar") == Some("tie")).unwrap();
        let level = |y: f64| (drawing.model.unwrap().origin.y - y) / drawing.model.unwrap().per_mm / 25.4;
        let dots: Vec<f64> =
            bar.children().filter(|one| one.has_tag_name("circle")).map(|one| level(number(one, "cy"))).collect();
        let line: Vec<f64> =
            if dots.is_empty() { points(bar).iter().map(|at| level(at.1)).collect() } else { Vec::new() };
        (drawing.title.clone(), dots, line)
    });
    let near = |a: f64, b: f64| (a - b).abs() < 0.02;
    let [low, step, high] = <[_; 3]>::try_from(sections.collect::<Vec<_>>()).unwrap();
    assert_eq!((low.0.as_str(), low.2.len()), ("Section at slope 3'-6\"", 0));
    assert!(low.1.len() == 1 && near(low.1[0], -6.0), "{low:?}");
    // Out to out, so its centre line ends half a diameter short at either end.
    assert_eq!((step.0.as_str(), step.1.len()), ("Section at slope 4'-5 3/4\"", 0));
    let ends = step.2.iter().fold((f64::MAX, f64::MIN), |ends, at| (ends.0.min(*at), ends.1.max(*at)));
    assert!(near(ends.0, -6.0) && near(ends.1, -6.0 + 9.25), "{step:?}");
    assert_eq!((high.0.as_str(), high.2.len()), ("Section at slope 5'-8 3/4\"", 0));
    assert!(high.1.len() == 1 && near(high.1[0], 3.25), "{high:?}");
}

const LAPPED: &str = r#"job "Lap" { place indoors }
wall old { leg front 14'; thick 10"; height -12" to 60"; of concrete, strength 3000 psi }
ground { outside -12", falls 5%; inside -8" }
section a { along old.front 0 to 7'; thick 8"; height -8" to 14" }
section b { along old.front 7' to 14'; thick 8"; height -8" to 30" }
bars rails { size #4; along a, b; rows height top - 4"; offset 4" }
"#;

/// A cut holds as far as the same bars come through: bars that begin or end part it, and laps are said.
#[test]
fn a_section_holds_no_farther_than_its_bars() {
    let cuts = |text: &str| -> Vec<(String, usize)> {
        let drawn = all(&written(text));
        let sections = drawn.iter().filter(|drawing| drawing.view == View::Section).map(|drawing| {
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let bars = document.descendants().filter(|node| node.attribute("data-bar").is_some()).count();
            let all: Vec<String> = texts(&document).map(says).collect();
            let under = all.join(" ");
            let (_, same) = under.split_once("The same over ").unwrap();
            (same.split_once('.').unwrap().0.to_owned(), bars)
        });
        sections.collect()
    };
    let found = cuts(LAPPED);
    let compiled = written(LAPPED);
    let group = compiled.works.bars[0]
        .groups
        .iter()
        .find(|group| matches!(group.place, Place::Long { from, .. } if from.1 < Length::FOOT));
    let Place::Long { to, .. } = group.unwrap().place else { panic!("{found:?}") };
    let end = show::place(to.1, compiled.job.system()).to_string();
    assert_eq!(end, "10'-7\"");
    let wanted = [
        ("front 0\" to 7'-0\"".to_owned(), 1),
        (format!("front 7'-0\" to {end}"), 2),
        (format!("front {end} to 14'-0\""), 1),
    ];
    assert_eq!(found, wanted);
    let long = LAPPED.replace("leg front 14'", "leg front 40'").replace("7' to 14'", "7' to 40'");
    assert!(cuts(&long).last().unwrap().0.ends_with(", but for laps"), "{:?}", cuts(&long));
    let found = cuts(STEPPED);
    assert!(found.iter().all(|(same, _)| same.ends_with(", but for where bars of tie begin and end")), "{found:?}");
}

/// The bend sheet and the bar list tell one figure of a bend.
#[test]
fn bends_are_as_wide_as_the_bar_list_says() {
    let mut bent = 0;
    each(|name, compiled, drawing, document| {
        if drawing.view != View::Bends {
            return;
        }
        let all: String = texts(document).map(says).collect::<Vec<_>>().join(" ");
        for group in
            compiled.works.bars.iter().flat_map(|made| &made.groups).filter(|group| !group.shape.turns.is_empty())
        {
            let figure = show::exact(group.shape.inside, compiled.job.system()).to_string();
            assert!(all.contains(&format!("bends {figure} across inside")), "{name}: {figure} in {all}");
            bent += 1;
        }
    });
    assert!(bent > 5, "{bent}");
}

/// A hook that turns right back is drawn as half a circle: nothing straight lies between its leg and its tail.
#[test]
fn hooks_that_turn_right_back_are_round() {
    let text = r#"job "Hooks" { show feet }
wall old { leg back 10'; thick 8"; height -12" to 26" }
bars caps { size #4; along old.back; space every 5'; from offset 20", height 2"; legs right 3', hook at end 180 deg up, hook at start 180 deg up }
"#;
    let drawn = drawings::drawings(&written(text).job, &written(text).works, &Flags::default(), View::Bends, &[]);
    let svg = drawings::svg(&drawn[0], None);
    let document = Document::parse(&svg).unwrap();
    let line = document.descendants().find(|node| {
        node.has_tag_name("path") && node.attribute("class").is_some_and(|class| class.contains("bold s-steel"))
    });
    let line = points(line.unwrap());
    let lengths: Vec<f64> = line.windows(2).map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1)).collect();
    assert_eq!(lengths.iter().filter(|length| **length > 2.0).count(), 3, "a leg and two tails: {lengths:?}");
    let (tail, leg) = (line[0].1, line.iter().map(|at| at.1).fold(f64::MIN, f64::max));
    assert!((leg - tail - 5.2).abs() < 0.01, "as far apart as a bend is wide: {line:?}");
}

/// What is printed at full size has room on its page as it is, under the heading of its part too.
#[test]
fn what_is_to_scale_prints_at_its_scale() {
    let mut scaled = 0;
    each(|name, compiled, drawing, document| {
        if !texts(document).any(|node| says(node).ends_with("printed at full size")) {
            return;
        }
        let sheet = drawings::sheet(compiled.job.system(), drawing.lying);
        assert!(drawing.width <= sheet.width && drawing.height <= sheet.height, "{name} {}", drawing.id);
        scaled += 1;
    });
    assert!(scaled > 40, "{scaled}");
    let metric = batterboard::units::System::Metric;
    for name in EXAMPLES {
        let compiled = example(name);
        let page = page(&compiled);
        let margins = page.split_once("@page { margin: ").unwrap().1.split_once(';').unwrap().0;
        let margins: Vec<f64> = margins.split(' ').map(|part| part.trim_end_matches("mm").parse().unwrap()).collect();
        let [top, side, foot] = margins[..] else { panic!("{margins:?}") };
        assert!(page.contains("figure svg { min-width: 0; max-height: var(--most); }"));
        let paper = if compiled.job.system() == metric { (210.0, 297.0) } else { (215.9, 279.4) };
        let mut figures = 0;
        for figure in page.split("<figure class=\"drawing").skip(1) {
            let size = if figure.starts_with(" lying") { (paper.1, paper.0) } else { paper };
            let room = (size.0 - 2.0 * side, size.1 - top - foot);
            let most: f64 = figure.split_once("--most:").unwrap().1.split_once("mm").unwrap().0.parse().unwrap();
            let svg = figure.split_once("viewBox=\"0 0 ").unwrap().1.split_once('"').unwrap().0;
            let (width, height) = svg.split_once(' ').unwrap();
            let (width, height): (f64, f64) = (width.parse().unwrap(), height.parse().unwrap());
            let is_scaled = figure.split("</figure>").next().unwrap().contains("printed at full size");
            assert!(most <= room.1 && width <= room.0 + 0.01, "{name}: {most} {width} {room:?}");
            assert!(!is_scaled || height <= most, "{name}: {height} {most}");
            figures += 1;
        }
        assert_eq!(figures, all(&compiled).len(), "{name}");
    }
}

/// A strip that is broken out is drawn from its one end to its other, round a corner too.
#[test]
fn a_strip_that_is_broken_out_ends_where_it_ends() {
    let mut ghosts = Vec::new();
    for drawing in all(&example("boathouse")).iter().filter(|drawing| drawing.view == View::Elevation) {
        let svg = drawings::svg(drawing, None);
        let document = Document::parse(&svg).unwrap();
        let model = drawing.model.unwrap();
        let is_slab = |node: &Node| {
            let title = node.children().find(|child| child.has_tag_name("title"));
            title.is_some_and(|title| title.text().is_some_and(|text| text.ends_with("dashed where it is broken out")))
        };
        let station = |x: f64| (x - model.origin.x) / model.per_mm / 25.4;
        for path in document.descendants().filter(is_slab).flat_map(|slab| slab.children()) {
            if path.attribute("class").is_some_and(|class| class.contains("hidden")) {
                let [left, _, right, _] = box_of(path);
                ghosts.push((drawing.id.clone(), station(left).round(), station(right).round()));
            }
        }
    }
    // 10 ft along the back and 14 in on round the corner; along the side from the corner, and as far the other way.
    let wanted = [("elevation-old-back".to_owned(), 0.0, 134.0), ("elevation-old-side".to_owned(), -14.0, 36.0)];
    assert_eq!(ghosts, wanted);
}

/// In an inside corner the concrete that counts with the other leg is shown, so that no bar lies in the air.
#[test]
fn elevations_show_the_concrete_of_an_inside_corner() {
    let text = r#"job "Inside corner" { place indoors }
wall old { leg one 6'; corner inside; leg two 6'; thick 10"; height -12" to 24"; of concrete, strength 3000 psi }
section a { along old.one 1' to old.two 5'; thick 8"; height -8" to 36" }
bars rails { size #4; along a; rows height 4", 20"; offset 4" }
"#;
    let drawn = all(&written(text));
    let elevations: Vec<&Drawing> = drawn.iter().filter(|drawing| drawing.view == View::Elevation).collect();
    assert_eq!(elevations.len(), 2);
    for drawing in elevations {
        let svg = drawings::svg(drawing, None);
        let document = Document::parse(&svg).unwrap();
        let body = document.descendants().find(|node| node.attribute("data-section") == Some("a")).unwrap();
        let shown = box_of(body);
        let bars: Vec<Node> = document.descendants().filter(|node| node.attribute("data-bar").is_some()).collect();
        assert_eq!(bars.len(), 2);
        for bar in bars {
            let bar = box_of(bar);
            assert!(shown[0] <= bar[0] && bar[2] <= shown[2], "{}: {bar:?} {shown:?}", drawing.id);
        }
        // Its top and its foot go on as dashed lines, up to the corner.
        let dashed = body.children().filter(|one| one.attribute("class").is_some_and(|class| class.contains("hidden")));
        let wide: Vec<f64> =
            dashed.map(box_of).map(|at| (at[2] - at[0]) / drawing.model.unwrap().per_mm / 25.4).collect();
        assert!(wide.len() == 1 && (wide[0] - 8.0).abs() < 0.01, "{wide:?}");
    }
}

const SIDED: &str = r#"job "Weir" { place outdoors }
wall old {
    leg mid 9'
    corner inside
    leg right 6'
    thick 10"
    height -30" to 24"
    of concrete, strength 3000 psi
}
section b { along old.mid 0 to 6'; thick 8"; height -22" to 20" }
section c { along old.mid 6' to old.right 4'-3"; thick 8"; height -12" to 34" }
forms boxing {
    against b, c
    sheath ply-3/4
    studs 2x4, space at most 6"
    walers 2x4, double
    brace 2x4, space at most 22", angle 45 deg, on stakes, holds 1250 lbf
    kick 2x4, on stakes, holds 1550 lbf
}
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour fill-up { fill b, c; mix bagged }
"#;

/// Bulkheads that go farther down or up than what is seen of a form end with the view.
#[test]
fn bulkheads_keep_to_the_view_of_a_form() {
    let mut bulkheads = 0;
    for compiled in [written(SIDED), example("cellar"), example("dairy")] {
        for drawing in all(&compiled).iter().filter(|drawing| drawing.view == View::Form) {
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let title = |node: &Node| {
                let title = node.children().find(|child| child.has_tag_name("title"));
                title.and_then(|title| title.text().map(str::to_owned)).unwrap_or_default()
            };
            let groups: Vec<(String, Node)> = document.descendants().map(|node| (title(&node), node)).collect();
            let seen = groups.iter().filter(|(title, _)| title == "the old wall" || title.starts_with("form "));
            let seen: Vec<[f64; 4]> = seen.map(|(_, node)| box_of(*node)).collect();
            let (top, foot) = seen.iter().fold((f64::MAX, f64::MIN), |all, at| (all.0.min(at[1]), all.1.max(at[3])));
            for (_, node) in groups.iter().filter(|(title, _)| title == "bulkhead") {
                let at = box_of(*node);
                assert!(at[1] >= top - 0.01 && at[3] <= foot + 0.01, "{}: {at:?} {top} {foot}", drawing.id);
                bulkheads += 1;
            }
        }
    }
    assert!(bulkheads >= 3, "{bulkheads}");
}

/// A letter that stands for words is no name of the job.
#[test]
fn letters_of_keys_are_no_names_of_the_job() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/boathouse");
    let keys = |more: &str| -> BTreeSet<String> {
        let files = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
        let jobs = files.filter(|path| path.extension().is_some_and(|ending| ending == "job"));
        let read = |path: std::path::PathBuf| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let text = fs::read_to_string(&path).unwrap();
            (name.clone(), if name == "boathouse.job" { format!("{text}\n{more}\n") } else { text })
        };
        let shelf = Shelf::new(jobs.map(read).collect::<Vec<_>>());
        let drawn = all(&compile(&shelf, "boathouse.job", &Limits::default()).unwrap());
        let sections = drawn.iter().filter(|drawing| drawing.view == View::Section);
        let lines = sections.flat_map(|drawing| {
            let svg = drawings::svg(drawing, None);
            texts(&Document::parse(&svg).unwrap()).map(says).collect::<Vec<_>>()
        });
        lines.filter_map(|line| Some(line.split_once("  ")?.0.to_owned())).collect()
    };
    let (plain, named) = (keys(""), keys("clear a \"hose bib\" { on old.back at 4'; height 22\"; radius 1\" }"));
    assert!(plain.contains("a"), "{plain:?}");
    assert!(!named.contains("a") && named.contains("b"), "{named:?}");
}

/// Every drawing of a job with errors is a draft, and says so; so does each page it is printed on.
#[test]
fn drawings_of_a_job_with_errors_are_drafts() {
    let whole = LAPPED.to_owned();
    let broken = format!("{whole}section c {{ along old.front 20' to 30'; thick 8\"; height 0 to 30\" }}\n");
    for (text, draft) in [(whole, false), (broken, true)] {
        let compiled = written(&text);
        let drawn = all(&compiled);
        assert!(drawn.len() >= 4);
        for drawing in &drawn {
            let svg = drawings::svg(drawing, None);
            let document = Document::parse(&svg).unwrap();
            let stamped = texts(&document).any(|node| says(node) == "DRAFT");
            let told = texts(&document).any(|node| says(node).starts_with("Draft: not to be built from."));
            assert_eq!((stamped, told), (draft, draft), "{}", drawing.id);
        }
        assert_eq!(page(&compiled).contains("@top-right { content: \"DRAFT"), draft);
    }
}

/// In the cross-section it stands on both sides of the concrete, each with its brace.
#[test]
fn a_section_of_what_stands_free_has_forms_on_both_sides() {
    let drawn = all(&written(FREE));
    let sections: Vec<&Drawing> = drawn.iter().filter(|drawing| drawing.view == View::Section).collect();
    assert_eq!(sections.len(), 1, "all legs look alike");
    let svg = drawings::svg(sections[0], None);
    let document = Document::parse(&svg).unwrap();
    let model = sections[0].model.unwrap();
    let forms: Vec<Node> = document
        .descendants()
        .filter(|node| node.children().any(|child| child.has_tag_name("title") && child.text() == Some("form box")))
        .collect();
    assert_eq!(forms.len(), 2);
    let reaches: Vec<(f64, f64)> = forms
        .iter()
        .map(|form| points(*form).iter().fold((f64::MAX, f64::MIN), |all, at| (all.0.min(at.0), all.1.max(at.0))))
        .collect();
    let (inner, outer) = (model.at(100e6, 0.0).x, model.at(300e6, 0.0).x);
    // Each begins at its own face and reaches as far as its brace, away from the concrete.
    let right = reaches.iter().find(|reach| (reach.0 - outer).abs() < 1e-3).unwrap();
    let left = reaches.iter().find(|reach| (reach.1 - inner).abs() < 1e-3).unwrap();
    assert!(right.1 - right.0 > model.long(200e6) && left.1 - left.0 > model.long(200e6), "{reaches:?}");
}

/// What a waler takes of a drawing: from where to where across and down.
fn box_of(node: Node) -> [f64; 4] {
    points(node).iter().fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |all, (x, y)| {
        [all[0].min(*x), all[1].min(*y), all[2].max(*x), all[3].max(*y)]
    })
}

/// Walers lie at every level that braces or ties hold, also where the file does not name their size: one board, or two.
#[test]
fn walers_are_drawn_where_forms_are_held_and_braces_meet_them_there() {
    let titled = |document: &Document, title: &str| -> Vec<[f64; 4]> {
        let has = |node: &Node| node.children().any(|child| child.has_tag_name("title") && child.text() == Some(title));
        document.descendants().filter(|node| node.has_tag_name("g") && has(node)).map(box_of).collect()
    };
    for (text, holds, wide) in [(FREE, vec![175e6], 88.9e6), (TIED, vec![500e6, 900e6], 88.9e6)] {
        let compiled = written(text);
        let name = compiled.job.name(compiled.job.forms[0].id).to_owned();
        let drawn = all(&compiled);
        let form = drawn.iter().find(|drawing| drawing.view == View::Form).unwrap();
        let svg = drawings::svg(form, None);
        let document = Document::parse(&svg).unwrap();
        let model = form.model.unwrap();
        let bands = titled(&document, &format!("waler of {name}"));
        assert_eq!(bands.len(), holds.len());
        for (band, level) in bands.iter().zip(&holds) {
            let middle = (band[1] + band[3]) / 2.0;
            assert!((middle - model.at(0.0, *level).y).abs() < 1e-3, "{name}: {band:?}");
            assert!(band[3] - band[1] >= model.long(38.1e6) - 1e-3, "{name}: {band:?}");
        }
        let section = drawn.iter().find(|drawing| drawing.view == View::Section).unwrap();
        let svg = drawings::svg(section, None);
        let document = Document::parse(&svg).unwrap();
        let model = section.model.unwrap();
        let walers = titled(&document, "waler");
        assert!(walers.iter().all(|at| (at[2] - at[0] - model.long(wide)).abs() < 1e-3), "{name}: {walers:?}");
        let braces = titled(&document, "brace");
        let sides = if text == FREE { 2 } else { 1 };
        assert_eq!((walers.len(), braces.len()), (holds.len() * sides, if text == FREE { 2 } else { 0 }));
        for brace in braces {
            // It ends at the back of a waler, as far above its level as below.
            let meets = |waler: &&[f64; 4]| (waler[2] - brace[0]).abs() < 1e-3 || (waler[0] - brace[2]).abs() < 1e-3;
            let waler = walers.iter().find(meets).unwrap_or_else(|| panic!("{brace:?} {walers:?}"));
            let half = model.long(38.1e6) / 2.0 * std::f64::consts::SQRT_2;
            assert!(((waler[1] + waler[3]) / 2.0 - half - brace[1]).abs() < 1e-3, "{waler:?} {brace:?}");
        }
    }
}

/// The ground of a line that goes round something lies outside of it and inside, each up to the concrete.
#[test]
fn the_ground_is_drawn_on_both_sides_of_a_line() {
    let around = |text: &str| -> Vec<(String, [(f64, f64); 2])> {
        let drawn = all(&written(text));
        let section = drawn.iter().find(|drawing| drawing.view == View::Section).unwrap();
        let (svg, model) = (drawings::svg(section, None), section.model.unwrap());
        let document = Document::parse(&svg).unwrap();
        let work = |(x, y): (f64, f64)| {
            let per_mm = model.per_mm;
            (((x - model.origin.x) / per_mm).round(), ((model.origin.y - y) / per_mm).round())
        };
        let lines = document.descendants().filter(|node| node.has_attribute("data-ground"));
        lines
            .map(|node| {
                let title = node.children().find(|node| node.has_tag_name("title")).unwrap();
                let ends = points(node);
                (says(title), [work(ends[0]), work(ends[1])])
            })
            .collect()
    };
    let bare = |text: &str| {
        let (before, form) = text.split_once("forms box {").unwrap();
        format!("{before}{}", form.split_once("\n}\n").unwrap().1)
    };
    let ring = around(&bare(FREE));
    assert_eq!(ring.len(), 2, "{ring:?}");
    let of = |word: &str| ring.iter().find(|(title, _)| title == word).unwrap().1;
    let (outside, inside) = (of("the ground outside"), of("the ground inside"));
    assert_eq!((outside[0], inside[0]), ((300.0, -50.0), (100.0, 150.0)));
    assert!(outside[1].0 >= 400.0 && inside[1].0 <= -50.0, "{outside:?} {inside:?}");
    // A form stands in it.
    let formed = around(FREE);
    assert!(formed.iter().all(|(_, ends)| ends[0].0 > 350.0 || ends[0].0 < 50.0), "{formed:?}");
    // Before an open line, as before an old wall, inside is where one stands; what falls falls away from it.
    let open = FREE.replace("    corner outside\n    leg west 1.8 m\n    corner outside\n", "");
    let open = around(&bare(&open).replace("outside -50 mm", "outside -50 mm, falls 10%"));
    let of = |word: &str| open.iter().find(|(title, _)| title == word).unwrap().1;
    let (outside, inside) = (of("the ground outside"), of("the ground inside"));
    assert_eq!((outside[0], inside[0]), ((100.0, -50.0), (300.0, 150.0)));
    assert!(outside[1].0 < 0.0 && ((-50.0 - outside[1].1) - (100.0 - outside[1].0) / 10.0).abs() <= 1.0, "{outside:?}");
}

const GAP: &str = r#"job "Gap" { show metric }
wall old { leg back 3 m; thick 250 mm; height -300 mm to 1 m; of concrete }
ground { outside 200 mm; inside 0 }
section free { along old.back; offset 700 mm to 900 mm; height -200 mm to 600 mm }
forms box {
    against free
    sheath ply-21
    studs 2x4, space at most 400 mm
    brace 2x4, space at most 800 mm, on stakes, holds 2 kN
    kick 2x4, on bank
}
mix bagged { bag 25 kg, yields 11.7 L }
pour all { fill free; mix bagged }
"#;

/// Between an old wall and what stands free before it the ground is that before the wall: braces of both sides stand on it.
#[test]
fn braces_between_an_old_wall_and_new_concrete_stand_on_the_ground_there() {
    let drawn = all(&written(GAP));
    let section = drawn.iter().find(|drawing| drawing.view == View::Section).unwrap();
    let (svg, model) = (drawings::svg(section, None), section.model.unwrap());
    let document = Document::parse(&svg).unwrap();
    let titled = |title: &str| -> Vec<[f64; 4]> {
        let has = |node: &Node| node.children().any(|child| child.has_tag_name("title") && child.text() == Some(title));
        document.descendants().filter(|node| node.has_tag_name("g") && has(node)).map(box_of).collect()
    };
    let (floor, face) = (model.at(0.0, 0.0).y, model.at(0.0, 0.0).x);
    let braces = titled("brace");
    assert_eq!(braces.len(), 2);
    assert!(braces.iter().all(|brace| (brace[3] - floor).abs() < 1e-3), "{braces:?} {floor}");
    let inside = titled("the ground inside");
    assert!(inside.len() == 2 && inside.iter().all(|at| (at[1] - floor).abs() < 1e-3), "{inside:?}");
    assert!(inside.iter().any(|at| (at[0] - face).abs() < 1e-3), "up to the old face: {inside:?}");
    assert_eq!(titled("the ground outside").len(), 1);
}

/// Words, titles and descriptions of what stands on a line alone speak of no wall and nothing old.
#[test]
fn no_drawing_of_a_line_tells_of_a_wall() {
    let mut looked = 0;
    for compiled in [written(FREE), example("gate")] {
        for drawing in all(&compiled) {
            let svg = drawings::svg(&drawing, None);
            let document = Document::parse(&svg).unwrap();
            let told = document
                .descendants()
                .filter(|node| ["text", "title", "desc"].iter().any(|tag| node.has_tag_name(*tag)));
            for says in told.map(says) {
                let mut words = says.split(|c: char| !c.is_ascii_alphabetic());
                assert!(!words.any(|word| ["wall", "old"].contains(&word)), "{}: `{says}`", drawing.id);
                looked += 1;
            }
        }
    }
    assert!(looked > 200, "{looked}");
}

const TIED: &str = r#"job "Tied" { show metric }
wall old { leg back 4 m; thick 400 mm; height 0 to 2 m; of concrete }
section low { along old.back; thick 200 mm; height 0 to 1200 mm }
holes pins { into old; along low; rows height 500 mm; inset 285 mm; space at most 570 mm; bore 16 mm by 150 mm }
bars pegs { size 12mm; in pins; out 150 mm }
forms front {
    against low
    sheath ply-18
    studs 2x4, space at most 300 mm
    walers 2x4, double
    kick 2x4, on bank
    ties rows 500 mm, 900 mm, space at most 600 mm, holds 8 kN
}
mix bagged { bag 25 kg, yields 11.7 L }
pour all { fill low; mix bagged }
"#;

/// In the middle of their shares several ties would meet a hole or a stud: all stand clear, and none too far from the next.
#[test]
fn ties_keep_clear_of_studs_holes_and_ends_and_carry_no_more_than_their_share() {
    let mut moved = 0;
    for compiled in [written(TIED), example("pier")] {
        let works = &compiled.works;
        let made = &works.forms[0];
        let say = &compiled.job.forms_of(made.forms).unwrap().say;
        let space = say.ties.as_ref().unwrap().value.space.value.0.nm();
        let thick = compiled.job.lumber_of(say.studs.value.size.0).unwrap().say.size.as_ref().unwrap().thick.0;
        assert!(made.ties.len() >= 2);
        for row in &made.ties {
            assert!(row.is_clear, "{row:?}");
            let panel = &made.panels[row.panel];
            let [from, to] = panel.ends();
            let (wide, length) = (panel.width.nm(), from.distance(to));
            let studs = batterboard::formwork::studs(panel, say.studs.value.space.value.0, thick);
            let holes = works.sets.values().flat_map(|set| set.each().map(move |hole| (set, hole)));
            // A hole by where it lies along the face, and how far from the tie's level.
            let holes: Vec<(f64, f64, f64)> = holes
                .filter_map(|(set, hole)| {
                    let [x, y, z] = set.segment(&hole, &works.standing)?.from;
                    let (dx, dy) = ((to.x - from.x) / length, (to.y - from.y) / length);
                    let off = ((y - from.y) * dx - (x - from.x) * dy).abs();
                    let along = (x - from.x) * dx + (y - from.y) * dy;
                    let near = off < 260e6 && (z - row.level.nm() as f64).abs() < 3.0 * set.wide.nm() as f64;
                    near.then_some((along, z - row.level.nm() as f64, 3.0 * set.wide.nm() as f64))
                })
                .collect();
            let meets = |at: f64| {
                let wood = studs.iter().any(|stud| (stud.nm() as f64 - at).abs() < thick.nm() as f64 / 2.0 + 9.9e6);
                wood || holes.iter().any(|(along, up, clear)| (along - at).hypot(*up) < clear - 1.0)
            };
            let within = (batterboard::units::Length::ZERO, panel.width);
            let middles = panel.middles(say.ties.as_ref().unwrap().value.space.value.0, within);
            moved += middles.iter().filter(|at| meets(at.nm() as f64)).count();
            let at: Vec<i64> = row.at.iter().map(|at| at.nm()).collect();
            assert!(at.iter().all(|at| !meets(*at as f64) && *at > 0 && *at < wide), "{row:?}");
            for (tie, place) in at.iter().enumerate() {
                let left = if tie == 0 { *place } else { (place - at[tie - 1]) / 2 };
                let right = if tie + 1 == at.len() { wide - place } else { (at[tie + 1] - place) / 2 };
                assert!(left + right <= space, "tie {tie} of {row:?} carries {}", left + right);
            }
            assert!(at.windows(2).all(|pair| pair[0] < pair[1] && pair[1] - pair[0] <= space), "{row:?}");
        }
    }
    assert!(moved > 3, "{moved}");
}

const BEFORE: &str = r#"job "Block" { show metric }
wall block {
    leg left 1200 mm, thick 900 mm
    corner outside
    leg front 900 mm, thick 1200 mm
    corner outside
    leg right 1200 mm, thick 900 mm
    height 0 to 1500 mm
    of concrete
}
footing base { under block; thick 300 mm; out 250 mm }
section port { along block.left; thick 200 mm; height 0 to 800 mm }
section starboard { along block.right; thick 200 mm; height 0 to 800 mm }
bars rods { size 12mm; along port; rows height 200 mm, 600 mm; offset 100 mm }
bars others { size 12mm; along starboard; rows height 200 mm, 600 mm; offset 100 mm }
"#;

/// The areas of a group, each a closed chain.
fn areas(group: Node) -> Vec<Vec<(f64, f64)>> {
    let paths = group.children().filter(|node| node.has_tag_name("path"));
    let chains = paths.flat_map(|path| path.attribute("d").unwrap().split('M').skip(1));
    let spot = |pair: &str| {
        let (x, y) = pair.split_once(' ').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    };
    chains.map(|chain| chain.trim_end_matches('Z').split('L').map(spot).collect()).collect()
}

fn inside(chains: &[Vec<(f64, f64)>], (x, y): (f64, f64)) -> bool {
    chains.iter().any(|chain| {
        let after = chain.iter().skip(1).chain(chain.first());
        let crossed = chain
            .iter()
            .zip(after)
            .filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < a.0 + (b.0 - a.0) * (y - a.1) / (b.1 - a.1));
        crossed.count() % 2 == 1
    })
}

/// New concrete behind an old body does not shine through it, its bars are dashed there, and an old body has no seams.
#[test]
fn old_bodies_hide_new_concrete_behind_them() {
    let compiled = written(BEFORE);
    let drawn = drawings::drawings(&compiled.job, &compiled.works, &flags(&compiled), View::Corner, &[]);
    let svg = drawings::svg(&drawn[0], None);
    let document = Document::parse(&svg).unwrap();
    let titled = |title: &str| {
        let has = |node: &Node| node.children().any(|child| child.has_tag_name("title") && child.text() == Some(title));
        document.descendants().filter(move |node| node.has_tag_name("g") && has(node)).collect::<Vec<Node>>()
    };
    let (wall, footing) = (titled("the old wall"), titled("the old footing"));
    assert_eq!((wall.len(), footing.len()), (1, 1), "one body each");
    let wall = areas(wall[0]);
    // How many of the places of a fine grid two things share.
    let (mut over, mut free) = (Vec::new(), Vec::new());
    for section in ["port", "starboard"] {
        let group = titled(&format!("new concrete, section {section}"))[0];
        let new = areas(group);
        let grid = (0..200).flat_map(|x| (0..200).map(move |y| (f64::from(x) + 0.37, f64::from(y) + 0.41)));
        let (both, alone): (Vec<_>, Vec<_>) = grid.filter(|at| inside(&new, *at)).partition(|at| inside(&wall, *at));
        over.push(both.len());
        free.push(alone.len());
    }
    assert!(over.contains(&0) && over.iter().any(|count| *count > 100), "one stands before the block: {over:?}");
    assert!(free.iter().all(|count| *count > 10), "of both something is seen beside it: {free:?}");
    let hidden = if over[0] == 0 { "rods" } else { "others" };
    for node in document.descendants().filter(|node| node.attribute("data-bar").is_some()) {
        let dashed = node.children().any(|line| line.attribute("class").is_some_and(|class| class.contains("hidden")));
        assert_eq!(dashed, node.attribute("data-bar") == Some(hidden), "{node:?}");
    }
}

#[test]
fn letters_are_large_enough_to_read_and_drawings_fit_their_paper() {
    let face = face(false);
    let letter = face.glyph_bounding_box(face.glyph_index('H').unwrap()).unwrap();
    let capital = f64::from(letter.y_max) / f64::from(face.units_per_em());
    each(|name, compiled, drawing, document| {
        for node in texts(document) {
            let high = number(node, "font-size") * capital;
            assert!(high >= 2.2, "{name} {}: `{}` is {high} mm high", drawing.id, says(node));
        }
        let (narrow, long) = match compiled.job.system() {
            batterboard::units::System::Feet => (215.9, 279.4),
            batterboard::units::System::Metric => (210.0, 297.0),
        };
        let paper = if drawing.lying { (long, narrow) } else { (narrow, long) };
        let size = (drawing.width, drawing.height);
        assert!(size.0 <= paper.0 - 20.0 && size.1 <= paper.1 - 20.0, "{name} {}: {size:?}", drawing.id);
    });
}

#[test]
fn the_table_of_letters_is_no_narrower_than_the_font() {
    for bold in [false, true] {
        let face = face(bold);
        for letter in ' '..='~' {
            let glyph = face.glyph_index(letter).unwrap();
            let real = f64::from(face.glyph_hor_advance(glyph).unwrap()) / f64::from(face.units_per_em());
            let table = lettering::width(&letter.to_string(), 1.0, bold);
            assert!(table >= real - 1e-9 && table < real * 1.75 + 0.05, "{letter:?} {table} {real}");
        }
        let tall = Text {
            at: Spot::default(),
            anchor: Anchor::Start,
            angle: 0.0,
            size: 1.0,
            bold,
            ink: Ink::Main,
            says: "x".into(),
        };
        let (low, high) = lettering::room(&tall).bounds();
        for letter in ' '..='~' {
            let glyph = face.glyph_index(letter).unwrap();
            if let Some(outline) = face.glyph_bounding_box(glyph) {
                let units = f64::from(face.units_per_em());
                assert!(
                    f64::from(outline.y_max) / units <= -low.y && f64::from(outline.y_min) / units >= -high.y,
                    "{letter}"
                );
            }
        }
    }
}

const HOSTILE: &str = r#"job "</title><script>alert(1)</script> & \"x\" ]]>" {
    datum "<b onload='x'>&amp; \u{202e}top"
}
wall old { leg back 10'; thick 8"; height -12" to 26"; of concrete }
clear bolts "<img src=x onerror=y>" { on old.back at 4'; height 20"; radius 2" }
section low { along old.back; thick 8"; height -4" to 12" }
holes pins { into old; along low; rows height 4"; inset 5"; space at most 14"; bore 5/8" by 6" }
"#;

#[test]
fn hostile_text_shows_as_text() {
    let text = HOSTILE.replace("\\u{202e}", "\u{202e}").replace("\\\"x\\\"", "'x'");
    let compiled = written(&text);
    let title = compiled.job.title.clone();
    assert!(title.contains("<script>"), "{title}");
    let drawn = all(&compiled);
    assert!(drawn.len() >= 3, "{}", drawn.len());
    let mut shown = false;
    for drawing in &drawn {
        for page in [None, Some(&BTreeSet::new())] {
            let svg = drawings::svg(drawing, page);
            assert!(!svg.contains("<script") && !svg.contains("<img") && !svg.contains('\u{202e}'), "{svg}");
            let document = Document::parse(&svg).unwrap();
            assert!(!document.descendants().any(|node| node.attributes().any(|at| at.name().starts_with("on"))));
            shown |= texts(&document).any(|node| says(node).contains("<script>alert(1)</script>"));
        }
    }
    assert!(shown, "the title is to be read as it was typed");
}

#[test]
fn a_job_with_nothing_in_it_has_no_drawings_and_odd_ones_do_not_fail() {
    assert_eq!(all(&written("")).len(), 0);
    let full = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/gate/gate.job")).unwrap();
    for (at, _) in full.char_indices().step_by(97) {
        for drawing in all(&written(&full[..at])) {
            let svg = drawings::svg(&drawing, None);
            assert!(Document::parse(&svg).is_ok(), "{at}");
        }
    }
}

#[test]
fn crowded_rows_thin_out_and_say_so() {
    let job = r#"job "Long" { show feet }
wall old { leg back 400'; thick 8"; height -12" to 26"; of concrete }
section low { along old.back; thick 8"; height -4" to 12" }
holes pins { into old; along low; rows height 4", 5"; inset 5"; space at most 9"; bore 5/8" by 6" }
"#;
    let compiled = written(job);
    let drawn = drawings::drawings(&compiled.job, &compiled.works, &flags(&compiled), View::Elevation, &[]);
    let svg = drawings::svg(&drawn[0], None);
    let document = Document::parse(&svg).unwrap();
    let circles = document.descendants().filter(|node| node.attribute("data-hole").is_some()).count() as u64;
    assert_eq!(circles, compiled.works.sets.values().map(|set| set.count).sum::<u64>(), "every hole is drawn");
    let all: Vec<String> = texts(&document).map(says).collect();
    assert!(all.iter().any(|line| line.contains("lie too near each other")), "{all:?}");
    assert!(all.iter().any(|line| line.contains("Not every station of pins")), "{all:?}");
}

#[test]
fn small_drawings_are_held() {
    let compiled = example("boathouse");
    for view in [View::Bends, View::Cuts] {
        let drawn = drawings::drawings(&compiled.job, &compiled.works, &flags(&compiled), view, &[]);
        insta::assert_snapshot!(format!("drawing_boathouse_{}", view.name()), drawings::svg(&drawn[0], None));
    }
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_batterboard"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

const JOB: &str = "examples/boathouse/boathouse.job";

#[test]
fn draw_writes_all_to_a_folder_and_one_to_the_screen() {
    let folder = tempfile::TempDir::new().unwrap();
    let into = folder.path().join("drawn");
    let ran = run(&["draw", JOB, "-q", "-o", &format!("{}/", into.display())]);
    assert_eq!(ran.status.code(), Some(0), "{}", String::from_utf8_lossy(&ran.stderr));
    let wanted: BTreeSet<String> = all(&example("boathouse")).iter().map(|one| format!("{}.svg", one.id)).collect();
    let there: BTreeSet<String> =
        fs::read_dir(&into).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(there, wanted);
    let ran = run(&["draw", JOB, "--view", "plan"]);
    assert_eq!(ran.stdout, fs::read(into.join("plan.svg")).unwrap());
    let ran = run(&["draw", JOB, "--view", "elevation-old-side"]);
    assert_eq!(ran.stdout, fs::read(into.join("elevation-old-side.svg")).unwrap());
}

#[test]
fn draw_cuts_where_it_is_told_and_draws_dots() {
    let ran = run(&["draw", JOB, "--view", "section", "--at", "back 3'-6\""]);
    let svg = String::from_utf8(ran.stdout).unwrap();
    assert!(svg.contains("Section at back 3&#39;-6&quot;"), "{svg}");
    let ran = run(&["draw", JOB, "--view", "bends", "--format", "png"]);
    assert!(ran.stdout.starts_with(b"\x89PNG") && ran.stdout.len() > 10_000, "{}", ran.stdout.len());
}

#[test]
fn draw_says_what_to_write() {
    for (arguments, part) in [
        (vec!["draw", JOB], "-o drawings/"),
        (vec!["draw", JOB, "--view", "elevation"], "--view elevation-old-side"),
        (vec!["draw", JOB, "--view", "elevatoin"], "did you mean `elevation`?"),
        (vec!["draw", JOB, "--view", "section", "--at", "3'"], "name the leg before the station; there are back, side"),
        (vec!["draw", JOB, "--view", "section", "--at", "back 12'"], "the leg is 10'-0\" long"),
        (vec!["draw", JOB, "--view", "section", "--at", "back 12"], "a length with its unit"),
        (vec!["draw", JOB, "--view", "section", "--at", "front 1'"], "there is no such leg here"),
        (vec!["draw", "tests/mistakes/not-poured.job", "--view", "days"], "nothing in"),
    ] {
        let ran = run(&arguments);
        let err = String::from_utf8(ran.stderr).unwrap();
        assert_eq!((ran.status.code(), ran.stdout.len()), (Some(2), 0), "{arguments:?} {err}");
        assert!(err.contains(part), "{arguments:?}: {err}");
    }
}

/// The README shows what the program draws now: to renew its pictures, run
/// `cargo run --release -- draw examples/boathouse/boathouse.job --view NAME -o docs/pictures/NAME.svg`.
#[test]
fn pictures_of_the_readme_are_as_they_are_drawn_now() {
    let readme = std::fs::read_to_string("README.md").unwrap();
    let shown: Vec<&str> = readme
        .split("](docs/pictures/")
        .skip(1)
        .filter_map(|rest| rest.split_once(".svg)").map(|(name, _)| name))
        .collect();
    assert!(shown.len() >= 2, "{shown:?}");
    let drawn = all(&example("boathouse"));
    for name in shown {
        let drawing = drawn.iter().find(|drawing| drawing.id == name).unwrap();
        let kept = std::fs::read_to_string(format!("docs/pictures/{name}.svg")).unwrap();
        assert!(kept == drawings::svg(drawing, None), "`{name}` is drawn otherwise now");
    }
}
