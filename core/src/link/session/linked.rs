//! Both sides have said who they are.

use super::allowance::Allowance;
use super::exchange::{Exchange, stored, wants};
use super::outbox::Outbox;
use super::probes::{Measured, Probes};
use super::{Effect, Input, Moment};
use crate::journal::{Clock, JobId};
use crate::link::clock::{Digest, digest, digest_all, merge};
use crate::link::{
    BUNDLE_LIMIT, Bundle, ClockAnswer, CloseReason, DEAD_AFTER_MS, Fault, HEARTBEAT_MS, Hello, JOBS_AT_ONCE,
    JobClock, MAX_JOBS, MAX_REACHES, Message, OFFERS_A_FRAME, Offer, PROTOCOL, Ping, REACHES_A_BUNDLE,
    SHORT_LIST, Stored, Summary, WINDOW, WORD_BYTES,
};
use serde_bytes::ByteArray;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

#[derive(Debug)]
pub(super) struct Linked {
    me: Hello,
    peer: Hello,
    jobs: BTreeMap<JobId, Exchange>,
    /// The digest over all that is offered, once the host has said what that is.
    our_summary: Option<Digest>,
    their_summary: Option<Digest>,
    list_sent: bool,
    /// Changes made here before the host had said what is offered.
    early: BTreeMap<JobId, Clock>,
    /// Jobs that the peer lists.
    their_jobs: usize,
    /// Reaches remembered on the peer's word.
    reaches: usize,
    /// Bundles handed to the host and not yet committed.
    in_intake: usize,
    /// Jobs that wait for their turn to be delivered.
    due: VecDeque<JobId>,
    /// Jobs whose changes are being fetched or sent.
    active: BTreeSet<JobId>,
    outbox: Outbox,
    allowance: Allowance,
    probes: Probes,
    heard_ms: u64,
    said_ms: u64,
}

type Step = Result<(), CloseReason>;

/// A hello said anew makes the host look through all jobs, so it counts as many bytes: a few a second are enough.
const HELLO_WEIGHS: usize = 1_000 * WORD_BYTES;

impl Linked {
    /// `unflushed` are the lengths of the frames sent so far that the socket has not taken.
    pub(super) fn begin(
        me: Hello,
        peer: Hello,
        unflushed: &[usize],
        now: Moment,
        out: &mut Vec<Effect>,
    ) -> Result<Self, CloseReason> {
        let mut linked = Self {
            me,
            peer,
            jobs: BTreeMap::new(),
            our_summary: None,
            their_summary: None,
            list_sent: false,
            early: BTreeMap::new(),
            their_jobs: 0,
            reaches: 0,
            in_intake: 0,
            due: VecDeque::new(),
            active: BTreeSet::new(),
            outbox: Outbox::default(),
            allowance: Allowance::full(now.mono_ms),
            probes: Probes::begin(now.mono_ms),
            heard_ms: now.mono_ms,
            said_ms: now.mono_ms,
        };
        for &bytes in unflushed {
            linked.outbox.already_sent(bytes);
        }
        linked.tick(now, out)?;
        Ok(linked)
    }

    pub(super) fn peer(&self) -> &Hello {
        &self.peer
    }

    pub(super) fn next_tick(&self) -> u64 {
        (self.heard_ms + DEAD_AFTER_MS)
            .min(self.said_ms + HEARTBEAT_MS)
            .min(self.probes.next_tick())
    }

    pub(super) fn handle(&mut self, now: Moment, input: Input, out: &mut Vec<Effect>) -> Step {
        let before = out.len();
        let step = self.act(now, input, out);
        if out[before..]
            .iter()
            .any(|effect| matches!(effect, Effect::Send(_)))
        {
            self.said_ms = now.mono_ms;
        }
        step
    }

    fn act(&mut self, now: Moment, input: Input, out: &mut Vec<Effect>) -> Step {
        match input {
            Input::Frame(frame) => self.frame(now, &frame, out),
            Input::Tick => self.tick(now, out),
            Input::Flushed(frames) => self.flushed(frames, out),
            Input::Me(me) => {
                self.me = me.clone();
                self.say(&Message::Hello(me), out)
            }
            Input::Offers(offers) => self.offers(offers, out),
            Input::Accepts(accepted) => self.accepts(accepted, out),
            Input::LocalChange { job, clock } => self.local_change(job, &clock, out),
            Input::Bundles { job, clock, bundles } => self.bundles(job, &clock, bundles, out),
            Input::Withdrawn { job } => {
                self.early.remove(&job);
                if let Some(exchange) = self.jobs.get_mut(&job) {
                    exchange.offered = false;
                }
                Ok(())
            }
            Input::Skipped { job } => self.skipped(job, out),
            Input::Committed { job, clock } => self.committed(job, &clock, out),
            Input::Refused { job, code } => Err(CloseReason::Refused { job, code }),
            // The session answers these itself.
            Input::Opened | Input::Unable { .. } | Input::Stop | Input::Closed => Ok(()),
        }
    }

    // ---- What the peer says --------------------------------------------------------------------------------

    fn frame(&mut self, now: Moment, frame: &[u8], out: &mut Vec<Effect>) -> Step {
        self.heard_ms = now.mono_ms;
        let message = Message::decode(frame)?;
        // What answers to something this side sent or let be sent is bounded by that.
        let bounded = match &message {
            Message::Bundle(_) => true,
            Message::Stored(stored) => stored.took > 0,
            _ => false,
        };
        if !bounded {
            self.allowance.spend(now.mono_ms, frame.len())?;
        }
        match message {
            Message::Hello(hello) => {
                self.allowance.spend(now.mono_ms, HELLO_WEIGHS)?;
                self.hello_again(hello, out)
            }
            Message::Summary(summary) => {
                self.their_summary = Some(summary.digest.into_array());
                self.compare_summaries(out)
            }
            Message::Offer(offer) => self.offered(offer, out),
            Message::Want(want) => self.wanted(want.jobs, out),
            Message::Bundle(bundle) => self.bundle(bundle, out),
            Message::Stored(stored) => self.stored(&stored, out),
            Message::ClockProbe(probe) => {
                let answer = ClockAnswer {
                    probe: probe.probe,
                    wall_ms: now.wall_ms,
                };
                self.say(&Message::ClockAnswer(answer), out)
            }
            Message::ClockAnswer(answer) => {
                let step = self.probes.answered(now, answer.probe, answer.wall_ms);
                self.probed(step, out)
            }
            Message::Ping(_) | Message::Unknown => Ok(()),
            Message::Bye(bye) => Err(CloseReason::PeerLeft { code: bye.code }),
        }
    }

    fn hello_again(&mut self, hello: Hello, out: &mut Vec<Effect>) -> Step {
        if hello.protocol != PROTOCOL {
            return Err(Fault::ProtocolMismatch.into());
        }
        if (hello.device, hello.boot) != (self.peer.device, self.peer.boot) {
            return Err(Fault::IdentityChanged.into());
        }
        if hello != self.peer {
            self.peer = hello.clone();
            out.push(Effect::PeerSeen(hello.clone()));
            // Another person may see other jobs.
            out.push(Effect::AskOffers(hello));
        }
        Ok(())
    }

    fn offered(&mut self, offer: Offer, out: &mut Vec<Effect>) -> Step {
        let mut jobs = Vec::with_capacity(offer.jobs.len());
        for (job, digest) in offer.jobs {
            let known = self.jobs.entry(job).or_default();
            if known.their_digest.replace(digest.into_array()).is_none() {
                self.their_jobs += 1;
            }
            jobs.push(job);
        }
        if self.their_jobs > MAX_JOBS {
            return Err(Fault::TooMuch.into());
        }
        self.reconcile(&jobs, out)
    }

    fn wanted(&mut self, wanted: Vec<JobClock>, out: &mut Vec<Effect>) -> Step {
        let mut answers = Vec::new();
        let mut complete = Vec::new();
        for JobClock { job, clock, more } in wanted {
            // A job that was never named here is none of the peer's business, or was withdrawn meanwhile.
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            self.reaches += exchange.hear(&clock);
            if more {
                continue;
            }
            exchange.wanted = true;
            if exchange.offered && !exchange.want_sent {
                answers.push((job, exchange.want()));
            }
            out.push(Effect::PeerStored {
                job,
                clock: exchange.theirs.clone(),
            });
            complete.push(job);
        }
        self.bounded()?;
        self.say_all(&wants(answers), out)?;
        for job in complete {
            self.consider(job, out)?;
        }
        Ok(())
    }

    fn bundle(&mut self, bundle: Bundle, out: &mut Vec<Effect>) -> Step {
        let Bundle { job, clock, bytes } = bundle;
        self.in_intake += 1;
        if self.in_intake > WINDOW {
            return Err(Fault::TooMuch.into());
        }
        let exchange = self
            .jobs
            .get_mut(&job)
            .filter(|exchange| exchange.open)
            .ok_or(Fault::Unasked)?;
        self.reaches += exchange.hear(&clock);
        if !clock.is_empty() {
            out.push(Effect::PeerStored {
                job,
                clock: exchange.theirs.clone(),
            });
        }
        out.push(Effect::Intake { job, bytes });
        self.bounded()
    }

    fn stored(&mut self, said: &Stored, out: &mut Vec<Effect>) -> Step {
        self.outbox.confirmed(said.took)?;
        let exchange = self
            .jobs
            .get_mut(&said.job)
            .filter(|exchange| exchange.open || exchange.wanted)
            .ok_or(Fault::Unasked)?;
        self.reaches += exchange.hear(&said.clock);
        if !said.clock.is_empty() {
            out.push(Effect::PeerStored {
                job: said.job,
                clock: exchange.theirs.clone(),
            });
        }
        self.bounded()?;
        self.outbox.pump(out);
        Ok(())
    }

    fn bounded(&self) -> Step {
        if self.reaches > MAX_REACHES {
            return Err(Fault::TooMuch.into());
        }
        Ok(())
    }

    // ---- What the host says --------------------------------------------------------------------------------

    fn offers(&mut self, mut offers: BTreeMap<JobId, Clock>, out: &mut Vec<Effect>) -> Step {
        while offers.len() > MAX_JOBS {
            offers.pop_first();
        }
        for (job, exchange) in &mut self.jobs {
            exchange.offered &= offers.contains_key(job);
        }
        if self.our_summary.is_some() {
            for (job, clock) in offers {
                self.local_change(job, &clock, out)?;
            }
            return self.reconcile_listed(out);
        }
        let mut digests = BTreeMap::new();
        for (job, clock) in offers {
            let exchange = self.jobs.entry(job).or_default();
            exchange.offered = true;
            exchange.in_summary = true;
            merge(&mut exchange.ours, &clock);
            let digest = digest(&exchange.ours);
            exchange.offer(digest);
            digests.insert(job, digest);
        }
        let summary = digest_all(&digests);
        self.our_summary = Some(summary);
        self.say(
            &Message::Summary(Summary {
                digest: ByteArray::new(summary),
            }),
            out,
        )?;
        if digests.len() <= SHORT_LIST {
            self.send_list(out)?;
        }
        self.compare_summaries(out)?;
        self.reconcile_listed(out)?;
        for (job, clock) in std::mem::take(&mut self.early) {
            self.local_change(job, &clock, out)?;
        }
        Ok(())
    }

    fn accepts(&mut self, accepted: BTreeMap<JobId, Clock>, out: &mut Vec<Effect>) -> Step {
        let mut answers = Vec::new();
        for (job, clock) in accepted {
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            merge(&mut exchange.ours, &clock);
            if !exchange.want_sent {
                answers.push((job, exchange.want()));
            }
        }
        self.say_all(&wants(answers), out)
    }

    fn local_change(&mut self, job: JobId, clock: &Clock, out: &mut Vec<Effect>) -> Step {
        if self.our_summary.is_none() {
            // What is offered may have been looked up before this change, so it is kept until that is known.
            merge(self.early.entry(job).or_default(), clock);
            return Ok(());
        }
        let exchange = self.jobs.entry(job).or_default();
        exchange.offered = true;
        merge(&mut exchange.ours, clock);
        if exchange.wanted || exchange.want_sent || exchange.our_digest.is_some() {
            // The peer knows that it is here: by a digest, by a whole clock, or because it asked.
            return self.consider(job, out);
        }
        let digest = digest(&exchange.ours);
        exchange.offer(digest);
        let offer = Offer {
            jobs: vec![(job, ByteArray::new(digest))],
        };
        self.say(&Message::Offer(offer), out)?;
        self.reconcile(&[job], out)
    }

    fn bundles(&mut self, job: JobId, clock: &Clock, bundles: Vec<Vec<u8>>, out: &mut Vec<Effect>) -> Step {
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        if bundles.iter().any(|bundle| bundle.len() > BUNDLE_LIMIT) {
            // The peer would drop the link for it, and with it every other job.
            tracing::error!(%job, "a job is left out of the link: one of its bundles is over size");
            return self.skipped(job, out);
        }
        merge(&mut exchange.ours, clock);
        merge(&mut exchange.sent, clock);
        let asked = std::mem::take(&mut exchange.asked);
        merge(&mut exchange.sent, &asked);
        if bundles.is_empty() || !exchange.offered {
            return self.delivered(job, out);
        }
        let mut news = exchange.tell();
        if news.len() > REACHES_A_BUNDLE {
            self.say_all(&stored(job, std::mem::take(&mut news), 0), out)?;
        }
        let last = bundles.len() - 1;
        for (at, bytes) in bundles.into_iter().enumerate() {
            let clock = std::mem::take(&mut news);
            let frame = Message::Bundle(Bundle { job, clock, bytes }).encode();
            self.outbox.bundle(frame, (at == last).then_some(job));
        }
        self.outbox.pump(out);
        Ok(())
    }

    fn skipped(&mut self, job: JobId, out: &mut Vec<Effect>) -> Step {
        if let Some(exchange) = self.jobs.get_mut(&job) {
            exchange.offered = false;
        }
        self.delivered(job, out)
    }

    fn committed(&mut self, job: JobId, clock: &Clock, out: &mut Vec<Effect>) -> Step {
        self.in_intake = self.in_intake.saturating_sub(1);
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        merge(&mut exchange.ours, clock);
        let news = exchange.tell();
        self.say_all(&stored(job, news, 1), out)?;
        self.consider(job, out)
    }

    // ---- What follows --------------------------------------------------------------------------------------

    fn tick(&mut self, now: Moment, out: &mut Vec<Effect>) -> Step {
        if now.mono_ms >= self.next_tick() + HEARTBEAT_MS {
            // This side slept or was held up, and may have heard nothing because of that: the peer has until its
            // next heartbeat.
            let grace_ms = (now.mono_ms + HEARTBEAT_MS).saturating_sub(DEAD_AFTER_MS);
            self.heard_ms = self.heard_ms.max(grace_ms);
        }
        if now.mono_ms >= self.heard_ms + DEAD_AFTER_MS {
            return Err(Fault::Silent.into());
        }
        let step = self.probes.tick(now.mono_ms);
        self.probed(step, out)?;
        if now.mono_ms >= self.said_ms + HEARTBEAT_MS {
            self.say(&Message::Ping(Ping {}), out)?;
        }
        Ok(())
    }

    fn probed(&mut self, step: (Option<Message>, Option<Measured>), out: &mut Vec<Effect>) -> Step {
        let (ask, known) = step;
        if let Some(known) = known {
            out.push(Effect::ClockMeasured {
                offset_ms: known.offset_ms,
                round_trip_ms: known.round_trip_ms,
            });
        }
        ask.map_or(Ok(()), |ask| self.say(&ask, out))
    }

    fn flushed(&mut self, frames: usize, out: &mut Vec<Effect>) -> Step {
        for job in self.outbox.flushed(frames) {
            self.delivered(job, out)?;
        }
        self.outbox.pump(out);
        Ok(())
    }

    /// Both digests over all are known, or one is still to come. The same digest: every job stands the same.
    fn compare_summaries(&mut self, out: &mut Vec<Effect>) -> Step {
        let (Some(ours), Some(theirs)) = (self.our_summary, self.their_summary) else {
            return Ok(());
        };
        if ours != theirs {
            return self.send_list(out);
        }
        let same: Vec<JobId> = self
            .jobs
            .iter()
            .filter(|(_, exchange)| exchange.in_summary && exchange.offered && !exchange.settled())
            .map(|(job, _)| *job)
            .collect();
        for job in same {
            self.settle(job, out)?;
        }
        Ok(())
    }

    /// Lists what was summed up, once.
    fn send_list(&mut self, out: &mut Vec<Effect>) -> Step {
        if std::mem::replace(&mut self.list_sent, true) {
            return Ok(());
        }
        let list: Vec<_> = self
            .jobs
            .iter()
            .filter(|(_, exchange)| exchange.in_summary && exchange.offered)
            .filter_map(|(job, exchange)| Some((*job, ByteArray::new(exchange.our_digest?))))
            .collect();
        for jobs in list.chunks(OFFERS_A_FRAME) {
            self.say(&Message::Offer(Offer { jobs: jobs.to_vec() }), out)?;
        }
        Ok(())
    }

    /// Compares what both sides have said of every job that the peer listed.
    fn reconcile_listed(&mut self, out: &mut Vec<Effect>) -> Step {
        let listed: Vec<JobId> = self
            .jobs
            .iter()
            .filter(|(_, exchange)| exchange.their_digest.is_some())
            .map(|(job, _)| *job)
            .collect();
        self.reconcile(&listed, out)
    }

    /// Compares what both sides have said of these jobs.
    fn reconcile(&mut self, jobs: &[JobId], out: &mut Vec<Effect>) -> Step {
        if self.our_summary.is_none() {
            return Ok(());
        }
        let mut strange = Vec::new();
        let mut same = Vec::new();
        let mut wanted = Vec::new();
        for &job in jobs {
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            let Some(theirs) = exchange.their_digest else {
                continue;
            };
            if exchange.want_sent || exchange.settled() {
                continue;
            }
            match exchange.our_digest {
                Some(ours) if exchange.offered && ours == theirs => same.push(job),
                Some(_) if exchange.offered => wanted.push((job, exchange.want())),
                _ => strange.push(job),
            }
        }
        if !strange.is_empty() {
            out.push(Effect::AskAccepts(strange));
        }
        self.say_all(&wants(wanted), out)?;
        for job in same {
            self.settle(job, out)?;
        }
        Ok(())
    }

    fn settle(&mut self, job: JobId, out: &mut Vec<Effect>) -> Step {
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        exchange.settle();
        out.push(Effect::PeerStored {
            job,
            clock: exchange.theirs.clone(),
        });
        self.consider(job, out)
    }

    /// Everything that was fetched of a job has left this device, or there was nothing.
    fn delivered(&mut self, job: JobId, out: &mut Vec<Effect>) -> Step {
        self.active.remove(&job);
        self.consider(job, out)?;
        self.start_due(out);
        Ok(())
    }

    /// Sends what a job's peer lacks, or tells it what it does not know, if either is so.
    fn consider(&mut self, job: JobId, out: &mut Vec<Effect>) -> Step {
        if self.active.contains(&job) {
            return Ok(());
        }
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        if exchange.lacks() {
            if !std::mem::replace(&mut exchange.due, true) {
                self.due.push_back(job);
            }
            self.start_due(out);
        } else if exchange.open || exchange.wanted {
            let news = exchange.tell();
            if !news.is_empty() {
                self.say_all(&stored(job, news, 0), out)?;
            }
        }
        Ok(())
    }

    fn start_due(&mut self, out: &mut Vec<Effect>) {
        while self.active.len() < JOBS_AT_ONCE {
            let Some(job) = self.due.pop_front() else { break };
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            exchange.due = false;
            if exchange.lacks() {
                exchange.asked = exchange.ours.clone();
                let theirs = exchange.sent.clone();
                self.active.insert(job);
                out.push(Effect::AskMissing { job, theirs });
            }
        }
    }

    fn say(&mut self, message: &Message, out: &mut Vec<Effect>) -> Step {
        Ok(self.outbox.word(message.encode(), out)?)
    }

    fn say_all(&mut self, messages: &[Message], out: &mut Vec<Effect>) -> Step {
        messages.iter().try_for_each(|message| self.say(message, out))
    }
}
