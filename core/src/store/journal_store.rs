//! Journals over the store: in memory what is on the disk, never more.

use super::open_journals::{OpenJournal, OpenJournals};
use super::{IntakeError, Seed, Store, StoreError};
use crate::journal::{
    ActorId, BadRow, BootId, ChangeHash, ChangeRow, Clock, DeviceId, Entry, JobId, JobState, Journal,
};
use crate::record::signature::DeviceKey;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

/// The journals of a device, each opened when it is asked for and kept in memory while there is room.
///
/// Whatever adds to a journal returns `Ok` only after the commit has, with `synchronous=FULL`. When a commit fails, the
/// journal in memory is dropped and read from the disk at its next use, so memory never runs ahead.
#[derive(Debug)]
pub struct JournalStore {
    store: Store,
    seed: Seed,
    /// How many commits have failed.
    failures: u64,
    /// The writer's ids of this start that the disk knows of.
    actors: BTreeSet<ActorId>,
    open: OpenJournals,
    /// The jobs with gaps of which the disk could not be told.
    unnoted: BTreeSet<JobId>,
}

impl JournalStore {
    /// Opens the store in a folder, making it where it is missing.
    ///
    /// # Errors
    /// [`StoreError::AlreadyOpen`], [`StoreError::SchemaNewer`], [`StoreError::ActorUsed`] for a seed that has been used
    /// before, or what the disk says.
    pub fn open(dir: &Path, seed: Seed) -> Result<Self, StoreError> {
        Self::over(Store::open(dir, seed.device)?, seed)
    }

    /// As [`JournalStore::open`], but commits do not wait for the disk: whatever is "saved" may be lost.
    #[cfg(feature = "not-durable")]
    pub fn open_not_durable(dir: &Path, seed: Seed) -> Result<Self, StoreError> {
        Self::over(Store::open_not_durable(dir, seed.device)?, seed)
    }

    fn over(store: Store, seed: Seed) -> Result<Self, StoreError> {
        // Noted with the first entry that is written under it: on a full disk the jobs can still be read.
        if store.has_used(seed.actor)? {
            return Err(StoreError::ActorUsed(seed.actor));
        }
        Ok(Self {
            store,
            seed,
            failures: 0,
            actors: BTreeSet::new(),
            open: OpenJournals::default(),
            unnoted: BTreeSet::new(),
        })
    }

    /// This device's id.
    pub fn device(&self) -> DeviceId {
        self.store.device()
    }

    /// This start of the program.
    pub fn boot(&self) -> BootId {
        self.seed.boot
    }

    /// The key that this device signs with, made once.
    ///
    /// # Errors
    /// As [`Store::device_key`].
    pub fn device_key(&mut self) -> Result<DeviceKey, StoreError> {
        self.store.device_key(self.seed.key)
    }

    /// The jobs of this device, in the order of their ids.
    pub fn jobs(&self) -> Result<Vec<JobId>, StoreError> {
        self.store.jobs()
    }

    /// What else the device keeps: blobs, signed records, peers, settings.
    pub fn store(&self) -> &Store {
        &self.store
    }

    /// The same, to write to.
    pub fn store_mut(&mut self) -> &mut Store {
        &mut self.store
    }

    /// Appends an entry to a job's journal; the first entry makes the job. `Ok` means that it is on the disk.
    ///
    /// # Errors
    /// [`StoreError::Append`] where the journal does not take the entry; else what the disk says. The entry is not saved
    /// then, and is in no journal.
    pub fn append(&mut self, job: JobId, entry: &Entry) -> Result<ChangeHash, StoreError> {
        let mut open = self.take_or_new(job)?;
        let row = match open.journal.append(entry) {
            Ok(row) => row,
            Err(refused) => {
                self.put_back(job, open);
                return Err(refused.into());
            }
        };
        let hash = row.hash;
        self.commit(job, open, &[row])?;
        Ok(hash)
    }

    /// Appends entries to a job's journal, all of them in one commit or none. `Ok` means that they are on the disk.
    ///
    /// # Errors
    /// As [`JournalStore::append`].
    pub fn append_all(&mut self, job: JobId, entries: &[Entry]) -> Result<Vec<ChangeHash>, StoreError> {
        let mut open = self.take_or_new(job)?;
        // Where one is refused, the journal with those before it is dropped, and read anew from the disk.
        let rows = entries
            .iter()
            .map(|entry| open.journal.append(entry))
            .collect::<Result<Vec<_>, _>>()?;
        self.commit(job, open, &rows)?;
        Ok(rows.into_iter().map(|row| row.hash).collect())
    }

    /// Takes in changes from outside, as [`Journal::intake`] does, and makes those that are new durable before it
    /// returns how many they are.
    ///
    /// # Errors
    /// [`IntakeError::Refused`] for what the journal does not let in; else what the disk says. Nothing of the delivery
    /// was kept then.
    pub fn intake(&mut self, job: JobId, bundle: &[u8]) -> Result<usize, IntakeError> {
        let mut open = self.take_or_new(job)?;
        let rows = match open.journal.intake(bundle) {
            Ok(rows) => rows,
            Err(refusal) => {
                self.put_back(job, open);
                return Err(IntakeError::Refused(refusal));
            }
        };
        for row in &rows {
            open.bad.remove(&row.hash);
        }
        self.commit(job, open, &rows)?;
        Ok(rows.len())
    }

    /// What a job's journal says.
    ///
    /// # Errors
    /// [`StoreError::UnknownJob`], or what the disk says.
    pub fn state(&mut self, job: JobId) -> Result<Arc<JobState>, StoreError> {
        self.with(job, Journal::state)
    }

    /// What a job's journal said when it held just this: per writer, the highest number.
    ///
    /// # Errors
    /// [`StoreError::UnknownJob`], or what the disk says.
    pub fn state_at(&mut self, job: JobId, clock: &BTreeMap<ActorId, u64>) -> Result<JobState, StoreError> {
        self.with(job, |journal| journal.state_at(clock))
    }

    /// How far each writer of a job has come here. Does not read the whole job where that can be avoided, so asking for
    /// every job of a device is cheap. Empty for a job that is not here.
    ///
    /// # Errors
    /// What the disk says.
    pub fn clock(&mut self, job: JobId) -> Result<Clock, StoreError> {
        if !self.open.contains(job)
            && !self.unnoted.contains(&job)
            && let Some(clock) = self.store.clock(job)?
        {
            return Ok(clock);
        }
        self.with(job, |journal| journal.clock().clone())
    }

    /// The changes of a job that no other builds on.
    ///
    /// # Errors
    /// [`StoreError::UnknownJob`], or what the disk says.
    pub fn heads(&mut self, job: JobId) -> Result<Vec<ChangeHash>, StoreError> {
        self.with(job, |journal| journal.heads())
    }

    /// How many changes of a job are held whose ancestors are not.
    ///
    /// # Errors
    /// [`StoreError::UnknownJob`], or what the disk says.
    pub fn waiting(&mut self, job: JobId) -> Result<usize, StoreError> {
        self.with(job, |journal| journal.waiting())
    }

    /// What somebody lacks of a job who holds `theirs`, in deliveries for their [`JournalStore::intake`].
    ///
    /// # Errors
    /// [`StoreError::UnknownJob`], or what the disk says.
    pub fn missing(&mut self, job: JobId, theirs: &Clock) -> Result<Vec<Vec<u8>>, StoreError> {
        self.with(job, |journal| journal.missing(theirs))
    }

    /// A peer said what of a job it has committed: all of it, in place of what it said before.
    ///
    /// # Errors
    /// What the disk says.
    pub fn peer_stored(&mut self, peer: DeviceId, job: JobId, clock: &Clock) -> Result<(), StoreError> {
        self.store.keep_stored(peer, job, clock)
    }

    /// What of a job is with whom, as far as the peers' words can be relied on: see [`Store::custody`].
    ///
    /// # Errors
    /// What the disk says.
    pub fn custody(&self, job: JobId) -> Result<BTreeMap<DeviceId, Clock>, StoreError> {
        self.store.custody(job)
    }

    /// Closes the store. See [`Store::close`].
    ///
    /// # Errors
    /// What the disk says. Nothing is lost.
    pub fn close(self) -> Result<(), StoreError> {
        self.store.close()
    }

    /// Asks a journal that is here.
    fn with<T>(&mut self, job: JobId, ask: impl FnOnce(&mut Journal) -> T) -> Result<T, StoreError> {
        let mut open = self.take(job)?.ok_or(StoreError::UnknownJob(job))?;
        let answer = ask(&mut open.journal);
        self.open.put(job, open);
        Ok(answer)
    }

    /// The journal from memory or from the disk, or none where the job is not here.
    fn take(&mut self, job: JobId) -> Result<Option<OpenJournal>, StoreError> {
        if let Some(open) = self.open.take(job) {
            return Ok(Some(open));
        }
        if !self.store.has_job(job)? {
            return Ok(None);
        }
        let rows = self.store.changes(job)?;
        let bytes = rows.iter().map(|(_, bytes)| bytes.len()).sum();
        let (journal, bad) = Journal::load(job, self.actor(), rows);
        let open = OpenJournal {
            journal,
            bad: bad.iter().map(|row| row.hash).collect(),
            bytes,
        };
        self.note_damage(job, open.gaps(), &bad);
        Ok(Some(open))
    }

    fn take_or_new(&mut self, job: JobId) -> Result<OpenJournal, StoreError> {
        if let Some(open) = self.take(job)? {
            return Ok(open);
        }
        Ok(OpenJournal::empty(Journal::new(job, self.actor())))
    }

    /// Makes rows durable and keeps the journal that has them; without the rows, the journal is dropped.
    fn commit(&mut self, job: JobId, mut open: OpenJournal, rows: &[ChangeRow]) -> Result<(), StoreError> {
        if !rows.is_empty() {
            let own = rows
                .iter()
                .map(|row| row.actor)
                .find(|actor| *actor == self.actor() && !self.actors.contains(actor));
            let boot = self.seed.boot;
            if let Err(error) =
                self.store
                    .keep_changes(job, rows, open.gaps(), own.map(|actor| (actor, boot)))
            {
                self.failures += 1;
                return Err(error);
            }
            self.actors.extend(own);
            open.bytes += rows.iter().map(|row| row.bytes.len()).sum::<usize>();
        }
        self.put_back(job, open);
        Ok(())
    }

    /// A journal of a job that is not on the disk is not kept in memory either.
    fn put_back(&mut self, job: JobId, open: OpenJournal) {
        if open.bytes > 0 {
            self.open.put(job, open);
        }
    }

    /// The writer's id for the journals that are opened now. After a failed commit it is another one.
    fn actor(&self) -> ActorId {
        self.seed.actor_after(self.failures)
    }

    /// Notes on the disk what is wrong with a job. Where that fails the job can still be read, and is asked itself how
    /// far it has come.
    fn note_damage(&mut self, job: JobId, gaps: bool, bad: &[BadRow]) {
        let bad: Vec<_> = bad.iter().map(|row| (row.hash, row.why.to_string())).collect();
        match self.store.note_damage(job, &bad, gaps) {
            Ok(()) => {
                self.unnoted.remove(&job);
            }
            Err(error) => {
                tracing::warn!(%job, %error, damaged = bad.len(), "what is wrong with a job could not be noted");
                self.unnoted.insert(job);
            }
        }
    }
}
