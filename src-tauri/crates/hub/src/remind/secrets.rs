//! Keys and passwords of the reminders, in one file that only this account can read.
//!
//! `reminders.key` (mode 0600) lies in the data folder and is in no backup but encrypted: after a
//! restore without it the hub makes new keys, devices subscribe again, and passwords are typed again. The key
//! for Web Push (VAPID, RFC 8292) is made here at its first use.

use super::send::Keys;
use crate::chance::{self, NoChance};
use crate::presence::write_private;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use ring::rand::SystemRandom;
use ring::signature::{ECDSA_P256_SHA256_FIXED_SIGNING, EcdsaKeyPair};
use serde::{Deserialize, Serialize};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// Name of the file in the data folder.
pub const NAME: &str = "reminders.key";

/// What is in the file.
#[derive(Clone, Default, Serialize, Deserialize)]
#[serde(default)]
struct Held {
    /// PKCS #8, Base64.
    vapid: String,
    webhook: String,
    email: String,
}

/// The file and what it holds.
pub struct Secrets {
    path: PathBuf,
    held: Mutex<Held>,
}

impl std::fmt::Debug for Secrets {
    /// Nothing of what it holds.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Secrets").field(&self.path).finish()
    }
}

/// Why there is no key.
#[derive(Debug, thiserror::Error)]
pub enum NoSecret {
    /// The file cannot be written.
    #[error("{}: the keys of the reminders cannot be kept ({source}). Give this account the right to write there", .path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file holds no key.
    #[error("{}: this holds no key that can be used. Remove it; devices then subscribe again", .0.display())]
    Odd(PathBuf),
    /// No randomness.
    #[error(transparent)]
    Chance(#[from] NoChance),
}

impl Secrets {
    /// The secrets in the data folder.
    #[must_use]
    pub fn open(dir: &Path) -> Self {
        let path = dir.join(NAME);
        let text = std::fs::read(&path).ok();
        let held = text.and_then(|t| serde_json::from_slice(&t).ok());
        Self {
            path,
            held: Mutex::new(held.unwrap_or_default()),
        }
    }

    fn held(&self) -> Held {
        let held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.clone()
    }

    fn change<T>(
        &self,
        work: impl FnOnce(&mut Held) -> Result<T, NoSecret>,
    ) -> Result<T, NoSecret> {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        let mut next = held.clone();
        let out = work(&mut next)?;
        let bytes = serde_json::to_vec(&next).map_err(io::Error::from);
        let written = bytes.and_then(|bytes| write_private(&self.path, &bytes));
        written.map_err(|source| NoSecret::File {
            path: self.path.clone(),
            source,
        })?;
        *held = next;
        Ok(out)
    }

    /// The key that push messages are signed with, made now if there is none.
    ///
    /// # Errors
    /// If it cannot be made or kept.
    pub fn vapid(&self) -> Result<EcdsaKeyPair, NoSecret> {
        let odd = || NoSecret::Odd(self.path.clone());
        let chance = SystemRandom::new();
        let mut text = self.held().vapid;
        if text.is_empty() {
            text = self.change(|held| {
                if held.vapid.is_empty() {
                    let algorithm = &ECDSA_P256_SHA256_FIXED_SIGNING;
                    let fresh = EcdsaKeyPair::generate_pkcs8(algorithm, &chance);
                    held.vapid = STANDARD.encode(fresh.map_err(|_| odd())?);
                }
                Ok(held.vapid.clone())
            })?;
        }
        let bytes = STANDARD.decode(text).map_err(|_| odd())?;
        EcdsaKeyPair::from_pkcs8(&ECDSA_P256_SHA256_FIXED_SIGNING, &bytes, &chance)
            .map_err(|_| odd())
    }

    /// The key that webhook messages are signed with, made now if there is none.
    ///
    /// # Errors
    /// If it cannot be made or kept.
    pub fn webhook(&self) -> Result<String, NoSecret> {
        let have = self.held().webhook;
        if have.is_empty() {
            return self.renew_webhook();
        }
        Ok(have)
    }

    /// Makes another key for the webhook.
    ///
    /// # Errors
    /// If it cannot be made or kept.
    pub fn renew_webhook(&self) -> Result<String, NoSecret> {
        let fresh = chance::word(32)?;
        self.change(|held| {
            held.webhook.clone_from(&fresh);
            Ok(fresh)
        })
    }

    /// The password at the mail server.
    #[must_use]
    pub fn email(&self) -> String {
        self.held().email
    }

    /// Keeps another password for the mail server.
    ///
    /// # Errors
    /// If it cannot be kept.
    pub fn set_email(&self, password: &str) -> Result<(), NoSecret> {
        self.change(|held| {
            held.email = password.to_owned();
            Ok(())
        })
    }
}

impl Keys for Secrets {
    fn vapid(&self) -> Result<EcdsaKeyPair, String> {
        Secrets::vapid(self).map_err(|e| e.to_string())
    }

    fn webhook(&self) -> Result<String, String> {
        Secrets::webhook(self).map_err(|e| e.to_string())
    }

    fn email(&self) -> String {
        Secrets::email(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn made_once_kept_and_readable_for_this_account_alone() {
        let dir = tempfile::tempdir().unwrap();
        let (a, b) = (Secrets::open(dir.path()), NAME);
        let key = a.webhook().unwrap();
        assert_eq!(key.len(), 32);
        a.set_email("pass word").unwrap();
        a.vapid().unwrap();
        let again = Secrets::open(dir.path());
        assert_eq!(again.webhook().unwrap(), key);
        assert_eq!(again.email(), "pass word");
        assert_ne!(again.renew_webhook().unwrap(), key);
        assert!(!format!("{again:?}").contains("pass word"));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = std::fs::metadata(dir.path().join(b)).unwrap().permissions();
            assert_eq!(mode.mode() & 0o777, 0o600);
        }
    }
}
