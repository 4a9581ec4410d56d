//! People who may work at the office's pages.

use super::Registry;
use crate::people::DeskRole;
use rusqlite::{OptionalExtension, Row};
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use turnwise_core::store::StoreError;
use uuid::Uuid;

/// One account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
pub struct AccountId(pub Uuid);

/// A person's account, as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Which.
    pub id: AccountId,
    /// The name to sign in with. Capital letters make no difference.
    pub name: String,
    /// What the person may do.
    pub role: DeskRole,
    /// The password as an Argon2id string.
    pub password: String,
    /// Whether the person may sign in.
    pub active: bool,
    /// Seconds since 1970.
    pub made_at: i64,
}

const COLUMNS: &str = "id, name, role, password, active, made_at";

fn account(row: &Row<'_>) -> rusqlite::Result<Account> {
    Ok(Account {
        id: AccountId(Uuid::from_bytes(row.get(0)?)),
        name: row.get(1)?,
        // A role that this program does not know may do the least.
        role: row.get::<_, String>(2)?.parse().unwrap_or(DeskRole::Reader),
        password: row.get(3)?,
        active: row.get(4)?,
        made_at: row.get(5)?,
    })
}

impl Registry {
    /// Everybody, by name.
    pub fn accounts(&self) -> Result<Vec<Account>, StoreError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!(
                    "SELECT {COLUMNS} FROM account ORDER BY name COLLATE NOCASE"
                ))?
                .query_map([], account)?
                .collect()
        })
    }

    /// The account that signs in with a name.
    pub fn account_named(&self, name: &str) -> Result<Option<Account>, StoreError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!("SELECT {COLUMNS} FROM account WHERE name = ?1"))?
                .query_row([name], account)
                .optional()
        })
    }

    /// One account.
    pub fn account(&self, id: AccountId) -> Result<Option<Account>, StoreError> {
        self.read(|connection| {
            connection
                .prepare_cached(&format!("SELECT {COLUMNS} FROM account WHERE id = ?1"))?
                .query_row([id.0.as_bytes()], account)
                .optional()
        })
    }

    /// Keeps a new account. False: the name is taken.
    pub fn add_account(&self, new: &Account) -> Result<bool, StoreError> {
        self.write(|transaction| {
            let added = transaction.execute(
                "INSERT INTO account (id, name, role, password, active, made_at)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6) ON CONFLICT (name) DO NOTHING",
                (
                    new.id.0.as_bytes(),
                    &new.name,
                    new.role.as_str(),
                    &new.password,
                    new.active,
                    new.made_at,
                ),
            )?;
            Ok(added == 1)
        })
    }

    /// Changes an account's role, whether it may sign in, and its password where one is given. Whoever loses the
    /// account, the role or the password is signed out everywhere.
    ///
    /// Refuses (false) what would leave nobody who can let people in.
    pub fn change_account(
        &self,
        id: AccountId,
        role: DeskRole,
        active: bool,
        password: Option<&str>,
    ) -> Result<bool, StoreError> {
        self.write(|transaction| {
            let others: u32 = transaction.query_row(
                "SELECT count(*) FROM account WHERE role = ?1 AND active = 1 AND id <> ?2",
                (DeskRole::Administrator.as_str(), id.0.as_bytes()),
                |row| row.get(0),
            )?;
            if others == 0 && !(active && role == DeskRole::Administrator) {
                return Ok(false);
            }
            transaction.execute(
                "UPDATE account SET role = ?2, active = ?3, password = coalesce(?4, password) WHERE id = ?1",
                (id.0.as_bytes(), role.as_str(), active, password),
            )?;
            transaction.execute("DELETE FROM session WHERE account = ?1", [id.0.as_bytes()])?;
            Ok(true)
        })
    }
}
