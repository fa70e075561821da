//! What follows on entries that were taken from somebody: whose device they came from, and what
//! they touched before it was here.
//!
//! A paired device has a person. An entry that it sends under another name is kept as it was
//! written, and the hub notes beside it, in an entry of its own (`entered`), who entered it. A
//! correction may come before what it corrects; whether its sender was allowed to touch that
//! is judged when it comes, and what was not allowed is taken back, in the log, where all
//! see it. Both are no work for whoever enters under their own name.

use crate::caller::{Door, Role};
use crate::chance;
use crate::guard::rules::{awaited, entry_role};
use crate::ledger::Ledger;
use crate::trust::devices::{Device, Devices, key};
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_store::StoreError;

/// Kind of the notes.
const NOTE: &str = "entered";

/// Beginning of the settings that name entries which came before what they touch.
const EARLY: &str = "early/";

/// Under which name the hub takes back what was not allowed.
const BY: &str = "Slowstone";

/// Notes beside `fresh` entries, which came from `device`, whose device that is, where they
/// name somebody else.
///
/// # Errors
/// What the store says.
pub fn note_devices(
    devices: &Devices,
    ledger: &mut Ledger,
    device: &str,
    fresh: &[Event],
    now: AtMs,
) -> Result<(), StoreError> {
    let Some(known) = devices.get(device).filter(|d| d.door == Door::Lan) else {
        return Ok(());
    };
    let own = |e: &&Event| e.kind != NOTE;
    let Some(first) = fresh.iter().find(own) else {
        return Ok(());
    };
    let person = match known.person {
        Some(person) => person,
        None => bind(devices, ledger, known, first.by.trim(), fresh)?,
    };
    let others = fresh.iter().filter(own).filter(|e| e.by.trim() != person);
    let notes: Vec<Value> = others
        .map(|event| {
            let id = blake3::hash(format!("{NOTE}\n{}", event.id).as_bytes()).to_hex();
            let id: String = id.chars().take(32).collect();
            json!({"id": id, "site": event.site, "by": person, "at_ms": now, "kind": NOTE,
                "body": {"entry": event.id, "person": person}})
        })
        .collect();
    if !notes.is_empty() {
        ledger.take(&notes, now)?;
    }
    Ok(())
}

/// Binds a device to its person: the name under which it enters something first, unless others
/// enter under that name and the device is not called after it. Then it is the device's name.
fn bind(
    devices: &Devices,
    ledger: &mut Ledger,
    device: Device,
    name: &str,
    fresh: &[Event],
) -> Result<String, StoreError> {
    let called = device.name.to_lowercase().contains(&name.to_lowercase());
    let of_another = || {
        let mut all = devices.list().into_iter();
        all.any(|d| d.id != device.id && d.person.as_deref() == Some(name))
    };
    let is_fresh = |id: &str| fresh.iter().any(|e| e.id == id);
    let taken = !called && (of_another() || ledger.has_entry_by(name, is_fresh)?);
    let person = if taken || name.is_empty() {
        device.name.clone()
    } else {
        name.to_owned()
    };
    let key = key(&device.id);
    let before = ledger.setting(&key)?;
    let stored: Option<Device> = before.as_deref().and_then(|t| serde_json::from_str(t).ok());
    if let Some(mut stored) = stored {
        stored.person = Some(person.clone());
        let (_, value) = stored.setting()?;
        if ledger.replace(&key, before.as_deref(), &value)? {
            devices.put(stored);
        }
    }
    Ok(person)
}

/// Remembers which of the `fresh` entries of a sender with this role touch something that is
/// not here yet, and judges those that waited for what is here now.
///
/// # Errors
/// What the store says.
pub fn judge_early(
    ledger: &mut Ledger,
    role: Role,
    fresh: &[Event],
    now: AtMs,
) -> Result<(), StoreError> {
    if role < Role::Keeper {
        for event in fresh {
            let target = awaited(event, |id| ledger.entry(id)).map(str::to_owned);
            if let Some(target) = target {
                ledger.remember(&format!("{EARLY}{}", event.id), &target)?;
            }
        }
    }
    if fresh.is_empty() {
        return Ok(());
    }
    for (key, target) in ledger.settings(EARLY)? {
        if ledger.entry(&target).is_none() {
            continue;
        }
        let id = key.strip_prefix(EARLY).unwrap_or_default();
        let Some(event) = ledger.entry(id).cloned() else {
            ledger.forget(&key)?;
            continue;
        };
        if entry_role(&event, |id| ledger.entry(id)) > Role::Helper {
            take_back(ledger, &event, now)?;
        } else if let Some(next) = awaited(&event, |id| ledger.entry(id)).map(str::to_owned) {
            ledger.remember(&key, &next)?;
            continue;
        }
        ledger.forget(&key)?;
    }
    Ok(())
}

/// Takes back what its sender was not allowed to do.
fn take_back(ledger: &mut Ledger, event: &Event, now: AtMs) -> Result<(), StoreError> {
    let id = chance::id(now).map_err(|e| StoreError::Corrupt {
        path: "the log".into(),
        detail: e.to_string(),
    })?;
    tracing::warn!(entry = %event.id, by = %event.by, "taken back: only a keeper may touch what it touches");
    let back = json!({"id": id, "site": event.site, "by": BY, "at_ms": now, "kind": "retraction",
        "body": {"target": event.id}});
    ledger.take(&[back], now)?;
    Ok(())
}
