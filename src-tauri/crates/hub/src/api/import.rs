//! `POST /api/import`: what a phone could not send, from the file that it saved.
//!
//! JSON lines: `{"slowstone":"copy","form":1}` first, then `{"event":{...}}` and
//! `{"photo":{...,"base64":"..."}}`, and `{"end":{"events":n,"photos":m}}` at the end. Read
//! line by line, so that many photos need no memory; everything keeps its id, so that the
//! same file again, or the phone that reaches the hub after all, changes nothing. The
//! writing side is `ui/src/lib/copy.ts`.

use super::{Answer, Refusal, Shared};
use crate::intake::{self, MOST, Sent};
use crate::state::Hub;
use crate::trust::Who;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use futures_util::StreamExt;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::EventError;
use std::sync::Arc;

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
    name: String,
    by: String,
    #[serde(default)]
    at_ms: Option<AtMs>,
    base64: String,
}

/// What became of the file.
#[derive(Debug, Default, Serialize)]
pub struct Imported {
    /// Entries that are stored now or were before.
    events: usize,
    /// Photos that are stored now or were before.
    photos: usize,
    /// Why entries were not taken.
    refused: Vec<EventError>,
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
    let _turn = hub.uploads.acquire().await.map_err(|_| Refusal::fault())?;
    let mut stream = Body::into_data_stream(request.into_body());
    let mut file = Import::new(Arc::clone(&hub), who);
    let mut line: Vec<u8> = Vec::new();
    while let Some(piece) = stream.next().await {
        let Ok(piece) = piece else {
            break;
        };
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
            let fits = fields.get("slowstone").and_then(Value::as_str) == Some("copy")
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
        self.done.refused.extend(taken.refused);
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
            stage: None,
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
    let text = "This file is not a copy saved by Slowstone on a phone, or by a newer version of it. Choose the file that “Save a copy” made.";
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "not_a_copy", text)
}
