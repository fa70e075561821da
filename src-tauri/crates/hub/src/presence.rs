//! The note of a running hub in its data folder, `hub.json`: where it answers and since
//! when, for `slowstone status` and `slowstone open`.
//!
//! It holds the token, so only the account of the hub can read it. Whether a hub runs is
//! said by the lock ([`crate::lock`]) alone: a hub that was killed leaves its note behind.

use crate::lock;
use serde::{Deserialize, Serialize};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Name of the note in the data folder.
const NAME: &str = "hub.json";

/// What a running hub says about itself.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Presence {
    /// Its process.
    pub pid: u32,
    /// The address to open, with the token.
    pub url: String,
    /// The same without the token.
    pub address: String,
    /// When it started, by its clock, in milliseconds since 1970.
    pub since_ms: i64,
    /// Its version.
    pub version: String,
    /// How phones find it; none while the network door is closed.
    #[serde(default)]
    pub phones: Option<Phones>,
}

/// How phones find a hub.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Phones {
    /// Where, best first.
    pub addresses: Vec<String>,
    /// Until when the certificate holds that they are shown, in milliseconds since 1970.
    pub certificate_until_ms: Option<i64>,
    /// Until when the authority holds that they trust; none with certificate files.
    pub authority_until_ms: Option<i64>,
    /// What somebody has to see to about the certificate.
    pub warning: Option<String>,
}

impl std::fmt::Debug for Presence {
    /// Without the token: this may end up in a log.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Presence")
            .field("pid", &self.pid)
            .field("address", &self.address)
            .field("since_ms", &self.since_ms)
            .field("version", &self.version)
            .finish_non_exhaustive()
    }
}

/// What is to be known about the hub of a folder from outside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seen {
    /// No hub has the folder.
    NotRunning,
    /// A hub is starting, or its note cannot be read by this account.
    Unknown,
    /// A hub runs and says this.
    Running(Presence),
}

impl Presence {
    /// Leaves the note in `dir`, in place of an older one.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn write(&self, dir: &Path) -> io::Result<()> {
        let text = serde_json::to_string_pretty(self).map_err(io::Error::other)?;
        write_private(&dir.join(NAME), text.as_bytes())
    }

    /// Changes what the note in `dir` says about phones, if there is a note.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn note_phones(dir: &Path, phones: Option<Phones>) -> io::Result<()> {
        let note = fs::read(dir.join(NAME)).ok();
        let said = note.and_then(|bytes| serde_json::from_slice::<Self>(&bytes).ok());
        match said {
            Some(said) if said.phones != phones => Self { phones, ..said }.write(dir),
            _ => Ok(()),
        }
    }

    /// Takes the note away; one that is gone already is no trouble.
    pub fn remove(dir: &Path) {
        let _ = fs::remove_file(dir.join(NAME));
    }
}

/// Looks whether a hub runs on `dir` and what it says about itself.
///
/// # Errors
/// If the folder cannot be looked at.
pub fn look(dir: &Path) -> io::Result<Seen> {
    if !lock::is_taken(dir)? {
        return Ok(Seen::NotRunning);
    }
    let note = fs::read(dir.join(NAME)).ok();
    let said = note.and_then(|bytes| serde_json::from_slice(&bytes).ok());
    Ok(said.map_or(Seen::Unknown, Seen::Running))
}

/// Writes a whole file that only this account can read, under its name at once; on the disk
/// with its name when this returns.
pub(crate) fn write_private(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let part = PathBuf::from(format!("{}.part", path.display()));
    let _ = fs::remove_file(&part);
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    let mut file: File = options.open(&part)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    fs::rename(&part, path)?;
    match path.parent() {
        // Windows does that by itself and cannot be asked.
        Some(dir) if !cfg!(windows) && dir != Path::new("") => File::open(dir)?.sync_all(),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lock::Lock;

    fn note() -> Presence {
        Presence {
            pid: 7,
            url: "http://127.0.0.1:1/?t=secret".into(),
            address: "http://127.0.0.1:1".into(),
            since_ms: 5,
            version: "0".into(),
            phones: None,
        }
    }

    #[test]
    fn only_the_lock_says_that_a_hub_runs() {
        let dir = tempfile::tempdir().unwrap();
        note().write(dir.path()).unwrap();
        assert_eq!(look(dir.path()).unwrap(), Seen::NotRunning);
        let lock = Lock::take(dir.path()).unwrap();
        assert_eq!(look(dir.path()).unwrap(), Seen::Running(note()));
        Presence::remove(dir.path());
        assert_eq!(look(dir.path()).unwrap(), Seen::Unknown);
        drop(lock);
        assert_eq!(look(dir.path()).unwrap(), Seen::NotRunning);
    }

    #[cfg(unix)]
    #[test]
    fn the_token_is_for_this_account_only() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        // An older note that anybody could read does not pass its rights on.
        fs::write(dir.path().join(NAME), "{}").unwrap();
        note().write(dir.path()).unwrap();
        let mode = fs::metadata(dir.path().join(NAME)).unwrap().permissions();
        assert_eq!(mode.mode() & 0o777, 0o600);
        assert!(!format!("{:?}", note()).contains("secret"));
    }
}
