//! What the program may assume of the screen it writes to: colour, width, and that it can go away at any moment.

use std::{
    env,
    io::{self, BufWriter, ErrorKind, IsTerminal, StdoutLock, Write},
    process::ExitCode,
};

use super::disk::reason;

/// How a run ended, mildest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// Nothing to say against the job.
    Fine = 0,
    /// The job has errors, or would be written differently.
    Findings = 1,
    /// Wrong usage, or something could not be read or written.
    Trouble = 2,
}

impl Exit {
    /// The worse of two.
    #[must_use]
    pub fn worst(self, other: Exit) -> Exit {
        self.max(other)
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit as u8)
    }
}

/// When colour is wanted: the words of `--color`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum When {
    /// Into files and pipes too.
    Always,
    /// Not even on a terminal.
    Never,
    /// On a terminal that has not been asked to do without.
    #[default]
    Auto,
}

/// What the answers depend on: the command line, the environment, and what stdout and stderr are connected to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Surroundings {
    /// `--color`.
    pub color: When,
    /// `--width`, in columns.
    pub width: Option<usize>,
    /// `NO_COLOR`.
    pub no_color: Option<String>,
    /// `CLICOLOR_FORCE`.
    pub clicolor_force: Option<String>,
    /// `FORCE_COLOR`.
    pub force_color: Option<String>,
    /// `TERM`.
    pub term: Option<String>,
    /// `COLUMNS`.
    pub columns: Option<String>,
    /// Stdout is a terminal.
    pub stdout_terminal: bool,
    /// Stderr is a terminal.
    pub stderr_terminal: bool,
}

/// What was decided about the screen, once for the whole run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    /// Colour on stdout.
    pub stdout_colour: bool,
    /// Colour on stderr.
    pub stderr_colour: bool,
    /// Colour in files.
    pub file_colour: bool,
    /// Somebody watches stderr.
    pub watched: bool,
    /// Columns a line on the screen may fill.
    pub width: usize,
    /// Columns a line in a file may fill: the same whatever the screen is like.
    pub file_width: usize,
}

impl Screen {
    /// Says on stderr what went wrong, in a line that begins with `error: `.
    pub fn complain(&self, what: &str) {
        let (on, off) = if self.stderr_colour { ("\u{1b}[1;31m", "\u{1b}[0m") } else { ("", "") };
        self.tell(&format!("{on}error{off}: {what}\n"));
    }

    /// Puts a text on stderr. With stderr gone there is nobody left to tell.
    pub fn tell(&self, text: &str) {
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }
}

/// Columns when nobody says.
const WIDTH: usize = 100;
/// The fewest columns anything is laid out for.
const NARROWEST: usize = 40;
/// The most columns a line fills.
const WIDEST: usize = 200;

impl Surroundings {
    /// The surroundings of this process.
    #[must_use]
    pub fn of_process(color: When, width: Option<usize>) -> Surroundings {
        let variable = |name| env::var_os(name).map(|value| value.to_string_lossy().into_owned());
        Surroundings {
            color,
            width,
            no_color: variable("NO_COLOR"),
            clicolor_force: variable("CLICOLOR_FORCE"),
            force_color: variable("FORCE_COLOR"),
            term: variable("TERM"),
            columns: variable("COLUMNS"),
            stdout_terminal: io::stdout().is_terminal(),
            stderr_terminal: io::stderr().is_terminal(),
        }
    }

    /// What follows from them.
    #[must_use]
    pub fn screen(&self) -> Screen {
        Screen {
            stdout_colour: self.colour(self.stdout_terminal),
            stderr_colour: self.colour(self.stderr_terminal),
            file_colour: self.color == When::Always,
            watched: self.stderr_terminal && self.term.as_deref() != Some("dumb"),
            width: self.columns(),
            file_width: self.width.unwrap_or(WIDTH).clamp(NARROWEST, WIDEST),
        }
    }

    /// The option stands before `NO_COLOR` (any value but the empty one), that before `CLICOLOR_FORCE` and
    /// `FORCE_COLOR` (any value but the empty one and `0`), those before `TERM=dumb`, and that before the terminal.
    /// Sources: no-color.org; bixense.com/clicolors.
    fn colour(&self, terminal: bool) -> bool {
        let said = |variable: &Option<String>| variable.as_deref().is_some_and(|value| !value.is_empty());
        let forced = |variable: &Option<String>| said(variable) && variable.as_deref() != Some("0");
        match self.color {
            When::Always => true,
            When::Never => false,
            When::Auto if said(&self.no_color) => false,
            When::Auto if forced(&self.clicolor_force) || forced(&self.force_color) => true,
            When::Auto => terminal && self.term.as_deref() != Some("dumb"),
        }
    }

    /// The option, else `COLUMNS` (0 means unknown), else 100; between [`NARROWEST`] and [`WIDEST`] whatever is asked for.
    fn columns(&self) -> usize {
        let told =
            self.columns.as_deref().and_then(|columns| columns.trim().parse().ok()).filter(|columns| *columns > 0);
        self.width.or(told).unwrap_or(WIDTH).clamp(NARROWEST, WIDEST)
    }
}

/// Standard output, buffered. Errors come back as [`io::Result`], to be handed to [`Out::finish`].
pub struct Out<W: Write = StdoutLock<'static>>(BufWriter<W>);

impl Out {
    /// The process's standard output.
    #[must_use]
    pub fn stdout() -> Out {
        Out::to(io::stdout().lock())
    }
}

impl<W: Write> Out<W> {
    /// Another place that is treated like standard output.
    pub fn to(place: W) -> Out<W> {
        Out(BufWriter::new(place))
    }

    /// Ends the output, given how printing went. A reader that has gone away had what it wanted: that is fine. Any
    /// other error is one line on `complaints`, and trouble.
    pub fn finish(mut self, printed: io::Result<()>, complaints: &mut dyn Write) -> Exit {
        match printed.and_then(|()| self.flush()) {
            Ok(()) => Exit::Fine,
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Exit::Fine,
            Err(error) => {
                // With standard error gone as well there is nobody left to tell.
                let _ = writeln!(complaints, "error: standard output cannot be written: {}", reason(&error));
                Exit::Trouble
            }
        }
    }
}

impl<W: Write> Write for Out<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

#[cfg(test)]
mod tests {
    use std::fs::File;

    use super::*;

    fn auto() -> Surroundings {
        Surroundings { stdout_terminal: true, ..Surroundings::default() }
    }

    fn set(value: &str) -> Option<String> {
        Some(value.into())
    }

    #[test]
    fn row_69_colour_is_decided_in_one_order() {
        let both = |surroundings: &Surroundings| {
            let screen = surroundings.screen();
            (screen.stdout_colour, screen.stderr_colour)
        };
        let on = (true, true);
        let off = (false, false);
        let terminal_only = (true, false);
        let cases = [
            (auto(), terminal_only),
            (Surroundings { stderr_terminal: true, ..Surroundings::default() }, (false, true)),
            (Surroundings::default(), off),
            (Surroundings { term: set("dumb"), ..auto() }, off),
            (Surroundings { term: set("xterm"), ..auto() }, terminal_only),
            (Surroundings { clicolor_force: set("1"), term: set("dumb"), ..auto() }, on),
            (Surroundings { force_color: set("1"), ..auto() }, on),
            (Surroundings { clicolor_force: set("0"), force_color: set("0"), ..auto() }, terminal_only),
            (Surroundings { clicolor_force: set(""), force_color: set(""), ..auto() }, terminal_only),
            (Surroundings { no_color: set("0"), force_color: set("1"), ..auto() }, off),
            (Surroundings { no_color: set(""), ..auto() }, terminal_only),
            (Surroundings { color: When::Always, no_color: set("1"), term: set("dumb"), ..auto() }, on),
            (Surroundings { color: When::Never, force_color: set("1"), ..auto() }, off),
        ];
        for (surroundings, expected) in cases {
            assert_eq!(both(&surroundings), expected, "{surroundings:?}");
        }
    }

    #[test]
    fn row_69_width_is_sane_whatever_is_asked() {
        for (width, columns, expected) in [
            (None, None, 100),
            (None, Some("72"), 72),
            (None, Some(" 72 "), 72),
            (Some(120), Some("72"), 120),
            (Some(0), None, 40),
            (Some(1), None, 40),
            (Some(39), None, 40),
            (Some(40), None, 40),
            (Some(200), None, 200),
            (Some(201), None, 200),
            (Some(usize::MAX), None, 200),
            (None, Some("0"), 100),
            (None, Some("1"), 40),
            (None, Some("10000"), 200),
            (None, Some(""), 100),
            (None, Some("-5"), 100),
            (None, Some("wide"), 100),
        ] {
            let surroundings = Surroundings { width, columns: columns.map(String::from), ..Surroundings::default() };
            assert_eq!(surroundings.screen().width, expected, "{width:?} {columns:?}");
        }
    }

    /// Prints enough to overflow every buffer, and gives the exit and the complaint.
    fn print_to(place: impl Write, lines: usize) -> (Exit, String) {
        let mut out = Out::to(place);
        let printed = (0..lines).try_for_each(|_| writeln!(out, "one line of a report"));
        let mut complaint = Vec::new();
        let exit = out.finish(printed, &mut complaint);
        (exit, String::from_utf8(complaint).unwrap())
    }

    #[test]
    fn row_66_a_reader_that_went_away_is_fine() {
        for lines in [1, 100_000] {
            let (reader, writer) = io::pipe().unwrap();
            drop(reader);
            assert_eq!(print_to(writer, lines), (Exit::Fine, String::new()));
        }
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn row_66_a_full_disk_behind_stdout_is_trouble_in_one_line() {
        for lines in [1, 100_000] {
            let full = File::options().write(true).open("/dev/full").unwrap();
            let line = "error: standard output cannot be written: the disk is full\n";
            assert_eq!(print_to(full, lines), (Exit::Trouble, line.into()));
        }
    }

    #[test]
    fn what_is_printed_arrives_whole() {
        let mut bytes = Vec::new();
        assert_eq!(print_to(&mut bytes, 1000), (Exit::Fine, String::new()));
        assert_eq!(bytes, "one line of a report\n".repeat(1000).into_bytes());
    }

    #[test]
    fn a_failing_printer_is_trouble_even_if_the_output_is_well() {
        let mut complaint = Vec::new();
        let exit = Out::to(io::sink()).finish(Err(io::Error::other("no such paper")), &mut complaint);
        assert_eq!(exit, Exit::Trouble);
        assert!(complaint.ends_with(b": no such paper\n"));
    }

    #[test]
    fn the_worst_exit_wins() {
        use Exit::{Findings, Fine, Trouble};
        for (one, other, worst) in [(Fine, Fine, Fine), (Fine, Findings, Findings), (Trouble, Findings, Trouble)] {
            assert_eq!((one.worst(other), other.worst(one)), (worst, worst));
        }
        assert_eq!([Fine, Findings, Trouble].map(|exit| exit as u8), [0, 1, 2]);
    }
}
