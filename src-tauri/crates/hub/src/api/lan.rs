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
use serde::{Deserialize, Serialize};
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::MisfitCode;
use std::net::SocketAddr;

/// How the doors to the network are.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Lan {
    /// Whether the network door should be open.
    on: bool,
    /// Where.
    at: SocketAddr,
    /// Whether guests may read over plain HTTP.
    guest: bool,
    /// Whether it is open.
    open: bool,
    /// Why it is not, although it should be.
    trouble: Option<String>,
    /// The certificate that phones are shown.
    certificate: Option<LanCertificate>,
    /// Where paired phones find the hub, best first.
    addresses: Vec<String>,
    /// Fingerprint of the certificate, in pairs.
    fingerprint: Option<String>,
    /// Whether the certificate is of the hub's own authority.
    local_authority: bool,
    /// Where a phone fetches that authority's certificate.
    certificate_page: Option<String>,
    /// Where guests read.
    guest_address: Option<String>,
}

/// A certificate, as people are told of it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LanCertificate {
    until_ms: i64,
    authority_until_ms: Option<i64>,
    warning: Option<LanWarning>,
}

/// What is wrong with a certificate, or soon will be.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LanWarning {
    /// For programs.
    code: &'static str,
    /// The day or the reason that it names.
    value: String,
    /// In English.
    text: String,
}

fn seen(hub: &Hub) -> Lan {
    let (wish, seen) = (hub.trust.lan.wish(), hub.trust.lan.seen());
    let first = seen.own.written().next();
    let plain = seen
        .plain
        .zip(first)
        .map(|(port, host)| format!("http://{host}:{port}"));
    let certificate = seen.certificate.as_ref().map(|c| LanCertificate {
        until_ms: c.until_ms,
        authority_until_ms: c.authority_until_ms,
        warning: c.warning.as_ref().map(|w| {
            let (code, value) = w.code();
            let text = w.to_string();
            LanWarning { code, value, text }
        }),
    });
    Lan {
        on: wish.on,
        at: wish.at,
        guest: wish.guest,
        open: seen.port.is_some(),
        trouble: seen.trouble.clone(),
        certificate,
        addresses: seen.addresses(),
        fingerprint: seen.print.map(|p| pairs(&p)),
        local_authority: seen.authority.is_some(),
        certificate_page: plain
            .as_ref()
            .filter(|_| seen.authority.is_some())
            .map(|p| format!("{p}{PAGE}")),
        guest_address: plain.filter(|_| wish.guest),
    }
}

/// `GET /api/lan`: how the doors are.
pub async fn get(State(hub): Shared) -> Json<Lan> {
    Json(seen(&hub))
}

/// What may be chosen; what is not named stays.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "LanChosen")]
pub struct Chosen {
    on: Option<bool>,
    at: Option<String>,
    guest: Option<bool>,
}

/// `PUT /api/lan`: opens and closes the doors at once, and from now on at every start.
///
/// # Errors
/// 422 for an address that is none; what the store says.
pub async fn put(State(hub): Shared, request: Request) -> Answer<Json<Lan>> {
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
