//! `check`: says what cannot be built as written.

use std::io::{self, Write as _};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    findings::{self, Closing, Showing},
    folders::Jobs,
    jobs::{self, Reader},
    many::{self, Watch},
    screen::{Exit, Out, Screen},
};
use crate::{compile::Compiled, problem::Level, reports::json};

/// Check jobs and say what cannot be built as written
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Every finding shows its place in the file and on the wall, both numbers, and what to type instead. \
`batterboard explain NAME` says more about any of them.")]
#[command(after_help = "\
Examples:
  batterboard check shed.job                 check one job
  batterboard check jobs/*.job --strict      check many; warnings count as errors
  batterboard check jobs                     check all jobs of a folder
  batterboard check - < shed.job             check what comes in on standard input
  batterboard check shed.job --format json   findings for other programs

A folder stands for every file under it whose name ends in .job and that holds a `job` block; what is only included \
by others is no job. Links to folders and names that begin with a dot are passed over.

Exit: 0 fine; 1 at least one error; 2 a job could not be read.")]
pub struct Check {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    judging: Judging,
    /// Print findings as text or json
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

impl Check {
    /// Checks the jobs.
    pub fn run(&self, screen: &Screen) -> Exit {
        let jobs = Jobs::of(&self.reading.files);
        if Reader::new(&self.reading, self.judging.root.as_deref(), screen).is_none() {
            return Exit::Trouble;
        }
        let mut out = Out::stdout();
        let mut exit = Exit::Fine;
        let printed = match self.format {
            Format::Text => self.each(&jobs, screen, &mut exit, &mut |one, complains| {
                out.write_all(&one)?;
                // Before anything about the next job can come on stderr.
                if complains { out.flush() } else { Ok(()) }
            }),
            Format::Json => json::Jobs::begin(&mut out).and_then(|mut text| {
                let parts = &mut |part: Vec<u8>, _| if part.is_empty() { Ok(()) } else { text.job(&part) };
                self.each(&jobs, screen, &mut exit, parts)?;
                text.end(None)
            }),
        };
        for trouble in &jobs.troubles {
            screen.complain(trouble);
            exit = Exit::Trouble;
        }
        exit.worst(out.finish(printed, &mut io::stderr()))
    }

    /// Hands what is to be printed of each job to `print`, in order, and whether a complaint follows it.
    fn each(
        &self,
        jobs: &Jobs,
        screen: &Screen,
        exit: &mut Exit,
        print: &mut dyn FnMut(Vec<u8>, bool) -> io::Result<()>,
    ) -> io::Result<()> {
        let named = &jobs.named;
        // Standard input is read once, by one reader.
        let typed = named.iter().any(|named| named.given == "-");
        let threads = if typed { 1 } else { many::threads(named.len()) };
        let watch = Watch::new(named.len(), screen.watched && !self.judging.quiet);
        let make = || Reader::open(&self.reading, self.judging.root.as_deref(), screen);
        let work = |reader: &mut Result<Reader, String>, number: usize| {
            let reader = reader.as_ref().map_err(Clone::clone)?;
            let Some(named) = named.get(number) else { return Ok(None) };
            let job = reader.one_of_many(named, false);
            reader.take_inputs();
            Ok(job?.map(|job| (findings::exit(&job, self.judging.strict), self.one(job, reader, screen))))
        };
        let (mut done, mut left_out) = (Ok(()), 0);
        many::in_order(named.len(), threads, &make, &work, &mut |one: Result<_, String>| {
            done = watch.step(|| match one {
                Ok(Some((one, shown))) => {
                    *exit = exit.worst(one);
                    print(shown?, false)
                }
                Ok(None) => {
                    left_out += 1;
                    Ok(())
                }
                Err(why) => {
                    *exit = Exit::Trouble;
                    print(Vec::new(), true)?;
                    screen.complain(&why);
                    Ok(())
                }
            });
            done.is_ok()
        });
        watch.end();
        if left_out > 0 && left_out == named.len() {
            screen.complain("none of these files holds a `job` block: they are there to be included");
            *exit = Exit::Trouble;
        }
        done
    }

    /// What is printed of one job.
    fn one(&self, mut job: Compiled, reader: &Reader, screen: &Screen) -> io::Result<Vec<u8>> {
        if self.format == Format::Json {
            if self.judging.quiet {
                job.problems.retain(|problem| problem.rule.level != Level::Advice);
            }
            return json::findings_part(jobs::name(&job), &job);
        }
        let showing = Showing {
            colour: screen.stdout_colour,
            width: screen.width,
            mildest: if self.judging.quiet { Level::Warning } else { Level::Advice },
            most: reader.limits().shown,
            closing: if self.judging.quiet { Closing::Never } else { Closing::Always },
        };
        let mut out = Vec::new();
        findings::show(&job, &showing, &mut out)?;
        Ok(out)
    }
}
