//! Where one job stands on one link.

use crate::journal::{Clock, JobId};
use crate::link::clock::{Digest, beyond, covers, merge};
use crate::link::{JobClock, Message, REACHES_A_FRAME, Stored, Want};

/// One job on one link: what each side holds, has said and has been sent.
#[derive(Debug, Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each says one thing, and any of them may be so"
)]
pub(super) struct Exchange {
    /// What is durably held here, as last heard from the host.
    pub(super) ours: Clock,
    /// What of it the peer has been told.
    pub(super) told: Clock,
    /// What the peer has said it made durable.
    pub(super) theirs: Clock,
    /// `theirs` and what is on its way there.
    pub(super) sent: Clock,
    /// `ours` as it was when missing changes were last asked for.
    pub(super) asked: Clock,
    /// Whether the host lets this peer see the job.
    pub(super) offered: bool,
    /// Whether the job is part of the digest over all.
    pub(super) in_summary: bool,
    /// The digest of `told` as it was offered.
    pub(super) our_digest: Option<Digest>,
    /// The digest that the peer offered.
    pub(super) their_digest: Option<Digest>,
    /// Whether the peer was told the whole clock and asked for the rest.
    pub(super) want_sent: bool,
    /// Whether the peer may send this job.
    pub(super) open: bool,
    /// Whether the peer takes this job.
    pub(super) wanted: bool,
    /// Whether it waits for its turn to be delivered.
    pub(super) due: bool,
}

impl Exchange {
    /// Starts to offer the job: the digest that says where it stands.
    pub(super) fn offer(&mut self, digest: Digest) {
        self.told = self.ours.clone();
        self.our_digest = Some(digest);
    }

    /// Both sides hold the same, by their digests. Each may send from here on.
    pub(super) fn settle(&mut self) {
        self.open = true;
        self.wanted = true;
        merge(&mut self.theirs, &self.told);
        merge(&mut self.sent, &self.told);
    }

    /// Whether both sides know where the other stands.
    pub(super) fn settled(&self) -> bool {
        self.open && self.wanted
    }

    /// The peer said that it has made this durable. How many actors were new in that.
    pub(super) fn hear(&mut self, clock: &Clock) -> usize {
        let before = self.theirs.len();
        merge(&mut self.theirs, clock);
        merge(&mut self.sent, clock);
        self.theirs.len() - before
    }

    /// Whether there is something to send.
    pub(super) fn lacks(&self) -> bool {
        self.offered && self.wanted && !covers(&self.sent, &self.ours)
    }

    /// What the peer is still to be told, counted as told from here on.
    pub(super) fn tell(&mut self) -> Clock {
        let news = beyond(&self.ours, &self.told);
        merge(&mut self.told, &news);
        news
    }

    /// The whole clock, as the receiver's leave to be sent the job.
    pub(super) fn want(&mut self) -> Clock {
        self.want_sent = true;
        self.open = true;
        self.told = self.ours.clone();
        self.ours.clone()
    }
}

/// Frames that say these whole clocks, none too long.
pub(super) fn wants(clocks: Vec<(JobId, Clock)>) -> Vec<Message> {
    let mut frames = Vec::new();
    let mut jobs = Vec::new();
    let mut weight = 0;
    for (job, clock) in clocks {
        let mut parts = split(clock).into_iter().peekable();
        while let Some(clock) = parts.next() {
            let heavier = weight + 1 + clock.len();
            if heavier > REACHES_A_FRAME && !jobs.is_empty() {
                frames.push(Message::Want(Want {
                    jobs: std::mem::take(&mut jobs),
                }));
                weight = 0;
            }
            weight += 1 + clock.len();
            let more = parts.peek().is_some();
            jobs.push(JobClock { job, clock, more });
        }
    }
    if !jobs.is_empty() {
        frames.push(Message::Want(Want { jobs }));
    }
    frames
}

/// Frames that say what was made durable; the last also says how many bundles are done with.
pub(super) fn stored(job: JobId, clock: Clock, took: u32) -> Vec<Message> {
    let mut parts = split(clock).into_iter().peekable();
    let mut frames = Vec::new();
    while let Some(clock) = parts.next() {
        let took = if parts.peek().is_none() { took } else { 0 };
        frames.push(Message::Stored(Stored { job, clock, took }));
    }
    frames
}

/// A clock in parts that fit a frame: at least one, if an empty one.
fn split(mut clock: Clock) -> Vec<Clock> {
    let mut parts = Vec::new();
    while let Some(rest) = clock
        .keys()
        .nth(REACHES_A_FRAME)
        .copied()
        .map(|at| clock.split_off(&at))
    {
        parts.push(std::mem::replace(&mut clock, rest));
    }
    parts.push(clock);
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{ActorId, ChangeHash, Reach};
    use crate::link::FRAME_CAP;
    use uuid::Uuid;

    fn clock(actors: u32) -> Clock {
        (0..actors)
            .map(|at| {
                let mut actor = [0xff; 16];
                actor[..4].copy_from_slice(&at.to_be_bytes());
                let hash = ChangeHash([0xff; 32]);
                (ActorId(actor), Reach { seq: u64::MAX, hash })
            })
            .collect()
    }

    fn job(at: u128) -> JobId {
        JobId(Uuid::from_u128(at))
    }

    #[test]
    fn every_frame_of_a_want_fits_and_together_they_say_all_of_it() {
        let clocks = vec![
            (job(1), clock(5_000)),
            (job(2), clock(0)),
            (job(3), clock(799)),
            (job(4), clock(800)),
        ];
        let mut heard = std::collections::BTreeMap::<JobId, (Clock, bool)>::new();
        for frame in wants(clocks.clone()) {
            assert!(frame.encode().len() <= FRAME_CAP);
            let Message::Want(want) = frame else {
                panic!("a want")
            };
            for part in want.jobs {
                let (clock, done) = heard.entry(part.job).or_default();
                assert!(!*done);
                merge(clock, &part.clock);
                *done = !part.more;
            }
        }
        for (job, clock) in clocks {
            assert_eq!(heard.get(&job), Some(&(clock, true)));
        }
    }

    #[test]
    fn five_hundred_jobs_of_fifty_starts_each_fit_in_frames() {
        let clocks = (0..500).map(|at| (job(at), clock(50))).collect();
        let frames = wants(clocks);
        assert!(frames.len() > 1);
        assert!(frames.iter().all(|frame| frame.encode().len() <= FRAME_CAP));
    }

    #[test]
    fn bundles_are_counted_once_though_the_clock_takes_several_frames() {
        let frames = stored(job(1), clock(2_000), 1);
        let mut all = Clock::new();
        let mut count = 0;
        for frame in &frames {
            assert!(frame.encode().len() <= FRAME_CAP);
            let Message::Stored(stored) = frame else {
                panic!("a stored")
            };
            merge(&mut all, &stored.clock);
            count += stored.took;
        }
        assert_eq!(frames.len(), 3);
        assert_eq!((all, count), (clock(2_000), 1));
    }
}
