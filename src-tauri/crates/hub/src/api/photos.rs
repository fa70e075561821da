//! `POST /api/sites/{site}/photos`: a photo from a phone or a browser.
//!
//! It comes in the body, or was sent in pieces before ([`super::uploads`]). What becomes
//! of it is in [`crate::intake`]; giving photos and pictures out is in
//! [`super::pictures`].

use super::uploads::with_uploads;
use super::{Answer, Refusal, Shared, Whole, body_in};
use crate::caller::Who;
use crate::intake::{self, Entered, MOST, Sent};
pub(super) use crate::refusal::odd_query;
use crate::state::Hub;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use chrono_tz::Tz;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_logbook::facts::Photo;
use slowstone_logbook::view::PhotoPlace;
use std::sync::Arc;

/// What stands in the address of an upload.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Upload {
    #[serde(default)]
    name: String,
    #[serde(default)]
    by: String,
    pour: Option<String>,
    /// A step, poured yet or not; `pour` wins.
    step: Option<String>,
    stage: Option<String>,
    id: Option<String>,
    /// When the phone took it up, by its clock.
    at_ms: Option<AtMs>,
    /// Under which name its pieces came.
    from: Option<String>,
    /// How many bytes all pieces have.
    bytes: Option<u64>,
}

/// What became of a photo.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PhotoTaken {
    /// Its entry.
    event: String,
    /// What the entry says, and where the log put it.
    photo: Photo,
    /// Where that is, in names.
    place: PhotoPlace,
    /// How its time was found, in words.
    said: String,
    /// Whether the site had the same bytes already: then nothing was entered.
    known: bool,
    /// Whether its file was damaged or missing and is whole again.
    mended: bool,
}

/// `POST /api/sites/{site}/photos`. With the id of a photo that is entered already it is
/// that one, whatever comes with it: a phone that did not hear the answer asks again. If the
/// file of that photo is damaged or missing, the bytes that come mend it.
///
/// # Errors
/// 415 for a file that is no picture, 413 for one that is too large, 404 for an unknown
/// site, 409 if not all pieces are here, 422 when something about it cannot be, 507 when
/// the disk is full.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(site): Path<String>,
    upload: Result<Query<Upload>, QueryRejection>,
    request: Request,
) -> Answer<Json<PhotoTaken>> {
    let turn = hub.receiving.take(&who.device).await;
    let _turn = turn.ok_or_else(Refusal::fault)?;
    // Everything is heard before anything is answered: who is still sending would see a
    // broken connection instead of the answer, and send the same again.
    let sent_here = body_in(request, MOST, hub.parts.folder()).await?;
    // Nobody holds one of the few places in memory while others have to send.
    let _place = hub.uploads.acquire().await.map_err(|_| Refusal::fault())?;
    let Query(upload) = upload.map_err(|e| odd_query(&e))?;
    let zone = intake::zone_of(&hub, &site).await?;
    let sent = Sent {
        site,
        name: upload.name,
        by: upload.by,
        pour: upload.pour,
        step: upload.step,
        stage: upload.stage,
        id: upload.id,
        at: upload.at_ms,
        device: who.device.clone(),
    };
    let pieces = upload
        .from
        .clone()
        .zip(upload.bytes)
        .map(|(id, bytes)| Pieces {
            device: who.device.clone(),
            id,
            bytes,
        });
    let taken = take(&hub, sent, zone, pieces, sent_here).await;
    // The pieces stay while it may go better later.
    let later = |no: &Refusal| no.status() == StatusCode::CONFLICT || no.status().is_server_error();
    if let Some(name) = upload.from
        && !taken.as_ref().is_err_and(later)
    {
        with_uploads(&hub, move |parts| {
            parts.forget(&who.device, &name);
            Ok(())
        })
        .await?;
    }
    let done = taken?;
    Ok(Json(PhotoTaken {
        event: done.event,
        photo: done.photo,
        place: done.place,
        said: done.said,
        known: done.known,
        mended: done.mended,
    }))
}

/// A photo that was sent in pieces.
struct Pieces {
    device: String,
    id: String,
    bytes: u64,
}

impl Pieces {
    async fn whole(self, hub: &Arc<Hub>) -> Answer<Vec<u8>> {
        with_uploads(hub, move |parts| {
            parts.whole(&self.device, &self.id, self.bytes)
        })
        .await
    }
}

/// Takes in the bytes that came in pieces, or those of this request.
async fn take(
    hub: &Arc<Hub>,
    sent: Sent,
    zone: Tz,
    pieces: Option<Pieces>,
    sent_here: Whole,
) -> Answer<Entered> {
    let done = intake::entered(hub, &sent).await?;
    if let Some(done) = &done
        && intake::is_whole(hub, &done.photo).await?
    {
        return Ok(done.clone());
    }
    let bytes = match pieces {
        Some(pieces) => pieces.whole(hub).await?,
        None => sent_here.bytes().await?,
    };
    match done {
        // Whoever only asks whether it arrived sends nothing.
        Some(done) if bytes.is_empty() => Ok(done),
        Some(done) => intake::mend(hub, done, bytes).await,
        None => intake::take_in(hub, sent, zone, bytes).await,
    }
}
