//! A logger's file on a real tablet: it comes in parts, is looked at, kept, drawn, and still there after a restart.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot set its scene has failed"
)]

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write as _;
use turnwise_core::journal::{Asset, AssetId, JobId, ValveOnJob};
use turnwise_core::logger::{Reading, pack};
use turnwise_core::quantity::Unit;
use turnwise_core::steady::State;
use turnwise_core::store::Seed;
use turnwise_core::tablet::view::{LoggerLookView, LoggerView};
use turnwise_core::tablet::{
    Command, JobQuery, KeepLogger, LoggerCommand, NewJob, Options, Query, Screen, ScreenView, TabletHandle,
    View,
};
use uuid::Uuid;

const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));

fn open(dir: &tempfile::TempDir) -> TabletHandle {
    TabletHandle::open(Options::new(dir.path(), "tablet A"), Seed::draw().unwrap()).unwrap()
}

async fn with_job(tablet: &TabletHandle) -> JobId {
    let name = "Ana".to_owned();
    tablet.command(Command::SetMe { name }).await.unwrap();
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

/// Ten minutes that settle at 4 bar, with a decimal comma and no unit in the header.
fn file() -> String {
    let mut file = String::from("Hora;Presión\n");
    for second in 0..600 {
        let bar = 4.0 + 2.0 * (-f64::from(second) / 20.0).exp();
        let digits = format!("{bar:.3}").replace('.', ",");
        writeln!(
            file,
            "2025-11-25 10:{:02}:{:02};{digits}",
            second / 60,
            second % 60
        )
        .unwrap();
    }
    file
}

async fn bring(tablet: &TabletHandle, bytes: &[u8], size: usize) -> Result<(), String> {
    for (part, bytes) in bytes.chunks(size).enumerate() {
        let part = LoggerCommand::Part {
            part: u32::try_from(part).unwrap(),
            base64: STANDARD.encode(bytes),
        };
        tablet
            .command(Command::Logger(part))
            .await
            .map_err(|error| error.code)?;
    }
    Ok(())
}

async fn look(tablet: &TabletHandle, reading: Reading) -> LoggerLookView {
    match tablet.view(Query::Logger(reading)).await.unwrap() {
        View::Logger(look) => look,
        other => panic!("a look was asked for: {other:?}"),
    }
}

async fn keep(tablet: &TabletHandle, job: JobId, reading: Reading) -> Result<(), String> {
    let keep = LoggerCommand::Keep(KeepLogger {
        job,
        asset: VALVE,
        point: "outlet".to_owned(),
        file: "vault3.csv".to_owned(),
        reading,
    });
    let kept = tablet.command(Command::Logger(keep)).await;
    kept.map(|_| ()).map_err(|error| error.code)
}

async fn screen(tablet: &TabletHandle, job: JobId, window: (Option<u32>, Option<u32>)) -> LoggerView {
    let screen = Screen::Logger {
        entry: None,
        from_s: window.0,
        to_s: window.1,
    };
    let query = JobQuery {
        job,
        valve: None,
        screw: None,
        screen,
    };
    match tablet.view(Query::Job(query)).await.unwrap() {
        View::Job {
            screen: ScreenView::Logger(view),
            ..
        } => view,
        other => panic!("the loggers' screen was asked for: {other:?}"),
    }
}

const IN_BAR: Reading = Reading {
    column: None,
    unit: Some(Unit::Bar),
    day_first: None,
};

#[tokio::test]
async fn a_file_is_looked_at_kept_drawn_and_there_after_a_restart() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    bring(&tablet, &pack(file().as_bytes()).unwrap(), 500)
        .await
        .unwrap();

    let unsaid = look(&tablet, Reading::default()).await;
    assert_eq!(unsaid.problem.as_deref(), Some("no_unit"));
    assert_eq!(
        keep(&tablet, job, Reading::default()).await,
        Err("logger_no_unit".to_owned())
    );
    let said = look(&tablet, IN_BAR).await;
    assert_eq!((said.problem, said.drawn.unwrap().rows), (None, 600));
    keep(&tablet, job, IN_BAR).await.unwrap();

    let mut closed = tablet.closed();
    drop(tablet);
    closed.wait_for(|closed| *closed).await.unwrap();
    let tablet = open(&dir);
    let whole = screen(&tablet, job, (None, None)).await;
    assert_eq!(
        (whole.files.len(), whole.files[0].file.as_str()),
        (1, "vault3.csv")
    );
    let drawn = whole.drawn.unwrap();
    assert_eq!(drawn.clock, ["2025-11-25T10:00:00", "2025-11-25T10:09:59"]);
    assert_eq!(drawn.settled.unwrap().state, State::Steady);
    let early = screen(&tablet, job, (Some(0), Some(30))).await.drawn.unwrap();
    assert_eq!(early.settled.unwrap().state, State::Settling);
    let late = screen(&tablet, job, (Some(300), Some(600))).await.drawn.unwrap();
    assert_eq!(late.settled.unwrap().mean.unwrap().to_string(), "4.00 bar");
}

#[tokio::test]
async fn a_part_out_of_order_or_that_is_no_file_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = open(&dir);
    let job = with_job(&tablet).await;
    let part = |part, base64: &str| {
        let base64 = base64.to_owned();
        tablet.command(Command::Logger(LoggerCommand::Part { part, base64 }))
    };
    assert_eq!(part(1, "AAAA").await.unwrap_err().code, "logger_part");
    assert_eq!(part(0, "not base 64").await.unwrap_err().code, "logger_part");
    part(0, "AAAA").await.unwrap();
    assert_eq!(look(&tablet, IN_BAR).await.problem.as_deref(), Some("damaged"));
    assert_eq!(keep(&tablet, job, IN_BAR).await, Err("logger_damaged".to_owned()));
    assert!(screen(&tablet, job, (None, None)).await.files.is_empty());
}
