//! Who is let in, seen from outside.

use crate::support::Program;
use std::process::Command;

#[test]
fn the_page_is_open_and_the_data_want_the_token() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = Program::tablet(dir.path());
    let host = format!("Host: {}", tablet.address);
    let page = tablet.ask_with("GET", "/", &[&host]);
    // 503 says that the pages were not built into this program; either way it is the page that answers.
    assert!(matches!(page.status, 200 | 503), "{page:?}");
    assert!(page.head.contains("content-security-policy: default-src 'self';"));
    let refused = tablet.ask_with("POST", "/api/view", &[&host]);
    assert_eq!((refused.status, refused.code().as_str()), (401, "token_refused"));
    let home = tablet.ask("POST", "/api/view", "\"home\"").unwrap();
    assert_eq!(home.status, 200, "{home:?}");
    assert_eq!(home.json()["home"]["me"]["name"], "Ana Ruiz");
    assert!(home.head.contains("cache-control: no-store"));
}

#[test]
fn another_name_another_page_and_a_page_that_wants_to_link_are_turned_away() {
    let dir = tempfile::tempdir().unwrap();
    let office = Program::office(dir.path());
    let host = format!("Host: {}", office.address);
    let bearer = format!("Authorization: Bearer {}", office.token);
    let origin = "Origin: http://evil.example";
    let refused = office.ask_with("GET", "/", &["Host: evil.example"]);
    assert_eq!((refused.status, refused.code().as_str()), (421, "host_refused"));
    let refused = office.ask_with("GET", "/api/jobs", &[&host, &bearer, origin]);
    assert_eq!((refused.status, refused.code().as_str()), (403, "origin_refused"));
    let own = format!("Origin: http://{}", office.address);
    let refused = office.ask_with("GET", "/link", &[&host, &own]);
    assert_eq!((refused.status, refused.code().as_str()), (403, "origin_refused"));
}

#[test]
fn what_is_no_request_is_refused_with_a_code() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = Program::tablet(dir.path());
    let code = |path: &str, body: &str| {
        let answer = tablet.ask("POST", path, body).unwrap();
        (answer.status, answer.code())
    };
    assert_eq!(code("/api/command", "{"), (400, "bad_json".to_owned()));
    assert_eq!(code("/api/elsewhere", "{}"), (404, "no_route".to_owned()));
    let long = format!("\"{}\"", "x".repeat(300 * 1024));
    assert_eq!(code("/api/command", &long), (413, "body_too_large".to_owned()));
    let nobody = r#"{"set_me":{"name":"  "}}"#;
    assert_eq!(code("/api/command", nobody).0, 422);
}

#[test]
fn an_address_that_others_can_reach_is_not_listened_on() {
    let dir = tempfile::tempdir().unwrap();
    let ended = Command::new(env!("CARGO_BIN_EXE_turnwise"))
        .args(["tablet", "--listen", "0.0.0.0:0", "--data"])
        .arg(dir.path())
        .output()
        .unwrap();
    assert!(!ended.status.success());
    assert!(String::from_utf8(ended.stderr).unwrap().contains("loopback"));
}
