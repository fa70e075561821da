//! Devices that may come in: the list, their names and roles, and taking them off it.
//!
//! Everything is stored before it holds, and both happen while the ledger is held, so that
//! what is in memory is what is stored, and of two changes at once none is lost. Whoever loses
//! rights loses open streams and push messages too.

use super::{Answer, Done, Refusal, Shared, body};
pub(crate) use crate::admit::admit;
use crate::remind::subscriptions;
use crate::state::Hub;
use crate::trust::devices::{Device, key};
use crate::trust::{Door, Gone, Role, Who};
use axum::extract::{Path, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::{Misfit, MisfitCode};
use std::sync::Arc;

/// Most characters of a name.
pub const NAME_MOST: usize = 40;

/// A device as the screen shows it.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "DeviceShown")]
pub struct Shown {
    id: String,
    name: String,
    /// Under whose name it enters; none until it has entered something.
    person: Option<String>,
    role: Role,
    via: Door,
    made_ms: AtMs,
    seen_ms: AtMs,
    /// It is the one that asks.
    me: bool,
    /// It was not here since the hub has another certificate, which it has to trust first.
    must_trust: bool,
}

/// `GET /api/devices`: those that may come in.
pub async fn list(State(hub): Shared, Extension(who): Extension<Who>) -> Json<Vec<Shown>> {
    let since = hub.trust.lan.seen().authority_since;
    let all = hub.trust.devices.list().into_iter();
    let shown = all.filter(Device::is_in).map(|d| Shown {
        me: d.id == who.device,
        must_trust: d.door == Door::Lan && since.is_some_and(|since| d.seen_ms < since),
        id: d.id,
        name: d.name,
        person: d.person,
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
#[schemars(rename = "DeviceChange")]
pub struct Change {
    name: Option<String>,
    /// Another person: for what it enters from now on.
    person: Option<String>,
    role: Option<Role>,
}

/// `PUT /api/devices/{id}`: another name, person or role.
///
/// # Errors
/// 404 without such a device, 422 for a bad name, 409 for one's own role.
pub async fn change(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
    request: Request,
) -> Answer<Json<Done>> {
    let change: Change = read(request).await?;
    let name = change.name.as_deref().map(name_of).transpose()?;
    let person = change.person.as_deref().map(name_of).transpose()?;
    if id == who.device && change.role.is_some_and(|role| role != who.role) {
        return Err(own());
    }
    alter(&hub, &id, move |device| {
        if let Some(name) = &name {
            device.name.clone_from(name);
        }
        if person.is_some() {
            device.person.clone_from(&person);
        }
        device.role = change.role.unwrap_or(device.role);
    })
    .await
}

/// `DELETE /api/devices/{id}`: it may come in no longer, from now on.
///
/// # Errors
/// 404 without such a device, 409 for the one that asks.
pub async fn revoke(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
) -> Answer<Json<Done>> {
    if id == who.device {
        return Err(own());
    }
    let now = hub.now();
    alter(&hub, &id, move |device| device.revoked_ms = Some(now)).await
}

fn own() -> Refusal {
    let text = "This is the device that you are using: nobody shuts themselves out by mistake. Do it from another keeper's device.";
    Refusal::new(StatusCode::CONFLICT, "own", text)
}

/// Changes a device that is in, as it is stored now: on a shared log another hub may have
/// changed it since.
///
/// # Errors
/// 404 without such a device; what the store says.
async fn alter(
    hub: &Arc<Hub>,
    id: &str,
    change: impl Fn(&mut Device) + Send + 'static,
) -> Answer<Json<Done>> {
    let (shared, key, missing) = (Arc::clone(hub), key(id), Refusal::missing("device", id));
    let done = hub.with_ledger(move |ledger| {
        loop {
            let before = ledger.setting(&key)?;
            let stored = before.as_deref().and_then(|t| serde_json::from_str(t).ok());
            let Some(before_it) = stored.filter(Device::is_in) else {
                return Err(missing);
            };
            let mut device = before_it.clone();
            change(&mut device);
            let lowered = !device.is_in() || device.role < before_it.role;
            if lowered {
                // Before its rights go: killed in between, nothing goes to it any more.
                subscriptions::forget(ledger, &device.id)?;
            }
            let (_, value) = device.setting()?;
            if ledger.replace(&key, before.as_deref(), &value)? {
                tracing::info!(device = %device.id, role = ?device.role, is_in = device.is_in(), "changed");
                let gone = Gone::Device(device.id.clone());
                shared.trust.devices.put(device);
                shared.trust.tell(gone);
                return Ok(());
            }
        }
    });
    done.await.ok_or_else(Refusal::fault)??;
    Ok(Done::json())
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
        let why = match long {
            0 => MisfitCode::Empty.into(),
            _ if long > NAME_MOST => Misfit::most(MisfitCode::TooLong, NAME_MOST as f64, ""),
            _ => MisfitCode::ControlCharacters.into(),
        };
        return Err(Refusal::misfit("name", FieldError::new("name", given, why)));
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
