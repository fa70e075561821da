//! `POST /api/import`: what a phone could not send, from the file that it saved; or a site
//! that another hub handed over, as JSON lines or in a zip ([`crate::handover::copy`]).
//! JSON lines: `{"slowstone":"copy","form":1}` first, then `{"event":{...}}` and
//! `{"photo":{...,"base64":"..."}}`, and `{"end":{"events":n,"photos":m}}` at the end. Read
//! line by line, so that many photos need no memory; everything keeps its id, so that the
//! same file again, or the phone that reaches the hub after all, changes nothing. The
//! writing side is `ui/src/lib/copy.ts`.

use super::{Answer, Refusal, RefusedEntry, Shared, piece};
use crate::handover::take::{self, TakeError};
use crate::intake::{self, MOST, Sent};
use crate::state::Hub;
use crate::trust::Who;
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
    /// Whether the file was there to its end.
    whole: bool,
}

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
    into.done.photos += photos.stored;
    into.done.failed.extend(photos.failed);
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
    waiting: Vec<Value>,
    done: Imported,
}

impl Import {
    fn new(hub: Arc<Hub>, who: Who) -> Self {
        Self {
            hub,
            who,
            begun: false,
            waiting: Vec::new(),
            done: Imported::default(),
        }
    }

    async fn line(&mut self, line: &[u8]) -> Answer<()> {
        if line.iter().all(u8::is_ascii_whitespace) {
            return Ok(());
        }
        let Ok(Value::Object(mut fields)) = serde_json::from_slice::<Value>(line) else {
            // The last line of a file that was cut short is half a line.
            return if self.begun { Ok(()) } else { Err(no_copy()) };
        };
        if !self.begun {
            let of = fields.get("slowstone").and_then(Value::as_str);
            let fits = matches!(of, Some("copy" | "site"))
                && fields.get("form").and_then(Value::as_u64) == Some(FORM);
            self.begun = fits;
            return if fits { Ok(()) } else { Err(no_copy()) };
        }
        if let Some(event) = fields.remove("event") {
            self.waiting.push(event);
            if self.waiting.len() >= BATCH {
                self.store().await?;
            }
        } else if let Some(photo) = fields.remove("photo") {
            // A photo may hang on an entry before it.
            self.store().await?;
            self.photo(photo).await?;
        } else if fields.contains_key("end") {
            self.done.whole = true;
        }
        Ok(())
    }

    /// Stores the entries that were read.
    async fn store(&mut self) -> Answer<()> {
        if self.waiting.is_empty() {
            return Ok(());
        }
        let entries = std::mem::take(&mut self.waiting);
        let taken = super::events::take(&self.hub, &self.who, entries).await?;
        self.done.events += taken.taken.len();
        let refused = taken.refused.into_iter().map(RefusedEntry::from);
        self.done.refused.extend(refused);
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
        if self.begun {
            Ok(self.done)
        } else {
            Err(no_copy())
        }
    }
}

fn no_copy() -> Refusal {
    let text = "This file is not a copy saved by Slowstone on a phone or a site that was handed over, or a newer version made it. Choose the file that “Save a copy” or “For another hub” made.";
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "not_a_copy", text)
}
