//! The forms: how hard the concrete presses, what holds them and how well, and what they are built from.

use super::cuts;
use crate::{
    compile::Compiled,
    cutting::Proof,
    formwork::{Boards, BoxOut, Formwork, Hold, PartSort, Sort, Use, boards_high, limit_word, member_name, tidy},
    reports::{Column, Paper, Part, Row, Rows, Table, Weight, Words, figures::shown},
    schema::StandsOn,
    standards::pressure::Decided,
    units::{Length, System, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    if works.forms.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Forms")));
    paper.push(Part::Caution(Words::from(
        "wet concrete presses like a liquid more than twice as heavy as water. Nobody stands before a form while it is filled; one looks along it after every layer, and the pour stops when a line moves. These figures plan and check; they are no design by a licensed engineer, and local codes go before them.",
    )));
    for forms in &works.forms {
        one(compiled, forms, paper);
    }
    let table = parts(compiled);
    if let Some(table) = table {
        paper.push(Part::Heading(3, Words::from("Pieces of the forms")));
        paper.push(Part::Table(table));
    }
    let joints = joints(compiled);
    if !joints.is_empty() {
        let beside = match compiled.job.system() {
            System::Feet => "2 ft",
            System::Metric => "600 mm",
        };
        paper.push(Part::Text(Words::from(format!(
            "Longer than any board, and made of the pieces above: {}. Each joint gets a board over it on the free side, {beside} to either side where there is room, nailed as the studs are (common practice, no source).",
            joints.join("; ")
        ))));
    }
    for plan in &works.boards {
        let size = compiled.job.name(plan.size);
        paper.push(Part::Table(cutting(compiled, plan).caption(format!("Sawing {size}"))));
        let cost = plan.cost.map_or_else(String::new, |cost| format!("{} in all. ", show::money(cost)));
        paper.push(Part::Text(Words::from(cost + &sure(plan, compiled.job.system()))));
    }
    for forms in &works.forms {
        if let Some(sheets) = &forms.sheets {
            let size = compiled.job.name(sheets.size);
            paper.push(Part::Table(
                layout(compiled, forms).caption(format!("Sawing {size} for {}", compiled.job.name(forms.forms))),
            ));
            let boxed = if forms.boxes.iter().any(|one| !one.boards.is_empty()) {
                " The boards of the boxes are among them."
            } else {
                ""
            };
            let kerf = show::told(sheets.kerf, compiled.job.system());
            paper.push(Part::Text(Words::from(format!(
                "Strips the height of the forms, the face grain along the wall, joined on studs; where two faces meet at a corner of the concrete, one reaches past the other by its thickness, and past an end they reach far enough for a cleat.{boxed} A sensible layout, with {kerf} for each cut, not proved to take the fewest sheets.",
            ))));
        }
    }
}

fn one<'w>(compiled: &'w Compiled, forms: &'w Formwork, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let system = job.system();
    let name = job.name(forms.forms);
    paper.push(Part::Heading(3, Words::from(format!("{name}: {} to form", show::area(forms.area(), system)))));
    let mut facts: Vec<(Words, Words)> = Vec::new();
    for design in &forms.designs {
        let section = job.name(design.section);
        let pressure = design.pressure.value;
        let decided = match pressure.decided {
            Decided::Rate => "by how fast it rises",
            Decided::Least => "the least of the rule",
            Decided::FullHead => "as of a liquid, all of its height",
        };
        let held: Vec<String> = design
            .levels
            .iter()
            .map(|level| {
                let what = match level.hold {
                    Hold::Kick => "the foot",
                    Hold::Tie(_) => "ties",
                    Hold::Brace => "braces",
                };
                let share = shown(crate::ledger::Figure::LineLoad(level.share), system);
                format!("{what} at {} hold {share}", show::place(level.height, system))
            })
            .collect();
        let head = design.head - design.panel.bottom;
        facts.push((
            Words::from(format!("At {section}")),
            Words::from(format!(
                "concrete {} high{} presses with {} at the foot ({decided}), {} of wall in all{}{}{}",
                show::exact(head, system),
                if pressure.form < pressure.height {
                    let lids =
                        job.pour(design.panel.pour).and_then(|pour| pour.say.lids.as_deref()).unwrap_or_default();
                    let over = if lids.iter().any(|lid| lid.value.0 == design.section) {
                        "under a lid"
                    } else {
                        "with more of the pour on it"
                    };
                    format!(", on a form of {} {over},", show::exact(pressure.form, system))
                } else {
                    String::new()
                },
                show::pressure(pressure.peak, system),
                shown(crate::ledger::Figure::LineLoad(design.thrust.value.force), system),
                if held.is_empty() { "" } else { ": heights above the foot, " },
                held.join(", "),
                design.top.as_ref().map_or_else(String::new, |top| {
                    let load = shown(crate::ledger::Figure::LineLoad(top.value), system);
                    format!("; against wind and a push along its top the braces are reckoned with {load}")
                })
            )),
        ));
    }
    let boards = boards(compiled, forms);
    if !boards.is_empty() {
        facts.push((Words::from("Boards of the sheathing, from the foot up"), Words::from(boards.join("; "))));
    }
    let wedged = forms.wedged.iter();
    let wedged = wedged.map(|(section, gap)| format!("{} at {}", show::exact(*gap, system), job.name(*section)));
    let wedged: Vec<String> = wedged.collect();
    if !wedged.is_empty() {
        facts.push((Words::from("Wedges between kicker and edge of the slab"), Words::from(wedged.join(", "))));
    }
    let empty = boxes(compiled, forms);
    if !empty.is_empty() {
        facts.push((Words::from("Boxes that keep voids empty"), Words::from(empty.join("; "))));
    }
    let (wood, usual) = &forms.wood;
    let usual = if *usual { ", unless the file says another" } else { "" };
    facts.push((Words::from("Wood"), Words::from(format!("{}{usual}: {}", wood.name, wood.source))));
    paper.push(Part::Facts(facts));
    if !forms.members.is_empty() {
        paper.push(Part::Table(members(compiled, forms).caption(format!("Members of {name}"))));
    }
    if forms.soffits > crate::units::Area::ZERO {
        paper.push(Part::Caution(Words::from(format!(
            "{} of underside lies over a form. What carries it is not worked out here: shores under fresh concrete are planned by a licensed engineer.",
            show::area(forms.soffits, system)
        ))));
    }
    let ends = || forms.panels.iter().filter(|panel| panel.closes == Use::Bulkhead);
    if ends().next().is_some() {
        let works = &compiled.works;
        let at_wall = ends()
            .filter_map(|panel| works.sections.find(panel.section))
            .any(|placed| placed.intervals.iter().any(|interval| works.standing.heights(interval.on).is_some()));
        paper.push(Part::Text(Words::from(format!(
            "{} closed at ends and steps: cleats on both sides nailed to the form{}.",
            crate::problem::count(ends().count(), "bulkhead is", "bulkheads are"),
            if at_wall { ", and at the old wall to something that is fixed there" } else { "" }
        ))));
    }
}

/// The boxes of a form, each with its size and its boards.
pub(super) fn boxes(compiled: &Compiled, forms: &Formwork) -> Vec<String> {
    let job = &compiled.job;
    let exact = |length: Length| show::exact(length, job.system());
    let one = |boxed: &BoxOut| {
        let (long, high, deep) = boxed.outside;
        let size = format!(
            "{}: {} long, {} high, {} deep outside",
            job.name(boxed.void),
            exact(long),
            exact(high),
            exact(deep)
        );
        let boards =
            boxed.boards.iter().map(|(long, short, count)| format!("{count} x {} by {}", exact(*long), exact(*short)));
        let boards: Vec<String> = boards.collect();
        if boards.is_empty() {
            format!("{size}, its boards to be measured there")
        } else {
            format!("{size}, of {}", boards.join(", "))
        }
    };
    forms.boxes.iter().map(one).collect()
}

/// How many boards of the sheathing stand upon each other before each section, and what the top one is ripped to.
fn boards(compiled: &Compiled, forms: &Formwork) -> Vec<String> {
    let job = &compiled.job;
    let Some(say) = job.forms_of(forms.forms).map(|forms| &forms.say) else { return Vec::new() };
    let mut out: Vec<String> = Vec::new();
    for panel in &forms.panels {
        let Some((rows, top)) = boards_high(job, say, panel) else { continue };
        let ripped = |top| format!(", the top one ripped to {}", show::exact(top, job.system()));
        let what = if panel.closes == Use::Face { "before" } else { "at the ends and steps of" };
        let says = format!(
            "{what} {} {}{}",
            job.name(panel.section),
            crate::problem::count(usize::try_from(rows).unwrap_or(usize::MAX), "board", "boards"),
            top.map(ripped).unwrap_or_default()
        );
        if !out.contains(&says) {
            out.push(says);
        }
    }
    out
}

fn word(sort: Sort) -> &'static str {
    match sort {
        Sort::Sheathing => "sheathing, stud to stud",
        Sort::Bulkhead => "sheathing of a bulkhead",
        Sort::Stud => "studs, level to level",
        Sort::StudTop => "studs above the highest level",
        Sort::StudFoot => "studs below the lowest level",
        Sort::StudBearing => "studs where walers or the kicker hold them",
        Sort::Waler => "walers",
        Sort::Tie => "ties into the old wall",
        Sort::Brace => "braces",
        Sort::Foot => "fixings of the brace feet",
        Sort::Kick => "fixings of the kicker",
        Sort::KickBoard => "kicker, fixing to fixing",
        Sort::Down => "kept down",
    }
}

/// Load, what it takes, ratio, widest spacing.
fn members<'w>(compiled: &'w Compiled, forms: &'w Formwork) -> Table<'w> {
    let job = &compiled.job;
    let system = job.system();
    let columns = vec![
        Column::text("member", "Member"),
        Column::text("at", "Hardest at"),
        Column::text("limit", "Fails first by"),
        Column::text("load", "Load"),
        Column::text("takes", "Takes"),
        Column::text("ratio", "Load / takes"),
        Column::text("widest", "Widest spacing that would do"),
    ];
    let rows = forms.members.iter().map(|member| {
        Row::new(Weight::Item, |row| {
            let check = &member.check;
            row.of(format_args!("{}.{}", job.name(forms.forms), member_name(member.sort)));
            row.text(word(member.sort)).text(job.name(member.section)).text(limit_word(check.limit));
            row.text(shown(check.load, system));
            if check.ratio.is_finite() {
                row.text(shown(check.capacity, system)).text(show::decimal(check.ratio, 2));
            } else {
                row.text("nothing").text("-");
            }
            match member.widest.and_then(|widest| tidy(widest, system)) {
                Some(widest) if widest < Length::FOOT * 20 => row.text(show::exact(widest, system)),
                Some(_) => row.text("any"),
                None => row.text("-"),
            };
        })
    });
    Table::new("members", columns, rows.collect::<Vec<_>>())
}

/// Where what is longer than any board is joined, form by form.
fn joints(compiled: &Compiled) -> Vec<String> {
    let job = &compiled.job;
    let all = compiled.works.forms.iter().flat_map(|forms| forms.joined.iter().map(move |joined| (forms, joined)));
    all.map(|(forms, joined)| {
        let say = job.forms_of(forms.forms).map(|forms| &forms.say);
        let is_tied = say.is_some_and(|say| say.ties.is_some());
        let on_bank = say.and_then(|say| say.kick.as_ref()).is_some_and(|kick| kick.value.on == StandsOn::Bank);
        let (what, on) = match joined.sort {
            PartSort::Sheathing => ("boards of the sheathing", "on the middle of a stud, every second one on another"),
            PartSort::Stud => ("studs", ""),
            PartSort::Cleat => ("cleats", ""),
            PartSort::Waler if is_tied => {
                ("walers", "on the middle of a brace, or of a stud beside a tie, no two in one place")
            }
            PartSort::Waler => ("walers", "on the middle of a brace, of two side by side each on another"),
            PartSort::Kick if on_bank => ("kickers", "on the middle of a stud"),
            PartSort::Kick => ("kickers", "at a fixing"),
            PartSort::Brace => ("braces", ""),
        };
        let on = if joined.on_support { on } else { "where the longest board ends: nothing carries them there" };
        format!("{what} of {}, joined {on}", job.name(forms.forms))
    })
    .collect()
}

fn part_word(sort: PartSort) -> &'static str {
    match sort {
        PartSort::Sheathing => "sheathing",
        PartSort::Stud => "stud",
        PartSort::Cleat => "cleat of a bulkhead",
        PartSort::Waler => "waler",
        PartSort::Kick => "kicker",
        PartSort::Brace => "brace, ends still square",
    }
}

fn parts(compiled: &Compiled) -> Option<Table<'_>> {
    let job = &compiled.job;
    let system = job.system();
    let columns = vec![
        Column::text("forms", "Forms"),
        Column::text("part", "Piece"),
        Column::text("size", "Of"),
        Column::text("length", "Length"),
        Column::count("count", "Pieces").written(),
        Column::mark("done", "Sawn"),
    ];
    let rows: Vec<Row> = compiled
        .works
        .forms
        .iter()
        .flat_map(|forms| forms.parts.iter().map(move |part| (forms, part)))
        .map(|(forms, part)| {
            Row::new(Weight::Item, |row| {
                row.text(job.name(forms.forms)).text(part_word(part.sort)).text(job.name(part.size));
                row.text(show::place(part.length, system)).count(i64::try_from(part.count).unwrap_or(i64::MAX)).tick();
            })
        })
        .collect();
    (!rows.is_empty()).then(|| Table::new("form-pieces", columns, rows))
}

fn cutting<'w>(compiled: &'w Compiled, plan: &'w Boards) -> Table<'w> {
    let system = compiled.job.system();
    let columns = vec![
        Column::text("boards", "Boards"),
        Column::text("stock", "Each from"),
        Column::text("pieces", "Sawn, in this order"),
        Column::text("left", "Left of each"),
        Column::mark("cut_done", "Sawn"),
    ];
    let rows = Rows::formula(move |lines| {
        for cut in &plan.cuts {
            let Some(source) = plan.sources.get(cut.source) else { continue };
            let pieces: Vec<String> = cut
                .pieces
                .iter()
                .map(|(length, count)| format!("{count} x {}", show::place(*length, system)))
                .collect();
            let left = (cut.left > Length::ZERO).then(|| show::place(cut.left, system));
            lines.item(|row| cuts::fill(row, cut.times, source, &pieces, left, system))?;
        }
        Ok(())
    });
    Table::new("boards", columns, rows)
}

fn sure(plan: &Boards, system: System) -> String {
    let kerf = show::told(plan.kerf, system);
    let less = if plan.cost.is_some() { "costs less" } else { "takes less length of board" };
    match plan.proof {
        Proof::Material | Proof::Search | Proof::Certificate(_) => {
            format!("No plan {less}, with {kerf} for each cut.")
        }
        Proof::NotProven => {
            format!("The best plan found, with {kerf} for each cut; it is not proved that none {less}.")
        }
    }
}

fn layout<'w>(compiled: &'w Compiled, forms: &'w Formwork) -> Table<'w> {
    let system = compiled.job.system();
    let columns = vec![
        Column::text("sheets", "Sheets"),
        Column::text("pieces", "Sawn out of each: along the sheet by across"),
        Column::mark("cut_done", "Sawn"),
    ];
    let rows = Rows::formula(move |lines| {
        for line in forms.sheets.iter().flat_map(|sheets| &sheets.lines) {
            let pieces: Vec<String> = line
                .pieces
                .iter()
                .map(|(length, height, count)| {
                    format!("{count} x {} by {}", show::place(*length, system), show::place(*height, system))
                })
                .collect();
            lines.item(|row| {
                row.text(line.times).text(pieces.join(", ")).tick();
            })?;
        }
        Ok(())
    });
    Table::new("sheets", columns, rows)
}
