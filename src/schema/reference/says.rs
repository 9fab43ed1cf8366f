//! What a clause takes, in words.

use super::{Shape, code};
use crate::{
    schema::shape::{Field, KindId, Sign},
    units::Dimension,
};

/// What comes behind a clause's or part's word.
pub(super) fn takes(shape: &Shape) -> String {
    match shape {
        Shape::Quantity(dimension, sign) => format!("{}{}", dimension.name(), above(*sign)),
        Shape::Count(Sign::Positive) => "a whole number, 1 or more".to_owned(),
        Shape::Count(Sign::NotNegative) => "a whole number, 0 or more".to_owned(),
        Shape::Count(Sign::Any) => "a whole number".to_owned(),
        Shape::Per(dimension) => per(*dimension),
        Shape::Date => "a date".to_owned(),
        Shape::Text => "words between quotes".to_owned(),
        Shape::Word => "a word of your own".to_owned(),
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
        Shape::Stretch => "where it runs (see *Places*)".to_owned(),
        Shape::Spots => "a leg, `at` and stations".to_owned(),
        Shape::OnLeg(value) => format!("a leg, then {}", takes(value)),
        Shape::Target => {
            "a wall, a leg or a slab; or `NAME.top` for the top of a section, wall, slab or footing".to_owned()
        }
        Shape::Spacing => "`at most` and a length, `every` and a length, or `at` and stations".to_owned(),
        Shape::Walk => "directions with lengths, commas between: `up`, `down`, `out`, `in`, `left`, `right`".to_owned(),
        Shape::Work => "one of the verbs listed with the things, then their names".to_owned(),
        Shape::Parts(parts) => match parts.iter().find(|part| part.word.is_empty()) {
            Some(first) => format!("{}: {}", takes(&first.shape), first.says.trim()),
            None => "its parts".to_owned(),
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

fn per(dimension: Dimension) -> String {
    let units: Vec<String> = crate::units::of_dimension(dimension)
        .map(|unit| code(unit.word))
        .filter(|word| word != "`in`")
        .take(2)
        .collect();
    format!("a unit alone ({}) or {}", or(&units), dimension.name())
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
    format!("a {}", or(&words))
}

fn or(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
