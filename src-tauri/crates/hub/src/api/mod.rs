//! The HTTP interface: one file for each group of addresses.
//!
//! Every refusal has the same form, [`Refusal`]: a code for programs and a text for
//! people that says what, why and what to do. Handlers do no domain work; they ask the
//! [`crate::ledger`] and the photo modules.

pub mod colours;
pub mod devices;
pub mod events;
pub mod forecast;
pub mod handover;
pub mod hourly;
pub mod import;
pub mod lan;
pub mod me;
pub mod pair;
pub mod photos;
pub mod pictures;
pub mod plan;
pub mod push;
pub mod reminders;
pub mod routes;
pub mod search;
pub mod sites;
pub mod streams;
pub mod uploads;
pub mod watch;

use crate::caller::Who;
use crate::listeners::TooSlow;
pub use crate::refusal::{Answer, Refusal, RefusedEntry};
pub use crate::state::Shared;
use axum::body::{Body, BodyDataStream, Bytes};
use axum::extract::{Request, State};
use axum::http::header::{ACCEPT_LANGUAGE, CONTENT_LENGTH, CONTENT_TYPE};
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use futures_util::StreamExt;
use schemars::JsonSchema;
use serde::Serialize;
use std::io;
use std::path::Path;
use tokio::io::{AsyncReadExt, AsyncSeekExt, AsyncWriteExt};

/// The languages of an answer: the one that the address asks for, else those of the reader.
fn languages(asked: Option<String>, headers: &HeaderMap) -> String {
    let heard = headers.get(ACCEPT_LANGUAGE).and_then(|v| v.to_str().ok());
    asked.unwrap_or_else(|| heard.unwrap_or_default().to_owned())
}

/// Bytes that are read and thrown away so that a sender of too much hears the answer
/// instead of a broken connection.
const HEARD: u64 = 512 << 20;

/// Bytes of a body from which on it lies in a file until it is whole.
const IN_MEMORY: usize = 1 << 20;

/// The next piece of a body; none at its end.
///
/// # Errors
/// 400 if it breaks off, 408 if it comes more slowly than the hub waits for
/// ([`crate::listeners`]).
pub(crate) async fn piece(stream: &mut BodyDataStream) -> Answer<Option<Bytes>> {
    stream.next().await.transpose().map_err(|e| {
        let status = match e.into_inner().is::<TooSlow>() {
            true => StatusCode::REQUEST_TIMEOUT,
            false => StatusCode::BAD_REQUEST,
        };
        let text = "The connection broke off before everything was here. Nothing of it was stored; send it again.";
        Refusal::new(status, "broken_off", text)
    })
}

/// What came of a body.
enum Came {
    Memory(Vec<u8>),
    File(tokio::fs::File),
}

impl Came {
    /// Adds a piece; `folder` is where a file without a name is made for what is long.
    async fn add(&mut self, piece: &[u8], folder: Option<&Path>) -> io::Result<()> {
        if let (Self::Memory(bytes), Some(folder)) = (&mut *self, folder)
            && bytes.len() + piece.len() > IN_MEMORY
        {
            let mut file = tokio::fs::File::from_std(tempfile::tempfile_in(folder)?);
            file.write_all(bytes).await?;
            *self = Self::File(file);
        }
        match self {
            Self::Memory(bytes) => bytes.extend_from_slice(piece),
            Self::File(file) => file.write_all(piece).await?,
        }
        Ok(())
    }
}

/// A body that is here.
pub struct Whole(Came);

impl Whole {
    /// Its bytes. Whoever asks has a place for them in memory.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub async fn bytes(self) -> Answer<Vec<u8>> {
        let mut file = match self.0 {
            Came::Memory(bytes) => return Ok(bytes),
            Came::File(file) => file,
        };
        let mut bytes = Vec::new();
        let read = async {
            file.rewind().await?;
            file.read_to_end(&mut bytes).await
        };
        read.await.map_err(|e| unkept(&e))?;
        Ok(bytes)
    }
}

/// What came could not be kept until it was whole.
fn unkept(e: &io::Error) -> Refusal {
    let text = format!(
        "What was sent could not be kept until it was whole ({e}). Free some space on the disk of the hub, then send it again."
    );
    Refusal::new(StatusCode::INSUFFICIENT_STORAGE, "disk_full", text)
}

/// The whole body, at most `most` bytes.
///
/// # Errors
/// 413 if it is longer; as [`piece`].
pub async fn body(request: Request, most: usize) -> Answer<Vec<u8>> {
    heard(request, most, None).await?.bytes().await
}

/// The whole body, at most `most` bytes; what is long lies in a file in `folder` meanwhile, so
/// that slow senders take no memory.
///
/// # Errors
/// As [`body`], and 507 if the file cannot be written.
pub async fn body_in(request: Request, most: usize, folder: &Path) -> Answer<Whole> {
    heard(request, most, Some(folder)).await
}

async fn heard(request: Request, most: usize, folder: Option<&Path>) -> Answer<Whole> {
    let announced = request
        .headers()
        .get(CONTENT_LENGTH)
        .and_then(|v| v.to_str().ok()?.parse::<u64>().ok());
    let fits = |n: u64| n <= most as u64;
    let mut keep = announced.is_none_or(fits);
    let mut kept = Came::Memory(Vec::new());
    let mut came = 0u64;
    let mut stream = Body::into_data_stream(request.into_body());
    while let Some(piece) = piece(&mut stream).await? {
        came = came.saturating_add(piece.len() as u64);
        if keep && fits(came) {
            kept.add(&piece, folder).await.map_err(|e| unkept(&e))?;
        } else {
            keep = false;
            kept = Came::Memory(Vec::new());
            if came > HEARD {
                break;
            }
        }
    }
    if keep {
        return Ok(Whole(kept));
    }
    let much = match most >> 20 {
        0 => format!("{} KB", most >> 10),
        mb => format!("{mb} MB"),
    };
    let text = format!(
        "This is larger than the {much} that are taken at once. Send it in smaller parts, or make the picture smaller."
    );
    let size = announced.unwrap_or(came).to_string();
    Err(Refusal::new(StatusCode::PAYLOAD_TOO_LARGE, "too_large", text).about("bytes", &size))
}

/// It is done, and there is nothing more to say of it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Done {
    ok: bool,
}

impl Done {
    /// As an answer.
    const fn json() -> Json<Self> {
        Json(Self { ok: true })
    }
}

/// Whether the hub is there.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Health {
    ok: bool,
    version: &'static str,
    /// How many entries the log has, for whoever was let in.
    #[serde(skip_serializing_if = "Option::is_none")]
    events: Option<usize>,
}

/// `GET /api/health`: whether the hub is there, which needs no token; with it, also whether
/// its log answers and how many entries that has.
///
/// # Errors
/// Only by a fault.
pub async fn health(State(hub): Shared, who: Option<Extension<Who>>) -> Answer<Json<Health>> {
    let events = match who {
        None => None,
        Some(_) => {
            let events = hub.with_ledger(|ledger| ledger.book().len()).await;
            Some(events.ok_or_else(Refusal::fault)?)
        }
    };
    Ok(Json(Health {
        ok: true,
        version: env!("CARGO_PKG_VERSION"),
        events,
    }))
}

/// An address that the interface does not have.
pub async fn unknown(uri: Uri) -> Refusal {
    let text = format!(
        "There is nothing at {}. The page may be older than the hub: load it again.",
        uri.path()
    );
    Refusal::new(StatusCode::NOT_FOUND, "missing", text)
}

/// Gives an answer that the framework wrote (an address or header that cannot be read) the
/// form that every refusal has.
pub async fn in_words(answer: Response) -> Response {
    let status = answer.status();
    let json = answer
        .headers()
        .get(CONTENT_TYPE)
        .is_some_and(|t| t.as_bytes().starts_with(b"application/json"));
    if json || !(status.is_client_error() || status.is_server_error()) {
        return answer;
    }
    if status.is_server_error() {
        return Refusal::fault().into_response();
    }
    let why = status.canonical_reason().unwrap_or("refused");
    let text = format!("This cannot be read ({why}). Load the page again.");
    Refusal::new(status, "unreadable", text).into_response()
}

/// A known address with the wrong method.
pub async fn wrong_method(uri: Uri) -> Refusal {
    let text = format!(
        "{} does not take this method. Load the page again.",
        uri.path()
    );
    Refusal::new(StatusCode::METHOD_NOT_ALLOWED, "method", text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_long_body_lies_in_a_file_and_comes_back_whole() {
        let dir = tempfile::tempdir().unwrap();
        for length in [0, 10, IN_MEMORY, IN_MEMORY + 1, 3 * IN_MEMORY] {
            let bytes: Vec<u8> = (0..length).map(|n| (n % 251) as u8).collect();
            let pieces: Vec<Result<Bytes, io::Error>> = bytes
                .chunks(100_000)
                .map(|c| Ok(Bytes::copy_from_slice(c)))
                .collect();
            let body = Body::from_stream(futures_util::stream::iter(pieces));
            let request = Request::new(body);
            let whole = body_in(request, 8 << 20, dir.path()).await.unwrap();
            let in_file = matches!(whole.0, Came::File(_));
            assert_eq!(in_file, length > IN_MEMORY, "{length}");
            assert_eq!(whole.bytes().await.unwrap(), bytes, "{length}");
        }
        // The files have no names.
        assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0);
    }
}
