//! `slowstone status`: one line about the hub of a data folder; and `slowstone open`: its
//! page again, for whoever has lost the address.
//!
//! Neither asks the hub for anything that needs its token; what it says about itself is in
//! [`crate::presence`].

use super::{browse, place, print, say};
use crate::backup;
use crate::firm::Note;
use crate::inspect::{self, Counts, LOG};
use crate::presence::{self, Presence, Seen};
use serde_json::json;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::ExitCode;
use std::time::Duration;

/// Exit status when no hub runs; what `systemctl status` says of a unit that is not
/// active (systemctl(1), exit status, after the Linux Standard Base).
pub(super) const NOT_RUNNING: u8 = 3;

/// How long a hub may take to answer.
const PATIENCE: Duration = Duration::from_secs(3);

/// Arguments of `slowstone status`.
#[derive(Debug, clap::Args)]
pub struct StatusArgs {
    #[command(flatten)]
    data: place::Data,
    /// As JSON, for programs.
    #[arg(long)]
    json: bool,
}

/// Arguments of `slowstone open`.
#[derive(Debug, clap::Args)]
pub struct OpenArgs {
    #[command(flatten)]
    data: place::Data,
    /// Print the address only.
    #[arg(long)]
    print: bool,
}

/// Prints the line. Status 0 if a hub runs, 3 if none does, 1 if that is unknown.
pub fn status(args: &StatusArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    let seen = match presence::look(&data) {
        Ok(seen) => seen,
        Err(e) => return unknown(&data, &e),
    };
    let note = Note::read(&data);
    let counts = match data.join(LOG).exists() && note.is_none() {
        true => inspect::count(&data).map(Some),
        false => Ok(None),
    };
    let (counts, trouble) = match counts {
        Ok(counts) => (
            counts,
            note.map(|n| format!("log in {}, photos in {}", n.store, n.photos)),
        ),
        Err(e) => (None, Some(e.to_string())),
    };
    let answers = match &seen {
        Seen::Running(hub) => answers(&hub.address),
        _ => false,
    };
    let line = if args.json {
        as_json(&data, &seen, answers, counts, trouble.as_deref())
    } else {
        as_line(&data, &seen, answers, counts, trouble.as_deref())
    };
    let printed = print(&line);
    match seen {
        Seen::NotRunning => ExitCode::from(NOT_RUNNING),
        _ => printed,
    }
}

fn as_line(
    data: &Path,
    seen: &Seen,
    answers: bool,
    counts: Option<Counts>,
    trouble: Option<&str>,
) -> String {
    let mut parts = match seen {
        Seen::NotRunning => vec!["not running".to_owned(), data.display().to_string()],
        Seen::Unknown => vec!["starting".to_owned(), data.display().to_string()],
        Seen::Running(hub) => {
            let word = if answers {
                "running"
            } else {
                "running, but not answering"
            };
            vec![
                word.to_owned(),
                hub.address.clone(),
                format!("since {}", say::moment(hub.since_ms)),
            ]
            .into_iter()
            .chain(phones(hub))
            .collect()
        }
    };
    match (counts, trouble) {
        (Some(n), _) => {
            parts.push(say::count(n.sites, "site", "sites"));
            parts.push(say::count(n.entries, "entry", "entries"));
            let photos = say::count(n.photos.count, "photo", "photos");
            parts.push(format!("{photos}, {}", say::size(n.photos.bytes)));
        }
        (None, Some(trouble)) => parts.push(trouble.to_owned()),
        (None, None) => parts.push("no data yet".to_owned()),
    }
    parts.push(match backup::last(data) {
        Some(last) => format!("last backup {}", say::moment(last.made_ms)),
        None => "no backup yet".to_owned(),
    });
    parts.join(" · ")
}

/// Where phones find the hub, and what is to be known of the certificate.
fn phones(hub: &Presence) -> Vec<String> {
    let Some(phones) = &hub.phones else {
        return Vec::new();
    };
    let first = phones.addresses.first();
    let mut parts = vec![match first {
        Some(address) => format!("phones at {address}"),
        None => "no address for phones".to_owned(),
    }];
    if let Some(until) = phones.certificate_until_ms {
        parts.push(format!("certificate until {}", say::day(until)));
    }
    parts.extend(phones.warning.clone());
    parts
}

fn as_json(
    data: &Path,
    seen: &Seen,
    answers: bool,
    counts: Option<Counts>,
    trouble: Option<&str>,
) -> String {
    let hub = match seen {
        Seen::Running(hub) => Some(hub),
        _ => None,
    };
    json!({
        "running": *seen != Seen::NotRunning,
        "answers": answers,
        "data": data,
        "address": hub.map(|h| &h.address),
        "since_ms": hub.map(|h| h.since_ms),
        "version": hub.map(|h| &h.version),
        "pid": hub.map(|h| h.pid),
        "phones": hub.and_then(|h| h.phones.as_ref()),
        "sites": counts.map(|n| n.sites),
        "entries": counts.map(|n| n.entries),
        "photos": counts.map(|n| n.photos.count),
        "photo_bytes": counts.map(|n| n.photos.bytes),
        "last_backup_ms": backup::last(data).map(|last| last.made_ms),
        "trouble": trouble,
    })
    .to_string()
}

/// Whether something at `address` answers as a hub does.
fn answers(address: &str) -> bool {
    let Some(host) = address.strip_prefix("http://") else {
        return false;
    };
    let ask = || -> std::io::Result<bool> {
        let to: SocketAddr = host.parse().map_err(std::io::Error::other)?;
        let mut stream = TcpStream::connect_timeout(&to, PATIENCE)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        stream.set_write_timeout(Some(PATIENCE))?;
        write!(
            stream,
            "GET /api/health HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        )?;
        let mut said = String::new();
        stream.take(64 * 1024).read_to_string(&mut said)?;
        Ok(said.starts_with("HTTP/1.1 200 ") && said.contains("\"ok\":true"))
    };
    ask().unwrap_or(false)
}

/// Opens the page of the running hub. Status 3 if none runs.
pub fn open(args: &OpenArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    match presence::look(&data) {
        Ok(Seen::Running(Presence { url, .. })) => {
            let printed = print(&url);
            if !args.print {
                browse(&url);
            }
            printed
        }
        Ok(Seen::NotRunning) => {
            eprintln!(
                "slowstone: no hub runs on {}. Start one with: slowstone hub --data {}",
                data.display(),
                say::argument(&data)
            );
            ExitCode::from(NOT_RUNNING)
        }
        Ok(Seen::Unknown) => {
            eprintln!(
                "slowstone: the hub on {} is starting, or it belongs to another account. Try again in a moment",
                data.display()
            );
            ExitCode::FAILURE
        }
        Err(e) => unknown(&data, &e),
    }
}

fn unknown(data: &Path, e: &std::io::Error) -> ExitCode {
    eprintln!(
        "slowstone: {}: cannot be looked at ({e}). Give this account the right to read it, or name another folder with --data DIR",
        data.display()
    );
    ExitCode::FAILURE
}
