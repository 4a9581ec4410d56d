//! The journals that are in memory: the ones used last, up to a limit.

use crate::journal::{ChangeHash, JobId, Journal};
use std::collections::{BTreeSet, HashMap};

/// How many bytes of changes the open journals may hold together; in memory they take more than that. A job of 10,000
/// readings is 7 MB in the file, so the jobs of a shift stay open and an office's 100,000 do not.
const BYTES_LIMIT: usize = 64 * 1024 * 1024;
/// How many journals may be open: each costs a little, however small.
const COUNT_LIMIT: usize = 256;

/// A journal in memory.
#[derive(Debug)]
pub(super) struct OpenJournal {
    pub(super) journal: Journal,
    /// The rows that could not be read when it was loaded, and have not arrived anew since.
    pub(super) bad: BTreeSet<ChangeHash>,
    /// How many bytes of changes it holds.
    pub(super) bytes: usize,
}

impl OpenJournal {
    /// A journal with nothing on the disk yet.
    pub(super) fn empty(journal: Journal) -> Self {
        Self {
            journal,
            bad: BTreeSet::new(),
            bytes: 0,
        }
    }

    /// Whether something is missing: a change that others build on, or one that was damaged.
    pub(super) fn gaps(&self) -> bool {
        self.journal.waiting() > 0 || !self.bad.is_empty()
    }
}

/// The journals in memory.
#[derive(Debug)]
pub(super) struct OpenJournals {
    open: HashMap<JobId, (OpenJournal, u64)>,
    bytes: usize,
    /// Counts the uses, to know which was last.
    uses: u64,
    bytes_limit: usize,
    count_limit: usize,
}

impl Default for OpenJournals {
    fn default() -> Self {
        Self::with_limits(BYTES_LIMIT, COUNT_LIMIT)
    }
}

impl OpenJournals {
    fn with_limits(bytes_limit: usize, count_limit: usize) -> Self {
        Self {
            open: HashMap::new(),
            bytes: 0,
            uses: 0,
            bytes_limit,
            count_limit,
        }
    }

    /// Whether a journal is in memory.
    pub(super) fn contains(&self, job: JobId) -> bool {
        self.open.contains_key(&job)
    }

    /// Takes a journal out, to use it. What is not put back is forgotten, and will be read from the disk again.
    pub(super) fn take(&mut self, job: JobId) -> Option<OpenJournal> {
        let (journal, _) = self.open.remove(&job)?;
        self.bytes -= journal.bytes;
        Some(journal)
    }

    /// Puts a journal in, as the one used last, and lets go of those used longest ago where it is too much.
    pub(super) fn put(&mut self, job: JobId, journal: OpenJournal) {
        self.uses += 1;
        self.bytes += journal.bytes;
        if let Some((before, _)) = self.open.insert(job, (journal, self.uses)) {
            self.bytes -= before.bytes;
        }
        while self.open.len() > 1 && (self.bytes > self.bytes_limit || self.open.len() > self.count_limit) {
            let oldest = self
                .open
                .iter()
                .min_by_key(|(_, (_, used))| *used)
                .map(|(job, _)| *job);
            if let Some(oldest) = oldest {
                self.take(oldest);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::ActorId;
    use uuid::Uuid;

    fn job(number: u128) -> JobId {
        JobId(Uuid::from_u128(number))
    }

    fn journal(bytes: usize) -> OpenJournal {
        OpenJournal {
            journal: Journal::new(job(0), ActorId([1; 16])),
            bad: BTreeSet::new(),
            bytes,
        }
    }

    #[test]
    fn the_one_used_longest_ago_goes_first() {
        let mut open = OpenJournals::with_limits(1_000, 2);
        open.put(job(1), journal(1));
        open.put(job(2), journal(1));
        let used = open.take(job(1)).unwrap();
        open.put(job(1), used);
        open.put(job(3), journal(1));
        assert_eq!(
            [1, 2, 3].map(|number| open.contains(job(number))),
            [true, false, true]
        );
    }

    #[test]
    fn bytes_are_bounded_and_the_one_in_use_stays_however_large() {
        let mut open = OpenJournals::with_limits(100, 10);
        for number in 0..5 {
            open.put(job(number), journal(40));
        }
        assert_eq!(open.open.len(), 2);
        open.put(job(9), journal(5_000));
        assert_eq!(open.open.len(), 1);
        assert!(open.contains(job(9)));
        open.put(job(1), journal(40));
        assert_eq!((open.open.len(), open.bytes), (1, 40));
    }

    #[test]
    fn what_is_put_in_again_is_counted_once() {
        let mut open = OpenJournals::with_limits(100, 10);
        open.put(job(1), journal(40));
        open.put(job(1), journal(50));
        assert_eq!(open.bytes, 50);
        open.take(job(1)).unwrap();
        assert_eq!(open.bytes, 0);
    }
}
