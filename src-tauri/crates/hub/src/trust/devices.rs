//! Devices that were let in: browsers of this computer and paired phones.
//!
//! A device shows a key of its own in a cookie; only the hash of the key is kept, among the
//! settings of the store (`paired/ID`), so whoever reads the file cannot come in with it. All
//! of them are held in memory as well, because every request asks. Who may do what:
//! [`super::Role`]; how a phone gets its key: [`super::pairing`].

use crate::caller::{Door, Role, Who};
use crate::chance::{self, NoChance};
use crate::ledger::as_text;
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_store::StoreError;
use std::collections::BTreeMap;
use std::sync::{PoisonError, RwLock};

/// Beginning of the settings that hold devices.
pub const PREFIX: &str = "paired/";

/// Browsers of this computer that are kept; the one that was away longest goes.
const MOST_HERE: usize = 40;

/// How long a cookie lasts, seconds: browsers keep none longer than 400 days.
/// Source: RFC 6265bis, 5.5 (limit on Max-Age).
const LASTS_S: u32 = 400 * 86_400;

/// A device as it is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Device {
    /// Its id.
    pub id: String,
    /// What its person calls it.
    pub name: String,
    /// Who enters with it; none until it has entered something.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// What it may do.
    pub role: Role,
    /// The only door at which its key opens.
    pub door: Door,
    /// The only port at which it opens, for a browser of this computer: cookies of one address
    /// go to every server there, whatever its port.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    port: Option<u16>,
    /// BLAKE3 of its key, in hexadecimal.
    hash: String,
    /// When it was let in, by the hub's clock.
    pub made_ms: AtMs,
    /// When it was last here.
    pub seen_ms: AtMs,
    /// When it was revoked: kept so that it can be told why it is not let in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revoked_ms: Option<AtMs>,
}

/// What a key turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Known {
    /// Of this device.
    Yes(Who),
    /// Of a device that was revoked.
    Revoked,
    /// Of none.
    No,
}

/// A new device and the key that it alone gets.
#[derive(Debug)]
pub struct Fresh {
    /// What is kept.
    pub device: Device,
    /// What the device shows.
    pub key: String,
}

/// All devices.
#[derive(Debug, Default)]
pub struct Devices {
    by_hash: RwLock<BTreeMap<String, Device>>,
}

fn hash(key: &str) -> String {
    blake3::hash(key.as_bytes()).to_hex().to_string()
}

/// Key of the setting of a device.
#[must_use]
pub fn key(id: &str) -> String {
    format!("{PREFIX}{id}")
}

/// Name of the cookie at a door. Cookies do not know ports, and two hubs on one machine must
/// not overwrite each other's; the prefix has browsers insist on TLS.
#[must_use]
pub fn cookie_name(door: Door, port: u16) -> String {
    match door {
        Door::Here => format!("slowstone-{port}"),
        Door::Lan | Door::Guest => format!("__Host-slowstone-{port}"),
    }
}

/// The whole cookie that brings a key to its device.
#[must_use]
pub fn cookie(door: Door, port: u16, key: &str) -> String {
    let secure = if door == Door::Here { "" } else { " Secure;" };
    let name = cookie_name(door, port);
    format!("{name}={key}; HttpOnly;{secure} SameSite=Strict; Path=/; Max-Age={LASTS_S}")
}

impl Device {
    /// A new device with a key of 160 random bits.
    ///
    /// # Errors
    /// If the system has no randomness.
    pub fn fresh(name: &str, role: Role, door: Door, now: AtMs) -> Result<Fresh, NoChance> {
        let key = chance::word(32)?;
        let device = Self {
            id: chance::word(12)?,
            name: name.to_owned(),
            person: None,
            role,
            door,
            port: None,
            hash: hash(&key),
            made_ms: now,
            seen_ms: now,
            revoked_ms: None,
        };
        Ok(Fresh { device, key })
    }

    /// The same, with a key that opens at this port only.
    #[must_use]
    pub fn at_port(self, port: u16) -> Self {
        let port = Some(port);
        Self { port, ..self }
    }

    /// Key and value of its setting.
    ///
    /// # Errors
    /// If it cannot be written down.
    pub fn setting(&self) -> Result<(String, String), StoreError> {
        let key = key(&self.id);
        let value = as_text(&key, self)?;
        Ok((key, value))
    }

    /// Whether it may come in.
    #[must_use]
    pub fn is_in(&self) -> bool {
        self.revoked_ms.is_none()
    }
}

impl Devices {
    /// The devices of these settings. One that cannot be read does not come in.
    #[must_use]
    pub fn read(settings: &[(String, String)]) -> Self {
        let devices = Self::default();
        let _ = devices.renew(settings);
        devices
    }

    /// Takes what is stored now: another hub on the same store may have changed it. Gives the
    /// ids of those that were in with the rights of before.
    pub fn renew(&self, settings: &[(String, String)]) -> Vec<String> {
        let mut fresh = BTreeMap::new();
        for (key, value) in settings {
            match serde_json::from_str::<Device>(value) {
                Ok(device) => drop(fresh.insert(device.hash.clone(), device)),
                Err(e) => tracing::warn!("{key}: this device cannot be read ({e})"),
            }
        }
        let mut all = self.by_hash.write().unwrap_or_else(PoisonError::into_inner);
        for (hash, device) in &mut fresh {
            if let Some(known) = all.get(hash) {
                device.seen_ms = device.seen_ms.max(known.seen_ms);
            }
        }
        let rights = |d: &Device| d.is_in().then_some(d.role);
        let changed = all.iter().filter(|(hash, known)| {
            known.is_in() && fresh.get(*hash).and_then(rights) != rights(known)
        });
        let changed = changed.map(|(_, known)| known.id.clone()).collect();
        *all = fresh;
        changed
    }

    /// Whose key this is at `door` and its port, and that it was here.
    pub fn know(&self, key: &str, (door, port): (Door, u16), now: AtMs) -> Known {
        let mut all = self.by_hash.write().unwrap_or_else(PoisonError::into_inner);
        let opens = |d: &&mut Device| d.door == door && d.port.is_none_or(|own| own == port);
        match all.get_mut(&hash(key)).filter(opens) {
            None => Known::No,
            Some(device) if !device.is_in() => Known::Revoked,
            Some(device) => {
                device.seen_ms = device.seen_ms.max(now);
                Known::Yes(Who {
                    device: device.id.clone(),
                    name: device.name.clone(),
                    role: device.role,
                    via: door,
                })
            }
        }
    }

    /// Adds a device or replaces what is known of it; it is stored already.
    pub fn put(&self, mut device: Device) {
        let mut all = self.by_hash.write().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = all.get(&device.hash) {
            // When it was here is written down only now and then.
            device.seen_ms = device.seen_ms.max(known.seen_ms);
        }
        all.insert(device.hash.clone(), device);
    }

    /// Drops a device from memory; its setting is gone already.
    pub fn forget(&self, id: &str) {
        let mut all = self.by_hash.write().unwrap_or_else(PoisonError::into_inner);
        all.retain(|_, d| d.id != id);
    }

    /// All devices, those that are in first, then by when they were here.
    #[must_use]
    pub fn list(&self) -> Vec<Device> {
        let all = self.by_hash.read().unwrap_or_else(PoisonError::into_inner);
        let mut list: Vec<Device> = all.values().cloned().collect();
        list.sort_by_key(|d| (!d.is_in(), std::cmp::Reverse(d.seen_ms)));
        list
    }

    /// One device.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<Device> {
        let all = self.by_hash.read().unwrap_or_else(PoisonError::into_inner);
        all.values().find(|d| d.id == id).cloned()
    }

    /// Browsers of this computer that are too many, before another one comes.
    #[must_use]
    pub fn surplus_here(&self) -> Vec<String> {
        let here = |d: &Device| d.door == Door::Here;
        let list: Vec<Device> = self.list().into_iter().filter(here).collect();
        let surplus = list.into_iter().skip(MOST_HERE - 1);
        surplus.map(|d| d.id).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_hash_is_kept() {
        let fresh = Device::fresh("Tuva", Role::Helper, Door::Lan, AtMs(5)).unwrap();
        let (key, value) = fresh.device.setting().unwrap();
        assert!(key.starts_with(PREFIX));
        assert!(!value.contains(&fresh.key), "{value}");
        let devices = Devices::read(&[(key, value), ("paired/odd".into(), "{".into())]);
        let Known::Yes(who) = devices.know(&fresh.key, (Door::Lan, 1), AtMs(9)) else {
            panic!("the key is not known");
        };
        assert_eq!((who.name.as_str(), who.role), ("Tuva", Role::Helper));
        assert_eq!(devices.list()[0].seen_ms, AtMs(9));
        // A key opens only at its own door, and its hash opens nowhere.
        assert_eq!(
            devices.know(&fresh.key, (Door::Here, 1), AtMs(9)),
            Known::No
        );
        let kept = &fresh.device.hash;
        assert_eq!(devices.know(kept, (Door::Lan, 1), AtMs(9)), Known::No);
        let mut revoked = fresh.device.clone();
        revoked.revoked_ms = Some(AtMs(10));
        devices.put(revoked);
        assert_eq!(
            devices.know(&fresh.key, (Door::Lan, 1), AtMs(11)),
            Known::Revoked
        );
    }

    #[test]
    fn a_key_of_this_computer_opens_at_its_port_only() {
        let fresh = Device::fresh("", Role::Keeper, Door::Here, AtMs(5)).unwrap();
        let devices = Devices::default();
        devices.put(fresh.device.at_port(8477));
        let at = |port| devices.know(&fresh.key, (Door::Here, port), AtMs(9));
        assert!(matches!(at(8477), Known::Yes(_)));
        assert_eq!(at(8478), Known::No);
    }

    #[test]
    fn browsers_of_this_computer_do_not_pile_up() {
        let devices = Devices::default();
        for n in 0..60 {
            for id in devices.surplus_here() {
                devices.forget(&id);
            }
            let fresh = Device::fresh("x", Role::Keeper, Door::Here, AtMs(n)).unwrap();
            devices.put(fresh.device);
        }
        assert_eq!(devices.list().len(), MOST_HERE);
        assert!(devices.list().iter().all(|d| d.made_ms >= AtMs(20)));
    }

    #[test]
    fn cookies_are_for_this_hub_alone() {
        let lan = cookie(Door::Lan, 8478, "k");
        for part in [
            "__Host-slowstone-8478=k;",
            "HttpOnly",
            "Secure",
            "SameSite=Strict",
            "Path=/;",
        ] {
            assert!(lan.contains(part), "{lan}");
        }
        assert!(!cookie(Door::Here, 8477, "k").contains("Secure"));
    }
}
