//! An owner's procedure files on real tablets, and what a tablet knows of earlier visits.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot set its scene has failed"
)]

use std::path::Path;
use turnwise_core::findings::history::Drifted;
use turnwise_core::journal::{
    Asset, AssetId, Body, Initials, JobId, Note, Outcome, PersonId, Purpose, Reading, SignOff, StepMark,
    ValveOnJob, Water,
};
use turnwise_core::link::{DeviceRole, Hello, LinkHost};
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::store::{JournalStore, Seed};
use turnwise_core::tablet::view::{HomeView, JobHead, PreJobView, StepsView};
use turnwise_core::tablet::{
    Command, JobQuery, NewJob, Options, Query, RecordEntry, Reply, Screen, ScreenView, TabletHandle, View,
};
use uuid::Uuid;

const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));

/// A further procedure of an owner's.
const ROUND: &str = r#"id = "round"
title = { en = "Weekly round", es = "Ronda semanal" }

[[point]]
id = "outlet"
label = { en = "Outlet", es = "Salida" }

[[phase]]
id = "look"
title = { en = "Look", es = "Mirar" }

[[phase.step]]
id = "look.outlet"
who = "either"
title = { en = "Read the outlet", es = "Lea la salida" }
say = { en = "Read the outlet.", es = "Lea la salida." }
why = { en = "It tells.", es = "Lo dice." }
"#;

fn psi(digits: &str) -> Figure {
    Figure::new(digits, Unit::Psi).unwrap()
}

async fn tablet(dir: &Path, name: &str) -> TabletHandle {
    let tablet = TabletHandle::open(Options::new(dir, name), Seed::draw().unwrap()).unwrap();
    let name = name.to_owned();
    tablet.command(Command::SetMe { name }).await.unwrap();
    tablet
}

fn folder(data: &Path) -> std::path::PathBuf {
    let folder = data.join("procedures");
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn new_job(number: &str, procedure: &str) -> Command {
    Command::OpenJob(NewJob {
        number: number.to_owned(),
        customer: "District".to_owned(),
        site: "Alder Street".to_owned(),
        station: Asset {
            id: AssetId(Uuid::from_u128(0x57)),
            name: "Vault 3".to_owned(),
        },
        valves: vec![ValveOnJob {
            id: VALVE,
            name: "PRV".to_owned(),
            procedure: procedure.to_owned(),
            size: None,
        }],
    })
}

async fn home(tablet: &TabletHandle) -> HomeView {
    match tablet.view(Query::Home).await.unwrap() {
        View::Home(home) => home,
        _ => panic!("the first screen was asked for"),
    }
}

async fn screen(tablet: &TabletHandle, job: JobId, screen: Screen) -> (JobHead, ScreenView) {
    let query = JobQuery {
        job,
        valve: None,
        screw: None,
        screen,
    };
    match tablet.view(Query::Job(query)).await.unwrap() {
        View::Job { head, screen } => (head, screen),
        _ => panic!("a screen of a job was asked for"),
    }
}

async fn steps(tablet: &TabletHandle, job: JobId) -> (JobHead, StepsView) {
    let whole = Screen::Steps {
        procedure: None,
        step: None,
    };
    match screen(tablet, job, whole).await {
        (head, ScreenView::Steps(steps)) => (head, steps),
        other => panic!("not the steps: {other:?}"),
    }
}

async fn pre_job(tablet: &TabletHandle, job: JobId) -> PreJobView {
    match screen(tablet, job, Screen::PreJob).await.1 {
        ScreenView::PreJob(view) => view,
        other => panic!("not the pre-job screen: {other:?}"),
    }
}

async fn record(tablet: &TabletHandle, job: JobId, body: Body) -> Result<Reply, String> {
    let entry = RecordEntry {
        job,
        called_by: None,
        body,
    };
    let kept = tablet.command(Command::Record(entry)).await;
    kept.map_err(|error| error.code)
}

fn reading(digits: &str, purpose: Purpose) -> Body {
    Body::Reading(Reading {
        asset: VALVE,
        point: "outlet".to_owned(),
        place: None,
        figure: psi(digits),
        gauge: None,
        purpose,
        water: Water::Flowing,
        request: None,
    })
}

fn hello(tablet: &str) -> Hello {
    let mut hello = Hello::new(
        turnwise_core::journal::DeviceId(Uuid::from_u128(7)),
        turnwise_core::journal::BootId(Uuid::from_u128(8)),
        DeviceRole::Tablet,
        tablet,
    );
    hello.person = Some(tablet.to_owned());
    hello
}

/// `to` comes to hold what `from` has of a job.
async fn brings(from: &TabletHandle, to: &TabletHandle, job: JobId) {
    let theirs = to.accepts(&hello("Ana"), job).await.unwrap().unwrap();
    for bundle in from.missing(job, &theirs).await.unwrap().bundles {
        to.intake(from.device(), job, bundle).await.unwrap();
    }
}

#[tokio::test]
async fn a_broken_file_is_shown_with_its_line_and_a_good_one_is_at_hand_after_reading_again() {
    let dir = tempfile::tempdir().unwrap();
    let folder = folder(dir.path());
    std::fs::write(folder.join("broken.toml"), &ROUND[..200]).unwrap();
    std::fs::write(folder.join("notes.txt"), "not looked at").unwrap();
    let tablet = tablet(dir.path(), "Ana").await;
    let shown = home(&tablet).await.procedures;
    assert_eq!(shown.refused.len(), 1);
    assert_eq!(shown.refused[0].file, "broken.toml");
    assert!(shown.refused[0].line > 5 && !shown.refused[0].reason.is_empty());
    assert!(shown.all.iter().all(|known| known.owner.is_none()));
    assert_eq!(shown.folder.as_deref(), folder.to_str());
    let refused = tablet.command(new_job("J-1", "round")).await.unwrap_err();
    assert_eq!(refused.code, "unknown_procedure");
    tablet.command(new_job("J-1", "reducing")).await.unwrap();

    std::fs::write(folder.join("broken.toml"), ROUND).unwrap();
    tablet.command(Command::ReloadProcedures).await.unwrap();
    let shown = home(&tablet).await.procedures;
    assert!(shown.refused.is_empty());
    let round = shown.all.iter().find(|known| known.id == "round").unwrap();
    assert_eq!(round.owner.as_ref().unwrap().file, "broken.toml");
    tablet.command(new_job("J-2", "round")).await.unwrap();
}

#[tokio::test]
async fn what_is_no_text_or_too_large_is_refused_and_nothing_stops_working() {
    let dir = tempfile::tempdir().unwrap();
    let folder = folder(dir.path());
    std::fs::write(folder.join("a.toml"), [0xff, 0xfe, 0x00]).unwrap();
    std::fs::write(folder.join("b.toml"), "#".repeat(200_000)).unwrap();
    std::fs::write(folder.join("c.toml"), ROUND).unwrap();
    let tablet = tablet(dir.path(), "Ana").await;
    let shown = home(&tablet).await.procedures;
    let codes: Vec<(&str, &str)> = shown
        .refused
        .iter()
        .map(|refused| (refused.file.as_str(), refused.code.as_str()))
        .collect();
    assert_eq!(codes, [("a.toml", "not_text"), ("b.toml", "too_large")]);
    assert!(shown.all.iter().any(|known| known.id == "round"));
}

#[tokio::test]
async fn a_mate_without_the_file_walks_the_same_steps_and_sees_that_they_are_the_owners() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    std::fs::write(folder(here.path()).join("round.toml"), ROUND).unwrap();
    let (ana, beto) = (
        tablet(here.path(), "Ana").await,
        tablet(there.path(), "Beto").await,
    );
    let job = ana.command(new_job("J-3", "round")).await.unwrap().job.unwrap();
    brings(&ana, &beto, job).await;
    let (head, steps) = steps(&beto, job).await;
    assert_eq!(steps.title.en, "Weekly round");
    assert_eq!(steps.owner.as_ref().unwrap().file, "round.toml");
    assert_eq!(head.procedure_owner, steps.owner);
    assert!(!head.procedure_missing);
    let mark = Body::StepMark(StepMark {
        asset: VALVE,
        procedure: "round".to_owned(),
        step: "look.outlet".to_owned(),
        outcome: Outcome::Done,
        overridden: Vec::new(),
        reason: None,
        replaces: Vec::new(),
    });
    record(&beto, job, mark).await.unwrap();
}

#[tokio::test]
async fn a_file_that_is_changed_afterwards_does_not_change_the_jobs_that_carry_it() {
    let dir = tempfile::tempdir().unwrap();
    let folder = folder(dir.path());
    std::fs::write(folder.join("round.toml"), ROUND).unwrap();
    let ana = tablet(dir.path(), "Ana").await;
    let job = ana.command(new_job("J-4", "round")).await.unwrap().job.unwrap();
    std::fs::write(folder.join("round.toml"), ROUND.replace("Weekly", "Daily")).unwrap();
    ana.command(Command::ReloadProcedures).await.unwrap();
    assert_eq!(steps(&ana, job).await.1.title.en, "Weekly round");
    let later = ana.command(new_job("J-5", "round")).await.unwrap().job.unwrap();
    assert_eq!(steps(&ana, later).await.1.title.en, "Daily round");
}

#[tokio::test]
async fn a_job_whose_procedure_is_not_here_can_be_read_and_nothing_is_recorded_for_it() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    std::fs::write(folder(here.path()).join("round.toml"), ROUND).unwrap();
    let ana = tablet(here.path(), "Ana").await;
    let job = ana.command(new_job("J-6", "round")).await.unwrap().job.unwrap();
    put_away(ana).await;
    // Only the opening gets through, as where the rest is still on its way.
    let mut store = reopened(here.path());
    let opening = store
        .missing(job, &turnwise_core::journal::Clock::default())
        .unwrap();
    let state = store.state(job).unwrap();
    assert!(state.entries.len() > 1 && opening.len() == 1);
    let beto = tablet(there.path(), "Beto").await;
    let only = opening_alone(&mut store, job);
    beto.intake(store.device(), job, only).await.unwrap();
    let (head, _) = steps(&beto, job).await;
    assert!(head.procedure_missing);
    assert_eq!(head.procedure, "round");
    let note = Body::Note(Note {
        text: "as found".to_owned(),
        about: None,
    });
    assert_eq!(record(&beto, job, note).await.unwrap_err(), "procedure_not_here");
}

/// Lets go of a tablet, and waits until its store is closed.
async fn put_away(tablet: TabletHandle) {
    let mut closed = tablet.closed();
    drop(tablet);
    closed.wait_for(|closed| *closed).await.unwrap();
}

fn reopened(dir: &Path) -> JournalStore {
    JournalStore::open(dir, Seed::draw().unwrap()).unwrap()
}

/// The first change of a job by itself.
fn opening_alone(store: &mut JournalStore, job: JobId) -> Vec<u8> {
    let dir = tempfile::tempdir().unwrap();
    let mut other = JournalStore::open(dir.path(), Seed::draw().unwrap()).unwrap();
    let state = store.state(job).unwrap();
    let opening = state
        .entries
        .iter()
        .find(|folded| folded.entry.id.0 == job.0)
        .unwrap();
    other.append(job, &opening.entry).unwrap();
    let mut bundles = other
        .missing(job, &turnwise_core::journal::Clock::default())
        .unwrap();
    bundles.remove(0)
}

#[tokio::test]
async fn a_job_made_on_a_tablet_picks_up_the_closed_jobs_it_holds_and_shows_the_drift() {
    let dir = tempfile::tempdir().unwrap();
    let ana = tablet(dir.path(), "Ana").await;
    let first = ana
        .command(new_job("J-1", "reducing"))
        .await
        .unwrap()
        .job
        .unwrap();
    assert!(
        pre_job(&ana, first).await.history.visits.is_empty(),
        "the first visit on record"
    );
    record(&ana, first, reading("60", Purpose::AsFound))
        .await
        .unwrap();
    record(&ana, first, reading("55", Purpose::AsLeft)).await.unwrap();
    let open = ana
        .command(new_job("J-2", "reducing"))
        .await
        .unwrap()
        .job
        .unwrap();
    assert!(
        pre_job(&ana, open).await.history.visits.is_empty(),
        "an open job is no visit"
    );
    put_away(ana).await;
    close(dir.path(), first, "2024-05-02T10:00:00Z");

    let ana = tablet(dir.path(), "Ana").await;
    let known = home(&ana).await.known;
    assert_eq!(known.len(), 1);
    assert_eq!((known[0].valve.id, known[0].number.as_str()), (VALVE, "J-2"));
    let second = ana
        .command(new_job("J-3", "reducing"))
        .await
        .unwrap()
        .job
        .unwrap();
    record(&ana, second, reading("58.5", Purpose::AsFound))
        .await
        .unwrap();
    let history = pre_job(&ana, second).await.history;
    assert_eq!(history.visits.len(), 1);
    assert_eq!(history.visits[0].history.more.number.as_deref(), Some("J-1"));
    let drift = history.drift.unwrap();
    assert_eq!((drift.left, drift.found), (psi("55"), psi("58.5")));
    assert_eq!(drift.change, psi("3.5"));
    assert_eq!(drift.verdict, Drifted::Drifted);
    record(&ana, second, reading("56", Purpose::AsLeft))
        .await
        .unwrap();
    put_away(ana).await;
    close(dir.path(), second, "2025-05-02T10:00:00Z");

    let ana = tablet(dir.path(), "Ana").await;
    let third = ana
        .command(new_job("J-4", "reducing"))
        .await
        .unwrap()
        .job
        .unwrap();
    record(&ana, third, reading("55.5", Purpose::AsFound))
        .await
        .unwrap();
    let history = pre_job(&ana, third).await.history;
    let numbers: Vec<_> = history
        .visits
        .iter()
        .map(|visit| visit.history.more.number.clone().unwrap())
        .collect();
    assert_eq!(numbers, ["J-3", "J-1"], "the newest first");
    let drift = history.drift.unwrap();
    assert_eq!((drift.left, drift.verdict), (psi("56"), Drifted::Stood));
}

/// A job is initialled and signed, by hand: how that is done is another test's.
fn close(dir: &Path, job: JobId, at: &str) {
    let mut store = reopened(dir);
    let (device, boot) = (store.device(), store.boot());
    let mut tell = |body| {
        let entry = turnwise_core::journal::Entry {
            id: turnwise_core::journal::EntryId(Uuid::now_v7()),
            told: turnwise_core::journal::Told {
                by: PersonId::of_name("Ana"),
                keyed_by: None,
                device,
                boot,
                mono_ms: 1,
                at: at.to_owned(),
                body,
            },
        };
        store.append(job, &entry).unwrap();
    };
    tell(Body::Initials(Initials { entries: 2 }));
    tell(Body::SignOff(SignOff {
        digest: "0".repeat(64),
        heads: Vec::new(),
        clock: std::collections::BTreeMap::new(),
        revision: 1,
        signed_at: None,
        key: None,
        signature: None,
    }));
    store.close().unwrap();
}
