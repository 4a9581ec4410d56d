//! Who is signed in.

use super::{Account, AccountId, Registry, hashed};
use rusqlite::OptionalExtension;
use turnwise_core::store::StoreError;
use uuid::Uuid;

/// A session that nobody used for this long is over: a working day.
const IDLE_S: i64 = 12 * 3600;

/// A session is over this long after the sign-in, used or not.
const LONGEST_S: i64 = 7 * 24 * 3600;

/// A signed-in person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// Who.
    pub account: Account,
    /// What the page sends back with everything that changes something.
    pub csrf: String,
}

impl Registry {
    /// Keeps a new session.
    pub fn open_session(
        &self,
        account: AccountId,
        secret: &str,
        csrf: &str,
        now: i64,
    ) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction.execute(
                "DELETE FROM session WHERE used_at < ?1 OR made_at < ?2",
                (now - IDLE_S, now - LONGEST_S),
            )?;
            transaction.execute(
                "INSERT INTO session (secret, account, csrf, made_at, used_at) VALUES (?1, ?2, ?3, ?4, ?4)",
                (hashed(secret), account.0.as_bytes(), csrf, now),
            )?;
            Ok(())
        })
    }

    /// The session that a secret opens, if it is not over and the person may still sign in.
    pub fn session(&self, secret: &str, now: i64) -> Result<Option<Session>, StoreError> {
        let found: Option<([u8; 16], String, i64)> = self.read(|connection| {
            connection
                .prepare_cached(
                    "SELECT account, csrf, used_at FROM session
                     WHERE secret = ?1 AND used_at >= ?2 AND made_at >= ?3",
                )?
                .query_row((hashed(secret), now - IDLE_S, now - LONGEST_S), |row| {
                    Ok((row.get(0)?, row.get(1)?, row.get(2)?))
                })
                .optional()
        })?;
        let Some((account, csrf, used_at)) = found else {
            return Ok(None);
        };
        let Some(account) = self.account(AccountId(Uuid::from_bytes(account)))? else {
            return Ok(None);
        };
        if !account.active {
            return Ok(None);
        }
        // Not at every request: a write waits for the disk.
        if now - used_at >= 60 {
            self.write(|transaction| {
                transaction.execute(
                    "UPDATE session SET used_at = ?2 WHERE secret = ?1",
                    (hashed(secret), now),
                )?;
                Ok(())
            })?;
        }
        Ok(Some(Session { account, csrf }))
    }

    /// Ends a session.
    pub fn close_session(&self, secret: &str) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction.execute("DELETE FROM session WHERE secret = ?1", [hashed(secret)])?;
            Ok(())
        })
    }
}
