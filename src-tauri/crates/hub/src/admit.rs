//! Letting a device in: it is stored first and holds then, both while the ledger is held.
//!
//! Who asks: the gate, for browsers of this computer, and pairing, for phones. Which browsers
//! give way to new ones is said by [`crate::trust::devices`].

use crate::caller::Door;
use crate::refusal::{Answer, Refusal};
use crate::remind::subscriptions;
use crate::state::Hub;
use crate::trust::devices::{Device, key};
use slowstone_store::StoreError;
use std::sync::Arc;

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
                subscriptions::forget(ledger, &id)?;
                ledger.forget(&key(&id))?;
                devices.forget(&id);
            }
        }
        let (key, value) = device.setting()?;
        ledger.remember(&key, &value)?;
        devices.put(device);
        Ok::<_, StoreError>(())
    });
    Ok(done.await.ok_or_else(Refusal::fault)??)
}
