//! Every mark of bars as it is bent: its legs out to out, its hooks, its cut length, how many there are. Not to scale: what
//! counts is what is written.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    ids,
    lettering::{self, NAME, SMALL},
    scene::{Anchor, Dash, Fill, Group as Items, Ink, Item, Spot, Text, Weight, stroke},
    sheet,
};
use crate::{
    geometry::{Point, Walk},
    steel::{BarsMade, Group, Hook, Place, Shape, lines},
    units::{Length, show},
};

/// The longest and the shortest leg as they are drawn.
const LONGEST: f64 = 58.0;
const SHORTEST: f64 = 13.0;
/// Room round the line of a bar for its figures.
const ROUND: f64 = 7.5;
/// Bends are drawn with this radius.
const RADIUS: f64 = 2.6;

/// All bars of one mark.
struct Marked<'w> {
    mark: u32,
    made: &'w BarsMade,
    group: &'w Group,
    count: u64,
    blocks: Vec<String>,
}

/// The bending pictures; none of a job without bars.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let mut marks: Vec<Marked> = Vec::new();
    for made in &of.works.bars {
        for group in &made.groups {
            let name = of.name(made.id);
            match marks.iter_mut().find(|marked| marked.mark == group.mark) {
                Some(marked) => {
                    marked.count += group.count;
                    if !marked.blocks.contains(&name) {
                        marked.blocks.push(name);
                    }
                }
                None => marks.push(Marked { mark: group.mark, made, group, count: group.count, blocks: vec![name] }),
            }
        }
    }
    if marks.is_empty() {
        return Vec::new();
    }
    marks.sort_by_key(|marked| marked.mark);
    let sheet = sheet::upright(of.system);
    let mut canvas = Canvas::default();
    let under = format!("{}. Legs are measured out to out. Not to scale: read the figures.", of.title());
    let top = canvas.head(of.flags, sheet.width, "Bars, as they are bent", &under) + 4.0;
    let column = sheet.width / 2.0;
    let mut below = [top, top];
    let mut notes = Vec::new();
    for marked in &marks {
        let figure = Figure::new(of, marked, column - 11.0 - 2.0 * ROUND);
        let at = usize::from(below[1] + 0.01 < below[0]);
        let left = column * at as f64;
        let height = card(of, &mut canvas, marked, &figure, (left, below[at], column - 5.0), &mut notes);
        below[at] += height + 5.0;
    }
    let mut y = below[0].max(below[1]);
    y += canvas.notes(y, sheet.width, &notes);
    let described: Vec<String> = marks
        .iter()
        .map(|marked| {
            format!(
                "mark {}: {}, cut {}",
                marked.mark,
                crate::problem::count(usize::try_from(marked.count).unwrap_or(usize::MAX), "piece", "pieces"),
                show::cut(marked.group.shape.cut, of.system)
            )
        })
        .collect();
    vec![Drawing {
        id: "bends".into(),
        view: View::Bends,
        title: "Bars, as they are bent".into(),
        description: format!("One picture a mark. {}.", described.join("; ")),
        width: sheet.width,
        height: y + 1.5,
        lying: false,
        model: None,
        items: canvas.items(),
    }]
}

/// One mark with its words and its picture; gives the height it takes.
fn card(
    of: &Of,
    canvas: &mut Canvas,
    marked: &Marked,
    figure: &Figure,
    (left, top, width): (f64, f64, f64),
    notes: &mut Vec<String>,
) -> f64 {
    let data = |what: &'static str, says: String| vec![(what, says)];
    canvas.under(Item::line(
        vec![Spot::new(left, top), Spot::new(left + width, top)],
        stroke(Weight::Thin, Dash::Solid, Ink::Soft),
    ));
    let middle = Spot::new(left + 5.0, top + 6.0);
    let ring = Item::Circle {
        at: middle,
        radius: 3.9,
        stroke: stroke(Weight::Medium, Dash::Solid, Ink::Steel),
        fill: Some(Fill::Paper),
    };
    let number = marked.mark.to_string();
    let size = if number.len() > 2 { SMALL } else { NAME };
    let id = ids::mark(marked.mark);
    let to = Some(ids::line(&id));
    canvas.tag(
        Items {
            id: Some(id),
            title: Some(format!("mark {number}")),
            to,
            data: data("mark", number.clone()),
            items: vec![ring],
        },
        Text {
            at: lettering::centred(middle, size, 0.0),
            anchor: Anchor::Middle,
            angle: 0.0,
            size,
            bold: true,
            ink: Ink::Steel,
            says: number,
        },
    );
    let pieces = crate::problem::count(usize::try_from(marked.count).unwrap_or(usize::MAX), "piece", "pieces");
    let head =
        format!("{pieces} of {}, cut {}", of.name(marked.made.steel.id), show::cut(marked.group.shape.cut, of.system));
    let head = lettering::fitted(&head, NAME, false, width - 11.0);
    canvas.text_of(
        Text {
            at: Spot::new(left + 11.0, top + 5.2),
            anchor: Anchor::Start,
            angle: 0.0,
            size: NAME,
            bold: false,
            ink: Ink::Main,
            says: head,
        },
        data("cut-of", marked.mark.to_string()),
    );
    let mut blocks = marked.blocks.join(", ");
    let shape = &marked.group.shape;
    if !shape.turns.is_empty() || shape.hooks.iter().any(Option::is_some) {
        blocks.push_str(&format!("; bends {} across inside", show::exact(shape.inside, of.system)));
    }
    let blocks = lettering::lines(&blocks, SMALL, width - 11.0);
    let mut foot = top + 9.7;
    for line in &blocks {
        canvas.write(Spot::new(left + 11.0, foot), Anchor::Start, SMALL, Ink::Soft, line);
        foot += 4.4;
    }
    let head = foot - top - 2.1;
    let origin = Spot::new(left + 6.0 + ROUND, top + head + ROUND);
    let place = |spot: &Spot| Spot::new(origin.x + spot.x, origin.y + spot.y);
    let line: Vec<Spot> = figure.line.iter().map(place).collect();
    canvas.avoid(&line);
    canvas.front(Item::line(line, stroke(Weight::Bold, Dash::Solid, Ink::Steel)));
    let height = head + 2.0 * ROUND + figure.size.1;
    canvas.labels.within = Some((Spot::new(left, top + head - 1.2), Spot::new(left + width, top + height)));
    for (at, says) in &figure.labels {
        if !canvas.label(place(at), 1.5, SMALL, Ink::Main, says) {
            notes.push(format!("Mark {}: {says}, not written for want of room.", marked.mark));
        }
    }
    canvas.labels.within = None;
    height
}

/// The picture of a bar: its line and its figures, in millimetres from its upper left corner.
struct Figure {
    line: Vec<Spot>,
    labels: Vec<(Spot, String)>,
    size: (f64, f64),
}

impl Figure {
    fn new(of: &Of, marked: &Marked, most: f64) -> Figure {
        let shape = &marked.group.shape;
        let corners = flat(of, marked);
        let mut longest = LONGEST;
        let arcs = arcs(shape, corners.len());
        let mut points = drawn(&corners, longest, &arcs);
        // Several long legs in one direction are drawn shorter, down to what can still be told apart.
        while across(&points) > most && longest > 6.0 {
            longest *= 0.85;
            points = drawn(&corners, longest, &arcs);
        }
        let low = points
            .iter()
            .fold(Spot::new(f64::INFINITY, f64::INFINITY), |low, at| Spot::new(low.x.min(at.x), low.y.min(at.y)));
        let points: Vec<Spot> = points.iter().map(|at| Spot::new(at.x - low.x, at.y - low.y)).collect();
        let size = points.iter().fold((0.0, 0.0), |(x, y): (f64, f64), at| (x.max(at.x), y.max(at.y)));
        let says = words(shape, points.len().saturating_sub(1), of);
        let labels = points.windows(2).zip(says).filter_map(|(pair, says)| match pair {
            [a, b] if !says.is_empty() => Some((Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0), says)),
            _ => None,
        });
        let labels = labels.collect();
        Figure { line: rounded(&points), labels, size }
    }
}

/// Between two corners a hook takes more than one of.
fn has_arc(hook: Option<Hook>) -> bool {
    hook.is_some_and(|hook| hook.turn > 90.5)
}

/// Which straights between corners are none: the middle of the arc of a hook that turns right back.
fn arcs(shape: &Shape, corners: usize) -> Vec<usize> {
    let [start, end] = shape.hooks.map(has_arc);
    start.then_some(1).into_iter().chain(end.then_some(corners.saturating_sub(3))).collect()
}

/// The figure at each straight of a bar: the tails of its hooks, its legs.
fn words(shape: &Shape, straights: usize, of: &Of) -> Vec<String> {
    let before = shape.hooks[0].map_or(0, |hook| if has_arc(Some(hook)) { 2 } else { 1 });
    let bent = |length: Length| show::bend(length, of.system).to_string();
    let tail = |hook: &Option<Hook>| {
        hook.map_or_else(String::new, |hook| {
            format!("{} deg hook, tail {}", show::decimal(hook.turn, 0), bent(hook.tail))
        })
    };
    let mut out = vec![String::new(); straights];
    let straight = shape.legs.len() == 1 && before == 0 && shape.hooks[1].is_none();
    for (at, leg) in shape.legs.iter().enumerate() {
        if let Some(place) = out.get_mut(before + at) {
            *place = if straight { show::cut(*leg, of.system).to_string() } else { bent(*leg) };
        }
    }
    if before > 0
        && let Some(first) = out.first_mut()
    {
        *first = tail(&shape.hooks[0]);
    }
    if shape.hooks[1].is_some()
        && let Some(last) = out.last_mut()
    {
        *last = tail(&shape.hooks[1]);
    }
    out
}

/// The corners of a bar's centre line seen from where most of it shows: along the wall and up, or along and out.
fn flat(of: &Of, marked: &Marked) -> Vec<(f64, f64)> {
    let set = match marked.group.place {
        Place::Holes(set) => of.set(set),
        _ => None,
    };
    let straight = vec![(0.0, 0.0), (marked.group.shape.cut.nm() as f64, 0.0)];
    let Some(line) = lines(marked.made, marked.group, set, &of.works.standing).next() else { return straight };
    if marked.group.shape.is_straight() {
        return straight;
    }
    let frame = of.works.standing.chain(line.on).and_then(|chain| chain.run.frame(usize::from(line.on.leg)));
    let Some(frame) = frame else { return straight };
    let local = |spot: &crate::geometry::Spot| {
        let (along, out) = frame.local(spot.plan);
        [along, out, spot.height]
    };
    let spots: Vec<[f64; 3]> = line.walk.vertices.iter().map(local).collect();
    let spread = |at: usize| {
        let all = spots.iter().filter_map(|spot| spot.get(at)).copied();
        all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
    };
    const FLAT: f64 = 2e6;
    let wide = [spread(0) > FLAT, spread(1) > FLAT, spread(2) > FLAT];
    spots
        .into_iter()
        .map(|[along, out, up]| match wide {
            [true, false, _] => (along, -up),
            [false, true, _] => (out, -up),
            [true, true, false] => (along, out),
            // Seen slantwise from the right: out comes towards the viewer and to the left.
            _ => (along - 0.55 * out, -up + 0.4 * out),
        })
        .collect()
}

/// The same corners with legs that are neither too long nor too short to be read, and arcs without a straight in them.
fn drawn(corners: &[(f64, f64)], most: f64, arcs: &[usize]) -> Vec<Spot> {
    let lengths: Vec<f64> = corners
        .windows(2)
        .map(|pair| match pair {
            [a, b] => (b.0 - a.0).hypot(b.1 - a.1),
            _ => 0.0,
        })
        .collect();
    let longest = lengths.iter().copied().fold(0.0, f64::max).max(1.0);
    let mut at = Spot::default();
    let mut out = vec![at];
    let ways: Vec<(f64, f64)> = corners
        .windows(2)
        .zip(&lengths)
        .map(|(pair, length)| match pair {
            [a, b] if *length > 0.0 => ((b.0 - a.0) / length, (b.1 - a.1) / length),
            _ => (1.0, 0.0),
        })
        .collect();
    // What a bend takes of the straights beside it.
    let eaten = |before: usize| match ways.get(before..before + 2) {
        Some([a, b]) => RADIUS * ((a.0 * b.0 + a.1 * b.1).clamp(-0.9, 1.0).acos() / 2.0).tan(),
        _ => 0.0,
    };
    for (number, (way, length)) in ways.iter().zip(&lengths).enumerate() {
        let drawn = match number.checked_sub(1) {
            Some(before) if arcs.contains(&number) => eaten(before) + eaten(number),
            _ => (length / longest * most).clamp(SHORTEST.min(most * 0.5), most),
        };
        at = at.moved(*way, drawn, 0.0);
        out.push(at);
    }
    out
}

/// How wide a line is.
fn across(points: &[Spot]) -> f64 {
    let most = points.iter().map(|at| at.x).fold(f64::NEG_INFINITY, f64::max);
    most - points.iter().map(|at| at.x).fold(f64::INFINITY, f64::min)
}

/// A line through these corners with round bends.
fn rounded(points: &[Spot]) -> Vec<Spot> {
    let spot = |at: &Spot| crate::geometry::Spot { plan: Point::new(at.x * 1e6, at.y * 1e6), height: 0.0 };
    let walk = Walk {
        vertices: points.iter().map(spot).collect(),
        inside_radius: Length::round_nm(RADIUS * 1e6),
        diameter: Length::ZERO,
    };
    let segments = walk.segments(30_000.0);
    let first = segments.first().map(|segment| segment.from);
    let all = first.into_iter().chain(segments.iter().map(|segment| segment.to));
    all.map(|[x, y, _]| Spot::new(x * 1e-6, y * 1e-6)).collect()
}
