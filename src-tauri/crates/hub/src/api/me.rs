//! `GET /api/me`: who asks, as the hub sees it, so that a page offers only what will be taken.
//!
//! What a role may do is decided in [`crate::guard::rules`], not here and not by the page.

use super::Shared;
use crate::trust::Who;
use axum::extract::State;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::Serialize;

/// Who asks.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Me {
    #[serde(flatten)]
    who: Who,
    /// Whether the hub lets guests read over plain HTTP: everybody is told.
    guests: bool,
}

/// `GET /api/me`.
pub async fn me(State(hub): Shared, Extension(who): Extension<Who>) -> Json<Me> {
    let guests = hub.trust.lan.wish().guest;
    Json(Me { who, guests })
}
