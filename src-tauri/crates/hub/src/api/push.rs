//! Push messages for a device: the hub's key, subscribing, and ending it.
//!
//! A subscription hangs on the device that asks; a browser that showed only the token of this
//! launch has no id and shares one place. What is sent: [`crate::remind::push`].

use super::devices::read;
use super::{Answer, Done, Refusal, Shared};
use crate::remind::push::{HERE, PREFIX, Subscription, public_key};
use crate::trust::{Role, Who};
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Characters of an address at a push service at most.
const LONGEST: usize = 2000;

fn place(who: &Who) -> String {
    let device = match who.device.as_str() {
        "" => HERE,
        device => device,
    };
    format!("{PREFIX}{device}")
}

/// Whether a device has push messages.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "PushSubscribed")]
pub struct Subscribed {
    /// The hub's public key.
    key: String,
    /// The address at the push service; none if it has none.
    endpoint: Option<String>,
}

/// `GET /api/push`: the hub's public key for `pushManager.subscribe`, and whether this device
/// is subscribed.
///
/// # Errors
/// If the key cannot be made or kept.
pub async fn key(State(hub): Shared, Extension(who): Extension<Who>) -> Answer<Json<Subscribed>> {
    let key = hub.with_secrets(|secrets| Ok(public_key(&secrets.vapid()?)));
    let key = key.await?;
    let at = place(&who);
    let there = hub.with_ledger(move |l| l.setting(&at)).await;
    let there = there.ok_or_else(Refusal::fault)??;
    let endpoint = there.and_then(|t| serde_json::from_str::<Subscription>(&t).ok());
    Ok(Json(Subscribed {
        key,
        endpoint: endpoint.map(|s| s.endpoint),
    }))
}

/// What a browser sends: its subscription as `PushSubscription.toJSON` gives it.
#[derive(Debug, Deserialize, JsonSchema)]
#[schemars(rename = "PushWanted")]
pub struct Asked {
    endpoint: String,
    keys: Keys,
    language: String,
    by: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[schemars(rename = "PushKeys")]
struct Keys {
    p256dh: String,
    auth: String,
}

/// `POST /api/push`: push messages for this device from now on.
///
/// # Errors
/// 422 for a subscription that cannot be.
pub async fn post(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    request: Request,
) -> Answer<Json<Done>> {
    let asked: Asked = read(request).await?;
    let subscription = Subscription {
        endpoint: asked.endpoint,
        p256dh: asked.keys.p256dh,
        auth: asked.keys.auth,
        language: asked.language.chars().take(35).collect(),
        by: asked.by.chars().take(80).collect(),
        keeper: who.role >= Role::Keeper,
    };
    let odd = |why: String| Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "subscription", why);
    if subscription.endpoint.len() > LONGEST {
        return Err(odd("This address of a push service is too long.".to_owned()));
    }
    subscription.check().map_err(odd)?;
    let (at, shared) = (place(&who), std::sync::Arc::clone(&hub));
    let kept = hub.with_ledger(move |ledger| {
        // It may have been taken off since the gate let this request pass.
        let devices = &shared.trust.devices;
        if !who.device.is_empty() && !devices.get(&who.device).is_some_and(|d| d.is_in()) {
            return Err(Refusal::missing("device", &who.device));
        }
        Ok(ledger.remember_as(&at, &subscription)?)
    });
    kept.await.ok_or_else(Refusal::fault)??;
    Ok(Done::json())
}

/// `DELETE /api/push`: no push messages for this device any more.
///
/// # Errors
/// What the store says.
pub async fn delete(State(hub): Shared, Extension(who): Extension<Who>) -> Answer<Json<Done>> {
    let at = place(&who);
    let gone = hub.with_ledger(move |l| l.forget(&at)).await;
    gone.ok_or_else(Refusal::fault)??;
    Ok(Done::json())
}
