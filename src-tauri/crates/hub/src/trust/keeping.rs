//! The doors to the network and the devices, looked after while the hub runs; and a wish about
//! the doors, changed.
//!
//! What is wished and how the doors are is in [`super::lan`]; they are opened and closed by
//! [`super::doors`].

use super::devices::{Device, PREFIX};
use super::doors::settle;
use super::lan::{SETTING, Wish};
use crate::caller::{Door, Gone};
use crate::presence::Presence;
use crate::state::Hub;
use slowstone_store::StoreError;
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

/// How often addresses and devices are looked at.
const EVERY: Duration = Duration::from_secs(20);

/// Changes the wish, remembers it, and makes the doors be like it.
///
/// # Errors
/// If it cannot be stored; then nothing changed.
pub async fn change(hub: &Arc<Hub>, wish: Wish) -> Result<(), Option<StoreError>> {
    let wished = wish.clone();
    let stored = hub
        .with_ledger(move |ledger| ledger.remember_as(SETTING, &wished))
        .await;
    stored.ok_or(None)?.map_err(Some)?;
    if !wish.guest {
        hub.trust.tell(Gone::Door(Door::Guest));
    }
    let lan = &hub.trust.lan;
    *lan.wish.lock().unwrap_or_else(PoisonError::into_inner) = wish;
    settle(hub).await;
    note_phones(hub).await;
    Ok(())
}

/// Looks after the doors and the devices until the hub stops.
pub async fn keep(hub: Arc<Hub>) {
    let mut stopping = hub.stopping.clone();
    loop {
        let left = hub.trust.pairing.left(Instant::now());
        let pause = left.map_or(EVERY, |left| EVERY.min(left + Duration::from_millis(50)));
        tokio::select! {
            _ = stopping.wait_for(|stop| *stop) => break,
            () = tokio::time::sleep(pause) => {}
            () = hub.trust.lan.nudge.notified() => {}
        }
        settle(&hub).await;
        note_phones(&hub).await;
        look_at_devices(&hub, 60_000).await;
    }
    settle(&hub).await;
    look_at_devices(&hub, 1).await;
}

/// Has `slowstone status` know how phones find the hub now.
async fn note_phones(hub: &Arc<Hub>) {
    let (seen, dir) = (hub.trust.lan.seen(), hub.trust.lan.data_dir.clone());
    let phones = seen.port.is_some().then(|| seen.phones());
    let noted = tokio::task::spawn_blocking(move || Presence::note_phones(&dir, phones)).await;
    if let Ok(Err(e)) = noted {
        tracing::warn!("`slowstone status` will not know of the certificate: {e}");
    }
}

/// Writes down when devices were here, if that is `apart_ms` later than is known, and takes
/// up what another hub on the same store has changed.
async fn look_at_devices(hub: &Arc<Hub>, apart_ms: i64) {
    let shared = Arc::clone(hub);
    let looked = hub.with_ledger(move |ledger| {
        let kept = ledger.settings(PREFIX)?;
        for device in shared.trust.devices.list() {
            let (key, _) = device.setting()?;
            let Some((_, before)) = kept.iter().find(|(k, _)| *k == key) else {
                continue;
            };
            // Role and name are as they are stored: another hub may have changed them.
            let Ok(mut stored) = serde_json::from_str::<Device>(before) else {
                continue;
            };
            if stored.revoked_ms.is_none() && device.seen_ms.0 - stored.seen_ms.0 >= apart_ms {
                stored.seen_ms = device.seen_ms;
                ledger.replace(&key, Some(before), &stored.setting()?.1)?;
            }
        }
        shared.trust.renew(&ledger.settings(PREFIX)?);
        Ok::<_, StoreError>(())
    });
    if let Some(Err(e)) = looked.await {
        tracing::warn!("{e}");
    }
}
