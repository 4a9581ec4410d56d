//! Passwords: kept as Argon2id (RFC 9106), so that a stolen file is no list of passwords.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};

/// The fewest characters. Length is what makes a password hard to guess (NIST SP 800-63B asks for 8 at least, and
/// says not to ask for a mixture of characters).
const FEWEST: usize = 10;

/// More than this is no password: each try costs time in proportion.
const MOST: usize = 256;

/// Why a password is not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PasswordError {
    /// Too easy to guess.
    #[error("the password needs at least {FEWEST} characters")]
    TooShort,
    /// Not a password.
    #[error("the password may have at most {MOST} characters")]
    TooLong,
    /// The system gave no randomness, or the hash could not be made.
    #[error("the password could not be kept")]
    NotKept,
}

impl PasswordError {
    /// A stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::TooShort => "password_too_short",
            Self::TooLong => "password_too_long",
            Self::NotKept => "password_not_kept",
        }
    }
}

/// What is kept of a password. Takes tens of milliseconds and 19 MB, on purpose.
pub fn hash_password(password: &str) -> Result<String, PasswordError> {
    let length = password.chars().count();
    if length < FEWEST {
        return Err(PasswordError::TooShort);
    }
    if length > MOST {
        return Err(PasswordError::TooLong);
    }
    Argon2::default()
        .hash_password(password.as_bytes())
        .map(|hash| hash.to_string())
        .map_err(|_| PasswordError::NotKept)
}

/// Whether a password is the one that was kept. With nothing kept it takes as long and is false: how long an answer
/// takes tells nobody which names exist.
pub fn check_password(password: &str, kept: Option<&str>) -> bool {
    /// Of a password that nobody has: it was drawn and thrown away.
    const NOBODYS: &str =
        "$argon2id$v=19$m=19456,t=2,p=1$c29tZXNhbHRzb21lc2FsdA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";
    if password.chars().count() > MOST {
        return false;
    }
    let Ok(hash) = PasswordHash::new(kept.unwrap_or(NOBODYS)) else {
        return false;
    };
    let matches = Argon2::default()
        .verify_password(password.as_bytes(), &hash)
        .is_ok();
    matches && kept.is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_very_password_opens_and_two_hashes_of_it_differ() {
        let kept = hash_password("a long enough one").unwrap();
        assert!(kept.starts_with("$argon2id$v=19$"));
        assert!(check_password("a long enough one", Some(&kept)));
        for wrong in ["a long enough on", "a long enough one ", "", "A long enough one"] {
            assert!(!check_password(wrong, Some(&kept)), "{wrong:?} opened");
        }
        assert_ne!(kept, hash_password("a long enough one").unwrap());
    }

    #[test]
    fn a_password_that_is_too_short_or_too_long_is_not_kept() {
        assert_eq!(hash_password("nine char"), Err(PasswordError::TooShort));
        assert_eq!(hash_password(&"x".repeat(257)), Err(PasswordError::TooLong));
        assert!(!check_password(&"x".repeat(1_000_000), None));
    }

    #[test]
    fn where_nobody_has_the_name_nothing_opens() {
        assert!(!check_password("anything at all", None));
        assert!(!check_password("anything at all", Some("not a hash")));
    }

    #[test]
    fn the_stand_in_for_a_name_nobody_has_costs_what_a_real_one_costs() {
        let real = hash_password("a long enough one").unwrap();
        let cost = |hash: &str| hash.split('$').nth(3).unwrap().to_owned();
        assert!(cost(&real).starts_with("m=19456,t=2,p=1"));
    }
}
