//! `/api/streams`: what phones wrote into streams of their own, and how far the log has them.
//!
//! One batch is records of one stream in their order. The answer is always 200 with a
//! receipt, also for a gap or a fork, since the phone goes on by it; the same batch again
//! has the same answer. The rules are in the crate `sync`, taking in is in
//! [`crate::ledger::streams`]; the phone's side is `ui/src/log/stream.ts`.

use super::photos::odd_query;
use super::{Answer, Refusal, RefusedEntry, Shared, body};
use crate::caller::Who;
use crate::entered;
use crate::guard::rules::entry_role;
use crate::ledger::Ledger;
use crate::ledger::streams::{HUBS, Received as Taken};
use axum::extract::rejection::QueryRejection;
use axum::extract::{Query, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_store::Head;
use slowstone_sync::{Batch, MAX_BATCH, Receipt};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Most bytes of one batch.
const MOST: usize = 8 << 20;

/// Whose heads are asked for.
#[derive(Debug, Default, Deserialize, JsonSchema)]
pub struct Whose {
    /// Name of a device; empty for none.
    #[serde(default)]
    pub device: String,
}

/// How far the log has the streams of a device.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Heads {
    heads: Vec<Head>,
}

/// What became of a batch.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "BatchReceived")]
pub struct Received {
    /// The rules of the streams.
    #[serde(flatten)]
    pub receipt: Receipt,
    /// Why the record after the accepted ones was refused.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<RefusedEntry>,
}

/// `GET /api/streams?device=D`: the last record of each stream of a device.
///
/// # Errors
/// Only if the log cannot be read.
pub async fn heads(
    State(hub): Shared,
    whose: Result<Query<Whose>, QueryRejection>,
) -> Answer<Json<Heads>> {
    let Query(whose) = whose.map_err(|e| odd_query(&e))?;
    let heads: Option<Result<Vec<Head>, _>> = hub
        .with_ledger(move |ledger| ledger.heads_of(&whose.device))
        .await;
    let heads = heads.ok_or_else(Refusal::fault)??;
    Ok(Json(Heads { heads }))
}

/// `POST /api/streams` with `{"stream":{"device","epoch"},"from","prev","bodies"}`.
///
/// The answer: `head` of the stream in the log now, how many records from the first on are
/// `accepted`, and what ended it: `gap` (the number that is wanted), `fork` (a number at
/// which the histories differ), or `refused` with `why` (the record after the accepted ones
/// says what cannot be).
///
/// # Errors
/// 400 when it is no batch, 403 for a stream of another device, 507 when the disk is full.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    request: Request,
) -> Answer<Json<Received>> {
    let bytes = body(request, MOST).await?;
    let received = hub.now();
    let shared = Arc::clone(&hub);
    let done = hub
        .with_ledger(move |ledger| {
            let (answer, done) = receive(ledger, &bytes, &who, received)?;
            let devices = &shared.trust.devices;
            entered::note_devices(devices, ledger, &who.device, &done.fresh, received)?;
            let touched = done.touched;
            let count = |site: String| {
                let events = ledger.book().site_len(&site);
                (site, events)
            };
            let sites: Vec<_> = touched.into_iter().map(count).collect();
            Ok::<_, Refusal>((answer, sites))
        })
        .await;
    let (answer, sites) = done.ok_or_else(Refusal::fault)??;
    for (site, events) in &sites {
        hub.tell_changed(site, *events);
    }
    Ok(Json(answer))
}

/// Takes the batch that `who` sent; the answer, and the sites that have new entries.
///
/// # Errors
/// As [`post`].
pub fn take(
    ledger: &mut Ledger,
    bytes: &[u8],
    who: &Who,
    received: AtMs,
) -> Answer<(Received, BTreeSet<String>)> {
    let (answer, Taken { touched, .. }) = receive(ledger, bytes, who, received)?;
    Ok((answer, touched))
}

/// The same with all that was received.
fn receive(
    ledger: &mut Ledger,
    bytes: &[u8],
    who: &Who,
    received: AtMs,
) -> Answer<(Received, Taken)> {
    let batch = read(bytes)?;
    let device = batch.stream.device();
    // A paired device writes into its own streams only.
    let own = match who.device.as_str() {
        "" => !device.starts_with(HUBS),
        paired => device == paired,
    };
    if !own {
        let text =
            "This stream belongs to another device. Write these entries into a stream of your own.";
        let refusal = Refusal::new(StatusCode::FORBIDDEN, "other_device", text);
        return Err(refusal.about("device", device));
    }
    let stream = batch.stream.clone();
    let records = batch
        .records()
        .map_err(|e| unreadable(format!("This batch holds what is no record: {e}.")))?;
    let may = |ledger: &Ledger, event: &Event, before: &[Event]| {
        let find = |id: &str| {
            before
                .iter()
                .find(|e| e.id == id)
                .or_else(|| ledger.entry(id))
        };
        entry_role(event, find) <= who.role
    };
    let done = ledger.receive(&stream, &records, received, may)?;
    entered::judge_early(ledger, who.role, &done.fresh, received)?;
    if let Some(seq) = done.receipt.fork {
        tracing::warn!(%stream, seq, "a stream forked: a phone was copied or set back");
    }
    let answer = Received {
        receipt: done.receipt.clone(),
        why: done.why.clone().map(RefusedEntry::from),
    };
    Ok((answer, done))
}

/// Reads a batch; no record of it is looked at yet.
fn read(bytes: &[u8]) -> Answer<Batch> {
    let batch: Batch = serde_json::from_slice(bytes).map_err(|e| {
        unreadable(format!(
            "This is no batch ({e}). Send {{\"stream\": {{\"device\", \"epoch\"}}, \"from\", \"prev\", \"bodies\"}}."
        ))
    })?;
    if batch.bodies.len() > MAX_BATCH {
        let many = batch.bodies.len();
        let text =
            format!("These are {many} records; at most {MAX_BATCH} are taken at once. Send fewer.");
        return Err(unreadable(text).about("bodies", &many.to_string()));
    }
    Ok(batch)
}

fn unreadable(text: String) -> Refusal {
    Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text)
}
