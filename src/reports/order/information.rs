//! Information for a licensed engineer: bars set in holes and joints by published formulas. No verdict, and no finding.

use crate::{
    compile::Compiled,
    reports::{Column, Paper, Part, Row, Rows, Table, Words, measures::Measures},
    standards::{
        Unanswered,
        anchors::{Category, Failure, SUSTAINED, Service, Unmet, default_bond, phi},
        friction::{PHI, Surface},
    },
    steel::{Anchored, Governs, JointShear, Uncovered, surface_word},
    units::{Force, Length, System, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    if works.anchored.is_empty() && works.joints.is_empty() {
        return;
    }
    let system = compiled.job.system();
    paper.push(Part::Heading(2, Words::from("Information for a licensed engineer")));
    paper.push(Part::Text(Words::from(
        "These are published formulas worked with this job's figures. They are no verdict: nothing here says that anything is safe or complies, and no finding comes of them. Strengths are nominal, without load factors and strength reduction factors.",
    )));
    if !works.anchored.is_empty() {
        anchors(compiled, paper, system);
    }
    if !works.joints.is_empty() {
        joints(compiled, paper);
    }
}

fn anchors<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>, system: System) {
    paper.push(Part::Heading(3, Words::from("Bars set in holes")));
    paper.push(Part::Text(Words::from(bond_taken(compiled, system))));
    paper.push(Part::Table(set(compiled)));
    paper.push(Part::Table(strengths(compiled)));
    let lines: Vec<Words> = compiled
        .works
        .anchored
        .iter()
        .flat_map(|anchored| anchored.uncovered.iter().map(move |uncovered| (anchored, uncovered)))
        .map(|(anchored, uncovered)| {
            let words = Words::new().strong(format_args!("{}, not covered:", called(compiled, anchored)));
            words.plain(" ").plain(why(*uncovered, system))
        })
        .collect();
    if !lines.is_empty() {
        paper.push(Part::Bullets(lines));
    }
    if compiled.works.anchored.iter().any(|anchored| anchored.as_drilled) {
        paper.push(Part::Text(Words::from(
            "As drilled: the holes where they are and as they are recorded, without those that are left empty; the shallowest depth counts for all. The joints below are worked out with these.",
        )));
    }
    let by_category = [Category::One, Category::Two, Category::Three]
        .map(|category| show::decimal(phi(Failure::ConcreteInTension, false, category), 2).to_string());
    let [one, two, three] = by_category;
    paper.push(Part::Text(Words::from(format!(
        "All bars of one leg count as one group that carries one tension, without eccentricity, in cracked concrete of normal weight. Reduction factors (ACI 318-19 Table 17.5.3): {} for yield, {one}, {two} or {three} for bond and breakout by the category the adhesive is qualified in, without supplementary reinforcement. Of tension that stays, {} of the bond counts, and a bar may take 0.55 times its factor of that (17.5.2.2). A bar set less deep than its development length is a tie across the joint and no lap.",
        show::decimal(phi(Failure::SteelInTension, false, Category::One), 2),
        show::decimal(SUSTAINED, 2),
    ))));
}

/// The holes of a row of figures, in words.
fn called(compiled: &Compiled, anchored: &Anchored) -> String {
    let name = compiled.job.name(anchored.holes);
    if anchored.as_drilled { format!("{name}, as drilled") } else { name.to_owned() }
}

/// The bond stresses that were taken, and what they hang on.
fn bond_taken(compiled: &Compiled, system: System) -> String {
    let all = &compiled.works.anchored;
    let taken: Vec<String> =
        [(Service::Outdoor, "outdoors or below the ground outside"), (Service::Indoor, "indoors and dry")]
            .into_iter()
            .filter(|(service, _)| {
                all.iter().any(|anchored| anchored.service == *service && anchored.strength.is_some())
            })
            .map(|(service, words)| {
                let bond = default_bond(service, system);
                let (cracked, uncracked) = (show::stress(bond.cracked, system), show::stress(bond.uncracked, system));
                format!("{words} {cracked}, uncracked {uncracked}")
            })
            .collect();
    if taken.is_empty() {
        return "No rule for concrete covers what these holes are drilled into.".to_owned();
    }
    format!(
        "Bond stress: the default of ACI 318-19 Table 17.6.5.2.5, in cracked concrete {}. It holds for an adhesive qualified by ACI 355.4, holes made with a hammer drill, concrete 21 days old, 50 degF (10 degC) warm and of 2500 psi (17 MPa) at least; a product's own figures go before it.",
        taken.join("; ")
    )
}

fn set(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("holes", "Holes"),
        Column::text("bars", "Bars"),
        measures.lengths("bore", "Bore").number("bore"),
        measures.lengths("depth", "Set deep").number("depth"),
        measures.lengths("spacing", "Apart").number("spacing"),
        measures.lengths("edge", "To an edge").number("edge"),
        measures.stresses("concrete", "Concrete").number("concrete"),
        measures.lengths("to_yield", "To yield by bond").number("embedment-to-yield"),
        measures.lengths("development", "Development").number("development"),
        Column::count("share", "Share of it").number("developed"),
    ];
    let length = move |row: &mut Row, length: Option<Length>| match length {
        Some(length) => measures.place(row, length),
        None => _ = row.empty(),
    };
    let rows = Rows::formula(move |lines| {
        for anchored in &compiled.works.anchored {
            let Some(set) = compiled.works.sets.get(&anchored.holes) else { continue };
            lines.item(|row| {
                row.of(&anchored.name).text(called(compiled, anchored)).text(format_args!(
                    "{} of {}",
                    anchored.count,
                    compiled.job.name(anchored.size)
                ));
                // Each may have been drilled another width.
                length(row, Some(set.wide).filter(|_| !anchored.as_drilled));
                length(row, Some(anchored.deep));
                length(row, anchored.spacing);
                length(row, anchored.edge);
                match anchored.strength {
                    Some(strength) => measures.stress(row, strength),
                    None => _ = row.empty(),
                }
                length(row, anchored.to_yield);
                length(row, anchored.development);
                match anchored.developed {
                    Some(share) => row.figure(show::decimal(share, 2), share),
                    None => row.empty(),
                };
            })?;
        }
        Ok(())
    });
    Table::new("anchors", columns, rows).caption("As they are set, and what would develop them")
}

fn strengths(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("holes", "Holes"),
        measures.forces("bond_of_one", "Bond of one").number("bond-of-one"),
        measures.forces("bond", "Bond of all").number("bond"),
        measures.forces("breakout", "Breakout of all").number("breakout"),
        measures.forces("yield", "Yield of all").number("bars-yield"),
        measures.forces("least", "The least").number("least"),
        Column::text("governs", "Which is"),
    ];
    let rows = Rows::formula(move |lines| {
        for anchored in &compiled.works.anchored {
            lines.item(|row| {
                row.of(&anchored.name).text(called(compiled, anchored));
                force(row, measures, anchored.bond_of_one);
                force(row, measures, anchored.bond);
                force(row, measures, anchored.breakout);
                force(row, measures, Some(anchored.yields));
                force(row, measures, anchored.least.map(|(_, least)| least));
                row.text(governs(anchored));
            })?;
        }
        Ok(())
    });
    Table::new("anchor-strengths", columns, rows).caption("Nominal strengths in tension")
}

fn governs(anchored: &Anchored) -> &'static str {
    match anchored.least {
        Some((Governs::Bond, _)) => "bond",
        Some((Governs::Breakout, _)) => "breakout",
        Some((Governs::Yield, _)) => "yield",
        None => "not known",
    }
}

fn force(row: &mut Row, measures: Measures, force: Option<Force>) {
    match force {
        Some(force) => measures.force(row, force),
        None => _ = row.empty(),
    }
}

/// Why a figure is missing.
fn why(uncovered: Uncovered, system: System) -> String {
    match uncovered {
        Uncovered::Material(stuff) => format!("the holes go into {stuff}; only a trial tells what holds there"),
        Uncovered::Bond(unmet) => {
            let what = match unmet {
                Unmet::NotQualified => "the adhesive is not qualified by ACI 355.4".to_owned(),
                Unmet::Cored => "the holes are cored".to_owned(),
                Unmet::Damp => "the concrete is damp indoors".to_owned(),
                Unmet::Weak(least) => format!("the concrete is weaker than {}", show::stress(least, system)),
                Unmet::Young(age) => format!("the concrete is younger than {}", show::time(age)),
                Unmet::Cold(least) => {
                    format!("the lowest temperature the job gives is below {}", show::temperature(least, system))
                }
            };
            format!("{what}, and the default bond stresses do not hold (Table 17.6.5.2.5)")
        }
        Uncovered::Rule(Unanswered::Outside(symbol, covers)) => format!("{symbol}: {covers}"),
        Uncovered::Rule(Unanswered::Nothing(symbol)) => format!("{symbol} is nothing"),
        Uncovered::Top => {
            "holes in a top or a floor are not reckoned as a group; the bond of one stands alone".to_owned()
        }
        Uncovered::Leans => "holes that lean are not reckoned as a group; the bond of one stands alone".to_owned(),
        Uncovered::Many(count) => format!("{count} holes on one leg are not reckoned as a group"),
    }
}

fn joints<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    paper.push(Part::Heading(3, Words::from("Joints between new and old")));
    let roughened = compiled.job.prepares.iter().any(|prepare| prepare.say.roughen.is_some());
    let said = if roughened {
        "The file says which old faces are roughened; what comes of it where it is not done stands beside it, and 1/4 in (6 mm) of roughness must really be made."
    } else {
        "The file does not say that an old face is roughened, so both surfaces are worked out; 1/4 in (6 mm) of roughness must be made."
    };
    paper.push(Part::Text(Words::from(format!(
        "Shear friction by ACI 318-19 22.9, reduction factor {} not in it. {said} The rule wants bars that can yield on both sides of the joint (22.9.5.1): the last column takes no more force in them than their anchors hold in tension.",
        show::decimal(PHI, 2)
    ))));
    paper.push(Part::Table(contacts(compiled)));
    if works.joints.iter().any(|joint| !joint.surfaces.is_empty()) {
        paper.push(Part::Table(frictions(compiled)));
    }
    let lines: Vec<Words> = works
        .joints
        .iter()
        .filter_map(|joint| {
            let says = match joint.material {
                Some(stuff) => format!("the old work is {stuff}; the rule covers concrete"),
                None if joint.leaning => "dowels that lean through the joint are not worked out (22.9.4.3)".to_owned(),
                None if joint.dowels == 0 => "no dowel goes through it".to_owned(),
                None if joint.surfaces.is_empty() => "the rule does not answer for these figures".to_owned(),
                None => return None,
            };
            let pair = pair(compiled, joint);
            Some(Words::new().strong(format_args!("{pair}, not covered:")).plain(" ").plain(says))
        })
        .collect();
    if !lines.is_empty() {
        paper.push(Part::Bullets(lines));
    }
}

fn pair(compiled: &Compiled, joint: &JointShear) -> String {
    format!("{} to {}", compiled.job.name(joint.pour), compiled.job.name(joint.wall))
}

fn name(compiled: &Compiled, joint: &JointShear) -> String {
    format!("{}.joint.{}", compiled.job.name(joint.pour), compiled.job.name(joint.wall))
}

fn contacts(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("joint", "Joint"),
        measures.areas("contact", "Contact").number("contact"),
        Column::count("dowels", "Dowels").number("dowels"),
        measures.small_areas("steel", "Their area").number("steel"),
        measures.forces("held", "Their anchors hold").number("held"),
    ];
    let rows = Rows::formula(move |lines| {
        for joint in &compiled.works.joints {
            lines.item(|row| {
                row.of(name(compiled, joint)).text(pair(compiled, joint));
                measures.area(row, joint.contact);
                if joint.dowels == 0 {
                    row.empty().empty();
                } else {
                    row.count(i64::try_from(joint.dowels).unwrap_or(i64::MAX));
                    measures.small_area(row, joint.steel);
                }
                force(row, measures, joint.held);
            })?;
        }
        Ok(())
    });
    Table::new("joints", columns, rows).caption("What crosses each joint")
}

fn frictions(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("joint", "Joint"),
        Column::text("surface", "Old face"),
        Column::text("mu", "mu"),
        measures.forces("limit", "At most").number("limit"),
        measures.forces("nominal", "Vn, bars yield").number("nominal"),
        measures.forces("held", "Vn, as anchors hold").number("held"),
    ];
    let rows = Rows::formula(move |lines| {
        for joint in &compiled.works.joints {
            for friction in &joint.surfaces {
                lines.item(|row| {
                    let surface = match friction.surface {
                        Surface::Roughened => "roughened",
                        Surface::Plain => "clean, not roughened",
                        Surface::Monolithic => "one pour",
                        Surface::Steel => "steel",
                    };
                    row.of(format_args!("{}.{}", name(compiled, joint), surface_word(friction.surface)))
                        .text(pair(compiled, joint))
                        .text(surface)
                        .text(format_args!("{:.1}", friction.mu));
                    measures.force(row, friction.limit);
                    measures.force(row, friction.nominal);
                    force(row, measures, friction.held);
                })?;
            }
        }
        Ok(())
    });
    Table::new("joint-strengths", columns, rows).caption("Nominal strengths in shear")
}
