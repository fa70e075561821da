//! `GET /api/photos/{hash}`: the photo as it came, or a small picture of it.
//!
//! Originals are read from the store, small pictures from [`crate::thumbs`], which makes
//! them when they are not there. Taking photos in is in [`super::photos`].

use super::photos::odd_query;
use super::{Answer, Refusal, Shared};
use crate::photo::Format;
use crate::state::Hub;
use crate::thumbs;
use axum::body::Body;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Deserialize;
use slowstone_store::{Hash32, StoreError};
use std::sync::Arc;

/// Which size of a picture is asked for.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Size {
    size: Option<String>,
}

/// `GET /api/photos/{hash}?size=160|512|1600|original`.
///
/// # Errors
/// 404 when there is no such photo, 415 when no small picture of it can be made, 422 for
/// a size that is not offered.
pub async fn one(
    State(hub): Shared,
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
    let found = match side {
        None => original(&hub, name).await?,
        Some(side) => small(&hub, name, side).await?,
    };
    let (mime, bytes) = found.ok_or_else(|| Refusal::missing("photo", &hash))?;
    let head = [
        (CONTENT_TYPE, mime),
        (CACHE_CONTROL, "private, max-age=31536000, immutable"),
    ];
    Ok((head, Body::from(bytes)).into_response())
}

type Picture = Option<(&'static str, Vec<u8>)>;

async fn original(hub: &Arc<Hub>, hash: Hash32) -> Answer<Picture> {
    let hub = Arc::clone(hub);
    let read = tokio::task::spawn_blocking(move || hub.blobs.get(&hash)).await;
    let bytes = read.map_err(|_| Refusal::fault())??;
    Ok(bytes.map(|bytes| {
        let mime = Format::of(&bytes).map_or("application/octet-stream", Format::mime);
        (mime, bytes)
    }))
}

async fn small(hub: &Arc<Hub>, hash: Hash32, side: u32) -> Answer<Picture> {
    let (at, name) = (hub.thumbs.clone(), hash);
    let kept = tokio::task::spawn_blocking(move || thumbs::kept(&at, &name, side)).await;
    if let Ok(Some(bytes)) = kept {
        return Ok(Some(("image/jpeg", bytes)));
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
        Some(Ok(small)) => Ok(Some(("image/jpeg", small))),
        Some(Err(why)) => Err(Refusal::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "no_picture",
            why,
        )),
    }
}
