//! A device whose journals are real and whose disk is a switch.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::sync::{broadcast, watch};
use tokio::task::spawn_blocking;
use turnwise_core::journal::{
    ActorId, Body, BootId, Clock, DeviceId, Entry, EntryId, JobId, Journal, Note, PersonId, Told,
};
use turnwise_core::link::{DeviceRole, Hello, IntakeError, LinkHost, Missing, PeerState, Unable};
use uuid::Uuid;

/// Changes that a slow reader of the broadcast may be behind.
const CHANGES_BEHIND: usize = 64;

/// What the link is told if the work on a journal came to grief.
const BROKEN: Unable = Unable {
    code: "journal_broken",
};

/// A device that holds journals in memory. Clones are the same device.
#[derive(Clone, Debug)]
pub struct Device(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    me: watch::Sender<Hello>,
    changes: broadcast::Sender<JobId>,
    actor: ActorId,
    /// Worked on away from the threads that keep the links alive, as a store is.
    journals: Mutex<BTreeMap<JobId, Journal>>,
    held: watch::Sender<Held>,
    /// How many of the bundles that are received may become durable; none: all of them.
    commits: watch::Sender<Option<usize>>,
}

/// What a device holds and has heard.
#[derive(Clone, Debug, Default)]
pub struct Held {
    /// How far each job's journal has come.
    clocks: BTreeMap<JobId, Clock>,
    /// What each peer said that it has made durable.
    stored: BTreeMap<(DeviceId, JobId), Clock>,
    /// How many links each peer has to this device.
    here: BTreeMap<DeviceId, usize>,
    /// By how much each peer's clock is ahead, and the round trip, in ms.
    pub measured: BTreeMap<DeviceId, (i64, u64)>,
    /// Bundles that have come, durable or not.
    pub received: usize,
}

impl Held {
    /// How far a job's journal has come.
    pub fn clock(&self, job: JobId) -> Clock {
        self.clocks.get(&job).cloned().unwrap_or_default()
    }

    /// How many entries of a job are here.
    pub fn entries(&self, job: JobId) -> u64 {
        self.clock(job).values().map(|reach| reach.seq).sum()
    }

    /// What a peer is believed to have made durable of a job.
    pub fn believes(&self, peer: DeviceId, job: JobId) -> Clock {
        self.stored.get(&(peer, job)).cloned().unwrap_or_default()
    }

    /// Whether a peer is linked.
    pub fn is_here(&self, peer: DeviceId) -> bool {
        self.here.get(&peer).is_some_and(|links| *links > 0)
    }
}

impl Device {
    /// A tablet of this name that holds nothing.
    pub fn new(name: &str) -> Self {
        let (device, boot) = (DeviceId(Uuid::now_v7()), BootId(Uuid::now_v7()));
        Self(Arc::new(Inner {
            me: watch::Sender::new(Hello::new(device, boot, DeviceRole::Tablet, name)),
            changes: broadcast::Sender::new(CHANGES_BEHIND),
            actor: ActorId(Uuid::now_v7().into_bytes()),
            journals: Mutex::default(),
            held: watch::Sender::default(),
            commits: watch::Sender::new(None),
        }))
    }

    /// Its id.
    pub fn id(&self) -> DeviceId {
        self.0.me.borrow().device
    }

    /// Makes an entry: a note of these words.
    pub fn note(&self, job: JobId, words: &str) -> anyhow::Result<()> {
        let told = Told {
            by: PersonId::of_name("Ana"),
            keyed_by: None,
            device: self.id(),
            boot: self.0.me.borrow().boot,
            mono_ms: 0,
            at: "2026-03-02T09:14:00-06:00".to_owned(),
            body: Body::Note(Note {
                text: words.to_owned(),
                about: None,
            }),
        };
        let id = EntryId(Uuid::now_v7());
        let clock = self.journal(job, |journal| {
            journal
                .append(&Entry { id, told })
                .map(|_| journal.clock().clone())
        })?;
        self.changed(job, clock);
        Ok(())
    }

    /// How many entries of a job the fold counts and how many it sets aside.
    pub fn folded(&self, job: JobId) -> (usize, usize) {
        let state = self.journal(job, Journal::state);
        (state.entries.len(), state.quarantine.len())
    }

    /// From here on nothing that is received becomes durable.
    pub fn hold_commits(&self) {
        self.0.commits.send_replace(Some(0));
    }

    /// One bundle more may become durable.
    pub fn let_one_commit(&self) {
        self.0
            .commits
            .send_modify(|left| *left = left.map(|left| left + 1));
    }

    /// What is received becomes durable again.
    pub fn let_commit(&self) {
        self.0.commits.send_replace(None);
    }

    /// What it holds and has heard, just now.
    pub fn held(&self) -> Held {
        self.0.held.borrow().clone()
    }

    /// Waits until this is so.
    pub async fn until(&self, so: impl FnMut(&Held) -> bool) {
        // The sender lives as long as this device does.
        let _ = self.0.held.subscribe().wait_for(so).await;
    }

    /// Waits until a bundle may become durable, and counts it.
    async fn may_commit(&self) {
        let mut commits = self.0.commits.subscribe();
        let mut taken = false;
        while !taken {
            // The sender lives as long as this device does.
            let _ = commits.wait_for(|left| *left != Some(0)).await;
            self.0.commits.send_if_modified(|left| {
                taken = *left != Some(0);
                *left = left.map(|left| left.saturating_sub(1));
                taken
            });
        }
    }

    fn journals(&self) -> MutexGuard<'_, BTreeMap<JobId, Journal>> {
        self.0.journals.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn journal<T>(&self, job: JobId, act: impl FnOnce(&mut Journal) -> T) -> T {
        let actor = self.0.actor;
        act(self
            .journals()
            .entry(job)
            .or_insert_with(|| Journal::new(job, actor)))
    }

    /// Works on a journal without holding up the links.
    async fn away<T: Send + 'static>(
        &self,
        job: JobId,
        act: impl FnOnce(&mut Journal) -> T + Send + 'static,
    ) -> Result<T, Unable> {
        let device = self.clone();
        spawn_blocking(move || device.journal(job, act))
            .await
            .map_err(|_| BROKEN)
    }

    fn changed(&self, job: JobId, clock: Clock) {
        self.0
            .held
            .send_modify(|held| drop(held.clocks.insert(job, clock)));
        // An error says that nobody is linked; the next link asks for everything.
        let _ = self.0.changes.send(job);
    }
}

impl LinkHost for Device {
    fn me(&self) -> watch::Receiver<Hello> {
        self.0.me.subscribe()
    }

    fn changes(&self) -> broadcast::Receiver<JobId> {
        self.0.changes.subscribe()
    }

    async fn offers(&self, _peer: &Hello) -> Result<BTreeMap<JobId, Clock>, Unable> {
        Ok(self.held().clocks)
    }

    async fn offer(&self, _peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        Ok(self.held().clocks.get(&job).cloned())
    }

    async fn accepts(&self, _peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        Ok(Some(self.held().clock(job)))
    }

    async fn missing(&self, job: JobId, theirs: &Clock) -> Result<Missing, Unable> {
        let theirs = theirs.clone();
        self.away(job, move |journal| Missing {
            clock: journal.clock().clone(),
            bundles: journal.missing(&theirs),
        })
        .await
    }

    async fn intake(&self, _from: DeviceId, job: JobId, bundle: Vec<u8>) -> Result<Clock, IntakeError> {
        self.0.held.send_modify(|held| held.received += 1);
        self.may_commit().await;
        let taken = self
            .away(job, move |journal| {
                journal
                    .intake(&bundle)
                    .map(|new| (new.len(), journal.clock().clone()))
            })
            .await?;
        let (new, clock) = taken.map_err(|refusal| IntakeError::Refused { code: refusal.code() })?;
        if new > 0 {
            self.changed(job, clock.clone());
        }
        Ok(clock)
    }

    async fn peer_stored(&self, peer: DeviceId, job: JobId, clock: Clock) -> Result<(), Unable> {
        self.0
            .held
            .send_modify(|held| drop(held.stored.insert((peer, job), clock)));
        Ok(())
    }

    async fn clock_measured(&self, peer: DeviceId, offset_ms: i64, round_trip_ms: u64) {
        self.0.held.send_modify(|held| {
            held.measured.insert(peer, (offset_ms, round_trip_ms));
        });
    }

    fn peer_seen(&self, peer: &Hello, state: PeerState) {
        self.0.held.send_modify(|held| {
            let links = held.here.entry(peer.device).or_default();
            match state {
                PeerState::Here => *links += 1,
                PeerState::Changed => {}
                PeerState::Gone => *links = links.saturating_sub(1),
            }
        });
    }
}
