//! Who may talk to this server: nobody but the pages it serves itself, and links of other devices.
//!
//! A server on the loopback address is within reach of every page that the browser has open. Three checks
//! keep those out: the `Host` must be this server (a foreign name that resolves to 127.0.0.1 is refused), the
//! `Origin`, where a browser sends one, must be this server too, and every request for data carries the token
//! of this start, which only whoever read the address line has.

use super::answer::Refusal;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;

/// Bytes of a token: 256 bits, beyond guessing.
const TOKEN_BYTES: usize = 32;

/// The token of one start of one server: random, in hex.
#[derive(Clone, PartialEq, Eq)]
pub struct Token(String);

impl Token {
    /// A new one from the system's randomness.
    ///
    /// Errors: where the system has none to give.
    pub fn random() -> Result<Self, getrandom::Error> {
        let mut bytes = [0; TOKEN_BYTES];
        getrandom::fill(&mut bytes)?;
        Ok(Self(turnwise_core::record::hex(&bytes)))
    }

    /// Its text, for the address line and nowhere else.
    pub fn reveal(&self) -> &str {
        &self.0
    }

    /// Whether `given` is this token. Takes the same time wherever the first difference is.
    fn is(&self, given: &str) -> bool {
        let (ours, theirs) = (self.0.as_bytes(), given.as_bytes());
        let differing = ours.iter().zip(theirs).fold(0, |differing, (ours, theirs)| {
            std::hint::black_box(differing | (ours ^ theirs))
        });
        ours.len() == theirs.len() && differing == 0
    }
}

impl fmt::Debug for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Token(..)")
    }
}

/// The checks of one server.
#[derive(Debug)]
pub struct Guard {
    /// None: the routes have a door of their own.
    token: Option<Token>,
    /// `host:port` as a browser may write it.
    hosts: [String; 2],
}

impl Guard {
    /// The checks for a server that listens on `address`.
    ///
    /// With no token the routes have to say themselves who may ask for data.
    pub fn new(token: Option<Token>, address: SocketAddr) -> Arc<Self> {
        Arc::new(Self {
            token,
            hosts: [address.to_string(), format!("localhost:{}", address.port())],
        })
    }

    /// Why a request is not let in, as a code. None: it is.
    fn refuses(
        &self,
        path: &str,
        query: Option<&str>,
        headers: &HeaderMap,
    ) -> Option<(StatusCode, &'static str)> {
        if path == "/link" {
            // Another device, not a page: browsers always send an origin with a socket, devices never do. The
            // host says nothing here, since a link may come through a forwarded port.
            return headers
                .contains_key(header::ORIGIN)
                .then_some((StatusCode::FORBIDDEN, "origin_refused"));
        }
        let is_us = |text: &str| self.hosts.iter().any(|host| host.eq_ignore_ascii_case(text));
        let mut hosts = headers.get_all(header::HOST).iter();
        let host = hosts.next().and_then(|value| value.to_str().ok());
        if !host.is_some_and(is_us) || hosts.next().is_some() {
            return Some((StatusCode::MISDIRECTED_REQUEST, "host_refused"));
        }
        let foreign = |value: &header::HeaderValue| {
            !value
                .to_str()
                .ok()
                .and_then(|origin| origin.strip_prefix("http://"))
                .is_some_and(is_us)
        };
        if headers.get_all(header::ORIGIN).iter().any(foreign) {
            return Some((StatusCode::FORBIDDEN, "origin_refused"));
        }
        if let Some(ours) = self.token.as_ref().filter(|_| path.starts_with("/api/")) {
            let token = if path == "/api/changes" {
                from_query(query)
            } else {
                from_header(headers)
            };
            if !token.is_some_and(|given| ours.is(given)) {
                return Some((StatusCode::UNAUTHORIZED, "token_refused"));
            }
        }
        None
    }
}

/// `Authorization: Bearer TOKEN`.
fn from_header(headers: &HeaderMap) -> Option<&str> {
    headers
        .get(header::AUTHORIZATION)?
        .to_str()
        .ok()?
        .strip_prefix("Bearer ")
}

/// `?token=TOKEN`: a page cannot set a header on a socket.
fn from_query(query: Option<&str>) -> Option<&str> {
    query?.split('&').find_map(|pair| pair.strip_prefix("token="))
}

/// The middleware: lets a request in, or answers it with a code.
pub async fn guard(State(guard): State<Arc<Guard>>, request: Request<Body>, next: Next) -> Response {
    let uri = request.uri();
    match guard.refuses(uri.path(), uri.query(), request.headers()) {
        None => next.run(request).await,
        Some((status, code)) => {
            let message = match code {
                "host_refused" => "the Host of this request is not this server",
                "origin_refused" => "this request comes from another page",
                _ => "the start token is missing or is not the one of this start",
            };
            let message = message.to_owned();
            Refusal {
                status,
                code,
                message,
            }
            .into_response()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn a_guard() -> (Arc<Guard>, String) {
        let token = Token::random().unwrap();
        let text = token.reveal().to_owned();
        (Guard::new(Some(token), "127.0.0.1:4711".parse().unwrap()), text)
    }

    fn headers(pairs: &[(&str, &str)]) -> HeaderMap {
        pairs
            .iter()
            .map(|(name, value)| {
                (
                    name.parse::<header::HeaderName>().unwrap(),
                    value.parse().unwrap(),
                )
            })
            .collect()
    }

    fn code(guard: &Guard, path: &str, query: Option<&str>, pairs: &[(&str, &str)]) -> Option<&'static str> {
        guard.refuses(path, query, &headers(pairs)).map(|(_, code)| code)
    }

    #[test]
    fn the_page_needs_no_token_and_the_data_do() {
        let (guard, token) = a_guard();
        let bearer = format!("Bearer {token}");
        let host = ("host", "127.0.0.1:4711");
        assert_eq!(code(&guard, "/", None, &[host]), None);
        assert_eq!(code(&guard, "/api/view", None, &[host]), Some("token_refused"));
        assert_eq!(
            code(&guard, "/api/view", None, &[host, ("authorization", &bearer)]),
            None
        );
        assert_eq!(
            code(&guard, "/api/changes", Some(&format!("token={token}")), &[host]),
            None
        );
        assert_eq!(
            code(&guard, "/api/changes", Some("token="), &[host]),
            Some("token_refused")
        );
    }

    #[test]
    fn where_the_routes_have_a_door_only_foreign_pages_are_kept_out() {
        let guard = Guard::new(None, "127.0.0.1:4711".parse().unwrap());
        let host = ("host", "127.0.0.1:4711");
        assert_eq!(code(&guard, "/api/jobs", None, &[host]), None);
        assert_eq!(
            code(
                &guard,
                "/api/jobs",
                None,
                &[host, ("origin", "http://evil.example")]
            ),
            Some("origin_refused")
        );
    }

    #[test]
    fn a_token_that_is_cut_short_or_longer_or_differs_is_refused() {
        let (guard, token) = a_guard();
        let host = ("host", "localhost:4711");
        let mut last_digit_differs = token[..token.len() - 1].to_owned();
        last_digit_differs.push(if token.ends_with('0') { '1' } else { '0' });
        for wrong in [
            &token[..token.len() - 1],
            &format!("{token}0"),
            &last_digit_differs,
            "",
        ] {
            let bearer = format!("Bearer {wrong}");
            assert_eq!(
                code(&guard, "/api/view", None, &[host, ("authorization", &bearer)]),
                Some("token_refused")
            );
        }
    }

    #[test]
    fn a_name_that_resolves_here_is_not_this_server() {
        let (guard, _) = a_guard();
        for host in ["evil.example:4711", "127.0.0.1:80", "127.0.0.1", "localhost", ""] {
            assert_eq!(code(&guard, "/", None, &[("host", host)]), Some("host_refused"));
        }
        assert_eq!(code(&guard, "/", None, &[]), Some("host_refused"));
    }

    #[test]
    fn another_page_is_refused_even_with_the_token() {
        let (guard, token) = a_guard();
        let bearer = format!("Bearer {token}");
        let with = |origin| {
            let pairs = [
                ("host", "localhost:4711"),
                ("authorization", &bearer),
                ("origin", origin),
            ];
            code(&guard, "/api/command", None, &pairs)
        };
        assert_eq!(with("http://localhost:4711"), None);
        assert_eq!(with("http://127.0.0.1:4711"), None);
        for origin in [
            "http://localhost:4712",
            "https://localhost:4711",
            "null",
            "http://evil.example",
        ] {
            assert_eq!(with(origin), Some("origin_refused"));
        }
    }

    #[test]
    fn a_link_is_for_devices_never_for_pages() {
        let (guard, _) = a_guard();
        assert_eq!(code(&guard, "/link", None, &[("host", "127.0.0.1:9")]), None);
        assert_eq!(
            code(&guard, "/link", None, &[("origin", "http://127.0.0.1:4711")]),
            Some("origin_refused")
        );
    }
}
