//! The router, made from the list of routes ([`crate::api::routes`]). The guard
//! ([`crate::guard`]) stands before all of them, and what is no address of the interface is
//! the web app ([`crate::assets`]).

use crate::api::routes::ROUTES;
use crate::api::{self, reminders};
use crate::guard::Gate;
use crate::listeners::tell_known;
use crate::state::Hub;
use crate::trust::Door;
use crate::{assets, guard};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, from_fn_with_state, map_response};
use axum::routing::get;
use std::sync::Arc;
use tower_http::compression::CompressionLayer;

/// The whole HTTP interface of a hub as it is at one door.
pub fn router(hub: Arc<Hub>, door: Door) -> Router {
    let gate = Gate {
        hub: Arc::clone(&hub),
        door,
        routes: ROUTES,
    };
    let mut interface = Router::new();
    for route in ROUTES {
        // Behind `/api`, where the router is nested below.
        let path = route.path.strip_prefix("/api").unwrap_or(route.path);
        interface = interface.route(path, (route.handler)(route.method.filter()));
    }
    let interface = interface
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
