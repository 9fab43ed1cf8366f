//! Known answers through the language: each case is written as a job and compared with figures that were worked out by hand
//! or by another program, the source named beside it.

mod advice;
mod anchors;
mod bars;
mod bars_in_space;
mod classes;
mod clearance;
mod compare;
mod cure;
mod cuts;
mod cutting;
mod day_plan;
mod days;
mod first_sketch;
mod form_ends;
mod form_loads;
mod forms;
mod holes;
mod hooks;
mod information;
mod laps;
mod long_bars;
mod meant;
mod mixing;
mod money;
mod placing;
mod records;
mod resin;
mod site;
mod sizes;
mod slips;
mod solids;
mod steel_in_sections;
mod ties;
mod turn;
mod tying;
mod way_in;
mod whole;
mod young;

use batterboard::{
    compile::{Compiled, compile_text},
    concrete::PourSolid,
    language::Limits,
    problem::Level,
    source::Shelf,
    units::System,
};

/// The boathouse with a change in it.
fn boathouse(from: &str, to: &str) -> Compiled {
    let shop = std::fs::read_to_string("examples/boathouse/shop.job").unwrap().replace(from, to);
    let text = std::fs::read_to_string("examples/boathouse/boathouse.job").unwrap().replace(from, to);
    let shelf = Shelf::new([("shop.job".to_owned(), shop.into_bytes())]);
    compile_text(&shelf, "boathouse.job", &text, &Limits::default())
}

/// When a step of this name begins and ends.
fn when(job: &Compiled, name: &str) -> (i64, i64) {
    let days = job.works.days.as_ref().unwrap();
    let dated = days.done.iter().find(|dated| job.job.name(dated.node) == name).unwrap();
    (dated.placed.start, dated.placed.finish)
}

/// A job of this text, whatever is wrong with it.
fn compiled(text: &str) -> Compiled {
    let head = if text.contains("job \"") { "" } else { "job \"Case\" { show feet }\n" };
    compile_text(&Shelf::default(), "case.job", &format!("{head}{text}"), &Limits::default())
}

/// A job of this text, without errors; its bars may lie where they could not be laid.
fn fine(text: &str) -> Compiled {
    let compiled = compiled(text);
    let errors: Vec<String> = compiled
        .problems
        .iter()
        .filter(|problem| problem.rule.level == Level::Error)
        .filter(|problem| !["bars-clash", "bar-outside"].contains(&problem.rule.name))
        .map(|problem| format!("{}: {}", problem.rule.name, problem.says(System::Feet)))
        .collect();
    assert!(errors.is_empty(), "{text}\n{errors:#?}");
    compiled
}

/// The names of the errors and warnings of a text, those about missing steps and pours left out, and those about cover: cases
/// of other things lay their bars where they like.
fn found(text: &str) -> Vec<&'static str> {
    let idle = ["no-steps", "not-poured", "not-in-steps", "cover-short"];
    compiled(text).problems.iter().map(|problem| problem.rule.name).filter(|name| !idle.contains(name)).collect()
}

/// The solid of the only pour.
fn only(compiled: &Compiled) -> &PourSolid {
    assert_eq!(compiled.works.solids.pours.len(), 1);
    &compiled.works.solids.pours[0]
}

#[track_caller]
fn near(value: f64, wanted: f64, within: f64) {
    assert!((value - wanted).abs() <= within, "{value} is not {wanted} within {within}");
}
