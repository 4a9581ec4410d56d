//! The office: it hands out jobs, changes requests while a crew is out, and keeps the records.
//!
//! ```text
//!   api, routes     what the page and the server say to each other
//!   handle, host    what servers and links hold
//!   engine          the one thread that owns the journals
//!   valid, told     from a request to the entries it becomes
//!   people, registry, door, desk
//!                   who works here, what is kept of them, who may call what, and their routes
//!   printed         a job's record on paper
//!   show, signed    from a folded journal to what the page shows and to the record that was signed
//! ```

pub mod api;
mod board;
mod desk;
pub mod door;
mod engine;
mod error;
mod handle;
mod host;
pub mod people;
mod printed;
pub mod registry;
mod routes;
mod show;
mod signed;
mod told;
mod valid;

pub use error::{Invalid, OfficeError};
pub use handle::{OfficeHandle, Options};
pub use routes::routes;
