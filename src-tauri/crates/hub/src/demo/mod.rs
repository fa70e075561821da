//! The demonstration site: what a new hub shows until there is something real.
//!
//! The scenario is data (`demo-data/site.json` and photos, see the README there); its
//! times are relative, so that it always looks as if the work were going on today. It is
//! entered the same way as anything else, in one transaction, and once only. How times
//! are written: [`relative`].

mod relative;

use crate::chance;
use crate::error::HubError;
use crate::ledger::Ledger;
use crate::photo::{self, when};
use relative::Today;
use rust_embed::RustEmbed;
use serde::Deserialize;
use serde_json::{Map, Value, json};
use slowstone_curing::units::AtMs;
use slowstone_store::BlobStore;
use std::collections::BTreeMap;

/// Whether new data begin with the demonstration site.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Demo {
    /// Yes, if the data are new.
    #[default]
    IfNew,
    /// No.
    Empty,
}

#[derive(RustEmbed)]
#[folder = "../../../demo-data"]
struct Files;

/// Setting: how the data began.
const BEGUN: &str = "begun";

/// Stands for the date in the demonstration photos' EXIF; same length as any date.
const UNDATED: &[u8; 19] = b"2000:01:01 00:00:00";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Scenario {
    tz: String,
    entries: Vec<Entry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    #[serde(default)]
    key: Option<String>,
    by: String,
    at: String,
    kind: String,
    body: Map<String, Value>,
}

/// Enters the demonstration site into new data if it is wanted, and remembers that the
/// data have begun.
///
/// # Errors
/// If it cannot be stored.
pub fn begin(
    ledger: &mut Ledger,
    blobs: &dyn BlobStore,
    demo: Demo,
    now: AtMs,
) -> Result<(), HubError> {
    if ledger.setting(BEGUN)?.is_some() {
        return Ok(());
    }
    let wanted = demo == Demo::IfNew && ledger.is_blank()?;
    if wanted {
        let entries = entries(blobs, now)?;
        let taken = ledger.take(&entries, now)?;
        if let Some((_, refused)) = taken.refused.first() {
            return Err(HubError::Demo(refused.to_string()));
        }
    }
    Ok(ledger.remember(BEGUN, if wanted { "demo" } else { "empty" })?)
}

/// The scenario as entries of the log for the present instant.
fn entries(blobs: &dyn BlobStore, now: AtMs) -> Result<Vec<Value>, HubError> {
    let odd = |e: &dyn std::fmt::Display| HubError::Demo(e.to_string());
    let text = file("site.json")?;
    let scenario: Scenario = serde_json::from_slice(&text).map_err(|e| odd(&e))?;
    let zone = scenario.tz.parse().map_err(|e| odd(&e))?;
    let today = Today::new(now, zone);
    let mut ids = BTreeMap::new();
    let mut named = Vec::new();
    for entry in scenario.entries {
        let at = today.instant(&entry.at).map_err(|e| odd(&e))?;
        let id = chance::id(at)?;
        if let Some(key) = &entry.key {
            ids.insert(key.clone(), id.clone());
        }
        named.push((id, at, entry));
    }
    let site = ids.get("site").cloned().unwrap_or_default();
    let mut out = Vec::with_capacity(named.len());
    for (id, at, entry) in named {
        let body = relative::settle(Value::Object(entry.body), &ids, &today);
        let mut body = body.map_err(|e| odd(&e))?;
        if entry.kind == "photo" {
            body = with_picture(body, blobs, &today)?;
        }
        out.push(json!({
            "id": id, "site": site, "by": entry.by, "at_ms": at,
            "kind": entry.kind, "body": body,
        }));
    }
    Ok(out)
}

fn file(name: &str) -> Result<Vec<u8>, HubError> {
    let found = Files::get(name).map(|f| f.data.into_owned());
    found.ok_or_else(|| HubError::Demo(format!("{name} is missing")))
}

/// Stores the picture of a photo entry, with its date written into it, and fills in what
/// its file says.
fn with_picture(body: Value, blobs: &dyn BlobStore, today: &Today) -> Result<Value, HubError> {
    let odd = |what: &str| HubError::Demo(format!("a photo has no {what}"));
    let Value::Object(mut body) = body else {
        return Err(odd("body"));
    };
    let name = match body.remove("file") {
        Some(Value::String(name)) => name,
        _ => return Err(odd("file")),
    };
    let taken = body.get("taken_ms").and_then(Value::as_i64);
    let taken = AtMs(taken.ok_or_else(|| odd("taken_ms"))?);
    let mut bytes = file(&format!("photos/{name}"))?;
    let date = today.exif(taken);
    for at in 0..bytes.len().saturating_sub(UNDATED.len()) {
        if let Some(place) = bytes.get_mut(at..at + UNDATED.len())
            && place == UNDATED
        {
            place.copy_from_slice(date.as_bytes().get(..UNDATED.len()).unwrap_or(UNDATED));
        }
    }
    let hash = blobs.put(&bytes)?;
    let facts = photo::photo_facts(&name, &bytes);
    let when = when::taken_at(&facts, today.zone(), today.now().0);
    for (key, value) in [
        ("name", json!(name)),
        ("hash", json!(hash)),
        ("bytes", json!(bytes.len())),
        ("format", json!(facts.format.map(photo::Format::code))),
        ("width_px", json!(facts.width)),
        ("height_px", json!(facts.height)),
        ("taken_ms", json!(when.at_ms)),
        (
            "time_source",
            json!(crate::intake::time_source(when.source)),
        ),
        ("camera", json!(crate::intake::camera(&facts))),
    ] {
        body.insert(key.to_owned(), value);
    }
    Ok(Value::Object(body))
}
