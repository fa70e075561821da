//! One hub for one data folder: an exclusive lock on `hub.lock` for as long as it lives.
//!
//! The system drops the lock with the process, however it ends; the file stays and means
//! nothing by itself.

use crate::error::HubError;
use fs4::{FileExt, TryLockError};
use std::fs::{self, File, OpenOptions};
use std::path::Path;

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
            .open(dir.join("hub.lock"))
            .map_err(folder)?;
        match FileExt::try_lock(&file) {
            Ok(()) => Ok(Self { _file: file }),
            Err(TryLockError::WouldBlock) => Err(HubError::AlreadyRunning(dir.to_path_buf())),
            Err(TryLockError::Error(source)) => Err(folder(source)),
        }
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
        drop(first);
        Lock::take(dir.path()).unwrap();
    }
}
