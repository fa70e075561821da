//! Why there is no backup, or no data from one, in words for a person: what, why, and what
//! to do. What the store says is passed on as it is.
//! Backups are made and read in [`super`].

use crate::error::HubError;
use slowstone_store::StoreError;
use std::io;
use std::path::{Path, PathBuf};

/// The form of backups that this program makes and knows.
pub(super) const FORMAT: u32 = 1;

/// Why there is no backup, or no data from one.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// The folder holds something else.
    #[error(
        "{}: is neither new nor an earlier backup, so nothing was written. Name a folder that does not exist yet",
        .0.display()
    )]
    NotABackup(PathBuf),
    /// The earlier backup is not one of these data.
    #[error(
        "{}: the backup there holds records that these data lack (stream {stream}), so it was left as it is. Name another folder for this backup; if the data are older than the backup, restore it instead",
        .to.display()
    )]
    OfOthers {
        /// The earlier backup.
        to: PathBuf,
        /// A stream of which it knows more, or other things.
        stream: String,
    },
    /// One within the other.
    #[error(
        "{}: lies within the data themselves, and would be lost with them. Name a folder elsewhere, at best on another disk",
        .0.display()
    )]
    Inside(PathBuf),
    /// Two at once.
    #[error("{}: another backup is being written there. Wait for it to end", .0.display())]
    Busy(PathBuf),
    /// A backup of a later version.
    #[error(
        "{}: was made by a newer Slowstone (form {found}, this program knows {FORMAT}). Install the newer version; nothing was changed",
        .path.display()
    )]
    Newer {
        /// The backup.
        path: PathBuf,
        /// Its form.
        found: u32,
    },
    /// A backup that was never made to its end.
    #[error(
        "{}: this backup was never finished. Make it again with `slowstone backup`, or restore another one",
        .0.display()
    )]
    Unfinished(PathBuf),
    /// The folder to restore into holds something.
    #[error(
        "{}: is not empty (it has {found:?}), and nothing is ever overwritten. Name a new folder, or move that one away first",
        .path.display()
    )]
    NotEmpty {
        /// The folder.
        path: PathBuf,
        /// Something in it.
        found: String,
    },
    /// The copy does not hold.
    #[error(
        "{}: the log does not hold ({why}), so no backup of it was made and an earlier one is as it was. Look with `slowstone verify`",
        .path.display()
    )]
    Broken {
        /// The log that was copied.
        path: PathBuf,
        /// What was found.
        why: String,
    },
    /// The passphrase does not open the keys.
    #[error(
        "{}: the keys do not open with this passphrase, so nothing was restored. Try again, or restore without them with --without-keys: every phone then has to trust the hub anew",
        .0.display()
    )]
    Passphrase(PathBuf),
    /// The keys cannot be read.
    #[error(
        "{}: the keys cannot be read ({why}), so nothing was restored. Restore without them with --without-keys: every phone then has to trust the hub anew",
        .path.display()
    )]
    NoKeys {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
    /// Files cannot be read or written.
    #[error("{}: {source}. Check that the disk is there, has room and may be written", .path.display())]
    Files {
        /// File or folder concerned.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// What the store says.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// What the hub says.
    #[error("{0}")]
    Hub(#[from] Box<HubError>),
}

/// What the system says about a file or a folder.
pub(super) fn files(path: &Path) -> impl Fn(io::Error) -> BackupError {
    let path = path.to_path_buf();
    move |source| BackupError::Files {
        path: path.clone(),
        source,
    }
}
