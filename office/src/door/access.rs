//! Who may call what: every route with the roles that may. A route that is not listed is closed to everybody.

use crate::people::DeskRole::{self, Administrator, Lead, Office, Reader, Technician};
use axum::http::Method;

/// Who may call a route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Allowed {
    /// Anybody who reaches the server.
    Everybody,
    /// These roles, signed in.
    Roles(&'static [DeskRole]),
}

/// Reads work and records.
const READERS: Allowed = Allowed::Roles(&[Administrator, Office, Lead, Technician, Reader]);
/// Hands out work, changes requests.
const DISPATCHERS: Allowed = Allowed::Roles(&[Administrator, Office]);
/// Lets people and programs in.
const ADMINISTRATORS: Allowed = Allowed::Roles(&[Administrator]);

/// The table.
pub const ACCESS: &[(Method, &str, Allowed)] = &[
    // A device that links says who it is inside the link.
    (Method::GET, "/link", Allowed::Everybody),
    (Method::GET, "/api/session", Allowed::Everybody),
    (Method::POST, "/api/session", Allowed::Everybody),
    (Method::DELETE, "/api/session", READERS),
    (Method::POST, "/api/session/password", READERS),
    (Method::GET, "/api/changes", READERS),
    (Method::GET, "/api/jobs", READERS),
    (Method::POST, "/api/jobs", DISPATCHERS),
    (Method::GET, "/api/jobs/{job}", READERS),
    (Method::POST, "/api/jobs/{job}/request", DISPATCHERS),
    (Method::GET, "/api/jobs/{job}/export.json", READERS),
    (Method::GET, "/api/jobs/{job}/export.csv", READERS),
    (Method::GET, "/api/jobs/{job}/record.json", READERS),
    (Method::GET, "/api/jobs/{job}/record.pdf", READERS),
    (Method::POST, "/api/procedures/reload", DISPATCHERS),
    (Method::GET, "/api/people", ADMINISTRATORS),
    (Method::POST, "/api/people", ADMINISTRATORS),
    (Method::POST, "/api/people/{person}", ADMINISTRATORS),
    (Method::GET, "/api/tokens", ADMINISTRATORS),
    (Method::POST, "/api/tokens", ADMINISTRATORS),
    (Method::DELETE, "/api/tokens/{token}", ADMINISTRATORS),
    (Method::GET, "/api/audit", ADMINISTRATORS),
];

/// Who may call a route, if it is listed.
pub fn allowed(method: &Method, route: &str) -> Option<Allowed> {
    // A HEAD is a GET whose answer nobody reads.
    let method = if method == Method::HEAD {
        &Method::GET
    } else {
        method
    };
    ACCESS
        .iter()
        .find(|(listed, path, _)| listed == method && *path == route)
        .map(|(_, _, allowed)| *allowed)
}
