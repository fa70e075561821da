//! `slowstone backup`, `restore` and `verify`: what keeps the data for years.
//!
//! Only words and exit statuses are here. Copying is in [`crate::backup`], looking in
//! [`crate::inspect`]; both work beside a running hub.

use super::{passphrase, place, print, say};
use crate::backup::keys::{self, Keys};
use crate::backup::{self, BackupError, Restored};
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
    /// Put the keys of the hub in as well, encrypted with a passphrase: the certificate that
    /// phones trust, and the keys and passwords of the reminders.
    #[arg(long)]
    with_keys: bool,
    #[command(flatten)]
    passphrase: passphrase::From,
}

/// Arguments of `slowstone restore`.
#[derive(Debug, clap::Args)]
pub struct RestoreArgs {
    /// The backup.
    #[arg(value_name = "FROM")]
    from: PathBuf,
    #[command(flatten)]
    data: place::Data,
    /// Leave the keys that the backup holds out: the hub makes new ones, and every phone has to
    /// trust it anew.
    #[arg(long)]
    without_keys: bool,
    #[command(flatten)]
    passphrase: passphrase::From,
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
    let passphrase = match args.with_keys.then(|| args.passphrase.choose()).transpose() {
        Ok(passphrase) => passphrase,
        Err(why) => return unfit(&why),
    };
    let made = match backup::make(&data, &args.to, Clock::System.now(), args.recheck) {
        Ok(made) => made,
        Err(e) => return failed(&e),
    };
    for line in &made.lacking {
        eprintln!("slowstone: {line}");
    }
    if made.closed > 0 {
        eprintln!(
            "slowstone: other accounts of this computer could read {} of the earlier backup; now only this account can",
            say::count(made.closed as u64, "file or folder", "files and folders")
        );
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
    if let Some(status) = back_up_keys(&data, &args.to, passphrase.as_deref()) {
        return status;
    }
    if made.lacking.is_empty() {
        return done;
    }
    eprintln!(
        "slowstone: {} could not be copied; everything else is in the backup",
        say::count(made.lacking.len() as u64, "photo", "photos")
    );
    ExitCode::FAILURE
}

/// Puts the keys into the backup, or says plainly that they are not in it and what that means.
fn back_up_keys(data: &Path, to: &Path, passphrase: Option<&str>) -> Option<ExitCode> {
    let Some(passphrase) = passphrase else {
        if keys::are_in(to) {
            print(
                "It also holds the keys of the hub as an earlier backup put them there, encrypted.",
            );
        } else if keys::are_in_use(data) {
            print(
                "The keys of the hub are not in it: a hub restored from it makes a new certificate, and no phone reaches that hub until it trusts the new one. With --with-keys they are put in, encrypted with a passphrase.",
            );
        }
        return None;
    };
    match keys::put(data, to, passphrase) {
        Ok(Some(keys)) => {
            let authority = if keys.has_authority() {
                "the certificate authority that phones trust, "
            } else {
                ""
            };
            print(&format!(
                "It holds the keys of the hub in keys.age ({authority}keys and passwords of the reminders), encrypted with your passphrase: without it nobody opens them, you neither."
            ));
            None
        }
        Ok(None) => {
            print(
                "This hub has no keys yet: no phone was ever added, and no reminders go out. Nothing was encrypted.",
            );
            None
        }
        Err(e) => Some(failed(&e)),
    }
}

/// Makes a data folder from a backup. Status 1 if there is none, or if it lacks photos.
pub fn restore(args: &RestoreArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    let keys = if keys::are_in(&args.from) && !args.without_keys {
        let passphrase = match args.passphrase.of_keys() {
            Ok(passphrase) => passphrase,
            Err(why) => {
                return unfit(&format!(
                    "{why}, or leave the keys out with --without-keys; nothing was restored"
                ));
            }
        };
        match keys::open(&args.from, &passphrase) {
            Ok(keys) => Some(keys),
            Err(e) => return failed(&e),
        }
    } else {
        None
    };
    let restored = match backup::restore(&args.from, &data, keys.as_ref()) {
        Ok(restored) => restored,
        Err(e) => return failed(&e),
    };
    for line in &restored.lacking {
        eprintln!("slowstone: {line}");
    }
    let when = restored
        .made_ms
        .map_or_else(String::new, |ms| format!(" as of {}", say::moment(ms)));
    let phones = phones_after(&restored, keys.as_ref());
    let done = print(&format!(
        "Restored {} and {} ({}){when} to {}.\n{phones}Go on with: slowstone hub --data {}",
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

/// What is to be done with the phones, in lines.
fn phones_after(restored: &Restored, keys: Option<&Keys>) -> String {
    if restored.phones.is_empty() {
        return "Browsers of this computer send again what they hold and this backup lacks.\n"
            .into();
    }
    let names = restored.phones.join(", ");
    if keys.is_some_and(Keys::has_authority) {
        return format!(
            "The keys of the hub are back, so these phones reach it as before and send again what they hold and this backup lacks: {names}.\n"
        );
    }
    format!(
        "This backup came without the keys of its hub, so the hub makes a new certificate. Until they trust it, these phones do not reach the hub, and what only they hold stays on them: {names}.\n\
         For each of them: on the hub's own screen open Settings, Phones, and press \"Add a phone\". On the phone open the page of the certificate that is shown there and install it; then open the app as ever. It is known still and sends what it holds. If the hub has another address than before, go on and add the phone anew.\n"
    )
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

/// Input that cannot be.
fn unfit(why: &str) -> ExitCode {
    eprintln!("slowstone: {why}");
    ExitCode::from(2)
}

fn failed(e: &BackupError) -> ExitCode {
    eprintln!("slowstone: {e}");
    ExitCode::FAILURE
}
