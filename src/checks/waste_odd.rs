//! `waste-odd`: a waste of more than half of what is needed.

use crate::{
    concrete::Unmixed,
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::KindId,
    units::{Ratio, show},
    works::Works,
};

rule!(WASTE_ODD, "waste-odd", Warning, "a waste of more than half of what is needed");

pub(super) static RULES: &[&Rule] = &[&WASTE_ODD];

/// More than this is no waste any more: 5 to 10 % is usual for concrete, 10 to 50 % for resin (common practice, no source).
const MOST: f64 = 0.5;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for pour in &job.pours {
        // A pour of too many bags is told with its waste.
        let large = works.unmixed.iter().any(|(id, why)| *id == pour.id && matches!(why, Unmixed::Bags(_)));
        if let Some(waste) = pour.say.waste
            && !large
        {
            odd(pour, KindId::Pour, waste.0, problems);
        }
    }
    for resin in job.resins.iter().filter(|resin| !resin.usual) {
        if let Some(waste) = resin.say.waste {
            odd(resin, KindId::Resin, waste.0, problems);
        }
    }
}

fn odd<S>(thing: &Thing<S>, kind: KindId, waste: Ratio, problems: &mut Vec<Problem>) {
    if waste.fraction() <= MOST {
        return;
    }
    let span = thing.said(kind, "waste");
    let problem = Problem::new(&WASTE_ODD, span, "a waste of {0} makes `{1}` {2} times what is needed")
        .arg(show::percent(waste).to_string())
        .arg(thing.name.as_str())
        .arg(Arg::Number(1.0 + waste.fraction()))
        .thing(thing.name.as_str());
    // Whoever reckons with a factor writes 1.08 for 8 %, and 108 % by a slip.
    let over = Ratio::from_fraction(waste.fraction() - 1.0);
    problems.push(if over.fraction() > 0.0 && over.fraction() <= MOST {
        let meant = show::percent(over).to_string();
        problem
            .arg(meant.as_str())
            .help("a waste is what comes on top of what is needed: {3} is meant?")
            .fix(span, format!("waste {meant}"))
    } else {
        problem.help("a waste is what comes on top of what is needed: 5% to 10% of concrete, 10% to 50% of resin")
    });
}
