//! Why something could not be stored or read, in words for the person who sees it: what
//! happened, to which file, and what to do.
//!
//! SQLite's and the system's codes are sorted here and nowhere else.

use rusqlite::ErrorCode;
use std::io;
use std::path::{Path, PathBuf};

/// Why the store could not do its work.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No room. What was stored before is safe.
    #[error(
        "{}: the disk is full: no room for {doing}. Everything stored before is safe. Free some space on this disk and try again",
        .path.display()
    )]
    DiskFull {
        /// File or folder concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
    },
    /// Not allowed to write.
    #[error(
        "{}: can only be read, so there is no storing {doing} in it. Give the account that runs Slowstone the right to write to this file and its folder, or choose another folder",
        .path.display()
    )]
    ReadOnly {
        /// File or folder concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
    },
    /// Not even allowed to read.
    #[error(
        "{}: cannot be opened, permission denied ({doing}). Give the account that runs Slowstone the right to read and write this file and its folder",
        .path.display()
    )]
    Denied {
        /// File or folder concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
    },
    /// Cut short, overwritten, or not a database at all.
    #[error(
        "{}: is damaged or not a Slowstone log ({detail}). Keep a copy of it as it is, then restore a backup; phones that still hold newer records will send them again",
        .path.display()
    )]
    Corrupt {
        /// File concerned.
        path: PathBuf,
        /// What was noticed.
        detail: String,
    },
    /// Written by a later version of this program.
    #[error(
        "{}: was made by a newer Slowstone (its format is {found}, this program knows up to {known}). Install the newer version; nothing was changed",
        .path.display()
    )]
    Newer {
        /// File concerned.
        path: PathBuf,
        /// Format of the file.
        found: i64,
        /// Newest format that this program knows.
        known: i64,
    },
    /// Somebody else is writing.
    #[error(
        "{}: is in use by another program, {doing} was not done. Close the other Slowstone (or the backup tool that holds the file) and try again",
        .path.display()
    )]
    Locked {
        /// File concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
    },
    /// There is nothing at that place.
    #[error(
        "{}: is not there ({doing}). Check the name of the file and whether its disk is connected",
        .path.display()
    )]
    Missing {
        /// File or folder concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
    },
    /// A file is in the way.
    #[error(
        "{}: is already there, {doing} was not done. Choose another place, or move that file away first",
        .path.display()
    )]
    Occupied {
        /// File concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
    },
    /// Stored bytes that are not what their name says.
    #[error(
        "{}: its bytes have changed since they were stored. Restore this file from a backup, or send the photo again",
        .path.display()
    )]
    Altered {
        /// File concerned.
        path: PathBuf,
    },
    /// Any other refusal of the file system.
    #[error("{}: {doing} failed: {source}. Count nothing of it as stored; check the disk and try again", .path.display())]
    Io {
        /// File or folder concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
        /// What the system said.
        source: io::Error,
    },
    /// A server that does not do what it is asked.
    #[error(
        "{place}: {doing} failed: {detail}. Count nothing of it as stored; see that the server runs and can be reached, then try again"
    )]
    Remote {
        /// Which server and what on it, without the password.
        place: String,
        /// What was tried.
        doing: &'static str,
        /// What the server or the network said.
        detail: String,
    },
    /// Any other refusal of the database.
    #[error("{}: {doing} failed: {source}. Count nothing of it as stored; check the disk and try again", .path.display())]
    Database {
        /// File concerned.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
        /// What SQLite said.
        source: rusqlite::Error,
    },
}

impl StoreError {
    /// Sorts what SQLite says about the file at `path`.
    pub(crate) fn sqlite(path: &Path, doing: &'static str, source: rusqlite::Error) -> Self {
        let path = path.to_path_buf();
        match source.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::DiskFull { path, doing },
            Some(ErrorCode::ReadOnly) => Self::ReadOnly { path, doing },
            Some(ErrorCode::PermissionDenied) => Self::Denied { path, doing },
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Corrupt {
                path,
                detail: source.to_string(),
            },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                Self::Locked { path, doing }
            }
            Some(_) => Self::Database {
                path,
                doing,
                source,
            },
            // Not from SQLite itself: a stored value that is not of its kind.
            None => Self::Corrupt {
                path,
                detail: source.to_string(),
            },
        }
    }

    /// Sorts what the file system says about writing `path`.
    #[must_use]
    pub fn io(path: &Path, doing: &'static str, source: io::Error) -> Self {
        let path = path.to_path_buf();
        match source.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                Self::DiskFull { path, doing }
            }
            io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => {
                Self::ReadOnly { path, doing }
            }
            io::ErrorKind::NotFound => Self::Missing { path, doing },
            _ => Self::Io {
                path,
                doing,
                source,
            },
        }
    }

    /// Sorts what the file system says about reading `path`.
    pub fn reading(path: &Path, doing: &'static str, source: io::Error) -> Self {
        if source.kind() == io::ErrorKind::PermissionDenied {
            Self::Denied {
                path: path.to_path_buf(),
                doing,
            }
        } else {
            Self::io(path, doing, source)
        }
    }

    /// A damaged file, with what was noticed.
    pub(crate) fn corrupt(path: &Path, detail: impl Into<String>) -> Self {
        Self::Corrupt {
            path: path.to_path_buf(),
            detail: detail.into(),
        }
    }
}
