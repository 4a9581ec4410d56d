//! Whether a file is what somebody signed: who, what, when, and whether anything was changed since.
//!
//! Nothing is folded or computed anew here: the record in the file is taken as it is, and held against the signatures.

mod attachment;
mod digest;
mod report;

pub use attachment::{ATTACHMENT_LIMIT, AttachmentError, attached_json};
pub use digest::{VerifyError, digest_of, verify_digest};
pub use report::{Fault, Kind, Report, SealReport, SignatureReport, export_in, verify};
