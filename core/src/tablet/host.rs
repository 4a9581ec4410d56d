//! What a tablet gives the link.

use super::TabletHandle;
use super::engine::Engine;
use crate::journal::{Body, Clock, ClockCheck, DeviceId, EntryId, JobId, JobState, PersonId};
use crate::link::{DeviceRole, Hello, IntakeError, LinkHost, Missing, PeerState, Unable};
use crate::store::StoreError;
use std::collections::BTreeMap;
use tokio::sync::{broadcast, watch};
use uuid::Uuid;

/// A clock check is written again only when the offset has moved by more than this, milliseconds.
const OFFSET_MOVED_MS: i64 = 2_000;

/// The engine's thread is gone.
const GONE: Unable = Unable { code: "engine_gone" };

impl LinkHost for TabletHandle {
    fn me(&self) -> watch::Receiver<Hello> {
        self.signals.hello.subscribe()
    }

    fn changes(&self) -> broadcast::Receiver<JobId> {
        self.signals.jobs.subscribe()
    }

    async fn offers(&self, peer: &Hello) -> Result<BTreeMap<JobId, Clock>, Unable> {
        let peer = peer.clone();
        self.ask(move |engine| {
            let mut offers = BTreeMap::new();
            for job in engine.store.jobs().map_err(|error| unable(error.code()))? {
                if let Some(clock) = engine.offer(&peer, job)? {
                    offers.insert(job, clock);
                }
            }
            Ok(offers)
        })
        .await
        .map_err(|_| GONE)?
    }

    async fn offer(&self, peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        let peer = peer.clone();
        self.ask(move |engine| engine.offer(&peer, job))
            .await
            .map_err(|_| GONE)?
    }

    async fn accepts(&self, peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        // A job that is not here yet is taken from anybody who offers it: they offer only what this tablet's
        // person may see. One that is here is taken from whom it would be offered to.
        let peer = peer.clone();
        self.ask(move |engine| {
            let known = engine
                .store
                .store()
                .has_job(job)
                .map_err(|error| unable(error.code()))?;
            if known {
                engine.offer(&peer, job)
            } else {
                Ok(Some(Clock::new()))
            }
        })
        .await
        .map_err(|_| GONE)?
    }

    async fn missing(&self, job: JobId, theirs: &Clock) -> Result<Missing, Unable> {
        let theirs = theirs.clone();
        self.ask(move |engine| {
            let clock = engine.store.clock(job).map_err(|error| unable(error.code()))?;
            let bundles = engine
                .store
                .missing(job, &theirs)
                .map_err(|error| unable(error.code()))?;
            Ok(Missing { clock, bundles })
        })
        .await
        .map_err(|_| GONE)?
    }

    async fn intake(&self, _from: DeviceId, job: JobId, bundle: Vec<u8>) -> Result<Clock, IntakeError> {
        self.ask(move |engine| {
            let new = engine.store.intake(job, &bundle).map_err(|error| match error {
                crate::store::IntakeError::Refused(refusal) => IntakeError::Refused { code: refusal.code() },
                crate::store::IntakeError::Store(error) => IntakeError::Unable(unable(error.code())),
            })?;
            if new > 0 {
                engine.job_changed(job);
                // Nobody listening is no error: the next link asks for what is held.
                let _ = engine.signals.jobs.send(job);
            }
            engine
                .store
                .clock(job)
                .map_err(|error| IntakeError::Unable(unable(error.code())))
        })
        .await
        .map_err(|_| IntakeError::Unable(GONE))?
    }

    async fn peer_stored(&self, peer: DeviceId, job: JobId, clock: Clock) -> Result<(), Unable> {
        self.ask(move |engine| {
            engine
                .store
                .peer_stored(peer, job, &clock)
                .map_err(|error| unable(error.code()))?;
            engine.job_changed(job);
            Ok(())
        })
        .await
        .map_err(|_| GONE)?
    }

    async fn clock_measured(&self, peer: DeviceId, offset_ms: i64, round_trip_ms: u64) {
        let told = self
            .ask(move |engine| engine.clock_measured(peer, offset_ms, round_trip_ms))
            .await;
        if let Err(error) | Ok(Err(error)) = told {
            tracing::warn!(code = error.code, "a clock check was not kept: {}", error.message);
        }
    }

    fn peer_seen(&self, peer: &Hello, state: PeerState) {
        let peer = peer.clone();
        // Said also while a link is torn down, outside of any runtime: nobody waits here.
        self.tell(move |engine| {
            if let Err(error) = engine.peer_seen(&peer, state) {
                tracing::warn!(code = error.code, "a peer was not kept: {}", error.message);
            }
        });
    }
}

impl Engine {
    /// What this peer may see of a job, with what is held of it.
    fn offer(&mut self, peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        let state = match self.store.state(job) {
            Ok(state) => state,
            Err(StoreError::UnknownJob(_)) => return Ok(None),
            Err(error) => return Err(unable(error.code())),
        };
        if !may_see(&state, peer) {
            return Ok(None);
        }
        self.store
            .clock(job)
            .map(Some)
            .map_err(|error| unable(error.code()))
    }

    fn clock_measured(
        &mut self,
        peer: DeviceId,
        offset_ms: i64,
        round_trip_ms: u64,
    ) -> Result<(), super::CommandError> {
        self.board.clock_measured(peer, offset_ms);
        self.shown_changed();
        let Some(me) = self.me().map(|me| me.id) else {
            return Ok(());
        };
        // One entry a pair: the smaller id writes it.
        if self.board.role(peer) != Some(DeviceRole::Tablet) || self.device() > peer {
            return Ok(());
        }
        for job in self
            .store
            .jobs()
            .map_err(|error| super::engine::from_store(&error))?
        {
            let state = self.state(job)?;
            let shared = state.live().any(|folded| folded.entry.told.device == peer);
            let known = state
                .live()
                .rev()
                .find_map(|folded| match &folded.entry.told.body {
                    Body::ClockCheck(check)
                        if folded.entry.told.device == self.device() && check.with == peer =>
                    {
                        Some(check.offset_ms)
                    }
                    _ => None,
                });
            let moved = known.is_none_or(|known| known.abs_diff(offset_ms) > OFFSET_MOVED_MS.unsigned_abs());
            if shared && moved {
                let check = ClockCheck {
                    with: peer,
                    offset_ms,
                    round_trip_ms,
                };
                self.append(job, EntryId(Uuid::now_v7()), me, None, Body::ClockCheck(check))?;
            }
        }
        Ok(())
    }

    fn peer_seen(&mut self, peer: &Hello, state: PeerState) -> Result<(), super::CommandError> {
        let at = self.wall();
        let row = self.board.seen(peer, state, &at);
        self.store
            .store_mut()
            .keep_peer(&row)
            .map_err(|error| super::engine::from_store(&error))?;
        self.shown_changed();
        Ok(())
    }
}

/// Whether a device may see a job: the office all of them; a tablet whose person is on the job's crew by the
/// office's word or joined it; and anybody a job that no office granted anything in.
///
/// Until devices are vouched for, the person is the device's own claim.
pub fn may_see(state: &JobState, peer: &Hello) -> bool {
    if peer.role == DeviceRole::Office {
        return true;
    }
    let person = peer.person.as_deref().map(PersonId::of_name);
    let mut granted = false;
    let on_crew = state.live().any(|folded| match folded.entry.told.body.found() {
        Body::Grant(grant) => {
            granted = true;
            Some(grant.person) == person
        }
        Body::PersonJoined(joined) => Some(joined.person) == person,
        _ => false,
    });
    on_crew || !granted
}

fn unable(code: &'static str) -> Unable {
    Unable { code }
}
