//! Staying whole: each hazard once with the steps it belongs to, what is reckoned of it, and what is worn at each step.
//!
//! Short lines: it is read on site, with wet gloves.

use std::collections::BTreeSet;

use crate::{
    compile::Compiled,
    hazards::{
        ASBESTOS_BEFORE, AtStep, Dust, DustRule, Ends, HOT, Harm, LEAD_BEFORE, Lifted, Load, Pit, ROLLED, Used,
        outdoors,
    },
    job::Job,
    problem::count,
    reports::{Column, Paper, Part, Rows, Table, Words, measures::Measures, words},
    schema::{BlockId, Driven, KindId, ToolWork, Topic},
    standards::hazards::{
        ACTION, Dusty, LIMIT, Respirator,
        digging::{DEEPEST, LADDER_FROM, PROTECTED_FROM, SPOIL_BACK},
        until,
    },
    units::{Acceleration, Duration, Length, Ratio, System, show},
};

/// From this level on ears are covered: 85 dBA, NIOSH, from memory.
const LOUD: f64 = 85.0;

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    paper.push(Part::Heading(2, Words::from("Staying whole")));
    paper.push(Part::Text(Words::default().strong(
        "This paper plans the work and checks its arithmetic. It does not design a structure and does not say that the work is safe or meets a code: the local code, the inspector and a licensed engineer decide, and go before everything printed here.",
    )));
    for dig in works.digs.iter().filter(|dig| dig.under) {
        paper.push(Part::Caution(Words::from(format!(
            "STOP: {} would take the ground from under {}. No order of work is printed, and nobody digs before a licensed engineer has planned it (29 CFR 1926.651(i)(2)).",
            compiled.job.name(dig.section),
            compiled.job.name(dig.old)
        ))));
    }
    if outdoors(&compiled.job) == Some(false) {
        for used in works.at_steps.iter().flat_map(|at| &at.used).filter(|used| used.power == Some(Driven::Engine)) {
            paper.push(Part::Caution(Words::from(format!(
                "STOP: {} has an engine, and the work is under a roof: carbon monoxide kills without a smell. Take one with a cord, a battery or air.",
                tool(&compiled.job, used)
            ))));
        }
    }
    let mut lines: Vec<Words> = HARMS.iter().filter_map(|(harm, name)| told(compiled, *harm, name)).collect();
    lines.extend(digging(compiled));
    lines.extend(heat(&compiled.job));
    paper.push(Part::Bullets(lines));
    if is_stopped(compiled) {
        return;
    }
    worn(compiled, paper);
    dust(compiled, paper);
    lifts(compiled, paper);
    tools(compiled, paper);
}

/// No order of work is printed, and nothing that tells of one.
fn is_stopped(compiled: &Compiled) -> bool {
    compiled.works.digs.iter().any(|dig| dig.under)
}

const HARMS: [(Harm, &str); 14] = [
    (Harm::Dust, "Dust"),
    (Harm::Eyes, "Eyes"),
    (Harm::Noise, "Noise"),
    (Harm::Shaking, "Shaking"),
    (Harm::Lifting, "Lifting"),
    (Harm::Caustic, "Wet concrete"),
    (Harm::BarEnds, "Ends of bars"),
    (Harm::Current, "Current"),
    (Harm::Monoxide, "Engines"),
    (Harm::Resin, "Resin"),
    (Harm::Props, "Props"),
    (Harm::Forms, "Forms"),
    (Harm::Lead, "Lead"),
    (Harm::Asbestos, "Asbestos"),
];

/// One hazard: the steps it belongs to, what is done about it, and where that comes from.
fn told(compiled: &Compiled, harm: Harm, name: &str) -> Option<Words> {
    let job = &compiled.job;
    let steps: Vec<&str> =
        compiled.works.at_steps.iter().filter(|at| at.harms.contains(&harm)).map(|at| job.name(at.step)).collect();
    if steps.is_empty() && !is_there(job, harm) {
        return None;
    }
    let mut line = Words::default().strong(name);
    if !steps.is_empty() && !is_stopped(compiled) {
        line = line.plain(format_args!(" ({})", steps.join(", ")));
    }
    Some(line.plain(": ").plain(measure(compiled, harm)))
}

/// Whether the job has what brings it, though no step does it yet: a block that could not be read is work all the same.
fn is_there(job: &Job, harm: Harm) -> bool {
    let breaks = job.has(KindId::Holes) || job.has(KindId::Remove) || job.has(KindId::Cut);
    let built = job.head.as_ref().and_then(|head| head.say.built).map(|built| built.0);
    match harm {
        Harm::Dust | Harm::Noise | Harm::Shaking | Harm::Current => breaks,
        Harm::Eyes => breaks || job.has(KindId::Pour),
        Harm::Lifting | Harm::Caustic => job.has(KindId::Pour),
        Harm::BarEnds => job.has(KindId::Bars),
        Harm::Monoxide => true,
        Harm::Resin => job.resins.iter().any(|resin| !resin.usual),
        Harm::Props => job.has(KindId::Support),
        Harm::Forms => job.has(KindId::Forms),
        Harm::Lead => built.is_some_and(|built| built < LEAD_BEFORE),
        Harm::Asbestos => built.is_some_and(|built| built < ASBESTOS_BEFORE),
    }
}

fn measure(compiled: &Compiled, harm: Harm) -> String {
    let job = &compiled.job;
    let system = job.system();
    let built = job.head.as_ref().and_then(|head| head.say.built).map_or(0, |built| built.0);
    match harm {
        Harm::Dust => {
            "silica scars the lungs for good. Water or vacuum at the tool, never dry. No dry sweeping, no compressed air (29 CFR 1926.1153)."
                .to_owned()
        }
        Harm::Eyes => {
            "goggles, for those beside too. Clean water to rinse with, within reach (29 CFR 1926.102, from memory)."
                .to_owned()
        }
        Harm::Noise => {
            "muffs or plugs from 85 dB on, before the tool starts (NIOSH, from memory; 29 CFR 1926.52)."
                .to_owned()
        }
        Harm::Shaking => {
            "warm, dry gloves; breaks; take turns. Numb or white fingers: stop (ISO 5349-1, Directive 2002/44/EC; the United States have no limit of law, from memory)."
                .to_owned()
        }
        Harm::Lifting => {
            "close to the body, from a stand at hip height, no twisting. Over 1 is more risk, over 3 a high one: lighter, or two people (revised NIOSH lifting equation; two people it does not cover)."
                .to_owned()
        }
        Harm::Caustic => {
            "burns like lye, and the burn comes hours later. Waterproof gloves and boots, sleeves down. Rinse at once, soaked clothes off (from memory)."
                .to_owned()
        }
        Harm::BarEnds => {
            let mut text: Vec<String> = compiled.works.ends.iter().map(|ends| open(compiled, ends)).collect();
            if text.is_empty() && job.broken.is_empty() && job.has(KindId::Section) {
                text.push("none stands out of a wall or points up.".to_owned());
            }
            text.push(
                "Guard every end someone can fall on (29 CFR 1926.701(b)); small plastic caps keep from scratches, not from a fall."
                    .to_owned(),
            );
            text.join(" ")
        }
        Harm::Current => {
            "a ground-fault breaker on every cord; plugs out of the wet (29 CFR 1926.404(b)(1), from memory). Cables and pipes are looked for before the first hole."
                .to_owned()
        }
        Harm::Monoxide => format!(
            "no engine and no fuel heater under a roof, in a pit or in a crawl space; a generator {} from every opening (from memory).",
            if system == System::Feet { "20 ft" } else { "6 m" }
        ),
        Harm::Resin => {
            "nitrile gloves, moving air. It makes the skin allergic for good (common practice, no source)."
                .to_owned()
        }
        Harm::Props => {
            "nobody under the load while they are set or struck; what load they take an engineer says. Plumb, on a plate, held at the foot (common practice, no source)."
                .to_owned()
        }
        Harm::Forms => {
            "nobody stands before a form while it is filled, or under one that is set up or taken off. It is braced before it is let go of; nails are pulled or bent over at once (common practice, no source)."
                .to_owned()
        }
        Harm::Lead => format!(
            "built {built}; paint of before {LEAD_BEFORE} may hold lead (40 CFR 745, from memory). Have it tested before it is ground, chipped or drilled.{}",
            answer(job, Topic::Lead)
        ),
        Harm::Asbestos => format!(
            "built {built}; flooring, insulation and boards of before {ASBESTOS_BEFORE} may hold asbestos (29 CFR 1926.1101, from memory). Have it tested before it is cut or broken.{}",
            answer(job, Topic::Asbestos)
        ),
    }
}

/// What was answered to a question about it.
fn answer(job: &Job, topic: Topic) -> String {
    let asks = job.asks.iter().filter(|ask| ask.say.about == Some(topic));
    let answers = asks.filter_map(|ask| ask.say.answered.as_ref()).map(|answered| {
        let said = answered.said.as_ref().map_or("yes", |said| said.0.as_str());
        format!(" Answered {}: {said}.", answered.on)
    });
    answers.collect()
}

/// How many ends there are: of dowels less those that are recorded as left out.
fn there(compiled: &Compiled, ends: &Ends) -> u64 {
    let mine = compiled.works.ends.iter().filter(|other| other.bars == ends.bars).count();
    let dowels = compiled.job.bars_of(ends.bars).is_some_and(|bars| bars.say.holes.is_some());
    // Which of them point up and which stand out is not told where a block has both.
    let out = if dowels && mine == 1 { compiled.works.left_out(ends.bars) } else { 0 };
    ends.count.saturating_sub(out)
}

/// "24 of pegs stand out of the wall at 4" to 9", from step peg until cast."
fn open(compiled: &Compiled, ends: &Ends) -> String {
    let job = &compiled.job;
    let system = job.system();
    let number = usize::try_from(there(compiled, ends)).unwrap_or(usize::MAX);
    let way = match (ends.up, number) {
        (true, 1) => "points up",
        (true, _) => "point up",
        (false, 1) => "stands out of the wall",
        (false, _) => "stand out of the wall",
    };
    let levels = if ends.low == ends.high {
        show::place(ends.low, system).to_string()
    } else {
        format!("{} to {}", show::place(ends.low, system), show::place(ends.high, system))
    };
    let from = ends.from.first().filter(|_| !is_stopped(compiled));
    let from = from.map_or_else(String::new, |step| match ends.until {
        Some(until) => format!(", from {} until {}", job.name(*step), job.name(until)),
        None => format!(", from {} on", job.name(*step)),
    });
    format!("{} of {} {way}, level {levels}{from}.", count(number, "end", "ends"), job.name(ends.bars))
}

/// Holes in the ground, and what their depth asks for.
fn digging(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let system = job.system();
    let near = compiled.works.digs.iter().filter(|dig| !dig.under).map(|dig| {
        Words::default().strong("Digging near the footing").plain(format_args!(
            ": {} goes {} below {}, {} away. Firm soil only, or an engineer first (29 CFR 1926.651(i); the line common practice, no source).",
            job.name(dig.section),
            show::exact(dig.base - dig.bottom, system),
            job.name(dig.old),
            show::exact(dig.away, system)
        ))
    });
    let pits = &compiled.works.pits;
    let dug = pits.iter().max_by_key(|pit| pit.depth).map(|deepest| {
        let all = pits.iter().map(|pit| {
            let (deep, wide) = (show::exact(pit.depth, system), show::exact(pit.wide(), system));
            let forms = if pit.forms > Length::ZERO { " with its forms" } else { "" };
            format!("{} {deep} deep and {wide} wide{forms}", job.name(pit.section))
        });
        let all: Vec<String> = all.collect();
        Words::default().strong("Digging").plain(format_args!(
            " ({}; room to work in comes to that): {}",
            all.join(", "),
            asks(deepest, system)
        ))
    });
    dug.into_iter().chain(near).collect()
}

/// What a depth asks for.
fn asks(pit: &Pit, system: System) -> String {
    let mut text = format!(
        "spoil and gear {} back from the edge (29 CFR 1926.651(j)(2)). Look at the sides every day and after rain.",
        show::place(SPOIL_BACK, system)
    );
    if pit.depth >= LADDER_FROM {
        text.push_str(" A ladder in it (1926.651(c)(2)).");
    }
    if pit.depth > DEEPEST {
        text.push_str(" So deep an engineer plans it.");
    } else if pit.depth >= PROTECTED_FROM {
        text.push_str(" Sides held or sloped (1926.652(a)(1))");
        if let Some(at_top) = &pit.at_top {
            text.push_str(&format!(
                ": in loose or dug-over ground 1 1/2 to 1, {} wide at the top",
                show::exact(at_top.value, system)
            ));
        }
        text.push('.');
    } else {
        text.push_str(" Shallow sides cave in too: one who knows the ground looks first.");
    }
    text
}

fn heat(job: &Job) -> Option<Words> {
    let warmest = job.air()?.to.value;
    (warmest.deg_c() >= HOT.deg_c()).then(|| {
        Words::default().strong("Heat").plain(format_args!(
            ": up to {}. Water, shade and rest from {} on (common practice, no source).",
            show::temperature(warmest, job.system()),
            show::temperature(HOT, job.system())
        ))
    })
}

/// What is worn at a step and had at hand.
fn gear(compiled: &Compiled, at: &AtStep) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let masks = at.dust.iter().map(|dust| match dust.rule {
        DustRule::Row { mask, .. } => (mask, false),
        DustRule::Misses(_) | DustRule::NoRow => (Respirator::Factor10, true),
    });
    match masks.max() {
        None | Some((Respirator::None, _)) => {}
        Some((mask, _)) => out.push(format!("mask ({})", factor(mask))),
    }
    let mut put = |harm: Harm, word: &str| {
        if at.harms.contains(&harm) && !out.iter().any(|one| one == word) {
            out.push(word.to_owned());
        }
    };
    put(Harm::Eyes, "goggles");
    if at.used.iter().any(|used| used.noise.is_some_and(|noise| noise.dba() >= LOUD)) {
        put(Harm::Noise, "muffs or plugs");
    }
    put(Harm::Shaking, "warm gloves");
    put(Harm::Caustic, "waterproof gloves");
    put(Harm::Caustic, "rubber boots");
    put(Harm::Resin, "nitrile gloves");
    if !at.harms.contains(&Harm::Caustic) {
        if !at.harms.contains(&Harm::Shaking) {
            put(Harm::Lifting, "gloves");
        }
        put(Harm::Lifting, "boots with toe caps");
    }
    let mine = compiled.works.ends.iter().filter(|ends| ends.from.contains(&at.step));
    let ends: u64 = mine.map(|ends| there(compiled, ends)).sum();
    if ends > 0 {
        out.push(format!("guards for {}", count(usize::try_from(ends).unwrap_or(usize::MAX), "bar end", "bar ends")));
    }
    if at.harms.contains(&Harm::Current) {
        out.push("ground-fault breaker".to_owned());
    }
    out
}

fn factor(mask: Respirator) -> &'static str {
    match mask {
        Respirator::None => "none",
        Respirator::Factor10 => "factor 10",
        Respirator::Factor25 => "factor 25",
    }
}

/// What is told again at the step: what is worn, and the one figure that matters.
pub(super) fn at_step(compiled: &Compiled, step: BlockId) -> Vec<String> {
    let Some(at) = compiled.works.at_steps.iter().find(|at| at.step == step) else { return Vec::new() };
    let gear = gear(compiled, at);
    let mut lines = Vec::new();
    if !gear.is_empty() {
        lines.push(format!("wear, have at hand: {}", gear.join(", ")));
    }
    lines.extend(matters(compiled, at).map(|text| format!("mind: {text}")));
    lines
}

/// The figure that lies farthest over its limit: shaking over the action value, a load with an index over 1, else noise over
/// a day's dose.
fn matters(compiled: &Compiled, at: &AtStep) -> Option<String> {
    let job = &compiled.job;
    let system = job.system();
    let heaviest = at.heaviest().map(|lifted| (lifted, lifted.worked.value.index.unwrap_or(f64::INFINITY)));
    let lift = heaviest.filter(|(_, index)| *index > 1.0);
    let shake = at.shaking.as_ref().and_then(|shaking| Some((shaking, shaking.dose.as_ref()?.value.daily)));
    let shake = shake.filter(|(_, daily)| *daily > ACTION);
    match (lift, shake) {
        (lift, Some((shaking, daily))) if lift.is_none_or(|(_, index)| daily / LIMIT >= index / 3.0) => {
            let most = until(shaking.shakes.m_s2(), LIMIT).ok();
            let most = most.map_or_else(String::new, |most| format!(", {} a day at most", show::time(floor(most))));
            let daily = show::acceleration(Acceleration::from_m_s2(daily));
            Some(format!("shakes the hands by {daily} over the day; {LIMIT} is the limit{most}"))
        }
        (Some((lifted, index)), _) => {
            let weight = show::mass(lifted.weight, system);
            let load = load(job, lifted);
            Some(if index.is_finite() {
                format!("{load} of {weight}: lifting index {}", show::decimal(index, 1))
            } else {
                format!("{load} of {weight}: no load so often, or so far out")
            })
        }
        _ => {
            let noise = at.noise.as_ref()?;
            let dose = noise.dose.as_ref().filter(|dose| dose.value.fraction() > 1.0)?;
            Some(format!("noise comes to {} of a day's dose at the ear", show::percent(rounded(dose.value))))
        }
    }
}

/// A dose is no finer than a hundredth.
fn rounded(ratio: Ratio) -> Ratio {
    Ratio::from_percent(ratio.percent().round())
}

/// Down to whole minutes: a limit is not rounded up.
fn floor(time: Duration) -> Duration {
    Duration::from_minutes((time.minutes() + 1e-9).floor())
}

fn load(job: &Job, lifted: &Lifted) -> String {
    match lifted.load {
        Load::Bag => format!("a bag of {}", job.name(lifted.thing)),
        Load::Bucket => format!("a bucket of {}", job.name(lifted.thing)),
        Load::Debris => format!("a bucket of {}", job.name(lifted.thing)),
        Load::Bar => format!("the longest bar of {}", job.name(lifted.thing)),
    }
}

/// "saw", or "handheld-saw (usual)".
fn tool(job: &Job, used: &Used) -> String {
    match used.tool {
        Some(tool) => job.name(tool).to_owned(),
        None => format!("{} (usual)", used.sort.word()),
    }
}

fn worn<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let all: Vec<&AtStep> = compiled.works.at_steps.iter().filter(|at| !gear(compiled, at).is_empty()).collect();
    if all.is_empty() {
        return;
    }
    let columns = vec![Column::text("step", "Step"), Column::text("gear", "Wear, have at hand")];
    let rows = Rows::formula(move |lines| {
        all.iter().try_for_each(|at| {
            lines.item(|row| {
                row.text(compiled.job.name(at.step)).text(gear(compiled, at).join(", "));
            })
        })
    });
    paper.push(Part::Table(Table::new("gear", columns, rows)));
}

fn dust<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let all: Vec<(&AtStep, &Dust)> =
        compiled.works.at_steps.iter().flat_map(|at| at.dust.iter().map(move |dust| (at, dust))).collect();
    if all.is_empty() {
        return;
    }
    paper.push(Part::Heading(3, Words::from("Dust")));
    let mut said = vec!["Each step is one shift; one without a time counts as over 4 h."];
    if outdoors(&compiled.job).is_none() {
        said.push("The file does not say `place`: taken as indoors.");
    }
    said.push("Rows of 29 CFR 1926.1153 Table 1, a rule for employers: the recognised control. Steps of one day add up: where together they last over 4 h, what is worn over 4 h is worn.");
    paper.push(Part::Text(Words::from(said.join(" "))));
    let columns = vec![
        Column::text("step", "Step"),
        Column::text("work", "Work"),
        Column::text("row", "Row"),
        Column::text("control", "Kept down by"),
        Column::text("mask", "Mask"),
    ];
    let rows = Rows::formula(move |lines| {
        all.iter().try_for_each(|(at, dust)| {
            lines.item(|row| {
                row.text(compiled.job.name(at.step)).text(work(dust));
                match dust.rule {
                    DustRule::Row { row: of, mask, kept } => {
                        let must = if kept { "" } else { "only with " };
                        row.text(of.row).text(format_args!("{must}{}", of.control));
                        match mask {
                            Respirator::None => row.text("none while it is kept down so"),
                            mask => row.text(factor(mask)),
                        };
                    }
                    DustRule::Misses(of) => {
                        row.text("none")
                            .text(format_args!("row {} wants {}", of.row, of.control))
                            .text("factor 10 all the same; exposure to be assessed, 1926.1153(d)");
                    }
                    DustRule::NoRow => {
                        row.text("none")
                            .text(by_hand(dust.work))
                            .text("factor 10 (common practice); exposure to be assessed, 1926.1153(d)");
                    }
                }
            })
        })
    });
    paper.push(Part::Table(Table::new("dust", columns, rows)));
}

fn work(dust: &Dust) -> &'static str {
    match (dust.work, dust.verb) {
        (Dusty::HandheldSaw, _) => "handheld saw",
        (Dusty::WalkBehindSaw, _) => "walk-behind saw",
        (Dusty::Chipping, ToolWork::Remove) => "breaker",
        (Dusty::Chipping, _) => "chipping hammer",
        (Dusty::Drill, _) => "rotary hammer",
        (Dusty::Grinder, _) => "grinder",
        (Dusty::MixingBags, _) => "emptying bags",
        (Dusty::HandChisel, _) => "hammer and chisel",
        (_, verb) => verb.word(),
    }
}

/// What is done where the table has no row: common practice.
fn by_hand(work: Dusty) -> &'static str {
    match work {
        Dusty::MixingBags => "bags opened low, wind at your back, water in first",
        _ => "wetted first",
    }
}

fn lifts<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    if works.at_steps.iter().all(|at| at.lifted.is_empty()) {
        return;
    }
    let system = compiled.job.system();
    let measures = Measures(system);
    paper.push(Part::Heading(3, Words::from("Loads")));
    let mut said = "One person, both hands; the limit is the weight with an index of 1. Carrying, a bucket in one hand, shovelling and slippery ground are not covered and cost more.".to_owned();
    let rolled =
        compiled.job.pours.iter().filter_map(|pour| pour.say.carry.as_ref()).any(|carry| carry.carry.0 > ROLLED.value);
    if rolled {
        said.push_str(&format!(
            " What is over {} at once is rolled, and not reckoned.",
            show::carried(ROLLED.value, system)
        ));
    }
    paper.push(Part::Text(Words::from(said)));
    let columns = vec![
        Column::text("step", "Step"),
        Column::text("load", "Load"),
        measures.masses("weight", "Weight").number("load"),
        Column::count("times", "Times").written(),
        Column::count("often", "A minute").number("often"),
        measures.masses("limit", "Limit").number("limit"),
        Column::count("index", "Index").number("lifting"),
        Column::text("so", "So"),
    ];
    let rows = Rows::formula(move |lines| {
        works.at_steps.iter().flat_map(|at| at.lifted.iter().map(move |lifted| (at, lifted))).try_for_each(
            |(at, lifted)| {
                lines.item(|row| {
                    let job = &compiled.job;
                    row.of(format_args!("{}.{}", job.name(at.step), job.name(lifted.thing)));
                    row.text(job.name(at.step)).text(load(job, lifted));
                    measures.mass(row, lifted.weight);
                    row.count(i64::try_from(lifted.times).unwrap_or(i64::MAX));
                    let often = lifted.times as f64 / lifted.over.minutes();
                    row.figure(show::decimal(often, 2), often);
                    measures.mass_at_most(row, lifted.worked.value.limit);
                    match lifted.worked.value.index {
                        Some(index) => row.figure(show::decimal(index, 1), index),
                        None => row.text("over"),
                    };
                    row.text(so(lifted, system));
                })
            },
        )
    });
    paper.push(Part::Table(Table::new("loads", columns, rows)));
}

/// What an index means, and what would do.
fn so(lifted: &Lifted, system: System) -> String {
    let limit = lifted.worked.value.limit;
    match lifted.worked.value.index {
        None => "no load so often, or so far out".to_owned(),
        Some(index) if index <= 1.0 => "most people can".to_owned(),
        Some(index) => {
            let risk = if index > 3.0 { "high risk, not alone" } else { "more risk" };
            let parts = index.ceil();
            match (lifted.load, parts as u64) {
                (Load::Bag, 2) => format!("{risk}: half bags, or two people"),
                (Load::Bag, _) => format!("{risk}: lighter bags, half bags, or two people"),
                (Load::Bucket | Load::Debris, _) => {
                    format!("{risk}: {} with the bucket, or two people", show::mass_at_most(limit, system))
                }
                (Load::Bar, _) => format!("{risk}: two people"),
            }
        }
    }
}

fn tools<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    let all: Vec<&AtStep> = works.at_steps.iter().filter(|at| at.noise.is_some() || at.shaking.is_some()).collect();
    if all.is_empty() {
        return;
    }
    paper.push(Part::Heading(3, Words::from("Noise and shaking")));
    let usual = all.iter().flat_map(|at| &at.used).any(|used| used.usual_noise && used.noise.is_some());
    let mut said = "By the worst tool of each step alone, over the time it runs. The level is what comes through what is worn, where a `tool` says it: over 100% of a day's noise is too much; A(8) over 2.5 m/s2 asks for action, 5 is the limit. Steps of one day add up.".to_owned();
    if works.days.is_none() {
        said.push_str(" What they come to is told where the job says when it starts.");
    }
    if usual {
        said.push_str(" Tools marked (usual), and levels that no `tool` says, are from memory and not your tool's: read its papers.");
    }
    paper.push(Part::Text(Words::from(said)));
    let columns = vec![
        Column::text("step", "Step"),
        Column::text("tool", "Tool"),
        Column::text("runs", "Runs"),
        Column::text("level", "At the ear"),
        Column::figure("noise", "Day's noise", "%").number("noise"),
        Column::text("shakes", "Shakes"),
        Column::figure("shaking", "A(8)", "m/s2").number("shaking"),
        Column::text("most", "A day at most"),
    ];
    let rows = Rows::formula(move |lines| {
        all.iter().try_for_each(|at| {
            lines.item(|row| {
                let job = &compiled.job;
                row.of(job.name(at.step)).text(job.name(at.step));
                let places: BTreeSet<usize> = at
                    .noise
                    .iter()
                    .map(|noise| noise.used)
                    .chain(at.shaking.iter().map(|shaking| shaking.used))
                    .collect();
                let names: Vec<String> =
                    places.iter().filter_map(|place| at.used.get(*place)).map(|used| tool(job, used)).collect();
                row.text(names.join(", "));
                let lasts = at.noise.as_ref().and_then(|noise| noise.lasts);
                match lasts.or(at.shaking.as_ref().and_then(|shaking| shaking.held)) {
                    Some(lasts) => row.text(show::time(lasts)),
                    None => row.text("not said"),
                };
                match &at.noise {
                    Some(noise) => row.text(show::sound(noise.level)),
                    None => row.empty(),
                };
                match at.noise.as_ref().and_then(|noise| noise.dose.as_ref()) {
                    Some(dose) => row.figure(show::percent(rounded(dose.value)), dose.value.percent()),
                    None => row.empty(),
                };
                match &at.shaking {
                    Some(shaking) => row.text(show::acceleration(shaking.shakes)),
                    None => row.empty(),
                };
                match at.shaking.as_ref().and_then(|shaking| shaking.dose.as_ref()) {
                    Some(dose) => {
                        let daily = Acceleration::from_m_s2(dose.value.daily);
                        row.figure(show::acceleration(daily), daily.m_s2())
                    }
                    None => row.empty(),
                };
                row.text(most(at));
            })
        })
    });
    paper.push(Part::Table(Table::new("tools", columns, rows)));
    by_day(compiled, paper);
}

/// What several steps of a day come to.
fn by_day<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let all = &compiled.works.day_doses;
    if all.is_empty() {
        return;
    }
    paper.push(Part::Text(Words::from("Several of them on one day, for one who does them all:")));
    let columns = vec![
        Column::text("day", "Day"),
        Column::text("steps", "Steps"),
        Column::figure("noise", "Day's noise", "%").number("noise"),
        Column::figure("shaking", "A(8)", "m/s2").number("shaking"),
    ];
    let rows = Rows::formula(move |lines| {
        all.iter().try_for_each(|day| {
            lines.item(|row| {
                let date = day.date.to_string();
                row.of(format!("job.{date}")).text(&date).text(words::names(&compiled.job, day.steps.iter().copied()));
                match &day.noise {
                    Some(noise) => row.figure(show::percent(rounded(noise.value)), noise.value.percent()),
                    None => row.empty(),
                };
                match &day.shaking {
                    Some(shaking) => {
                        let daily = Acceleration::from_m_s2(shaking.value.daily);
                        row.figure(show::acceleration(daily), daily.m_s2())
                    }
                    None => row.empty(),
                };
            })
        })
    });
    paper.push(Part::Table(Table::new("days", columns, rows)));
}

/// How long a day the worst tools may run.
fn most(at: &AtStep) -> String {
    let mut out = Vec::new();
    if let Some(noise) = &at.noise
        && noise.level.dba() >= LOUD
        && noise.permitted < Duration::from_hours(8.0)
    {
        out.push(format!("ears {}", show::time(floor(noise.permitted))));
    }
    let held = at.shaking.as_ref().and_then(|shaking| until(shaking.shakes.m_s2(), LIMIT).ok());
    if let Some(held) = held.filter(|held| *held < Duration::from_hours(8.0)) {
        out.push(format!("hands {}", show::time(floor(held))));
    }
    out.join(", ")
}
