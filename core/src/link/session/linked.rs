//! Both sides have said who they are.

mod compare;
mod heard;
mod told;

use super::allowance::Allowance;
use super::exchange::{Exchange, stored};
use super::outbox::Outbox;
use super::probes::{Measured, Probes};
use super::{Effect, Input, Moment};
use crate::journal::{Clock, JobId};
use crate::link::clock::Digest;
use crate::link::{
    CloseReason, DEAD_AFTER_MS, Fault, HEARTBEAT_MS, Hello, JOBS_AT_ONCE, Message, Ping, WORD_BYTES,
};
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
