//! `slowstone export`: a site as files, read beside a running hub without disturbing it; and
//! `slowstone import`: such a file into the running hub.
//!
//! What is written: [`crate::handover`]. A hub that runs takes a file in by its own address,
//! as the page does, so that nobody else writes its log.

use super::status::NOT_RUNNING;
use super::{place, print, say};
use crate::api::handover::picture;
use crate::clock::Clock;
use crate::handover::{
    Gathered, Wanted, bytes_of, copy, events, gather, html, pdf, photos, tables, tell,
};
use crate::inspect::{LOG, PHOTOS};
use crate::ledger::Ledger;
use crate::presence::{self, Presence, Seen};
use crate::views::Views;
use serde_json::Value;
use slowstone_store::FolderBlobs;
use std::fs::{self, File};
use std::io::{self, BufWriter, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Most bytes that are read of an answer.
const MOST_ANSWER: u64 = 16 << 20;

/// Arguments of `slowstone export`.
#[derive(Debug, clap::Args)]
pub struct ExportArgs {
    /// Name or id of the site.
    #[arg(long, value_name = "SITE")]
    site: String,
    /// Folder that the files go to; made if need be.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Leave positions in photos and entries.
    #[arg(long)]
    gps: bool,
    /// Language of the record, such as en.
    #[arg(long, default_value = "en")]
    lang: String,
    #[command(flatten)]
    data: place::Data,
}

/// Arguments of `slowstone import`.
#[derive(Debug, clap::Args)]
pub struct ImportArgs {
    /// The site.zip or entries.jsonl that was exported, or a copy that a phone saved.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    #[command(flatten)]
    data: place::Data,
}

/// Writes every file of a site. Status 1 if there is no such site or a file cannot be written.
pub fn export(args: &ExportArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    match files(args, &data) {
        Ok(name) => print(&format!("Wrote the site {name} to {}.", args.out.display())),
        Err(why) => failed(&why),
    }
}

fn failed(why: &str) -> ExitCode {
    eprintln!("slowstone: {why}");
    ExitCode::FAILURE
}

fn files(args: &ExportArgs, data: &Path) -> Result<String, String> {
    let said = |e: &dyn std::fmt::Display| e.to_string();
    let mut ledger = Ledger::look(&data.join(LOG)).map_err(|e| said(&e))?;
    let blobs = FolderBlobs::open_existing(&data.join(PHOTOS)).map_err(|e| said(&e))?;
    let sites = ledger.sites();
    let fits = |s: &&slowstone_logbook::book::SiteCard| s.id == args.site || s.name == args.site;
    let Some(card) = sites.iter().find(fits) else {
        let names: Vec<&str> = sites.iter().map(|s| s.name.as_str()).collect();
        let names = names.join(", ");
        return Err(format!(
            "there is no site {:?} here; there are: {names}",
            args.site
        ));
    };
    let events = events(&ledger, &card.id).map_err(|e| said(&e))?;
    let entries = ledger.entries(&card.id);
    let found = Views::default().look(&card.id, &entries, |book| {
        gather(book, events, &card.id, Clock::System.now())
    });
    let of = found.ok_or("the site cannot be read")?;
    fs::create_dir_all(&args.out).map_err(|e| format!("{}: {e}", args.out.display()))?;
    all(&of, args, &blobs, &data.join("thumbs"))
        .map_err(|e| format!("{}: {e}", args.out.display()))?;
    Ok(card.name.clone())
}

fn all(of: &Gathered, args: &ExportArgs, blobs: &FolderBlobs, small: &Path) -> io::Result<()> {
    let wanted = Wanted {
        gps: args.gps,
        languages: args.lang.clone(),
        photos: None,
    };
    let ways = tell::ways(of, &wanted);
    let doc = tell::record(of, &wanted);
    let shown = |hash: &str| picture(blobs, small, hash);
    let at = |name: &str| args.out.join(name);
    fs::write(at("record.html"), html::write(&doc, &shown))?;
    fs::write(
        at("record.pdf"),
        pdf::write(&doc, &shown).map_err(io::Error::other)?,
    )?;
    let file = |name: &str| File::create(at(name)).map(BufWriter::new);
    tables::write(of, &wanted, &ways, file("tables.zip")?)?;
    let originals = |hash: &str| bytes_of(hash, blobs);
    photos::write(
        &photos::list(of, None, &ways),
        &originals,
        args.gps,
        &ways,
        file("photos.zip")?,
    )?;
    copy::write(
        &of.site.site.id,
        &of.events,
        args.gps,
        &originals,
        file("site.zip")?,
    )?;
    let events = copy::entries(&of.events, args.gps);
    copy::lines(
        &of.site.site.id,
        &events,
        args.gps,
        0,
        &mut file("entries.jsonl")?,
    )
}

/// Has the running hub take a file in. Status 3 if none runs, 1 if it refuses or leaves
/// something out.
pub fn import(args: &ImportArgs) -> ExitCode {
    let data = match args.data.dir() {
        Ok(data) => data,
        Err(status) => return status,
    };
    match presence::look(&data) {
        Ok(Seen::Running(hub)) => match sent(&hub, &args.file) {
            Ok(answer) => told(&answer),
            Err(why) => failed(&why),
        },
        Ok(_) => {
            failed(&format!(
                "no hub runs on {}. Start one, then import: slowstone hub --data {}",
                data.display(),
                say::argument(&data)
            ));
            ExitCode::from(NOT_RUNNING)
        }
        Err(e) => failed(&format!("{}: cannot be looked at ({e})", data.display())),
    }
}

/// Sends the file to the hub as the page does, and gives what it answers.
fn sent(hub: &Presence, path: &Path) -> Result<Value, String> {
    let at = |e: io::Error| format!("{}: {e}", path.display());
    let mut file = File::open(path).map_err(at)?;
    let bytes = file.metadata().map_err(at)?.len();
    let answer = ask(hub, &mut file, bytes).map_err(|e| format!("{}: {e}", hub.address))?;
    let (head, body) = answer.split_once("\r\n\r\n").unwrap_or_default();
    let said: Value = serde_json::from_str(body).unwrap_or_default();
    if head.starts_with("HTTP/1.1 200 ") {
        return Ok(said);
    }
    let why = said.pointer("/error/text").and_then(Value::as_str);
    let why = why.unwrap_or("the hub did not say why; see its messages");
    Err(format!("{}: {why}", path.display()))
}

fn ask(hub: &Presence, file: &mut File, bytes: u64) -> io::Result<String> {
    let host = hub.address.trim_start_matches("http://");
    let token = hub.url.split("?t=").nth(1).unwrap_or_default();
    let to: SocketAddr = host.parse().map_err(io::Error::other)?;
    let mut stream = TcpStream::connect(to)?;
    write!(
        stream,
        "POST /api/import HTTP/1.1\r\nHost: {host}\r\nAuthorization: Bearer {token}\r\nContent-Length: {bytes}\r\nConnection: close\r\n\r\n"
    )?;
    // A hub that refuses may close before it has read everything; its answer says why.
    let written = io::copy(file, &mut stream);
    let mut answer = String::new();
    match stream.take(MOST_ANSWER).read_to_string(&mut answer) {
        Ok(_) => Ok(answer),
        Err(e) => Err(written.err().unwrap_or(e)),
    }
}

/// Says what the hub took in, and each thing that it did not.
fn told(answer: &Value) -> ExitCode {
    let number = |key: &str| answer.get(key).and_then(Value::as_u64).unwrap_or(0);
    let list = |key: &str| {
        answer
            .get(key)
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
    };
    let mut all = true;
    for (key, what) in [("refused", "an entry"), ("failed", "a photo")] {
        for one in list(key) {
            eprintln!("slowstone: {what} was not taken: {one}");
            all = false;
        }
    }
    let text = |one: &Value, key: &str| one.get(key).and_then(Value::as_str).map(str::to_owned);
    for one in list("missing") {
        // What was refused is told above.
        if !matches!(text(one, "code").as_deref(), Some("refused" | "photo")) {
            let line = one.get("line").and_then(Value::as_u64).unwrap_or(0);
            let place = if line > 0 {
                format!("line {line}: ")
            } else {
                String::new()
            };
            let why = text(one, "text").unwrap_or_default();
            eprintln!("slowstone: {place}{why}");
            all = false;
        }
    }
    if answer.get("whole").and_then(Value::as_bool) != Some(true) {
        eprintln!(
            "slowstone: the file is not whole; what could be read of it was taken. Export it again"
        );
        all = false;
    }
    let done = print(&format!(
        "The hub holds {} and {} of this file.",
        say::count(number("events"), "entry", "entries"),
        say::count(number("photos"), "photo", "photos")
    ));
    if all { done } else { ExitCode::FAILURE }
}
