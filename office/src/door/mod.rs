//! The door: who is calling, and may they?
//!
//! Three ways in: a session cookie (a person who signed in with a password), a program's token, and the token of the
//! address line that the server prints when it starts. Whoever reads that line has the machine and its files in hand
//! already; it is how the first administrator is made, and the way back in after a forgotten password.

mod access;
mod caller;

pub use access::{ACCESS, Allowed, allowed};
pub use caller::{Caller, Way};

use crate::people::Tries;
use crate::registry::Registry;
use crate::routes::Refusal;
use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use turnwise_core::store::StoreError;

/// The session's cookie.
pub const COOKIE: &str = "turnwise_session";

/// The header in which a page sends back what only its own session was told.
pub const CSRF_HEADER: &str = "x-turnwise-csrf";

/// The door of one server.
#[derive(Clone)]
pub struct Door {
    registry: Arc<Registry>,
    tries: Arc<Mutex<Tries>>,
    console: Option<Arc<str>>,
    now: fn() -> i64,
}

impl Door {
    /// A door whose address line carries `console`, if it has a token.
    pub fn new(registry: Arc<Registry>, console: Option<&str>) -> Self {
        Self {
            registry,
            tries: Arc::default(),
            console: console.map(Arc::from),
            now: seconds,
        }
    }

    /// What is kept of people and sessions.
    pub(crate) fn registry(&self) -> Arc<Registry> {
        self.registry.clone()
    }

    /// Wrong tries to sign in.
    pub(crate) fn tries(&self) -> MutexGuard<'_, Tries> {
        // A count that a panicking thread left behind is still a count.
        self.tries.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Seconds since 1970.
    pub(crate) fn now(&self) -> i64 {
        (self.now)()
    }

    /// Works with the registry off the server's own threads: each call waits for the disk.
    pub(crate) async fn registry_call<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Registry) -> Result<T, StoreError> + Send + 'static,
    ) -> Result<T, Refusal> {
        let registry = self.registry();
        match tokio::task::spawn_blocking(move || work(&registry)).await {
            Ok(Ok(done)) => Ok(done),
            Ok(Err(error)) => Err(Refusal::unable(error.code(), error.to_string())),
            Err(error) => Err(Refusal::unable("internal", error.to_string())),
        }
    }

    /// Keeps a row of the audit trail. What was done stays done where the row cannot be kept; the log says so.
    pub(crate) async fn note(&self, who: &Caller, did: &'static str, about: impl Into<String>) {
        let (at, who, about) = (self.now(), who.name.clone(), about.into());
        let kept = self
            .registry_call(move |registry| registry.note(at, &who, did, &about))
            .await;
        if let Err(refusal) = kept {
            tracing::error!(code = refusal.code, did, "the audit trail lacks a row");
        }
    }

    /// Who calls. None: nobody that is known.
    async fn caller(&self, headers: &HeaderMap, query: Option<&str>) -> Result<Option<Caller>, Refusal> {
        if let Some(secret) = bearer(headers).or_else(|| token_of(query)) {
            if self
                .console
                .as_deref()
                .is_some_and(|console| same(console, &secret))
            {
                return Ok(Some(Caller::console()));
            }
            let token = self
                .registry_call(move |registry| registry.token(&secret))
                .await?;
            return Ok(token.as_ref().map(Caller::program));
        }
        let Some(secret) = cookie(headers) else {
            return Ok(None);
        };
        let (now, asked) = (self.now(), secret.clone());
        let session = self
            .registry_call(move |registry| registry.session(&asked, now))
            .await?;
        Ok(session.map(|session| Caller::person(session, secret)))
    }

    async fn enter(&self, mut request: Request) -> Result<Request, Refusal> {
        let route = request
            .extensions()
            .get::<MatchedPath>()
            .map(|path| path.as_str().to_owned())
            .unwrap_or_default();
        let caller = self.caller(request.headers(), request.uri().query()).await?;
        let method = request.method().clone();
        match allowed(&method, &route) {
            Some(Allowed::Everybody) => {}
            Some(Allowed::Roles(roles)) => {
                let caller = caller.as_ref().ok_or(SIGN_IN.refusal())?;
                if !roles.contains(&caller.role) {
                    return Err(NOT_YOURS.refusal());
                }
                if changes_something(&method) && !caller.meant_it(request.headers()) {
                    return Err(NOT_FROM_THE_PAGE.refusal());
                }
            }
            // Whoever may read may be told that there is nothing there.
            None if caller.is_some() => {}
            None => return Err(SIGN_IN.refusal()),
        }
        if let Some(caller) = caller {
            request.extensions_mut().insert(caller);
        }
        Ok(request)
    }
}

/// The middleware.
pub async fn door(State(door): State<Door>, request: Request, next: Next) -> Response {
    match door.enter(request).await {
        Ok(request) => next.run(request).await,
        Err(refusal) => refusal.into_response(),
    }
}

/// A refusal of the door.
struct Refused(StatusCode, &'static str, &'static str);

const SIGN_IN: Refused = Refused(StatusCode::UNAUTHORIZED, "sign_in", "sign in first");
const NOT_YOURS: Refused = Refused(StatusCode::FORBIDDEN, "role_refused", "your role may not do this");
const NOT_FROM_THE_PAGE: Refused = Refused(
    StatusCode::FORBIDDEN,
    "csrf_refused",
    "this did not come from the office's own page",
);

impl Refused {
    fn refusal(&self) -> Refusal {
        Refusal {
            status: self.0,
            code: self.1,
            message: self.2.to_owned(),
        }
    }
}

fn changes_something(method: &Method) -> bool {
    !matches!(*method, Method::GET | Method::HEAD | Method::OPTIONS)
}

/// `Authorization: Bearer SECRET`.
fn bearer(headers: &HeaderMap) -> Option<String> {
    headers
        .get(header::AUTHORIZATION)?
        .to_str()
        .ok()?
        .strip_prefix("Bearer ")
        .map(str::to_owned)
}

/// `?token=SECRET`: a page cannot set a header on a socket.
fn token_of(query: Option<&str>) -> Option<String> {
    query?
        .split('&')
        .find_map(|pair| pair.strip_prefix("token="))
        .map(str::to_owned)
}

fn cookie(headers: &HeaderMap) -> Option<String> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(';'))
        .find_map(|pair| pair.trim().strip_prefix(COOKIE)?.strip_prefix('='))
        .map(str::to_owned)
}

/// Takes the same time wherever the first difference is.
pub(crate) fn same(ours: &str, theirs: &str) -> bool {
    let differing = ours
        .bytes()
        .zip(theirs.bytes())
        .fold(0, |differing, (ours, theirs)| {
            std::hint::black_box(differing | (ours ^ theirs))
        });
    ours.len() == theirs.len() && differing == 0
}

fn seconds() -> i64 {
    std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .map_or(0, |since| i64::try_from(since.as_secs()).unwrap_or(i64::MAX))
}
