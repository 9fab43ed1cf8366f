//! Where the numbers come from: every source once, with the numbers that rest on it.

use std::collections::BTreeMap;

use crate::{
    compile::Compiled,
    ledger::Origin,
    problem::Problem,
    reports::{Paper, Part, Words, why::behind},
};

/// How many names are written out behind a source.
const NAMED: usize = 6;

/// What everything rests on.
const UNITS: &str = "Units: NIST Special Publication 811, Appendix B; NIST Handbook 44, Appendix C";

pub(super) fn add(compiled: &Compiled, paper: &mut Paper) {
    paper.push(Part::Heading(2, Words::from("Where the numbers come from")));
    paper.push(Part::Text(Words::from(
        "Each source once, with what rests on it. How a number was made, with the lines of the file it comes from, is shown by: batterboard why NAME FILE.",
    )));
    let mut lines: Vec<Words> = resting(compiled)
        .into_iter()
        .map(|(source, names)| {
            let shown: Vec<&str> = names.iter().take(NAMED).map(String::as_str).collect();
            let more = names.len().saturating_sub(NAMED);
            let more = if more == 0 { String::new() } else { format!(" and {more} more") };
            Words::new().strong(source).plain(format_args!(": {}{more}", shown.join(", ")))
        })
        .collect();
    lines.push(Words::new().strong(UNITS).plain(": every number with a unit"));
    paper.push(Part::Bullets(lines));
}

/// Every source in order of its words, with the numbers and findings that rest on it.
fn resting(compiled: &Compiled) -> BTreeMap<String, Vec<String>> {
    let mut out: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut rests = |source: String, name: &str| {
        let names = out.entry(source).or_default();
        if names.last().map(String::as_str) != Some(name) {
            names.push(name.to_owned());
        }
    };
    let behind = behind(compiled);
    for entry in compiled.works.ledger.entries() {
        for source in entry.sources() {
            rests(source.to_owned(), &entry.name);
        }
        for input in &entry.inputs {
            if let Origin::Typed(span, _) = input.from
                && let Some(source) = behind.get(&span)
            {
                rests((*source).to_owned(), &entry.name);
            }
        }
    }
    let mut found: Vec<&Problem> =
        compiled.problems.iter().chain(compiled.accepted.iter().map(|accepted| &accepted.problem)).collect();
    found.sort_by_key(|problem| problem.rule.name);
    for problem in found {
        if let Some(source) = of_page(problem.rule.page) {
            rests(source, &format!("finding {}", problem.rule.name));
        }
    }
    out
}

/// What a finding's page says under "Source", in one line and without its full stop.
fn of_page(page: &str) -> Option<String> {
    let lines = page.lines().skip_while(|line| line.trim() != "## Source").skip(1);
    let words: Vec<&str> = lines.take_while(|line| !line.starts_with('#')).flat_map(str::split_whitespace).collect();
    let text = words.join(" ").replace("**", "");
    let text = text.trim_end_matches('.');
    (!text.is_empty()).then(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_tells_its_source() {
        for rule in crate::checks::rules() {
            let source = of_page(rule.page);
            assert!(source.is_some_and(|source| !source.contains("##")), "{}", rule.name);
        }
    }
}
