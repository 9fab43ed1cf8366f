//! The commands: the only room that touches disk, terminal and arguments.
//!
//! Each command stands in a file of its own; what several of them share stands in `arguments` (options), `usage` (what is
//! wrong with them), `jobs` (reading), `findings` (showing what was found), `papers` (where papers go) and `sheets` (papers
//! of tables). `disk`, `write`, `slug` and `screen` know nothing of the commands.

mod arguments;
mod batch;
mod buy;
mod check;
mod compare;
mod days;
mod diff;
pub mod disk;
mod draw;
mod explain;
mod findings;
mod fmt;
mod folders;
mod git;
mod jobs;
mod learn;
mod many;
mod new;
mod order;
mod papers;
mod picture;
mod record;
mod reference;
pub mod screen;
mod sheets;
pub mod slug;
mod tally;
mod usage;
mod watch;
mod why;
pub mod write;

use std::{
    ffi::OsString,
    io::{self, Write as _},
    process::ExitCode,
};

use clap::{ColorChoice, CommandFactory as _, FromArgMatches as _, Parser, Subcommand};

use screen::{Exit, Out, Screen, Surroundings, When};

/// Help as every command gives it: what it does, how it is called, its options, examples.
const TEMPLATE: &str = "{about-with-newline}\n{before-help}{usage-heading} {usage}\n\n{all-args}{after-help}";

/// Check a concrete job before anything is cut or poured, and print its papers
#[derive(Debug, Parser)]
#[command(
    name = "batterboard",
    version,
    arg_required_else_help = true,
    help_template = TEMPLATE,
    before_help = "\
A job is a text file: what stands there, what is added to it, in what order. Batterboard works out every hole, \
bar, bag and bucket of it, says what cannot be built as written, and prints the work order and the tally.",
    after_help = "\
Begin a job of your own:
  batterboard new shed.job          write a starting job, every line explained
  batterboard check shed.job        see what is wrong with it
  batterboard order shed.job        print the work order

Exit: 0 fine; 1 the job has errors (the papers are printed all the same, marked as a draft);
2 something could not be read or written, or was not understood."
)]
struct Program {
    #[command(subcommand)]
    command: Command,
    #[command(flatten)]
    look: Look,
}

/// How anything is shown.
#[derive(Debug, clap::Args)]
struct Look {
    /// Use colour always, never, or auto: on a terminal
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", hide_possible_values = true)]
    #[arg(display_order = 100)]
    color: When,
    /// Columns to a line, brought within 40 to 200 [default: 100]
    #[arg(long, global = true, value_name = "COLUMNS", value_parser = columns, display_order = 100)]
    width: Option<usize>,
}

/// Reads a number of columns. What is out of range is taken as the nearest that is laid out for.
fn columns(given: &str) -> Result<usize, String> {
    if given.is_empty() || !given.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err("write a whole number, such as 80".into());
    }
    Ok(given.parse().unwrap_or(usize::MAX))
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(check::Check),
    Watch(watch::Watch),
    Order(order::Order),
    Days(days::DayPlan),
    Tally(tally::Tally),
    Buy(buy::Buy),
    Draw(draw::Draw),
    Record(record::Record),
    Learn(learn::Learn),
    Why(why::Why),
    Compare(compare::Compare),
    Fmt(fmt::Fmt),
    Explain(explain::Explain),
    Reference(reference::Reference),
    New(new::New),
}

/// Runs the program on the given arguments (the first is the program's own name).
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    run(&arguments).into()
}

fn run(arguments: &[OsString]) -> Exit {
    let surroundings = Surroundings::of_process(color_asked_for(arguments), None);
    let screen = surroundings.screen();
    let program = command(&surroundings, &screen).try_get_matches_from(arguments);
    let program = match program.and_then(|matches| Program::from_arg_matches(&matches)) {
        Ok(program) => program,
        Err(answer) => return show(&answer, arguments, &screen),
    };
    let screen = Surroundings { color: program.look.color, width: program.look.width, ..surroundings }.screen();
    match program.command {
        Command::Check(check) => check.run(&screen),
        Command::Watch(watch) => watch.run(&screen),
        Command::Order(order) => order.run(&screen),
        Command::Days(days) => days.run(&screen),
        Command::Tally(tally) => tally.run(&screen),
        Command::Buy(buy) => buy.run(&screen),
        Command::Draw(draw) => draw.run(&screen),
        Command::Record(record) => record.run(&screen),
        Command::Learn(learn) => learn.run(&screen),
        Command::Why(why) => why.run(&screen),
        Command::Compare(compare) => compare.run(&screen),
        Command::Fmt(fmt) => fmt.run(&screen),
        Command::Explain(explain) => explain.run(&screen),
        Command::Reference(reference) => reference.run(&screen),
        Command::New(new) => new.run(&screen),
    }
}

/// The arguments, as help is shown for them. The width of a terminal is asked for only where help goes to one.
fn command(surroundings: &Surroundings, screen: &Screen) -> clap::Command {
    let command = Program::command().color(ColorChoice::Always).max_term_width(100);
    if surroundings.stdout_terminal && surroundings.columns.is_none() {
        command
    } else {
        command.term_width(screen.width.min(100))
    }
}

/// The colour asked for, before it is known whether the arguments can be read: help and complaints about arguments
/// follow it too.
fn color_asked_for(arguments: &[OsString]) -> When {
    let mut asked = When::Auto;
    let mut before = "";
    for argument in arguments.iter().map(|argument| argument.to_str().unwrap_or("")) {
        let value = if before == "--color" { Some(argument) } else { argument.strip_prefix("--color=") };
        match value {
            Some("always") => asked = When::Always,
            Some("never") => asked = When::Never,
            _ => {}
        }
        before = argument;
    }
    asked
}

/// Shows help or the version, or what is wrong with the arguments.
fn show(answer: &clap::Error, arguments: &[OsString], screen: &Screen) -> Exit {
    let text = answer.render();
    if !answer.use_stderr() {
        let mut out = Out::stdout();
        let printed = if screen.stdout_colour { write!(out, "{}", text.ansi()) } else { write!(out, "{text}") };
        return out.finish(printed, &mut io::stderr());
    }
    let program = Program::command();
    let command = arguments.iter().find_map(|argument| program.find_subcommand(argument));
    usage::complain(answer, command.map_or("", clap::Command::get_name), screen)
}
