//! One run over many jobs: compiled on all cores, their papers written in order, then what they come to together.
//!
//! A job that is broken stops no other. Only papers whose names hang on all titles are held until the last job is read.

use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

use foldhash::HashSet;

use super::{
    disk::{reason, shown},
    findings::{self, Closing, Showing},
    folders::Jobs,
    jobs::{self, Reader},
    many::{self, Watch},
    papers::{Layout, Run, Target, cannot_write, ready, title, write},
    screen::{Exit, Out},
    slug,
};
use crate::{
    compile::Compiled,
    gathering::{Gathered, Share, share},
    problem::Level,
    reports::{Indexed, Paper, index, json, together},
};

/// What came of one job.
struct One {
    complaint: Option<String>,
    /// Errors and warnings, as they are shown.
    findings: Vec<u8>,
    exit: Exit,
    made: Option<Made>,
    inputs: Vec<PathBuf>,
    file: String,
    /// It holds no job.
    left_out: bool,
}

/// A paper in bytes, and what its job adds to the others.
struct Made {
    name: String,
    title: String,
    paper: Vec<u8>,
    share: Share,
}

/// What is known of all jobs so far.
#[derive(Default)]
struct All {
    gathered: Gathered,
    left_out: usize,
    exit: Option<Exit>,
}

impl All {
    fn worst(&mut self, exit: Exit) {
        self.exit = Some(self.exit.map_or(exit, |worst| worst.worst(exit)));
    }
}

/// One run over these jobs.
pub(super) fn run(run: &Run, jobs: &Jobs, target: Target) -> Exit {
    let batch = Batch { run, jobs };
    let opened = Reader::open(run.reading, run.judging.root.as_deref(), run.screen);
    if let Err(why) = opened {
        run.screen.complain(&why);
        return Exit::Trouble;
    }
    let mut exit = match target {
        Target::Screen => batch.to_screen(),
        Target::File(path) => batch.to_file(path),
        Target::Folder(folder) if jobs.in_folders() => batch.mirrored(folder),
        Target::Folder(folder) => batch.by_title(folder),
    };
    for trouble in &jobs.troubles {
        run.screen.complain(trouble);
        exit = Exit::Trouble;
    }
    exit
}

struct Batch<'r> {
    run: &'r Run<'r>,
    jobs: &'r Jobs,
}

impl Batch<'_> {
    /// Compiles all jobs and hands what comes of each to `take`, in order, until that fails.
    fn each(&self, layout: Layout, take: &mut dyn FnMut(&mut All, One) -> io::Result<()>) -> (All, io::Result<()>) {
        let named = &self.jobs.named;
        // Standard input is read once, by one reader.
        let typed = named.iter().any(|named| named.given == "-");
        let threads = if typed { 1 } else { many::threads(named.len()) };
        let (reading, judging, screen) = (self.run.reading, self.run.judging, self.run.screen);
        let watch = Watch::new(named.len(), screen.watched && !judging.quiet);
        let make = || Reader::open(reading, judging.root.as_deref(), screen);
        let work = |reader: &mut Result<Reader, String>, number: usize| self.one(reader, number, layout);
        let (mut all, mut done) = (All::default(), Ok(()));
        many::in_order(named.len(), threads, &make, &work, &mut |one: One| {
            done = watch.step(|| {
                self.say(&one);
                all.worst(one.exit);
                all.left_out += usize::from(one.left_out);
                if let Some(made) = &one.made {
                    all.gathered.add(&made.share);
                }
                take(&mut all, one)
            });
            done.is_ok()
        });
        watch.end();
        if all.left_out > 0 && all.left_out == named.len() {
            screen.complain("none of these files holds a `job` block: they are there to be included");
            all.worst(Exit::Trouble);
        }
        (all, done)
    }

    /// One job, on a thread of its own.
    fn one(&self, reader: &Result<Reader, String>, number: usize, layout: Layout) -> One {
        let Some(named) = self.jobs.named.get(number) else { return One::failed(String::new(), String::new()) };
        let file = shown(Path::new(&named.given));
        let reader = match reader {
            Ok(reader) => reader,
            Err(why) => return One::failed(file, why.clone()),
        };
        let press = self.run.press;
        let read = reader.one_of_many(named, press.needs_numbers());
        let mut one = One { inputs: reader.take_inputs(), ..One::fine(file) };
        let job = match read {
            Ok(Some(job)) => job,
            Ok(None) => return One { left_out: true, ..one },
            Err(why) => return One { complaint: Some(why), exit: Exit::Trouble, ..one },
        };
        one.exit = findings::exit(&job, self.run.judging.strict);
        let showing = Showing {
            colour: self.run.screen.stderr_colour,
            width: self.run.screen.width,
            mildest: Level::Warning,
            most: reader.limits().shown,
            closing: if self.run.judging.quiet { Closing::Never } else { Closing::AfterFindings },
        };
        // Bytes in memory take whatever is written to them.
        let _ = findings::show(&job, &showing, &mut one.findings);
        if let Some(why) = press.refuses(&job) {
            return One { complaint: Some(why), exit: Exit::Trouble, ..one };
        }
        match self.paper(&job, layout) {
            Ok(paper) => {
                let (name, title) = (jobs::name(&job).to_owned(), title(&job));
                One { made: Some(Made { name, title, paper, share: share(&job) }), ..one }
            }
            Err(error) => {
                let why = format!("the paper of `{}` cannot be printed: {}", jobs::name(&job), reason(&error));
                One { complaint: Some(why), exit: Exit::Trouble, ..one }
            }
        }
    }

    fn paper(&self, job: &Compiled, layout: Layout) -> io::Result<Vec<u8>> {
        let name = jobs::name(job);
        if self.run.press.one_text() {
            return self.run.press.part(name, job);
        }
        let mut paper = Vec::new();
        self.run.press.print(&[(name, job)], layout, &mut paper)?;
        Ok(paper)
    }

    /// What is to be said of a job, in its turn. Standard error gone is no reason to keep the paper back.
    fn say(&self, one: &One) {
        let _ = io::stderr().lock().write_all(&one.findings);
        if let Some(complaint) = &one.complaint {
            self.run.screen.complain(complaint);
        }
    }

    fn to_screen(&self) -> Exit {
        let layout = self.run.on_screen();
        let mut out = Out::stdout();
        let (all, printed) = if self.run.press.one_text() {
            self.text(layout, &mut out)
        } else {
            let mut first = true;
            let (all, printed) = self.each(layout, &mut |_, one| {
                let Some(made) = one.made else { return Ok(()) };
                if !first {
                    out.write_all(b"\n")?;
                }
                first = false;
                out.write_all(&made.paper)?;
                // Before anything about the next job can come on stderr.
                out.flush()
            });
            let printed = printed.and_then(|()| {
                if all.gathered.jobs < 2 || !self.run.press.adds_up() {
                    return Ok(());
                }
                out.write_all(b"\n")?;
                self.run.press.page(&together(&all.gathered), layout, &mut out)
            });
            (all, printed)
        };
        all.exit.unwrap_or(Exit::Fine).worst(out.finish(printed, &mut io::stderr()))
    }

    /// One text of all jobs, written as they come.
    fn text(&self, layout: Layout, out: &mut dyn Write) -> (All, io::Result<()>) {
        let mut text = match json::Jobs::begin(out) {
            Ok(text) => text,
            Err(error) => return (All::default(), Err(error)),
        };
        let (all, printed) = self.each(layout, &mut |_, one| one.made.map_or(Ok(()), |made| text.job(&made.paper)));
        let sums = Some(&all.gathered).filter(|all| all.jobs > 1 && self.run.press.adds_up());
        let printed = printed.and_then(|()| text.end(sums));
        (all, printed)
    }

    /// The one text of all jobs in a file. It is held until all inputs are known, so that none is written over.
    fn to_file(&self, path: &Path) -> Exit {
        let (mut parts, mut inputs) = (Vec::new(), Vec::new());
        let (all, _) = self.each(self.run.in_file(), &mut |_, one| {
            parts.extend(one.made.map(|made| made.paper));
            inputs.extend(one.inputs);
            Ok(())
        });
        let exit = all.exit.unwrap_or(Exit::Fine);
        // A file that would hold no job at all is not written.
        if parts.is_empty() {
            return Exit::Trouble;
        }
        let sums = Some(&all.gathered).filter(|all| all.jobs > 1 && self.run.press.adds_up());
        let mut content = |out: &mut dyn Write| {
            let mut text = json::Jobs::begin(out)?;
            parts.iter().try_for_each(|part| text.job(part))?;
            text.end(sums)
        };
        exit.worst(write(path, &inputs, self.run.judging.quiet, self.run.screen, &mut content))
    }

    /// Papers by the titles of their jobs: nothing is written before all jobs are read and every file has a name of its own.
    fn by_title(&self, folder: &Path) -> Exit {
        let (press, screen, quiet) = (self.run.press, self.run.screen, self.run.judging.quiet);
        let (mut made, mut inputs, mut read) = (Vec::new(), Vec::new(), Vec::new());
        let (all, _) = self.each(self.run.in_file(), &mut |_, one| {
            if !one.left_out {
                read.push((one.file, one.made.as_ref().map(|made| made.share.clone())));
            }
            made.extend(one.made);
            inputs.extend(one.inputs);
            Ok(())
        });
        let mut exit = all.exit.unwrap_or(Exit::Fine);
        let slugs = match slug::slugs(made.iter().map(|made| made.title.as_str())) {
            Ok(slugs) => slugs,
            Err(clash) => {
                let name = |at: usize| made.get(at).map_or("", |made| made.name.as_str());
                screen.complain(&format!(
                    "`{}` and `{}` would both be written to `{}`; give the jobs different titles; nothing was written",
                    name(clash.first),
                    name(clash.second),
                    shown(&slug::file_in(folder, &clash.slug, &press.ending()))
                ));
                return Exit::Trouble;
            }
        };
        if made.is_empty() {
            return exit;
        }
        if let Err(error) = ready(folder) {
            return cannot_write(folder, &error, screen);
        }
        let mut papers: Vec<Option<String>> = Vec::new();
        for (made, slug) in made.iter().zip(&slugs) {
            let path = slug::file_in(folder, slug, &press.ending());
            let mut content = |out: &mut dyn Write| out.write_all(&made.paper);
            let wrote = write(&path, &inputs, quiet, screen, &mut content);
            exit = exit.worst(wrote);
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
            papers.push(name.filter(|_| wrote == Exit::Fine));
        }
        let mut papers = papers.into_iter();
        let indexed: Vec<Indexed> = read
            .into_iter()
            .map(|(file, share)| Indexed { paper: share.as_ref().and_then(|_| papers.next().flatten()), file, share })
            .collect();
        exit.worst(self.index(folder, &indexed, &all, &inputs))
    }

    /// The page that leads to all papers of a folder, with what the jobs come to together.
    fn index(&self, folder: &Path, indexed: &[Indexed], all: &All, inputs: &[PathBuf]) -> Exit {
        let Some(name) = self.run.press.index().filter(|_| !indexed.is_empty()) else { return Exit::Fine };
        let page: Paper = index(indexed, &all.gathered);
        let mut content = |out: &mut dyn Write| self.run.press.page(&page, self.run.in_file(), out);
        write(&folder.join(name), inputs, self.run.judging.quiet, self.run.screen, &mut content)
    }

    /// Papers where their jobs lie, from the folder on, each written as it comes, and a page that leads to all of them.
    fn mirrored(&self, folder: &Path) -> Exit {
        let (press, screen, quiet) = (self.run.press, self.run.screen, self.run.judging.quiet);
        if let Err(error) = ready(folder) {
            return cannot_write(folder, &error, screen);
        }
        let ways: Vec<PathBuf> = self.jobs.named.iter().map(|named| way(named, &press.ending())).collect();
        let mut sorted: Vec<&PathBuf> = ways.iter().collect();
        sorted.sort();
        if let Some(twice) = sorted.windows(2).find(|pair| pair.first() == pair.last()).and_then(<[_]>::first) {
            let path = shown(&folder.join(twice));
            screen.complain(&format!(
                "two jobs would both be written to `{path}`; name one folder at a time; nothing was written"
            ));
            return Exit::Trouble;
        }
        // Every job file there is, and what was included so far: no paper goes over them.
        let mut inputs: Vec<PathBuf> = self.jobs.named.iter().map(|named| PathBuf::from(&named.given)).collect();
        inputs.retain(|input| input.exists());
        inputs.iter_mut().for_each(|input| {
            if let Ok(real) = input.canonicalize() {
                *input = real;
            }
        });
        let mut known: HashSet<PathBuf> = inputs.iter().cloned().collect();
        let mut indexed: Vec<Indexed> = Vec::new();
        let mut written = Exit::Fine;
        let mut ways = ways.into_iter();
        let (all, _) = self.each(self.run.in_file(), &mut |_, one| {
            let way = ways.next().unwrap_or_default();
            if one.left_out {
                return Ok(());
            }
            // The job files stand among them already; of what they include, each once.
            inputs.extend(one.inputs.into_iter().filter(|input| known.insert(input.clone())));
            let mut paper = None;
            let share = one.made.map(|made| {
                let path = folder.join(&way);
                let placed = path.parent().map_or(Ok(()), std::fs::create_dir_all);
                let mut content = |out: &mut dyn Write| out.write_all(&made.paper);
                let wrote = match placed {
                    Ok(()) => write(&path, &inputs, quiet, screen, &mut content),
                    Err(error) => cannot_write(&path, &error, screen),
                };
                paper = (wrote == Exit::Fine).then(|| slashed(&way));
                written = written.worst(wrote);
                made.share
            });
            indexed.push(Indexed { file: one.file, paper, share });
            Ok(())
        });
        let exit = all.exit.unwrap_or(Exit::Fine).worst(written);
        exit.worst(self.index(folder, &indexed, &all, &inputs))
    }
}

/// Where the paper of a job goes, from the folder of papers.
fn way(named: &super::folders::Named, ending: &str) -> PathBuf {
    let within = named.within.clone().unwrap_or_else(|| {
        let file = Path::new(&named.given).file_name().unwrap_or_default();
        if named.given == "-" { "standard-input".into() } else { file.into() }
    });
    within.with_extension(ending)
}

/// A way with `/` between its names.
fn slashed(way: &Path) -> String {
    let names: Vec<String> = way.components().map(|name| name.as_os_str().to_string_lossy().into_owned()).collect();
    names.join("/")
}

impl One {
    fn fine(file: String) -> One {
        One {
            complaint: None,
            findings: Vec::new(),
            exit: Exit::Fine,
            made: None,
            inputs: Vec::new(),
            file,
            left_out: false,
        }
    }

    fn failed(file: String, why: String) -> One {
        One { complaint: Some(why), exit: Exit::Trouble, ..One::fine(file) }
    }
}
