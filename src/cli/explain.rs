//! `explain`: prints the page of a finding, or the list of all findings.

use std::{
    fmt::Write as _,
    io::{self, Write},
};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    screen::{Exit, Out, Screen},
};
use crate::{
    checks,
    problem::{Level, Rule, nearest},
    reports::{Paper, Part, Words, print},
    source::escaped,
};

/// Say more about a finding, or list all findings there are
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Every finding of `batterboard check` carries a name, such as holes-meet. Its page says what is found, why it \
matters on the job, how it looks in a file, and what to write instead.")]
#[command(after_help = "\
Examples:
  batterboard explain holes-meet     the page of one finding
  batterboard explain                all findings, with a line each

Exit: 0 fine; 2 no finding has this name.")]
pub struct Explain {
    /// The name of the finding; without it, all are listed
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// Print the page as text or markdown
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Laid out for the screen
    Text,
    /// As it is written, for any Markdown reader
    Markdown,
}

impl Explain {
    /// Prints the page or the list.
    pub fn run(&self, screen: &Screen) -> Exit {
        let mut out = Out::stdout();
        let Some(name) = self.name.as_deref() else {
            let printed = match self.format {
                Format::Text => list(&mut out),
                Format::Markdown => list_markdown(&mut out),
            };
            return out.finish(printed, &mut io::stderr());
        };
        let Some(rule) = checks::rule(name) else {
            screen.complain(&unknown(name));
            return Exit::Trouble;
        };
        let printed = match self.format {
            Format::Markdown => out.write_all(rule.page.as_bytes()),
            Format::Text => {
                let width = u16::try_from(screen.width).unwrap_or(u16::MAX);
                print::terminal(&page(rule), width, screen.stdout_colour, &mut out)
            }
        };
        out.finish(printed, &mut io::stderr())
    }
}

fn unknown(name: &str) -> String {
    let near = nearest(name, checks::rules().iter().map(|rule| rule.name));
    let meant = near.map_or_else(String::new, |near| format!("; `{near}` is meant?"));
    format!("no finding is called `{}`{meant}\n`batterboard explain` lists them all", escaped(name))
}

/// The levels, gravest first, and what each stands for.
const LEVELS: [(Level, &str); 3] = [
    (Level::Error, "Errors: cannot be built, or not be computed, as written"),
    (Level::Warning, "Warnings: against a published rule or a practice that matters here"),
    (Level::Advice, "Advice: worth knowing"),
];

/// All rules, level by level.
fn by_level() -> impl Iterator<Item = (&'static str, Vec<&'static Rule>)> {
    let rules = checks::rules();
    LEVELS.into_iter().filter_map(move |(level, words)| {
        let ours: Vec<&Rule> = rules.iter().copied().filter(|rule| rule.level == level).collect();
        (!ours.is_empty()).then_some((words, ours))
    })
}

fn list(out: &mut dyn Write) -> io::Result<()> {
    let longest = checks::rules().iter().map(|rule| rule.name.len()).max().unwrap_or(0);
    for (at, (words, rules)) in by_level().enumerate() {
        let gap = if at == 0 { "" } else { "\n" };
        writeln!(out, "{gap}{words}\n")?;
        for rule in rules {
            writeln!(out, "  {:<longest$}  {}", rule.name, rule.summary)?;
        }
    }
    Ok(())
}

fn list_markdown(out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "# Findings")?;
    for (words, rules) in by_level() {
        writeln!(out, "\n## {words}\n")?;
        for rule in rules {
            writeln!(out, "- `{}`: {}", rule.name, rule.summary)?;
        }
    }
    Ok(())
}

/// The page of a rule as a paper: of Markdown, what the pages use.
fn page(rule: &Rule) -> Paper<'static> {
    let mut paper = Paper::new(format!("{}: {}", rule.level.word(), rule.name));
    paper.push(Part::Text(sentence(rule.summary).into()));
    let mut lines = rule.page.lines().peekable();
    while let Some(line) = lines.next() {
        if line.trim().is_empty() {
            continue;
        }
        if line.starts_with("```") {
            let code: Vec<&str> = lines.by_ref().take_while(|line| !line.starts_with("```")).collect();
            paper.push(Part::Code(code.join("\n")));
        } else if let Some((level, words)) = heading(line) {
            // The first is the rule's name, which stands above already.
            if level > 1 {
                paper.push(Part::Heading(level, words.into()));
            }
        } else if line.starts_with("- ") {
            let mut items = vec![];
            let mut item = line.get(2..).unwrap_or("").to_owned();
            while let Some(next) = lines.next_if(|next| next.starts_with("- ") || next.starts_with("  ")) {
                match next.strip_prefix("- ") {
                    Some(words) => items.push(words_of(&std::mem::replace(&mut item, words.to_owned()))),
                    None => _ = write!(item, " {}", next.trim()),
                }
            }
            items.push(words_of(&item));
            paper.push(Part::Bullets(items));
        } else {
            let mut text = line.trim().to_owned();
            let ends = |next: &&str| next.trim().is_empty() || next.starts_with("```") || next.starts_with("- ");
            while let Some(next) = lines.next_if(|next| !ends(next) && heading(next).is_none()) {
                _ = write!(text, " {}", next.trim());
            }
            paper.push(Part::Text(words_of(&text)));
        }
    }
    paper
}

fn heading(line: &str) -> Option<(u8, &str)> {
    let level = line.bytes().take_while(|byte| *byte == b'#').count();
    let words = line.get(level..)?.strip_prefix(' ')?;
    (1..=6).contains(&level).then(|| (u8::try_from(level).unwrap_or(6), words.trim()))
}

/// Plain and `**strong**` words.
fn words_of(text: &str) -> Words {
    let mut words = Words::new();
    for (at, run) in text.split("**").enumerate() {
        words = if at % 2 == 1 { words.strong(run) } else { words.plain(run) };
    }
    words
}

/// A summary as a sentence.
fn sentence(summary: &str) -> String {
    let mut letters = summary.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Level;

    #[test]
    fn a_page_is_laid_out_for_the_screen() {
        static RULE: Rule = Rule {
            name: "post-short",
            level: Level::Warning,
            summary: "a post does not reach the beam",
            page: "# post-short\n\n## What it finds\n\nA post whose top,\nwith `cap`, is **below** the beam.\n\n- one\n  \
                   and more\n- two\n\n## Example\n\n```job\npost p {\n    long 7'\n}\n```\nAfter.\n",
        };
        let mut out = Vec::new();
        print::terminal(&page(&RULE), 60, false, &mut out).unwrap();
        insta::assert_snapshot!(String::from_utf8(out).unwrap());
    }

    #[test]
    fn the_list_names_every_rule_once() {
        let mut out = Vec::new();
        list(&mut out).unwrap();
        let text = String::from_utf8(out).unwrap();
        for rule in checks::rules() {
            let line = format!("  {} ", rule.name);
            assert_eq!(text.lines().filter(|one| one.starts_with(&line)).count(), 1, "{}", rule.name);
        }
    }
}
