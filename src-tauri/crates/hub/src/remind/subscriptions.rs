//! The subscriptions of devices for push messages, as the log keeps them: one setting each.
//!
//! What a subscription is and how a message goes to it is in [`super::push`]; devices
//! subscribe at [`crate::api::push`]. A device that is not in any more has none.

use super::push::{HERE, PREFIX, Subscription};
use crate::ledger::Ledger;
use crate::trust::devices::Devices;
use slowstone_store::StoreError;

/// Forgets the subscription of a device, if it has one.
///
/// # Errors
/// If the store cannot be written.
pub fn forget(ledger: &mut Ledger, device: &str) -> Result<(), StoreError> {
    ledger.forget(&format!("{PREFIX}{device}"))
}

/// Forgets the subscriptions of devices that are not in any more.
///
/// # Errors
/// If the store cannot be read or written.
pub fn tidy(ledger: &mut Ledger, devices: &Devices) -> Result<(), StoreError> {
    for (at, _) in ledger.settings(PREFIX)? {
        let device = at.strip_prefix(PREFIX).unwrap_or_default();
        if device != HERE && !devices.get(device).is_some_and(|d| d.is_in()) {
            forget(ledger, device)?;
        }
    }
    Ok(())
}

/// The subscription of a device.
///
/// # Errors
/// If the store cannot be read.
pub fn subscription(ledger: &Ledger, device: &str) -> Result<Option<Subscription>, StoreError> {
    let text = ledger.setting(&format!("{}{device}", PREFIX))?;
    Ok(text.and_then(|t| serde_json::from_str(&t).ok()))
}
