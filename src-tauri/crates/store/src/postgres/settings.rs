//! The settings that the hubs of one database share.
//!
//! What must happen once only, such as telling a reminder, goes through
//! [`Settings::replace`], which the database decides. What settings are for: [`Settings`].

use super::PostgresLog;
use crate::error::StoreError;
use crate::log::Settings;

const STORING: &str = "storing a setting";
const READING: &str = "reading the settings";

impl Settings for PostgresLog {
    fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        let ask = "SELECT value FROM slowstone_setting WHERE key = $1";
        let row = self.run(READING, |db| db.query_opt(ask, &[&key]))?;
        Ok(row.map(|row| row.get(0)))
    }

    fn set(&mut self, key: &str, value: &str) -> Result<(), StoreError> {
        let put = "INSERT INTO slowstone_setting (key, value) VALUES ($1, $2)
            ON CONFLICT (key) DO UPDATE SET value = excluded.value";
        self.run(STORING, |db| db.execute(put, &[&key, &value]))?;
        Ok(())
    }

    fn replace(
        &mut self,
        key: &str,
        before: Option<&str>,
        value: &str,
    ) -> Result<bool, StoreError> {
        let changed = self.run(STORING, |db| match before {
            Some(before) => db.execute(
                "UPDATE slowstone_setting SET value = $3 WHERE key = $1 AND value = $2",
                &[&key, &before, &value],
            ),
            None => db.execute(
                "INSERT INTO slowstone_setting (key, value) VALUES ($1, $2)
                 ON CONFLICT (key) DO NOTHING",
                &[&key, &value],
            ),
        })?;
        Ok(changed == 1)
    }

    fn remove(&mut self, key: &str) -> Result<(), StoreError> {
        let forget = "DELETE FROM slowstone_setting WHERE key = $1";
        self.run(STORING, |db| db.execute(forget, &[&key]))?;
        Ok(())
    }

    fn with_prefix(&self, prefix: &str) -> Result<Vec<(String, String)>, StoreError> {
        let ask = "SELECT key, value FROM slowstone_setting
            WHERE starts_with(key, $1) ORDER BY key";
        let rows = self.run(READING, |db| db.query(ask, &[&prefix]))?;
        Ok(rows.iter().map(|row| (row.get(0), row.get(1))).collect())
    }
}
