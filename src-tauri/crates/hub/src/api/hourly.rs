//! `POST /api/sites/{site}/hourly`: a table of hourly air becomes entries of the log.
//!
//! The file is read by [`crate::hourly`]. Sending the same table again changes nothing:
//! each part's id is made from what it holds.

use super::photos::odd_query;
use super::{Answer, Refusal, Shared, body};
use crate::state::Hub;
use crate::trust::Who;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::{Value, json};
use slowstone_logbook::facts::HourlyRow;
use std::sync::Arc;

/// Most bytes of a table: a year of hours in long lines.
const MOST: usize = 4 << 20;
/// Rows in one entry, as the log takes them.
const PART: usize = 400;

/// Who sends which table.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Sent {
    by: String,
    name: String,
}

/// Takes a table in. Answers how many hours are in the log now, and what could not be read.
///
/// # Errors
/// 404 for an unknown site, 413 for a table that is too long, 422 for one that cannot be
/// read.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(site): Path<String>,
    sent: Result<Query<Sent>, QueryRejection>,
    request: Request,
) -> Answer<Json<Value>> {
    let Query(sent) = sent.map_err(|e| odd_query(&e))?;
    let bytes = body(request, MOST).await?;
    let zone = crate::intake::zone_of(&hub, &site).await?;
    let table = crate::hourly::read(&bytes, zone)
        .map_err(|why| Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "no_table", why))?;
    let source: String = sent
        .name
        .chars()
        .filter(|c| !c.is_control())
        .take(200)
        .collect();
    store(&hub, &who, &site, &sent.by, &source, &table.rows).await?;
    Ok(Json(json!({
        "hours": table.rows.len(),
        "odd_rows": table.odd_rows,
        "odd": table.odd,
    })))
}

/// Enters hourly air into the log of a site. What is there already is not entered again.
///
/// # Errors
/// 422 when the log refuses it.
pub(crate) async fn store(
    hub: &Arc<Hub>,
    who: &Who,
    site: &str,
    by: &str,
    source: &str,
    rows: &[HourlyRow],
) -> Answer<()> {
    let now = hub.now();
    let parts: Vec<(String, Value)> = rows
        .chunks(PART)
        .map(|rows| {
            let held = serde_json::to_string(rows).unwrap_or_default();
            let id = blake3::hash(format!("{site}\n{held}").as_bytes()).to_hex();
            let id: String = id.chars().take(32).collect();
            let event = json!({"id": id, "site": site, "by": by, "at_ms": now, "kind": "hourly",
                "body": {"source": source, "rows": rows}});
            (id, event)
        })
        .collect();
    let fresh = hub
        .with_ledger(move |ledger| {
            let book = ledger.book();
            let new = parts.into_iter().filter(|(id, _)| book.get(id).is_none());
            new.map(|(_, event)| event).collect::<Vec<Value>>()
        })
        .await
        .ok_or_else(Refusal::fault)?;
    let taken = super::events::take(hub, who, fresh).await?;
    match taken.refused.into_iter().next() {
        Some(no) => Err(Refusal::misfit("entry", no)),
        None => Ok(()),
    }
}
