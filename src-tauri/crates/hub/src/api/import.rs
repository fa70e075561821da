//! `POST /api/import`: what a phone could not send, from the file that it saved; or a site
//! that another hub handed over, as JSON lines or in a zip (the crate `record`, `copy`).
//! `{"slowstone":"copy","form":1}`, then `{"event":{...}}` and `{"photo":{...,"base64":"..."}}`,
//! then `{"end":{"events":n,"photos":m}}`, read line by line; everything keeps its id, so that
//! the same file again changes nothing. The answer accounts for every line: `missing` has what
//! is not stored, by line and reason, and `whole` is said only of a file that holds all that
//! its end line counts, byte for byte where that carries a hash. Written by `ui/src/lib/copy.ts`.

use super::{Answer, Refusal, RefusedEntry, Shared, piece};
use crate::caller::Who;
use crate::handover::take::{self, TakeError};
use crate::intake::{self, MOST, Sent};
use crate::ledger::Origin;
use crate::state::Hub;
use axum::body::{Body, BodyDataStream, Bytes};
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use slowstone_curing::units::AtMs;
use std::io::Seek;
use std::sync::Arc;
use tokio::io::AsyncWriteExt;

/// Form of the file that this program knows.
const FORM: u64 = 1;

/// Longest line: the largest photo, a third longer in base 64, and what stands beside it.
const MOST_LINE: usize = MOST / 3 * 4 + (64 << 10);

/// Entries that are stored at once.
const BATCH: usize = 500;

/// A photo in the file.
#[derive(Debug, Deserialize)]
struct SavedPhoto {
    id: String,
    site: String,
    #[serde(default)]
    pour: Option<String>,
    #[serde(default)]
    step: Option<String>,
    #[serde(default)]
    stage: Option<String>,
    #[serde(default)]
    name: String,
    by: String,
    #[serde(default)]
    at_ms: Option<AtMs>,
    base64: String,
}

/// What became of the file.
#[derive(Debug, Default, Serialize, JsonSchema)]
pub struct Imported {
    /// Entries that are stored now or were before.
    events: usize,
    /// Photos that are stored now or were before.
    photos: usize,
    /// Why entries were not taken.
    refused: Vec<RefusedEntry>,
    /// Why photos were not taken: name and reason.
    failed: Vec<(String, String)>,
    /// Whether the file holds everything that its end line counts, undamaged.
    whole: bool,
    /// What of the file is not stored, and why: lines in their order, then the file itself.
    missing: Vec<Missing>,
}

/// Something that the file holds, or should hold, and that is not stored.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "LineMissing")]
pub struct Missing {
    /// The line, counted from 1; nought for the file as a whole.
    line: u64,
    /// `damaged`, `unknown`, `refused`, `photo`, `after_end`, `no_end`, `entries`, `photos` or
    /// `hash`.
    code: &'static str,
    /// The entry or photo, where it has a readable name.
    name: String,
    /// What is wrong, in plain words.
    text: String,
}

/// Most lines that are told of one by one.
const MOST_TOLD: usize = 1000;

/// `POST /api/import`.
///
/// # Errors
/// 422 if it is no saved copy, 413 for a line that is too long, 507 when the disk is full.
/// What stood before the trouble is stored; send the file again.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    request: Request,
) -> Answer<Json<Imported>> {
    let turn = hub.importing.take(&who.device).await;
    let _turn = turn.ok_or_else(Refusal::fault)?;
    let mut stream = Body::into_data_stream(request.into_body());
    let mut file = Import::new(Arc::clone(&hub), who);
    let mut line: Vec<u8> = Vec::new();
    let mut begun = false;
    // What came before a break is stored; the answer says that the file was not whole.
    while let Ok(Some(piece)) = piece(&mut stream).await {
        if !begun && piece.starts_with(ZIP) {
            return zipped(file, piece, stream).await.map(Json);
        }
        begun |= !piece.is_empty();
        for part in piece.split_inclusive(|b| *b == b'\n') {
            if line.len() + part.len() > MOST_LINE {
                let text = "A line of this file is longer than any photo. It is damaged, or no copy saved by Slowstone.";
                return Err(Refusal::new(
                    StatusCode::PAYLOAD_TOO_LARGE,
                    "too_large",
                    text,
                ));
            }
            line.extend_from_slice(part);
            if line.ends_with(b"\n") {
                file.line(&std::mem::take(&mut line)).await?;
            }
        }
    }
    file.line(&line).await?;
    file.finish().await.map(Json)
}

/// How a zip begins (APPNOTE.TXT, 4.3.7).
const ZIP: &[u8] = b"PK\x03\x04";

/// Most bytes of a zip: the photos of a large site.
const MOST_ZIP: u64 = 256 << 30;

/// Takes a site in from a zip: it lies in a file without a name until it is read.
async fn zipped(mut into: Import, first: Bytes, mut rest: BodyDataStream) -> Answer<Imported> {
    let full = |e: std::io::Error| {
        let text = format!(
            "The file could not be kept while it was read ({e}). Free some space on the disk of the hub."
        );
        Refusal::new(StatusCode::INSUFFICIENT_STORAGE, "disk_full", text)
    };
    let kept = tempfile::tempfile_in(&into.hub.thumbs).map_err(full)?;
    let mut out = tokio::fs::File::from_std(kept.try_clone().map_err(full)?);
    out.write_all(&first).await.map_err(full)?;
    let mut came = first.len() as u64;
    while let Ok(Some(piece)) = piece(&mut rest).await {
        came = came.saturating_add(piece.len() as u64);
        if came > MOST_ZIP {
            return Err(Refusal::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                "too_large",
                "This file is larger than the photos of any site.",
            ));
        }
        out.write_all(&piece).await.map_err(full)?;
    }
    out.flush().await.map_err(full)?;
    let no = |e: TakeError| match e {
        TakeError::Store(e) => Refusal::from(e),
        TakeError::NoSite(why) => {
            let text = format!(
                "This file was not taken: {why}. Choose the zip that “For another hub” made, whole."
            );
            Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "not_a_copy", text)
        }
    };
    // The lines are looked at before a photo is stored: a zip of something else leaves nothing.
    let (hub, file) = (Arc::clone(&into.hub), kept.try_clone().map_err(full)?);
    let read = move || {
        let (mut head, mut again) = (None, file.try_clone()?);
        take::lines(file, &mut |line| {
            head = Some(line);
            false
        })?;
        if !head.is_some_and(|line| is_site(&line)) {
            return Err(TakeError::NoSite("it holds no site".to_owned()));
        }
        again.rewind()?;
        take::photos(again, &*hub.blobs, &hub.thumbs)
    };
    let photos = tokio::task::spawn_blocking(read)
        .await
        .map_err(|_| Refusal::fault())?
        .map_err(no)?;
    let (send, mut lines) = tokio::sync::mpsc::channel::<Vec<u8>>(256);
    let mut again = kept;
    let reading = tokio::task::spawn_blocking(move || {
        again.rewind()?;
        take::lines(again, &mut |line| send.blocking_send(line).is_ok())
    });
    while let Some(line) = lines.recv().await {
        into.line(&line).await?;
    }
    reading.await.map_err(|_| Refusal::fault())?.map_err(no)?;
    into.photos = (photos.stored + photos.failed.len()) as u64;
    into.done.photos += photos.stored;
    for (name, why) in photos.failed {
        into.missing(0, "photo", &name, &why);
        into.done.failed.push((name, why));
    }
    into.finish().await
}

/// Whether a line is the first one of a site.
fn is_site(line: &[u8]) -> bool {
    let line: Option<Value> = serde_json::from_slice(line).ok();
    line.is_some_and(|l| l.get("slowstone").and_then(Value::as_str) == Some("site"))
}

/// A file that is being read.
struct Import {
    hub: Arc<Hub>,
    who: Who,
    begun: bool,
    /// Entries that wait to be stored, with the lines on which they stand.
    waiting: Vec<(u64, Value)>,
    done: Imported,
    /// Lines that were read.
    line: u64,
    /// Lines with an entry, and photos, that were met.
    events: u64,
    photos: u64,
    /// Over all lines before the one that is read.
    hash: blake3::Hasher,
    /// What the end line says.
    end: Option<End>,
    /// Something of the file cannot be what was written.
    damaged: bool,
}

/// What the end line of a file counts.
#[derive(Debug)]
struct End {
    events: Option<u64>,
    photos: Option<u64>,
    /// Whether the hash that it carries is that of the lines before it; true without one.
    hash_fits: bool,
}

impl Import {
    fn new(hub: Arc<Hub>, who: Who) -> Self {
        Self {
            hub,
            who,
            begun: false,
            waiting: Vec::new(),
            done: Imported::default(),
            line: 0,
            events: 0,
            photos: 0,
            hash: blake3::Hasher::new(),
            end: None,
            damaged: false,
        }
    }

    /// Notes what is not stored.
    fn missing(&mut self, line: u64, code: &'static str, name: &str, text: &str) {
        if self.done.missing.len() < MOST_TOLD {
            self.done.missing.push(Missing {
                line,
                code,
                name: name.chars().take(120).collect(),
                text: text.to_owned(),
            });
        }
    }

    async fn line(&mut self, line: &[u8]) -> Answer<()> {
        if line.is_empty() {
            return Ok(());
        }
        self.line += 1;
        let before = self.hash.finalize();
        self.hash.update(line);
        if line.iter().all(u8::is_ascii_whitespace) {
            return Ok(());
        }
        let at = self.line;
        let mut fields = match serde_json::from_slice::<Value>(line) {
            Ok(Value::Object(fields)) => fields,
            _ if !self.begun => return Err(no_copy()),
            Ok(_) => {
                self.damaged = true;
                self.missing(at, "damaged", "", "This line is no object of JSON.");
                return Ok(());
            }
            Err(e) => {
                self.damaged = true;
                // Positions in its message are within this line.
                let whole = line.ends_with(b"\n");
                let cut = if whole {
                    ""
                } else {
                    " The file ends within it."
                };
                let text = format!("This line is damaged ({e}).{cut}");
                self.missing(at, "damaged", "", &text);
                return Ok(());
            }
        };
        if !self.begun {
            let of = fields.get("slowstone").and_then(Value::as_str);
            let fits = matches!(of, Some("copy" | "site"))
                && fields.get("form").and_then(Value::as_u64) == Some(FORM);
            self.begun = fits;
            return if fits { Ok(()) } else { Err(no_copy()) };
        }
        if self.end.is_some() {
            self.damaged = true;
            self.missing(
                at,
                "after_end",
                "",
                "This line stands after the end of the file.",
            );
        }
        if let Some(event) = fields.remove("event") {
            self.events += 1;
            self.waiting.push((at, event));
            if self.waiting.len() >= BATCH {
                self.store().await?;
            }
        } else if let Some(photo) = fields.remove("photo") {
            // A photo may hang on an entry before it.
            self.store().await?;
            self.photos += 1;
            self.photo(photo).await?;
        } else if let Some(end) = fields.get("end") {
            let said = end.get("blake3").and_then(Value::as_str);
            self.end = Some(End {
                events: end.get("events").and_then(Value::as_u64),
                photos: end.get("photos").and_then(Value::as_u64),
                hash_fits: said.is_none_or(|said| said == before.to_hex().as_str()),
            });
        } else {
            let what: Vec<&str> = fields.keys().map(String::as_str).take(3).collect();
            let text = format!(
                "This line holds neither an entry nor a photo ({}).",
                what.join(", ")
            );
            self.damaged = true;
            self.missing(at, "unknown", "", &text);
        }
        Ok(())
    }

    /// Stores the entries that were read.
    async fn store(&mut self) -> Answer<()> {
        if self.waiting.is_empty() {
            return Ok(());
        }
        let (lines, entries): (Vec<u64>, Vec<Value>) =
            std::mem::take(&mut self.waiting).into_iter().unzip();
        let taken = super::events::take(&self.hub, &self.who, Origin::PassedOn, entries).await?;
        self.done.events += taken.taken.len();
        for (place, why) in taken.refused {
            let line = lines.get(place).copied().unwrap_or_default();
            self.missing(line, "refused", &why.event, &why.to_string());
            self.done.refused.push(RefusedEntry::from(why));
        }
        Ok(())
    }

    /// Takes a photo in. One that cannot be is told of and the others go on.
    async fn photo(&mut self, photo: Value) -> Answer<()> {
        let name = match photo.get("name").and_then(Value::as_str) {
            Some(name) => name.chars().take(120).collect(),
            None => String::new(),
        };
        match self.one_photo(photo).await {
            Ok(()) => self.done.photos += 1,
            Err(no) if no.status().is_client_error() => {
                self.missing(self.line, "photo", &name, no.text());
                self.done.failed.push((name, no.text().to_owned()));
            }
            Err(no) => return Err(no),
        }
        Ok(())
    }

    async fn one_photo(&self, photo: Value) -> Answer<()> {
        let odd = |text: &str| Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "unreadable", text);
        let photo: SavedPhoto = serde_json::from_value(photo)
            .map_err(|e| odd(&format!("This photo cannot be read ({e}).")))?;
        let zone = intake::zone_of(&self.hub, &photo.site).await?;
        let sent = Sent {
            site: photo.site,
            name: photo.name,
            by: photo.by,
            pour: photo.pour,
            step: photo.step,
            stage: photo.stage,
            id: Some(photo.id),
            at: photo.at_ms,
            device: self.who.device.clone(),
        };
        if intake::entered(&self.hub, &sent).await?.is_some() {
            return Ok(());
        }
        let bytes = STANDARD
            .decode(photo.base64)
            .map_err(|_| odd("The bytes of this photo are damaged: take it from the phone."))?;
        intake::take_in(&self.hub, sent, zone, bytes).await?;
        Ok(())
    }

    async fn finish(mut self) -> Answer<Imported> {
        self.store().await?;
        if !self.begun {
            return Err(no_copy());
        }
        self.account();
        Ok(self.done)
    }

    /// Holds what was met against what the end line says.
    fn account(&mut self) {
        let Some(end) = self.end.take() else {
            let text =
                "The file has no end line: it was cut short, and what stood behind is missing.";
            self.missing(0, "no_end", "", text);
            return;
        };
        let mut whole = !self.damaged;
        for (code, what, said, met) in [
            ("entries", "entries", end.events, self.events),
            ("photos", "photos", end.photos, self.photos),
        ] {
            if said.is_some_and(|said| said != met) {
                let said = said.unwrap_or_default();
                let text = format!("The end line counts {said} {what}; {met} could be read.");
                self.missing(0, code, "", &text);
                whole = false;
            }
        }
        if !end.hash_fits {
            let text = "The lines are not those that were written: their hash is another one.";
            self.missing(0, "hash", "", text);
            whole = false;
        }
        self.done.whole = whole;
    }
}

fn no_copy() -> Refusal {
    let text = "This file is not a copy saved by Slowstone on a phone or a site that was handed over, or a newer version made it. Choose the file that “Save a copy” or “For another hub” made.";
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "not_a_copy", text)
}
