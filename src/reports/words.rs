//! Words for places, levels and materials, used alike in every report.

use crate::{
    buying::Left,
    compile::Compiled,
    concrete::{Class, LegAt, Piece, PourSolid, Standing},
    job::Job,
    schema::{Ahead, BlockId, Direction, Pack, Target},
    steel::{Hook, Shape},
    units::{Area, Duration, Length, System, show},
};

/// "old.back"; the wall's name is left out where the job has one wall.
pub(super) fn leg(job: &Job, standing: &Standing, at: LegAt) -> String {
    let leg = standing.leg_name(at);
    if job.walls.len() + job.lines.len() == 1 {
        return leg.to_owned();
    }
    let wall = standing.leg_ref(at).map_or("", |leg| job.name(leg.wall));
    format!("{wall}.{leg}")
}

/// "back 6' to side 3'".
pub(super) fn stretch(job: &Job, standing: &Standing, from: (LegAt, Length), to: (LegAt, Length)) -> String {
    let system = job.system();
    let start = format!("{} {}", leg(job, standing, from.0), show::place(from.1, system));
    if from.0 == to.0 {
        format!("{start} to {}", show::place(to.1, system))
    } else {
        format!("{start} to {} {}", leg(job, standing, to.0), show::place(to.1, system))
    }
}

/// What holes go into: a thing, or the top of one.
pub(super) fn target(job: &Job, into: Target) -> String {
    let name = job.name(into.block);
    if into.top { format!("the top of {name}") } else { name.to_owned() }
}

/// Stretches one after the other.
pub(super) fn stretches(job: &Job, standing: &Standing, runs: &[Piece]) -> String {
    let all: Vec<String> = runs.iter().map(|(from, to)| stretch(job, standing, *from, *to)).collect();
    all.join("; ")
}

/// How concrete is kept wet: twice a day, or so that it never dries.
pub(super) const fn wet(daily: bool) -> &'static str {
    if daily { "wet morning and evening" } else { "wet all day and night" }
}

/// "2 days", "3 working days".
pub(super) fn ahead(ahead: Ahead) -> show::Shown {
    match ahead {
        Ahead::Time(time) => show::time(time),
        Ahead::Working(days) => show::working_days(days),
    }
}

/// What a face is against, for a heading or a table.
pub(super) fn class(class: Class) -> &'static str {
    match class {
        Class::Old => "against the old concrete",
        Class::SlabEdge => "against the edge of a slab",
        Class::Joint => "against another pour, both faces",
        Class::Earth => "cast against earth",
        Class::Formed => "formed",
        Class::End => "formed, ends and steps",
        Class::Riser => "formed, risers under a stepped bottom",
        Class::Void => "round voids",
        Class::Ground => "underside, on the ground",
        Class::OnSlab => "underside, on a slab",
        Class::OnOld => "underside, on old concrete",
        Class::Soffit => "underside, over a form",
        Class::Top => "open top",
    }
}

/// A face of the concrete as it is told of over a bar.
pub(super) fn face(class: Class) -> &'static str {
    match class {
        Class::Old => "old face",
        Class::SlabEdge => "slab edge",
        Class::Joint => "joint",
        Class::Earth => "earth",
        Class::Formed => "form",
        Class::End => "end",
        Class::Riser => "riser",
        Class::Void => "void",
        Class::Ground => "ground below",
        Class::OnSlab => "slab below",
        Class::OnOld => "old work below",
        Class::Soffit => "underside",
        Class::Top => "top",
    }
}

/// The legs of a bar: "up 1'-6", right 8"", with its hooks behind them.
pub(super) fn legs(shape: &Shape, system: System) -> String {
    if shape.is_straight() {
        return "straight".to_owned();
    }
    let mut out = String::new();
    for (at, leg) in shape.legs.iter().enumerate() {
        if at > 0 {
            let turn = shape.turns.get(at - 1).copied().unwrap_or(0.0);
            out.push_str(if (turn - 90.0).abs() < 0.05 { ", " } else { ", turn " });
            if (turn - 90.0).abs() >= 0.05 {
                out.push_str(&format!("{} deg, ", show::decimal(turn, 1)));
            }
        }
        if let Some(direction) = shape.directions.get(at) {
            out.push_str(Direction::word(*direction));
            out.push(' ');
        }
        out.push_str(&show::bend(*leg, system).to_string());
    }
    for (hook, end) in hooks(shape) {
        let (turn, tail) = (show::decimal(hook.turn, 0), show::bend(hook.tail, system));
        let way = if shape.closed { String::new() } else { format!(" {}", hook.way.word()) };
        out.push_str(&format!("; hook {turn} deg{way} {end}, tail {tail}"));
    }
    out
}

/// The hooks of a bar, each with the end it is at; two of a kind are told once.
fn hooks(shape: &Shape) -> impl Iterator<Item = (Hook, &'static str)> {
    let [start, end] = shape.hooks;
    let alike = matches!((start, end), (Some(one), Some(other)) if one.turn == other.turn && one.tail == other.tail)
        && (shape.closed || start.map(|hook| hook.way) == end.map(|hook| hook.way));
    let start = start.map(|hook| (hook, if alike { "at both ends" } else { "at the start" }));
    let end = end.filter(|_| !alike).map(|hook| (hook, "at the end"));
    start.into_iter().chain(end)
}

/// The shape of a bar in the words of the trade.
pub(super) fn shape(shape: &Shape) -> String {
    let turns = shape.turns.len();
    let hooked = shape.hooks.iter().flatten().count();
    let corner = |turn: f64| format!("bent round a {} degree corner", show::decimal(turn, 0));
    let bent = match (shape.directions.as_slice(), shape.turns.as_slice()) {
        (_, []) => "straight".to_owned(),
        ([], [turn]) => corner(*turn),
        ([], _) => format!("bent round {turns} corners"),
        _ if shape.closed && hooked == 2 => {
            let tails = shape.hooks.iter().flatten().map(|hook| show::decimal(hook.turn, 0).to_string());
            let mut tails: Vec<String> = tails.collect();
            tails.dedup();
            return format!("closed tie with {} degree tails", tails.join(" and "));
        }
        ([_, _], _) => "L".to_owned(),
        ([first, _, last], _) if *last == first.opposite() => "U".to_owned(),
        ([first, _, last], _) if last == first => "Z".to_owned(),
        (legs, _) => format!("bent, {} legs", legs.len()),
    };
    match hooked {
        0 => bent,
        1 => format!("{bent}, hooked at one end"),
        _ => format!("{bent}, hooked at both ends"),
    }
}

/// A list of names: "a, b and c".
pub(super) fn names(job: &Job, ids: impl IntoIterator<Item = BlockId>) -> String {
    let names: Vec<&str> = ids.into_iter().map(|id| job.name(id)).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What a pack holds: "5 lb", "50 ft", "100".
pub(super) fn pack(pack: Pack, system: System) -> String {
    match pack {
        Pack::Count(count) => count.to_string(),
        Pack::Length(length) => show::exact(length, system).to_string(),
        Pack::Area(area) => show::area(area, system).to_string(),
        Pack::Volume(volume) if volume.cubic_metres() > 0.003 => show::volume(volume, system).to_string(),
        Pack::Volume(volume) => show::fluid(volume, system).to_string(),
        Pack::Mass(mass) => show::mass(mass, system).to_string(),
    }
}

/// What a price is paid for: "day", "2 weeks", "4 h".
pub(super) fn per(time: Duration) -> String {
    let whole = |of: f64| {
        let times = time.seconds() / of;
        ((times - times.round()).abs() < 1e-9 && times >= 0.5).then(|| times.round())
    };
    let told = |times: f64, one: &str| if times == 1.0 { one.to_owned() } else { format!("{times} {one}s") };
    match (whole(604_800.0), whole(86_400.0), whole(3600.0)) {
        (Some(weeks), ..) => told(weeks, "week"),
        (_, Some(days), _) => told(days, "day"),
        (_, _, Some(hours)) => told(hours, "hour"),
        _ => show::time(time).to_string(),
    }
}

/// Offcuts shorter than this are only counted.
const OFFCUT: Length = Length::from_nm(150_000_000);

/// What is left over: "1 of 3'-4\", 2 of 18\"", "0.6 ft3".
pub(super) fn left(left: &Left, system: System) -> String {
    match left {
        Left::Much(much) => pack(*much, system),
        Left::Pieces(all) => {
            let long = all.iter().filter(|(length, _)| *length >= OFFCUT);
            let each = long.map(|(length, count)| format!("{count} of {}", show::place(*length, system)));
            let short: u64 = all.iter().filter(|(length, _)| *length < OFFCUT).map(|(_, count)| count).sum();
            let most = match system {
                System::Feet => "6\"",
                System::Metric => "150 mm",
            };
            let rest = (short > 0).then(|| format!("{short} of less than {most}"));
            each.chain(rest).collect::<Vec<_>>().join(", ")
        }
    }
}

/// A number that is the same for the same text on every machine, and hardly ever for two texts: FNV-1a, 64 bits.
pub(super) fn fingerprint(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |sum, byte| (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// What a block of `prepare` makes ready, and where that lies, before the names of its sections: the old face behind them, with the
/// concrete of an earlier pour where they stand on it; or along a line, where nothing old stands, the concrete they are cast against.
/// Of one pour, only what its own sections meet.
pub(super) fn readied(compiled: &Compiled, prepare: BlockId, pour: Option<BlockId>) -> (&'static str, &'static str) {
    let works = &compiled.works;
    let is_of = |section: BlockId| {
        pour.is_none() || works.solids.with(section).is_some_and(|(solid, _)| Some(solid.pour) == pour)
    };
    if compiled.job.prepare(prepare).is_some_and(|face| face.say.meets.is_some()) {
        return ("hardened concrete", "at the joint of");
    }
    let all = || compiled.job.prepare(prepare).into_iter().flat_map(|prepare| &prepare.say.of);
    let sections = || all().filter(|section| is_of(section.value.0));
    let mut placed = sections().filter_map(|section| works.sections.find(section.value.0));
    let met = |wanted: &dyn Fn(&PourSolid, BlockId) -> bool| {
        sections()
            .any(|section| works.solids.with(section.value.0).is_some_and(|(solid, _)| wanted(solid, section.value.0)))
    };
    let joints = works.solids.readied.iter().filter(|one| one.face == prepare && is_of(one.joint.section));
    let on_new = joints.filter(|one| one.joint.is_cast_against(one.pour, &works.turn)).count() > 0;
    let at_old = met(&|solid, _| [Class::Old, Class::OnOld].iter().any(|class| solid.areas.of(*class) > Area::ZERO));
    if placed.any(|placed| compiled.job.line(placed.wall).is_some()) || (on_new && !at_old) {
        ("hardened concrete", "under or behind")
    } else if on_new {
        ("old face and the hardened concrete", "behind or under")
    } else {
        ("old face", "behind")
    }
}
