//! What is done to the old work first: sawing, breaking out, mending, making ready, props, the way in.

use crate::{
    compile::Compiled,
    job::Thing,
    problem::count,
    reports::{Paper, Part, Words, words},
    schema::Crack,
    units::{System, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let lines: Vec<Words> =
        [way(compiled), props(compiled), sawn(compiled), carted(compiled), mended(compiled), ready(compiled)]
            .into_iter()
            .flatten()
            .collect();
    if !lines.is_empty() {
        paper.push(Part::Heading(3, Words::from("Before anything is added")));
        paper.push(Part::Bullets(lines));
    }
}

fn times(number: u64, one: &str, many: &str) -> String {
    count(usize::try_from(number).unwrap_or(usize::MAX), one, many)
}

fn way(compiled: &Compiled) -> Vec<Words> {
    let system = compiled.job.system();
    let routes = compiled.job.routes.iter().map(|route| {
        let say = &route.say;
        let mut text = Words::default()
            .strong(format_args!("Way in, {}", route.name))
            .plain(format_args!(": {} one way", show::exact(say.far.0, system)));
        if let Some(hatch) = &say.hatch {
            let (low, wide) = (show::exact(hatch.low.0, system), show::exact(hatch.wide.0, system));
            text = text.plain(format_args!(", through an opening of {low} by {wide}"));
        }
        if let Some(longest) = say.longest {
            text = text.plain(format_args!(", nothing longer than {}", show::exact(longest.0, system)));
        }
        text
    });
    routes.collect()
}

fn props(compiled: &Compiled) -> Vec<Words> {
    let props = compiled.job.supports.iter().map(|support| {
        let say = &support.say;
        let posts = say.posts.map_or_else(String::new, |posts| {
            format!(" on {}", times(posts.0.unsigned_abs(), "post", "posts"))
        });
        let by = say.by.as_ref().map_or_else(
            || "who says what load they take: ________".to_owned(),
            |by| format!("load according to {}", by.0),
        );
        Words::default().strong(format_args!("Props {}", support.name)).plain(format_args!(
            " carry {}{posts}; {by}. They stand before anything is taken away, and stay until the last pour has hardened enough to be loaded: as its cure says, else 70% of its strength.",
            say.carries.0
        ))
    });
    props.collect()
}

fn sawn(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let system = job.system();
    let saws = compiled.works.saws.iter().map(|saw| {
        let mut text = Words::default().strong(format_args!("Saw {}", job.name(saw.id))).plain(format_args!(
            ": {}, {} out from the face; {} in all, {} deep in {} with a blade of {}",
            words::stretches(job, &compiled.works.standing, &saw.runs),
            show::exact(saw.out, system),
            show::exact(saw.length, system),
            show::exact(saw.deep, system),
            times(saw.passes, "pass", "passes"),
            show::exact(saw.blade, system)
        ));
        text = text.plain(format_args!(
            ". A round blade leaves {} of the full depth at each end and corner that may not be sawn past: drill or chisel it",
            show::place(saw.left, system)
        ));
        if let Some(blades) = saw.blades {
            text = text.plain(format_args!(". Wears {} blades", show::decimal(blades, 2)));
        }
        text
    });
    saws.collect()
}

fn carted(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let system = job.system();
    let all = compiled.works.debris.iter().map(|debris| {
        Words::default().strong(format_args!("Cart off {}", job.name(debris.strip))).plain(format_args!(
            ": {} broken ({} more room than it has in the slab), {}; {} of {}",
            show::volume(debris.loose, system),
            show::percent(debris.bulks),
            show::mass(debris.weight, system),
            times(debris.trips, "trip", "trips"),
            show::carried(debris.carry, system)
        ))
    });
    all.collect()
}

fn mended(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let system = job.system();
    let cracks = compiled.works.injections.iter().map(|one| {
        let back = if one.through { " Seal the back too: dig it free where soil lies against it." } else { "" };
        Words::default().strong(format_args!("Fill crack {}", job.name(one.crack))).plain(format_args!(
            ": {} of {}, {} with what is lost; {}. Lowest port first, on to the next when resin shows there.{back}",
            show::fluid(one.net, system),
            job.name(one.resin),
            show::fluid(one.order, system),
            times(one.ports, "port", "ports")
        ))
    });
    let patches = compiled.works.patches.iter().map(|patch| {
        let by = match patch.pour {
            Some(pour) => format!("filled by {}", job.name(pour)),
            None => "patched by hand: edges square, no feather edge, clean, wet and dry on top".to_owned(),
        };
        Words::default().strong(format_args!("Broken place {}", job.name(patch.spall))).plain(format_args!(
            ": {}, {} deep, {}; {by}",
            show::area(patch.area, system),
            show::exact(patch.deep, system),
            show::small_volume(patch.volume, system)
        ))
    });
    let known = |crack: &Thing<Crack>| compiled.works.injections.iter().any(|one| one.crack == crack.id);
    let unknown = job.cracks.iter().filter(|crack| crack.say.fill.is_some() && !known(crack)).map(|crack| {
        Words::default().strong(format_args!("Fill crack {}", crack.name)).plain(
            ": the file does not say how deep it goes (`deep`, or `through`), so its resin is not counted: depth ________",
        )
    });
    cracks.chain(unknown).chain(patches).collect()
}

fn ready(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let system: System = job.system();
    let all = job.prepares.iter().map(|prepare| {
        let sections: Vec<&str> = prepare.say.of.iter().map(|section| job.name(section.value.0)).collect();
        let (what, place) = words::readied(compiled, prepare.id, None);
        let mut text = Words::default()
            .strong(format_args!("Make ready {}", prepare.name))
            .plain(format_args!(": the {what} {place} {}", crate::problem::and(&sections).replace('`', "")));
        if let Some(deep) = prepare.say.roughen {
            text = text.plain(format_args!(", roughened {} deep", show::exact(deep.0, system)));
        }
        text = text.plain(", no paint, skin or dust left");
        if let Some(wet) = prepare.say.wet {
            text = text.plain(format_args!(", wet for {} and dry on top when concrete comes", show::time(wet.0)));
        }
        text
    });
    all.collect()
}
