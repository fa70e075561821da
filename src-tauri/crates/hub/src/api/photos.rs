//! `POST /api/sites/{site}/photos`: a photo from a phone or a browser.
//!
//! It comes in the body, or was sent in pieces before ([`super::uploads`]). What becomes
//! of it is in [`crate::intake`]; giving photos and pictures out is in
//! [`super::pictures`].

use super::uploads::with_uploads;
use super::{Answer, Refusal, Shared, body};
use crate::intake::{self, Entered, MOST, Sent};
use crate::state::Hub;
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use chrono_tz::Tz;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::json;
use slowstone_curing::units::AtMs;
use std::sync::Arc;

/// What stands in the address of an upload.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Upload {
    #[serde(default)]
    name: String,
    #[serde(default)]
    by: String,
    pour: Option<String>,
    stage: Option<String>,
    id: Option<String>,
    /// When the phone took it up, by its clock.
    at_ms: Option<AtMs>,
    /// Under which name its pieces came.
    from: Option<String>,
    /// How many bytes all pieces have.
    bytes: Option<u64>,
}

/// `POST /api/sites/{site}/photos`. With the id of a photo that is entered already it is
/// that one, whatever comes with it: a phone that did not hear the answer asks again.
///
/// # Errors
/// 415 for a file that is no picture, 413 for one that is too large, 404 for an unknown
/// site, 409 if not all pieces are here, 422 when something about it cannot be, 507 when
/// the disk is full.
pub async fn post(
    State(hub): Shared,
    Path(site): Path<String>,
    upload: Result<Query<Upload>, QueryRejection>,
    request: Request,
) -> Answer<Response> {
    let _turn = hub.uploads.acquire().await.map_err(|_| Refusal::fault())?;
    // Everything is heard before anything is answered: who is still sending would see a
    // broken connection instead of the answer, and send the same again.
    let sent_here = body(request, MOST).await?;
    let Query(upload) = upload.map_err(|e| odd_query(&e))?;
    let zone = intake::zone_of(&hub, &site).await?;
    let sent = Sent {
        site,
        name: upload.name,
        by: upload.by,
        pour: upload.pour,
        stage: upload.stage,
        id: upload.id,
        at: upload.at_ms,
    };
    let pieces = upload.from.clone().zip(upload.bytes);
    let taken = take(&hub, sent, zone, pieces, sent_here).await;
    // The pieces stay while it may go better later.
    let later = |no: &Refusal| no.status() == StatusCode::CONFLICT || no.status().is_server_error();
    if let Some(name) = upload.from
        && !taken.as_ref().is_err_and(later)
    {
        with_uploads(&hub, move |parts| {
            parts.forget(&name);
            Ok(())
        })
        .await?;
    }
    let done = taken?;
    let answer = json!({
        "event": done.event, "photo": done.photo, "said": done.said, "known": done.known,
    });
    Ok((StatusCode::OK, Json(answer)).into_response())
}

/// Takes in the bytes that came in pieces, or those of this request.
async fn take(
    hub: &Arc<Hub>,
    sent: Sent,
    zone: Tz,
    pieces: Option<(String, u64)>,
    sent_here: Vec<u8>,
) -> Answer<Entered> {
    if let Some(done) = intake::entered(hub, &sent).await? {
        return Ok(done);
    }
    let bytes = match pieces {
        Some((name, length)) => with_uploads(hub, move |parts| parts.whole(&name, length)).await?,
        None => sent_here,
    };
    intake::take_in(hub, sent, zone, bytes).await
}

/// The part of the address behind the question mark cannot be read.
pub(super) fn odd_query(e: &QueryRejection) -> Refusal {
    let text = format!("The address cannot be read ({e}). Load the page again.");
    Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text)
}
