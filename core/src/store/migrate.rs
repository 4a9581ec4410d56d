//! Brings a database to the schema of this program, one numbered step after the other.

use super::StoreError;
use rusqlite::{Connection, TransactionBehavior};

/// The steps. Step `n` of the list leaves the database at `user_version` n + 1.
const STEPS: &[&str] = &[
    include_str!("migrations/001_first.sql"),
    include_str!("migrations/002_crew_link.sql"),
];

fn number_of(steps: &[&str]) -> u32 {
    u32::try_from(steps.len()).unwrap_or(u32::MAX)
}

/// Brings a device's database to the newest schema.
pub(super) fn migrate(connection: &mut Connection) -> Result<(), StoreError> {
    run_steps(connection, STEPS)
}

/// Runs those of `steps` that the database lacks. Step `n` of the list leaves it at `user_version` n + 1.
///
/// # Errors
/// [`StoreError::SchemaNewer`], before anything is touched, for a database of a newer program; else what the disk
/// says. A step that fails leaves the database as it was before that step.
pub(super) fn run_steps(connection: &mut Connection, steps: &[&str]) -> Result<(), StoreError> {
    let found: u32 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let known = number_of(steps);
    if found > known {
        return Err(StoreError::SchemaNewer { found, known });
    }
    for (number, sql) in (1u32..).zip(steps).skip_while(|(number, _)| *number <= found) {
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.execute_batch(sql)?;
        transaction.pragma_update(None, "user_version", number)?;
        transaction.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use sha2::{Digest, Sha256};

    /// The newest schema that this program knows.
    fn newest() -> u32 {
        number_of(STEPS)
    }

    /// One line a step. A released step never changes: add a step, then a line. (Until the first release the digest
    /// follows the file.)
    const DIGESTS: &[&str] = &[
        "2f213f93d83941844a53ff28e7c869902b9117984ecc0f21cf305b7d313acf8f",
        "8b12132246fa1a1de083148ed021681696801136a62fa105577f578e03d182dd",
    ];

    #[test]
    fn a_step_that_was_released_is_never_edited() {
        let digests: Vec<String> = STEPS
            .iter()
            .map(|sql| crate::record::hex(&Sha256::digest(sql.as_bytes())))
            .collect();
        assert_eq!(digests, DIGESTS);
    }

    #[test]
    fn a_new_database_gets_every_step_and_an_old_one_none_twice() {
        let mut connection = Connection::open_in_memory().unwrap();
        migrate(&mut connection).unwrap();
        migrate(&mut connection).unwrap();
        let version: u32 = connection
            .pragma_query_value(None, "user_version", |row| row.get(0))
            .unwrap();
        assert_eq!(version, newest());
    }

    #[test]
    fn a_database_of_the_first_schema_keeps_its_rows_and_can_pair() {
        let mut connection = Connection::open_in_memory().unwrap();
        connection.execute_batch(STEPS[0]).unwrap();
        connection.pragma_update(None, "user_version", 1).unwrap();
        connection
            .execute("INSERT INTO setting (key, value) VALUES ('person', 'Ana')", [])
            .unwrap();
        migrate(&mut connection).unwrap();
        let person: String = connection
            .query_row("SELECT value FROM setting", [], |row| row.get(0))
            .unwrap();
        let pins: u32 = connection
            .query_row("SELECT count(*) FROM pin", [], |row| row.get(0))
            .unwrap();
        assert_eq!((person.as_str(), pins), ("Ana", 0));
    }

    #[test]
    fn a_newer_schema_is_refused_and_left_alone() {
        let mut connection = Connection::open_in_memory().unwrap();
        connection
            .pragma_update(None, "user_version", newest() + 1)
            .unwrap();
        let error = migrate(&mut connection).unwrap_err();
        assert_eq!(error.code(), "schema_newer");
        let tables: u32 = connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .unwrap();
        assert_eq!(tables, 0);
    }
}
