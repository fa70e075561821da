//! The command line of `slowstone`.
//!
//! `hub` starts the hub, `calc` answers one question without any site, `photo-facts`
//! says what photo files tell about themselves. Exit status: 0 done, 1 trouble, 2 input
//! that cannot be, 3 another hub has the data.

mod calc;
mod colour;
mod facts;
mod place;
mod serve;

use clap::{CommandFactory, Parser, Subcommand};
use std::process::ExitCode;

#[derive(Debug, Parser)]
#[command(
    name = "slowstone",
    version,
    about = "A log for people who cast concrete steps: what was poured, and when each step may be touched.",
    after_help = "Follow the bag's data sheet, local codes and, for anything structural, a licensed engineer."
)]
struct Line {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Start the hub on this computer and print the address of its page.
    Hub(serve::Args),
    /// Answer one question: JSON from standard input, JSON to standard output.
    Calc(calc::Args),
    /// Print what photo files say about themselves, as JSON.
    PhotoFacts(facts::Args),
}

/// Runs the program with the arguments that it was started with.
#[must_use]
pub fn run() -> ExitCode {
    match Line::parse().command {
        Some(Command::Hub(args)) => serve::run(args),
        Some(Command::Calc(args)) => calc::run(&args),
        Some(Command::PhotoFacts(args)) => facts::run(&args),
        None => match Line::command().print_help() {
            Ok(()) => ExitCode::SUCCESS,
            Err(_) => ExitCode::FAILURE,
        },
    }
}

/// Prints to standard output; a reader that went away is no trouble.
fn print(text: &str) -> ExitCode {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    let done = writeln!(out, "{text}").and_then(|()| out.flush());
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("slowstone: the answer cannot be written: {e}");
            ExitCode::FAILURE
        }
    }
}
