//! What stands there and what is added.

use crate::{
    compile::Compiled,
    concrete::{Key, Keys, LegAt},
    reports::{Column, Paper, Part, Rows, Table, Words, measures::Measures, quantities, words},
    schema::{BlockId, Levels},
    units::{System, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    stands(compiled, paper);
    adds(compiled, paper);
}

fn stands<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let system = job.system();
    let mut lines: Vec<Words> = Vec::new();
    for wall in &job.walls {
        let mut text = Words::default().strong(format_args!("Wall {}", wall.name));
        if let Some(made) = &wall.say.of {
            text = text.plain(format_args!(
                " of {}{}",
                if made.hollow.is_some() { "hollow " } else { "" },
                made.of.word()
            ));
            if let Some(strength) = made.strength {
                text = text.plain(format_args!(", {}", show::stress(strength.0, system)));
                if made.assumed.is_some() {
                    text = text.plain(" (assumed, not tested)");
                }
            }
        }
        if let Some(wood) = wall.say.wood {
            text = text.plain(format_args!("; lowest wood at {}", show::place(wood, system)));
        }
        lines.push(text);
    }
    for footing in &job.footings {
        let (thick, out) = (footing.say.thick.0, footing.say.out.0);
        lines.push(Words::default().strong(format_args!("Footing {}", footing.name)).plain(format_args!(
            " under {}, {} thick, standing out {}",
            job.name(footing.say.under.0),
            show::exact(thick, system),
            show::exact(out, system)
        )));
    }
    for slab in &job.slabs {
        lines.push(Words::default().strong(format_args!("Slab {}", slab.name)).plain(format_args!(
            ", {} thick, top at {}",
            show::exact(slab.say.thick.0, system),
            show::place(slab.say.top, system)
        )));
    }
    for ground in &job.grounds {
        let mut text = Words::default().strong("Ground");
        if let Some(outside) = &ground.say.outside {
            text = text.plain(format_args!(" outside at {}", show::place(outside.level, system)));
            if let Some(falls) = outside.falls {
                text = text.plain(format_args!(", falling {} away", show::percent(falls)));
            }
        }
        if let Some(inside) = ground.say.inside {
            text = text.plain(format_args!("; inside at {}", show::place(inside, system)));
        }
        lines.push(text);
    }
    lines.extend(in_the_way(compiled));
    if lines.is_empty() && job.walls.is_empty() && job.lines.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("What stands there")));
    if !lines.is_empty() {
        paper.push(Part::Bullets(lines));
    }
    if !job.walls.is_empty() || !job.lines.is_empty() {
        paper.push(Part::Text(Words::from(if job.walls.is_empty() {
            "Stand in front of the line: stations run from left to right and start again at 0 on each leg; what is measured out of the face is measured out of the line, towards you; levels go up from level 0."
        } else {
            "Stand in front of the face: stations run from left to right and start again at 0 on each leg; levels go up from level 0."
        })));
        paper.push(Part::Table(legs(compiled)));
    }
    for strip in &compiled.works.strips {
        paper.push(Part::Text(
            Words::default().strong(format_args!("To be broken out, {}:", job.name(strip.id))).plain(format_args!(
                " {}, {} out from the face; {} of slab, {} thick: {} as it lies",
                words::stretches(job, &compiled.works.standing, &strip.runs),
                show::exact(strip.out, system),
                show::area(strip.area, system),
                show::exact(strip.thick, system),
                show::volume(strip.volume, system)
            )),
        ));
    }
}

/// What is kept clear, and the cracks.
fn in_the_way(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let system = job.system();
    let mut lines = Vec::new();
    for clear in &job.clears {
        let what = if clear.title.is_empty() { clear.name.as_str() } else { clear.title.as_str() };
        let mut text = Words::default().strong(format_args!("Keep clear of {what}")).plain(format_args!(
            ": {}, {} around",
            places(compiled, clear.id),
            show::exact(clear.say.radius.0, system)
        ));
        if let Some(height) = clear.say.height {
            text = text.plain(format_args!(", level {}", levels(height, system)));
        }
        if let Some(offset) = clear.say.offset {
            text = text.plain(format_args!(", {} out from the face", levels(offset, system)));
        }
        lines.push(text);
    }
    for crack in &job.cracks {
        lines.push(Words::default().strong(format_args!("Crack {}", crack.name)).plain(format_args!(
            ": {}, level {}, {} wide{}",
            places(compiled, crack.id),
            levels(crack.say.height.value, system),
            show::exact(crack.say.gap.0, system),
            if crack.say.through.is_some() { ", through to the other side" } else { "" }
        )));
    }
    lines
}

/// "old.back at 2', 6'; old.side, 0 to 3'".
fn places(compiled: &Compiled, thing: BlockId) -> String {
    let job = &compiled.job;
    let system = job.system();
    let mut out: Vec<String> = Vec::new();
    let mut before: Option<LegAt> = None;
    for obstacle in compiled.works.obstacles.of(thing) {
        let from = show::place(obstacle.from, system);
        match out.last_mut() {
            Some(last) if obstacle.from == obstacle.to && before == Some(obstacle.on) => {
                last.push_str(&format!(", {from}"))
            }
            _ if obstacle.from == obstacle.to => {
                out.push(format!("{} at {from}", words::leg(job, &compiled.works.standing, obstacle.on)));
            }
            _ => out.push(words::stretch(
                job,
                &compiled.works.standing,
                (obstacle.on, obstacle.from),
                (obstacle.on, obstacle.to),
            )),
        }
        before = (obstacle.from == obstacle.to).then_some(obstacle.on);
    }
    out.join("; ")
}

/// "4\"" or "4\" to 22\"".
fn levels(levels: Levels, system: System) -> String {
    if levels.from == levels.to {
        return show::place(levels.from, system).to_string();
    }
    format!("{} to {}", show::place(levels.from, system), show::place(levels.to, system))
}

fn legs(compiled: &Compiled) -> Table<'_> {
    let job = &compiled.job;
    let measures = Measures(job.system());
    let mut columns = vec![Column::text("leg", "Leg"), measures.lengths("length", "Length").written()];
    // A line has no thickness and no levels of its own.
    let has_walls = !job.walls.is_empty();
    if has_walls {
        columns.extend(
            [("thick", "Thick"), ("bottom", "Bottom"), ("top", "Top")]
                .map(|(key, head)| measures.lengths(key, head).written()),
        );
    }
    columns.push(Column::text("then", "Then"));
    Table::new(
        "legs",
        columns,
        Rows::formula(move |lines| {
            let standing = &compiled.works.standing;
            for (at, chain) in standing.chains.iter().enumerate() {
                let wall = job.wall(chain.wall).is_some();
                for leg in 0..chain.legs.len() {
                    let on = LegAt {
                        chain: u32::try_from(at).unwrap_or(u32::MAX),
                        leg: u16::try_from(leg).unwrap_or(u16::MAX),
                    };
                    lines.item(|row| {
                        row.text(words::leg(job, standing, on));
                        measures.length(row, standing.length(on));
                        match (standing.thickness(on), standing.heights(on)) {
                            (Some(thick), Some((bottom, top))) if wall => {
                                measures.length(row, thick);
                                measures.place(row, bottom);
                                measures.place(row, top);
                            }
                            _ if has_walls => {
                                row.empty().empty().empty();
                            }
                            _ => {}
                        }
                        row.text(match chain.run.turn_after(leg) {
                            None => "end".to_owned(),
                            Some(turn) if turn.abs() < 0.05 => "straight on".to_owned(),
                            Some(turn) => {
                                let way = if turn > 0.0 { "away from you" } else { "towards you" };
                                if (turn.abs() - 90.0).abs() < 0.05 {
                                    format!("turns {way}")
                                } else {
                                    format!("turns {} deg {way}", show::decimal(turn.abs(), 1))
                                }
                            }
                        });
                    })?;
                }
            }
            Ok(())
        }),
    )
}

fn adds<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.sections.placed.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("What is added")));
    paper.push(Part::Table(quantities::sections::table(compiled)));
    let works = &compiled.works;
    let keys = Keys::new(&compiled.job, &works.standing, &works.sections, &works.solids);
    for placed in &compiled.works.sections.voids {
        let system = compiled.job.system();
        let Some(void) = compiled.job.voids.iter().find(|void| void.id == placed.id) else { continue };
        let (head, more) = match keys.of(placed) {
            Some(Key::Filled(section)) => {
                let name = compiled.job.name(section);
                ("Boxed out, then filled", format!("; kept open until {name} is cast, whose concrete fills it"))
            }
            Some(Key::RunsIn(section)) => {
                let name = compiled.job.name(section);
                let more = format!(
                    "; open at its top, where the concrete of {name} runs in. That is in none of the figures: write a section that fills it, in the pour of {name}"
                );
                ("Boxed out", more)
            }
            None => ("Left empty", String::new()),
        };
        // Where forms stand their table tells the box and its boards.
        let is_boxed = works.forms.iter().flat_map(|forms| &forms.boxes).any(|one| one.void == placed.id);
        let boxed = if is_boxed {
            ""
        } else {
            ". No forms are written there: a box as large outside keeps it empty, held so that it neither floats up nor is pushed aside; its boards are in no list"
        };
        paper.push(Part::Text(Words::default().strong(format_args!("{head}, {}:", void.name)).plain(format_args!(
            " in {}, {}, level {} to {}{}{more}{boxed}",
            compiled.job.name(void.say.section.value.0),
            words::stretches(&compiled.job, &compiled.works.standing, &placed.runs),
            show::place(void.say.height.value.from, system),
            show::place(void.say.height.value.to, system),
            void.say.offset.map_or_else(String::new, |offset| format!(
                ", {} to {} out from the face",
                show::exact(offset.value.from, system),
                show::exact(offset.value.to, system)
            ))
        ))));
    }
}
