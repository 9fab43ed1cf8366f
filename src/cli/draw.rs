//! `draw`: writes drawings of a job.

use std::{
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    disk::shown,
    findings::{self, Closing, Showing},
    jobs::{self, Reader},
    papers::{Output, cannot_write, ready, write},
    picture,
    screen::{Exit, Out, Screen},
};
use crate::{
    compile::Compiled,
    drawings::{self, AtFault, Drawing, Station, View},
    problem::{Level, nearest},
    reports::flags,
};

/// Draw a job: plan, elevations, sections, bars, pours, days
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
The views are plan, elevation (one a leg), section (one for each stretch that looks alike), form (one a leg, and one of its \
inner side where a form stands there), corner, bends, cuts, pour and days. A view of which there is nothing to see makes no \
drawing. One job is drawn at a time. Sizes are those of Letter or A4 paper, as the job's `show` asks; every drawing prints to scale at full size.")]
#[command(after_help = "\
Examples:
  batterboard draw shed.job -o drawings/                          all of them, a file each
  batterboard draw shed.job --view plan -o plan.svg               one
  batterboard draw shed.job --view elevation-old-back > back.svg  one of several elevations, by its own name
  batterboard draw shed.job --view section --at \"back 3'-6\\\"\" -o cut.svg
  batterboard draw shed.job --view corner --format png -o corner.png

A file is written whole or not at all, and a job file is never written over.

Exit: 0 fine; 1 at least one error in the job; 2 something could not be read or written.")]
pub struct Draw {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    output: Output,
    /// Only this view, or the one drawing of this name
    #[arg(long, value_name = "NAME")]
    view: Option<String>,
    /// Cut sections here, such as "back 3'-6\""; can be given again
    #[arg(long, value_name = "STATION")]
    at: Vec<String>,
    /// Write it as svg, or as png
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "svg")]
    format: Format,
    #[command(flatten)]
    judging: Judging,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Lines and letters
    Svg,
    /// Dots, 300 to the inch
    Png,
}

impl Format {
    fn ending(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Png => "png",
        }
    }

    fn bytes(self, drawing: &Drawing) -> Result<Vec<u8>, String> {
        let svg = drawings::svg(drawing, None);
        match self {
            Format::Svg => Ok(svg.into_bytes()),
            Format::Png => picture::png(&svg),
        }
    }
}

impl Draw {
    /// Writes the drawings.
    pub fn run(&self, screen: &Screen) -> Exit {
        match self.drawn(screen) {
            Ok(exit) => exit,
            Err(what) => {
                if !what.is_empty() {
                    screen.complain(&what);
                }
                Exit::Trouble
            }
        }
    }

    fn drawn(&self, screen: &Screen) -> Result<Exit, String> {
        let [file] = self.reading.files.as_slice() else {
            return Err("`draw` takes one job at a time".into());
        };
        if self.view.is_none() && !self.output.is_folder() {
            return Err(match self.output.path() {
                None => {
                    "all drawings need a folder to go to; write `-o drawings/`, or name one view with `--view`".into()
                }
                Some(path) => {
                    let name = shown(path);
                    format!(
                        "all drawings need a folder to go to, and `{name}` is none; for a new one write `{name}/`, or name one view with `--view`"
                    )
                }
            });
        }
        let reader = Reader::new(&self.reading, self.judging.root.as_deref(), screen).ok_or_else(String::new)?;
        let job = reader.compile(file).ok_or_else(String::new)?;
        let exit = findings::exit(&job, self.judging.strict);
        let showing = Showing {
            colour: screen.stderr_colour,
            width: screen.width,
            mildest: Level::Warning,
            most: reader.limits().shown,
            closing: if self.judging.quiet { Closing::Never } else { Closing::AfterFindings },
        };
        // Standard error gone is no reason to keep the drawings back.
        let _ = findings::show(&job, &showing, &mut io::BufWriter::new(io::stderr().lock()));
        let chosen = self.chosen(&job)?;
        // Nothing is written before all of it is drawn.
        let mut files: Vec<(String, Vec<u8>)> = Vec::with_capacity(chosen.len());
        for drawing in &chosen {
            files.push((format!("{}.{}", drawing.id, self.format.ending()), self.format.bytes(drawing)?));
        }
        Ok(exit.worst(self.put(&reader, &files, screen)?))
    }

    /// The drawings that are asked for; never none.
    fn chosen(&self, job: &Compiled) -> Result<Vec<Drawing>, String> {
        let stations = self.stations(job)?;
        let flags = flags(job);
        let drawn = |view: View| drawings::drawings(&job.job, &job.works, &flags, view, &stations);
        let every = || drawings::all(&job.job, &job.works, &flags, &stations);
        let Some(name) = &self.view else {
            let all = every();
            return if all.is_empty() {
                Err(format!("`{}` has nothing to draw yet: no section, hole, bar or day", jobs::name(job)))
            } else {
                Ok(all)
            };
        };
        if let Some((view, _)) = View::ALL.iter().find(|(_, known)| known == name) {
            let drawn = drawn(*view);
            return if drawn.is_empty() {
                Err(format!("there is nothing in `{}` to be seen in the view `{name}`", jobs::name(job)))
            } else {
                Ok(drawn)
            };
        }
        let all = every();
        let mut known: Vec<&str> = View::ALL.iter().map(|(_, name)| *name).collect();
        known.extend(all.iter().map(|drawing| drawing.id.as_str()));
        match all.iter().find(|drawing| drawing.id == *name) {
            Some(drawing) => Ok(vec![drawing.clone()]),
            None => {
                let near = nearest(name, known.iter().copied());
                let near = near.map_or_else(String::new, |near| format!(" did you mean `{near}`?"));
                let views = View::ALL.map(|(_, name)| name).join(", ");
                let drawn: Vec<String> = all.iter().map(|drawing| format!("\n  {}", drawing.id)).collect();
                Err(format!(
                    "there is no view `{name}`;{near} the views are {views}; the drawings of this job are{}",
                    drawn.concat()
                ))
            }
        }
    }

    fn stations(&self, job: &Compiled) -> Result<Vec<Station>, String> {
        let one = |text: &String| {
            drawings::station(&job.job, &job.works, text).map_err(|fault| {
                let why = match fault {
                    AtFault::Leg(legs) => format!("there is no such leg here; there are {}", legs.join(", ")),
                    AtFault::WhichLeg(legs) => {
                        format!("name the leg before the station; there are {}", legs.join(", "))
                    }
                    AtFault::NoLength => {
                        "write the station as a length with its unit, such as `back 3'-6\"` or `face 900 mm`".into()
                    }
                    AtFault::TooFar(long) => format!("the leg is {long} long"),
                };
                format!("`--at {text}`: {why}")
            })
        };
        self.at.iter().map(one).collect()
    }

    fn put(&self, reader: &Reader, files: &[(String, Vec<u8>)], screen: &Screen) -> Result<Exit, String> {
        let Some(path) = self.output.path() else {
            let [(_, bytes)] = files else { return Err(several(files)) };
            let mut out = Out::stdout();
            let printed = out.write_all(bytes);
            return Ok(out.finish(printed, &mut io::stderr()));
        };
        let quiet = self.judging.quiet;
        let inputs = reader.inputs();
        let put = |path: &Path, bytes: &[u8]| write(path, &inputs, quiet, screen, &mut |out| out.write_all(bytes));
        if !self.output.is_folder() {
            let [(_, bytes)] = files else { return Err(several(files)) };
            return Ok(put(path, bytes));
        }
        if let Err(error) = ready(path) {
            return Ok(cannot_write(path, &error, screen));
        }
        let places: Vec<PathBuf> = files.iter().map(|(name, _)| path.join(name)).collect();
        Ok(places.iter().zip(files).fold(Exit::Fine, |exit, (place, (_, bytes))| exit.worst(put(place, bytes))))
    }
}

/// Several drawings do not go into one file.
fn several(files: &[(String, Vec<u8>)]) -> String {
    let names = files.iter().map(|(name, _)| name.rsplit_once('.').map_or(name.as_str(), |(name, _)| name));
    let list: Vec<String> = names.map(|name| format!("\n  --view {name}")).collect();
    format!(
        "there are {} drawings of this view; write `-o drawings/`, or name one of them:{}",
        files.len(),
        list.concat()
    )
}
