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
pub mod keeping;
pub mod lan;
pub mod limits;
pub mod names;
mod opened;
pub mod pairing;
pub mod renewal;
mod since;
mod tls;

pub use crate::caller::{Door, Gone, Role, Who};
use crate::listeners::{Connections, Patience, Totals};
use devices::Devices;
use lan::Lan;
use limits::Limits;
use pairing::Pairing;
use std::sync::Arc;
use tokio::sync::broadcast;

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
