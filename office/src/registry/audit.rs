//! What was done at the office, by whom and when. Rows are added and never changed.

use super::Registry;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use turnwise_core::store::StoreError;

/// One thing that was done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AuditRow {
    /// Its number; a later one is greater.
    #[ts(type = "number")]
    pub id: i64,
    /// Seconds since 1970.
    #[ts(type = "number")]
    pub at: i64,
    /// The account's or the token's name.
    pub who: String,
    /// A stable code.
    pub did: String,
    /// To what: a number, a name. Never a secret.
    pub about: String,
}

impl Registry {
    /// Adds a row.
    pub fn note(&self, at: i64, who: &str, did: &str, about: &str) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction.execute(
                "INSERT INTO audit (at, who, did, about) VALUES (?1, ?2, ?3, ?4)",
                (at, who, did, about),
            )?;
            Ok(())
        })
    }

    /// At most `limit` rows before a number (the newest, where there is none), the newest first.
    pub fn audit(&self, before: Option<i64>, limit: u32) -> Result<Vec<AuditRow>, StoreError> {
        self.read(|connection| {
            connection
                .prepare_cached(
                    "SELECT id, at, who, did, about FROM audit WHERE id < ?1 ORDER BY id DESC LIMIT ?2",
                )?
                .query_map((before.unwrap_or(i64::MAX), limit), |row| {
                    Ok(AuditRow {
                        id: row.get(0)?,
                        at: row.get(1)?,
                        who: row.get(2)?,
                        did: row.get(3)?,
                        about: row.get(4)?,
                    })
                })?
                .collect()
        })
    }
}
