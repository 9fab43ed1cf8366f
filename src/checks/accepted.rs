//! Acceptances: warnings let pass with a reason, printed and never hidden.

use crate::{
    job::{Accept, Job, rules},
    problem::{Level, Problem, nearest},
    schema::BlockId,
};

/// A warning that was accepted.
#[derive(Debug)]
pub struct Accepted {
    /// The finding.
    pub problem: Problem,
    /// Why, and down to what.
    pub accept: Accept,
}

/// Takes accepted warnings out of the findings, and says which acceptances match nothing.
///
/// Where the warning has a number and the acceptance a value, the acceptance holds down to that value: a later, worse edit
/// warns again. Where there are errors, what they keep from being worked out may be what was accepted: nothing is said then of
/// acceptances that match nothing.
pub fn accepted(job: &Job, problems: &mut Vec<Problem>) -> Vec<Accepted> {
    let hidden = problems.iter().any(|problem| problem.rule.level == Level::Error);
    let mut out = Vec::new();
    let mut idle = Vec::new();
    for accept in &job.accepts {
        let Some(rule) = super::rule(&accept.rule) else {
            problems.push(unknown_rule(accept));
            continue;
        };
        if rule.level == Level::Error {
            problems.push(
                Problem::new(&rules::ACCEPT_ERROR, accept.rule_at, "`{0}` is an error and cannot be accepted")
                    .arg(rule.name)
                    .help("mend what it points at; errors are what cannot be built or computed"),
            );
            continue;
        }
        let before = out.len();
        let mut kept = Vec::with_capacity(problems.len());
        for problem in problems.drain(..) {
            let meant = problem.rule == rule && problem.thing.as_deref() == Some(accept.thing.as_str());
            let holds = match (accept.down_to, problem.measure) {
                (Some(limit), Some(measure)) => measure >= limit,
                (None, _) | (Some(_), None) => true,
            };
            if meant && holds {
                out.push(Accepted { problem, accept: accept.clone() });
            } else {
                kept.push(problem);
            }
        }
        *problems = kept;
        if out.len() == before {
            idle.push(accept);
        }
    }
    for accept in idle {
        if let Some(problem) = nothing_to_accept(job, problems, accept, hidden) {
            problems.push(problem);
        }
    }
    out
}

fn unknown_rule(accept: &Accept) -> Problem {
    let problem =
        Problem::new(&rules::ACCEPT_UNREADABLE, accept.rule_at, "no finding is called `{0}`").arg(accept.rule.as_str());
    match nearest(&accept.rule, super::rules().iter().map(|rule| rule.name)) {
        Some(near) => problem.arg(near).help("`{1}` is meant?").fix(accept.rule_at, near),
        None => problem.help("write the name that stands with the finding, such as `back-thin`"),
    }
}

fn nothing_to_accept(job: &Job, problems: &[Problem], accept: &Accept, hidden: bool) -> Option<Problem> {
    let problem = Problem::new(&rules::ACCEPT_IDLE, accept.at, "there is no `{0}` on `{1}` to accept")
        .arg(accept.rule.as_str())
        .arg(accept.thing.as_str());
    // It is there, but worse than what was accepted.
    let worse = problems
        .iter()
        .find(|problem| problem.rule.name == accept.rule && problem.thing.as_deref() == Some(accept.thing.as_str()));
    if let Some(measure) = worse.and_then(|worse| worse.measure) {
        let problem = Problem { headline: "`{0}` on `{1}` is now {2}, worse than what was accepted", ..problem };
        return Some(problem.arg(measure).help("look at it again; change the value after `down to` if it may be so"));
    }
    if hidden {
        return None;
    }
    let elsewhere = problems.iter().find(|problem| problem.rule.name == accept.rule).and_then(|it| it.thing.as_deref());
    if let Some(thing) = elsewhere {
        return Some(problem.arg(thing).help("there is one on `{2}`; is that meant?"));
    }
    let named = (0..).map(BlockId).take_while(|id| job.at(*id).is_some()).any(|id| job.name(id) == accept.thing);
    Some(problem.help(if named {
        "take the line out if the matter is settled, or check the names"
    } else {
        "nothing in the job is called `{1}`; check the name"
    }))
}
