//! The doors to the local network: opened, closed and kept up to date while the hub runs.
//!
//! Off by default. What somebody chose is kept among the settings of the store (`lan`), so it
//! holds after a restart and in the window as well; [`settle`] makes the doors be as wished
//! and [`keep`] does so again and again, because addresses change and offers run out. The
//! plain door is open for guests, or while a phone is being paired ([`super::handout`]).

use super::authority::Files;
use super::devices::PREFIX;
use super::doors::Doors;
pub use super::doors::settle;
use super::names::Own;
use super::renewal::Certificate;
use super::{Door, Gone};
use crate::listeners::Patience;
pub use crate::listeners::Peer;
use crate::presence::{Phones, Presence};
use crate::state::Hub;
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::{Deserialize, Serialize};
use slowstone_store::StoreError;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::{Duration, Instant};
use tokio::sync::{Mutex as Turn, Notify};

/// Where the network door is without a wish.
pub const USUAL: SocketAddr = SocketAddr::new(std::net::IpAddr::V4(Ipv4Addr::UNSPECIFIED), 8478);

/// Name of the setting.
const SETTING: &str = "lan";

/// How often addresses and devices are looked at.
const EVERY: Duration = Duration::from_secs(20);

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
    fn phones(&self) -> Phones {
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
    wish: Mutex<Wish>,
    pub(super) doors: Turn<Doors>,
    seen: RwLock<Seen>,
    nudge: Notify,
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
            let Ok(mut stored) = serde_json::from_str::<super::devices::Device>(before) else {
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
