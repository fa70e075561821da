//! The settings of a hub in the same SQLite file as its log.
//!
//! They may change, the log may not; both are on the disk when a call returns. What they
//! are for: [`Settings`].

use super::SqliteLog;
use crate::error::StoreError;
use crate::log::Settings;
use rusqlite::OptionalExtension;

const SETTING: &str = "the setting";

impl Settings for SqliteLog {
    fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.db
            .prepare_cached("SELECT value FROM setting WHERE key = ?1")
            .and_then(|mut ask| ask.query_row([key], |r| r.get(0)).optional())
            .map_err(|e| self.error("reading a setting", e))
    }

    fn set(&mut self, key: &str, value: &str) -> Result<(), StoreError> {
        self.db
            .prepare_cached(
                "INSERT INTO setting (key, value) VALUES (?1, ?2)
                 ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            )
            .and_then(|mut run| run.execute([key, value]))
            .map(|_| ())
            .map_err(|e| self.error(SETTING, e))
    }

    fn remove(&mut self, key: &str) -> Result<(), StoreError> {
        self.db
            .prepare_cached("DELETE FROM setting WHERE key = ?1")
            .and_then(|mut run| run.execute([key]))
            .map(|_| ())
            .map_err(|e| self.error(SETTING, e))
    }

    fn with_prefix(&self, prefix: &str) -> Result<Vec<(String, String)>, StoreError> {
        let ask = || -> rusqlite::Result<Vec<(String, String)>> {
            let mut found = Vec::new();
            let mut ask = self
                .db
                .prepare_cached("SELECT key, value FROM setting WHERE key >= ?1 ORDER BY key")?;
            let mut rows = ask.query([prefix])?;
            while let Some(row) = rows.next()? {
                let key: String = row.get(0)?;
                if !key.starts_with(prefix) {
                    break;
                }
                found.push((key, row.get(1)?));
            }
            Ok(found)
        };
        ask().map_err(|e| self.error("reading the settings", e))
    }
}
