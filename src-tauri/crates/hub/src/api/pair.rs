//! Pairing: the keeper's half (`/api/pairing`) and the phone's (`/api/pair`).
//!
//! The steps and the code are in [`crate::trust::pairing`]; here they meet HTTP, the QR code
//! and the limits. The secret stands behind the `#` of the address, which browsers send to
//! nobody.

use super::devices::{admit, name_of, read};
use super::{Answer, Done, Refusal, Shared};
use crate::guard::too_often;
use crate::trust::devices::{Device, cookie, key};
use crate::trust::lan::{self, Peer};
use crate::trust::limits::Act;
use crate::trust::pairing::{Heard, NoOffer, Stage};
use crate::trust::{Door, Role};
use axum::Json;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::StatusCode;
use axum::http::header::SET_COOKIE;
use axum::response::{IntoResponse, Response};
use qrcode::{EcLevel, QrCode, render::svg};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::net::{IpAddr, Ipv4Addr};
use std::time::Instant;

/// Side of a QR code on the screen at least, in CSS pixels.
const QR_SIDE: u32 = 240;

/// Which address the phone shall use; the best one without it.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "PairingWanted")]
pub struct Wanted {
    address: Option<String>,
}

fn qr(text: &str) -> Answer<String> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M);
    let code = code.map_err(|_| Refusal::fault())?;
    let mut image = code.render::<svg::Color<'_>>();
    Ok(image
        .min_dimensions(QR_SIDE, QR_SIDE)
        .quiet_zone(true)
        .build())
}

/// An offer to pair, for the keeper's screen.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "PairingOffer")]
pub struct Offer {
    /// What the phone opens.
    url: String,
    /// The same as a picture (SVG).
    qr: String,
    /// Where the phone fetches the certificate first.
    certificate_page: Option<String>,
    /// The same as a picture.
    certificate_qr: Option<String>,
    /// How long the offer stands, seconds.
    lasts_s: u64,
}

/// How far a pairing is.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "stage", rename_all = "lowercase")]
#[schemars(rename = "PairingStage")]
pub enum Progress {
    /// Nothing goes on.
    None,
    /// The offer stands.
    Open {
        /// For so many seconds.
        left_s: u64,
    },
    /// A phone asks.
    Asked {
        /// For so many seconds.
        left_s: u64,
        /// How it calls itself.
        name: String,
        /// The number that both screens show.
        code: String,
    },
    /// It was let in.
    Done {
        /// As which device.
        name: String,
    },
    /// The keeper said no.
    Refused,
}

/// `POST /api/pairing`: opens an offer.
///
/// # Errors
/// 409 while the network door is closed.
pub async fn open(State(hub): Shared, request: Request) -> Answer<Json<Offer>> {
    let wanted: Wanted = read(request).await?;
    lan::settle(&hub).await;
    let addresses = hub.trust.lan.seen().addresses();
    let chosen = wanted.address.filter(|a| addresses.contains(a));
    let Some(base) = chosen.or_else(|| addresses.into_iter().next()) else {
        let text = "Phones cannot reach the hub now: the network door is closed. Switch it on under Settings, Phones.";
        return Err(Refusal::new(StatusCode::CONFLICT, "closed", text));
    };
    let secret = hub.trust.pairing.open(Instant::now())?;
    lan::settle(&hub).await;
    hub.trust.lan.nudge();
    let seen = hub.trust.lan.seen();
    let url = format!("{base}/pair#{secret}.{}", seen.print_text());
    let host = base
        .rsplit_once(':')
        .map_or(base.as_str(), |(host, _)| host);
    let host = host.strip_prefix("https").unwrap_or(host);
    let page = seen.plain.filter(|_| seen.authority.is_some());
    let page = page.map(|port| format!("http{host}:{port}{}", crate::trust::handout::PAGE));
    Ok(Json(Offer {
        qr: qr(&url)?,
        url,
        certificate_qr: page.as_deref().map(qr).transpose()?,
        certificate_page: page,
        lasts_s: hub
            .trust
            .pairing
            .left(Instant::now())
            .map_or(0, |left| left.as_secs()),
    }))
}

/// `GET /api/pairing`: how far it is.
pub async fn stage(State(hub): Shared) -> Json<Progress> {
    let now = Instant::now();
    let left = hub.trust.pairing.left(now).map_or(0, |left| left.as_secs());
    Json(match hub.trust.pairing.stage(now) {
        Stage::None => Progress::None,
        Stage::Open => Progress::Open { left_s: left },
        Stage::Asked { name, code } => Progress::Asked {
            left_s: left,
            name,
            code,
        },
        Stage::Done { name } => Progress::Done { name },
        Stage::Refused => Progress::Refused,
    })
}

/// `DELETE /api/pairing`: ends the offer.
pub async fn close(State(hub): Shared) -> Json<Done> {
    hub.trust.pairing.close();
    lan::settle(&hub).await;
    Done::json()
}

/// The keeper's answer: for which code, and which role; none is a no.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "PairingAnswer")]
pub struct Said {
    code: String,
    role: Option<Role>,
}

/// `POST /api/pairing/answer`.
///
/// # Errors
/// 409 if no phone asks with this code.
pub async fn answer(State(hub): Shared, request: Request) -> Answer<Json<Done>> {
    let said: Said = read(request).await?;
    let now = Instant::now();
    let nobody = || {
        let text = "No phone asks with this code now. Look at the phone: if its code is another one, press \"Not the same\"; else begin again.";
        Refusal::new(StatusCode::CONFLICT, "code", text)
    };
    let name = hub
        .trust
        .pairing
        .asking(&said.code, now)
        .ok_or_else(nobody)?;
    let Some(role) = said.role else {
        hub.trust.pairing.answer(&said.code, None, now);
        return Ok(Done::json());
    };
    let fresh = Device::fresh(&name, role, Door::Lan, hub.now())?;
    let id = fresh.device.id.clone();
    admit(&hub, fresh.device).await?;
    if !hub
        .trust
        .pairing
        .answer(&said.code, Some((fresh.key, role)), Instant::now())
    {
        // Somebody else answered in this moment: the key was given to nobody.
        let shared = std::sync::Arc::clone(&hub);
        let gone = hub.with_ledger(move |ledger| {
            shared.trust.devices.forget(&id);
            ledger.forget(&key(&id))
        });
        gone.await.ok_or_else(Refusal::fault)??;
        return Err(nobody());
    }
    tracing::info!(device = %id, ?role, "paired");
    Ok(Done::json())
}

/// What a phone asks with.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "PairAsk")]
pub struct Ask {
    secret: String,
    name: String,
    nonce: String,
}

fn from(request: &Request) -> IpAddr {
    let peer = request.extensions().get::<ConnectInfo<Peer>>();
    peer.map_or(IpAddr::V4(Ipv4Addr::LOCALHOST), |ConnectInfo(peer)| {
        peer.0.ip()
    })
}

/// With what a phone waits for the keeper's answer.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "PairTicket")]
pub struct Ticket {
    /// With this it asks for the answer.
    claim: String,
    /// The hub's part of the number that both screens show.
    nonce: String,
    /// Its name, as it was taken.
    name: String,
}

/// `POST /api/pair`: a phone asks to be let in.
///
/// # Errors
/// 403 with a wrong secret, 409 with a used one, 410 without an offer, 429 too often.
pub async fn ask(State(hub): Shared, request: Request) -> Answer<Json<Ticket>> {
    let (from, now) = (from(&request), Instant::now());
    if let Some(wait) = hub.trust.limits.wait(Act::Pair, from, now) {
        return Err(too_often(wait));
    }
    hub.trust.limits.count(Act::Pair, from, now);
    let ask: Ask = read(request).await?;
    let name = name_of(&ask.name)?;
    if ask.nonce.len() < 16 || ask.nonce.len() > 64 || !ask.nonce.is_ascii() {
        let text = "The page of the phone sent something odd. Scan the code again.";
        return Err(Refusal::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "nonce",
            text,
        ));
    }
    let print = hub.trust.lan.seen().print_text();
    let asked = hub
        .trust
        .pairing
        .ask((&ask.secret, &name, &ask.nonce), &print, now)?;
    let refuse = |status, code, text: &str| Err(Refusal::new(status, code, text));
    match asked {
        Ok(ticket) => {
            // The phone has the certificate by now: the plain door can close.
            hub.trust.lan.nudge();
            Ok(Json(Ticket {
                claim: ticket.claim,
                nonce: ticket.nonce,
                name,
            }))
        }
        Err(NoOffer::Closed) => refuse(
            StatusCode::GONE,
            "expired",
            "This code is no longer good: it lasts for some minutes. Press \"Add a phone\" on the hub's own screen and scan the new code.",
        ),
        Err(NoOffer::Used) => refuse(
            StatusCode::CONFLICT,
            "used",
            "This code was used already. If it was not by you, say so to whoever keeps the log; then begin again on the hub's own screen.",
        ),
        Err(NoOffer::Wrong) => refuse(
            StatusCode::FORBIDDEN,
            "secret",
            "This is not the code that the hub shows now. Scan that one.",
        ),
    }
}

/// With which a phone asks for the answer.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "PairClaim")]
pub struct Claim {
    claim: String,
}

/// The answer for a phone.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "PairVerdict")]
pub struct Verdict {
    /// The keeper has not answered yet.
    waiting: bool,
    /// As what it was let in.
    #[serde(skip_serializing_if = "Option::is_none")]
    role: Option<Role>,
}

/// `POST /api/pair/take`: the answer, and with a yes the phone's key as a cookie.
///
/// # Errors
/// 410 when the keeper said no or the time is over.
pub async fn take(State(hub): Shared, request: Request) -> Answer<Response> {
    let claim: Claim = read(request).await?;
    match hub.trust.pairing.hear(&claim.claim, Instant::now()) {
        Heard::Waiting => {
            let said = Verdict {
                waiting: true,
                role: None,
            };
            Ok(Json(said).into_response())
        }
        Heard::In { key, role } => {
            let port = hub.trust.lan.seen().port.unwrap_or(0);
            let cookie = cookie(Door::Lan, port, &key);
            let said = Json(Verdict {
                waiting: false,
                role: Some(role),
            });
            Ok(([(SET_COOKIE, cookie)], said).into_response())
        }
        Heard::Out => {
            let text = "This phone was not added. Begin again on the hub's own screen: Settings, Phones, \"Add a phone\".";
            Err(Refusal::new(StatusCode::GONE, "refused", text))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_code_is_a_picture_of_its_own() {
        let svg = qr("https://192.168.1.5:8478/pair#abc.def").unwrap();
        assert!(svg.contains("<svg") && svg.contains("</svg>"), "{svg:.80}");
        assert!(!svg.contains("192.168"), "the text is in the pattern only");
    }
}
