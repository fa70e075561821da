//! Addresses and what answers them. The guard ([`crate::guard`]) stands before all of
//! them; what an address does is in [`crate::api`], and what is no address of the API is
//! the web app ([`crate::assets`]).

use crate::api::{
    self, colours, devices, events, forecast, handover, hourly, import, lan, me, pair, photos,
    pictures, plan, push, reminders, search, sites, streams, uploads, watch,
};
use crate::guard::Gate;
use crate::listeners::tell_known;
use crate::state::Hub;
use crate::trust::Door;
use crate::{assets, guard, openapi};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, from_fn_with_state, map_response};
use axum::routing::{get, post, put};
use std::sync::Arc;
use tower_http::compression::CompressionLayer;

/// The whole HTTP interface of a hub as it is at one door. Whom each address is for stands in
/// [`guard::rules`].
pub fn router(hub: Arc<Hub>, door: Door) -> Router {
    let gate = Gate {
        hub: Arc::clone(&hub),
        door,
    };
    let interface = Router::new()
        .route("/openapi.json", get(openapi::get))
        .route("/health", get(api::health))
        .route("/hub", get(events::hub))
        .route("/events", post(events::post))
        .route("/import", post(import::post))
        .route("/streams", get(streams::heads).post(streams::post))
        .route("/sites", get(sites::list))
        .route("/sites/{site}", get(sites::one))
        .route("/sites/{site}/pours/{pour}", get(sites::pour))
        .route("/sites/{site}/pours/{pour}/advice", get(sites::advice))
        .route("/sites/{site}/best-hours/{date}", get(sites::best_hours))
        .route("/sites/{site}/table", post(hourly::look))
        .route("/sites/{site}/hourly", post(hourly::post))
        .route("/sites/{site}/history/{record}", get(sites::history))
        .route("/sites/{site}/plan", get(plan::one))
        .route("/sites/{site}/plan/list.csv", get(plan::csv))
        .route("/sites/{site}/plan/schedule", get(plan::schedule))
        .route("/sites/{site}/plan/drawing/{flight}", get(plan::drawing))
        .route("/sites/{site}/plan/checks", get(plan::checks))
        .route("/sites/{site}/plan/proposals", get(plan::proposals))
        .route("/sites/{site}/events", get(events::after))
        .route(
            "/sites/{site}/photos",
            get(sites::photos).post(photos::post),
        )
        .route("/sites/{site}/colours", get(colours::one))
        .route("/sites/{site}/dose", get(colours::dose))
        .route(
            "/sites/{site}/photos/{photo}/colour",
            post(colours::measure),
        )
        .route(
            "/sites/{site}/photos/{photo}/patches",
            get(colours::patches),
        )
        .route("/sites/{site}/handover", get(handover::sizes))
        .route("/sites/{site}/record.html", get(handover::html))
        .route("/sites/{site}/record.pdf", get(handover::pdf))
        .route("/sites/{site}/record.csv.zip", get(handover::csv))
        .route("/sites/{site}/record.jsonl", get(handover::jsonl))
        .route("/sites/{site}/record.zip", get(handover::copy))
        .route("/sites/{site}/photos.zip", get(handover::photos))
        .route("/search", get(search::search))
        .route("/uploads/{id}", get(uploads::have).put(uploads::put))
        .route("/photos", get(pictures::list))
        .route("/photos/{hash}", get(pictures::one))
        .route("/watch", get(watch::watch))
        .route("/me", get(me::me))
        .route("/lan", get(lan::get).put(lan::put))
        .route("/lan/certificate", get(lan::certificate))
        .route(
            "/pairing",
            get(pair::stage).post(pair::open).delete(pair::close),
        )
        .route("/pairing/answer", post(pair::answer))
        .route("/pair", post(pair::ask))
        .route("/pair/take", post(pair::take))
        .route("/devices", get(devices::list))
        .route(
            "/devices/{id}",
            put(devices::change).delete(devices::revoke),
        )
        .route(
            "/push",
            get(push::key).post(push::post).delete(push::delete),
        )
        .route(
            "/settings/reminders",
            get(reminders::get).put(reminders::put),
        )
        .route("/settings/reminders/test", post(reminders::test))
        .route(
            "/settings/reminders/calendar",
            post(reminders::renew_calendar).delete(reminders::end_calendar),
        )
        .route("/settings/weather", get(forecast::get).put(forecast::put))
        .route("/settings/weather/fetch", post(forecast::fetch))
        .fallback(api::unknown)
        .method_not_allowed_fallback(api::wrong_method)
        .layer(map_response(api::in_words));
    // Only the app's own files, which hold no secret: what is compressed beside something
    // that a stranger may choose can be guessed from its length.
    let pages = Router::new()
        .fallback(assets::serve)
        .layer(CompressionLayer::new());
    let mut whole = Router::new();
    if door != Door::Guest {
        // Its address is its secret, so it is given out over no line that others can read.
        whole = whole.merge(calendar());
    }
    whole
        .nest("/api", interface)
        .fallback_service(pages)
        // Limits are set where bodies are read, with an answer in words.
        .layer(DefaultBodyLimit::disable())
        .layer(from_fn(tell_known))
        .layer(from_fn_with_state(gate, guard::check))
        .with_state(hub)
}

/// The calendar stands outside of what the guard asks a key for: its address holds one.
fn calendar() -> Router<Arc<Hub>> {
    let at = "/calendar/{secret}";
    Router::new().route(at, get(reminders::ics))
}
