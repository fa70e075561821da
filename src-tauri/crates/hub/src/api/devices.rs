//! Devices that may come in: the list, their names and roles, and taking them off it.
//!
//! Everything is stored before it holds, and both happen while the ledger is held, so that
//! what is in memory is what is stored. Whoever loses rights loses open streams too.

use super::{Answer, Refusal, Shared, body};
use crate::state::Hub;
use crate::trust::devices::Device;
use crate::trust::{Door, Gone, Role, Who};
use axum::extract::{Path, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_store::StoreError;
use std::sync::Arc;

/// Most characters of a name.
pub const NAME_MOST: usize = 40;

/// A device as the screen shows it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Shown {
    id: String,
    name: String,
    role: Role,
    via: Door,
    made_ms: AtMs,
    seen_ms: AtMs,
    /// It is the one that asks.
    me: bool,
}

/// `GET /api/devices`: those that may come in.
pub async fn list(State(hub): Shared, Extension(who): Extension<Who>) -> Json<Vec<Shown>> {
    let all = hub.trust.devices.list().into_iter();
    let shown = all.filter(|d| d.revoked_ms.is_none()).map(|d| Shown {
        me: d.id == who.device,
        id: d.id,
        name: d.name,
        role: d.role,
        via: d.door,
        made_ms: d.made_ms,
        seen_ms: d.seen_ms,
    });
    Json(shown.collect())
}

/// What may be changed.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Change {
    name: Option<String>,
    role: Option<Role>,
}

/// `PUT /api/devices/{id}`: another name or role.
///
/// # Errors
/// 404 without such a device, 422 for a bad name, 409 for one's own role.
pub async fn change(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
    request: Request,
) -> Answer<Json<Value>> {
    let change: Change = read(request).await?;
    let mut device = find(&hub, &id)?;
    if let Some(name) = change.name {
        device.name = name_of(&name)?;
    }
    if let Some(role) = change.role {
        if device.id == who.device && role != device.role {
            return Err(own());
        }
        device.role = role;
    }
    admit(&hub, device).await?;
    hub.trust.tell(Gone::Device(id));
    Ok(Json(json!({ "ok": true })))
}

/// `DELETE /api/devices/{id}`: it may come in no longer, from now on.
///
/// # Errors
/// 404 without such a device, 409 for the one that asks.
pub async fn revoke(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
) -> Answer<Json<Value>> {
    let mut device = find(&hub, &id)?;
    if device.id == who.device {
        return Err(own());
    }
    tracing::info!(device = %device.id, "revoked");
    device.revoked_ms = Some(hub.now());
    admit(&hub, device).await?;
    hub.trust.tell(Gone::Device(id));
    Ok(Json(json!({ "ok": true })))
}

fn own() -> Refusal {
    let text = "This is the device that you are using: nobody shuts themselves out by mistake. Do it from another keeper's device.";
    Refusal::new(StatusCode::CONFLICT, "own", text)
}

fn find(hub: &Hub, id: &str) -> Answer<Device> {
    let found = hub.trust.devices.get(id).filter(|d| d.revoked_ms.is_none());
    found.ok_or_else(|| Refusal::missing("device", id))
}

/// Stores a device and then lets it hold.
///
/// # Errors
/// What the store says; then nothing changed.
pub(crate) async fn admit(hub: &Arc<Hub>, device: Device) -> Answer<()> {
    let shared = Arc::clone(hub);
    let done = hub.with_ledger(move |ledger| {
        let devices = &shared.trust.devices;
        if device.door == Door::Here && devices.get(&device.id).is_none() {
            for id in devices.surplus_here() {
                ledger.forget(&format!("{}{id}", crate::trust::devices::PREFIX))?;
                devices.forget(&id);
            }
        }
        let (key, value) = device.setting();
        ledger.remember(&key, &value)?;
        devices.put(device);
        Ok::<_, StoreError>(())
    });
    Ok(done.await.ok_or_else(Refusal::fault)??)
}

/// A small JSON body.
///
/// # Errors
/// 400 if it is not the JSON that is asked for, 413 if it is large.
pub(super) async fn read<T: serde::de::DeserializeOwned>(request: Request) -> Answer<T> {
    let bytes = body(request, 16 << 10).await?;
    serde_json::from_slice(&bytes).map_err(|e| {
        let text = format!("This is not what is asked for here ({e}). Load the page again.");
        Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text)
    })
}

/// A name for a device, trimmed.
///
/// # Errors
/// 422 if it is empty, too long, or no plain line of text.
pub(super) fn name_of(given: &str) -> Answer<String> {
    let name = given.trim();
    let long = name.chars().count();
    if long == 0 || long > NAME_MOST || name.chars().any(char::is_control) {
        let text =
            format!("A name has from 1 to {NAME_MOST} characters on one line. Enter another one.");
        return Err(
            Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "name", text).about("name", given)
        );
    }
    Ok(name.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_one_short_line() {
        assert_eq!(name_of("  Tuva’s phone ").unwrap(), "Tuva’s phone");
        for bad in ["", "  ", "a\nb", &"x".repeat(41)] {
            assert_eq!(name_of(bad).unwrap_err().code(), "name", "{bad:?}");
        }
    }
}
