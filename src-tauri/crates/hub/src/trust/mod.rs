//! Who may come in and by which door, and how a phone becomes one that may.
//!
//! The hub has three doors: this computer's own address ([`Door::Here`]), the local network
//! over TLS for paired phones ([`Door::Lan`]), and, only when somebody chose it, plain HTTP
//! for reading ([`Door::Guest`]). Requests are judged in [`crate::guard`]; here is what it
//! judges by: [`devices`] and their keys, [`pairing`], [`limits`], and the doors themselves
//! ([`lan`], [`authority`], [`names`]). Threats and answers: `tests/hub/THREATS.md`.

pub mod authority;
pub mod devices;
mod doors;
pub mod handout;
pub mod lan;
pub mod limits;
pub mod names;
pub mod pairing;
pub mod renewal;
mod tls;

use crate::listeners::{Connections, Patience, Totals};
use devices::Devices;
use lan::Lan;
use limits::Limits;
use pairing::Pairing;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use tokio::sync::broadcast;

/// What somebody may do; each may also do what those before may.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Reads.
    Viewer,
    /// Logs entries and photos, and corrects them.
    Helper,
    /// Also looks after phones, settings, the archive, and what leaves with places in it.
    Keeper,
}

/// By which way a request came.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Door {
    /// The loopback address: a browser or the window on this computer.
    Here,
    /// The local network, over TLS.
    Lan,
    /// The local network, over plain HTTP: reading only.
    Guest,
}

/// Who sent a request. Handlers find it among the request's extensions.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Who {
    /// Id of the device; empty for a guest and for whoever shows the token of this launch.
    pub device: String,
    /// Name of the device; empty as above.
    pub name: String,
    /// What it may do.
    pub role: Role,
    /// How it came.
    pub via: Door,
}

/// Somebody who was let in is let in no longer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gone {
    /// A device was revoked, or its role changed.
    Device(String),
    /// A door was closed.
    Door(Door),
}

impl Gone {
    /// Whether it concerns `who`.
    #[must_use]
    pub fn is(&self, who: &Who) -> bool {
        match self {
            Self::Device(id) => *id == who.device,
            Self::Door(door) => *door == who.via,
        }
    }
}

/// Everything that the hub knows about who may come in.
#[derive(Debug)]
pub struct Trust {
    /// Devices that were let in.
    pub devices: Devices,
    /// The phone that is being let in.
    pub pairing: Pairing,
    /// Who tries too often.
    pub limits: Limits,
    /// The doors to the network.
    pub lan: Lan,
    /// Who is connected, by whichever door.
    pub connections: Arc<Connections>,
    /// How long the hub waits for whoever is connected.
    pub patience: Patience,
    /// Heard by streams that have to end.
    pub gone: broadcast::Sender<Gone>,
}

impl Trust {
    pub(crate) fn new(devices: Devices, lan: Lan) -> Self {
        Self {
            devices,
            pairing: Pairing::new(lan.offer_for()),
            limits: Limits::default(),
            connections: Connections::new(Totals::of_this_process()),
            patience: lan.setup.patience,
            lan,
            gone: broadcast::channel(32).0,
        }
    }

    /// Ends the streams of somebody.
    pub fn tell(&self, gone: Gone) {
        // Nobody listening is no error.
        let _ = self.gone.send(gone);
    }

    /// Takes up what is stored of devices now; whose rights another hub on the same store has
    /// changed is told.
    pub fn renew(&self, settings: &[(String, String)]) {
        for id in self.devices.renew(settings) {
            self.tell(Gone::Device(id));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roles_rise_and_are_written_as_words() {
        assert!(Role::Viewer < Role::Helper && Role::Helper < Role::Keeper);
        assert_eq!(serde_json::to_string(&Role::Keeper).unwrap(), "\"keeper\"");
    }

    #[test]
    fn who_is_gone() {
        let who = |device: &str, via| Who {
            device: device.into(),
            name: String::new(),
            role: Role::Viewer,
            via,
        };
        assert!(Gone::Device("a".into()).is(&who("a", Door::Lan)));
        assert!(!Gone::Device("a".into()).is(&who("b", Door::Lan)));
        assert!(Gone::Door(Door::Guest).is(&who("", Door::Guest)));
        assert!(!Gone::Door(Door::Guest).is(&who("", Door::Here)));
    }
}
