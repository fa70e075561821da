//! Logging: entries in, ids out; and out again, for phones that keep them.
//!
//! Sending the same entry again is always safe. One that cannot be is refused by itself
//! and the others are stored, all in one transaction.

use super::photos::odd_query;
use super::streams::Whose;
use super::{Answer, Refusal, RefusedEntry, Shared, body};
use crate::caller::{Role, Who};
use crate::entered;
use crate::guard::beyond;
use crate::guard::rules::entry_role;
use crate::ledger::{Origin, Taken};
use crate::state::Hub;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_logbook::event::MAX_DEPTH;
use slowstone_sync::Head;
use std::sync::Arc;

/// Most bytes of one call: some hundred full entries.
const MOST: usize = 8 << 20;

/// Most entries of one call.
const MOST_EVENTS: usize = 5000;

/// Entries that are to be logged, as they are sent. They are read one by one, so that one that
/// cannot be does not keep the others out.
#[derive(Debug, JsonSchema)]
pub struct Sent {
    /// At most 5000.
    #[schemars(length(max = 5000))]
    #[allow(dead_code, reason = "describes what `entries` reads")]
    events: Vec<Value>,
}

/// What became of the entries of one call.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Logged {
    /// Ids of those that are stored now or were before, in the order given.
    taken: Vec<String>,
    /// Why others were not.
    refused: Vec<RefusedEntry>,
}

/// `POST /api/events`: 200 when everything was taken, 422 when something was refused.
///
/// # Errors
/// 400 when it is not the JSON that is asked for, 507 when the disk is full.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    request: Request,
) -> Answer<Response> {
    let bytes = body(request, MOST).await?;
    let entries = entries(&bytes)?;
    let taken = take(&hub, &who, Origin::Logged, entries).await?;
    let status = if taken.refused.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let answer = Logged {
        taken: taken.taken,
        refused: taken
            .refused
            .into_iter()
            .map(|(_, why)| why.into())
            .collect(),
    };
    Ok((status, Json(answer)).into_response())
}

/// Stores entries and tells watchers of the sites that they touch. One that asks for more than
/// the role of `who` has all of them refused, so that nothing is taken by half.
///
/// What a keeper passes on from a file stays under the names that it was entered under.
pub(super) async fn take(
    hub: &Arc<Hub>,
    who: &Who,
    origin: Origin,
    entries: Vec<Value>,
) -> Answer<Taken> {
    let received = hub.now();
    let (shared, who) = (Arc::clone(hub), who.clone());
    let done = hub
        .with_ledger(move |ledger| {
            // What cannot be read is refused by itself, and asks for nothing.
            let read: Vec<Event> = entries.iter().filter_map(|e| Event::read(e).ok()).collect();
            let find = |id: &str| {
                read.iter()
                    .find(|e| e.id == id)
                    .or_else(|| ledger.entry(id))
            };
            let asked = read.iter().map(|e| entry_role(e, find));
            if let Some(role) = asked.max().filter(|role| *role > who.role) {
                return Err(beyond(&who, role));
            }
            let taken = ledger.take_from(origin, &entries, received)?;
            if origin == Origin::Logged || who.role < Role::Keeper {
                let devices = &shared.trust.devices;
                entered::note_devices(devices, ledger, &who.device, &taken.fresh, received)?;
            }
            entered::judge_early(ledger, who.role, &taken.fresh, received)?;
            let sites: Vec<(String, usize)> = taken
                .touched
                .iter()
                .map(|site| (site.clone(), ledger.book().site_len(site)))
                .collect();
            Ok::<_, Refusal>((taken, sites))
        })
        .await;
    let (taken, sites) = done.ok_or_else(Refusal::fault)??;
    for (site, events) in &sites {
        hub.tell_changed(site, *events);
    }
    Ok(taken)
}

/// From where on entries are asked for.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct After {
    #[serde(default)]
    after: u64,
}

/// Entries of a site.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "EventsPage")]
pub struct Page {
    /// Name of the hub.
    hub: String,
    /// Which life of its log.
    epoch: String,
    /// The entries, in the hub's order.
    events: Vec<Event>,
    /// Position up to which the log was looked at: ask again after it.
    next: u64,
    /// Whether there is more behind it.
    more: bool,
}

/// `GET /api/sites/{site}/events?after=N`: what a phone keeps to do without the hub.
///
/// Begin with 0 and go on with `next` as long as there is `more`. `hub` and `epoch` say
/// whose order it is: under another epoch (a backup was restored) begin again.
///
/// # Errors
/// 404 if there is no such site.
pub async fn after(
    State(hub): Shared,
    Path(site): Path<String>,
    after: Result<Query<After>, QueryRejection>,
) -> Answer<Json<Page>> {
    let Query(After { after }) = after.map_err(|e| odd_query(&e))?;
    let id = site.clone();
    let page = hub
        .with_ledger(move |ledger| {
            if ledger.book().site_len(&id) == 0 {
                return Ok(None);
            }
            let page = ledger.entries_after(&id, after)?;
            let (name, epoch) = ledger.name();
            Ok::<_, Refusal>(Some(Page {
                hub: name.to_string(),
                epoch: epoch.to_string(),
                events: page.events,
                next: page.next,
                more: page.more,
            }))
        })
        .await;
    let page = page.ok_or_else(Refusal::fault)??;
    page.map(Json)
        .ok_or_else(|| Refusal::missing("site", &site))
}

/// Which hub this is.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HubNow {
    /// Its name.
    hub: String,
    /// Which life of its log: another one after a backup was restored.
    epoch: String,
    /// Its clock.
    now_ms: AtMs,
    version: &'static str,
    /// The name under which the device that asks is paired, if it is: it writes under that.
    device: Option<String>,
    /// The last record of each stream of the device that was asked for.
    heads: Vec<Head>,
}

/// `GET /api/hub?device=D`: which hub this is, what time it has, and how far it has the
/// streams of a device.
///
/// # Errors
/// Only if the log cannot be read.
pub async fn hub(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    whose: Result<Query<Whose>, QueryRejection>,
) -> Answer<Json<HubNow>> {
    let Query(whose) = whose.map_err(|e| odd_query(&e))?;
    let now = hub.now();
    // The name under which this device is paired, if it is: it writes under that from now on.
    let device = Some(who.device).filter(|device| !device.is_empty());
    let said = hub.with_ledger(move |ledger| {
        let heads = ledger.heads_of(&whose.device)?;
        let (name, epoch) = ledger.name();
        Ok::<_, Refusal>(HubNow {
            hub: name.to_string(),
            epoch: epoch.to_string(),
            now_ms: now,
            version: env!("CARGO_PKG_VERSION"),
            device,
            heads,
        })
    });
    said.await.ok_or_else(Refusal::fault)?.map(Json)
}

fn entries(bytes: &[u8]) -> Answer<Vec<Value>> {
    let refuse = |text: String| Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text);
    let sent: Value = serde_json::from_slice(bytes).map_err(|e| {
        if e.to_string().starts_with("recursion limit") {
            return refuse(format!(
                "These entries hold lists within lists without end ({e}). At most {MAX_DEPTH} levels are taken; write them flatter."
            ));
        }
        refuse(format!(
            "This is not JSON ({e}). Send {{\"events\": [...]}}."
        ))
    })?;
    match sent {
        Value::Object(mut map) => match map.remove("events") {
            Some(Value::Array(entries)) if entries.len() <= MOST_EVENTS => Ok(entries),
            Some(Value::Array(entries)) => Err(refuse(format!(
                "These are {} entries; at most {MOST_EVENTS} are taken at once. Send them in parts.",
                entries.len()
            ))
            .about("events", &entries.len().to_string())),
            Some(other) => Err(refuse("events must be a list of entries.".to_owned())
                .about("events", &other.to_string())),
            None => Err(refuse("events is missing. Send {\"events\": [...]}.".to_owned())
                .about("events", "not given")),
        },
        _ => Err(refuse("Send an object: {\"events\": [...]}.".to_owned())),
    }
}
