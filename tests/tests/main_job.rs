//! The whole job, from the office's page to the record at the office, with both tablets out of reach in between:
//! over real sockets and into real files, without a browser.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

use serde_json::Value;
use std::sync::LazyLock;
use turnwise_cli::demo::crew::Crew;
use turnwise_cli::demo::hand::Hand;
use turnwise_cli::demo::once::{Done, main_job};
use turnwise_cli::demo::scenario::{self, LEAD, MATE, Network, figure};
use turnwise_core::journal::{Purpose, Water};
use turnwise_core::quantity::Unit;
use turnwise_core::record::canonical;
use turnwise_core::record::content::Document;
use turnwise_core::record::export::Export;
use turnwise_core::record::table::lines;
use turnwise_core::tablet::view::JobStatus;
use turnwise_office::api::ChangeRequest;

/// One main job that every sentence below is about.
static DONE: LazyLock<Done> = LazyLock::new(|| {
    let dir = tempfile::tempdir().unwrap();
    runtime().block_on(main_job(dir.path())).unwrap()
});

fn runtime() -> tokio::runtime::Runtime {
    tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .unwrap()
}

fn export() -> Value {
    let export: Value = serde_json::from_str(&DONE.export).unwrap();
    export["record"].clone()
}

fn entries(export: &Value) -> &[Value] {
    export["entries"].as_array().unwrap()
}

#[test]
fn everything_that_the_main_job_promises_holds() {
    let failed: Vec<_> = DONE.summary.checked.iter().filter(|(_, held)| !**held).collect();
    assert!(failed.is_empty(), "does not hold: {failed:?}");
    assert!(DONE.summary.holds && DONE.summary.checked.len() > 10);
}

#[test]
fn the_two_states_of_the_downstream_block_valve_stood_until_a_named_person_settled_them() {
    assert_eq!(
        (
            DONE.summary.disagreements.found,
            DONE.summary.disagreements.settled
        ),
        (1, 1)
    );
    let export = export();
    let settled: Vec<_> = entries(&export)
        .iter()
        .filter(|entry| entry["body"]["kind"] == "resolution")
        .collect();
    let [settled] = settled.as_slice() else {
        panic!("one settlement: {settled:?}");
    };
    assert_eq!(export["people"][settled["by"].as_str().unwrap()], MATE);
    let both: Vec<_> = settled["body"]["about"]["register"]["replaces"]
        .as_array()
        .unwrap()
        .clone();
    assert_eq!(both.len(), 2, "it names both entries");
    for one in &both {
        assert!(
            entries(&export).iter().any(|entry| &entry["id"] == one),
            "what was settled stays readable"
        );
    }
}

#[test]
fn the_crew_was_told_that_the_request_changed_after_the_valve_was_set() {
    assert!(DONE.summary.review_codes.contains("request_changed"));
    let asked: Vec<_> = DONE.office.valves[0]
        .requests
        .iter()
        .map(|said| &said.value.pressure)
        .collect();
    assert_eq!(asked, [&figure(scenario::CHANGED_TO_PSI, Unit::Psi)]);
    assert!(
        !DONE.office.valves[0].request_changed,
        "the crew has set the valve to it since"
    );
}

#[test]
fn the_office_has_the_record_that_was_signed_and_nothing_is_open() {
    assert_eq!(DONE.office.status, JobStatus::Signed);
    assert_eq!((DONE.office.missing, DONE.office.open_items), (0, 0));
    let record = DONE.office.record.clone().unwrap();
    assert!(record.matches);
    assert_eq!(record.signed_by, LEAD);
    assert_eq!(record.digest, DONE.summary.record_digest.lead);
}

#[test]
fn the_export_has_every_reading_with_the_digits_and_the_unit_that_were_typed() {
    let export = export();
    assert!(DONE.typed.len() > 30, "the crew read gauges");
    for (id, typed) in &DONE.typed {
        let entry = entries(&export)
            .iter()
            .find(|entry| entry["id"] == id.to_string())
            .unwrap();
        let figure = &entry["body"]["figure"];
        assert_eq!(figure["digits"], typed.digits);
        assert_eq!(figure["unit"], typed.unit.symbol());
    }
    let readings = entries(&export)
        .iter()
        .filter(|entry| entry["body"]["kind"] == "reading")
        .count();
    assert_eq!(readings, DONE.typed.len(), "and no other");
}

#[test]
fn the_record_reads_back_into_its_types_and_nothing_is_lost() {
    let export: Export = serde_json::from_str(&DONE.export).unwrap();
    let signed = String::from_utf8(DONE.record.clone()).unwrap();
    let of_record: Document = serde_json::from_str(&signed).unwrap();
    assert_eq!(canonical(&of_record).unwrap(), signed);
    assert_eq!(export.document().unwrap(), of_record);
    assert_eq!(export.canonical_record().unwrap(), signed);
    assert!(export.addendum.is_empty(), "nothing came after the signature");
}

#[test]
fn the_sections_of_the_record_say_what_the_entries_say() {
    let document: Document = serde_json::from_slice(&DONE.record).unwrap();
    let [valve] = document.valves.as_slice() else {
        panic!("one valve");
    };
    assert_eq!(valve.readings.len(), DONE.typed.len());
    for (id, typed) in &DONE.typed {
        assert_eq!(&valve.reading(*id).unwrap().figure, typed);
    }
    assert_eq!(
        valve.request().unwrap().pressure,
        figure(scenario::CHANGED_TO_PSI, Unit::Psi)
    );
    assert_eq!(valve.requests.len(), 2, "the request and its change");
    let as_left = valve.reading(*valve.as_left.last().unwrap()).unwrap();
    assert_eq!(as_left.purpose, Purpose::AsLeft);
    let moves = &valve.moves;
    assert!(!moves.is_empty() && moves.iter().any(|one| one.followed_by.is_some()));
    let block = valve
        .line_up
        .iter()
        .find(|line| line.element == "downstream_block")
        .unwrap();
    assert_eq!(block.label.es, "Válvula de corte aguas abajo");
    assert_eq!(block.last.len(), 1);
    let [settled] = document.settlements.as_slice() else {
        panic!("one settlement");
    };
    assert_eq!((settled.said.name.as_str(), settled.sides.len()), (MATE, 2));
    assert!(document.initials.iter().all(|line| line.open.is_empty()));
    let digests: Vec<_> = document.procedures.iter().map(|line| line.digest.len()).collect();
    assert!(!digests.is_empty() && digests.iter().all(|length| *length == 64));
}

#[test]
fn what_the_readings_come_to_stands_in_the_record_with_its_uncertainty() {
    let document: Document = serde_json::from_slice(&DONE.record).unwrap();
    let valve = &document.valves[0];
    let found = valve.findings.as_ref().unwrap();
    let left = found.as_left.as_ref().unwrap();
    assert_eq!(Some(&left.reading), valve.as_left.last());
    assert_eq!(left.asked, figure(scenario::CHANGED_TO_PSI, Unit::Psi));
    assert!(
        ["within", "cannot_tell"].contains(&left.verdict.as_str()),
        "{left:?}"
    );
    let sure = valve
        .readings
        .iter()
        .filter(|line| line.uncertainty.is_some())
        .count();
    assert!(sure > 0, "a reading says how sure it is by its gauge");
}

#[test]
fn the_table_has_a_line_for_every_entry_with_the_digits_that_were_typed() {
    let document: Document = serde_json::from_slice(&DONE.record).unwrap();
    let lines = lines(&document);
    assert_eq!(lines.len(), document.entries.len());
    for (line, entry) in lines.iter().zip(&document.entries) {
        assert_eq!(line.entry, entry.id);
        let told = !line.what.en.is_empty() || !line.says.en.is_empty();
        let bare = ["grant", "clock_check", "initials", "history"].contains(&line.kind.as_str());
        assert!(told || bare, "nothing is said of {line:?}");
    }
    for (id, typed) in &DONE.typed {
        let line = lines.iter().find(|line| line.entry == *id).unwrap();
        assert_eq!(line.figure.as_ref(), Some(typed));
        let cells = format!(",{},{},", typed.digits, typed.unit);
        assert!(DONE.table.contains(&cells), "{cells}");
    }
    assert!(DONE.table.starts_with('\u{feff}'));
    assert!(
        DONE.table.lines().count() > lines.len(),
        "a header, and a line each"
    );
}

#[test]
fn the_valve_is_the_one_of_the_network() {
    let export = export();
    // Net6 as shipped with wntr 1.5.0, VALVE-3891, hour 0: see fixtures/net6_valve_3891.json.
    let as_found = entries(&export)
        .iter()
        .find(|entry| entry["body"]["point"] == "inlet" && entry["body"]["purpose"] == "as_found");
    assert_eq!(as_found.unwrap()["body"]["figure"]["digits"], "131.59");
    let flow = entries(&export)
        .iter()
        .find(|entry| entry["body"]["kind"] == "flow_evidence");
    assert_eq!(flow.unwrap()["body"]["flow"]["digits"], "156.35");
}

#[test]
fn the_customer_changes_the_request_while_the_crew_is_away() {
    let told = runtime().block_on(async {
        let dir = tempfile::tempdir().unwrap();
        let network = Network::read().unwrap();
        let crew = Crew::start(dir.path()).await.unwrap();
        let office = crew.office.handle.clone();
        let handed = office.hand_out(scenario::job(&network)).await.unwrap();
        let (job, valve) = (handed.job, handed.valves[0].id);
        crew.fetched(job).await.unwrap();
        let ana = Hand::of(&crew.lead.handle, job, valve, LEAD).await.unwrap();
        let ben = Hand::of(&crew.mate.handle, job, valve, MATE).await.unwrap();
        crew.cut().await;

        let first = figure("55.03", Unit::Psi);
        ana.turn(None, figure("-1/4", Unit::Turn), None).await.unwrap();
        ana.read(None, "outlet", first, Purpose::AsLeft, Water::Flowing)
            .await
            .unwrap();
        let change = ChangeRequest {
            valve,
            asked: scenario::asked("52"),
            replaces: handed.valves[0]
                .requests
                .iter()
                .map(|request| request.said.entry)
                .collect(),
        };
        office.change_request(job, change).await.unwrap();
        assert!(
            ana.head().await.unwrap().request_changed.is_none(),
            "she cannot know yet"
        );

        crew.join();
        crew.converge(job, "her work meets the new request")
            .await
            .unwrap();
        for hand in [&ana, &ben] {
            let changed = hand.head().await.unwrap().request_changed.unwrap();
            assert_eq!(changed.worked_to, figure("55", Unit::Psi));
            assert_eq!(changed.said.by, "Office");
            assert_eq!(changed.asked, figure("52", Unit::Psi));
            assert_eq!(
                changed.entries.len(),
                2,
                "the move and the reading worked to the older one"
            );
        }
        assert!(office.job(job).await.unwrap().valves[0].request_changed);

        let second = figure("52.1", Unit::Psi);
        ana.turn(None, figure("-1/4", Unit::Turn), None).await.unwrap();
        ana.read(None, "outlet", second, Purpose::AsLeft, Water::Flowing)
            .await
            .unwrap();
        crew.converge(job, "the valve is set to the new request")
            .await
            .unwrap();
        let told = ben.head().await.unwrap().request_changed;
        assert!(!office.job(job).await.unwrap().valves[0].request_changed);
        crew.stop().await.unwrap();
        told
    });
    assert!(
        told.is_none(),
        "set again to what is asked, nobody is told any more"
    );
}
