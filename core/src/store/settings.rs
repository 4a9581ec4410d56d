//! Small things a device remembers about itself, such as who uses it.

use super::{Store, StoreError};
use rusqlite::OptionalExtension;

impl Store {
    /// What is remembered under a key.
    pub fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        Ok(self
            .connection
            .prepare_cached("SELECT value FROM setting WHERE key = ?1")?
            .query_row([key], |row| row.get(0))
            .optional()?)
    }

    /// Remembers a value under a key, in place of what was there.
    ///
    /// # Errors
    /// What the disk says.
    pub fn set_setting(&mut self, key: &str, value: &str) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction
                .prepare_cached(
                    "INSERT INTO setting (key, value) VALUES (?1, ?2)
                     ON CONFLICT DO UPDATE SET value = excluded.value",
                )?
                .execute([key, value])?;
            Ok(())
        })
    }
}
