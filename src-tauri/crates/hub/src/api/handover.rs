//! What is handed over of a site: record as HTML and PDF, tables, entries, a copy for another
//! hub, photos; and how large each will be.
//!
//! What is large is written as it is sent, by a thread of its own that waits for the reader.
//! How each is made: [`crate::handover`]. With `gps=1` positions stay in it, which is for
//! keepers: it is asked for here, where the address is read, and nowhere else.

use super::photos::odd_query;
use super::{Answer, Refusal, Shared, languages};
use crate::caller::{Role, Who};
use crate::guard::beyond;
use crate::handover::{self, Gathered, Wanted, names, photos as zipped, tables, tell};
use crate::leaves::Leaves;
use crate::ledger::Ledger;
use crate::state::Hub;
use crate::thumbs;
use axum::body::{Body, Bytes};
use axum::extract::{FromRequestParts, Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::http::request::Parts;
use axum::http::{HeaderName, StatusCode};
use axum::{Extension, Json};
use serde::{Deserialize, Serialize};
use slowstone_logbook::Book;
use slowstone_record::doc::Doc;
use slowstone_store::{BlobStore, Hash32, StoreError};
use std::io::{self, Write};
use std::sync::Arc;
use tokio::sync::mpsc;

/// Side of the pictures in a record, pixels.
const SIDE: u32 = 512;

/// What stands behind the question mark.
#[derive(Debug, Deserialize, schemars::JsonSchema)]
pub struct Asked {
    /// `1` or `true`: positions stay in it, for keepers.
    #[serde(default)]
    gps: Positions,
    /// Language of the record; without it the browser's.
    lang: Option<String>,
    /// Only these photos, by their ids with commas between; all without it.
    only: Option<String>,
}

/// Whether positions stay in what is handed over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, schemars::JsonSchema)]
enum Positions {
    /// They are taken out.
    #[default]
    #[serde(rename = "0")]
    Out,
    /// They stay.
    #[serde(rename = "1")]
    Stay,
}

impl Positions {
    /// Whether they stay for `who`.
    ///
    /// # Errors
    /// 403 if they are asked for by somebody who may not have them.
    fn stay_for(self, who: &Who) -> Answer<bool> {
        let stay = self == Self::Stay;
        if stay && !who.may_have_places() {
            return Err(beyond(who, Role::Keeper));
        }
        Ok(stay)
    }
}

/// What a handler hands over: of which site, in which way, and all that is known of it.
pub struct Handed {
    hub: Arc<Hub>,
    site: String,
    wanted: Wanted,
    of: Gathered,
}

impl FromRequestParts<Arc<Hub>> for Handed {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, hub: &Arc<Hub>) -> Answer<Self> {
        let Path(site) = Path::<String>::from_request_parts(parts, hub)
            .await
            .map_err(|_| Refusal::missing("site", ""))?;
        let asked = Query::<Asked>::from_request_parts(parts, hub).await;
        let Query(asked) = asked.map_err(|e| odd_query(&e))?;
        let who = Extension::<Who>::from_request_parts(parts, hub).await;
        let Extension(who) = who.map_err(|_| Refusal::fault())?;
        let wanted = Wanted {
            gps: asked.gps.stay_for(&who)?,
            languages: languages(asked.lang, &parts.headers),
            photos: asked
                .only
                .map(|ids| ids.split(',').map(str::to_owned).collect()),
        };
        let of = gathered(hub, &site).await?;
        Ok(Self {
            hub: Arc::clone(hub),
            site,
            wanted,
            of,
        })
    }
}

/// Headers of a file, and that positions are in it only where a keeper asked for them.
type Head = (Extension<Leaves>, [(HeaderName, String); 2]);

impl Handed {
    /// Headers of a file that is kept, named after the site.
    fn head(&self, what: &str, mime: &str) -> Head {
        let name = names::stem(&self.of.site.site.fact.name);
        let kept = format!("attachment; filename=\"{name}-{what}\"");
        let headers = [(CONTENT_TYPE, mime.to_owned()), (CONTENT_DISPOSITION, kept)];
        (Extension(Leaves::MadeWithout), headers)
    }

    /// The record, drawn by `draw` with small pictures, one of few at once.
    async fn drawn<T: Send + 'static>(self, draw: fn(&Doc, Pictures<'_>) -> T) -> Answer<T> {
        let turns = Arc::clone(&self.hub);
        let _turn = turns
            .decoding
            .acquire()
            .await
            .map_err(|_| Refusal::fault())?;
        let work = move || {
            draw(&tell::record(&self.of, &self.wanted), &|hash| {
                small(&self.hub, hash)
            })
        };
        let drawn = tokio::task::spawn_blocking(work).await;
        drawn.map_err(|_| Refusal::fault())
    }
}

/// Gives a small JPEG of a photo by its hash, or none.
type Pictures<'a> = &'a dyn Fn(&str) -> Option<Vec<u8>>;

async fn gathered(hub: &Arc<Hub>, site: &str) -> Answer<Gathered> {
    let (now, id) = (hub.now(), site.to_owned());
    let read = move |ledger: &mut Ledger| {
        let events = handover::events(ledger, &id)?;
        Ok::<_, StoreError>((events, ledger.entries(&id)))
    };
    let read = hub.with_ledger(read).await;
    let (events, entries) = read.ok_or_else(Refusal::fault)??;
    let id = site.to_owned();
    let gather = move |book: &mut Book| handover::gather(book, events, &id, now);
    let found = hub.with_entries(site, entries, gather).await;
    let found = found.ok_or_else(Refusal::fault)?;
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
            .chain(of.site.steps.iter().flat_map(|s| &s.photos))
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
pub async fn html(handed: Handed) -> Answer<(Head, String)> {
    let head = handed.head("record.html", "text/html; charset=utf-8");
    Ok((head, handed.drawn(handover::html::write).await?))
}

/// `GET /api/sites/{site}/record.pdf?gps=&lang=`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn pdf(handed: Handed) -> Answer<(Head, Vec<u8>)> {
    let head = handed.head("record.pdf", "application/pdf");
    let bytes = handed.drawn(handover::pdf::write).await?.map_err(|why| {
        tracing::error!("the record as PDF cannot be written: {why}");
        let text = "The PDF cannot be written because of a fault in the hub. The same record is there as HTML, which a browser prints.";
        Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, "fault", text)
    })?;
    Ok((head, bytes))
}

/// `GET /api/sites/{site}/record.csv.zip?gps=&lang=`: all tables.
pub async fn csv(handed: Handed) -> (Head, Body) {
    let head = handed.head("tables.zip", "application/zip");
    let Handed { of, wanted, .. } = handed;
    let write = move |out: Sender| tables::write(&of, &wanted, &tell::ways(&of, &wanted), out);
    (head, streamed(write))
}

/// `GET /api/sites/{site}/record.jsonl?gps=`: all entries.
pub async fn jsonl(handed: Handed) -> (Head, Body) {
    let head = handed.head("entries.jsonl", "application/jsonl; charset=utf-8");
    let gps = handed.wanted.gps;
    let write = move |mut out: Sender| {
        let events = handover::copy::entries(&handed.of.events, gps);
        handover::copy::lines(&handed.site, &events, gps, 0, &mut out)
    };
    (head, streamed(write))
}

/// `GET /api/sites/{site}/record.zip?gps=`: everything, for another hub.
pub async fn copy(handed: Handed) -> (Head, Body) {
    let head = handed.head("site.zip", "application/zip");
    let write = move |out: Sender| {
        let (events, gps) = (&handed.of.events, handed.wanted.gps);
        let originals = |hash: &str| handover::bytes_of(hash, &*handed.hub.blobs);
        handover::copy::write(&handed.site, events, gps, &originals, out)
    };
    (head, streamed(write))
}

/// `GET /api/sites/{site}/photos.zip?gps=&lang=`: the photos, named by step, day and stage.
pub async fn photos(handed: Handed) -> (Head, Body) {
    let head = handed.head("photos.zip", "application/zip");
    let Handed {
        hub, wanted, of, ..
    } = handed;
    let ways = tell::ways(&of, &wanted);
    let list = zipped::list(&of, wanted.photos.as_deref(), &ways);
    drop(of);
    let write = move |out: Sender| {
        let originals = |hash: &str| handover::bytes_of(hash, &*hub.blobs);
        zipped::write(&list, &originals, wanted.gps, &ways, out)
    };
    (head, streamed(write))
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
