//! The handle that servers and links hold: it sends work to the engine's thread and waits for the answer.

use crate::api::{ChangeRequest, HandOut, OfficeHome, OfficeJob};
use crate::engine::{Engine, Signals};
use crate::error::OfficeError;
use crate::registry::Registry;
use std::path::PathBuf;
use std::sync::Arc;
use tokio::sync::{broadcast, mpsc, oneshot, watch};
use turnwise_core::journal::{DeviceId, JobId, OFFICE_NAME};
use turnwise_core::link::{DeviceRole, Hello};
use turnwise_core::procedure::AtHand;
use turnwise_core::record::Record;
use turnwise_core::record::export::Export;
use turnwise_core::store::{JournalStore, Seed};
use turnwise_core::tablet::{Clocks, DeviceClocks, PROCEDURES};

/// How many changed jobs a slow link may fall behind before it asks for everything again.
const CHANGES_KEPT: usize = 1024;

type Request = Box<dyn FnOnce(&mut Engine) + Send>;

/// How to open an office.
pub struct Options {
    /// Where its data are kept.
    pub data: PathBuf,
    /// What tablets see it called.
    pub name: String,
    /// Where the time comes from.
    pub clocks: Box<dyn Clocks>,
    /// The owner's folder of procedure files; `procedures` under the data if none is named.
    pub procedures: Option<PathBuf>,
}

impl Options {
    /// An office that goes by the machine's own clocks.
    pub fn new(data: impl Into<PathBuf>) -> Self {
        Self {
            data: data.into(),
            name: OFFICE_NAME.to_owned(),
            clocks: Box::new(DeviceClocks::start()),
            procedures: None,
        }
    }
}

/// An office. Clones are the same office.
#[derive(Clone)]
pub struct OfficeHandle {
    requests: mpsc::UnboundedSender<Request>,
    pub(crate) signals: Signals,
    closed: watch::Receiver<bool>,
    device: DeviceId,
    registry: Arc<Registry>,
}

impl OfficeHandle {
    /// Opens the store and starts the engine's thread.
    ///
    /// Errors: what the store says, under the store's code.
    pub fn open(options: Options) -> Result<Self, OfficeError> {
        let seed = Seed::draw().map_err(|error| OfficeError::Unable {
            code: "no_randomness",
            message: error.to_string(),
        })?;
        let store = JournalStore::open(&options.data, seed)?;
        // After the store, which holds the folder for this program alone.
        let registry = Arc::new(Registry::open(&options.data)?);
        let (device, boot) = (store.device(), store.boot());
        let signals = Signals {
            revision: watch::Sender::new(0),
            jobs: broadcast::Sender::new(CHANGES_KEPT),
            hello: watch::Sender::new(Hello::new(device, boot, DeviceRole::Office, options.name.clone())),
        };
        let folder = options
            .procedures
            .unwrap_or_else(|| options.data.join(PROCEDURES));
        let mut engine = Engine::new(store, options.clocks, signals.clone(), folder)?;
        let (requests, mut incoming) = mpsc::unbounded_channel::<Request>();
        let (closed_told, closed) = watch::channel(false);
        std::thread::Builder::new()
            .name("office".to_owned())
            .spawn(move || {
                while let Some(request) = incoming.blocking_recv() {
                    request(&mut engine);
                    if engine.closing() {
                        break;
                    }
                }
                drop(engine);
                closed_told.send_replace(true);
            })
            .map_err(|error| OfficeError::Unable {
                code: "no_thread",
                message: error.to_string(),
            })?;
        Ok(Self {
            requests,
            signals,
            closed,
            device,
            registry,
        })
    }

    /// What is kept of people, sessions, tokens and the audit trail.
    pub fn registry(&self) -> Arc<Registry> {
        self.registry.clone()
    }

    /// The office's own device id.
    pub fn device(&self) -> DeviceId {
        self.device
    }

    /// Grows whenever anything shown may have changed.
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.signals.revision.subscribe()
    }

    /// Hands out a job. When it returns, the whole job is durable.
    pub async fn hand_out(&self, job: HandOut) -> Result<OfficeJob, OfficeError> {
        self.ask(move |engine| engine.hand_out(&job)).await?
    }

    /// Reads the owner's procedure files again.
    pub async fn reload_procedures(&self) -> Result<AtHand, OfficeError> {
        self.ask(Engine::reload_procedures).await?
    }

    /// Changes what is asked of a valve.
    pub async fn change_request(&self, job: JobId, change: ChangeRequest) -> Result<OfficeJob, OfficeError> {
        self.ask(move |engine| engine.change_request(job, change)).await?
    }

    /// Every job and every tablet.
    pub async fn home(&self) -> Result<OfficeHome, OfficeError> {
        self.ask(Engine::home).await?
    }

    /// One job.
    pub async fn job(&self, job: JobId) -> Result<OfficeJob, OfficeError> {
        self.ask(move |engine| engine.job(job)).await?
    }

    /// A job for others to read: its record, signed or as it stands, with its signatures and a seal.
    pub async fn export(&self, job: JobId) -> Result<Export, OfficeError> {
        self.ask(move |engine| engine.export(job)).await?
    }

    /// The record of a job as it stands now, signed or not.
    pub async fn record(&self, job: JobId) -> Result<Record, OfficeError> {
        self.ask(move |engine| engine.record(job)).await?
    }

    /// The exact bytes of the newest record that was signed.
    pub async fn signed_record(&self, job: JobId) -> Result<Arc<[u8]>, OfficeError> {
        self.ask(move |engine| engine.signed_record(job)).await?
    }

    /// Ends the engine and closes the store. What was asked before is done; what is asked after is refused as
    /// `stopping`.
    pub async fn close(&self) {
        // Refused: it is closing already.
        let _ = self.ask(Engine::close).await;
        // An error means that the thread is gone: closed.
        let _ = self.closed.clone().wait_for(|closed| *closed).await;
        self.registry.close();
    }

    pub(crate) async fn ask<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Engine) -> T + Send + 'static,
    ) -> Result<T, OfficeError> {
        let (answer, answered) = oneshot::channel();
        self.tell(move |engine| {
            // An asker that has gone away wants no answer.
            let _ = answer.send(work(engine));
        })?;
        answered.await.map_err(|_| OfficeError::Stopping)
    }

    /// Hands work to the engine without waiting for it. What is told in an order is done in that order.
    pub(crate) fn tell(&self, work: impl FnOnce(&mut Engine) + Send + 'static) -> Result<(), OfficeError> {
        // Whoever asks waits for the answer, so the queue is no longer than there are askers.
        self.requests
            .send(Box::new(work))
            .map_err(|_| OfficeError::Stopping)
    }
}
