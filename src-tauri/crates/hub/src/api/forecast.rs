//! Settings of the fetched forecast, for keepers, and fetching at once.
//!
//! What is sent where, and what becomes of the answer: [`crate::forecast`].

use super::devices::read;
use super::{Answer, Refusal, Shared};
use crate::forecast::{self, EVERY, KEY, STATUS, Settings, Status};
use crate::ledger::Ledger;
use crate::state::Hub;
use axum::Json;
use axum::extract::{Request, State};
use schemars::JsonSchema;
use serde::Serialize;
use slowstone_curing::units::AtMs;
use slowstone_store::StoreError;
use std::sync::Arc;

/// What is chosen, and how the last fetches went.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WeatherSettings {
    settings: Settings,
    sites: Vec<SiteForecast>,
    now_ms: AtMs,
}

/// The forecast of one site.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SiteForecast {
    id: String,
    /// Name of the site.
    name: String,
    status: Status,
    /// Two turns late.
    old: bool,
}

async fn seen(hub: &Arc<Hub>) -> Answer<Json<WeatherSettings>> {
    let now = hub.now();
    let work = move |ledger: &mut Ledger| -> Result<WeatherSettings, StoreError> {
        let settings = Settings::read(ledger.setting(KEY)?.as_deref());
        let mut sites = Vec::new();
        for card in ledger.sites() {
            let text = ledger.setting(&format!("{STATUS}{}", card.id))?;
            let status: Status = text
                .and_then(|t| serde_json::from_str(&t).ok())
                .unwrap_or_default();
            // Two turns late: what is there is old.
            let old = status.came_ms > 0 && now.0 - status.came_ms > 2 * EVERY;
            let (name, _) = crate::remind::site_of(ledger, &card.id);
            sites.push(SiteForecast {
                id: card.id,
                name,
                status,
                old,
            });
        }
        Ok(WeatherSettings {
            settings,
            sites,
            now_ms: now,
        })
    };
    let all = hub.with_ledger(work).await.ok_or_else(Refusal::fault)??;
    Ok(Json(all))
}

/// `GET /api/settings/weather`: what is chosen, and how the last fetches went.
///
/// # Errors
/// What the store says.
pub async fn get(State(hub): Shared) -> Answer<Json<WeatherSettings>> {
    seen(&hub).await
}

/// `PUT /api/settings/weather`.
///
/// # Errors
/// 422 for what cannot be, with the field.
pub async fn put(State(hub): Shared, request: Request) -> Answer<Json<WeatherSettings>> {
    let settings: Settings = read(request).await?;
    settings
        .check()
        .map_err(|no| Refusal::misfit("setting", no))?;
    let kept = hub
        .with_ledger(move |l| l.remember_as(KEY, &settings))
        .await;
    kept.ok_or_else(Refusal::fault)??;
    seen(&hub).await
}

/// `POST /api/settings/weather/fetch`: fetches for every place at once, if it is switched on.
///
/// # Errors
/// What the store says.
pub async fn fetch(State(hub): Shared) -> Answer<Json<WeatherSettings>> {
    let text = hub
        .with_ledger(|l| l.setting(KEY))
        .await
        .ok_or_else(Refusal::fault)??;
    let settings = Settings::read(text.as_deref());
    for (site, place) in settings.places.iter().filter(|_| settings.on) {
        forecast::fetch(&hub, site, &settings.address, *place).await;
    }
    seen(&hub).await
}
