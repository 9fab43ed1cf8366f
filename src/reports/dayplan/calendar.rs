//! The plan as a calendar file: RFC 5545. Times are local times of the site without a zone ("floating", 3.3.5), as the job
//! file knows none.

use std::io::{self, Write};

use super::{clock, days, is_wetted_daily, needs, passed, titled, weekday};
use crate::{
    compile::Compiled,
    plan::{self, Care, Days},
    reports::words::{self, fingerprint},
    scheduling::DAY,
    schema::KindId,
};

/// Octets of a line at most, its end not counted: RFC 5545 3.1.
const LINE: usize = 75;

/// Prints the day plan as a calendar: an event for each piece of work and each look, a task for each question, each call that
/// has to be made and each soaking and all daily care. Without days it is a calendar with nothing in it but what is said of the job.
///
/// # Errors
/// The first error of `out`.
pub fn calendar(compiled: &Compiled, out: &mut dyn Write) -> io::Result<()> {
    let mut writer = Writer { out, stamp: String::new(), of: identity(compiled) };
    writer.line("BEGIN:VCALENDAR")?;
    writer.line("VERSION:2.0")?;
    writer.line("PRODID:-//Batterboard//Day plan//EN")?;
    writer.line("CALSCALE:GREGORIAN")?;
    if let Some(days) = days(compiled) {
        // The same file makes the same bytes: the stamp is the day the job starts, not the day it is printed.
        writer.stamp = format!("{}T000000Z", plain(&days.start.to_string()));
        steps(compiled, days, &mut writer)?;
        soaks(compiled, days, &mut writer)?;
        care(compiled, days, &mut writer)?;
    } else {
        // RFC 5545 3.6 asks for a component at least.
        writer.stamp = "19700101T000000Z".to_owned();
        writer.begin("VTODO", "no-days")?;
        writer.text("SUMMARY", &format!("{}: no days are planned", compiled.job.title))?;
        writer.line("END:VTODO")?;
    }
    writer.line("END:VCALENDAR")
}

fn steps(compiled: &Compiled, days: &Days, writer: &mut Writer) -> io::Result<()> {
    let job = &compiled.job;
    for dated in &days.done {
        let name = job.name(dated.node);
        let (start, finish) = (dated.placed.start, dated.placed.finish);
        let title = titled(compiled, dated.node);
        match job.kind(dated.node) {
            Some(KindId::Step | KindId::Look) => {
                let whole = [(start, finish)];
                let pieces =
                    if dated.placed.pieces.is_empty() { whole.as_slice() } else { dated.placed.pieces.as_slice() };
                for (number, (from, to)) in (1..).zip(pieces) {
                    writer.begin("VEVENT", &format!("{name}-{number}"))?;
                    writer.time(days, "DTSTART", *from)?;
                    // An event without an end takes no time (3.6.1).
                    if to > from {
                        writer.time(days, "DTEND", *to)?;
                    }
                    writer.text("SUMMARY", &title)?;
                    writer.text("DESCRIPTION", &describe(compiled, days, dated, number))?;
                    writer.line("END:VEVENT")?;
                }
                if let Some(look) = job.look(dated.node).filter(|look| !passed(compiled, look.id)) {
                    let told = look.say.notice.map_or(start, |notice| plan::before(days.start, start, notice));
                    let by = look.say.by.as_ref().map_or("whoever looks", |by| by.0.as_str());
                    writer.begin("VTODO", &format!("{name}-call"))?;
                    writer.time(days, "DUE", super::in_the_week(days, told))?;
                    writer.text(
                        "SUMMARY",
                        &format!("Call {by} for {} {}: {}", weekday(days, start), clock(start), look.title),
                    )?;
                    writer.line("END:VTODO")?;
                }
            }
            Some(KindId::Wait) => {
                writer.begin("VEVENT", name)?;
                writer.time(days, "DTSTART", start)?;
                if finish > start {
                    writer.time(days, "DTEND", finish)?;
                }
                writer.text("SUMMARY", &title)?;
                writer.line("TRANSP:TRANSPARENT")?;
                writer.line("END:VEVENT")?;
            }
            _ => {
                writer.begin("VTODO", name)?;
                writer.time(days, "DTSTART", start)?;
                // A task that is due must be so later than it starts (3.8.2.3).
                if finish > start {
                    writer.time(days, "DUE", finish)?;
                }
                writer.text("SUMMARY", &title)?;
                writer.line("END:VTODO")?;
            }
        }
    }
    Ok(())
}

fn describe(compiled: &Compiled, days: &Days, dated: &crate::plan::Dated, number: usize) -> String {
    let mut out = vec![format!("Step {} of {}", compiled.job.name(dated.node), compiled.job.title)];
    let last = dated.placed.pieces.len();
    if last > 1 {
        out.push(format!("part {number} of {last}, until {}", weekday(days, dated.placed.finish)));
    }
    if dated.people > 1 {
        out.push(format!("{} people", dated.people));
    }
    let there = needs::of(compiled, dated.node);
    if number == 1 && !there.is_empty() {
        out.push(format!("there before it begins: {}", there.join(", ")));
    }
    out.join("\n")
}

fn care(compiled: &Compiled, days: &Days, writer: &mut Writer) -> io::Result<()> {
    for daily in &days.daily {
        let (word, what) = match daily.care {
            Care::Wet => ("wet", words::wet(is_wetted_daily(&compiled.job, daily.cure))),
            Care::FormsOn => ("forms-on", "leave the forms on, and wet them"),
            Care::Wrap => ("wrap", "see that the wrap is tight, and wet under it"),
            Care::Warm => ("warm", "read the thermometer under the covers"),
        };
        let Some(first) = days.date(daily.from * DAY) else { continue };
        writer.begin("VTODO", &format!("{}-{word}", compiled.job.name(daily.cure)))?;
        writer.line(&format!("DTSTART;VALUE=DATE:{}", plain(&first.to_string())))?;
        writer.line(&format!("RRULE:FREQ=DAILY;COUNT={}", daily.days))?;
        writer.text("SUMMARY", &format!("Care of {}: {what}", compiled.job.name(daily.cure)))?;
        writer.line("END:VTODO")?;
    }
    Ok(())
}

/// Old faces that are wetted before concrete comes.
fn soaks(compiled: &Compiled, days: &Days, writer: &mut Writer) -> io::Result<()> {
    let job = &compiled.job;
    for soak in &days.soaks {
        writer.begin("VTODO", &format!("{}-{}-wet", job.name(soak.face), job.name(soak.pour)))?;
        writer.time(days, "DUE", soak.from)?;
        writer.text(
            "SUMMARY",
            &format!(
                "Wet the {} ({}) and keep it wet until concrete comes ({})",
                words::readied(compiled, soak.face, Some(soak.pour)).0,
                job.name(soak.face),
                job.name(soak.pour)
            ),
        )?;
        writer.line("END:VTODO")?;
    }
    Ok(())
}

struct Writer<'o> {
    out: &'o mut dyn Write,
    stamp: String,
    of: String,
}

impl Writer<'_> {
    fn begin(&mut self, component: &str, id: &str) -> io::Result<()> {
        self.line(&format!("BEGIN:{component}"))?;
        let uid = format!("UID:{id}@{}", self.of);
        self.line(&uid)?;
        let stamp = format!("DTSTAMP:{}", self.stamp);
        self.line(&stamp)
    }

    fn time(&mut self, days: &Days, property: &str, time: i64) -> io::Result<()> {
        let Some(date) = days.date(time) else { return Ok(()) };
        let of_day = time.rem_euclid(DAY);
        let (hours, minutes, seconds) = (of_day / 3600, of_day / 60 % 60, of_day % 60);
        self.line(&format!("{property}:{}T{hours:02}{minutes:02}{seconds:02}", plain(&date.to_string())))
    }

    fn text(&mut self, property: &str, text: &str) -> io::Result<()> {
        self.line(&format!("{property}:{}", escaped(text)))
    }

    /// One content line, folded: no line is longer than 75 octets, and no character is cut (3.1).
    fn line(&mut self, line: &str) -> io::Result<()> {
        let mut rest = line;
        let mut room = LINE;
        while rest.len() > room {
            let mut cut = room;
            while !rest.is_char_boundary(cut) {
                cut -= 1;
            }
            let (now, later) = rest.split_at(cut);
            self.out.write_all(now.as_bytes())?;
            self.out.write_all(b"\r\n ")?;
            rest = later;
            // The blank that begins a folded line counts.
            room = LINE - 1;
        }
        self.out.write_all(rest.as_bytes())?;
        self.out.write_all(b"\r\n")
    }
}

/// Text as a value: 3.3.11. Other control characters have no place in it.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(letter);
            }
            '\n' => out.push_str("\\n"),
            letter if letter.is_control() => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

/// A date without its hyphens.
fn plain(date: &str) -> String {
    date.chars().filter(char::is_ascii_digit).collect()
}

/// What makes the names of this job its own: its title in letters, and a fingerprint of title and site, so that two jobs
/// of one title at two places do not overwrite each other.
fn identity(compiled: &Compiled) -> String {
    let job = &compiled.job;
    let mut slug = String::new();
    for letter in job.title.chars().take(40) {
        match letter.to_ascii_lowercase() {
            letter if letter.is_ascii_alphanumeric() => slug.push(letter),
            _ if !slug.ends_with('-') && !slug.is_empty() => slug.push('-'),
            _ => {}
        }
    }
    let site = job.head.as_ref().and_then(|head| head.say.site.as_ref()).map_or("", |site| site.0.as_str());
    let sum = fingerprint(&format!("{}\0{site}", job.title));
    format!("{}-{sum:016x}.batterboard", slug.trim_end_matches('-'))
}
