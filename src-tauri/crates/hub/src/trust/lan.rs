//! The doors to the local network: opened, closed and kept up to date while the hub runs.
//!
//! Off by default. What somebody chose is kept among the settings of the store (`lan`), so it
//! holds after a restart and in the window as well; [`settle`] makes the doors be as wished
//! and [`super::keeping::keep`] does so again and again, because addresses change and offers run out. The
//! plain door is open for guests, or while a phone is being paired ([`super::handout`]).

use super::authority::Files;
pub use super::doors::settle;
use super::names::Own;
use super::opened::Doors;
use super::renewal::Certificate;
use crate::listeners::Patience;
pub use crate::listeners::Peer;
use crate::presence::Phones;
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError, RwLock};
use std::time::Duration;
use tokio::sync::{Mutex as Turn, Notify};

/// Where the network door is without a wish.
pub const USUAL: SocketAddr = SocketAddr::new(std::net::IpAddr::V4(Ipv4Addr::UNSPECIFIED), 8478);

/// Name of the setting.
pub(super) const SETTING: &str = "lan";

/// What whoever starts the hub says about the network; the settings count where it is silent.
#[derive(Clone, Debug)]
pub struct Setup {
    /// Open the network door here, whatever the settings say; for this run only.
    pub at: Option<SocketAddr>,
    /// Let guests read over plain HTTP; for this run only.
    pub guest: bool,
    /// Own certificate files instead of the local authority.
    pub files: Option<Files>,
    /// How long an offer to pair stands.
    pub offer_for: Duration,
    /// How long the hub waits for whoever is connected, also on this computer.
    pub patience: Patience,
}

impl Default for Setup {
    fn default() -> Self {
        Self {
            at: None,
            guest: false,
            files: None,
            offer_for: Duration::from_secs(600),
            patience: Patience::default(),
        }
    }
}

/// How the doors should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Wish {
    /// Whether the network door is open.
    pub on: bool,
    /// Where it is.
    pub at: SocketAddr,
    /// Whether guests may read over plain HTTP.
    pub guest: bool,
}

impl Default for Wish {
    fn default() -> Self {
        Self {
            on: false,
            at: USUAL,
            guest: false,
        }
    }
}

/// How the doors are.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    /// Addresses and names of the hub in the network, best first.
    pub own: Own,
    /// Port of the network door; none if it is closed.
    pub port: Option<u16>,
    /// Port of the plain door; none if it is closed.
    pub plain: Option<u16>,
    /// Why the network door is not open although it should be.
    pub trouble: Option<String>,
    /// SHA-256 of the certificate that phones are shown.
    pub print: Option<[u8; 32]>,
    /// The local authority's certificate (DER); none with own files.
    pub authority: Option<Vec<u8>>,
    /// The certificate that is shown now; none if the network door was never open.
    pub certificate: Option<Certificate>,
    /// Since when the hub has that authority, by its clock.
    pub authority_since: Option<AtMs>,
}

impl Seen {
    /// The fingerprint as the QR code carries it.
    #[must_use]
    pub fn print_text(&self) -> String {
        self.print
            .map(|p| URL_SAFE_NO_PAD.encode(p))
            .unwrap_or_default()
    }

    /// What `slowstone status` says of the network door.
    pub(super) fn phones(&self) -> Phones {
        let certificate = self.certificate.as_ref();
        Phones {
            addresses: self.addresses(),
            certificate_until_ms: certificate.map(|c| c.until_ms),
            authority_until_ms: certificate.and_then(|c| c.authority_until_ms),
            warning: certificate.and_then(|c| c.warning.as_ref().map(ToString::to_string)),
        }
    }

    /// Where paired phones find the hub, best first.
    #[must_use]
    pub fn addresses(&self) -> Vec<String> {
        let port = self.port.unwrap_or(0);
        let open = self.port.is_some();
        let all = self.own.written().filter(|_| open);
        all.map(|host| format!("https://{host}:{port}")).collect()
    }
}

/// The doors to the network.
pub struct Lan {
    pub(super) setup: Setup,
    pub(super) data_dir: PathBuf,
    pub(super) wish: Mutex<Wish>,
    pub(super) doors: Turn<Doors>,
    seen: RwLock<Seen>,
    pub(super) nudge: Notify,
}

impl std::fmt::Debug for Lan {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Lan")
            .field("setup", &self.setup)
            .finish_non_exhaustive()
    }
}

impl Lan {
    /// The doors of a hub, all closed; `kept` is the setting.
    pub(crate) fn new(setup: Setup, data_dir: PathBuf, kept: Option<&str>) -> Self {
        let kept = kept.and_then(|text| serde_json::from_str::<Wish>(text).ok());
        let mut wish = kept.unwrap_or_default();
        if let Some(at) = setup.at {
            (wish.on, wish.at) = (true, at);
        }
        wish.guest |= setup.guest;
        Self {
            setup,
            data_dir,
            wish: Mutex::new(wish),
            doors: Turn::default(),
            seen: RwLock::default(),
            nudge: Notify::new(),
        }
    }

    /// Name of the setting in the store.
    #[must_use]
    pub const fn setting() -> &'static str {
        SETTING
    }

    /// How long an offer to pair stands.
    pub(crate) fn offer_for(&self) -> Duration {
        self.setup.offer_for
    }

    /// How the doors should be.
    #[must_use]
    pub fn wish(&self) -> Wish {
        self.wish
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// How the doors are.
    #[must_use]
    pub fn seen(&self) -> Seen {
        self.seen
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    pub(super) fn note(&self, change: impl FnOnce(&mut Seen)) {
        change(&mut self.seen.write().unwrap_or_else(PoisonError::into_inner));
    }

    /// Has the doors looked at soon.
    pub fn nudge(&self) {
        self.nudge.notify_one();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(setup: Setup, kept: Option<&str>) -> Wish {
        Lan::new(setup, PathBuf::new(), kept).wish()
    }

    #[test]
    fn off_unless_somebody_chose_it() {
        assert_eq!(wish(Setup::default(), None), Wish::default());
        assert!(!Wish::default().on && !Wish::default().guest);
        assert!(!wish(Setup::default(), Some("odd")).on);
        let kept = wish(Setup::default(), Some(r#"{"on":true,"at":"10.0.0.1:9"}"#));
        assert_eq!(
            (kept.on, kept.at.to_string().as_str(), kept.guest),
            (true, "10.0.0.1:9", false)
        );
        let asked = Setup {
            at: Some(USUAL),
            ..Setup::default()
        };
        assert_eq!(
            wish(asked, Some(r#"{"on":false,"at":"10.0.0.1:9"}"#)).at,
            USUAL
        );
    }
}
