//! A place a cross-section is cut at, as it is said.

use crate::{
    concrete::LegAt,
    drawings::{Flags, Of, seen},
    job::Job,
    units::{Dimension, Length, What, number, unit},
    works::Works,
};

/// A place a cross-section is cut at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Station {
    /// The leg.
    pub on: LegAt,
    /// The station on it.
    pub at: Length,
}

/// Why a text names no station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AtFault {
    /// There is no such leg; those there are.
    Leg(Vec<String>),
    /// The job has several legs, and none is named; those there are.
    WhichLeg(Vec<String>),
    /// It is no length.
    NoLength,
    /// The leg is only so long, in the job's own units.
    TooFar(String),
}

/// Reads a station as it is said: `old.back 3'-6"`, `back 3'-6"`, or `3'-6"` where there is one leg.
///
/// # Errors
/// An [`AtFault`] where no place is meant.
pub fn station(job: &Job, works: &Works, text: &str) -> Result<Station, AtFault> {
    let none = Flags::default();
    let of = Of { job, works, flags: &none, system: job.system(), smaller: 0 };
    let legs: Vec<LegAt> = seen::legs(&of).iter().map(|seen| seen.on).collect();
    let names = || legs.iter().map(|leg| of.leg(*leg)).collect::<Vec<String>>();
    let text = text.trim();
    let begins_with_letter = text.chars().next().is_some_and(|first| first.is_ascii_alphabetic());
    let (on, rest) = if begins_with_letter {
        let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let standing = &works.standing;
        let is_named = |leg: &&LegAt| {
            let wall = standing.leg_ref(**leg).map_or("", |leg| job.name(leg.wall));
            let name = standing.leg_name(**leg);
            word == name || word.split_once('.') == Some((wall, name))
        };
        let on = legs.iter().find(is_named).copied().ok_or_else(|| AtFault::Leg(names()))?;
        (on, rest)
    } else {
        match legs.as_slice() {
            [one] => (*one, text),
            _ => return Err(AtFault::WhichLeg(names())),
        }
    };
    let at = length(rest.trim()).ok_or(AtFault::NoLength)?;
    let whole = works.standing.length(on);
    if at < Length::ZERO || at > whole {
        return Err(AtFault::TooFar(of.place(whole)));
    }
    Ok(Station { on, at })
}

/// A length as it is written in a job file: units are never guessed.
fn length(text: &str) -> Option<Length> {
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic()).trim_end();
    let word = text.get(digits.len()..)?.trim();
    let nanometres = match (number(digits).ok()?.what, word) {
        (What::Length(nanometres), "") => nanometres,
        (What::Plain(count), word) => {
            let unit = unit(word).filter(|unit| unit.dimension == Dimension::Length)?;
            count.times(unit.factor())?
        }
        _ => return None,
    };
    i64::try_from(nanometres.to_nearest_i128()).ok().map(Length::from_nm)
}
