//! What is on the wire: CBOR, one message a frame, `[kind, body]`.
//!
//! A newer version may add kinds (skipped here) and fields (ignored here). It changes [`PROTOCOL`] only for what
//! cannot be skipped.

use super::{BUNDLE_LIMIT, FRAME_CAP, Fault, NAME_CAP, PROTOCOL};
use crate::journal::{ActorId, BootId, ChangeHash, Clock, DeviceId, JobId, Reach};
use serde::de::{Deserializer, IgnoredAny, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};
use serde_bytes::ByteArray;
use std::fmt;

/// The longest parting code that is taken from a peer, in bytes.
const CODE_CAP: usize = 64;

/// What kind of party a device is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DeviceRole {
    /// A crew member's tablet.
    Tablet,
    /// An office.
    Office,
    /// Something that a later version knows.
    #[serde(other)]
    Other,
}

/// Who is speaking. First on every link, and again when something in it changes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hello {
    /// The protocol version spoken.
    pub protocol: u32,
    /// The device.
    pub device: DeviceId,
    /// What people call it.
    pub name: String,
    /// The name of the person using it, if one has said so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// What it is.
    pub role: DeviceRole,
    /// The run of the program: another boot of the same device is another hello.
    pub boot: BootId,
}

impl Hello {
    /// A hello in this version of the protocol, with nobody at the device yet.
    pub fn new(device: DeviceId, boot: BootId, role: DeviceRole, name: impl Into<String>) -> Self {
        Self {
            protocol: PROTOCOL,
            device,
            name: name.into(),
            person: None,
            role,
            boot,
        }
    }
}

/// One digest over all that the sender offers on this link.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// See `digest_all` in the clock module: every job with its clock's digest, in order of job ids.
    pub digest: ByteArray<16>,
}

/// Jobs that the receiver may see, each with the digest of the sender's clock.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Offer {
    /// The jobs. Several frames add up.
    pub jobs: Vec<(JobId, ByteArray<16>)>,
}

/// One job's clock.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct JobClock {
    /// The job.
    pub job: JobId,
    /// What the sender has made durable of it.
    #[serde(with = "wire_clock")]
    pub clock: Clock,
    /// Whether the rest of this clock is still to come.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub more: bool,
}

/// The sender wants these jobs, and holds this much of them: whole clocks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Want {
    /// The jobs.
    pub jobs: Vec<JobClock>,
}

/// Changes of one job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bundle {
    /// The job.
    pub job: JobId,
    /// What the sender has made durable and not yet said, so that nothing of it is sent back.
    #[serde(with = "wire_clock", default, skip_serializing_if = "Clock::is_empty")]
    pub clock: Clock,
    /// As the journal makes and takes them.
    #[serde(with = "serde_bytes")]
    pub bytes: Vec<u8>,
}

/// The sender has made this durable.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stored {
    /// The job.
    pub job: JobId,
    /// What was not said before on this link.
    #[serde(with = "wire_clock", default, skip_serializing_if = "Clock::is_empty")]
    pub clock: Clock,
    /// How many of the receiver's bundles are thereby done with.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub took: u32,
}

/// Asks for the receiver's wall clock.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClockProbe {
    /// To be repeated in the answer.
    pub probe: u32,
}

/// The sender's wall clock as it answered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClockAnswer {
    /// The probe answered.
    pub probe: u32,
    /// Milliseconds since 1970-01-01 UTC.
    pub wall_ms: i64,
}

/// The sender is still there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ping {}

/// The sender leaves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bye {
    /// Why: a stable code, at most 64 bytes.
    pub code: String,
}

macro_rules! messages {
    ($($kind:ident = $tag:literal,)*) => {
        /// One message.
        #[derive(Clone, Debug, PartialEq, Eq)]
        pub enum Message {
            $(
                #[doc = concat!("See [`", stringify!($kind), "`].")]
                $kind($kind),
            )*
            /// A kind that this version does not know. It is skipped.
            Unknown,
        }

        impl Message {
            /// The frame that carries this message. `Unknown` makes an empty frame, which nobody takes.
            pub fn encode(&self) -> Vec<u8> {
                let mut frame = Vec::new();
                let written = match self {
                    $(Self::$kind(body) => ciborium::into_writer(&($tag, body), &mut frame),)*
                    Self::Unknown => Ok(()),
                };
                // Writing to a vector fails only if a body cannot be CBOR, and each of these can.
                debug_assert!(written.is_ok());
                frame
            }
        }

        impl<'de> Visitor<'de> for KindAndBody {
            type Value = Message;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a kind and a body")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Message, A::Error> {
                fn next<'de, T: Deserialize<'de>, A: SeqAccess<'de>>(seq: &mut A) -> Result<T, A::Error> {
                    seq.next_element()?
                        .ok_or_else(|| serde::de::Error::custom("the message ends early"))
                }
                let kind: String = next(&mut seq)?;
                let message = match kind.as_str() {
                    $($tag => Message::$kind(next(&mut seq)?),)*
                    _ => {
                        let _: IgnoredAny = next(&mut seq)?;
                        Message::Unknown
                    }
                };
                match seq.next_element::<IgnoredAny>()? {
                    None => Ok(message),
                    Some(_) => Err(serde::de::Error::custom("the message goes on")),
                }
            }
        }
    };
}

struct KindAndBody;

messages! {
    Hello = "hello",
    Summary = "summary",
    Offer = "offer",
    Want = "want",
    Bundle = "bundle",
    Stored = "stored",
    ClockProbe = "clock_probe",
    ClockAnswer = "clock_answer",
    Ping = "ping",
    Bye = "bye",
}

impl<'de> Deserialize<'de> for Message {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_seq(KindAndBody)
    }
}

impl Message {
    /// The message in a frame.
    ///
    /// Errors: [`Fault::TooLong`] for a frame, a bundle or a name over its cap, [`Fault::Garbage`] for anything
    /// that is not exactly one message.
    pub fn decode(frame: &[u8]) -> Result<Self, Fault> {
        if frame.len() > FRAME_CAP {
            return Err(Fault::TooLong);
        }
        let mut rest = frame;
        let message: Self = ciborium::from_reader(&mut rest).map_err(|_| Fault::Garbage)?;
        if !rest.is_empty() {
            return Err(Fault::Garbage);
        }
        match message {
            Self::Hello(hello) => {
                let long = hello.name.len() > NAME_CAP
                    || hello
                        .person
                        .as_ref()
                        .is_some_and(|person| person.len() > NAME_CAP);
                if long {
                    Err(Fault::TooLong)
                } else {
                    Ok(Self::Hello(hello))
                }
            }
            Self::Bundle(bundle) if bundle.bytes.len() > BUNDLE_LIMIT => Err(Fault::TooLong),
            Self::Bye(bye) if bye.code.len() > CODE_CAP => Err(Fault::TooLong),
            message => Ok(message),
        }
    }
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn is_zero(count: &u32) -> bool {
    *count == 0
}

/// A clock as a list of `[actor, seq, hash]`.
mod wire_clock {
    use super::{ActorId, ByteArray, ChangeHash, Clock, Reach};
    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(clock: &Clock, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(
            clock
                .iter()
                .map(|(actor, reach)| (ByteArray::new(actor.0), reach.seq, ByteArray::new(reach.hash.0))),
        )
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Clock, D::Error> {
        let reaches: Vec<(ByteArray<16>, u64, ByteArray<32>)> = Vec::deserialize(deserializer)?;
        Ok(reaches
            .into_iter()
            .map(|(actor, seq, hash)| {
                let hash = ChangeHash(hash.into_array());
                (ActorId(actor.into_array()), Reach { seq, hash })
            })
            .collect())
    }
}
