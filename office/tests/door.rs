//! Who may do what at the office: every route for everybody, signing in and out, and what keeps a foreign page from
//! using somebody's session.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use http_body_util::BodyExt;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use tower::ServiceExt;
use turnwise_office::door::{ACCESS, Door};
use turnwise_office::{OfficeHandle, Options, routes};

const CONSOLE: &str = "the-token-of-the-address-line";
const PASSWORD: &str = "a password for tests";

/// Who may call what, written down a second time: a change of the rules is a change here too.
/// A administrator, O office, L lead, T technician, R reader, N nobody in particular.
const RULES: &[(&str, &str)] = &[
    ("GET /link", "AOLTRN"),
    ("GET /api/session", "AOLTRN"),
    ("POST /api/session", "AOLTRN"),
    ("DELETE /api/session", "AOLTR"),
    ("POST /api/session/password", "AOLTR"),
    ("GET /api/changes", "AOLTR"),
    ("GET /api/jobs", "AOLTR"),
    ("POST /api/jobs", "AO"),
    ("GET /api/jobs/{job}", "AOLTR"),
    ("POST /api/jobs/{job}/request", "AO"),
    ("GET /api/jobs/{job}/export.csv", "AOLTR"),
    ("GET /api/jobs/{job}/export.json", "AOLTR"),
    ("GET /api/jobs/{job}/record.json", "AOLTR"),
    ("GET /api/jobs/{job}/record.pdf", "AOLTR"),
    ("POST /api/procedures/reload", "AO"),
    ("GET /api/people", "A"),
    ("POST /api/people", "A"),
    ("POST /api/people/{person}", "A"),
    ("GET /api/tokens", "A"),
    ("POST /api/tokens", "A"),
    ("DELETE /api/tokens/{token}", "A"),
    ("GET /api/audit", "A"),
];

const ROLES: [(char, &str); 5] = [
    ('A', "administrator"),
    ('O', "office"),
    ('L', "lead"),
    ('T', "technician"),
    ('R', "reader"),
];

struct Office {
    router: Router,
    _dir: tempfile::TempDir,
}

struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    body: Value,
}

impl Answer {
    fn code(&self) -> &str {
        self.body["code"].as_str().unwrap_or_default()
    }
}

/// Signed in: what a browser would send along.
#[derive(Clone)]
struct Signed {
    cookie: String,
    csrf: String,
}

fn an_office() -> Office {
    let dir = tempfile::tempdir().unwrap();
    let handle = OfficeHandle::open(Options::new(dir.path())).unwrap();
    let door = Door::new(handle.registry(), Some(CONSOLE));
    let here = || axum::routing::get(async || "here");
    let own = Router::new().route("/api/changes", here()).route("/link", here());
    Office {
        router: routes(handle, door, own),
        _dir: dir,
    }
}

impl Office {
    async fn ask(&self, method: &Method, path: &str, headers: &[(&str, &str)], body: &Value) -> Answer {
        let mut request = Request::builder().method(method).uri(path);
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let body = if body.is_null() {
            Body::empty()
        } else {
            Body::from(body.to_string())
        };
        let response = self
            .router
            .clone()
            .oneshot(request.body(body).unwrap())
            .await
            .unwrap();
        let (parts, body) = response.into_parts();
        let bytes = body.collect().await.unwrap().to_bytes();
        Answer {
            status: parts.status,
            headers: parts.headers,
            body: serde_json::from_slice(&bytes).unwrap_or(Value::Null),
        }
    }

    /// As whoever read the address line.
    async fn console(&self, method: Method, path: &str, body: Value) -> Answer {
        let bearer = format!("Bearer {CONSOLE}");
        self.ask(&method, path, &[("authorization", &bearer)], &body)
            .await
    }

    async fn as_person(&self, signed: &Signed, method: Method, path: &str, body: Value) -> Answer {
        let headers = [
            ("cookie", signed.cookie.as_str()),
            ("x-turnwise-csrf", &signed.csrf),
        ];
        self.ask(&method, path, &headers, &body).await
    }

    async fn add(&self, name: &str, role: &str) -> String {
        let made = self
            .console(
                Method::POST,
                "/api/people",
                json!({"name": name, "role": role, "password": PASSWORD}),
            )
            .await;
        assert_eq!(made.status, StatusCode::OK, "{}", made.body);
        made.body["id"].as_str().unwrap().to_owned()
    }

    async fn try_to_sign_in(&self, name: &str, password: &str) -> Answer {
        let body = json!({"name": name, "password": password});
        self.ask(&Method::POST, "/api/session", &[], &body).await
    }

    async fn sign_in(&self, name: &str) -> Signed {
        let answer = self.try_to_sign_in(name, PASSWORD).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.body);
        let cookie = answer.headers[header::SET_COOKIE].to_str().unwrap();
        assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"));
        Signed {
            cookie: cookie.split(';').next().unwrap().to_owned(),
            csrf: answer.body["csrf"].as_str().unwrap().to_owned(),
        }
    }
}

#[test]
fn the_rules_and_the_door_name_the_same_routes() {
    let listed: BTreeSet<String> = ACCESS
        .iter()
        .map(|(method, path, _)| format!("{method} {path}"))
        .collect();
    let rules: BTreeSet<String> = RULES.iter().map(|(route, _)| (*route).to_owned()).collect();
    assert_eq!(listed, rules);
    assert_eq!(ACCESS.len(), listed.len(), "a route is listed twice");
}

#[tokio::test]
async fn every_route_lets_in_those_whom_the_rules_name_and_nobody_else() {
    let office = an_office();
    let mut people = Vec::new();
    for (letter, role) in ROLES {
        office.add(role, role).await;
        people.push((letter, Some(office.sign_in(role).await)));
    }
    people.push(('N', None));
    for (route, who) in RULES {
        // Signing out would end the sessions that the other rows need; it has a test of its own.
        if *route == "DELETE /api/session" {
            continue;
        }
        let (method, path) = route.split_once(' ').unwrap();
        let path = path
            .replace("{job}", "01890a5d-ac96-774b-bcce-b302099a8057")
            .replace("{person}", "01890a5d-ac96-774b-bcce-b302099a8057")
            .replace("{token}", "01890a5d-ac96-774b-bcce-b302099a8057");
        for (letter, signed) in &people {
            let method: Method = method.parse().unwrap();
            let answer = match signed {
                Some(signed) => office.as_person(signed, method, &path, Value::Null).await,
                None => office.ask(&method, &path, &[], &Value::Null).await,
            };
            let shut = ["sign_in", "role_refused", "csrf_refused"].contains(&answer.code());
            assert_eq!(
                !shut,
                who.contains(*letter),
                "{route} for {letter}: {} {}",
                answer.status,
                answer.body
            );
        }
    }
}

#[tokio::test]
async fn what_is_not_listed_is_closed_to_strangers_and_nothing_to_others() {
    let office = an_office();
    let stranger = office.ask(&Method::GET, "/api/secrets", &[], &Value::Null).await;
    assert_eq!(
        (stranger.status, stranger.code()),
        (StatusCode::UNAUTHORIZED, "sign_in")
    );
    let known = office.console(Method::GET, "/api/secrets", Value::Null).await;
    assert_eq!((known.status, known.code()), (StatusCode::NOT_FOUND, "no_route"));
}

#[tokio::test]
async fn at_the_first_start_the_address_line_makes_the_administrator_who_then_signs_in() {
    let office = an_office();
    let before = office.console(Method::GET, "/api/session", Value::Null).await;
    assert_eq!(before.body["first_start"], json!(true));
    assert_eq!(before.body["console"], json!(true));
    office.add("Ines Roca", "administrator").await;
    let signed = office.sign_in("ines roca").await;
    let now = office
        .as_person(&signed, Method::GET, "/api/session", Value::Null)
        .await;
    assert_eq!(now.body["name"], json!("Ines Roca"));
    assert_eq!(now.body["role"], json!("administrator"));
    assert_eq!(now.body["first_start"], json!(false));
}

#[tokio::test]
async fn whoever_signed_out_is_out() {
    let office = an_office();
    office.add("Ines", "office").await;
    let signed = office.sign_in("Ines").await;
    let out = office
        .as_person(&signed, Method::DELETE, "/api/session", Value::Null)
        .await;
    assert_eq!(out.status, StatusCode::OK);
    let after = office
        .as_person(&signed, Method::GET, "/api/jobs", Value::Null)
        .await;
    assert_eq!(
        (after.status, after.code()),
        (StatusCode::UNAUTHORIZED, "sign_in")
    );
}

#[tokio::test]
async fn a_foreign_page_that_makes_the_browser_ask_has_no_csrf_token_and_changes_nothing() {
    let office = an_office();
    office.add("Ines", "administrator").await;
    let signed = office.sign_in("Ines").await;
    let person = json!({"name": "Mallory", "role": "administrator", "password": PASSWORD});
    for csrf in [None, Some("0"), Some("")] {
        let mut headers = vec![("cookie", signed.cookie.as_str())];
        headers.extend(csrf.map(|csrf| ("x-turnwise-csrf", csrf)));
        let answer = office.ask(&Method::POST, "/api/people", &headers, &person).await;
        assert_eq!(
            (answer.status, answer.code()),
            (StatusCode::FORBIDDEN, "csrf_refused")
        );
    }
    let people = office.console(Method::GET, "/api/people", Value::Null).await;
    assert_eq!(people.body.as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn the_sixth_wrong_password_waits_even_for_a_name_that_nobody_has() {
    let office = an_office();
    office.add("Ines", "office").await;
    for name in ["Ines", "Nobody"] {
        for _ in 0..5 {
            let answer = office.try_to_sign_in(name, "not the password").await;
            assert_eq!(
                (answer.status, answer.code()),
                (StatusCode::UNAUTHORIZED, "sign_in_refused")
            );
        }
        let answer = office.try_to_sign_in(name, PASSWORD).await;
        assert_eq!(
            (answer.status, answer.code()),
            (StatusCode::TOO_MANY_REQUESTS, "too_many_tries")
        );
        assert!(answer.headers.contains_key(header::RETRY_AFTER));
    }
}

#[tokio::test]
async fn a_token_of_a_program_reads_until_it_is_revoked_and_is_shown_once() {
    let office = an_office();
    let made = office
        .console(
            Method::POST,
            "/api/tokens",
            json!({"name": "asset register", "role": "reader"}),
        )
        .await;
    let secret = made.body["secret"].as_str().unwrap().to_owned();
    let bearer = format!("Bearer {secret}");
    let headers = [("authorization", bearer.as_str())];
    let read = office
        .ask(&Method::GET, "/api/jobs", &headers, &Value::Null)
        .await;
    assert_eq!(read.status, StatusCode::OK);
    let listed = office.console(Method::GET, "/api/tokens", Value::Null).await;
    assert!(!listed.body.to_string().contains(&secret));
    let id = made.body["token"]["id"].as_str().unwrap();
    let revoked = office
        .console(Method::DELETE, &format!("/api/tokens/{id}"), Value::Null)
        .await;
    assert_eq!(revoked.status, StatusCode::OK);
    let after = office
        .ask(&Method::GET, "/api/jobs", &headers, &Value::Null)
        .await;
    assert_eq!(after.code(), "sign_in");
}

#[tokio::test]
async fn no_program_gets_the_administrators_role() {
    let office = an_office();
    let refused = office
        .console(
            Method::POST,
            "/api/tokens",
            json!({"name": "x", "role": "administrator"}),
        )
        .await;
    assert_eq!(
        (refused.status, refused.code()),
        (StatusCode::UNPROCESSABLE_ENTITY, "role_too_great")
    );
}

#[tokio::test]
async fn what_was_done_is_in_the_audit_trail_with_who_did_it_and_no_secret() {
    let office = an_office();
    office.add("Ines", "office").await;
    office.try_to_sign_in("Ines", "not the password").await;
    let signed = office.sign_in("Ines").await;
    let trail = office.console(Method::GET, "/api/audit", Value::Null).await;
    let did: Vec<_> = trail.body["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (row["who"].as_str().unwrap(), row["did"].as_str().unwrap()))
        .collect();
    assert_eq!(
        did,
        [
            ("Ines", "signed_in"),
            ("Ines", "sign_in_refused"),
            ("address line", "person_added")
        ]
    );
    let text = trail.body.to_string();
    assert!(!text.contains(PASSWORD) && !text.contains(&signed.csrf));
}

#[tokio::test]
async fn bad_input_is_refused_with_a_code_and_nothing_is_kept() {
    let office = an_office();
    for (body, code) in [
        (
            json!({"name": " ", "role": "office", "password": PASSWORD}),
            "name_missing",
        ),
        (
            json!({"name": "a\nb", "role": "office", "password": PASSWORD}),
            "bad_name",
        ),
        (
            json!({"name": "x".repeat(101), "role": "office", "password": PASSWORD}),
            "bad_name",
        ),
        (
            json!({"name": "a", "role": "owner", "password": PASSWORD}),
            "bad_json",
        ),
        (
            json!({"name": "a", "role": "office", "password": "short"}),
            "password_too_short",
        ),
        (
            json!({"name": "a", "role": "office", "password": "x".repeat(300)}),
            "password_too_long",
        ),
    ] {
        let answer = office.console(Method::POST, "/api/people", body).await;
        assert_eq!(answer.code(), code);
    }
    let people = office.console(Method::GET, "/api/people", Value::Null).await;
    assert_eq!(people.body, json!([]));
    let page = office
        .console(Method::GET, "/api/audit?before=yesterday", Value::Null)
        .await;
    assert_eq!((page.status, page.code()), (StatusCode::BAD_REQUEST, "bad_query"));
}

#[tokio::test]
async fn a_person_changes_their_own_password_and_is_signed_out_everywhere() {
    let office = an_office();
    office.add("Root", "administrator").await;
    office.add("Ines", "office").await;
    let (desk, phone) = (office.sign_in("Ines").await, office.sign_in("Ines").await);
    let wrong = json!({"current": "not the password", "new": "another password"});
    let refused = office
        .as_person(&desk, Method::POST, "/api/session/password", wrong)
        .await;
    assert_eq!(refused.code(), "password_refused");
    let right = json!({"current": PASSWORD, "new": "another password"});
    let changed = office
        .as_person(&desk, Method::POST, "/api/session/password", right)
        .await;
    assert_eq!(changed.status, StatusCode::OK, "{}", changed.body);
    for session in [&desk, &phone] {
        let after = office
            .as_person(session, Method::GET, "/api/jobs", Value::Null)
            .await;
        assert_eq!(after.code(), "sign_in");
    }
    assert_eq!(
        office.try_to_sign_in("Ines", PASSWORD).await.status,
        StatusCode::UNAUTHORIZED
    );
    assert_eq!(
        office.try_to_sign_in("Ines", "another password").await.status,
        StatusCode::OK
    );
}

#[tokio::test]
async fn the_last_administrator_stays() {
    let office = an_office();
    let id = office.add("Root", "administrator").await;
    let answer = office
        .console(
            Method::POST,
            &format!("/api/people/{id}"),
            json!({"role": "reader", "active": true}),
        )
        .await;
    assert_eq!(
        (answer.status, answer.code()),
        (StatusCode::CONFLICT, "last_administrator")
    );
}
