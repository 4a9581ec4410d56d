//! The handle that shells hold: it sends work to the engine's thread and waits for the answer.

use super::engine::{Engine, Signals};
use super::moment::{Clocks, DeviceClocks};
use super::{Command, CommandError, CrewCommand, Query, Reply, View};
use crate::journal::{DeviceId, JobId};
use crate::link::secure::Pins;
use crate::link::{DeviceRole, Hello};
use crate::procedure::ProcedureError;
use crate::store::{JournalStore, Seed, StoreError};
use std::path::PathBuf;
use tokio::sync::{broadcast, mpsc, oneshot, watch};

/// How many changed jobs a slow link may fall behind before it asks for everything again.
const CHANGES_KEPT: usize = 1024;

/// The owner's folder of procedure files under the data, where none is named.
pub const PROCEDURES: &str = "procedures";

type Request = Box<dyn FnOnce(&mut Engine) + Send>;

/// How to open a tablet.
pub struct Options {
    /// Where its data are kept.
    pub data: PathBuf,
    /// What crew mates see it called.
    pub name: String,
    /// Where the time comes from.
    pub clocks: Box<dyn Clocks>,
    /// The owner's folder of procedure files; `procedures` under the data if none is named.
    pub procedures: Option<PathBuf>,
}

impl Options {
    /// A tablet that goes by the device's own clocks.
    pub fn new(data: impl Into<PathBuf>, name: impl Into<String>) -> Self {
        Self {
            data: data.into(),
            name: name.into(),
            clocks: Box::new(DeviceClocks::start()),
            procedures: None,
        }
    }
}

/// Why a tablet could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// The store: locked by another program, of a newer version, read-only, not a store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A procedure that comes with the product does not read.
    #[error(transparent)]
    Procedures(#[from] ProcedureError),
    /// No procedure comes with the product.
    #[error("no procedure comes with this program")]
    NoProcedure,
    /// The system gave no thread.
    #[error("the engine's thread could not be started: {0}")]
    Thread(std::io::Error),
}

impl OpenError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Store(error) => error.code(),
            Self::Procedures(_) | Self::NoProcedure => "procedures",
            Self::Thread(_) => "no_thread",
        }
    }
}

/// A tablet. Clones are the same tablet; when the last one is dropped, its store is closed.
#[derive(Clone)]
pub struct TabletHandle {
    requests: mpsc::UnboundedSender<Request>,
    pub(super) signals: Signals,
    device: DeviceId,
    closed: watch::Receiver<bool>,
}

impl TabletHandle {
    /// Opens the store and starts the engine's thread.
    ///
    /// # Errors
    /// What the store says: locked by another program, of a newer version, read-only, not a store.
    pub fn open(options: Options, seed: Seed) -> Result<Self, OpenError> {
        let store = JournalStore::open(&options.data, seed)?;
        let boot = store.boot();
        let device = store.device();
        let signals = Signals {
            revision: watch::Sender::new(0),
            jobs: broadcast::Sender::new(CHANGES_KEPT),
            hello: watch::Sender::new(Hello::new(device, boot, DeviceRole::Tablet, options.name)),
            stop: watch::Sender::new(false),
            pins: watch::Sender::new(Pins::default()),
            crew: watch::Sender::new(None),
        };
        let folder = options
            .procedures
            .unwrap_or_else(|| options.data.join(PROCEDURES));
        let mut engine = Engine::new(store, options.clocks, boot, signals.clone(), folder)?;
        let (closing, closed) = watch::channel(false);
        let (requests, mut incoming) = mpsc::unbounded_channel::<Request>();
        std::thread::Builder::new()
            .name("tablet".to_owned())
            .spawn(move || {
                while let Some(request) = incoming.blocking_recv() {
                    request(&mut engine);
                }
                if let Err(error) = engine.close() {
                    tracing::warn!(code = error.code(), "the store did not close cleanly: {error}");
                }
                closing.send_replace(true);
            })
            .map_err(OpenError::Thread)?;
        Ok(Self {
            requests,
            signals,
            device,
            closed,
        })
    }

    /// This tablet's device id.
    pub fn device(&self) -> DeviceId {
        self.device
    }

    /// Carries out a command. When it returns `Ok`, what it made is durable.
    ///
    /// # Errors
    /// Why it was not carried out; nothing of it was kept.
    pub async fn command(&self, command: Command) -> Result<Reply, CommandError> {
        if let Command::Crew(CrewCommand::Pair { code, address }) = &command {
            return self.pair(code, address).await;
        }
        self.ask(move |engine| engine.command(command)).await?
    }

    /// What a screen shows.
    ///
    /// # Errors
    /// Why there is nothing to show.
    pub async fn view(&self, query: Query) -> Result<View, CommandError> {
        self.ask(move |engine| engine.view(&query)).await?
    }

    /// The canonical record of a job as it stands now, and its digest.
    ///
    /// # Errors
    /// Why there is none.
    pub async fn record(&self, job: JobId) -> Result<crate::record::Record, CommandError> {
        self.ask(move |engine| engine.record(job)).await?
    }

    /// Grows whenever anything shown may have changed.
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.signals.revision.subscribe()
    }

    /// Becomes true when the last handle is gone and the store is closed: another may open it then.
    pub fn closed(&self) -> watch::Receiver<bool> {
        self.closed.clone()
    }

    /// Becomes true when the tablet leaves its links: every socket is then to be closed.
    pub fn link_stop(&self) -> watch::Receiver<bool> {
        self.signals.stop.subscribe()
    }

    /// Gives the engine work without waiting for it. An engine that has stopped has nothing to tell.
    pub(super) fn tell(&self, work: impl FnOnce(&mut Engine) + Send + 'static) {
        let _ = self.requests.send(Box::new(work));
    }

    pub(super) async fn ask<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Engine) -> T + Send + 'static,
    ) -> Result<T, CommandError> {
        let gone = || {
            CommandError::new(
                "engine_gone",
                "the tablet's engine has stopped; restart the program",
            )
        };
        let (answer, answered) = oneshot::channel();
        let request: Request = Box::new(move |engine| {
            // An asker that has gone away wants no answer.
            let _ = answer.send(work(engine));
        });
        self.requests.send(request).map_err(|_| gone())?;
        answered.await.map_err(|_| gone())
    }
}
