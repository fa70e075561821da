//! Since when the hub has its certificate authority: phones that were let in before and were not
//! here since do not trust it.
//!
//! A hub that was restored without its keys, or whose folder `trust` was taken away, makes a new
//! authority. The log, which lists the phones, remembers which one they knew.

use crate::caller::Door;
use crate::state::Hub;
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::Deserialize;
use serde_json::json;
use slowstone_curing::units::AtMs;
use slowstone_store::StoreError;
use std::sync::Arc;

/// Name of the setting.
const SETTING: &str = "authority";

#[derive(Deserialize)]
struct Kept {
    /// SHA-256 of the certificate.
    print: String,
    /// When it was first met with these data, by the hub's clock.
    since_ms: AtMs,
}

/// Remembers which authority the hub has, and says since when. None if that cannot be kept.
pub(super) async fn remember(hub: &Arc<Hub>, print: [u8; 32]) -> Option<AtMs> {
    let (print, now) = (URL_SAFE_NO_PAD.encode(print), hub.now());
    let phones = hub.trust.devices.list().into_iter();
    let has_phones = phones.filter(|d| d.door == Door::Lan).count() > 0;
    let kept = hub.with_ledger(move |ledger| {
        let before = ledger.setting(SETTING)?;
        let before: Option<Kept> = before.and_then(|text| serde_json::from_str(&text).ok());
        let since_ms = match before {
            Some(kept) if kept.print == print => return Ok(kept.since_ms),
            // An earlier version remembered nothing: its phones knew this one.
            None if has_phones => AtMs(0),
            _ => now,
        };
        let kept = json!({ "print": print, "since_ms": since_ms });
        ledger.remember(SETTING, &kept.to_string())?;
        Ok::<_, StoreError>(since_ms)
    });
    match kept.await? {
        Ok(since) => Some(since),
        Err(e) => {
            tracing::warn!("which phones must trust the hub anew is not known: {e}");
            None
        }
    }
}
