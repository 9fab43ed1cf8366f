//! What is taken of forms and of the boards they are cut from.

use super::Rows;
use crate::{
    compile::Compiled,
    curing,
    formwork::{self, USUAL_ANGLE, usual_panels},
    schema::StandsOn,
    standards::{
        PRACTICE,
        forms::{BOARD, PANEL_STRESSES, STAKE},
        pressure::{Decided, USUAL_DENSITY},
    },
    units::{System, show},
};

/// Wood, loads, braces and stakes of every block of forms; lengths of boards.
pub(super) fn forms(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    for formed in &works.forms {
        let Some(forms) = job.forms_of(formed.forms) else { continue };
        let name = &forms.name;
        if formed.wood.1 {
            rows.add(format!("{name}: wood"), formed.wood.0.name.to_owned(), formed.wood.0.source);
        }
        let factors = "wet, for the seven days of a pour; studs share their load";
        rows.add(format!("{name}: strength of wood"), factors.to_owned(), "NDS factors, seen in textbooks on forms");
        if formed.sheets.is_some() {
            rows.add(format!("{name}: sheets"), usual_panels().to_owned(), PANEL_STRESSES[0].1.source);
        } else {
            rows.add(format!("{name}: strength of the sheathing"), format!("as of a {}", BOARD.name), BOARD.source);
        }
        rows.add(format!("{name}: sag"), "a 360th of the span, and 1/16 in".to_owned(), "textbooks on forms, seen");
        rows.add(
            format!("{name}: weight of fresh concrete"),
            show::density(USUAL_DENSITY, system).to_string(),
            PRACTICE,
        );
        // Where it presses as a liquid, its binder says nothing.
        let by_rule = formed.designs.iter().filter(|design| design.pressure.value.decided != Decided::FullHead);
        let mut mixes: Vec<_> = by_rule.filter_map(|design| Some(job.pour(design.panel.pour)?.say.mix.0)).collect();
        mixes.sort_unstable();
        mixes.dedup();
        for mix in mixes.into_iter().filter_map(|mix| job.mix(mix)) {
            let cement = curing::cement(&mix.say, system).word();
            let taken = format!("of {cement}, with no retarder in it");
            rows.add(format!("{name}: how {} sets", mix.name), taken, PRACTICE);
        }
        if let Some(brace) = &forms.say.brace {
            if brace.value.angle.is_none() {
                rows.add(format!("{name}: angle of braces"), show::angle(USUAL_ANGLE).to_string(), PRACTICE);
            }
            if brace.value.height.is_none() {
                rows.add(
                    format!("{name}: height of braces"),
                    format!(
                        "three quarters of the form, down to {}",
                        match system {
                            System::Feet => "a whole inch",
                            System::Metric => "25 mm",
                        }
                    ),
                    PRACTICE,
                );
            }
        }
        let on_stakes = |on: StandsOn, holds: bool| on == StandsOn::Stakes && !holds;
        let brace = forms.say.brace.as_ref().is_some_and(|one| on_stakes(one.value.on, one.value.holds.is_some()));
        if brace || forms.say.kick.as_ref().is_some_and(|one| on_stakes(one.value.on, one.value.holds.is_some())) {
            rows.add(format!("{name}: a stake"), show::force(STAKE.value, system).to_string(), STAKE.source);
        }
    }
    for plan in &works.boards {
        if !job.stocks.iter().any(|stock| stock.say.item.0 == plan.size) {
            let lengths = formwork::usual_lengths(system).map(|length| show::exact(length, system).to_string());
            rows.add(format!("{}: stock", job.name(plan.size)), format!("boards of {}", lengths.join(", ")), PRACTICE);
        }
    }
}
