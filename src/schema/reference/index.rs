//! The index: every word, and where it is explained.

use std::collections::{BTreeMap, BTreeSet};

use super::{Kind, Page, Shape, code};
use crate::schema::shape::Field;

/// Puts a line for each letter.
pub(super) fn words(page: &mut Page, kinds: &[Kind]) {
    let mut places: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    let mut put = |word: &'static str, place: String| {
        if !word.is_empty() && word != "\"" {
            places.entry(word).or_default().insert(place);
        }
    };
    for kind in kinds {
        put(kind.word, "a kind".to_owned());
        for field in kind.fields {
            put(field.word, kind.word.to_owned());
            field_words(kind, field, &mut put);
        }
        for asked in kind.properties {
            put(asked.word, kind.word.to_owned());
        }
        for verb in kind.verbs {
            put(verb.word, kind.word.to_owned());
        }
    }
    let mut lines: Vec<String> = Vec::new();
    let mut letter = None;
    for (word, places) in places {
        let first = word.chars().next();
        let places = places.into_iter().collect::<Vec<_>>().join(", ");
        let item = format!("{} ({places})", code(word));
        match lines.last_mut() {
            Some(line) if letter == first => {
                line.push_str(" · ");
                line.push_str(&item);
            }
            _ => lines.push(format!("- {item}")),
        }
        letter = first;
    }
    page.put("Behind each word stand the kinds it is explained with.");
    page.put(&lines.join("\n"));
}

/// The words inside a clause: parts and closed lists.
fn field_words(kind: &Kind, field: &Field, put: &mut impl FnMut(&'static str, String)) {
    let within = || format!("{} … {}", kind.word, field.word);
    let listed = |shape: &Shape, put: &mut dyn FnMut(&'static str, String)| {
        if let Shape::Choice(choices) = shape {
            choices.iter().for_each(|choice| put(choice.word, within()));
        }
    };
    listed(&field.shape, put);
    if let Shape::Parts(parts) = field.shape {
        for part in parts {
            put(part.word, within());
            listed(&part.shape, put);
        }
    }
}
