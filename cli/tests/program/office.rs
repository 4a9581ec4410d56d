//! The office over HTTP.

use crate::support::Program;
use serde_json::{Value, json};

fn a_job() -> Value {
    let psi = |digits: &str| json!({ "digits": digits, "unit": "psi" });
    json!({
        "number": "2041", "customer": "Pine Hollow Water", "site": "Mill Road", "station": "Vault 7", "valve": "Main",
        "procedure": "reducing", "size": { "digits": "6", "unit": "in" },
        "request": { "pressure": psi("55.0"), "datum": "at the valve", "asked_by": "the operator" },
        "crew": [{ "name": "Ana Ruiz", "role": "lead_tech" }],
    })
}

#[test]
fn a_job_is_handed_out_listed_changed_and_exported() {
    let dir = tempfile::tempdir().unwrap();
    let office = Program::office(dir.path());
    let ask = |method: &str, path: &str, body: Value| office.ask(method, path, &body.to_string()).unwrap();
    let job = ask("POST", "/api/jobs", a_job());
    assert_eq!(job.status, 200, "{job:?}");
    let job = job.json();
    let path = format!("/api/jobs/{}", job["job"].as_str().unwrap());
    let home = ask("GET", "/api/jobs", Value::Null).json();
    assert_eq!(home["jobs"][0]["number"], "2041");
    let change = json!({
        "valve": job["valves"][0]["id"],
        "asked": { "pressure": { "digits": "52", "unit": "psi" }, "datum": "at the valve", "asked_by": "the operator" },
        "replaces": [job["valves"][0]["requests"][0]["said"]["entry"]],
    });
    let changed = ask("POST", &format!("{path}/request"), change);
    assert_eq!(changed.status, 200, "{changed:?}");
    assert_eq!(
        changed.json()["valves"][0]["requests"][0]["value"]["pressure"]["digits"],
        "52"
    );
    let export = ask("GET", &format!("{path}/export.json"), Value::Null);
    assert_eq!(export.status, 200);
    assert!(
        export.body.contains("\"digits\": \"55.0\""),
        "the digits stay as they were typed"
    );
}

#[test]
fn what_the_office_does_not_do_it_refuses_with_a_code() {
    let dir = tempfile::tempdir().unwrap();
    let office = Program::office(dir.path());
    let code = |method: &str, path: &str, body: &Value| {
        let answer = office.ask(method, path, &body.to_string()).unwrap();
        (answer.status, answer.code())
    };
    let refused = |status: u16, code: &str| (status, code.to_owned());
    let mut wrong = a_job();
    wrong["request"]["pressure"]["digits"] = json!("fifty");
    assert_eq!(code("POST", "/api/jobs", &wrong), refused(422, "bad_figure"));
    assert_eq!(code("POST", "/api/jobs", &json!({})), refused(400, "bad_json"));
    let nowhere = "/api/jobs/00000000-0000-7000-8000-00000000000f";
    assert_eq!(code("GET", nowhere, &Value::Null), refused(404, "unknown_job"));
    assert_eq!(
        code("GET", "/api/jobs/7", &Value::Null),
        refused(404, "unknown_job")
    );
    assert_eq!(
        code("GET", "/api/elsewhere", &Value::Null),
        refused(404, "no_route")
    );
    let job = office
        .ask("POST", "/api/jobs", &a_job().to_string())
        .unwrap()
        .json();
    assert_eq!(code("POST", "/api/jobs", &a_job()), refused(409, "number_taken"));
    let record = format!("/api/jobs/{}/record.json", job["job"].as_str().unwrap());
    assert_eq!(code("GET", &record, &Value::Null), refused(404, "not_signed"));
}
