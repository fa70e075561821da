//! The plan of a site: its view, proposals for a bank, the shopping list as a table, the
//! order of work, section and plan of a flight, the checks before a pour.
//!
//! Everything is reckoned by `slowstone_logbook::plan`; here addresses are read.

use super::photos::odd_query;
use super::{Answer, Refusal, Shared, languages};
use crate::leaves::Leaves;
use crate::state::Hub;
use crate::words::Words;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::Deserialize;
use slowstone_curing::units::{AtMs, Metres};
use slowstone_logbook::facts::Units;
use slowstone_logbook::limits::{FieldError, LIMITS};
use slowstone_logbook::misfit::Misfit;
use slowstone_logbook::plan::PlanView;
use slowstone_logbook::plan::checks::ChecksView;
use slowstone_logbook::plan::flight::{Bank, Proposal, propose};
use slowstone_logbook::plan::schedule::{Asked, ScheduleView};
use slowstone_logbook::plan::{drawing as draw, shopping};
use std::sync::Arc;

async fn view(hub: &Arc<Hub>, site: String) -> Answer<PlanView> {
    let (now, id) = (hub.now(), site.clone());
    hub.with_site(&site, move |book| book.plan_view(&id, now))
        .await
        .ok_or_else(Refusal::fault)?
        .ok_or_else(|| Refusal::missing("site", &site))
}

async fn units(hub: &Arc<Hub>, site: &str) -> Answer<Units> {
    let (now, of) = (hub.now(), site.to_owned());
    hub.with_site(site, move |book| {
        Some(book.site_view(&of, now)?.site.fact.units)
    })
    .await
    .ok_or_else(Refusal::fault)?
    .ok_or_else(|| Refusal::missing("site", site))
}

/// `GET /api/sites/{site}/plan`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn one(State(hub): Shared, Path(site): Path<String>) -> Answer<Json<PlanView>> {
    view(&hub, site).await.map(Json)
}

/// In which words a table is written.
#[derive(Debug, Deserialize)]
pub struct Spoken {
    /// A language tag; without it the browser's.
    lang: Option<String>,
}

/// `GET /api/sites/{site}/plan/list.csv?lang=`: in the units of the site.
///
/// # Errors
/// 404 if there is no such site.
pub async fn csv(
    State(hub): Shared,
    Path(site): Path<String>,
    spoken: Result<Query<Spoken>, QueryRejection>,
    headers: HeaderMap,
) -> Answer<Response> {
    let Query(spoken) = spoken.map_err(|e| odd_query(&e))?;
    let units = units(&hub, &site).await?;
    let view = view(&hub, site).await?;
    let words = Words::of(&languages(spoken.lang, &headers));
    let headers = [
        (CONTENT_TYPE, "text/csv; charset=utf-8; header=present"),
        (CONTENT_DISPOSITION, "attachment; filename=\"list.csv\""),
    ];
    let table = shopping::csv(&view.list, units, &|key| words.say(key, &[]));
    Ok((Extension(Leaves::MadeWithout), headers, table).into_response())
}

/// What is tried out in the order of work.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Tried {
    step: Option<String>,
    at_ms: Option<AtMs>,
}

/// `GET /api/sites/{site}/plan/schedule?step=&at_ms=`: the order of work, with one step at
/// a time that is tried out.
///
/// # Errors
/// 404 if there is no such site, 422 for a time that cannot be.
pub async fn schedule(
    State(hub): Shared,
    Path(site): Path<String>,
    tried: Result<Query<Tried>, QueryRejection>,
) -> Answer<Json<ScheduleView>> {
    let Query(tried) = tried.map_err(|e| odd_query(&e))?;
    if let Some(at) = tried.at_ms {
        within("at_ms", at.0 as f64)?;
    }
    let asked = tried.step.zip(tried.at_ms);
    let asked = asked.map(|(step, at)| Asked { step, at });
    let (now, id) = (hub.now(), site.clone());
    hub.with_site(&site, move |book| {
        book.schedule_view(&id, now, asked.as_ref())
    })
    .await
    .ok_or_else(Refusal::fault)?
    .map(Json)
    .ok_or_else(|| Refusal::missing("site", &site))
}

/// `GET /api/sites/{site}/plan/drawing/{flight}`: SVG; the name may end in `.svg`.
///
/// # Errors
/// 404 if there is no such flight, or no step in it.
pub async fn drawing(
    State(hub): Shared,
    Path((site, flight)): Path<(String, String)>,
) -> Answer<Response> {
    let id = flight.strip_suffix(".svg").unwrap_or(&flight);
    let units = units(&hub, &site).await?;
    let plan = view(&hub, site).await?;
    let gap = plan.materials.fact.mesh_gap_mm;
    let found = plan.flights.iter().find(|f| f.flight == id);
    let svg = found.and_then(|f| draw::svg(f, gap, units));
    let svg = svg.ok_or_else(|| Refusal::missing("flight with steps", id))?;
    let headers = [
        (CONTENT_TYPE, "image/svg+xml"),
        (CONTENT_DISPOSITION, "inline; filename=\"flight.svg\""),
    ];
    Ok((Extension(Leaves::MadeWithout), headers, svg).into_response())
}

/// `GET /api/sites/{site}/plan/checks`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn checks(State(hub): Shared, Path(site): Path<String>) -> Answer<Json<ChecksView>> {
    let (now, id) = (hub.now(), site.clone());
    hub.with_site(&site, move |book| book.checks_view(&id, now))
        .await
        .ok_or_else(Refusal::fault)?
        .map(Json)
        .ok_or_else(|| Refusal::missing("site", &site))
}

/// Refuses a number of an address that the log would refuse in an entry.
fn within(field: &str, value: f64) -> Answer<()> {
    match LIMITS.iter().find(|l| l.field == field) {
        Some(l) if !(value >= l.min && value <= l.max) => {
            let why = Misfit::range(l.min, l.max, l.unit);
            let no = FieldError::new(field, &value.to_string(), why);
            Err(Refusal::misfit("range", no))
        }
        _ => Ok(()),
    }
}

/// A bank as it stands in the address.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct AskedBank {
    bank_rise_m: f64,
    bank_run_m: f64,
    overlap_m: f64,
    fall_pct: f64,
}

impl AskedBank {
    /// The bank, within the ranges that the log keeps to as well.
    fn bank(&self) -> Answer<Bank> {
        for (field, value) in [
            ("bank_rise_m", self.bank_rise_m),
            ("bank_run_m", self.bank_run_m),
            ("overlap_m", self.overlap_m),
            ("fall_pct", self.fall_pct),
        ] {
            within(field, value)?;
        }
        Ok(Bank {
            rise: Metres(self.bank_rise_m),
            run: Metres(self.bank_run_m),
            overlap: Metres(self.overlap_m),
            fall_pct: self.fall_pct,
        })
    }
}

/// `GET /api/sites/{site}/plan/proposals?bank_rise_m=&bank_run_m=&overlap_m=&fall_pct=`.
///
/// # Errors
/// 404 if there is no such site, 422 for a bank that cannot be.
pub async fn proposals(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Result<Query<AskedBank>, QueryRejection>,
) -> Answer<Json<Vec<Proposal>>> {
    let Query(asked) = asked.map_err(|e| odd_query(&e))?;
    let bank = asked.bank()?;
    let rules = view(&hub, site).await?.rules;
    Ok(Json(propose(&bank, &rules.fact)))
}
