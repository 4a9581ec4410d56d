//! The record of a job, as others will read it: written out so that a person can read it too, and checked
//! against the digest that was signed.
//!
//! What a record says is made in the core, as canonical bytes. Here they are only spelled: figures keep the
//! digits and the unit that were typed.

pub mod pdf;
pub mod schema;
mod strict;
pub mod verify;
mod write;

pub use verify::{Report, VerifyError, digest_of, verify_digest};
pub use write::{WriteError, pretty};
