//! Tables of loggers: `POST /api/sites/{site}/table` says what is in a file, and
//! `POST /api/sites/{site}/hourly` takes it in by columns that a person confirmed.
//!
//! Reading is [`slowstone_logbook::logger`], the same on a phone. Nothing is taken by a guess:
//! without `columns` there is a refusal. Sending the same table again changes nothing: each
//! part's id is made from what it holds.

use super::photos::odd_query;
use super::{Answer, Refusal, Shared, body};
use crate::ledger::Origin;
use crate::state::Hub;
use crate::trust::Who;
use crate::zones::Iana;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use slowstone_logbook::facts::HourlyRow;
use slowstone_logbook::logger::{self, Columns, NoTable, OddLine, Preview, Taken};
use std::sync::Arc;

/// Rows in one entry, as the log takes them.
const PART: usize = 400;

/// Who sends which table, and what its columns are.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Sent {
    by: String,
    name: String,
    /// What each column is, as JSON (`Columns`): the `guess` of the preview as it was
    /// confirmed.
    columns: Option<String>,
    /// The pour in whose concrete the probes were.
    pour: Option<String>,
}

fn refuse(why: NoTable) -> Refusal {
    let (code, text) = match why {
        NoTable::TooLong => (
            "table_long",
            "This file is longer than 8 MB. Cut it to the months that matter.",
        ),
        NoTable::TooManyRows => (
            "table_long",
            "This table is longer than a year of hours. Cut it to the months that matter.",
        ),
        NoTable::NoRows => (
            "no_table",
            "No row with a time and a number was found. A table has one line for each time, its cells parted by comma, semicolon or tab.",
        ),
        NoTable::OrderNeeded => (
            "table_order",
            "Say how dates are written: `order` is ymd, dmy, mdy, seconds or millis.",
        ),
        NoTable::ColumnsNeeded => (
            "table_columns",
            "Say what the columns are: each once, none of them the time, and at least one.",
        ),
        NoTable::WrongUnit => (
            "table_columns",
            "A unit does not belong to what its column measures.",
        ),
        NoTable::NothingRead => (
            "no_table",
            "Not one line could be read so. Check the order of the date, the decimals and the columns.",
        ),
    };
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, code, text)
}

/// Says what is in a file. Nothing is kept.
///
/// # Errors
/// 404 for an unknown site, 413 for a file that is too long, 422 for one that is no table.
pub async fn look(
    State(hub): Shared,
    Path(site): Path<String>,
    request: Request,
) -> Answer<Json<Preview>> {
    let bytes = body(request, logger::MOST_BYTES).await?;
    crate::intake::zone_of(&hub, &site).await?;
    logger::look(&bytes).map(Json).map_err(refuse)
}

/// Takes a table in. Answers what was taken of it and what could not be read.
///
/// # Errors
/// 404 for an unknown site, 413 for a table that is too long, 422 for one that cannot be
/// read, or without `columns`.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(site): Path<String>,
    sent: Result<Query<Sent>, QueryRejection>,
    request: Request,
) -> Answer<Json<TableTaken>> {
    let Query(sent) = sent.map_err(|e| odd_query(&e))?;
    let bytes = body(request, logger::MOST_BYTES).await?;
    let zone = crate::intake::zone_of(&hub, &site).await?;
    let columns = sent
        .columns
        .as_deref()
        .ok_or_else(|| refuse(NoTable::ColumnsNeeded))?;
    let columns: Columns = serde_json::from_str(columns).map_err(|e| {
        let text = format!("`columns` cannot be read: {e}.");
        Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "table_columns", text)
    })?;
    let taken = logger::take(&bytes, &columns, &Iana, zone.name()).map_err(refuse)?;
    let source: String = sent
        .name
        .chars()
        .filter(|c| !c.is_control())
        .take(200)
        .collect();
    store(
        &hub,
        &who,
        &site,
        &sent.by,
        taken.bodies(&source, sent.pour.as_deref()),
    )
    .await?;
    Ok(Json(taken.into()))
}

/// What was taken of a table.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TableTaken {
    /// Rows of air, rain and wind.
    air: usize,
    /// Rows of concrete, of all probes together.
    concrete: usize,
    /// Rows of the file that were read.
    read: u32,
    /// Values closer than this many minutes were drawn together; none: all stand as they were.
    together_min: Option<u32>,
    /// The first of the lines that could not be read.
    odd: Vec<OddLine>,
    /// How many could not be read.
    odd_count: u32,
}

impl From<Taken> for TableTaken {
    fn from(taken: Taken) -> Self {
        Self {
            air: taken.air.len(),
            concrete: taken.concrete.iter().map(|(_, rows)| rows.len()).sum(),
            read: taken.read,
            together_min: taken.together_min,
            odd: taken.odd,
            odd_count: taken.odd_count,
        }
    }
}

/// Enters hourly air into the log of a site.
///
/// # Errors
/// 422 when the log refuses it.
pub(crate) async fn store_rows(
    hub: &Arc<Hub>,
    who: &Who,
    site: &str,
    by: &str,
    source: &str,
    rows: &[HourlyRow],
) -> Answer<()> {
    let bodies = rows
        .chunks(PART)
        .map(|rows| json!({"source": source, "rows": rows}));
    store(hub, who, site, by, bodies.collect()).await
}

/// Enters bodies of the kind `hourly`. What is there already is not entered again.
async fn store(hub: &Arc<Hub>, who: &Who, site: &str, by: &str, bodies: Vec<Value>) -> Answer<()> {
    let now = hub.now();
    let parts: Vec<(String, Value)> = bodies
        .into_iter()
        .map(|body| {
            let held = |field: &str| body.get(field).map(Value::to_string).unwrap_or_default();
            // Air alone is named as it always was, so that a table of earlier is known again.
            let concrete = match body.get("pour") {
                Some(pour) => format!("\n{pour}\n{}", held("place")),
                None => String::new(),
            };
            let id =
                blake3::hash(format!("{site}\n{}{concrete}", held("rows")).as_bytes()).to_hex();
            let id: String = id.chars().take(32).collect();
            let event = json!({"id": id, "site": site, "by": by, "at_ms": now, "kind": "hourly",
                "body": body});
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
    let taken = super::events::take(hub, who, Origin::Logged, fresh).await?;
    match taken.refused.into_iter().next() {
        Some((_, no)) => Err(Refusal::misfit("entry", no)),
        None => Ok(()),
    }
}
