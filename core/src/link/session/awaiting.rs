//! The link is open and the peer has not said who it is.

use super::linked::Linked;
use super::{Effect, Input, Moment};
use crate::journal::DeviceId;
use crate::link::{CloseReason, DeviceRole, Fault, HELLO_WITHIN_MS, Hello, Message, PROTOCOL};

#[derive(Debug)]
pub(super) struct Awaiting {
    deadline_ms: u64,
    /// The tablet that the peer has proved to be, where the carriage tells.
    proved: Option<DeviceId>,
    /// Frames sent so far that the socket has not yet taken: hellos only.
    unflushed: Vec<usize>,
}

impl Awaiting {
    /// Says hello and waits for the other's.
    pub(super) fn begin(me: &Hello, proved: Option<DeviceId>, now: Moment, out: &mut Vec<Effect>) -> Self {
        let mut awaiting = Self {
            deadline_ms: now.mono_ms + HELLO_WITHIN_MS,
            proved,
            unflushed: Vec::new(),
        };
        awaiting.say(me, out);
        awaiting
    }

    pub(super) fn deadline_ms(&self) -> u64 {
        self.deadline_ms
    }

    /// What follows the peer's hello, once it has come.
    pub(super) fn handle(
        &mut self,
        me: &Hello,
        now: Moment,
        input: &Input,
        out: &mut Vec<Effect>,
    ) -> Result<Option<Linked>, CloseReason> {
        match input {
            Input::Frame(frame) => {
                let peer = introduce(me, self.proved, Message::decode(frame)?)?;
                out.push(Effect::PeerSeen(peer.clone()));
                out.push(Effect::AskOffers(peer.clone()));
                Ok(Some(Linked::begin(me.clone(), peer, &self.unflushed, now, out)?))
            }
            Input::Tick if now.mono_ms >= self.deadline_ms => Err(Fault::HelloLate.into()),
            Input::Me(_) => {
                self.say(me, out);
                Ok(None)
            }
            Input::Flushed(frames) => {
                self.unflushed.drain(..(*frames).min(self.unflushed.len()));
                Ok(None)
            }
            _ => Ok(None),
        }
    }

    fn say(&mut self, me: &Hello, out: &mut Vec<Effect>) {
        let frame = Message::Hello(me.clone()).encode();
        self.unflushed.push(frame.len());
        out.push(Effect::Send(frame));
    }
}

/// Whether a first message makes a link, and with whom.
fn introduce(me: &Hello, proved: Option<DeviceId>, first: Message) -> Result<Hello, CloseReason> {
    match first {
        Message::Hello(peer) if peer.protocol != PROTOCOL => Err(Fault::ProtocolMismatch.into()),
        Message::Hello(peer) if peer.device == me.device => Err(Fault::OwnDevice.into()),
        Message::Hello(peer)
            if proved.is_some_and(|proved| (proved, DeviceRole::Tablet) != (peer.device, peer.role)) =>
        {
            Err(Fault::DeviceMismatch.into())
        }
        Message::Hello(peer) => Ok(peer),
        Message::Bye(bye) => Err(CloseReason::PeerLeft { code: bye.code }),
        _ => Err(Fault::HelloMissing.into()),
    }
}
