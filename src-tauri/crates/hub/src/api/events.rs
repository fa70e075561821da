//! Logging: entries in, ids out.
//!
//! Sending the same entry again is always safe. One that cannot be is refused by itself
//! and the others are stored, all in one transaction.

use super::{Answer, Refusal, Shared, body};
use axum::Json;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde_json::{Value, json};

/// Most bytes of one call: some hundred full entries.
const MOST: usize = 8 << 20;

/// Most entries of one call.
const MOST_EVENTS: usize = 5000;

/// `POST /api/events`: 200 when everything was taken, 422 when something was refused.
///
/// # Errors
/// 400 when it is not the JSON that is asked for, 507 when the disk is full.
pub async fn post(State(hub): Shared, request: Request) -> Answer<Response> {
    let bytes = body(request, MOST).await?;
    let entries = entries(&bytes)?;
    let received = hub.now();
    let done = hub
        .with_ledger(move |ledger| {
            let taken = ledger.take(&entries, received)?;
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
    let status = if taken.refused.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let answer = json!({ "taken": taken.taken, "refused": taken.refused });
    Ok((status, Json(answer)).into_response())
}

fn entries(bytes: &[u8]) -> Answer<Vec<Value>> {
    let refuse = |text: String| Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text);
    let sent: Value = serde_json::from_slice(bytes).map_err(|e| {
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
