//! Pours minute by minute: layers that no longer knit, open tops that are pushed up, pours longer than a day, batches a mixer
//! does not hold, layers too high to be rodded, stones too large.
//!
//! How long fresh concrete knits and when an open top holds are told by the mix; without it common practice is taken, no
//! source. A layer rodded by hand is 6 to 12 in: ACI 309R, from memory. Largest stones: ACI 318-19 26.4.2.1, from memory.

use crate::{
    concrete::{over, room_for},
    job::{Job, Thing},
    placing::{LAYERS_AT_MOST, Placing, Trouble, seconds},
    pouring::{Refusal, Spot},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{BlockId, KindId, Pour, PutIn, Section},
    standards::{
        curing::DISCHARGE_LIMIT,
        handwork::{DAY, highest_layer},
    },
    units::{COUNT_TOLERANCE, Duration, Length, System, Temperature, show},
    works::Works,
};

rule!(COLD_JOINT, "cold-joint", Warning, "a layer that has stiffened before fresh concrete comes on it");
rule!(STEP_BOILS_UP, "step-boils-up", Warning, "concrete laid above an open top before that has stiffened");
rule!(BATCH_OLD, "batch-old", Warning, "a batch that is placed too long after water came to it");
rule!(POUR_LONG, "pour-long", Warning, "a pour that lasts longer than its step, or than a day");
rule!(POUR_UNPLANNED, "pour-unplanned", Error, "a pour that cannot be planned minute by minute");
rule!(MIXER_SMALL, "mixer-small", Error, "more bags at once than a mixer holds");
rule!(KNITS_UNSAID, "knits-unsaid", Advice, "a mix that does not say how long a layer knits with the next");
rule!(LIFT_HIGH, "lift-high", Warning, "a layer higher than what it is poured in, or than is rodded by hand");
rule!(LID_NOWHERE, "lid-nowhere", Warning, "a lid on a section the pour does not fill");
rule!(POUR_CRAMPED, "pour-cramped", Warning, "too little room over a form for the way the concrete gets in");
rule!(STONE_LARGE, "stone-large", Warning, "stones too large for the room between forms and bars");

pub(super) static RULES: &[&Rule] = &[
    &COLD_JOINT,
    &STEP_BOILS_UP,
    &BATCH_OLD,
    &POUR_LONG,
    &POUR_UNPLANNED,
    &MIXER_SMALL,
    &KNITS_UNSAID,
    &LIFT_HIGH,
    &LID_NOWHERE,
    &POUR_CRAMPED,
    &STONE_LARGE,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for pour in &job.pours {
        mixer_small(job, pour.id, problems);
        lift_high(job, works, pour.id, problems);
        lids(job, pour.id, problems);
        cramped(job, works, pour, problems);
    }
    for (pour, trouble) in &works.placing_troubles {
        unplanned(job, *pour, *trouble, problems);
    }
    for placing in &works.placings {
        knits_unsaid(job, placing, problems);
        cold_joint(job, placing, problems);
        cold_front(job, placing, problems);
        boils_up(job, placing, problems);
        batch_old(job, placing, problems);
        pour_long(job, placing, problems);
    }
    for stones in &works.stones {
        let Some(mix) = job.mix(stones.mix) else { continue };
        if stones.has > stones.judged {
            problems.push(
                Problem::new(
                    &STONE_LARGE,
                    mix.said(KindId::Mix, "stone"),
                    "stones of {0} are too large for `{1}`: {2} at most",
                )
                .arg(stones.has)
                .arg(job.name(stones.pour))
                .arg(stones.judged)
                .help("take a mix with stones of {2} or smaller (ACI 318-19 26.4.2.1, from memory): larger ones bridge and leave holes")
                .thing(job.name(stones.pour)),
            );
        }
    }
}

fn time(time: Duration) -> Arg {
    Arg::Text(show::time(time).to_string())
}

fn degrees(at: Temperature, system: System) -> Arg {
    Arg::Text(show::temperature(at, system).to_string())
}

/// The layer of a place, from 1.
fn layer(spot: Spot) -> Arg {
    Arg::Count(i64::try_from(spot.lift + 1).unwrap_or(i64::MAX))
}

fn section(job: &Job, placing: &Placing, spot: Spot) -> Arg {
    Arg::from(placing.site(spot).map_or("", |site| job.name(site.section)))
}

fn cold_joint(job: &Job, placing: &Placing, problems: &mut Vec<Problem>) {
    let (Some(wait), Some(pour)) = (placing.cold(), job.pour(placing.pour)) else { return };
    let would = placing.would_do;
    let system = job.system();
    let lift = would.lift.map(|lift| show::exact(lift, system).to_string());
    let (lift_at, crew_at) = (pour.said(KindId::Pour, "lift"), pour.said(KindId::Pour, "crew"));
    let at = if pour.say.lift.is_some() { lift_at } else { pour.at };
    // Two times may differ by seconds that are not shown.
    let headline = if time(seconds(wait.lasts)) == time(placing.knits.time) {
        "layer {0} of `{1}` lies a little more than {2} until fresh concrete comes on it; at {3} this mix knits for {4}"
    } else {
        "layer {0} of `{1}` lies {2} until fresh concrete comes on it; at {3} this mix knits for {4}"
    };
    let problem = Problem::new(&COLD_JOINT, at, headline)
        .arg(layer(wait.lying))
        .arg(section(job, placing, wait.lying))
        .arg(time(seconds(wait.lasts)))
        .arg(degrees(placing.knits.at, system))
        .arg(time(placing.knits.time))
        .arg(would.people.map_or(0, i64::from))
        .arg(lift.as_deref().unwrap_or(""))
        .thing(pour.name.as_str());
    let problem = problem.help(match (would.people, &lift) {
        (Some(_), Some(_)) => {
            "`crew {5}` would do, or lower layers: `lift {6}`. A mix that is made slower knits longer: write it in `knits`"
        }
        (Some(_), None) => "`crew {5}` would do. A mix that is made slower knits longer: write it in `knits`",
        (None, Some(_)) => {
            "lower layers would do: `lift {6}`. A mix that is made slower knits longer: write it in `knits`"
        }
        (None, None) => {
            "pour in two goes with a planned joint: cut the section in two where a bulkhead can stand, and fill each part by a pour of its own. A mix that is made slower knits longer: write it in `knits`"
        }
    });
    problems.push(match (would.people, lift) {
        (_, Some(lift)) if pour.say.lift.is_some() => problem.fix(lift_at, format!("lift {lift}")),
        (Some(people), _) if pour.say.crew.is_some() => problem.fix(crew_at, format!("crew {people}")),
        _ => problem,
    });
}

/// A joint within a layer: the end of one batch stiffens before the next is laid against it.
fn cold_front(job: &Job, placing: &Placing, problems: &mut Vec<Problem>) {
    let (Some(front), Some(pour)) = (placing.cold_front(), job.pour(placing.pour)) else { return };
    // What keeps the layers fresh is told with them.
    let rests = !pour.say.breaks.0.is_empty();
    let at = if rests { pour.said(KindId::Pour, "break") } else { pour.at };
    let problem = Problem::new(
        &COLD_JOINT,
        at,
        "the end of batch {0} in layer {1} of `{2}` lies {3} until the next is laid against it; at {4} this mix knits for {5}",
    )
    .arg(Arg::Count(i64::try_from(front.batch).unwrap_or(i64::MAX)))
    .arg(layer(front.spot))
    .arg(section(job, placing, front.spot))
    .arg(time(seconds(front.lasts())))
    .arg(degrees(placing.knits.at, job.system()))
    .arg(time(placing.knits.time))
    .arg(placing.would_do.people.map_or(0, i64::from))
    .thing(pour.name.as_str());
    problems.push(problem.help(match (placing.would_do.no_rest, placing.would_do.people) {
        (true, _) => "rest in turns, so that somebody always mixes and places, and leave out `break`; or make it shorter than the mix knits",
        (false, Some(_)) => "`crew {6}` would do. A mix that is made slower knits longer: write it in `knits`",
        (false, None) => {
            "pour in two goes with a planned joint: cut the section in two where a bulkhead can stand, and fill each part by a pour of its own. A mix that is made slower knits longer: write it in `knits`"
        }
    }));
}

fn boils_up(job: &Job, placing: &Placing, problems: &mut Vec<Problem>) {
    let (Some(wait), Some(pour)) = (placing.boils(), job.pour(placing.pour)) else { return };
    let lying = section(job, placing, wait.lying);
    let help = "write `lid {0}` and close that top with a board that is held down; or pour the higher part later, in a pour of its own on the hardened joint";
    problems.push(
        Problem::new(
            &STEP_BOILS_UP,
            pour.at,
            "concrete stands above the open top of `{0}` {1} after that was laid; at {2} it holds after {3}",
        )
        .arg(lying)
        .arg(time(seconds(wait.lasts)))
        .arg(degrees(placing.stiffens.at, job.system()))
        .arg(time(placing.stiffens.time))
        .help(help)
        .thing(pour.name.as_str()),
    );
}

fn batch_old(job: &Job, placing: &Placing, problems: &mut Vec<Problem>) {
    let Some(pour) = job.pour(placing.pour) else { return };
    let oldest = placing.went.oldest_when_placed();
    if seconds(oldest) <= DISCHARGE_LIMIT.value {
        return;
    }
    problems.push(
        Problem::new(
            &BATCH_OLD,
            pour.said(KindId::Pour, "mixer"),
            "a batch of `{0}` is {1} old when the last of it is placed",
        )
        .arg(pour.name.as_str())
        .arg(time(seconds(oldest)))
        .arg(time(DISCHARGE_LIMIT.value))
        .help("place it within {2} of water coming to the bags: mix fewer bags at once, or carry more at once")
        .thing(pour.name.as_str()),
    );
}

fn pour_long(job: &Job, placing: &Placing, problems: &mut Vec<Problem>) {
    let Some(pour) = job.pour(placing.pour) else { return };
    let lasts = placing.lasts();
    let steps = job.steps.iter().filter(|step| {
        let mut things = step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
        things.any(|thing| thing.value == placing.pour)
    });
    for step in steps {
        let Some(takes) = step.say.takes.as_ref().filter(|takes| takes.each.is_none()) else { continue };
        if takes.time.0.seconds() < lasts.seconds() - 60.0 {
            problems.push(
                Problem::new(&POUR_LONG, step.said(KindId::Step, "takes"), "step `{0}` takes {1}, but `{2}` lasts {3}")
                    .arg(step.name.as_str())
                    .arg(time(takes.time.0))
                    .arg(pour.name.as_str())
                    .arg(time(lasts))
                    .help("write at least {3}, with time to set up and to clean; or take more people (`crew`)")
                    .label(pour.said(KindId::Pour, "mixer"), "planned from this")
                    .thing(step.name.as_str()),
            );
            return;
        }
    }
    if lasts.seconds() > DAY.value.seconds() + 60.0 {
        problems.push(
            Problem::new(&POUR_LONG, pour.at, "`{0}` lasts {1}, longer than a working day of {2}")
                .arg(pour.name.as_str())
                .arg(time(lasts))
                .arg(time(DAY.value))
                .help("pour in two goes with a planned joint, each part by a pour of its own, or take more people (`crew`): a pour is not left half done overnight")
                .thing(pour.name.as_str()),
        );
    }
}

fn unplanned(job: &Job, pour: BlockId, trouble: Trouble, problems: &mut Vec<Problem>) {
    let Some(pour) = job.pour(pour) else { return };
    let (headline, at) = match trouble {
        Trouble::TooManyLayers => ("`{0}` would have more than {1} layers", pour.said(KindId::Pour, "lift")),
        Trouble::Refused(Refusal::TooManyBatches(_)) => {
            ("`{0}` would have more batches than are planned one by one", pour.said(KindId::Pour, "mixer"))
        }
        Trouble::Refused(Refusal::Waste) => ("`{0}` would waste more than it places", pour.said(KindId::Pour, "waste")),
        // What has no concrete is told where it is missing.
        Trouble::Refused(Refusal::NothingToPour | Refusal::NoVolume(_)) => return,
        Trouble::Refused(_) => {
            ("`{0}` has times or volumes larger than can be planned", pour.said(KindId::Pour, "mixer"))
        }
    };
    problems.push(
        Problem::new(&POUR_UNPLANNED, at, headline)
            .arg(pour.name.as_str())
            .arg(LAYERS_AT_MOST)
            .help("look at units and figures: what is meant is smaller")
            .thing(pour.name.as_str()),
    );
}

fn mixer_small(job: &Job, pour: BlockId, problems: &mut Vec<Problem>) {
    let Some(pour) = job.pour(pour) else { return };
    let Some(mixer) = &pour.say.mixer else { return };
    let (Some(holds), Some(mix)) = (mixer.value.holds, job.mix(pour.say.mix.0)) else { return };
    let yields = mix.say.bag.value.yields.0;
    let bags = mixer.value.bags.0;
    if yields * bags <= holds.0 {
        return;
    }
    // A hair over a whole bag is a whole bag.
    let fit = (holds.0.cubic_metres() / yields.cubic_metres() * (1.0 + COUNT_TOLERANCE)).floor() as i64;
    let problem = Problem::new(&MIXER_SMALL, mixer.span, "{0} of `{1}` make {2} of concrete, and the mixer holds {3}")
        .arg(crate::problem::count(usize::try_from(bags).unwrap_or(usize::MAX), "bag", "bags"))
        .arg(mix.name.as_str())
        .arg(yields * bags)
        .arg(holds.0)
        .arg(fit)
        .thing(pour.name.as_str());
    problems.push(if fit >= 1 {
        problem.help("{4} would go in: write `mixer {4} bags`")
    } else {
        problem.help("not one bag goes in: take smaller bags, or a larger mixer")
    });
}

fn cramped(job: &Job, works: &Works, pour: &Thing<Pour>, problems: &mut Vec<Problem>) {
    let Some(over) = over(job, &works.standing, &works.sections, pour) else { return };
    if over.room >= over.wants.value {
        return;
    }
    let fits = [PutIn::Chute, PutIn::Scoop].into_iter().find(|by| over.room >= room_for(*by).value);
    let clause = pour.say.carry.as_ref().map_or(pour.at, |_| pour.said(KindId::Pour, "carry"));
    let way = match over.by.0 {
        PutIn::Bucket => "to tip a bucket",
        PutIn::Chute => "for a chute",
        PutIn::Scoop => "even for a scoop",
    };
    let problem = Problem::new(
        &POUR_CRAMPED,
        clause,
        "between the top of `{0}` and the wood of `{1}` are {2}: too little {3}, which takes {4}",
    )
    .arg(job.name(over.section))
    .arg(job.name(over.wall))
    .arg(over.room.max(Length::ZERO))
    .arg(Arg::Word(way))
    .arg(over.wants.value)
    .arg(Arg::Word(fits.map_or("", PutIn::word)))
    .thing(pour.name.as_str())
    .measure(over.room);
    problems.push(match fits {
        Some(_) => problem
            .help("say how it gets in, and give it the time that takes: `carry {3 gal|12 L}, takes 4 min, by {5}`"),
        None => {
            problem.help("end the concrete lower, and pack what is left with a stiff mix by hand when it has hardened")
        }
    });
}

fn knits_unsaid(job: &Job, placing: &Placing, problems: &mut Vec<Problem>) {
    let mix = job.pour(placing.pour).and_then(|pour| job.mix(pour.say.mix.0));
    let Some(mix) = mix.filter(|mix| placing.knits.is_usual() && !mix.usual) else { return };
    problems.push(
        Problem::new(&KNITS_UNSAID, mix.at, "`{0}` does not say how long a layer knits; {1} at {2} is taken")
            .arg(mix.name.as_str())
            .arg(time(placing.knits.time))
            .arg(degrees(placing.knits.at, job.system()))
            .help("write what the bag or its maker says, as `knits 60 min at {70 degF|21 degC}`")
            .thing(mix.name.as_str()),
    );
}

fn lift_high(job: &Job, works: &Works, pour: BlockId, problems: &mut Vec<Problem>) {
    let Some(pour) = job.pour(pour) else { return };
    let Some(lift) = pour.say.lift.map(|lift| lift.0) else { return };
    let Some(solid) = works.solids.of(pour.id) else { return };
    let high = solid.top - solid.bottom;
    let highest = highest_layer(job.system());
    let at = pour.said(KindId::Pour, "lift");
    let least = high.min(highest);
    if lift <= least {
        return;
    }
    let headline = if lift > high {
        "a layer of {0}, but `{1}` is only {2} high"
    } else {
        "a layer of {0}: by hand {3} is rodded through at most"
    };
    problems.push(
        Problem::new(&LIFT_HIGH, at, headline)
            .arg(lift)
            .arg(pour.name.as_str())
            .arg(high)
            .arg(highest)
            .arg(least)
            .help("write `lift {4}` or less")
            .fix(at, format!("lift {}", show::exact(least, job.system())))
            .thing(pour.name.as_str())
            .measure(lift),
    );
}

fn lids(job: &Job, pour: BlockId, problems: &mut Vec<Problem>) {
    let Some(pour) = job.pour(pour) else { return };
    for lid in pour.say.lids.iter().flatten() {
        // What is broken is told where it is.
        if pour.say.fill.iter().chain([lid]).any(|section| job.section(section.value.0).is_none()) {
            continue;
        }
        let fills = || pour.say.fill.iter().filter_map(|section| job.section(section.value.0));
        let top = |section: &Thing<Section>| section.say.height.value.to;
        let here = fills().find(|section| section.id == lid.value.0).map(top);
        if here.is_some_and(|here| fills().all(|section| top(section) <= here)) {
            problems.push(
                Problem::new(
                    &LID_NOWHERE,
                    lid.span,
                    "nothing of `{1}` stands higher than `{0}`: a lid on it holds nothing down",
                )
                .arg(job.name(lid.value.0))
                .arg(pour.name.as_str())
                .help("take it out, or name the section whose top lies below another's")
                .thing(pour.name.as_str()),
            );
        } else if here.is_none() {
            problems.push(
                Problem::new(&LID_NOWHERE, lid.span, "`{0}` is not filled by `{1}`: a lid on it holds nothing down")
                    .arg(job.name(lid.value.0))
                    .arg(pour.name.as_str())
                    .help("name a section that stands in `fill` of `{1}`, or take it out")
                    .thing(pour.name.as_str()),
            );
        }
    }
}
