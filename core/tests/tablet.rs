//! A tablet as a shell sees it: commands in, views out, and everything there after a restart.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot set its scene has failed"
)]

use turnwise_core::journal::{
    Asset, AssetId, Body, JobId, Note, ParticularValue, Particulars, PersonId, Purpose, Reading, Request,
    ScrewMove, ValveOnJob, Water, Withdrawn, particular,
};
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::store::Seed;
use turnwise_core::tablet::view::{Agreement, JobHead, SettingView, Way};
use turnwise_core::tablet::{
    Command, JobQuery, NewJob, Options, Query, RecordEntry, Reply, Screen, ScreenView, TabletHandle, View,
};
use uuid::Uuid;

const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));

fn figure(digits: &str, unit: Unit) -> Figure {
    Figure::new(digits, unit).unwrap()
}

fn open(dir: &tempfile::TempDir) -> TabletHandle {
    TabletHandle::open(Options::new(dir.path(), "tablet A"), Seed::draw().unwrap()).unwrap()
}

async fn with_job(tablet: &TabletHandle) -> JobId {
    tablet
        .command(Command::SetMe {
            name: "Ana Ruiz".to_owned(),
        })
        .await
        .unwrap();
    let new = NewJob {
        number: "J-7".to_owned(),
        customer: "District".to_owned(),
        site: "Alder Street".to_owned(),
        station: Asset {
            id: AssetId(Uuid::from_u128(0x57)),
            name: "Vault 3".to_owned(),
        },
        valves: vec![ValveOnJob {
            id: VALVE,
            name: "PRV".to_owned(),
            procedure: "reducing".to_owned(),
            size: None,
        }],
    };
    tablet.command(Command::OpenJob(new)).await.unwrap().job.unwrap()
}

async fn record(tablet: &TabletHandle, job: JobId, body: Body) -> Result<Reply, String> {
    tablet
        .command(Command::Record(RecordEntry {
            job,
            called_by: None,
            body,
        }))
        .await
        .map_err(|error| error.code)
}

async fn screen(tablet: &TabletHandle, job: JobId, screen: Screen) -> (JobHead, ScreenView) {
    match tablet
        .view(Query::Job(JobQuery {
            job,
            valve: None,
            screw: None,
            screen,
        }))
        .await
        .unwrap()
    {
        View::Job { head, screen } => (head, screen),
        _ => panic!("a screen of a job was asked for"),
    }
}

async fn setting(tablet: &TabletHandle, job: JobId) -> SettingView {
    match screen(tablet, job, Screen::Setting).await.1 {
        ScreenView::Setting(setting) => setting,
        other => panic!("not the setting screen: {other:?}"),
    }
}

fn request(pressure: &str) -> Body {
    Body::Request(Request {
        valve: VALVE,
        pressure: figure(pressure, Unit::Psi),
        tolerance: None,
        datum: "at the valve".to_owned(),
        asked_by: "District".to_owned(),
        zone_limit: Some(figure("80", Unit::Psi)),
        replaces: Vec::new(),
    })
}

fn rate(digits: &str) -> Body {
    Body::Particulars(Particulars {
        asset: VALVE,
        name: particular::SPRING_RATE.to_owned(),
        value: ParticularValue::Figure(figure(digits, Unit::PsiPerTurn)),
        replaces: Vec::new(),
    })
}

fn outlet(digits: &str, purpose: Purpose) -> Reading {
    Reading {
        asset: VALVE,
        point: "outlet".to_owned(),
        place: None,
        figure: figure(digits, Unit::Psi),
        gauge: None,
        purpose,
        water: Water::Flowing,
        request: None,
    }
}

#[tokio::test]
async fn nothing_is_recorded_before_somebody_says_who_they_are() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let refused = record(&tablet, JobId(Uuid::from_u128(1)), rate("15")).await;
    assert_eq!(refused, Err("nobody_here".to_owned()));
}

#[tokio::test]
async fn a_plan_is_made_from_the_newest_reading_and_never_from_one_older_than_the_last_turn() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    record(&tablet, job, request("52")).await.unwrap();
    assert_eq!(setting(&tablet, job).await.no_plan, ["no_rate", "no_reading"]);
    record(&tablet, job, rate("15")).await.unwrap();
    record(&tablet, job, Body::Reading(outlet("70", Purpose::Working)))
        .await
        .unwrap();

    // 15 psi a turn, 70 to 52 psi: 1.2 turns counter-clockwise and a little more for play that nobody knows of yet; at
    // most 5 psi a move with the zone on line: 5/16 of a turn, four moves. Common practice, no source.
    let seen = setting(&tablet, job).await;
    let plan = seen.plan.unwrap();
    assert!((-1.35..=-1.2).contains(&plan.whole.turns));
    assert_eq!((plan.moves, plan.turn.way), (4, Way::CounterClockwise));
    assert_eq!(plan.turn.fraction, "5/16");
    assert!(seen.warnings.contains(&"no_flow_evidence".to_owned()));

    let turned = ScrewMove {
        asset: VALVE,
        screw: "pilot".to_owned(),
        turn: figure("-5/16", Unit::Turn),
        request: seen.request,
        planned_from: Some(plan.from),
    };
    record(&tablet, job, Body::ScrewMove(turned)).await.unwrap();
    let after = setting(&tablet, job).await;
    assert_eq!(after.no_plan, ["reading_older_than_turn"]);
    assert!(after.outlet.unwrap().older_than_turn);

    let (head, _) = screen(&tablet, job, Screen::Setting).await;
    let back = &head.put_back.screws[0].turn;
    assert_eq!((back.fraction.as_str(), back.way), ("5/16", Way::Clockwise));
}

#[tokio::test]
async fn an_as_left_reading_names_the_request_that_stands() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    let asked = record(&tablet, job, request("52")).await.unwrap().entries[0];
    let nameless = Body::Reading(outlet("52.0", Purpose::AsLeft));
    assert_eq!(
        record(&tablet, job, nameless).await,
        Err("request_not_named".to_owned())
    );
    let named = Reading {
        request: Some(asked),
        ..outlet("52.0", Purpose::AsLeft)
    };
    record(&tablet, job, Body::Reading(named)).await.unwrap();
}

#[tokio::test]
async fn a_note_of_ten_megabytes_is_refused_and_the_next_one_is_kept() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    let note = |text: String| Body::Note(Note { text, about: None });
    assert_eq!(
        record(&tablet, job, note("x".repeat(10_000_000))).await,
        Err("too_long".to_owned())
    );
    record(&tablet, job, note("bent spindle".to_owned()))
        .await
        .unwrap();
}

#[tokio::test]
async fn what_makes_no_sense_is_refused_with_its_code() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    let mut bad = outlet("70", Purpose::Working);
    bad.figure = Figure {
        digits: "NaN".to_owned(),
        unit: Unit::Psi,
    };
    assert_eq!(
        record(&tablet, job, Body::Reading(bad)).await,
        Err("not_finite".to_owned())
    );
    let nothing = Withdrawn {
        entry: turnwise_core::journal::EntryId(Uuid::nil()),
        reason: "x".to_owned(),
    };
    assert_eq!(
        record(&tablet, job, Body::Withdrawn(nothing)).await,
        Err("unknown_entry".to_owned())
    );
    let elsewhere = record(&tablet, JobId(Uuid::from_u128(9)), rate("15")).await;
    assert_eq!(elsewhere, Err("unknown_job".to_owned()));
}

#[tokio::test]
async fn one_types_for_two_and_both_are_named() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    let body = Body::Reading(outlet("70.0", Purpose::Working));
    let called_by = Some(PersonId::of_name("Luis Vega"));
    tablet
        .command(Command::Record(RecordEntry { job, called_by, body }))
        .await
        .unwrap();
    let said = setting(&tablet, job).await.outlet.unwrap().said;
    assert_eq!(said.person, PersonId::of_name("luis vega"));
    assert_eq!(said.keyed_by.as_deref(), Some("Ana Ruiz"));
}

#[tokio::test]
async fn initials_stand_for_the_number_of_entries_that_was_shown() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    record(&tablet, job, Body::Reading(outlet("70", Purpose::Working)))
        .await
        .unwrap();
    let ana = PersonId::of_name("Ana Ruiz");
    let initial = |entries| Command::Initial {
        job,
        person: ana,
        entries,
    };
    assert_eq!(
        tablet.command(initial(2)).await.unwrap_err().code,
        "entries_changed"
    );
    tablet.command(initial(1)).await.unwrap();
    let ScreenView::CloseOut(close_out) = screen(&tablet, job, Screen::CloseOut).await.1 else {
        panic!("not the close-out screen");
    };
    assert_eq!(
        (close_out.initials[0].entries, close_out.initials[0].initialled),
        (1, 1)
    );
    assert!(
        !close_out.can_sign,
        "a job with nearly nothing done cannot be signed"
    );
    let digest = close_out.record.digest;
    let signed = tablet
        .command(Command::Sign {
            job,
            person: ana,
            digest,
        })
        .await;
    assert_eq!(signed.unwrap_err().code, "something_missing");
}

#[tokio::test]
async fn after_a_restart_everything_is_there_and_only_here() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    record(&tablet, job, request("52")).await.unwrap();
    let mut closed = tablet.closed();
    drop(tablet);
    closed.wait_for(|closed| *closed).await.unwrap();

    let tablet = open(&dir);
    let (head, _) = screen(&tablet, job, Screen::PreJob).await;
    assert_eq!(head.me.unwrap().name, "Ana Ruiz");
    assert_eq!(head.request.agreement, Agreement::Agreed);
    assert_eq!(
        (
            head.custody.only_here,
            head.custody.with_mate,
            head.custody.at_office
        ),
        (2, 0, 0)
    );
}
