//! The keys of a hub in its backup: the authority that phones trust, and the keys and passwords
//! of the reminders. Only when asked for, and only encrypted.
//!
//! `keys.age` is a file of the open format age (<https://age-encryption.org/v1>, with a
//! passphrase), so that `age --decrypt keys.age` opens it as well. Its key comes from the
//! passphrase by scrypt (RFC 7914), N = 2^18 and r = 8 as age takes: 256 MB for each guess.
//! Inside is JSON: `{"slowstone":"keys","form":1,"files":{NAME:TEXT}}`. Who may come in is in
//! the log, which is in every backup ([`super`]).

use super::BackupError;
use super::error::files;
use crate::presence::write_private;
use age::scrypt::{Identity, Recipient};
use age::secrecy::SecretString;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;

/// Name of the file in a backup.
const NAME: &str = "keys.age";

/// The files that are keys, in a data folder.
const FILES: [&str; 3] = ["trust/ca.pem", "trust/ca.key", "reminders.key"];

/// The first of them without which phones do not trust a hub.
const AUTHORITY: &str = "trust/ca.key";

/// Form of what is inside.
const FORM: u32 = 1;

/// Work for each guess of the passphrase: N = 2^18.
const WORK: u8 = 18;

/// Most work that is done to open a file: whoever made it may have chosen more.
const MOST_WORK: u8 = 22;

/// Fewest characters of a passphrase.
pub const SHORTEST: usize = 12;

/// The keys of a hub.
#[derive(Serialize, Deserialize)]
pub struct Keys {
    slowstone: String,
    form: u32,
    files: BTreeMap<String, String>,
}

impl std::fmt::Debug for Keys {
    /// Names alone: this may end up in a log.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_set().entries(self.files.keys()).finish()
    }
}

impl Keys {
    /// Whether the certificate authority is among them.
    #[must_use]
    pub fn has_authority(&self) -> bool {
        self.files.contains_key(AUTHORITY)
    }

    /// Writes them into a new data folder.
    pub(super) fn write(&self, data: &Path) -> Result<(), BackupError> {
        for name in FILES {
            let Some(text) = self.files.get(name) else {
                continue;
            };
            let path = data.join(name);
            if let Some(dir) = path.parent() {
                super::make_private(dir)?;
            }
            write_private(&path, text.as_bytes()).map_err(files(&path))?;
        }
        Ok(())
    }
}

/// Whether a data folder has an authority that phones may trust.
#[must_use]
pub fn are_in_use(data: &Path) -> bool {
    data.join(AUTHORITY).exists()
}

/// Whether a backup has keys in it.
#[must_use]
pub fn are_in(backup: &Path) -> bool {
    backup.join(NAME).exists()
}

/// Puts the keys of the data folder `data` into the backup `to`; none if there are no keys.
///
/// # Errors
/// If they cannot be read, encrypted or written.
pub fn put(data: &Path, to: &Path, passphrase: &str) -> Result<Option<Keys>, BackupError> {
    let mut found = BTreeMap::new();
    for name in FILES {
        let path = data.join(name);
        match fs::read_to_string(&path) {
            Ok(text) => drop(found.insert(name.to_owned(), text)),
            Err(e) if e.kind() == io::ErrorKind::NotFound => {}
            Err(source) => return Err(BackupError::Files { path, source }),
        }
    }
    if found.is_empty() {
        return Ok(None);
    }
    let keys = Keys {
        slowstone: "keys".to_owned(),
        form: FORM,
        files: found,
    };
    let path = to.join(NAME);
    let odd = |e: String| files(&path)(io::Error::other(e));
    let plain = serde_json::to_vec(&keys).map_err(|e| odd(e.to_string()))?;
    let mut recipient = Recipient::new(SecretString::from(passphrase));
    recipient.set_work_factor(WORK);
    let sealed = age::encrypt(&recipient, &plain).map_err(|e| odd(e.to_string()))?;
    write_private(&path, &sealed).map_err(files(&path))?;
    Ok(Some(keys))
}

/// Opens the keys of a backup.
///
/// # Errors
/// [`BackupError::Passphrase`] if it is not the passphrase; if it is no file of keys.
pub fn open(backup: &Path, passphrase: &str) -> Result<Keys, BackupError> {
    let path = backup.join(NAME);
    let sealed = fs::read(&path).map_err(files(&path))?;
    let mut identity = Identity::new(SecretString::from(passphrase));
    identity.set_max_work_factor(MOST_WORK);
    let plain = age::decrypt(&identity, &sealed).map_err(|e| match e {
        age::DecryptError::DecryptionFailed
        | age::DecryptError::KeyDecryptionFailed
        | age::DecryptError::NoMatchingKeys => BackupError::Passphrase(path.clone()),
        other => BackupError::NoKeys {
            path: path.clone(),
            why: other.to_string(),
        },
    })?;
    let no = |why: String| BackupError::NoKeys {
        path: path.clone(),
        why,
    };
    let keys: Keys = serde_json::from_slice(&plain).map_err(|e| no(e.to_string()))?;
    if keys.slowstone != "keys" || keys.form > FORM {
        return Err(no(format!("it is of form {}", keys.form)));
    }
    Ok(keys)
}
