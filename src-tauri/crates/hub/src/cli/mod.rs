//! The command line of `slowstone`.
//!
//! `hub` starts the hub; `status`, `open`, `backup`, `restore`, `verify` and `service` look
//! after it and its data; `export` and `import` carry a site elsewhere. `calc` answers one
//! question without any site, `photo-facts` says what photo files tell about themselves. Exit
//! status: 0 done, 1 trouble or a finding, 2 input that cannot be, 3 another hub has the data
//! (`hub`) or none runs (`status`, `open`, `import`).

mod calc;
mod calc_lines;
mod colour;
mod facts;
mod handover;
mod keep;
mod logging;
mod moving;
mod passphrase;
mod place;
mod question;
mod say;
mod serve;
mod service;
mod status;
mod terminal;

use crate::private;
use clap::{CommandFactory, Parser, Subcommand};
use std::process::ExitCode;
use terminal::{browse, print};

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
    /// Say in one line whether the hub runs and what it holds; status 3 if it does not run.
    Status(status::StatusArgs),
    /// Open the page of the running hub, for whoever has lost its address.
    Open(status::OpenArgs),
    /// Copy the log and the photos to a folder while the hub runs.
    Backup(keep::BackupArgs),
    /// Make a new data folder from a backup.
    Restore(keep::RestoreArgs),
    /// Read every entry and every photo again and say what is damaged or missing.
    Verify(keep::VerifyArgs),
    /// Move the log and the photos to a database and storage that several hubs share.
    MoveStore(moving::Args),
    /// Write a site to a folder as files: record, tables, photos, and a copy for another hub.
    Export(handover::ExportArgs),
    /// Have the running hub take in a site that another hub exported.
    Import(handover::ImportArgs),
    /// Have the hub run from when this account logs in (systemd).
    Service(service::Args),
    /// Answer one question: JSON from standard input, JSON to standard output.
    Calc(calc::Args),
    /// Print what photo files say about themselves, as JSON.
    PhotoFacts(facts::Args),
}

/// Runs the program with the arguments that it was started with.
#[must_use]
pub fn run() -> ExitCode {
    private::only_for_this_account();
    match Line::parse().command {
        Some(Command::Hub(args)) => serve::run(args),
        Some(Command::Status(args)) => status::status(&args),
        Some(Command::Open(args)) => status::open(&args),
        Some(Command::Backup(args)) => keep::back_up(&args),
        Some(Command::Restore(args)) => keep::restore(&args),
        Some(Command::Verify(args)) => keep::verify(&args),
        Some(Command::MoveStore(args)) => moving::run(&args),
        Some(Command::Export(args)) => handover::export(&args),
        Some(Command::Import(args)) => handover::import(&args),
        Some(Command::Service(args)) => service::run(&args),
        Some(Command::Calc(args)) => calc::run(&args),
        Some(Command::PhotoFacts(args)) => facts::run(&args),
        None => match Line::command().print_help() {
            Ok(()) => ExitCode::SUCCESS,
            Err(_) => ExitCode::FAILURE,
        },
    }
}
