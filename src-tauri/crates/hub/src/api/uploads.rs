//! `/api/uploads/{id}`: a photo in pieces, so that a weak signal does not begin it again.
//!
//! What is kept where is in [`crate::uploads`]. Once everything is here,
//! `POST /api/sites/{site}/photos?from={id}&bytes=N` takes the photo in: see
//! [`super::photos`].

use super::photos::odd_query;
use super::{Answer, Refusal, Shared, body};
use crate::state::Hub;
use crate::trust::Who;
use crate::uploads::{PIECE, UploadError, Uploads};
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Where a piece begins.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct At {
    offset: u64,
}

/// How much of a photo is here.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Arrived {
    bytes: u64,
}

impl From<UploadError> for Refusal {
    fn from(e: UploadError) -> Self {
        let (status, code, about) = match &e {
            UploadError::Store(_) => (StatusCode::INTERNAL_SERVER_ERROR, "store", None),
            UploadError::Name(id) => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "id",
                Some(("id", id.clone())),
            ),
            UploadError::Offset { have } => (
                StatusCode::CONFLICT,
                "offset",
                Some(("offset", have.to_string())),
            ),
            UploadError::TooLarge => (StatusCode::PAYLOAD_TOO_LARGE, "too_large", None),
            UploadError::TooMany => (StatusCode::TOO_MANY_REQUESTS, "too_many", None),
        };
        let refusal = match e {
            UploadError::Store(e) => return Self::from(e),
            other => Self::new(status, code, other.to_string()),
        };
        match about {
            Some((field, value)) => refusal.about(field, &value),
            None => refusal,
        }
    }
}

/// Works on the parts on a thread that may block.
pub(super) async fn with_uploads<T, F>(hub: &Arc<Hub>, work: F) -> Answer<T>
where
    T: Send + 'static,
    F: FnOnce(&Uploads) -> Result<T, UploadError> + Send + 'static,
{
    let hub = Arc::clone(hub);
    let done = tokio::task::spawn_blocking(move || work(&hub.parts)).await;
    Ok(done.map_err(|_| Refusal::fault())??)
}

/// `GET /api/uploads/{id}`: how many bytes are here.
///
/// # Errors
/// 422 for a name that cannot be.
pub async fn have(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
) -> Answer<Json<Arrived>> {
    let bytes = with_uploads(&hub, move |parts| parts.have(&who.device, &id)).await?;
    Ok(Json(Arrived { bytes }))
}

/// `PUT /api/uploads/{id}?offset=N`: one piece, on the disk when this answers.
///
/// # Errors
/// 409 with the true offset if the part does not end there, 413 if the piece or the photo
/// is too large, 429 if too many are on their way, 507 when the disk is full.
pub async fn put(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
    at: Result<Query<At>, QueryRejection>,
    request: Request,
) -> Answer<Json<Arrived>> {
    let piece = body(request, PIECE).await?;
    let Query(at) = at.map_err(|e| odd_query(&e))?;
    let add = move |parts: &Uploads| parts.add(&who.device, &id, at.offset, &piece);
    let bytes = with_uploads(&hub, add).await?;
    Ok(Json(Arrived { bytes }))
}
