//! What a clause takes, in words.

use super::{Shape, code};
use crate::schema::{
    kinds::KINDS,
    shape::{Field, KindId, Sign},
};
use crate::units::Dimension;

/// What comes behind a clause's or part's word.
pub fn takes(shape: &Shape) -> String {
    match shape {
        Shape::Quantity(dimension, sign) => format!("{}{}", dimension.name(), above(*sign)),
        Shape::Count(Sign::Positive) => "a whole number, 1 or more".to_owned(),
        Shape::Count(Sign::NotNegative) => "a whole number, 0 or more".to_owned(),
        Shape::Count(Sign::Any) => "a whole number".to_owned(),
        Shape::Per(dimension) => {
            let unit = if *dimension == Dimension::Time { "day" } else { "ft" };
            format!("{}; a unit alone, as in `per {unit}`, is one of it", dimension.name())
        }
        Shape::Pack => "a whole number, or a length, area, volume or weight".to_owned(),
        Shape::PerLoad => "`trip`, or a weight or a volume; a unit alone, as in `per ton`, is one of it".to_owned(),
        Shape::Date => "a date".to_owned(),
        Shape::Clock => "a time of day, as `16:30`".to_owned(),
        Shape::Days => "days of the week from `mon` to `sun`: single ones or `A to B`, with commas between".to_owned(),
        Shape::Text => "words between quotes".to_owned(),
        Shape::Word => "one word".to_owned(),
        Shape::Flag => "nothing more".to_owned(),
        Shape::Choice(choices) => {
            let words: Vec<String> = choices.iter().map(|choice| code(choice.word)).collect();
            or(&words)
        }
        Shape::Name(kinds) => format!("the name of {}", any_of(kinds)),
        Shape::List(each) => format!("{}; several with commas between", takes(each)),
        Shape::Range(each) => range(each),
        Shape::Named(value) => format!("a name for it, then {}", takes(value)),
        Shape::At(value, condition) => format!("{}, then `at` and {}", takes(value), takes(condition)),
        Shape::Levels => "a length, or two with `to` between, the lower first".to_owned(),
        Shape::Then(value, word) => format!("{}, then {}", takes(value), takes(word)),
        Shape::Stretch => "where it runs (see *Places*)".to_owned(),
        Shape::Spots => "a leg, `at` and stations".to_owned(),
        Shape::OnLeg(value) => format!("a leg, then {}", takes(value)),
        Shape::Target => {
            "a wall, a leg or a slab; or `NAME.top` for the top of a section, wall, slab or footing".to_owned()
        }
        Shape::Spacing => "`at most` and a length, `every` and a length, or `at` and stations".to_owned(),
        Shape::RowLevel => "a length; or `top` or `bottom`, the section's own, with `+` or `-` and a length".to_owned(),
        Shape::Hook => {
            "an angle of 90, 135 or 180 deg; where it is not plain which way the hook turns, the direction".to_owned()
        }
        Shape::Ahead => "a time above 0, or a number of working days".to_owned(),
        Shape::Strength => "a strength, or a part in percent of that at 28 days".to_owned(),
        Shape::Walk => {
            "moves with commas between, each a length behind `up`, `down`, `out`, `in`, `left` or `right`".to_owned()
        }
        Shape::Work => {
            let mut verbs: Vec<&str> = KINDS.iter().flat_map(|kind| kind.verbs).map(|verb| verb.word).collect();
            verbs.sort_unstable();
            verbs.dedup();
            let verbs: Vec<String> = verbs.into_iter().map(code).collect();
            format!("{}, then the names of what it is done to", or(&verbs))
        }
        Shape::Hole => "a hole: the name of its row, a dot and its number, as `pins.3`".to_owned(),
        Shape::Parts(parts) => match parts.iter().find(|part| part.word.is_empty()) {
            Some(first) => format!("{}: {}", takes(&first.shape), first.says.trim()),
            None => "its parts, in the next rows".to_owned(),
        },
    }
}

/// What a clause or part means.
pub(super) fn means(field: &Field) -> String {
    field.says.trim().trim_end_matches('.').to_owned()
}

fn above(sign: Sign) -> &'static str {
    match sign {
        Sign::Any => "",
        Sign::NotNegative => ", not below 0",
        Sign::Positive => " above 0",
    }
}

/// `A to B`: the same thing twice, said once.
fn range(each: &Shape) -> String {
    match each {
        Shape::Quantity(dimension, sign) => {
            let one = dimension.name();
            let bare = one.split_once(' ').map_or(one, |(_, bare)| bare);
            format!(
                "two {bare}s with `to` between, the lower first{}",
                match sign {
                    Sign::Any => "",
                    Sign::NotNegative => "; not below 0",
                    Sign::Positive => "; both above 0",
                }
            )
        }
        other => format!("{} twice, with `to` between", takes(other)),
    }
}

fn any_of(kinds: &[KindId]) -> String {
    if kinds.is_empty() {
        return "any thing of the job".to_owned();
    }
    let words: Vec<String> = kinds.iter().map(|kind| code(kind.kind().word)).collect();
    format!("a {} block", or(&words))
}

fn or(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
