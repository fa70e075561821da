//! `slowstone backup`, `restore` and `verify`: what keeps the data for years.
//!
//! Only words and exit statuses are here. Copying is in [`crate::backup`], looking in
//! [`crate::inspect`]; both work beside a running hub.

use super::{place, print, say};
use crate::backup::{self, BackupError};
use crate::clock::Clock;
use crate::firm::Note;
use crate::inspect::{self, Inspection, LOG};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Arguments of `slowstone backup`.
#[derive(Debug, clap::Args)]
pub struct BackupArgs {
    /// Folder for the backup: a new one, or an earlier backup, to which only what is new is
    /// added.
    #[arg(value_name = "DEST")]
    to: PathBuf,
    #[command(flatten)]
    data: place::Data,
    /// Read the photos of the earlier backup again and replace those that have changed.
    #[arg(long)]
    recheck: bool,
}

/// Arguments of `slowstone restore`.
#[derive(Debug, clap::Args)]
pub struct RestoreArgs {
    /// The backup.
    #[arg(value_name = "FROM")]
    from: PathBuf,
    #[command(flatten)]
    data: place::Data,
}

/// Arguments of `slowstone verify`.
#[derive(Debug, clap::Args)]
pub struct VerifyArgs {
    #[command(flatten)]
    data: place::Data,
}

/// Makes a backup. Status 1 if there is none, or if it lacks photos.
pub fn back_up(args: &BackupArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    if let Some(status) = elsewhere(&data) {
        return status;
    }
    let made = match backup::make(&data, &args.to, Clock::System.now(), args.recheck) {
        Ok(made) => made,
        Err(e) => return failed(&e),
    };
    for line in &made.lacking {
        eprintln!("slowstone: {line}");
    }
    let note = &made.note;
    let done = print(&format!(
        "Backed up {} and {} ({}, {} of them copied now) to {}.",
        say::count(note.records, "entry", "entries"),
        say::count(note.photos, "photo", "photos"),
        say::size(note.photo_bytes),
        made.fresh.count,
        args.to.display()
    ));
    if made.lacking.is_empty() {
        return done;
    }
    eprintln!(
        "slowstone: {} could not be copied; everything else is in the backup",
        say::count(made.lacking.len() as u64, "photo", "photos")
    );
    ExitCode::FAILURE
}

/// Makes a data folder from a backup. Status 1 if there is none, or if it lacks photos.
pub fn restore(args: &RestoreArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    let restored = match backup::restore(&args.from, &data) {
        Ok(restored) => restored,
        Err(e) => return failed(&e),
    };
    for line in &restored.lacking {
        eprintln!("slowstone: {line}");
    }
    let when = restored
        .made_ms
        .map_or_else(String::new, |ms| format!(" as of {}", say::moment(ms)));
    let done = print(&format!(
        "Restored {} and {} ({}){when} to {}.\nPhones send again what they hold and this backup lacks. Go on with: slowstone hub --data {}",
        say::count(restored.records, "entry", "entries"),
        say::count(restored.photos.count, "photo", "photos"),
        say::size(restored.photos.bytes),
        data.display(),
        say::argument(&data)
    ));
    if restored.lacking.is_empty() {
        return done;
    }
    ExitCode::FAILURE
}

/// Reads everything again: a line for each finding and status 1, or what was read.
pub fn verify(args: &VerifyArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    if let Some(status) = elsewhere(&data) {
        return status;
    }
    if !data.join(LOG).exists() {
        eprintln!(
            "slowstone: {}: there is no log here. Name the data folder with --data DIR",
            data.display()
        );
        return ExitCode::FAILURE;
    }
    let seen = inspect::inspect(&data);
    for line in &seen.findings {
        print(line);
    }
    if !seen.findings.is_empty() {
        eprintln!(
            "slowstone: {} in {}",
            say::count(seen.findings.len() as u64, "finding", "findings"),
            data.display()
        );
        return ExitCode::FAILURE;
    }
    print(&in_order(&seen))
}

fn in_order(seen: &Inspection) -> String {
    let mut text = format!(
        "All is well: {} in {} and {} ({}) read again.",
        say::count(seen.records, "entry", "entries"),
        say::count(seen.streams, "chain", "chains"),
        say::count(seen.photos.count, "photo", "photos"),
        say::size(seen.photos.bytes)
    );
    if seen.awaited > 0 {
        let more = say::count(seen.awaited, "more photo is", "more photos are");
        text.push_str(&format!(
            " {more} named, but still on the phone that took it."
        ));
    }
    text
}

/// Says where the log of this folder is, if it is not in it.
fn elsewhere(data: &Path) -> Option<ExitCode> {
    let note = Note::read(data)?;
    eprintln!(
        "slowstone: {}: its log is in the {}, its photos in {}. Back up the database with pg_dump and copy the photos by their storage's own means; pg_restore brings it back.",
        data.display(),
        note.store,
        note.photos
    );
    Some(ExitCode::FAILURE)
}

fn failed(e: &BackupError) -> ExitCode {
    eprintln!("slowstone: {e}");
    ExitCode::FAILURE
}
