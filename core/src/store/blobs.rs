//! Photographs and logger files, by the SHA-256 of their bytes.

use super::{Store, StoreError};
use rusqlite::OptionalExtension;
use sha2::{Digest, Sha256};
use std::fmt;
use std::str::FromStr;

/// SHA-256 of some bytes: what a blob or a signed record is found by. Shown as 64 lower-case hex digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentHash(pub [u8; 32]);

impl ContentHash {
    /// The hash of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }
}

impl fmt::Display for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&crate::record::hex(&self.0))
    }
}

/// The text is not 64 hex digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a SHA-256 is written as 64 hex digits")]
pub struct NotAContentHash;

impl FromStr for ContentHash {
    type Err = NotAContentHash;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let digits = text.as_bytes();
        if digits.len() != 64 {
            return Err(NotAContentHash);
        }
        let mut hash = [0; 32];
        for (byte, pair) in hash.iter_mut().zip(digits.chunks_exact(2)) {
            for &digit in pair {
                let value = char::from(digit).to_digit(16).ok_or(NotAContentHash)?;
                *byte = *byte << 4 | u8::try_from(value).map_err(|_| NotAContentHash)?;
            }
        }
        Ok(Self(hash))
    }
}

impl Store {
    /// Keeps some bytes and answers what they are found by.
    ///
    /// # Errors
    /// What the disk says.
    pub fn keep_blob(&mut self, bytes: &[u8]) -> Result<ContentHash, StoreError> {
        let hash = ContentHash::of(bytes);
        if !self.has_blob(hash)? {
            self.write(|transaction| {
                transaction
                    .prepare_cached("INSERT INTO blob (sha256, bytes) VALUES (?1, ?2)")?
                    .execute((hash.0, bytes))?;
                Ok(())
            })?;
        }
        Ok(hash)
    }

    /// Whether the blob is here.
    pub fn has_blob(&self, hash: ContentHash) -> Result<bool, StoreError> {
        Ok(self
            .connection
            .prepare_cached("SELECT 1 FROM blob WHERE sha256 = ?1")?
            .exists([hash.0])?)
    }

    /// The bytes of a blob, or none where it is not here.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] where the bytes are no longer those that were kept.
    pub fn blob(&self, hash: ContentHash) -> Result<Option<Vec<u8>>, StoreError> {
        let bytes: Option<Vec<u8>> = self
            .connection
            .prepare_cached("SELECT bytes FROM blob WHERE sha256 = ?1")?
            .query_row([hash.0], |row| row.get(0))
            .optional()?;
        match bytes {
            Some(bytes) if ContentHash::of(&bytes) != hash => Err(StoreError::Corrupt(format!(
                "the bytes of blob {hash} have changed"
            ))),
            other => Ok(other),
        }
    }
}
