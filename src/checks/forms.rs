//! Forms: whether every member holds what the fresh concrete does to it, and whether the form is held at all.
//!
//! Pressure by ACI 347R-14 or CIRIA Report 108, statics of one-sided forms, allowable stresses of the NDS as textbooks on forms
//! use them; every member tells its source in the table of the order of work.

use std::collections::{BTreeMap, BTreeSet};

use super::words;
use crate::{
    concrete::{Placed, depth},
    formwork::{
        Crossing, FaceSide, Formwork, Hold, Member, Narrow, Panel, Sort, Tight, Trouble, Unheld, Use, end_sheath,
        limit_word, tidy,
    },
    geometry::Point,
    job::{Job, Thing},
    ledger::Figure,
    problem::{Arg, Problem, Rule},
    rule,
    schema::{BlockId, CastSide, Forms, KindId, StandsOn},
    source::Span,
    standards::forms::Limit,
    units::{Force, Length, System, show},
    works::Works,
};

rule!(FORM_SHEATH, "form-sheath", Warning, "sheathing that does not hold the concrete between its studs");
rule!(FORM_STUD, "form-stud", Warning, "studs that do not hold between the levels that support them");
rule!(FORM_WALER, "form-waler", Warning, "walers and kickers that do not hold between braces, ties or fixings");
rule!(FORM_TIE, "form-tie", Warning, "ties with more on them than they were tested for");
rule!(FORM_BRACE, "form-brace", Warning, "braces that buckle");
rule!(FORM_FOOT, "form-foot", Warning, "fixings of braces and kickers with more on them than they hold");
rule!(FORM_LIFT, "form-lift", Warning, "a form that leaning braces lift, and nothing keeps down enough");
rule!(FORM_UNHELD, "form-unheld", Warning, "a form that is not held against all of the thrust");
rule!(FORM_HUNG, "form-hung", Warning, "a form that begins on concrete of the same pour, and has nothing to stand on");
rule!(FORM_AGAINST_NOTHING, "form-against-nothing", Warning, "forms against a section that has no face to form");
rule!(FORM_MISSING, "form-missing", Warning, "a section with faces to form, and no forms against it");
rule!(FORMED_TWICE, "formed-twice", Error, "a section that two blocks of forms stand against");
rule!(FORM_TIGHT, "form-tight", Warning, "too little room for a form beside a slab or before an old wall");
rule!(
    FORM_SIZE,
    "form-size",
    Error,
    "a sheet where a board is wanted, too thin a sheet, or members closer than they are thick, or in each other"
);

pub(super) static RULES: &[&Rule] = &[
    &FORM_SHEATH,
    &FORM_STUD,
    &FORM_WALER,
    &FORM_TIE,
    &FORM_BRACE,
    &FORM_FOOT,
    &FORM_LIFT,
    &FORM_UNHELD,
    &FORM_HUNG,
    &FORM_AGAINST_NOTHING,
    &FORM_MISSING,
    &FORMED_TWICE,
    &FORM_TIGHT,
    &FORM_SIZE,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    problems.extend(works.sections.placed.iter().filter_map(|placed| above_ground(job, works, placed)));
    coverage(job, works, problems);
    for formed in &works.forms {
        let Some(forms) = job.forms_of(formed.forms) else { continue };
        for trouble in &formed.troubles {
            problems.push(sizes(job, forms, *trouble));
        }
        // A strip that reaches far enough for one section does for those that want less.
        let mut tightest: BTreeMap<BlockId, &Tight> = BTreeMap::new();
        for tight in &formed.tight {
            let most = tightest.entry(tight.strip).or_insert(tight);
            if most.out < tight.out {
                *most = tight;
            }
        }
        problems.extend(tightest.into_values().filter_map(|tight| cramped(job, forms, tight)));
        problems.extend(formed.narrow.iter().map(|narrow| squeezed(job, forms, narrow)));
        problems.extend(formed.crossings.iter().map(|crossing| crossed(job, forms, crossing)));
        problems.extend(hung(job, works, forms));
        // One reason is enough: what is not held fails everywhere else too.
        let mut told: Vec<Unheld> = Vec::new();
        for (section, why) in &formed.unheld {
            if !told.contains(why) {
                told.push(*why);
                problems.push(unheld(job, forms, *section, *why));
            }
        }
        for member in formed.members.iter().filter(|member| member.check.ratio > 1.0 + 1e-9) {
            problems.push(weak(job, formed, forms, member));
        }
    }
}

/// A section cast against earth on its outer side that stands up out of it, where the file tells the level of the ground there: no
/// form is written for what stands above.
fn above_ground(job: &Job, works: &Works, placed: &Placed) -> Option<Problem> {
    let section = job.section(placed.id).filter(|section| section.say.side == Some(CastSide::Earth))?;
    works.solids.with(placed.id)?;
    let standing = &works.standing;
    let on = placed.intervals.first()?.on;
    let outer = depth(section, standing, on).1;
    // Before an old wall one stands inside, behind it and round a line that closes outside.
    let is_behind = job.wall(placed.wall).is_some_and(|wall| wall.say.legs.0.iter().any(|leg| leg.behind.is_some()));
    let is_round = job.wall(placed.wall).is_none() && standing.goes_round(on);
    let grounds = job.grounds.iter().map(|ground| &ground.say);
    let ground = if is_behind || is_round {
        grounds.filter_map(|ground| Some(ground.outside.as_ref()?.level)).max()
    } else {
        grounds.filter_map(|ground| ground.inside).max()
    }?;
    // A slab or other concrete before it closes it as far up as that reaches.
    let legs = || placed.intervals.iter().filter_map(|interval| standing.leg_ref(interval.on));
    let slabs =
        job.slabs.iter().filter(|slab| legs().any(|leg| slab.say.against.0.iter().any(|part| part.value.names(leg))));
    let beside = works.sections.along(placed.wall).filter(|other| {
        let reaches = job.section(other.id).map(|other| depth(other, standing, on));
        other.id != placed.id && reaches.is_some_and(|(from, to)| from <= outer && outer < to)
    });
    let shares = |other: &&Placed| {
        other.intervals.iter().any(|one| placed.intervals.iter().any(|other| one.shared(other).is_some()))
    };
    let closed = slabs.map(|slab| slab.say.top).chain(beside.filter(shares).map(|other| other.top));
    let level = closed.fold(ground, Length::max);
    let above = placed.top - level.max(placed.bottom);
    let name = section.name.as_str();
    (above > Length::ZERO).then(|| {
        let problem = Problem::new(
            &FORM_MISSING,
            section.said(KindId::Section, "side"),
            "the top {1} of the outer face of `{0}` stand above the ground, which lies at {2}, and `side earth` gives them no form",
        )
        .arg(name)
        .arg(above)
        .arg(level)
        .thing(name)
        .measure(above);
        if level <= placed.bottom {
            problem.help("take `side earth` out: the face then wants a form, and is named in the `against` clause of some")
        } else {
            problem.help("end it at {2}, and write another section above that, without `side earth`, with forms against it")
        }
    })
}

fn coverage(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    if job.forms.is_empty() {
        return;
    }
    let mut formed: BTreeMap<BlockId, Span> = BTreeMap::new();
    // Where forms stand against one section twice and against another not at all, the one was likely written for the other.
    let named: BTreeSet<BlockId> =
        job.forms.iter().flat_map(|forms| &forms.say.against).map(|said| said.value.0).collect();
    let meant = words::only(
        job.sections.iter().filter(|section| !named.contains(&section.id) && section.say.side != Some(CastSide::Earth)),
    );
    let mut is_meant = false;
    for forms in &job.forms {
        for section in &forms.say.against {
            match formed.get(&section.value.0) {
                Some(first) => {
                    let problem = Problem::new(&FORMED_TWICE, section.span, "forms stand against section `{0}` twice")
                        .arg(job.name(section.value.0))
                        .here("again here")
                        .label(*first, "here already");
                    problems.push(match meant.filter(|_| !is_meant) {
                        Some(meant) => {
                            is_meant = true;
                            problem
                                .arg(meant.name.as_str())
                                .help("is `{1}` meant in one of the two? no forms stand against it")
                                .fix(section.span, meant.name.as_str())
                        }
                        None => problem.help("keep it in one of the two"),
                    });
                }
                None => {
                    formed.insert(section.value.0, section.span);
                }
            }
        }
    }
    if is_meant || job.broken.iter().any(|id| job.kind(*id) == Some(KindId::Forms)) {
        return;
    }
    for solid in &works.solids.pours {
        let mut wants: Vec<BlockId> = solid
            .skins
            .iter()
            .filter(|skin| {
                matches!(
                    skin.class,
                    crate::concrete::Class::Formed | crate::concrete::Class::End | crate::concrete::Class::Riser
                )
            })
            .map(|skin| skin.section)
            .filter(|section| !formed.contains_key(section))
            .collect();
        wants.sort_unstable();
        wants.dedup();
        for section in wants.into_iter().filter_map(|id| job.section(id)) {
            let long = solid
                .skins
                .iter()
                .any(|skin| skin.section == section.id && skin.class == crate::concrete::Class::Formed);
            let (headline, help) = if long && section.say.side == Some(CastSide::Earth) {
                (
                    "the inner face of section `{0}` wants a form, and none stands there",
                    "`side earth` speaks of its outer face: name it in the `against` clause of some forms; where the ground closes the inner face too, accept it with that reason",
                )
            } else if long {
                (
                    "section `{0}` has faces that want a form, and none stands there",
                    "name it in the `against` clause of some forms; a face cast against the ground is written `side earth`",
                )
            } else {
                (
                    "the ends or steps of section `{0}` want a form, and none stands there",
                    "name it in the `against` clause of some forms, which close its ends too; where the ground closes them, accept it with that reason",
                )
            };
            problems.push(
                Problem::new(&FORM_MISSING, section.at, headline)
                    .arg(section.name.as_str())
                    .thing(section.name.as_str())
                    .help(help),
            );
        }
    }
}

fn sizes(job: &Job, forms: &Thing<Forms>, trouble: Trouble) -> Problem {
    match trouble {
        Trouble::NoFace { at } => {
            let section = forms.say.against.get(at);
            let name = section.map_or("", |section| job.name(section.value.0));
            let span = section.map_or(forms.at, |section| section.span);
            Problem::new(&FORM_AGAINST_NOTHING, span, "no face of section `{0}` wants a form")
                .arg(name)
                .thing(forms.name.as_str())
                .help("take it out: all its sides are against old work, earth or other concrete; or write `side form` in the section")
        }
        Trouble::NotA { clause, board } => {
            let at = forms.said(KindId::Forms, clause);
            let headline = if board { "a board is wanted here, and this is a sheet" } else { "a sheet is wanted here" };
            Problem::new(&FORM_SIZE, at, headline)
                .thing(forms.name.as_str())
                .help("name a size with a cross-section, as `2x4`")
        }
        Trouble::ThinSheet => {
            Problem::new(&FORM_SIZE, forms.say.sheath.span, "no strength is known of a sheet so thin")
                .thing(forms.name.as_str())
                .help("take one of {15/32 in (12 mm)|12 mm (15/32 in)} or thicker, as `{ply-3/4|ply-18}`")
        }
        Trouble::Close { clause, thick, space } => {
            let (word, near) = if clause == "brace" { ("braces", "30\"|750 mm") } else { ("studs", "12\"|300 mm") };
            let near = match job.system() {
                System::Feet => near.split_once('|').map_or(near, |(feet, _)| feet),
                System::Metric => near.split_once('|').map_or(near, |(_, metric)| metric),
            };
            let at = match (clause, &forms.say.brace) {
                ("brace", Some(brace)) => brace.value.space.span,
                _ => forms.say.studs.value.space.span,
            };
            Problem::new(&FORM_SIZE, at, "{0} stand {1} apart from middle to middle, and each is {2} thick")
                .arg(Arg::Word(word))
                .arg(space)
                .arg(thick)
                .arg(near)
                .thing(forms.name.as_str())
                .help("there is no room for them: `space at most {3}` is usual")
                .fix(at, near)
        }
        Trouble::Overlap { section, lower, higher, least } => {
            let kick = lower.0 == Hold::Kick;
            Problem::new(
                &FORM_SIZE,
                hold_clause(forms, higher.0),
                if kick {
                    "the walers of {2} at level {3} lie in the kicker of the form of `{4}`, which stands at level {1}"
                } else {
                    "the walers of {0} at level {1} and of {2} at level {3} lie in each other, on the form of `{4}`"
                },
            )
            .arg(Arg::Word(hold_word(lower.0)))
            .arg(lower.1)
            .arg(Arg::Word(hold_word(higher.0)))
            .arg(higher.1)
            .arg(job.name(section))
            .arg(finely_up(least, job.system()))
            .thing(forms.name.as_str())
            .part(job.name(section))
            .help("their boards have room where the levels are {5} apart or more")
        }
    }
}

fn hold_word(hold: Hold) -> &'static str {
    match hold {
        Hold::Kick => "the kicker",
        Hold::Tie(_) => "the ties",
        Hold::Brace => "the braces",
    }
}

/// A side of a section, as drawings call it.
fn side_word(before: FaceSide) -> &'static str {
    match before {
        FaceSide::Each => "",
        FaceSide::Outer => "outer",
        FaceSide::Inner => "inner",
    }
}

fn hold_clause(forms: &Thing<Forms>, hold: Hold) -> Span {
    forms.said(
        KindId::Forms,
        match hold {
            Hold::Kick => "kick",
            Hold::Tie(_) => "ties",
            Hold::Brace => "brace",
        },
    )
}

fn unheld(job: &Job, forms: &Thing<Forms>, section: BlockId, why: Unheld) -> Problem {
    let (at, headline, help) = match why {
        Unheld::OneLevel => (
            forms.at,
            "the form of `{0}` is held at fewer than two levels",
            "hold its foot (`kick 2x4, on bank`) and a level above it (`brace …` or `ties …`): one alone lets it turn over",
        ),
        Unheld::Outside(hold) => (
            hold_clause(forms, hold),
            "{1} of `{0}` would meet the form below its foot or above the concrete",
            "give a height between the foot of the form and the top of the concrete",
        ),
        Unheld::Order(..) => (
            forms.at,
            "two levels that hold the form of `{0}` are one: {2} and {3} are both at level {4}",
            "put them at different heights; braces that are given no `height` meet the form at three quarters of its own, down to a whole {inch|25 mm}",
        ),
        Unheld::Pulled(hold) => (
            hold_clause(forms, hold),
            "the form of `{0}` is pulled in at {1}, which can only push",
            "put the highest level above a third of the height: below it the top tips out",
        ),
        Unheld::Unsaid(hold) => (
            hold_clause(forms, hold),
            "nobody says what the fixings of {1} of `{0}` hold",
            "write what one fixing was tested to hold (`holds 400 lbf`), or let it stand against what does not move (`on bank`)",
        ),
        Unheld::Unspaced(hold) => (
            hold_clause(forms, hold),
            "nobody says how far apart the fixings of {1} of `{0}` stand",
            "write it behind what one holds, as in `space at most {30\"|750 mm}`: where there are no braces, nothing else says it",
        ),
        Unheld::Slender => (
            hold_clause(forms, Hold::Brace),
            "the braces of `{0}` are too slender or too steep to be reckoned",
            "a brace is no more than 50 times as long as it is thick, and between 5 and 85 deg steep",
        ),
        Unheld::NoFloor(hold, before) => (
            hold_clause(forms, hold),
            match (hold == Hold::Kick, before) {
                (true, FaceSide::Each) => "the kicker of `{0}` is fixed to a floor, and before it there is only ground",
                (true, _) => "the kicker of `{0}` is fixed to a floor, and on the {2} side there is only ground",
                (false, FaceSide::Each) => {
                    "the feet of the braces of `{0}` are fixed to a floor, and before it there is only ground"
                }
                (false, _) => {
                    "the feet of the braces of `{0}` are fixed to a floor, and on the {2} side there is only ground"
                }
            },
            if before == FaceSide::Each {
                "write the floor as a slab that meets the wall (`slab floor …`); where there is none, stakes hold it: `on stakes`, with what one was tested to hold"
            } else {
                "on that side stakes hold it, and one block of forms says one for both sides: leave `on floor`, let `holds …` be the least that a fixing or a stake was tested to hold, and accept this with that reason"
            },
        ),
        Unheld::PastEdge(hold, ..) => (
            hold_clause(forms, hold),
            if hold == Hold::Kick {
                "the kicker of `{0}` reaches {2} out of the concrete, and `{4}` ends {3} out of it: past that there is only ground"
            } else {
                "the feet of the braces of `{0}` with their cleats reach {2} out of the concrete, and `{4}` ends {3} out of it: past that there is only ground"
            },
            if hold == Hold::Kick {
                "fix it to what is there: `on stakes`, with what one was tested to hold"
            } else {
                "let them meet the form lower (`height`), or be steeper (`angle`); or drive stakes past the edge: `on stakes`, with what one was tested to hold"
            },
        ),
        Unheld::Staked(hold, _, before) => (
            hold_clause(forms, hold),
            if before == FaceSide::Each {
                "the stakes of {1} of `{0}` stand on concrete: `{2}` lies under them"
            } else {
                "the stakes of {1} of `{0}` stand on concrete on the {3} side: `{2}` lies under them"
            },
            if before == FaceSide::Each {
                "no stake goes in there: write `on floor`, with what one fixing was tested to hold"
            } else {
                "no stake goes in there: it is fixed to the floor on that side, and one block of forms says one for both: leave `on stakes`, let `holds …` be the least that a stake or a fixing was tested to hold, and accept this with that reason"
            },
        ),
        Unheld::FarBank(..) => (
            hold_clause(forms, Hold::Kick),
            "the kicker of `{0}` stands against the edge of `{4}`, and between them are {2}",
            "wedges bridge no more than {1 1/2 in|38 mm}: saw and break out the slab {3} from the old face, or fix the kicker to what is there (`on stakes` or `on floor`, with what one was tested to hold)",
        ),
        Unheld::OverFloor(on, ..) => (
            hold_clause(forms, Hold::Kick),
            match on {
                StandsOn::Floor => {
                    "the kicker of `{0}` is fixed to a floor, and the foot of the form is at level {2}, the floor below it at {3}"
                }
                StandsOn::Stakes => {
                    "the kicker of `{0}` is on stakes, and the foot of the form is at level {2}, what they are driven into at {3}"
                }
                StandsOn::Bank => {
                    "the kicker of `{0}` stands against a bank, and the foot of the form is at level {2}, what lies before it at {3}"
                }
            },
            if on == StandsOn::Stakes {
                "a stake stands out of the ground no farther than it goes in, {12 in|300 mm}: hold the foot of the form with ties (`ties rows …`), or begin the section lower"
            } else {
                "it stands on nothing there: hold the foot of the form with ties (`ties rows …`), or begin the section lower"
            },
        ),
        Unheld::OffWall(..) => (
            forms.said(KindId::Forms, "ties"),
            "ties of `{0}` at level {2} go into the old wall, which stands from level {3} to {4}",
            "give the row a level in between; off the wall hold the form with braces",
        ),
    };
    let hold = match why {
        Unheld::Outside(hold)
        | Unheld::Pulled(hold)
        | Unheld::Unsaid(hold)
        | Unheld::Unspaced(hold)
        | Unheld::Staked(hold, ..) => hold_word(hold),
        Unheld::OneLevel
        | Unheld::Order(..)
        | Unheld::Slender
        | Unheld::NoFloor(..)
        | Unheld::PastEdge(..)
        | Unheld::FarBank(..)
        | Unheld::OverFloor(..)
        | Unheld::OffWall(..) => "",
    };
    let name = |id: BlockId| Arg::from(job.name(id));
    let more: Vec<Arg> = match why {
        Unheld::Order(lower, higher, level) => {
            vec![Arg::Word(hold_word(lower)), Arg::Word(hold_word(higher)), level.into()]
        }
        Unheld::PastEdge(_, concrete, reach, past) => {
            vec![finely_up(reach, job.system()).into(), past.into(), name(concrete)]
        }
        Unheld::NoFloor(_, before) => vec![Arg::Word(side_word(before))],
        Unheld::Staked(_, thing, before) => vec![name(thing), Arg::Word(side_word(before))],
        Unheld::FarBank(slab, gap, out) => vec![gap.into(), tidy_up(out, job.system()).into(), name(slab)],
        Unheld::OverFloor(_, foot, floor) => vec![foot.into(), floor.into()],
        Unheld::OffWall(level, (bottom, top)) => vec![level.into(), bottom.into(), top.into()],
        _ => Vec::new(),
    };
    let problem = Problem::new(&FORM_UNHELD, at, headline)
        .arg(job.name(section))
        .arg(Arg::Word(hold))
        .thing(forms.name.as_str())
        .part(job.name(section))
        .help(help);
    let problem = match why {
        Unheld::PastEdge(_, thing, ..) | Unheld::Staked(_, thing, _) => {
            job.at(thing).into_iter().fold(problem, |problem, at| problem.label(at, "it stands on this"))
        }
        _ => problem,
    };
    more.into_iter().fold(problem, Problem::arg)
}

/// Of forms, those that begin on top of fresh concrete: what braces and kickers stand on is not there yet.
fn hung(job: &Job, works: &Works, forms: &Thing<Forms>) -> Vec<Problem> {
    let mut out = Vec::new();
    for section in &forms.say.against {
        let Some(upper) = works.sections.find(section.value.0) else { continue };
        let pours = job.pours.iter().filter(|pour| pour.say.fill.iter().any(|one| one.value.0 == upper.id));
        let others = pours.flat_map(|pour| &pour.say.fill).filter_map(|one| works.sections.find(one.value.0));
        let panels =
            works.forms.iter().filter(|formwork| formwork.forms == forms.id).flat_map(|formwork| &formwork.panels);
        let feet = || {
            let mine = panels.clone().filter(|panel| panel.section == upper.id && panel.bottom == upper.bottom);
            mine.filter(|panel| panel.closes == Use::Face).map(before)
        };
        let below = others
            .filter(|lower| lower.id != upper.id && lower.top == upper.bottom)
            .find(|lower| feet().any(|spot| lower.outlines.iter().any(|outline| outline.contains(spot))));
        let Some(below) = below else { continue };
        let name = job.name(upper.id);
        let mut problem =
            Problem::new(&FORM_HUNG, section.span, "the form of `{0}` begins on `{1}`, which is poured with it")
                .arg(name)
                .arg(job.name(below.id))
                .thing(name)
                .help("neither kicker nor braces stand on fresh concrete: hang it from boards laid across the form of `{1}`, or give `{0}` a pour of its own on the hardened joint; then accept this with what was done");
        if let Some(at) = job.at(below.id) {
            problem = problem.label(at, "it stands on this");
        }
        out.push(problem);
    }
    out
}

/// A spot where a form stands: before the middle of the face, as far out as a board is thick.
fn before(panel: &Panel) -> Point {
    panel.frame().at((panel.width / 2).nm() as f64, Length::INCH.nm() as f64)
}

/// Up to a tidy length.
fn tidy_up(length: Length, system: System) -> Length {
    up_by(length, tidy(Length::INCH, system).unwrap_or(Length::INCH))
}

/// Up to an eighth of an inch, or a millimetre.
fn finely_up(length: Length, system: System) -> Length {
    match system {
        System::Feet => up_by(length, Length::INCH / 8),
        System::Metric => up_by(length, Length::from_nm(1_000_000)),
    }
}

/// Down to an eighth of an inch, or a millimetre.
fn finely(length: Length, system: System) -> Length {
    let step = match system {
        System::Feet => Length::INCH / 8,
        System::Metric => Length::from_nm(1_000_000),
    };
    Length::from_nm(length.nm().div_euclid(step.nm()) * step.nm())
}

fn up_by(length: Length, step: Length) -> Length {
    let down = Length::from_nm(length.nm().div_euclid(step.nm()) * step.nm());
    if down < length { down + step } else { down }
}

fn cramped(job: &Job, forms: &Thing<Forms>, tight: &Tight) -> Option<Problem> {
    let strip = job.removes.iter().find(|strip| strip.id == tight.strip)?;
    let wide = show::exact(tidy_up(tight.out, job.system()), job.system()).to_string();
    let (says, help) = if tight.braced {
        (
            "between `{0}` and the edge of `{1}` are {2}, and the form and its braces, which stand in the strip, take {3}",
            "break out `out {4}`, and saw there too; or set the braces steeper, so that they stand nearer",
        )
    } else {
        (
            "between `{0}` and the edge of `{1}` are {2}, and the form takes {3}",
            "break out `out {4}`, and saw there too; or let the concrete reach to the edge of the slab, which needs no form",
        )
    };
    Some(
        Problem::new(&FORM_TIGHT, forms.at, says)
            .arg(job.name(tight.section))
            .arg(job.name(tight.slab))
            .arg(tight.room)
            .arg(tight.takes)
            .arg(wide)
            .thing(forms.name.as_str())
            .label(strip.say.out.span, "the strip ends here")
            .help(help)
            .measure(tight.room),
    )
}

fn squeezed(job: &Job, forms: &Thing<Forms>, narrow: &Narrow) -> Problem {
    let system = job.system();
    let (room, outer) = narrow.offset;
    let off = tidy_up(narrow.takes, system);
    let [off, to, thick] = [off, off + (outer - room), outer].map(|length| show::exact(length, system).to_string());
    let section = job.section(narrow.section);
    let problem = Problem::new(
        &FORM_TIGHT,
        forms.at,
        "between `{0}` and the old wall `{1}` behind it are {2}, and the form on that side takes {3}",
    )
    .arg(job.name(narrow.section))
    .arg(job.name(narrow.wall))
    .arg(room)
    .arg(narrow.takes)
    .arg(off)
    .arg(to)
    .arg(thick)
    .thing(forms.name.as_str())
    .part(job.name(narrow.section))
    .help("let the concrete stand farther off, `offset {4} to {5}`; or let it fill the gap, which needs no form there: `thick {6}`")
    .measure(room);
    match section {
        Some(section) => problem.label(section.said(KindId::Section, "offset"), "it begins here"),
        None => problem,
    }
}

fn crossed(job: &Job, forms: &Thing<Forms>, crossing: &Crossing) -> Problem {
    let (one, other) = crossing.sections;
    let headline = match (crossing.wants.is_some(), one == other) {
        (true, true) => {
            "the braces of `{0}` run into each other in a corner of the form: to pass, the last of one leg would stand {3} from the corner, and the walers bear it no farther than {2}"
        }
        (true, false) => {
            "the braces of `{0}` and `{1}` run into each other in a corner of the form: to pass, the last of one would stand {3} from the corner, and the walers bear it no farther than {2}"
        }
        (false, true) => {
            "the braces of `{0}` run into each other in a corner of the form, and no place up to their feet lets the last of one leg pass"
        }
        (false, false) => {
            "the braces of `{0}` and `{1}` run into each other in a corner of the form, and no place up to their feet lets the last of one pass"
        }
    };
    let wants = crossing
        .wants
        .map_or_else(String::new, |wants| show::exact(finely_up(wants, job.system()), job.system()).to_string());
    Problem::new(&FORM_TIGHT, hold_clause(forms, Hold::Brace), headline)
        .arg(job.name(one))
        .arg(job.name(other))
        .arg(show::exact(finely(crossing.most, job.system()), job.system()).to_string())
        .arg(wants)
        .thing(forms.name.as_str())
        .part(job.name(one))
        .help("let the last brace of one leg meet its form lower, and accept this with that reason; or space them wider (`space at most`), where their sizes hold that; or set them steeper (`angle`), so that they stand nearer")
}

/// The rule of a member, and the place of the spacing that would mend it.
fn of(forms: &Forms, sort: Sort) -> (&'static Rule, Option<Span>) {
    let studs = Some(forms.studs.value.space.span);
    let braces = forms.brace.as_ref().map(|brace| brace.value.space.span);
    let ties = forms.ties.as_ref().map(|ties| ties.value.space.span);
    let kick = forms.kick.as_ref().and_then(|kick| kick.value.space.as_ref()).map(|space| space.span);
    match sort {
        Sort::Sheathing => (&FORM_SHEATH, studs),
        Sort::Bulkhead => (&FORM_SHEATH, None),
        Sort::Stud | Sort::StudTop | Sort::StudFoot | Sort::StudBearing => (&FORM_STUD, studs),
        Sort::Waler => (&FORM_WALER, braces.or(ties)),
        Sort::Tie => (&FORM_TIE, ties),
        Sort::Brace => (&FORM_BRACE, braces),
        Sort::Foot => (&FORM_FOOT, braces),
        Sort::Kick => (&FORM_FOOT, kick),
        // Where the kicker says no spacing, its fixings stand where the braces do.
        Sort::KickBoard => (&FORM_WALER, kick.or(braces)),
        Sort::Down => (&FORM_LIFT, forms.down.as_ref().map(|down| down.value.space.span)),
    }
}

fn weak(job: &Job, formed: &Formwork, forms: &Thing<Forms>, member: &Member) -> Problem {
    let system = job.system();
    let (rule, spacing) = of(&forms.say, member.sort);
    let check = &member.check;
    let widest = member.widest.and_then(|widest| tidy(widest, system)).filter(|widest| *widest > Length::ZERO);
    let clause = match member.sort {
        Sort::Sheathing | Sort::Bulkhead => "sheath",
        Sort::Stud | Sort::StudTop | Sort::StudFoot | Sort::StudBearing => "studs",
        Sort::Waler => {
            if formed.designs.is_empty() || forms.say.walers.is_none() {
                "brace"
            } else {
                "walers"
            }
        }
        Sort::Tie => "ties",
        Sort::Brace | Sort::Foot => "brace",
        Sort::Kick | Sort::KickBoard => "kick",
        Sort::Down => {
            if forms.say.down.is_some() {
                "down"
            } else {
                "brace"
            }
        }
    };
    let at = forms.said(KindId::Forms, clause);
    let times = match show::decimal(check.ratio, 2).to_string() {
        times if times == "1" => "a little over 1".to_owned(),
        times => times,
    };
    let shown = widest.map(|widest| show::exact(widest, system).to_string());
    let forces = match (check.load, check.capacity) {
        (Figure::Force(load), Figure::Force(capacity)) => Some([load, capacity]),
        _ => None,
    };
    let headline = if check.ratio.is_finite() && forces.is_some() {
        match check.limit {
            Limit::Hold => "the load on the {2} at `{0}` is {5}, {1} times the {6} that holds",
            _ => "the load on the {2} at `{0}` is {5}, {1} times the {6} that holds ({3})",
        }
    } else if check.ratio.is_finite() {
        "the load on the {2} at `{0}` is {1} times what holds ({3})"
    } else {
        "leaning braces lift the form of `{0}`, and nothing keeps it down"
    };
    let problem = Problem::new(rule, at, headline)
        .arg(job.name(member.section))
        .arg(Arg::Text(times))
        .arg(Arg::Word(word(member.sort)))
        .arg(Arg::Word(limit_word(check.limit)))
        .arg(shown.as_deref().unwrap_or(""))
        .thing(forms.name.as_str());
    let section = job.name(member.section);
    let problem = if member.sort == Sort::Bulkhead { problem.ends_of(section) } else { problem.part(section) };
    // The load, what holds, and a load that would do.
    let forces = forces.map(|[load, capacity]| {
        let [shown, holds] = [load, capacity].map(|force| show::force(force, system).to_string());
        [shown, holds, would_hold(load, system)]
    });
    let problem = forces.unwrap_or_default().into_iter().fold(problem, Problem::arg);
    match (member.sort, &shown, spacing) {
        (Sort::Down, None, None) => problem.help("hold it down with straps or screws of a tested load: `down {300 lbf, space at most 3'|1300 N, space at most 900 mm}`; a flatter brace lifts less"),
        (Sort::Foot | Sort::Kick | Sort::Tie | Sort::Down, shown, at) => {
            let near = widest.zip(at).filter(|(widest, _)| *widest >= NEAREST);
            match (near, shown) {
                (Some((_, at)), Some(shown)) => {
                    let help = if member.sort == Sort::Down {
                        "`space at most {4}` would do; or straps or screws that were tested to more: `down {7}`"
                    } else {
                        "`space at most {4}` would do; or fix it to what holds more, if it was tested to that: `holds {7}`"
                    };
                    problem.help(help).fix(at, shown.clone())
                }
                _ if member.sort == Sort::Tie => {
                    problem.help("take more rows of ties, or ties that were tested to more: `holds {7}`")
                }
                _ if member.sort == Sort::Down => {
                    problem.help("hold it down with more straps or screws, or with some that were tested to more: `down {7}`; a flatter brace lifts less")
                }
                _ if stakes(&forms.say, member.sort) => problem.help("let it stand against what does not move (`on bank`), or fix each to stakes that were tested together to more: `on stakes, holds {7}`"),
                _ => problem.help("fix it to what holds more: against a bank (`on bank`), or to anchors that were tested to more: `on floor, holds {7}`"),
            }
        }
        (Sort::Bulkhead, ..) => end(job, formed, forms, member.section, problem),
        (sort, Some(shown), Some(at)) => {
            let help = match sort {
                Sort::StudFoot => {
                    "`space at most {4}` would do; or hold the foot (`kick 2x4, on bank`), or put the lowest level nearer to it"
                }
                Sort::StudBearing => {
                    "`space at most {4}` would do; or let more wood bear: `walers 2x4, double`, or one more level"
                }
                _ => "`space at most {4}` would do; or a stronger size",
            };
            problem.help(help).fix(at, shown.clone())
        }
        (Sort::StudBearing, ..) => problem.help("let more wood bear: `walers 2x4, double`, or hold the form at one more level"),
        (Sort::StudFoot, ..) => problem.help("hold the foot (`kick 2x4, on bank`), or put the lowest level nearer to it"),
        _ => problem.help("take a stronger size, or hold the form at another level"),
    }
}

/// What a builder does about an end whose sheathing does not hold from cleat to cleat.
fn end(job: &Job, formed: &Formwork, forms: &Thing<Forms>, section: BlockId, problem: Problem) -> Problem {
    let system = job.system();
    let wants = end_sheath(job, &forms.say, formed, section);
    let Some((end, apart)) = wants.and_then(|end| Some((end, tidy(end.widest, system)?))) else {
        return problem.help("no sheathing like it holds there, however near its studs stand: place the concrete slower, or in layers of less height");
    };
    let bays = (end.width.nm() - 1).div_euclid(apart.nm().max(1)) + 1;
    let problem = problem
        .arg(end.width)
        .arg(show::exact(apart, system).to_string())
        .arg(bays - 1)
        .arg(Arg::Word(if bays == 2 { "a stud" } else { "studs" }))
        .arg(end.thicker.map_or("", |sheet| job.name(sheet)));
    match (end.board, end.thicker) {
        (_, Some(_)) => problem.help("the end is {8} wide: take a thicker sheet, `sheath {12}`; or set {11} between its cleats ({10}, no more than {9} apart), held at foot and head by stakes or braces of their own, and accept this with that reason: the file cannot say it"),
        (true, None) => problem.help("the end is {8} wide, and no board is made for that: set {11} between its cleats ({10}, no more than {9} apart), held at foot and head by stakes or braces of their own, and accept this with that reason: the file cannot say it"),
        (false, None) => problem.help("the end is {8} wide, and no sheet there is holds over that: set {11} between its cleats ({10}, no more than {9} apart), held at foot and head by stakes or braces of their own, and accept this with that reason: the file cannot say it"),
    }
}

/// Whether a brace or kicker stands on stakes.
fn stakes(forms: &Forms, sort: Sort) -> bool {
    let brace = forms.brace.as_ref().map(|brace| brace.value.on);
    let kick = forms.kick.as_ref().map(|kick| kick.value.on);
    let on = if sort == Sort::Foot { brace } else { kick };
    on == Some(StandsOn::Stakes)
}

/// A load that would hold this one, as one writes it: up to 50 lbf or 250 N.
fn would_hold(load: Force, system: System) -> String {
    // What is a whole step but for noise is that step.
    let up = |load: f64, step: f64| (load / step - 1e-6).ceil() * step;
    match system {
        System::Feet => format!("{} lbf", up(load.lbf(), 50.0)),
        System::Metric => format!("{} N", up(load.newtons(), 250.0)),
    }
}

/// Nearer to each other than this nobody sets fixings, and no board takes them: common practice, no source.
const NEAREST: Length = Length::from_nm(6 * 25_400_000);

/// A member in words.
fn word(sort: Sort) -> &'static str {
    match sort {
        Sort::Sheathing => "sheathing",
        Sort::Bulkhead => "sheathing of a bulkhead",
        Sort::Stud => "studs",
        Sort::StudTop => "tops of the studs",
        Sort::StudFoot => "feet of the studs",
        Sort::StudBearing => "studs where they bear on what holds them",
        Sort::Waler => "walers",
        Sort::Tie => "ties",
        Sort::Brace => "braces",
        Sort::Foot => "fixings of the brace feet",
        Sort::Kick => "fixings of the kicker",
        Sort::KickBoard => "kicker between its fixings",
        Sort::Down => "fixings that keep it down",
    }
}
