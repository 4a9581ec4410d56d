//! Tokens by which other programs ask.

use super::{Registry, hashed};
use crate::people::DeskRole;
use rusqlite::{OptionalExtension, Row};
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use turnwise_core::store::StoreError;
use uuid::Uuid;

/// One token.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
pub struct ApiTokenId(pub Uuid);

/// What is kept of a token: never the token itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ApiToken {
    /// Which.
    pub id: ApiTokenId,
    /// What it is for.
    pub name: String,
    /// What it may do.
    pub role: DeskRole,
    /// Seconds since 1970.
    pub made_at: i64,
    /// Since when it opens nothing.
    pub revoked_at: Option<i64>,
}

fn token(row: &Row<'_>) -> rusqlite::Result<ApiToken> {
    Ok(ApiToken {
        id: ApiTokenId(Uuid::from_bytes(row.get(0)?)),
        name: row.get(1)?,
        role: row.get::<_, String>(2)?.parse().unwrap_or(DeskRole::Reader),
        made_at: row.get(3)?,
        revoked_at: row.get(4)?,
    })
}

impl Registry {
    /// Keeps a new token.
    pub fn add_token(&self, new: &ApiToken, secret: &str) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction.execute(
                "INSERT INTO api_token (id, secret, name, role, made_at) VALUES (?1, ?2, ?3, ?4, ?5)",
                (
                    new.id.0.as_bytes(),
                    hashed(secret),
                    &new.name,
                    new.role.as_str(),
                    new.made_at,
                ),
            )?;
            Ok(())
        })
    }

    /// The token that a secret is, unless it was revoked.
    pub fn token(&self, secret: &str) -> Result<Option<ApiToken>, StoreError> {
        self.read(|connection| {
            connection
                .prepare_cached(
                    "SELECT id, name, role, made_at, revoked_at FROM api_token
                     WHERE secret = ?1 AND revoked_at IS NULL",
                )?
                .query_row([hashed(secret)], token)
                .optional()
        })
    }

    /// Every token ever made, the newest first.
    pub fn tokens(&self) -> Result<Vec<ApiToken>, StoreError> {
        self.read(|connection| {
            connection
                .prepare_cached(
                    "SELECT id, name, role, made_at, revoked_at FROM api_token ORDER BY made_at DESC, id DESC",
                )?
                .query_map([], token)?
                .collect()
        })
    }

    /// Revokes a token for good. False: there is none that still opens anything.
    pub fn revoke_token(&self, id: ApiTokenId, now: i64) -> Result<bool, StoreError> {
        self.write(|transaction| {
            let revoked = transaction.execute(
                "UPDATE api_token SET revoked_at = ?2 WHERE id = ?1 AND revoked_at IS NULL",
                (id.0.as_bytes(), now),
            )?;
            Ok(revoked == 1)
        })
    }
}
