//! Everything that was taken because nobody said otherwise.

use std::collections::BTreeSet;

use crate::{
    compile::Compiled,
    concrete::{Class, USUAL_WASTE},
    curing::{self, AS_AIR, Act, DATUM, MEAN_OF_DAY, STRAIGHT_DAY, STRIP_STRENGTH},
    formwork::{self, USUAL_ANGLE, usual_panels},
    hazards::{Load, PAIL, USUAL_HANDS, USUAL_RATE, usual_hands, usual_noise, usual_shaking},
    holes,
    placing::Trip,
    plan::USUAL_LOOK,
    reports::{Column, Row, Table, Weight},
    schema::{BlockId, Show, StandsOn, Strong},
    standards::{
        curing::{BACKFILL_PART, HAND_LAYER, SIDE_FORMS, USUAL_KNITTING},
        forms::{BOARD, PANEL_STRESSES, STAKE},
        handwork::{RODDING, SETTING, STIFFENING, TIPPING, TRIP, WALKING},
        mending::{PATCH_LOSS, RESIN_LOSS},
        pressure::{Decided, USUAL_DENSITY},
    },
    steel::{USUAL_ENDS, longest_stock, usual_strength},
    units::{Length, Ratio, System, show},
};

const PRACTICE: &str = "common practice, no source";

/// What the yields of the library's mixes rest on.
pub(in crate::reports) const MIX_SOURCE: &str = "published yield tables; the label on the bag goes before";

/// The table; none if nothing was.
pub(in crate::reports) fn table(compiled: &Compiled) -> Option<Table<'static>> {
    let rows = rows(compiled);
    if rows.is_empty() {
        return None;
    }
    let columns = vec![
        Column::text("what", "What"),
        Column::text("taken", "Taken"),
        Column::text("source", "Where it comes from"),
    ];
    let rows: Vec<Row> = rows
        .iter()
        .map(|(what, taken, source)| {
            Row::new(Weight::Item, |row| {
                row.text(what).text(taken).text(source);
            })
        })
        .collect();
    Some(Table::new("usual", columns, rows))
}

/// What, what was taken for it, and where that comes from.
/// A length that is taken as usual: whole millimetres in metric, for it was thought of in inches.
fn usual(length: Length, system: System) -> show::Shown {
    match system {
        System::Feet => show::exact(length, system),
        System::Metric => show::place(length, system),
    }
}

fn rows(compiled: &Compiled) -> Vec<(String, String, String)> {
    let job = &compiled.job;
    let works = &compiled.works;
    let system = job.system();
    let none = "no source";
    let mut rows: Vec<(String, String, String)> = Vec::new();
    let mut row = |what: String, taken: String, why: &str| rows.push((what, taken, why.to_owned()));
    if job.head.as_ref().is_none_or(|head| head.say.show.is_none()) {
        row("job: show".to_owned(), Show::Feet.word().to_owned(), "the language's own default");
    }
    for mixing in works.mixings.iter().filter(|mixing| mixing.usual_waste) {
        let taken = show::percent(Ratio::from_fraction(USUAL_WASTE)).to_string();
        row(format!("{}: waste", job.name(mixing.pour)), taken, "common practice for formed work, no source");
    }
    young(compiled, &mut row);
    for placing in &works.placings {
        let name = job.name(placing.pour);
        let usual = placing.usual;
        if usual.crew {
            row(format!("{name}: crew"), "1".to_owned(), "the language's own default");
        }
        if usual.lift {
            row(format!("{name}: lift"), show::exact(placing.lift, system).to_string(), HAND_LAYER.source);
        }
        if usual.carry {
            let taken = format!("{} at once", show::carried(placing.plan.crew.carry, system));
            row(format!("{name}: carry"), taken, PRACTICE);
        }
        match placing.trip {
            Trip::Said(_) => {}
            Trip::Route(route, _) => {
                let (walking, tipping) = (show::speed(WALKING.value, system), show::time(TIPPING.value));
                let taken = format!("walked at {walking} along {}, and {tipping} to fill and tip it", job.name(route));
                row(format!("{name}: a trip"), taken, PRACTICE);
            }
            Trip::Usual => row(format!("{name}: a trip"), show::time(TRIP.value).to_string(), PRACTICE),
        }
        if usual.rod {
            row(format!("{name}: rod"), format!("{} a batch", show::time(RODDING.value)), PRACTICE);
        }
        let mix = job.pour(placing.pour).map_or("", |pour| job.name(pour.say.mix.0));
        if placing.knits.is_usual() {
            let taken = format!(
                "{} at {}, never more than {}",
                show::time(USUAL_KNITTING.value.reference),
                show::temperature(USUAL_KNITTING.value.at, system),
                show::time(USUAL_KNITTING.value.most)
            );
            row(format!("{mix}: knits"), taken, USUAL_KNITTING.source);
        }
        if placing.went.shortest_above_open.is_some() && placing.stiffens.is_usual() {
            let (time, at) = (STIFFENING.value.reference, STIFFENING.value.at);
            let taken = format!("{} at {}", show::time(time), show::temperature(at, system));
            row(format!("{mix}: stiffens"), taken, STIFFENING.source);
        }
    }
    if works.days.is_some() {
        if job.hours.is_empty() {
            row("hours".to_owned(), "Monday to Friday from 8:00 to 16:00".to_owned(), PRACTICE);
        }
        for look in job.looks.iter().filter(|look| look.say.takes.is_none()) {
            row(format!("{}: takes", look.name), show::time(USUAL_LOOK).to_string(), PRACTICE);
        }
    }
    for formed in &works.forms {
        let Some(forms) = job.forms_of(formed.forms) else { continue };
        let name = &forms.name;
        if formed.wood.1 {
            row(format!("{name}: wood"), formed.wood.0.name.to_owned(), formed.wood.0.source);
        }
        let factors = "wet, for the seven days of a pour; studs share their load";
        row(format!("{name}: strength of wood"), factors.to_owned(), "NDS factors, seen in textbooks on forms");
        if formed.sheets.is_some() {
            row(format!("{name}: sheets"), usual_panels().to_owned(), PANEL_STRESSES[0].1.source);
        } else {
            row(format!("{name}: strength of the sheathing"), format!("as of a {}", BOARD.name), BOARD.source);
        }
        row(format!("{name}: sag"), "a 360th of the span, and 1/16 in".to_owned(), "textbooks on forms, seen");
        row(format!("{name}: weight of fresh concrete"), show::density(USUAL_DENSITY, system).to_string(), PRACTICE);
        // Where it presses as a liquid, its binder says nothing.
        let by_rule = formed.designs.iter().filter(|design| design.pressure.value.decided != Decided::FullHead);
        let mut mixes: Vec<_> = by_rule.filter_map(|design| Some(job.pour(design.panel.pour)?.say.mix.0)).collect();
        mixes.sort_unstable();
        mixes.dedup();
        for mix in mixes.into_iter().filter_map(|mix| job.mix(mix)) {
            let cement = curing::cement(&mix.say, system).word();
            let taken = format!("of {cement}, with no retarder in it");
            row(format!("{name}: how {} sets", mix.name), taken, PRACTICE);
        }
        if let Some(brace) = &forms.say.brace {
            if brace.value.angle.is_none() {
                row(format!("{name}: angle of braces"), show::angle(USUAL_ANGLE).to_string(), PRACTICE);
            }
            if brace.value.height.is_none() {
                row(
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
            row(format!("{name}: a stake"), show::force(STAKE.value, system).to_string(), STAKE.source);
        }
    }
    for plan in &works.boards {
        if !job.stocks.iter().any(|stock| stock.say.item.0 == plan.size) {
            let lengths = formwork::usual_lengths(system).map(|length| show::exact(length, system).to_string());
            row(format!("{}: stock", job.name(plan.size)), format!("boards of {}", lengths.join(", ")), PRACTICE);
        }
    }
    for fill in works.fills.iter().filter(|fill| fill.usual_waste) {
        let taken = show::percent(Ratio::from_fraction(holes::USUAL_WASTE)).to_string();
        row(format!("{}: waste", job.name(fill.resin)), taken, "common practice, no source");
    }
    for fill in works.fills.iter().filter(|fill| fill.usual_purge) {
        let taken = format!("{} with each nozzle", show::fluid(holes::USUAL_PURGE, system));
        row(format!("{}: purge", job.name(fill.resin)), taken, "common practice, no source");
    }
    for fill in works.fills.iter().filter(|fill| fill.usual_takes && fill.per_nozzle.is_some()) {
        let taken = format!("{} each", show::time(fill.takes));
        row(format!("{}: filled and set in", job.name(fill.holes)), taken, "common practice, no source");
    }
    for debris in &works.debris {
        let Some(strip) = job.remove(debris.strip) else { continue };
        if strip.say.bulks.is_none() {
            let taken = format!("{} more room when it is broken", show::percent(debris.bulks));
            row(format!("{}: bulks", strip.name), taken, "common practice, no source");
        }
        if strip.say.carry.is_none() {
            let taken = format!("{} at once", show::carried(debris.carry, system));
            row(format!("{}: carry", strip.name), taken, "common practice, no source");
        }
    }
    for saw in &works.saws {
        let Some(cut) = job.cut(saw.id) else { continue };
        let blade = cut.say.blade.as_ref();
        if blade.is_none() {
            let taken = format!("{} across", show::exact(saw.blade, system));
            row(format!("{}: blade", cut.name), taken, "common practice, no source");
        }
        if blade.is_none_or(|blade| blade.value.pass.is_none()) {
            let taken = format!("{} deep", show::exact(saw.pass, system));
            row(format!("{}: pass", cut.name), taken, "common practice, no source");
        }
    }
    for one in &works.injections {
        let taken = format!("{} times what it holds", show::decimal(RESIN_LOSS.value, 1));
        row(format!("{}: resin", job.name(one.crack)), taken, RESIN_LOSS.source);
    }
    for patch in &works.patches {
        let taken = format!("{} times area by depth", show::decimal(PATCH_LOSS.value, 1));
        row(format!("{}: filling", job.name(patch.spall)), taken, PATCH_LOSS.source);
    }
    rows.extend(of_work(compiled));
    let mut row = |what: String, taken: String, why: &str| rows.push((what, taken, why.to_owned()));
    for holes in job.holes.iter().filter(|holes| holes.say.drill.is_none()) {
        let (long, wide) = holes::USUAL_DRILL;
        let taken = format!("{} long, {} wide, the bit as long as the hole", usual(long, system), usual(wide, system));
        row(format!("{}: drill", holes.name), taken, "common practice, no source");
    }
    for fill in works.fills.iter().filter(|fill| fill.no_bar) {
        row(
            format!("{}: filled", job.name(fill.holes)),
            "whole, no bar is set in them".to_owned(),
            "nothing is `in` them",
        );
    }
    for bars in works.bars.iter().filter(|bars| bars.usual_ends) {
        let taken = usual(USUAL_ENDS, system).to_string();
        row(format!("{}: ends", job.name(bars.id)), taken, "common practice for formed faces, no source");
    }
    for bars in &works.bars {
        for (turn, tail, source) in &bars.usual_tails {
            let turn = show::decimal(*turn, 0);
            row(format!("{}: tail of {turn} deg", job.name(bars.id)), show::exact(*tail, system).to_string(), source);
        }
        if let Some(lap) = bars.usual_lap {
            let (steel, concrete) = (show::stress(lap.yields_at, system), show::stress(lap.strength, system));
            let taken = format!("{}, for steel of {steel} in concrete of {concrete}", show::exact(lap.length, system));
            row(format!("{}: lap", job.name(bars.id)), taken, lap.source);
        }
    }
    if works.tying.pours.iter().any(|pour| pour.crossings() > 0) && job.bars.iter().any(|bars| bars.say.ties.is_none())
    {
        row("bars: ties".to_owned(), "every crossing".to_owned(), "common practice, no source");
    }
    let held = works.tying.pours.iter().flat_map(|pour| pour.chairs.iter().chain(&pour.spacers));
    let unsaid = held.filter(|held| job.bars_of(held.bars).is_some_and(|bars| bars.say.supports.is_none()));
    let mut supports: Vec<Length> = unsaid.map(|held| held.spacing).collect();
    supports.sort_unstable();
    supports.dedup();
    for spacing in supports {
        let taken = format!("chairs and spacers {} apart", show::exact(spacing, system));
        row("bars: supports".to_owned(), taken, "common practice, no source");
    }
    if let Some(wire) = &works.tying.wire {
        if job.head.as_ref().is_none_or(|head| head.say.wire.is_none()) {
            row("job: wire".to_owned(), job.name(wire.wire).to_owned(), "usual, as trade magazines print");
        }
        if wire.usual_coil {
            let taken = format!("coils of {}", show::mass(wire.coil, system));
            row(format!("{}: coil", job.name(wire.wire)), taken, "coils of 3 to 4 lb are usual: a trade magazine");
        }
    }
    let mut weak: Vec<&str> = Vec::new();
    for anchored in works.anchored.iter().filter(|anchored| anchored.usual_strength) {
        weak.extend(works.sets.get(&anchored.holes).map(|set| job.name(set.into.block)));
    }
    let of_mix = |pour| {
        let mix = job.pour(pour).and_then(|pour| job.mix(pour.say.mix.0))?;
        mix.say.strength.is_none().then_some(mix.name.as_str())
    };
    weak.extend(works.joints.iter().filter(|joint| !joint.surfaces.is_empty()).filter_map(|joint| of_mix(joint.pour)));
    weak.sort_unstable();
    weak.dedup();
    for block in weak {
        let taken = show::stress(usual_strength(system), system).to_string();
        row(format!("{block}: strength"), taken, "common practice, no source");
    }
    let mut sizes: Vec<_> = works.bars.iter().map(|bars| (bars.steel.diameter, bars.steel.id)).collect();
    sizes.sort_by_key(|(diameter, size)| (*diameter, job.name(*size)));
    sizes.dedup();
    for (_, size) in sizes {
        if let (stock, true) = longest_stock(job, size) {
            let taken = format!("{} long", show::exact(stock, system));
            row(format!("{}: stock", job.name(size)), taken, "common practice, no source");
        }
    }
    cured(compiled, &mut row);
    for section in &job.sections {
        // What stands on a slab, on old work or on another pour has no base.
        let pour = works.solids.with(section.id).map(|(pour, _)| pour);
        let on_ground = pour.is_none_or(|pour| pour.rests.contains(&(section.id, Class::Ground)));
        if section.say.base.is_none() && on_ground {
            row(format!("{}: base", section.name), "soil".to_owned(), "the language's own default");
        }
        if section.say.side.is_none() {
            row(format!("{}: side", section.name), "form".to_owned(), "the language's own default");
        }
    }
    for holes in job.holes.iter().filter(|holes| holes.say.inset.is_none()) {
        row(format!("{}: inset", holes.name), "0".to_owned(), "the language's own default");
    }
    for bars in job.bars.iter().filter(|bars| bars.say.space.is_some() && bars.say.inset.is_none()) {
        row(format!("{}: inset", bars.name), "0".to_owned(), "the language's own default");
    }
    let square = job.walls.iter().flat_map(|wall| &wall.say.corners.0).any(|corner| corner.turning.is_none());
    let square_line = job.lines.iter().flat_map(|line| &line.say.corners.0).any(|corner| corner.turning.is_none());
    if square || square_line {
        row("corners: turning".to_owned(), "90 deg".to_owned(), "the language's own default");
    }
    for steel in job.steels.iter().filter(|steel| steel.usual) {
        let standard = steel.say.standard.as_ref().map_or(none, |standard| standard.0.as_str());
        let taken = format!(
            "{} across, bends {} across inside",
            show::exact(steel.say.diameter.0, system),
            show::exact(steel.say.bend.0, system)
        );
        row(format!("{}: from the library", steel.name), taken, standard);
    }
    for mix in job.mixes.iter().filter(|mix| mix.usual) {
        let bag = &mix.say.bag.value;
        // A bag is too little of a cubic metre.
        let yields = match system {
            System::Feet => show::volume(bag.yields.0, system),
            System::Metric => show::water(bag.yields.0, system),
        };
        let taken = format!("{} yields {yields}", show::mass(bag.weighs.0, system));
        row(format!("{}: from the library", mix.name), taken, MIX_SOURCE);
    }
    rows
}

/// What the days take of young concrete that something is done to: when it has set, and when it may be drilled.
fn young(compiled: &Compiled, row: &mut dyn FnMut(String, String, &str)) {
    let job = &compiled.job;
    let Some(days) = &compiled.works.days else { return };
    let mixes: BTreeSet<BlockId> = days.set.iter().filter_map(|pour| Some(job.pour(*pour)?.say.mix.0)).collect();
    for mix in mixes.into_iter().filter_map(|mix| job.mix(mix)).filter(|mix| mix.say.sets.is_none()) {
        let (time, at) = (SETTING.value.reference, SETTING.value.at);
        let taken =
            format!("{} at {}, longer when it is colder", show::time(time), show::temperature(at, job.system()));
        row(format!("{}: sets", mix.name), taken, SETTING.source);
    }
    for pour in &days.drilled {
        let said = job.cures.iter().any(|cure| cure.say.of.value.0 == *pour && cure.say.load.is_some());
        let taken = match said {
            true => "when it may be loaded, as its cure says".to_owned(),
            false => format!("when it has {} of its strength", show::percent(BACKFILL_PART.value)),
        };
        row(format!("{}: drilled", job.name(*pour)), taken, BACKFILL_PART.source);
    }
}

/// What weather and curing take.
fn cured(compiled: &Compiled, row: &mut dyn FnMut(String, String, &str)) {
    let job = &compiled.job;
    let system = job.system();
    let cures = &compiled.works.cures;
    if cures.iter().any(|cured| !cured.ages().is_empty()) {
        row(
            "weather: warmth of concrete".to_owned(),
            "half of the day's lowest and highest, or what it is kept at if that is more".to_owned(),
            MEAN_OF_DAY,
        );
        row(
            "weather: maturity".to_owned(),
            format!("counts from {} on", show::temperature(DATUM, system)),
            "ASTM C1074 for Type I, seen in a secondary source",
        );
        row(
            "weather: equivalent age".to_owned(),
            "5000 K at 23 degC beside ACI 209R; 4000 K at 20 degC beside EN 1992-1-1".to_owned(),
            "ASTM C1074, from memory; EN 1992-1-1 Annex B and Model Code, from memory",
        );
    }
    let mut mixes: Vec<&str> = Vec::new();
    for cured in cures {
        let name = job.name(cured.cure);
        if let Some((fresh, false)) = cured.fresh {
            row(format!("{name}: fresh"), show::temperature(fresh, system).to_string(), AS_AIR);
        }
        let unsaid =
            job.cure(cured.cure).and_then(|cure| cure.say.warm.as_ref()).is_some_and(|warm| warm.value.at.is_none());
        if let Some(warmth) = cured.warmth.filter(|_| unsaid) {
            let taken = show::temperature(warmth.at, system).to_string();
            row(format!("{name}: warm"), taken, "ACI 306R, by the least thickness, seen in a reproduction");
        }
        for ready in &cured.readies {
            if ready.act == Act::Strip && ready.counted.is_some() {
                let taken = format!("{} of air that is not too cold", show::time(SIDE_FORMS.value));
                row(format!("{name}: side forms stay"), taken, SIDE_FORMS.source);
                row(
                    format!("{name}: hours that count"),
                    "by a straight line from lowest to highest and back".to_owned(),
                    STRAIGHT_DAY,
                );
            }
            if ready.usual && ready.part.is_some() {
                let taken = match ready.wanted {
                    Strong::At(stress) => show::stress(stress, system).to_string(),
                    Strong::Part(part) => format!("{} of that at 28 days", show::percent(part)),
                };
                let source = if ready.act == Act::Strip { STRIP_STRENGTH } else { BACKFILL_PART.source };
                row(format!("{name}: {} at", ready.act.clause()), taken, source);
            }
        }
        let mix = job.pour(cured.pour).and_then(|pour| job.mix(pour.say.mix.0));
        if let Some(mix) = mix.filter(|mix| mix.say.cement.is_none() && !mixes.contains(&mix.name.as_str())) {
            mixes.push(&mix.name);
            let taken = curing::usual_cement(system).word().to_owned();
            row(format!("{}: cement", mix.name), taken, "common practice, no source; the bag goes before");
        }
    }
}

/// What is taken of tools and loads.
fn of_work(compiled: &Compiled) -> Vec<(String, String, String)> {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    let memory = "from memory, for this sort of tool and not for yours";
    let mut rows: Vec<(String, String, String)> = Vec::new();
    let mut row = |what: String, taken: String, why: &str| {
        if !rows.iter().any(|(before, ..)| *before == what) {
            rows.push((what, taken, why.to_owned()));
        }
    };
    for used in works.at_steps.iter().flat_map(|at| &at.used) {
        let name = match used.tool {
            Some(tool) => job.name(tool).to_owned(),
            None => {
                let verb = used.verb.word();
                row(format!("{verb}: tool"), used.sort.word().to_owned(), "common practice, no source");
                used.sort.word().to_owned()
            }
        };
        if let Some((level, within)) = usual_noise(used.sort).filter(|_| used.usual_noise) {
            row(format!("{name}: noise"), format!("{}, of {within}", show::sound(level)), memory);
        }
        if let Some((shakes, within)) = usual_shaking(used.sort).filter(|_| used.usual_shakes) {
            row(format!("{name}: shakes"), format!("{}, of {within}", show::acceleration(shakes)), memory);
        }
        if used.usual_runs && (used.noise.is_some() || used.shakes.is_some()) {
            row(format!("{name}: runs"), "all of the step's time".to_owned(), "the most there can be");
        }
    }
    let lifted = || works.at_steps.iter().flat_map(|at| &at.lifted);
    let lifts = job.head.as_ref().and_then(|head| head.say.lifts.as_ref());
    let [from, to, out] = usual_hands(system).map(|length| show::exact(length, system).to_string());
    if lifted().next().is_some() && lifts.is_none() {
        row("job: lifts".to_owned(), format!("hands from {from} to {to}"), USUAL_HANDS);
    }
    if lifted().next().is_some() && lifts.is_none_or(|lifts| lifts.out_by.is_none()) {
        row("job: lifts, out by".to_owned(), format!("hands {out} out from the ankles"), USUAL_HANDS);
    }
    if lifted().any(|lifted| lifted.usual_time) {
        let taken = format!("{} bags, trips or bars an hour", show::decimal(USUAL_RATE.value, 0));
        row("steps without a time: lifts".to_owned(), taken, USUAL_RATE.source);
    }
    if lifted().any(|lifted| matches!(lifted.load, Load::Bucket | Load::Debris)) {
        row("bucket: weight".to_owned(), show::mass(PAIL.value, system).to_string(), PAIL.source);
    }
    rows
}
