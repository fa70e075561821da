//! `GET /api/photos/{hash}`: the photo as it came, or a small picture of it.
//!
//! Originals are read from the store, small pictures from [`crate::thumbs`], which makes
//! them when they are not there. Every byte is checked against the photo's hash before the first
//! one is sent: what is damaged is refused and kept by no browser. Which photos that are:
//! `GET /api/photos`. Whoever may not have positions gets a copy of the original without them
//! ([`without_place`]), which says so in a header: its hash is another one. A device gets its
//! own photos whole. Taking photos in is in [`super::photos`].

use super::photos::odd_query;
use super::{Answer, Refusal, Shared};
use crate::caller::Who;
use crate::damage::Lack;
use crate::guard::{PLACES, TAKEN_OUT};
use crate::intake;
use crate::leaves::Leaves;
use crate::photo::{Format, without_place};
use crate::state::Hub;
use crate::thumbs;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_LENGTH, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use slowstone_store::{Hash32, StoreError};
use std::sync::Arc;
use tokio::io::{AsyncReadExt, AsyncSeekExt};

/// Longer side of an original that is encoded again, pixels.
const MOST_AGAIN: u32 = 6000;

/// Which size of a picture is asked for.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Size {
    size: Option<String>,
}

/// `GET /api/photos/{hash}?size=160|512|1600|original`.
///
/// # Errors
/// 404 when there is no such photo, 415 when no small picture of it can be made or its place
/// cannot be taken out, 422 for a size that is not offered.
pub async fn one(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(hash): Path<String>,
    size: Result<Query<Size>, QueryRejection>,
) -> Answer<Response> {
    let Query(size) = size.map_err(|e| odd_query(&e))?;
    let Ok(name) = hash.parse::<Hash32>() else {
        return Err(Refusal::missing("photo", &hash));
    };
    let size = size.size.unwrap_or_else(|| "original".to_owned());
    let side = match size.as_str() {
        "original" => None,
        other => {
            let known = thumbs::SIDES.iter().find(|s| s.to_string() == other);
            Some(*known.ok_or_else(|| {
                let text = "Pictures come in the sizes 160, 512, 1600 and original.";
                Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "size", text).about("size", other)
            })?)
        }
    };
    let whole = side.is_some() || may_have_whole(&hub, who, name).await?;
    let found = match side {
        None => original(&hub, name).await,
        Some(side) => small(&hub, name, side).await,
    };
    match found {
        Ok(Some(picture)) if !whole => without_places(&hub, picture).await,
        Ok(Some(picture)) => {
            let head = [
                (CONTENT_TYPE, picture.mime.to_owned()),
                (CONTENT_LENGTH, picture.length.to_string()),
                (
                    CACHE_CONTROL,
                    "private, max-age=31536000, immutable".to_owned(),
                ),
            ];
            // Small pictures are drawn anew; an original goes whole to who took it.
            Ok((Extension(Leaves::MadeWithout), head, picture.body).into_response())
        }
        Ok(None) => Err(not_here(&hub, name).await),
        Err(no) => {
            if no.code() == DAMAGED {
                hub.damage.note(name, Some(Lack::Damaged));
                return Err(damaged().about("photo", &hash));
            }
            Err(no)
        }
    }
}

/// Whether somebody may have an original with its place.
async fn may_have_whole(hub: &Arc<Hub>, who: Who, hash: Hash32) -> Answer<bool> {
    if who.may_have_places() {
        return Ok(true);
    }
    let own = hub.with_ledger(move |ledger| intake::was_sent_by(ledger, &hash, &who.device));
    Ok(own.await.ok_or_else(Refusal::fault)??)
}

/// The original without its place: its own bytes where they can be cleaned, else its picture
/// encoded again. It is kept for an hour only, because what somebody may have can change.
async fn without_places(hub: &Arc<Hub>, picture: Picture) -> Answer<Response> {
    let bytes = to_bytes(picture.body, intake::MOST).await;
    let bytes = bytes.map_err(|_| Refusal::fault())?;
    let _turn = hub.decoding.acquire().await.map_err(|_| Refusal::fault())?;
    let work = move || match without_place::cleaned(&bytes) {
        Some(clean) => {
            let mime = Format::of(&clean).map_or("application/octet-stream", Format::mime);
            Ok((mime, clean))
        }
        None => thumbs::only(&bytes, MOST_AGAIN).map(|again| ("image/jpeg", again)),
    };
    let done = tokio::task::spawn_blocking(work).await;
    let (mime, clean) = done.map_err(|_| Refusal::fault())?.map_err(|why| {
        let text = format!(
            "This photo may say where it was taken, and that cannot be taken out of it here ({why}). Look at a smaller size, or ask a keeper for it."
        );
        Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "no_picture", text)
    })?;
    let head = [
        (CONTENT_TYPE, mime),
        (CACHE_CONTROL, "private, max-age=3600"),
    ];
    let out = (head, [(PLACES, TAKEN_OUT)], Body::from(clean));
    Ok((Extension(Leaves::MadeWithout), out).into_response())
}

/// The code of a refusal of damaged bytes.
const DAMAGED: &str = "photo_damaged";

/// The bytes are not those that were stored.
fn damaged() -> Refusal {
    let text = "The file of this photo is damaged on the hub's disk, so it is not shown. Send the same photo again from where it was taken, or copy the file from a backup; the entry stays.";
    Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, DAMAGED, text)
}

/// There are no bytes: the photo was never heard of, is on its way, or is lost.
async fn not_here(hub: &Arc<Hub>, hash: Hash32) -> Refusal {
    let named = hub.with_ledger(|ledger| ledger.named_photos()).await;
    let named = named.and_then(Result::ok).unwrap_or_default();
    let Some(photo) = named.get(&hash) else {
        return Refusal::missing("photo", &hash.to_string());
    };
    let (code, text) = if photo.came_with_it {
        hub.damage.note(hash, Some(Lack::Missing));
        (
            "photo_missing",
            "The file of this photo is no longer on the hub's disk. Send the same photo again from where it was taken, or copy the file from a backup; the entry stays.",
        )
    } else {
        (
            "photo_awaited",
            "This photo has not arrived yet: the phone that took it sends it when it reaches the hub.",
        )
    };
    Refusal::new(StatusCode::NOT_FOUND, code, text).about("photo", &hash.to_string())
}

/// A photo that cannot be shown.
#[derive(Debug, Serialize, JsonSchema)]
pub struct DamagedPhoto {
    /// The entry that names it.
    event: String,
    /// The site of that.
    site: String,
    /// Its BLAKE3 hash.
    hash: String,
    /// What is wrong with its file.
    lack: Lack,
}

/// Photos that the hub asks for.
#[derive(Debug, Default, Serialize, JsonSchema)]
pub struct DamagedPhotos {
    damaged: Vec<DamagedPhoto>,
}

/// `GET /api/photos`: the photos whose files are damaged or missing, as far as the hub has
/// looked. Whoever holds one sends it again under the id of its entry.
///
/// # Errors
/// If the log cannot be read.
pub async fn list(State(hub): Shared) -> Answer<Json<DamagedPhotos>> {
    let all = hub.damage.all();
    if all.is_empty() {
        return Ok(Json(DamagedPhotos::default()));
    }
    let named = hub.with_ledger(|ledger| ledger.named_photos()).await;
    let named = named.ok_or_else(Refusal::fault)??;
    let damaged = all.into_iter().filter_map(|(hash, lack)| {
        let photo = named.get(&hash)?;
        Some(DamagedPhoto {
            event: photo.entry.clone(),
            site: photo.site.clone(),
            hash: hash.to_string(),
            lack,
        })
    });
    let damaged = damaged.collect();
    Ok(Json(DamagedPhotos { damaged }))
}

/// A picture that is sent.
struct Picture {
    mime: &'static str,
    length: u64,
    body: Body,
}

impl Picture {
    fn of(mime: &'static str, bytes: Vec<u8>) -> Self {
        Self {
            mime,
            length: bytes.len() as u64,
            body: Body::from(bytes),
        }
    }
}

/// Bytes of an original that are in memory at once.
const AT_ONCE: usize = 256 << 10;

fn mime_of(head: &[u8]) -> &'static str {
    Format::of(head).map_or("application/octet-stream", Format::mime)
}

/// The original: from a file piece by piece, so that slow readers take no memory.
async fn original(hub: &Arc<Hub>, hash: Hash32) -> Answer<Option<Picture>> {
    let Some(path) = hub.blobs.path(&hash) else {
        let hub = Arc::clone(hub);
        let read = tokio::task::spawn_blocking(move || hub.blobs.get(&hash)).await;
        let bytes = read.map_err(|_| Refusal::fault())??;
        return Ok(bytes.map(|bytes| Picture::of(mime_of(&bytes), bytes)));
    };
    let shared = Arc::clone(hub);
    let checked = tokio::task::spawn_blocking(move || shared.blobs.verify(&hash)).await;
    if !checked.map_err(|_| Refusal::fault())?? {
        return Ok(None);
    }
    let odd = |e| Refusal::from(StoreError::reading(&path, "reading a photo", e));
    let mut file = tokio::fs::File::open(&path).await.map_err(odd)?;
    let length = file.metadata().await.map_err(odd)?.len();
    let mut head = Vec::new();
    (&mut file)
        .take(4096)
        .read_to_end(&mut head)
        .await
        .map_err(odd)?;
    file.rewind().await.map_err(odd)?;
    let body = futures_util::stream::try_unfold(file, |mut file| async {
        let mut bytes = vec![0; AT_ONCE];
        let n = file.read(&mut bytes).await?;
        bytes.truncate(n);
        Ok::<_, std::io::Error>((n > 0).then(|| (Bytes::from(bytes), file)))
    });
    Ok(Some(Picture {
        mime: mime_of(&head),
        length,
        body: Body::from_stream(body),
    }))
}

async fn small(hub: &Arc<Hub>, hash: Hash32, side: u32) -> Answer<Option<Picture>> {
    let (at, name) = (hub.thumbs.clone(), hash);
    let kept = tokio::task::spawn_blocking(move || thumbs::kept(&at, &name, side)).await;
    if let Ok(Some(bytes)) = kept {
        return Ok(Some(Picture::of("image/jpeg", bytes)));
    }
    let _turn = hub.decoding.acquire().await.map_err(|_| Refusal::fault())?;
    let hub = Arc::clone(hub);
    let work = move || {
        let Some(bytes) = hub.blobs.get(&hash)? else {
            return Ok(None);
        };
        // Another request may have made it while this one waited.
        match thumbs::kept(&hub.thumbs, &hash, side) {
            Some(small) => Ok(Some(Ok(small))),
            None => Ok::<_, StoreError>(Some(thumbs::make(&hub.thumbs, &hash, &bytes, side))),
        }
    };
    let made = tokio::task::spawn_blocking(work).await;
    match made.map_err(|_| Refusal::fault())?? {
        None => Ok(None),
        Some(Ok(small)) => Ok(Some(Picture::of("image/jpeg", small))),
        Some(Err(why)) => Err(Refusal::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "no_picture",
            why,
        )),
    }
}
