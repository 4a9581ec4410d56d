//! What the office gives the link.

use crate::engine::Engine;
use crate::error::OfficeError;
use crate::handle::OfficeHandle;
use std::collections::BTreeMap;
use tokio::sync::{broadcast, watch};
use turnwise_core::journal::{Clock, DeviceId, JobId, PersonId};
use turnwise_core::link::{Hello, IntakeError, LinkHost, Missing, PeerState, Unable};
use turnwise_core::store::{IntakeError as StoreIntakeError, StoreError};

impl LinkHost for OfficeHandle {
    fn me(&self) -> watch::Receiver<Hello> {
        self.signals.hello.subscribe()
    }

    fn changes(&self) -> broadcast::Receiver<JobId> {
        self.signals.jobs.subscribe()
    }

    async fn offers(&self, peer: &Hello) -> Result<BTreeMap<JobId, Clock>, Unable> {
        let peer = peer.clone();
        self.for_link(move |engine| {
            let mut offers = BTreeMap::new();
            for job in engine.store.jobs()? {
                if let Some(clock) = engine.offer(&peer, job)? {
                    offers.insert(job, clock);
                }
            }
            Ok(offers)
        })
        .await
    }

    async fn offer(&self, peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        let peer = peer.clone();
        self.for_link(move |engine| engine.offer(&peer, job)).await
    }

    /// Whatever a tablet brings of a job is wanted here, whether the job was handed out or started on a tablet:
    /// an entry at the office is an entry saved.
    async fn accepts(&self, _: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        self.for_link(move |engine| Ok(Some(engine.store.clock(job)?)))
            .await
    }

    async fn missing(&self, job: JobId, theirs: &Clock) -> Result<Missing, Unable> {
        let theirs = theirs.clone();
        self.for_link(move |engine| {
            Ok(Missing {
                clock: engine.store.clock(job)?,
                bundles: engine.store.missing(job, &theirs)?,
            })
        })
        .await
    }

    async fn intake(&self, _: DeviceId, job: JobId, bundle: Vec<u8>) -> Result<Clock, IntakeError> {
        let taken = self.ask(move |engine| {
            if engine.store.intake(job, &bundle)? > 0 {
                engine.job_changed(job);
            }
            Ok(engine.store.clock(job)?)
        });
        let unable = |code| IntakeError::Unable(Unable { code });
        taken
            .await
            .map_err(|error| unable(error.code()))?
            .map_err(|error| match error {
                StoreIntakeError::Refused(refusal) => IntakeError::Refused { code: refusal.code() },
                StoreIntakeError::Store(error) => unable(error.code()),
            })
    }

    /// Where else an entry is safe is nobody's question here: the office is the last place it goes to.
    async fn peer_stored(&self, _: DeviceId, _: JobId, _: Clock) -> Result<(), Unable> {
        Ok(())
    }

    async fn clock_measured(&self, peer: DeviceId, offset_ms: i64, _: u64) {
        let noted = self
            .ask(move |engine| {
                engine.board.clock_measured(peer, offset_ms);
                engine.shown_changed();
            })
            .await;
        if let Err(error) = noted {
            tracing::debug!(code = error.code(), "a clock was not noted");
        }
    }

    fn peer_seen(&self, peer: &Hello, state: PeerState) {
        let peer = peer.clone();
        // The link does not wait for the board. An office that is stopping has nobody to show it to.
        let told = self.tell(move |engine| {
            if let Err(error) = engine.peer_seen(&peer, state) {
                tracing::warn!(code = error.code(), "a tablet was not noted: {error}");
            }
        });
        if let Err(error) = told {
            tracing::debug!(code = error.code(), "a tablet was not noted");
        }
    }
}

impl OfficeHandle {
    async fn for_link<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Engine) -> Result<T, OfficeError> + Send + 'static,
    ) -> Result<T, Unable> {
        let unable = |error: OfficeError| Unable { code: error.code() };
        self.ask(work).await.map_err(unable)?.map_err(unable)
    }
}

impl Engine {
    /// What a tablet may see of a job: all of it, if the person who says to be using it is granted anything on
    /// it. Until tablets are vouched for, the name is their own claim.
    fn offer(&mut self, peer: &Hello, job: JobId) -> Result<Option<Clock>, OfficeError> {
        let Some(person) = peer.person.as_deref().map(PersonId::of_name) else {
            return Ok(None);
        };
        match self.store.state(job) {
            Ok(state) if state.role(person).is_some() => Ok(Some(self.store.clock(job)?)),
            Ok(_) | Err(StoreError::UnknownJob(_)) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    fn peer_seen(&mut self, peer: &Hello, state: PeerState) -> Result<(), OfficeError> {
        let at = self.wall();
        let row = self.board.seen(peer, state, &at);
        self.shown_changed();
        Ok(self.store.store_mut().keep_peer(&row)?)
    }
}
