//! One link as a state machine: what comes in, what is to be done. It reads no clock and no socket.

mod allowance;
mod awaiting;
mod exchange;
mod linked;
mod outbox;
mod probes;
#[cfg(test)]
mod tests;

use super::{CloseReason, Hello};
use crate::journal::{Clock, DeviceId, JobId};
use awaiting::Awaiting;
use linked::Linked;
use std::collections::BTreeMap;

/// When something happens, by the clocks of this device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// Milliseconds from a clock that never jumps, from any start.
    pub mono_ms: u64,
    /// Milliseconds since 1970-01-01 UTC by the wall clock, which may jump. Only ever compared with the peer's.
    pub wall_ms: i64,
}

/// What a session is told.
#[derive(Clone, Debug)]
pub enum Input {
    /// The carriage is open: say hello.
    Opened,
    /// A frame came from the peer.
    Frame(Vec<u8>),
    /// Time has passed: due at [`Session::next_tick`].
    Tick,
    /// This many frames, in the order of [`Effect::Send`], have left this device.
    Flushed(usize),
    /// Something in this side's hello changed.
    Me(Hello),
    /// All that this peer may see, with what is durably held. Answers [`Effect::AskOffers`]; may come again.
    Offers(BTreeMap<JobId, Clock>),
    /// Of the jobs in [`Effect::AskAccepts`], those this side takes, with what is durably held of each.
    Accepts(BTreeMap<JobId, Clock>),
    /// A job that this peer may see changed here; this is now durably held.
    LocalChange {
        /// The job.
        job: JobId,
        /// The whole clock.
        clock: Clock,
    },
    /// Answers [`Effect::AskMissing`].
    Bundles {
        /// The job.
        job: JobId,
        /// Where the peer stands once it has them.
        clock: Clock,
        /// The changes.
        bundles: Vec<Vec<u8>>,
    },
    /// The peer may no longer see this job.
    Withdrawn {
        /// The job.
        job: JobId,
    },
    /// [`Effect::AskMissing`] has no answer: the job is left out until it changes again.
    Skipped {
        /// The job.
        job: JobId,
    },
    /// The oldest [`Effect::Intake`] of this job is durable; this is what is now held.
    Committed {
        /// The job.
        job: JobId,
        /// The whole clock.
        clock: Clock,
    },
    /// An [`Effect::Intake`] was refused.
    Refused {
        /// The job.
        job: JobId,
        /// Why.
        code: &'static str,
    },
    /// This side cannot go on.
    Unable {
        /// Why.
        code: &'static str,
    },
    /// End the link.
    Stop,
    /// The carriage has ended.
    Closed,
}

/// What a session wants done.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Send a frame. Frames leave in the order of these effects, and each is reported by [`Input::Flushed`].
    Send(Vec<u8>),
    /// The peer said hello, first or anew.
    PeerSeen(Hello),
    /// Say what this peer may see: [`Input::Offers`].
    AskOffers(Hello),
    /// Say which of these the peer may bring: [`Input::Accepts`].
    AskAccepts(Vec<JobId>),
    /// Fetch what somebody who holds `theirs` lacks: [`Input::Bundles`].
    AskMissing {
        /// The job.
        job: JobId,
        /// What the peer holds or has been sent.
        theirs: Clock,
    },
    /// Take this in and make it durable, in the order of these effects: [`Input::Committed`].
    Intake {
        /// The job.
        job: JobId,
        /// The changes.
        bytes: Vec<u8>,
    },
    /// The peer has made this durable. The whole of what it said.
    PeerStored {
        /// The job.
        job: JobId,
        /// The whole clock.
        clock: Clock,
    },
    /// The clocks were compared.
    ClockMeasured {
        /// By how much the peer's wall clock is ahead of this one, in ms.
        offset_ms: i64,
        /// The round trip of the best probe, in ms.
        round_trip_ms: u64,
    },
    /// The link is over. Send what is still to be sent, if that goes quickly, and close the carriage.
    Close(CloseReason),
}

/// One link. See the module's words on what is said when.
#[derive(Debug)]
pub struct Session {
    me: Hello,
    proved: Option<DeviceId>,
    phase: Phase,
}

/// Where a link is in its life.
#[derive(Debug)]
enum Phase {
    Unopened,
    Awaiting(Awaiting),
    Linked(Box<Linked>),
    Closed,
}

impl Session {
    /// A session that has not begun.
    pub fn new(me: Hello) -> Self {
        Self {
            me,
            proved: None,
            phase: Phase::Unopened,
        }
    }

    /// The same over a carriage whose other end has proved to be this tablet: a hello as anything else is a fault.
    pub fn with(me: Hello, proved: DeviceId) -> Self {
        Self {
            proved: Some(proved),
            ..Self::new(me)
        }
    }

    /// The peer, once it has said hello and until the link is over.
    pub fn peer(&self) -> Option<&Hello> {
        match &self.phase {
            Phase::Linked(linked) => Some(linked.peer()),
            _ => None,
        }
    }

    /// Whether the link is over. Nothing that is told to it then has any effect.
    pub fn is_closed(&self) -> bool {
        matches!(self.phase, Phase::Closed)
    }

    /// When, on the clock that never jumps, the session next wants [`Input::Tick`].
    pub fn next_tick(&self) -> Option<u64> {
        match &self.phase {
            Phase::Unopened | Phase::Closed => None,
            Phase::Awaiting(awaiting) => Some(awaiting.deadline_ms()),
            Phase::Linked(linked) => Some(linked.next_tick()),
        }
    }

    /// Takes in what happened and says what is to be done, in order.
    pub fn handle(&mut self, now: Moment, input: Input) -> Vec<Effect> {
        let mut out = Vec::new();
        let step = match input {
            Input::Stop if !self.is_closed() => Err(CloseReason::Stopped),
            Input::Closed if !self.is_closed() => Err(CloseReason::Lost),
            Input::Unable { code } if !self.is_closed() => Err(CloseReason::Unable { code }),
            input => self.step(now, input, &mut out),
        };
        if let Err(reason) = step {
            self.part(reason, &mut out);
        }
        out
    }

    fn step(&mut self, now: Moment, input: Input, out: &mut Vec<Effect>) -> Result<(), CloseReason> {
        if let Input::Me(me) = &input {
            self.me = me.clone();
        }
        match (&mut self.phase, input) {
            (Phase::Unopened, Input::Opened) => {
                self.phase = Phase::Awaiting(Awaiting::begin(&self.me, self.proved, now, out));
                Ok(())
            }
            (Phase::Awaiting(awaiting), input) => {
                if let Some(linked) = awaiting.handle(&self.me, now, &input, out)? {
                    self.phase = Phase::Linked(Box::new(linked));
                }
                Ok(())
            }
            (Phase::Linked(linked), input) => linked.handle(now, input, out),
            (Phase::Unopened | Phase::Closed, _) => Ok(()),
        }
    }

    /// Ends the link, and tells the peer why unless it is gone or told us first.
    fn part(&mut self, reason: CloseReason, out: &mut Vec<Effect>) {
        let opened = !matches!(self.phase, Phase::Unopened);
        if opened && !matches!(reason, CloseReason::Lost | CloseReason::PeerLeft { .. }) {
            out.push(Effect::Send(bye(reason.code())));
        }
        out.push(Effect::Close(reason));
        self.phase = Phase::Closed;
    }
}

/// A parting frame. A code is longer than the wire allows only by a slip in this program.
fn bye(code: &'static str) -> Vec<u8> {
    super::Message::Bye(super::Bye {
        code: code.chars().take(64).collect(),
    })
    .encode()
}
