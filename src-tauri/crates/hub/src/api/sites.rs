//! What screens show: the list of sites, a site, a pour, the history of a record.
//!
//! Views are reckoned by the logbook for the hub's present instant; nothing is computed
//! here.

use super::{Answer, Refusal, Shared};
use axum::Json;
use axum::extract::{Path, State};
use slowstone_logbook::book::SiteCard;
use slowstone_logbook::view::{Advice, BestHours, Change, PhotosView, PourView, SiteView};

/// `GET /api/sites`.
///
/// # Errors
/// Only by a fault.
pub async fn list(State(hub): Shared) -> Answer<Json<Vec<SiteCard>>> {
    let sites = hub.with_ledger(|ledger| ledger.sites()).await;
    sites.map(Json).ok_or_else(Refusal::fault)
}

/// `GET /api/sites/{site}`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn one(State(hub): Shared, Path(site): Path<String>) -> Answer<Json<SiteView>> {
    let (now, id) = (hub.now(), site.clone());
    let view = hub
        .with_site(&site, move |book| book.site_view(&id, now))
        .await
        .ok_or_else(Refusal::fault)?;
    view.map(Json)
        .ok_or_else(|| Refusal::missing("site", &site))
}

/// `GET /api/sites/{site}/photos`: photos by step and stage.
///
/// # Errors
/// 404 if there is no such site.
pub async fn photos(State(hub): Shared, Path(site): Path<String>) -> Answer<Json<PhotosView>> {
    let (now, id) = (hub.now(), site.clone());
    let view = hub
        .with_site(&site, move |book| book.photos_view(&id, now))
        .await
        .ok_or_else(Refusal::fault)?;
    view.map(Json)
        .ok_or_else(|| Refusal::missing("site", &site))
}

/// `GET /api/sites/{site}/pours/{pour}`.
///
/// # Errors
/// 404 if there is no such pour on this site.
pub async fn pour(
    State(hub): Shared,
    Path((site, pour)): Path<(String, String)>,
) -> Answer<Json<PourView>> {
    let (now, of, id) = (hub.now(), site.clone(), pour.clone());
    let view = hub
        .with_site(&site, move |book| book.pour_view(&of, &id, now))
        .await
        .ok_or_else(Refusal::fault)?;
    view.map(Json)
        .ok_or_else(|| Refusal::missing("pour", &pour))
}

/// `GET /api/sites/{site}/pours/{pour}/advice`: how to handle it and what protects it.
///
/// # Errors
/// 404 if there is no such pour on this site, or no prediction of it.
pub async fn advice(
    State(hub): Shared,
    Path((site, pour)): Path<(String, String)>,
) -> Answer<Json<Advice>> {
    let (now, of, id) = (hub.now(), site.clone(), pour.clone());
    let advice = hub
        .with_site(&site, move |book| book.advice(&of, &id, now))
        .await
        .ok_or_else(Refusal::fault)?;
    advice
        .map(Json)
        .ok_or_else(|| Refusal::missing("prediction of a pour", &pour))
}

/// `GET /api/sites/{site}/best-hours/{date}`: hours to pour the next step, best first.
///
/// # Errors
/// 404 if there is no such site or day.
pub async fn best_hours(
    State(hub): Shared,
    Path((site, date)): Path<(String, String)>,
) -> Answer<Json<BestHours>> {
    let (now, of, day) = (hub.now(), site.clone(), date.clone());
    let hours = hub
        .with_site(&site, move |book| book.best_hours(&of, &day, now))
        .await
        .ok_or_else(Refusal::fault)?;
    hours
        .map(Json)
        .ok_or_else(|| Refusal::missing("day of a site", &date))
}

/// `GET /api/sites/{site}/history/{record}`.
///
/// # Errors
/// 404 if there is no such record on this site.
pub async fn history(
    State(hub): Shared,
    Path((site, record)): Path<(String, String)>,
) -> Answer<Json<Vec<Change>>> {
    let id = record.clone();
    let changes = hub
        .with_ledger(move |ledger| ledger.book().history(&site, &id))
        .await
        .ok_or_else(Refusal::fault)?;
    if changes.is_empty() {
        return Err(Refusal::missing("entry", &record));
    }
    Ok(Json(changes))
}
