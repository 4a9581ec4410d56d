//! Who works at the office's pages, and how they prove it.

mod password;
mod role;
mod tries;

pub use password::{PasswordError, check_password, hash_password};
pub use role::{DeskRole, UnknownRole};
pub use tries::Tries;
