//! One hub for one data folder: an exclusive lock on `hub.lock` for as long as it lives.
//!
//! The system drops the lock with the process, however it ends; the file stays and means
//! nothing by itself.

use crate::error::HubError;
use fs4::{FileExt, TryLockError};
use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::Path;
use std::time::Duration;

/// Name of the file in the data folder.
const NAME: &str = "hub.lock";

/// Somebody who only asks ([`is_taken`]) holds the lock for an instant: it is tried again
/// so many times, so long apart.
const TRIES: u32 = 4;
const APART: Duration = Duration::from_millis(50);

/// The lock of a data folder.
#[derive(Debug)]
pub struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the lock of `dir`, which is made if need be.
    ///
    /// # Errors
    /// [`HubError::AlreadyRunning`] if another hub has it, or if the folder cannot be
    /// made or written.
    pub fn take(dir: &Path) -> Result<Self, HubError> {
        let folder = |source| HubError::Folder {
            path: dir.to_path_buf(),
            source,
        };
        fs::create_dir_all(dir).map_err(folder)?;
        let file = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(dir.join(NAME))
            .map_err(folder)?;
        for _ in 0..TRIES {
            match FileExt::try_lock(&file) {
                Ok(()) => return Ok(Self { _file: file }),
                Err(TryLockError::WouldBlock) => std::thread::sleep(APART),
                Err(TryLockError::Error(source)) => return Err(folder(source)),
            }
        }
        Err(HubError::AlreadyRunning(dir.to_path_buf()))
    }
}

/// Whether somebody has the lock of `dir`.
///
/// # Errors
/// If the folder or the file of the lock cannot be read.
pub fn is_taken(dir: &Path) -> io::Result<bool> {
    let file = match File::open(dir.join(NAME)) {
        Ok(file) => file,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(e) => return Err(e),
    };
    match FileExt::try_lock_shared(&file) {
        Ok(()) => Ok(false),
        Err(TryLockError::WouldBlock) => Ok(true),
        Err(TryLockError::Error(e)) => Err(e),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_one_is_told_which_folder() {
        let dir = tempfile::tempdir().unwrap();
        let first = Lock::take(dir.path()).unwrap();
        let said = Lock::take(dir.path()).unwrap_err();
        assert!(said.to_string().contains(&dir.path().display().to_string()));
        assert_eq!(said.exit_code(), 3);
        assert!(is_taken(dir.path()).unwrap());
        drop(first);
        assert!(!is_taken(dir.path()).unwrap());
        Lock::take(dir.path()).unwrap();
    }
}
