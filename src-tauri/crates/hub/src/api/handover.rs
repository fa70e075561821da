//! What is handed over of a site: record as HTML and PDF, tables, entries, a copy for another
//! hub, photos; and how large each will be.
//!
//! What is large is written as it is sent, by a thread of its own that waits for the reader.
//! How each is made: [`crate::handover`]. With `gps=1` positions stay in it, which is for
//! keepers ([`crate::guard::rules`]).

use super::photos::odd_query;
use super::{Answer, Refusal, Shared};
use crate::handover::{self, Gathered, Wanted, names, photos as zipped, tables, tell};
use crate::state::Hub;
use crate::thumbs;
use axum::Json;
use axum::body::{Body, Bytes};
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::header::{ACCEPT_LANGUAGE, CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use slowstone_store::{BlobStore, Hash32};
use std::io::{self, Write};
use std::sync::Arc;
use tokio::sync::mpsc;

/// Side of the pictures in a record, pixels.
const SIDE: u32 = 512;

/// What stands behind the question mark.
#[derive(Debug, Deserialize, schemars::JsonSchema)]
pub struct Asked {
    /// `1` or `true`: positions stay in it.
    gps: Option<String>,
    /// Language of the record; without it the browser's.
    lang: Option<String>,
}

type Ask = Result<Query<Asked>, QueryRejection>;

fn wanted(asked: Ask, headers: &HeaderMap) -> Answer<Wanted> {
    let Query(asked) = asked.map_err(|e| odd_query(&e))?;
    let header = headers.get(ACCEPT_LANGUAGE).and_then(|v| v.to_str().ok());
    Ok(Wanted {
        gps: asked
            .gps
            .is_some_and(|v| !matches!(v.as_str(), "0" | "false" | "no" | "")),
        languages: asked
            .lang
            .unwrap_or_else(|| header.unwrap_or_default().to_owned()),
    })
}

async fn gathered(hub: &Arc<Hub>, site: &str) -> Answer<Gathered> {
    let (now, id) = (hub.now(), site.to_owned());
    let done = hub
        .with_ledger(move |ledger| handover::gather(ledger, &id, now))
        .await;
    let found = done.ok_or_else(Refusal::fault)??;
    found.ok_or_else(|| Refusal::missing("site", site))
}

/// How large things are.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub struct Sizes {
    pours: usize,
    entries: usize,
    /// Photos that were not taken back.
    photos: usize,
    /// Bytes of their originals.
    photo_bytes: u64,
    /// Of them: photos whose file says where it was taken.
    with_place: usize,
    /// Of them: formats whose notes cannot be cleaned without encoding the picture again.
    encoded_again: usize,
    /// Photos that are named but not here yet.
    away: usize,
}

/// `GET /api/sites/{site}/handover`: what there is to hand over.
///
/// # Errors
/// 404 if there is no such site.
pub async fn sizes(State(hub): Shared, Path(site): Path<String>) -> Answer<Json<Sizes>> {
    let of = gathered(&hub, &site).await?;
    let work = move || {
        let all = of
            .pours
            .iter()
            .flat_map(|p| &p.photos)
            .chain(&of.site.loose_photos);
        let mut sizes = Sizes {
            pours: of.pours.len(),
            entries: of.events.len(),
            photos: 0,
            photo_bytes: 0,
            with_place: 0,
            encoded_again: 0,
            away: 0,
        };
        for photo in all {
            let fact = &photo.fact;
            sizes.photos += 1;
            sizes.photo_bytes += u64::from(fact.bytes);
            sizes.with_place += usize::from(fact.lat.is_some());
            sizes.encoded_again +=
                usize::from(!["jpeg", "png", "webp"].contains(&fact.format.as_str()));
            let hash: Option<Hash32> = fact.hash.parse().ok();
            let here = hash.and_then(|h| hub.blobs.size(&h).ok().flatten());
            sizes.away += usize::from(here.is_none());
        }
        sizes
    };
    let done = tokio::task::spawn_blocking(work).await;
    done.map(Json).map_err(|_| Refusal::fault())
}

/// Headers of a file of a site. `shown` opens it in the browser.
fn head(
    of: &Gathered,
    what: &str,
    mime: &'static str,
    shown: bool,
) -> [(axum::http::HeaderName, String); 2] {
    let how = if shown { "inline" } else { "attachment" };
    let name = names::stem(&of.site.site.fact.name);
    [
        (CONTENT_TYPE, mime.to_owned()),
        (
            CONTENT_DISPOSITION,
            format!("{how}; filename=\"{name}-{what}\""),
        ),
    ]
}

/// A small picture of a photo; none if it is not here or cannot be read. It is kept, because
/// decoding is most of the time that a record takes.
fn small(hub: &Hub, hash: &str) -> Option<Vec<u8>> {
    let name: Hash32 = hash.parse().ok()?;
    if let Some(jpeg) = thumbs::kept(&hub.thumbs, &name, SIDE) {
        return Some(jpeg);
    }
    let bytes = hub.blobs.get(&name).ok().flatten()?;
    thumbs::make_one(&hub.thumbs, &name, &bytes, SIDE).ok()
}

/// The same from a store beside which a hub may run: nothing is kept.
pub fn picture(blobs: &dyn BlobStore, small: &std::path::Path, hash: &str) -> Option<Vec<u8>> {
    let name: Hash32 = hash.parse().ok()?;
    if let Some(jpeg) = thumbs::kept(small, &name, SIDE) {
        return Some(jpeg);
    }
    let bytes = blobs.get(&name).ok().flatten()?;
    thumbs::only(&bytes, SIDE).ok()
}

/// `GET /api/sites/{site}/record.html?gps=&lang=`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn html(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Ask,
    headers: HeaderMap,
) -> Answer<Response> {
    let (wanted, of) = (wanted(asked, &headers)?, gathered(&hub, &site).await?);
    let headers = head(&of, "record.html", "text/html; charset=utf-8", false);
    let _turn = hub.decoding.acquire().await.map_err(|_| Refusal::fault())?;
    let hub = Arc::clone(&hub);
    let work =
        move || handover::html::write(&tell::record(&of, &wanted), &|hash| small(&hub, hash));
    let text = tokio::task::spawn_blocking(work)
        .await
        .map_err(|_| Refusal::fault())?;
    Ok((headers, text).into_response())
}

/// `GET /api/sites/{site}/record.pdf?gps=&lang=`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn pdf(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Ask,
    headers: HeaderMap,
) -> Answer<Response> {
    let (wanted, of) = (wanted(asked, &headers)?, gathered(&hub, &site).await?);
    let headers = head(&of, "record.pdf", "application/pdf", false);
    let _turn = hub.decoding.acquire().await.map_err(|_| Refusal::fault())?;
    let hub = Arc::clone(&hub);
    let work = move || handover::pdf::write(&tell::record(&of, &wanted), &|hash| small(&hub, hash));
    match tokio::task::spawn_blocking(work).await {
        Ok(Ok(bytes)) => Ok((headers, bytes).into_response()),
        Ok(Err(why)) => {
            tracing::error!("the record as PDF cannot be written: {why}");
            let text = "The PDF cannot be written because of a fault in the hub. The same record is there as HTML, which a browser prints.";
            Err(Refusal::new(
                StatusCode::INTERNAL_SERVER_ERROR,
                "fault",
                text,
            ))
        }
        Err(_) => Err(Refusal::fault()),
    }
}

/// `GET /api/sites/{site}/record.csv.zip?gps=&lang=`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn csv(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Ask,
    headers: HeaderMap,
) -> Answer<Response> {
    let (wanted, of) = (wanted(asked, &headers)?, gathered(&hub, &site).await?);
    let headers = head(&of, "tables.zip", "application/zip", false);
    let write = move |out: Sender| tables::write(&of, &wanted, &tell::ways(&of, &wanted), out);
    Ok((headers, streamed(write)).into_response())
}

/// `GET /api/sites/{site}/record.jsonl?gps=`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn jsonl(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Ask,
    headers: HeaderMap,
) -> Answer<Response> {
    let (wanted, of) = (wanted(asked, &headers)?, gathered(&hub, &site).await?);
    let headers = head(
        &of,
        "entries.jsonl",
        "application/jsonl; charset=utf-8",
        false,
    );
    let write = move |mut out: Sender| {
        let events = handover::copy::entries(&of.events, wanted.gps);
        handover::copy::lines(&site, &events, wanted.gps, 0, &mut out)
    };
    Ok((headers, streamed(write)).into_response())
}

/// `GET /api/sites/{site}/record.zip?gps=`: everything, for another hub.
///
/// # Errors
/// 404 if there is no such site.
pub async fn copy(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Ask,
    headers: HeaderMap,
) -> Answer<Response> {
    let (wanted, of) = (wanted(asked, &headers)?, gathered(&hub, &site).await?);
    let headers = head(&of, "site.zip", "application/zip", false);
    let write =
        move |out: Sender| handover::copy::write(&site, &of.events, wanted.gps, &*hub.blobs, out);
    Ok((headers, streamed(write)).into_response())
}

/// `GET /api/sites/{site}/photos.zip?gps=&lang=`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn photos(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Ask,
    headers: HeaderMap,
) -> Answer<Response> {
    let (wanted, of) = (wanted(asked, &headers)?, gathered(&hub, &site).await?);
    let headers = head(&of, "photos.zip", "application/zip", false);
    let ways = tell::ways(&of, &wanted);
    let list = zipped::list(&of, &ways);
    drop(of);
    let write = move |out: Sender| zipped::write(&list, &*hub.blobs, wanted.gps, &ways, out);
    Ok((headers, streamed(write)).into_response())
}

/// Bytes that are sent at once.
const PIECE: usize = 256 << 10;

/// A body that `write` fills as fast as it is read, on a thread of its own.
fn streamed(write: impl FnOnce(Sender) -> io::Result<()> + Send + 'static) -> Body {
    let (send, receive) = mpsc::channel(4);
    let out = Sender {
        send: send.clone(),
        waiting: Vec::with_capacity(PIECE),
    };
    tokio::task::spawn_blocking(move || {
        if let Err(e) = write(out) {
            // The connection ends without its last piece, so the reader knows.
            tracing::warn!("a file was not handed over to its end: {e}");
            let _ = send.blocking_send(Err(e));
        }
    });
    let next = |mut receive: mpsc::Receiver<io::Result<Bytes>>| async move {
        let piece = receive.recv().await?;
        Some((piece, receive))
    };
    Body::from_stream(futures_util::stream::unfold(receive, next))
}

/// What is written goes to the reader, in pieces.
struct Sender {
    send: mpsc::Sender<io::Result<Bytes>>,
    waiting: Vec<u8>,
}

impl Write for Sender {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.waiting.extend_from_slice(bytes);
        if self.waiting.len() >= PIECE {
            self.flush()?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.waiting.is_empty() {
            return Ok(());
        }
        let piece = Bytes::from(std::mem::replace(
            &mut self.waiting,
            Vec::with_capacity(PIECE),
        ));
        let gone = |_| io::Error::new(io::ErrorKind::BrokenPipe, "the reader went away");
        self.send.blocking_send(Ok(piece)).map_err(gone)
    }
}

impl Drop for Sender {
    fn drop(&mut self) {
        // What is left; a reader that went away needs none of it.
        let _ = self.flush();
    }
}
