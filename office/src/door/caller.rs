//! Who calls.

use super::{CSRF_HEADER, same};
use crate::people::DeskRole;
use crate::registry::{AccountId, ApiToken, Session};
use axum::http::HeaderMap;

/// Who calls, and how they came in.
#[derive(Clone, Debug)]
pub struct Caller {
    /// As the audit trail names them.
    pub name: String,
    /// What they may do.
    pub role: DeskRole,
    /// How they came in.
    pub way: Way,
}

/// How a caller came in.
#[derive(Clone, Debug)]
pub enum Way {
    /// With the token of the address line.
    Console,
    /// With a program's token.
    Program,
    /// With a session.
    Person {
        /// Whose.
        account: AccountId,
        /// What the cookie holds.
        secret: String,
        /// What the page sends back.
        csrf: String,
    },
}

impl Caller {
    /// Whoever read the address line that the server printed.
    pub(super) fn console() -> Self {
        Self {
            name: "address line".to_owned(),
            role: DeskRole::Administrator,
            way: Way::Console,
        }
    }

    pub(super) fn program(token: &ApiToken) -> Self {
        Self {
            name: format!("token {}", token.name),
            role: token.role,
            way: Way::Program,
        }
    }

    pub(super) fn person(session: Session, secret: String) -> Self {
        Self {
            name: session.account.name,
            role: session.account.role,
            way: Way::Person {
                account: session.account.id,
                secret,
                csrf: session.csrf,
            },
        }
    }

    /// Whether a request that changes something was made on purpose. A browser adds a cookie to whatever any page
    /// asks; a header with what only our page was told it does not add. Tokens come in a header anyway.
    pub(super) fn meant_it(&self, headers: &HeaderMap) -> bool {
        match &self.way {
            Way::Console | Way::Program => true,
            Way::Person { csrf, .. } => headers
                .get(CSRF_HEADER)
                .and_then(|given| given.to_str().ok())
                .is_some_and(|given| same(csrf, given)),
        }
    }
}
