//! A tablet that is killed in the middle of the work.

use crate::support::{Program, command};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::sync::mpsc;

/// How many times the tablet is killed on the same data.
const KILLS: usize = 6;

fn open_job(tablet: &Program) -> String {
    let job = json!({ "open_job": {
        "number": "7", "customer": "Pine Hollow Water", "site": "Mill Road",
        "station": { "id": "00000000-0000-7000-8000-000000000001", "name": "Vault 7" },
        "valves": [{ "id": "00000000-0000-7000-8000-000000000002", "name": "Main", "procedure": "reducing" }],
    }});
    let answer = tablet.ask("POST", "/api/command", &job.to_string()).unwrap();
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()["job"].as_str().unwrap().to_owned()
}

/// A reading of its own, so that what is found again can be told apart.
fn reading(job: &str, number: usize) -> String {
    json!({ "record": { "job": job, "body": {
        "kind": "reading", "asset": "00000000-0000-7000-8000-000000000002", "point": "outlet",
        "figure": { "digits": format!("55.{number:04}"), "unit": "psi" },
        "purpose": "working", "water": "flowing",
    }}})
    .to_string()
}

/// Every entry on the tablet, by id, with its digits where it has some.
fn entries(tablet: &Program, job: &str) -> Vec<(String, Value)> {
    let query = json!({ "job": { "job": job, "screen": { "readings": { "newest": 100_000 } } } });
    let answer = tablet.ask("POST", "/api/view", &query.to_string()).unwrap();
    assert_eq!(answer.status, 200, "{}", answer.body);
    let view = answer.json();
    let timeline = view["job"]["screen"]["readings"]["timeline"].as_array().unwrap();
    timeline
        .iter()
        .map(|item| {
            let id = item["said"]["entry"].as_str().unwrap().to_owned();
            (id, item["value"]["figure"]["digits"].clone())
        })
        .collect()
}

#[test]
fn every_entry_that_was_acknowledged_is_there_after_a_kill() {
    let dir = tempfile::tempdir().unwrap();
    let mut acknowledged: Vec<(String, String)> = Vec::new();
    let mut job = None;
    let mut number = 0;
    for kill in 0..KILLS {
        let mut tablet = Program::tablet(dir.path());
        let job: &str = job.get_or_insert_with(|| open_job(&tablet));
        // The kill comes after a few acknowledgements, while the next reading is on its way.
        let (told, heard) = mpsc::channel();
        let writer = {
            let (address, token, job, from) = (tablet.address, tablet.token.clone(), job.to_owned(), number);
            std::thread::spawn(move || {
                for number in from.. {
                    match command(address, &token, &reading(&job, number)) {
                        Ok(answer) if answer.status == 200 => {
                            let entry = answer.json()["entries"][0].as_str().unwrap().to_owned();
                            told.send((number, entry)).unwrap();
                        }
                        // The tablet is gone.
                        Ok(_) | Err(_) => return,
                    }
                }
            })
        };
        for _ in 0..kill + 2 {
            let (at, entry) = heard.recv().unwrap();
            number = at + 1;
            acknowledged.push((entry, format!("55.{at:04}")));
        }
        tablet.kill();
        writer.join().unwrap();
        for (at, entry) in heard.try_iter() {
            acknowledged.push((entry, format!("55.{at:04}")));
            number = at + 1;
        }
        // One reading may be on the disk without anybody having been told.
        number += 1;
    }
    let tablet = Program::tablet(dir.path());
    let found = entries(&tablet, &job.unwrap());
    let lost: Vec<_> = acknowledged
        .iter()
        .filter(|(entry, digits)| !found.iter().any(|(id, shown)| id == entry && shown == digits))
        .collect();
    assert!(lost.is_empty(), "acknowledged and lost: {lost:?}");
    let different: BTreeSet<_> = found.iter().map(|(id, _)| id).collect();
    assert_eq!(different.len(), found.len(), "an entry stands twice");
}

#[test]
fn a_tablet_that_is_asked_to_end_ends_well_and_its_data_open_again() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = Program::tablet(dir.path());
    let job = open_job(&tablet);
    assert!(tablet.terminate().success());
    let again = Program::tablet(dir.path());
    assert_eq!(entries(&again, &job).len(), 1);
}
