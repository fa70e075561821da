//! Copies of a log: out of a running hub, and back.
//!
//! A copy is written under another name and gets its own when it is whole and on the disk;
//! nothing is ever overwritten. Photos are files and are copied as such by the caller.

use super::SqliteLog;
use crate::error::StoreError;
use crate::schema;
use crate::verify::{Report, verify};
use rusqlite::Connection;
use slowstone_sync::HubEpoch;
use std::fs;
use std::path::Path;

const BACKUP: &str = "the backup";
const RESTORING: &str = "the restored log";

impl SqliteLog {
    /// Writes a whole copy of the log to the new file `to`, while the hub goes on.
    ///
    /// # Errors
    /// If `to` is there already or cannot be written; no part of it is left then.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        self.copy(to, None, BACKUP)
    }

    /// Copies the log to `to`, with a new epoch if one is given.
    fn copy(
        &self,
        to: &Path,
        fresh: Option<&HubEpoch>,
        doing: &'static str,
    ) -> Result<(), StoreError> {
        schema::no_leftovers(to, doing)?;
        let part = schema::beside(to, &format!(".part-{}", std::process::id()));
        let _ = fs::remove_file(&part);
        let fill = || -> rusqlite::Result<()> {
            let name = part.to_string_lossy();
            self.db.execute("VACUUM INTO ?1", [name.as_ref()])?;
            if let Some(fresh) = fresh {
                let copy = Connection::open(&part)?;
                schema::set_epoch(&copy, fresh)?;
                copy.close().map_err(|(_, e)| e)?;
            }
            Ok(())
        };
        let done = fill()
            .map_err(|e| StoreError::sqlite(to, doing, e))
            .and_then(|()| schema::settle(&part, to, doing));
        if done.is_err() {
            let _ = fs::remove_file(&part);
        }
        done
    }
}

/// Makes the log at `to` from the backup file `backup`: checks it, copies it, and gives the
/// copy a new epoch, by which clients notice that they must offer again what it lacks.
///
/// # Errors
/// If the backup is damaged, or if `to` is there already: nothing is overwritten, the old
/// file must be moved away first.
pub fn restore(backup: &Path, to: &Path, fresh: &HubEpoch) -> Result<Report, StoreError> {
    let log = SqliteLog::open_read_only(backup)?;
    if let Some(line) = log.check_file()?.into_iter().next() {
        return Err(StoreError::corrupt(backup, line));
    }
    let report = verify(&log)?;
    if let Some(fault) = report.faults.first() {
        return Err(StoreError::corrupt(backup, fault.to_string()));
    }
    log.copy(to, Some(fresh), RESTORING)?;
    Ok(report)
}
