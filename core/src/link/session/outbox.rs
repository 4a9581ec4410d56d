//! What is on its way out.

use super::Effect;
use crate::journal::JobId;
use crate::link::{Fault, SEND_AHEAD, UNSENT_CAP, WINDOW};
use std::collections::VecDeque;

/// Frames handed to the socket and bundles that wait for their turn.
///
/// Short words go at once. Bundles go while the socket keeps up and while fewer than [`WINDOW`] of them are
/// unconfirmed.
#[derive(Debug, Default)]
pub(super) struct Outbox {
    waiting: VecDeque<Waiting>,
    unflushed: VecDeque<Unflushed>,
    unflushed_bytes: usize,
    unconfirmed: usize,
}

#[derive(Debug)]
struct Waiting {
    frame: Vec<u8>,
    /// The job, if this is the last bundle of a delivery.
    ends: Option<JobId>,
}

#[derive(Debug)]
struct Unflushed {
    bytes: usize,
    ends: Option<JobId>,
}

impl Outbox {
    /// Counts a frame that was sent before this outbox was there.
    pub(super) fn already_sent(&mut self, bytes: usize) {
        self.unflushed.push_back(Unflushed { bytes, ends: None });
        self.unflushed_bytes += bytes;
    }

    /// Sends a short word now.
    pub(super) fn word(&mut self, frame: Vec<u8>, out: &mut Vec<Effect>) -> Result<(), Fault> {
        if self.unflushed_bytes.saturating_add(frame.len()) > UNSENT_CAP {
            return Err(Fault::NotReading);
        }
        self.send(frame, None, out);
        Ok(())
    }

    /// Puts a bundle in line.
    pub(super) fn bundle(&mut self, frame: Vec<u8>, ends: Option<JobId>) {
        self.waiting.push_back(Waiting { frame, ends });
    }

    /// Sends the bundles whose turn it is. Whether any was sent.
    pub(super) fn pump(&mut self, out: &mut Vec<Effect>) -> bool {
        let mut any = false;
        while self.unconfirmed < WINDOW && self.unflushed_bytes < SEND_AHEAD {
            let Some(next) = self.waiting.pop_front() else {
                break;
            };
            self.unconfirmed += 1;
            self.send(next.frame, next.ends, out);
            any = true;
        }
        any
    }

    /// The peer says that it is done with this many bundles.
    pub(super) fn confirmed(&mut self, bundles: u32) -> Result<(), Fault> {
        let bundles = usize::try_from(bundles).map_err(|_| Fault::Unasked)?;
        self.unconfirmed = self.unconfirmed.checked_sub(bundles).ok_or(Fault::Unasked)?;
        Ok(())
    }

    /// The socket has taken this many frames. The jobs whose delivery is thereby out.
    pub(super) fn flushed(&mut self, frames: usize) -> Vec<JobId> {
        let mut ended = Vec::new();
        for sent in self.unflushed.drain(..frames.min(self.unflushed.len())) {
            self.unflushed_bytes -= sent.bytes;
            ended.extend(sent.ends);
        }
        ended
    }

    fn send(&mut self, frame: Vec<u8>, ends: Option<JobId>, out: &mut Vec<Effect>) {
        self.already_sent(frame.len());
        if let Some(last) = self.unflushed.back_mut() {
            last.ends = ends;
        }
        out.push(Effect::Send(frame));
    }
}
