//! Why the hub could not start or could not do what it was asked, in words for a person.
//!
//! What the store says is passed on as it is: it names the file and what to do. How an
//! error becomes an HTTP answer: [`crate::api::Refusal`].

use crate::chance::NoChance;
use slowstone_store::StoreError;
use slowstone_sync::BadId;
use std::io;
use std::path::PathBuf;

/// Why the hub could not start.
#[derive(Debug, thiserror::Error)]
pub enum HubError {
    /// Another hub works on the same data.
    #[error(
        "Another Slowstone hub is already running on {}. Use that one (its window or the address that it printed), stop it first, or choose another folder with --data",
        .0.display()
    )]
    AlreadyRunning(PathBuf),
    /// The folder is a backup: two lives of one log would write into the same streams.
    #[error(
        "{}: this is a backup, and a hub that ran on it would spoil it. Make a data folder of it with `slowstone restore {} --data DIR`",
        .0.display(), .0.display()
    )]
    IsBackup(PathBuf),
    /// The data folder cannot be made or written.
    #[error("{}: the data folder cannot be used ({source}). Give this account the right to write there, or choose another folder with --data", .path.display())]
    Folder {
        /// Which folder or file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The log is there but does not hold.
    #[error(
        "{source}.\nSee what is left:      slowstone verify --data {0}\nGo on from a backup:   slowstone restore BACKUP --data NEW-FOLDER",
        .dir.display()
    )]
    Damaged {
        /// The data folder.
        dir: PathBuf,
        /// What was noticed.
        source: Box<StoreError>,
    },
    /// The store cannot be opened or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A log of its own in the folder of a hub that is to use a shared one.
    #[error(
        "{}: this folder has a log of its own. Bring it into the database with `slowstone move-store --from {} --to URL --photos URL`, or name another folder with --data",
        .0.display(), .0.display()
    )]
    NotMoved(PathBuf),
    /// The log of this folder is elsewhere now.
    #[error(
        "{}: the log of this folder is now in the {store}, its photos in {photos}. Start the hub with --store and --photos",
        .dir.display()
    )]
    HasMoved {
        /// The data folder.
        dir: PathBuf,
        /// The database, without its password.
        store: String,
        /// The photos.
        photos: String,
    },
    /// The log could not be moved.
    #[error("{0}")]
    Moving(String),
    /// No address to listen on.
    #[error(
        "The hub cannot listen on this computer ({0}). Close a program that uses its network ports, or choose another one with --port"
    )]
    Listen(io::Error),
    /// No randomness.
    #[error(transparent)]
    Chance(#[from] NoChance),
    /// A fault of this program.
    #[error("This program failed by a fault of its own ({0}). Please report this")]
    Fault(String),
    /// The demonstration site is broken: a fault of this program.
    #[error(
        "The demonstration site could not be made ({0}). Start with --empty, and please report this"
    )]
    Demo(String),
}

impl From<BadId> for HubError {
    fn from(e: BadId) -> Self {
        Self::Fault(e.to_string())
    }
}

impl HubError {
    /// Exit status of the command: 3 when another hub is running, else 1.
    #[must_use]
    pub const fn exit_code(&self) -> u8 {
        match self {
            Self::AlreadyRunning(_) => 3,
            _ => 1,
        }
    }
}
