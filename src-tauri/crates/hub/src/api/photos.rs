//! `POST /api/sites/{site}/photos`: a photo from a phone or a browser.
//!
//! What becomes of it is in [`crate::intake`]; giving photos and pictures out is in
//! [`super::pictures`].

use super::{Answer, Refusal, Shared, body};
use crate::intake::{self, MOST, Sent};
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;

/// What stands in the address of an upload.
#[derive(Debug, Deserialize)]
pub struct Upload {
    #[serde(default)]
    name: String,
    #[serde(default)]
    by: String,
    pour: Option<String>,
    stage: Option<String>,
    id: Option<String>,
}

/// `POST /api/sites/{site}/photos`.
///
/// # Errors
/// 415 for a file that is no picture, 413 for one that is too large, 404 for an unknown
/// site, 422 when something about it cannot be, 507 when the disk is full.
pub async fn post(
    State(hub): Shared,
    Path(site): Path<String>,
    upload: Result<Query<Upload>, QueryRejection>,
    request: Request,
) -> Answer<Response> {
    let Query(upload) = upload.map_err(|e| odd_query(&e))?;
    let _turn = hub.uploads.acquire().await.map_err(|_| Refusal::fault())?;
    let zone = intake::zone_of(&hub, &site).await?;
    let bytes = body(request, MOST).await?;
    let sent = Sent {
        site,
        name: upload.name,
        by: upload.by,
        pour: upload.pour,
        stage: upload.stage,
        id: upload.id,
    };
    let done = intake::take_in(&hub, sent, zone, bytes).await?;
    let answer = json!({
        "event": done.event, "photo": done.photo, "said": done.said, "known": done.known,
    });
    Ok((StatusCode::OK, Json(answer)).into_response())
}

/// The part of the address behind the question mark cannot be read.
pub(super) fn odd_query(e: &QueryRejection) -> Refusal {
    let text = format!("The address cannot be read ({e}). Load the page again.");
    Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text)
}
