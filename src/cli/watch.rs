//! `watch`: checks a job whenever it is saved, and shows its page as it grows.
//!
//! A job has few files: their bytes are compared four times a second, and the times of their folders, so that editors that
//! write by renaming, deletes, and files that appear are all seen, on any disk.

mod server;

use std::{
    collections::BTreeMap,
    fs,
    io::{self, Write as _},
    path::{Path, PathBuf},
    thread,
    time::{Duration, SystemTime},
};

use clap::Args;

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    findings::{self, Closing, Showing},
    jobs::{self, Reader},
    screen::{Exit, Out, Screen},
};
use crate::{
    problem::Level,
    reports::{order_page, print::Live},
};
use server::Served;

/// How often files are looked at.
const LOOK: Duration = Duration::from_millis(250);

/// How long a file must stay as it is before it is read: an editor may still be writing.
const SETTLE: Duration = Duration::from_millis(60);

/// Check a job on every save, and show its page as it grows
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
The job and all it includes are looked at, whatever way your editor writes them. A file that is away for a while is \
waited for. End it with Ctrl-C. It watches one job, named by its file.")]
#[command(after_help = "\
Examples:
  batterboard watch shed.job            findings anew on every save
  batterboard watch shed.job --page     and the work order as a page, in a browser on this machine

The page is at an address that only this machine reaches; it loads itself anew when the job changes.

Exit: 2 if the job cannot be read at the start.")]
pub struct Watch {
    #[command(flatten)]
    reading: Reading,
    /// Serve the work order as a page on this machine
    #[arg(long)]
    page: bool,
    /// The port of the page; a free one unless said
    #[arg(long, value_name = "NUMBER", default_value_t = 0, hide_default_value = true, requires = "page")]
    port: u16,
    #[command(flatten)]
    judging: Judging,
}

/// What the files of a job were when they were read.
type Seen = BTreeMap<PathBuf, Option<State>>;

#[derive(Debug, PartialEq, Eq)]
enum State {
    File(Vec<u8>),
    Folder(Option<SystemTime>),
}

impl Watch {
    /// Checks the job again and again, until the program is ended.
    pub fn run(&self, screen: &Screen) -> Exit {
        let [file] = self.reading.files.as_slice() else {
            screen.complain("one job is watched at a time");
            return Exit::Trouble;
        };
        if file == "-" {
            screen.complain("standard input is read once; name a file to watch");
            return Exit::Trouble;
        }
        let served = if self.page {
            match Served::start(self.port) {
                Ok(served) => Some(served),
                Err(error) => {
                    screen.complain(&format!(
                        "no page can be served on port {}: {}",
                        self.port,
                        super::disk::reason(&error)
                    ));
                    return Exit::Trouble;
                }
            }
        } else {
            None
        };
        let mut shown: Option<Vec<u8>> = None;
        let mut told = false;
        let mut files = vec![PathBuf::from(file)];
        loop {
            // Looked at before they are read: what changes while they are read is then seen.
            let seen = look(&files);
            let Some(reader) = Reader::new(&self.reading, self.judging.root.as_deref(), screen) else {
                return Exit::Trouble;
            };
            let job = if self.page { reader.compile(file) } else { reader.check(file) };
            if job.is_none() && shown.is_none() {
                return Exit::Trouble;
            }
            if let Some(job) = job {
                let mut read = reader.inputs();
                read.push(PathBuf::from(file));
                read.sort();
                read.dedup();
                if read != files {
                    files = read;
                    continue;
                }
                let mut text = Vec::new();
                let showing = Showing {
                    colour: screen.stdout_colour,
                    width: screen.width,
                    mildest: if self.judging.quiet { Level::Warning } else { Level::Advice },
                    most: reader.limits().shown,
                    closing: Closing::Always,
                };
                // Nothing fails that is written into memory.
                let _ = findings::show(&job, &showing, &mut text);
                let mut page = Vec::new();
                if let Some(served) = &served
                    && order_page(&job, Live::Reloads, &mut page).is_ok()
                {
                    served.show(page);
                }
                if shown.as_ref() != Some(&text) {
                    let mut out = Out::stdout();
                    let between = if shown.is_some() { format!("\n{}\n\n", jobs::name(&job)) } else { String::new() };
                    let printed = out.write_all(between.as_bytes()).and_then(|()| out.write_all(&text));
                    if out.finish(printed, &mut io::stderr()) != Exit::Fine {
                        return Exit::Fine;
                    }
                    shown = Some(text);
                }
            }
            if let Some(served) = served.as_ref().filter(|_| !told) {
                told = true;
                screen.tell(&format!("the page is at {}\n", served.address()));
            }
            wait(&files, &seen);
        }
    }
}

/// The bytes of files and the times of the folders they lie in.
fn look(files: &[PathBuf]) -> Seen {
    let mut seen = Seen::new();
    for file in files {
        let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let time = fs::metadata(folder).and_then(|folder| folder.modified()).ok();
        seen.insert(folder.to_owned(), Some(State::Folder(time)));
        seen.insert(file.clone(), fs::read(file).ok().map(State::File));
    }
    seen
}

/// Waits until something is not as it was, and then until it stays as it is.
fn wait(files: &[PathBuf], seen: &Seen) {
    loop {
        thread::sleep(LOOK);
        let mut now = look(files);
        if now == *seen {
            continue;
        }
        loop {
            thread::sleep(SETTLE);
            let next = look(files);
            if next == now {
                return;
            }
            now = next;
        }
    }
}
