//! What the office promises: a job handed out is whole and durable, a tablet sees the jobs of its person and no
//! other, and a record is kept if it is the one that was signed.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

use axum::http::Request;
use http_body_util::BodyExt as _;
use std::collections::BTreeMap;
use std::path::Path;
use tower::ServiceExt as _;
use turnwise_core::journal::{
    ActorId, Body, BootId, DeviceId, Entry, EntryId, JobId, Note, PersonId, Purpose, Reading, Role, SignOff,
    Told, Water,
};
use turnwise_core::link::{DeviceRole, Hello, LinkHost};
use turnwise_core::procedure::{Procedures, Shelf};
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::record::{digest, hex, record};
use turnwise_core::store::{JournalStore, Seed};
use turnwise_core::tablet::view::JobStatus;
use turnwise_office::api::{Asked, BesideIt, ChangeRequest, CrewLine, HandOut};
use turnwise_office::door::Door;
use turnwise_office::{OfficeHandle, Options};
use turnwise_record::pdf::Options as PrintOptions;
use uuid::Uuid;

fn figure(digits: &str, unit: Unit) -> Figure {
    Figure {
        digits: digits.to_owned(),
        unit,
    }
}

fn asked(psi: &str) -> Asked {
    Asked {
        pressure: figure(psi, Unit::Psi),
        tolerance: None,
        datum: "at the valve".to_owned(),
        asked_by: "the operator".to_owned(),
        zone_limit: Some(figure("80", Unit::Psi)),
    }
}

fn a_job(number: &str, lead: &str) -> HandOut {
    HandOut {
        number: number.to_owned(),
        customer: "Pine Hollow Water".to_owned(),
        site: "Mill Road".to_owned(),
        station: "Vault 7".to_owned(),
        valve: "Main".to_owned(),
        procedure: "reducing".to_owned(),
        size: Some(figure("6", Unit::Inch)),
        request: asked("55"),
        spring_low: Some(figure("20", Unit::Psi)),
        spring_high: Some(figure("105", Unit::Psi)),
        spring_rate: Some(figure("13.5", Unit::PsiPerTurn)),
        known: None,
        beside: Vec::new(),
        particulars: Vec::new(),
        crew: vec![
            CrewLine {
                name: lead.to_owned(),
                role: Role::LeadTech,
            },
            CrewLine {
                name: "Ben Cole".to_owned(),
                role: Role::Technician,
            },
        ],
    }
}

fn an_office(dir: &Path) -> OfficeHandle {
    OfficeHandle::open(Options::new(dir)).unwrap()
}

fn hello(person: Option<&str>) -> Hello {
    let mut hello = Hello::new(
        DeviceId(Uuid::from_u128(7)),
        BootId(Uuid::from_u128(8)),
        DeviceRole::Tablet,
        "Tablet",
    );
    hello.person = person.map(str::to_owned);
    hello
}

/// A tablet's store that writes entries by hand.
struct Tablet {
    store: JournalStore,
    _dir: tempfile::TempDir,
}

impl Tablet {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let store = JournalStore::open(dir.path(), Seed::draw().unwrap()).unwrap();
        Self { store, _dir: dir }
    }

    async fn fetch(&mut self, office: &OfficeHandle, job: JobId) {
        let ours = self.store.clock(job).unwrap();
        for bundle in office.missing(job, &ours).await.unwrap().bundles {
            self.store.intake(job, &bundle).unwrap();
        }
    }

    async fn bring(&mut self, office: &OfficeHandle, job: JobId) {
        let theirs = office.accepts(&hello(None), job).await.unwrap().unwrap();
        for bundle in self.store.missing(job, &theirs).unwrap() {
            office.intake(self.store.device(), job, bundle).await.unwrap();
        }
    }

    fn tell(&mut self, job: JobId, by: &str, body: Body) {
        let entry = Entry {
            id: EntryId(Uuid::now_v7()),
            told: Told {
                by: PersonId::of_name(by),
                keyed_by: None,
                device: self.store.device(),
                boot: self.store.boot(),
                mono_ms: 1,
                at: "2026-05-04T09:12:03+02:00".to_owned(),
                body,
            },
        };
        self.store.append(job, &entry).unwrap();
    }

    fn note(&mut self, job: JobId, words: &str) {
        let text = words.to_owned();
        self.tell(job, "Ben Cole", Body::Note(Note { text, about: None }));
    }

    fn reaches(&mut self, job: JobId) -> BTreeMap<ActorId, u64> {
        let clock = self.store.clock(job).unwrap();
        clock
            .into_iter()
            .map(|(actor, reach)| (actor, reach.seq))
            .collect()
    }

    /// Signs what is here; `digest` overrides what was shown.
    fn sign(&mut self, job: JobId, by: &str, digest: Option<&str>) -> String {
        let state = self.store.state(job).unwrap();
        let (clock, heads) = (self.reaches(job), self.store.heads(job).unwrap());
        let record = record(&state, &Procedures::built_in().unwrap(), &clock, &heads).unwrap();
        let body = SignOff {
            digest: digest.map_or_else(|| record.digest.clone(), str::to_owned),
            heads: heads.iter().map(|hash| hex(&hash.0)).collect(),
            clock: clock.iter().map(|(actor, seq)| (hex(&actor.0), *seq)).collect(),
            revision: 1,
            key: None,
            signed_at: None,
            signature: None,
        };
        self.tell(job, by, Body::SignOff(body));
        record.text
    }
}

#[tokio::test]
async fn a_job_handed_out_shows_what_was_asked_and_who_goes() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let job = office.hand_out(a_job(" 2041 ", "Ana Ruiz")).await.unwrap();
    assert_eq!(job.number, "2041");
    assert_eq!(job.status, JobStatus::New);
    let crew: Vec<_> = job
        .crew
        .iter()
        .map(|line| (line.name.as_str(), line.role))
        .collect();
    assert_eq!(
        crew,
        [("Ana Ruiz", Role::LeadTech), ("Ben Cole", Role::Technician)]
    );
    let [request] = job.valves[0].requests.as_slice() else {
        panic!("one request stands");
    };
    assert_eq!(request.value.pressure, figure("55", Unit::Psi));
    assert_eq!(request.said.by, "Office");
    assert!(job.missing > 0, "a job that nobody has begun misses everything");
}

#[tokio::test]
async fn what_was_handed_out_is_there_after_a_restart() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let first = office.hand_out(a_job("1", "Ana Ruiz")).await.unwrap();
    let second = office.hand_out(a_job("2", "Ana Ruiz")).await.unwrap();
    office.close().await;
    let again = an_office(dir.path());
    let jobs: Vec<_> = again
        .home()
        .await
        .unwrap()
        .jobs
        .into_iter()
        .map(|job| job.job)
        .collect();
    assert_eq!(jobs, [second.job, first.job], "the newest comes first");
    assert_eq!(again.job(first.job).await.unwrap().entries, first.entries);
}

#[tokio::test]
async fn a_closed_office_says_that_it_is_stopping() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    office.close().await;
    office.close().await;
    assert_eq!(office.home().await.unwrap_err().code(), "stopping");
}

#[tokio::test]
async fn a_number_is_given_once() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap();
    let refused = office.hand_out(a_job("2041 ", "Ana Ruiz")).await.unwrap_err();
    assert_eq!(refused.code(), "number_taken");
    assert_eq!(office.home().await.unwrap().jobs.len(), 1);
}

#[tokio::test]
async fn a_refused_job_names_the_field_and_leaves_nothing_behind() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut job = a_job("2041", "Ana Ruiz");
    job.request.pressure.digits = "fifty".to_owned();
    let refused = office.hand_out(job).await.unwrap_err().to_api();
    assert_eq!(refused.code, "bad_figure");
    assert!(
        refused.message.starts_with("request.pressure: "),
        "{}",
        refused.message
    );
    assert!(office.home().await.unwrap().jobs.is_empty());
}

#[tokio::test]
async fn a_changed_request_takes_the_place_of_the_one_that_was_shown() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap();
    let shown = &job.valves[0];
    let change = ChangeRequest {
        valve: shown.id,
        asked: asked("52"),
        replaces: shown.requests.iter().map(|request| request.said.entry).collect(),
    };
    let job = office.change_request(job.job, change).await.unwrap();
    let pressures: Vec<_> = job.valves[0]
        .requests
        .iter()
        .map(|request| &request.value.pressure)
        .collect();
    assert_eq!(pressures, [&figure("52", Unit::Psi)]);
}

#[tokio::test]
async fn a_change_made_from_an_old_page_stands_beside_the_newer_one() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap();
    let shown = &job.valves[0];
    let from_the_old_page = |psi| ChangeRequest {
        valve: shown.id,
        asked: asked(psi),
        replaces: shown.requests.iter().map(|request| request.said.entry).collect(),
    };
    office
        .change_request(job.job, from_the_old_page("52"))
        .await
        .unwrap();
    let job = office
        .change_request(job.job, from_the_old_page("58"))
        .await
        .unwrap();
    assert_eq!(job.valves[0].requests.len(), 2);
    assert_eq!(job.open_items, 1, "the two requests are a disagreement");
}

#[tokio::test]
async fn a_request_for_a_valve_that_is_not_on_the_job_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap();
    let change = ChangeRequest {
        valve: turnwise_core::journal::AssetId(Uuid::from_u128(1)),
        asked: asked("52"),
        replaces: Vec::new(),
    };
    let refused = office.change_request(job.job, change.clone()).await.unwrap_err();
    assert_eq!(refused.code(), "unknown_valve");
    let nowhere = JobId(Uuid::from_u128(1));
    assert_eq!(
        office.change_request(nowhere, change).await.unwrap_err().code(),
        "unknown_job"
    );
}

#[tokio::test]
async fn a_tablet_sees_the_jobs_of_its_person_and_no_other() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let hers = office.hand_out(a_job("1", "Ana Ruiz")).await.unwrap().job;
    let others = office.hand_out(a_job("2", "Cem Aydin")).await.unwrap().job;
    let offered = |person| {
        let office = office.clone();
        async move {
            office
                .offers(&hello(person))
                .await
                .unwrap()
                .into_keys()
                .collect::<Vec<_>>()
        }
    };
    assert_eq!(offered(Some("ana ruiz")).await, [hers]);
    assert_eq!(offered(Some("Ben Cole")).await, [hers, others]);
    assert!(offered(Some("Somebody Else")).await.is_empty());
    assert!(offered(None).await.is_empty());
}

#[tokio::test]
async fn what_a_tablet_brings_is_taken_even_of_a_job_it_started_itself() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut tablet = Tablet::new();
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap().job;
    tablet.fetch(&office, job).await;
    tablet.note(job, "lid lifted");
    let own = JobId(Uuid::now_v7());
    tablet.note(own, "no office in reach, begun here");
    let mut changes = office.changes();
    changes.mark_unchanged();
    tablet.bring(&office, job).await;
    tablet.bring(&office, own).await;
    assert!(changes.has_changed().unwrap(), "the page is told to look again");
    assert_eq!(office.job(job).await.unwrap().status, JobStatus::InWork);
    assert_eq!(office.job(own).await.unwrap_err().code(), "not_opened");
    assert_eq!(office.home().await.unwrap().jobs.len(), 1);
}

#[tokio::test]
async fn a_signed_record_is_kept_byte_for_byte_whatever_comes_later() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut tablet = Tablet::new();
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap().job;
    assert_eq!(office.signed_record(job).await.unwrap_err().code(), "not_signed");
    tablet.fetch(&office, job).await;
    tablet.note(job, "as left 55.0");
    let signed = tablet.sign(job, "Ana Ruiz", None);
    tablet.note(job, "a late word");
    tablet.bring(&office, job).await;
    let shown = office.job(job).await.unwrap();
    assert_eq!(shown.status, JobStatus::Signed);
    let record = shown.record.unwrap();
    assert!(record.matches);
    assert_eq!(
        (record.signed_by.as_str(), record.revision, record.late),
        ("Ana Ruiz", 1, 1)
    );
    let bytes = office.signed_record(job).await.unwrap();
    assert_eq!(bytes.as_ref(), signed.as_bytes());
    assert_eq!(turnwise_record::verify_digest(&bytes, &record.digest), Ok(()));
}

#[tokio::test]
async fn a_record_that_the_entries_do_not_make_is_a_mismatch() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut tablet = Tablet::new();
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap().job;
    tablet.fetch(&office, job).await;
    tablet.sign(job, "Ana Ruiz", Some(&"0".repeat(64)));
    tablet.bring(&office, job).await;
    assert!(!office.job(job).await.unwrap().record.unwrap().matches);
    assert_eq!(
        office.signed_record(job).await.unwrap_err().code(),
        "record_mismatch"
    );
}

#[tokio::test]
async fn an_export_has_every_entry_and_its_digest_is_that_of_the_record() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut tablet = Tablet::new();
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap().job;
    tablet.fetch(&office, job).await;
    tablet.note(job, "lid lifted");
    tablet.bring(&office, job).await;
    let export = office.export(job).await.unwrap();
    let text = export.text().unwrap();
    assert!(text.contains("\"lid lifted\"") && text.contains("\"digits\": \"13.5\""));
    let state = tablet.store.state(job).unwrap();
    let (clock, heads) = (tablet.reaches(job), tablet.store.heads(job).unwrap());
    let theirs = record(&state, &Procedures::built_in().unwrap(), &clock, &heads).unwrap();
    assert_eq!(
        digest(export.canonical_record().unwrap().as_bytes()),
        theirs.digest
    );
}

#[tokio::test]
async fn a_job_for_a_known_valve_keeps_its_ids_and_carries_what_the_closed_visits_found() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut tablet = Tablet::new();
    let first = office.hand_out(a_job("1", "Ana Ruiz")).await.unwrap();
    let valve = first.valves[0].id;
    assert!(
        first.valves[0].history.visits.is_empty(),
        "the first visit on record"
    );
    tablet.fetch(&office, first.job).await;
    let read = |digits: &str, purpose| {
        Body::Reading(Reading {
            asset: valve,
            point: "outlet".to_owned(),
            place: None,
            figure: figure(digits, Unit::Psi),
            gauge: None,
            purpose,
            water: Water::Flowing,
            request: None,
        })
    };
    tablet.tell(first.job, "Ben Cole", read("54.5", Purpose::AsLeft));
    tablet.sign(first.job, "Ana Ruiz", None);
    tablet.bring(&office, first.job).await;

    let known = office.home().await.unwrap().known;
    assert_eq!(
        (known.len(), known[0].valve.id, known[0].number.as_str()),
        (1, valve, "1")
    );
    let mut again = a_job("2", "Ana Ruiz");
    again.known = Some(valve);
    let second = office.hand_out(again).await.unwrap();
    assert_eq!(second.valves[0].id, valve);
    let [visit] = second.valves[0].history.visits.as_slice() else {
        panic!("one visit is carried");
    };
    assert_eq!(visit.history.more.number.as_deref(), Some("1"));
    assert_eq!(visit.history.as_left, Some(figure("54.5", Unit::Psi)));
    assert_eq!(visit.history.records.len(), 1);
    let home = office.home().await.unwrap();
    assert_eq!(home.known.len(), 1, "one valve, two jobs");
    assert_eq!(home.known[0].number, "2");

    tablet.fetch(&office, second.job).await;
    tablet.tell(second.job, "Ben Cole", read("61", Purpose::AsFound));
    tablet.bring(&office, second.job).await;
    let shown = office.job(second.job).await.unwrap();
    let drift = shown.valves[0].history.drift.as_ref().unwrap();
    assert_eq!(drift.change, figure("6.5", Unit::Psi));
}

#[tokio::test]
async fn a_station_is_handed_out_with_all_its_valves_each_with_its_procedure_and_request() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut job = a_job("1", "Ana Ruiz");
    job.procedure = "large_with_relief".to_owned();
    job.beside = vec![BesideIt {
        valve: "Relief".to_owned(),
        known: None,
        procedure: "relief".to_owned(),
        request: asked("75"),
    }];
    let first = office.hand_out(job.clone()).await.unwrap();
    let worked_by: Vec<&str> = first
        .valves
        .iter()
        .map(|valve| valve.procedure.as_str())
        .collect();
    assert_eq!(worked_by, ["large_with_relief", "relief"]);
    assert_eq!(
        first.valves[1].requests[0].value.pressure,
        figure("75", Unit::Psi)
    );
    let stations = |home: turnwise_office::api::OfficeHome| {
        let all: std::collections::BTreeSet<_> = home.known.iter().map(|known| known.station.id).collect();
        (home.known.len(), all.len())
    };
    assert_eq!(stations(office.home().await.unwrap()), (2, 1));

    job.number = "2".to_owned();
    job.known = Some(first.valves[0].id);
    job.beside[0].known = Some(first.valves[1].id);
    office.hand_out(job.clone()).await.unwrap();
    assert_eq!(
        stations(office.home().await.unwrap()),
        (2, 1),
        "the same chamber again"
    );

    job.number = "3".to_owned();
    job.beside[0].known = job.known;
    assert_eq!(
        office.hand_out(job.clone()).await.unwrap_err().code(),
        "valve_twice"
    );
    job.beside[0].known = Some(turnwise_core::journal::AssetId(Uuid::from_u128(5)));
    assert_eq!(office.hand_out(job).await.unwrap_err().code(), "unknown_valve");
}

#[tokio::test]
async fn an_owners_procedure_is_handed_out_with_its_file_and_a_broken_one_is_shown_with_its_line() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("procedures");
    std::fs::create_dir_all(&folder).unwrap();
    let ours = include_str!("../../core/procedures/reducing.toml").replace(
        "Reducing valve: put in service and set",
        "Reducing valve, the district's way",
    );
    std::fs::write(folder.join("ours.toml"), &ours).unwrap();
    std::fs::write(folder.join("torn.toml"), &ours[..900]).unwrap();
    let office = an_office(dir.path());
    let shown = office.home().await.unwrap().procedures;
    assert_eq!(
        (shown.refused.len(), shown.refused[0].file.as_str()),
        (1, "torn.toml")
    );
    assert!(shown.refused[0].line > 10);
    let job = office.hand_out(a_job("1", "Ana Ruiz")).await.unwrap();
    assert_eq!(job.valves[0].procedure_owner.as_ref().unwrap().file, "ours.toml");
    let mut tablet = Tablet::new();
    tablet.fetch(&office, job.job).await;
    let state = tablet.store.state(job.job).unwrap();
    let theirs = Shelf::new().unwrap().of_job(&state);
    assert_eq!(
        theirs.get("reducing").unwrap().title.en,
        "Reducing valve, the district's way"
    );

    std::fs::remove_file(folder.join("torn.toml")).unwrap();
    assert!(office.reload_procedures().await.unwrap().refused.is_empty());
}

#[tokio::test]
async fn a_printed_record_carries_the_export_that_it_shows() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let mut tablet = Tablet::new();
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap().job;
    tablet.fetch(&office, job).await;
    tablet.sign(job, "Ana Ruiz", None);
    tablet.note(job, "a late word");
    tablet.bring(&office, job).await;
    let pdf = office.printed(job, PrintOptions::default()).await.unwrap();
    let report = turnwise_record::verify::verify(&pdf).unwrap();
    assert_eq!(report.kind, turnwise_record::verify::Kind::PdfWithExport);
    assert_eq!((report.faults.as_slice(), report.after), (&[][..], 1));
    assert_eq!(report.signatures[0].name, "Ana Ruiz");
}

#[tokio::test]
async fn a_printed_record_is_had_over_http_in_the_language_and_units_asked_for() {
    let dir = tempfile::tempdir().unwrap();
    let office = an_office(dir.path());
    let job = office.hand_out(a_job("2041", "Ana Ruiz")).await.unwrap().job;
    let door = Door::new(office.registry(), Some("console"));
    let router = turnwise_office::routes(office, door, axum::Router::new());
    let get = async |query: &str| {
        let request = Request::get(format!("/api/jobs/{job}/record.pdf{query}"))
            .header("authorization", "Bearer console")
            .body(axum::body::Body::empty())
            .unwrap();
        let (head, body) = router.clone().oneshot(request).await.unwrap().into_parts();
        (head, body.collect().await.unwrap().to_bytes())
    };
    let (head, pdf) = get("?lang=es&pressure=kPa&flow=L/s").await;
    assert_eq!(head.status.as_u16(), 200);
    assert_eq!(head.headers["content-type"], "application/pdf");
    assert!(turnwise_record::verify::verify(&pdf).unwrap().faults.is_empty());
    for (query, code) in [
        ("?lang=fr", "unknown_language"),
        ("?pressure=gpm", "wrong_dimension"),
        ("?colour=red", "bad_query"),
    ] {
        let (head, answer) = get(query).await;
        assert_eq!(head.status.as_u16(), 400);
        assert!(String::from_utf8_lossy(&answer).contains(code), "{query}");
    }
}
