//! The switch of the network door, and what the keeper's screen shows about it.
//!
//! No file is named by a client: certificate files of one's own are named when the hub is
//! started ([`crate::cli`]). How doors open: [`crate::trust::lan`].

use super::devices::read;
use super::{Answer, Refusal, Shared};
use crate::state::Hub;
use crate::trust::handout::{PAGE, certificate as give, pairs};
use crate::trust::keeping;
use crate::trust::lan::Wish;
use axum::Json;
use axum::extract::{Request, State};
use axum::response::Response;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::{Value, json};
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::MisfitCode;
use std::net::SocketAddr;

fn seen(hub: &Hub) -> Value {
    let (wish, seen) = (hub.trust.lan.wish(), hub.trust.lan.seen());
    let first = seen.own.written().next();
    let plain = seen
        .plain
        .zip(first)
        .map(|(port, host)| format!("http://{host}:{port}"));
    json!({
        "on": wish.on,
        "at": wish.at,
        "guest": wish.guest,
        "open": seen.port.is_some(),
        "trouble": seen.trouble,
        "certificate": seen.certificate.as_ref().map(|c| json!({
            "until_ms": c.until_ms,
            "authority_until_ms": c.authority_until_ms,
            "warning": c.warning.as_ref().map(|w| {
                let (code, value) = w.code();
                json!({ "code": code, "value": value, "text": w.to_string() })
            }),
        })),
        "addresses": seen.addresses(),
        "fingerprint": seen.print.map(|p| pairs(&p)),
        "local_authority": seen.authority.is_some(),
        "certificate_page": plain.as_ref().filter(|_| seen.authority.is_some()).map(|p| format!("{p}{PAGE}")),
        "guest_address": plain.filter(|_| wish.guest),
    })
}

/// `GET /api/lan`: how the doors are.
pub async fn get(State(hub): Shared) -> Json<Value> {
    Json(seen(&hub))
}

/// What may be chosen; what is not named stays.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Chosen {
    on: Option<bool>,
    at: Option<String>,
    guest: Option<bool>,
}

/// `PUT /api/lan`: opens and closes the doors at once, and from now on at every start.
///
/// # Errors
/// 422 for an address that is none; what the store says.
pub async fn put(State(hub): Shared, request: Request) -> Answer<Json<Value>> {
    let chosen: Chosen = read(request).await?;
    let before = hub.trust.lan.wish();
    let at = match chosen.at {
        None => before.at,
        Some(text) => text.parse::<SocketAddr>().map_err(|_| {
            Refusal::misfit("at", FieldError::new("at", &text, MisfitCode::NotASocket))
        })?,
    };
    let wish = Wish {
        on: chosen.on.unwrap_or(before.on),
        at,
        guest: chosen.guest.unwrap_or(before.guest),
    };
    match keeping::change(&hub, wish).await {
        Ok(()) => Ok(Json(seen(&hub))),
        Err(Some(e)) => Err(e.into()),
        Err(None) => Err(Refusal::fault()),
    }
}

/// `GET /api/lan/certificate`: the local authority's certificate as a file, to carry it to a
/// phone by another way than the network. Its key is given to nobody.
///
/// # Errors
/// 404 while the door was never open, or with certificate files of one's own.
pub async fn certificate(State(hub): Shared) -> Answer<Response> {
    let der = hub.trust.lan.seen().authority;
    der.map(give)
        .ok_or_else(|| Refusal::missing("certificate", ""))
}
