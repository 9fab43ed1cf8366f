//! The sections that are added.

use crate::{
    compile::Compiled,
    concrete::Class,
    job::Thing,
    reports::{Column, Rows, Table, measures::Measures, words},
    schema::{Base, CastSide, Section},
    units::{System, show},
};

/// The sections, for the order and the tally alike.
pub(in crate::reports) fn table(compiled: &Compiled) -> Table<'_> {
    let job = &compiled.job;
    let measures = Measures(job.system());
    let columns = vec![
        Column::text("section", "Section"),
        Column::text("along", "Along"),
        Column::text("thick", "Thick"),
        measures.lengths("bottom", "Bottom").written(),
        measures.lengths("top", "Top").written(),
        Column::text("rests", "Rests on"),
        measures.volumes("volume", "Concrete").number("volume"),
    ];
    Table::new(
        "sections",
        columns,
        Rows::formula(move |lines| {
            for placed in &compiled.works.sections.placed {
                let Some(section) = job.section(placed.id) else { continue };
                lines.item(|row| {
                    let standing = &compiled.works.standing;
                    let system = job.system();
                    row.of(&section.name).text(&section.name).text(words::stretches(job, standing, &placed.runs));
                    row.text(thickness(section, compiled, system));
                    measures.place(row, placed.bottom);
                    measures.place(row, placed.top);
                    row.text(rests(section, compiled));
                    match compiled.works.solids.with(placed.id) {
                        Some((_, volume)) => measures.volume(row, volume),
                        None => {
                            row.text("not poured");
                        }
                    }
                })?;
            }
            Ok(())
        }),
    )
}

/// What a section rests on, as it came out; as it was written, where no pour fills it.
fn rests(section: &Thing<Section>, compiled: &Compiled) -> String {
    let base = section.say.base.unwrap_or(Base::Soil).word();
    let pour = compiled.works.solids.with(section.id).map(|(pour, _)| pour);
    let mut parts: Vec<&str> = match pour {
        None => vec![base],
        Some(pour) => {
            let under = pour.rests.iter().filter(|(id, _)| *id == section.id);
            under
                .map(|(_, class)| match class {
                    Class::OnOld => "old concrete",
                    Class::OnSlab => "slab",
                    Class::Joint => "another pour",
                    _ => base,
                })
                .collect()
        }
    };
    if parts.is_empty() {
        parts.push("its own pour");
    }
    let side = if section.say.side == Some(CastSide::Earth) { "; side against earth" } else { "" };
    format!("{}{side}", parts.join(" and "))
}

fn thickness(section: &Thing<Section>, compiled: &Compiled, system: System) -> String {
    if let Some(offset) = section.say.offset {
        let range = offset.value;
        return format!("{} to {} off the face", show::exact(range.from, system), show::exact(range.to, system));
    }
    let Some(thick) = &section.say.thick else { return String::new() };
    let mut text = show::exact(thick.value.thick.0, system).to_string();
    for other in &thick.value.on.0 {
        if let Some(leg) = compiled.works.standing.place(other.leg.value) {
            let leg = words::leg(&compiled.job, &compiled.works.standing, leg);
            text.push_str(&format!(", {} on {leg}", show::exact(other.value.0, system)));
        }
    }
    text
}
