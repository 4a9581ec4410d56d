//! Pairing as a state machine: a code of six digits that is shown on one tablet and typed on the other. No socket, no
//! clock and no randomness but what is passed in.
//!
//! ```text
//!   the one that types                       the one that shows
//!     Open   { its half of SPAKE2 }    ->
//!                                      <-      Answer { its half of SPAKE2 }       a try is counted here
//!     Proof  { MAC, who it is }        ->                                          wrong code: refused, nothing said
//!                                      <-      Proof  { MAC, who it is }
//! ```
//!
//! SPAKE2 (the construction of RFC 9382 in the form of the `spake2` crate, which nobody has audited) makes one key of
//! the code and both certificates' fingerprints. Whoever stands between the two has a certificate of its own, so the
//! two get different keys. A guess can only be tested against the one that shows, one guess a try, and a code is good for
//! [`TRIES`]; what travels says nothing about the code to anybody who listens or joins in. The MAC is over TLS's
//! exporter (RFC 8446, section 7.5) as well, so a proof is good on one connection only.

use super::Fingerprint;
use crate::journal::DeviceId;
use crate::link::NAME_CAP;
use rand_core::{CryptoRng, RngCore};
use ring::hmac;
use serde::{Deserialize, Serialize};
use serde_bytes::{ByteArray, ByteBuf};
use sha2::{Digest, Sha256};
use spake2::{Ed25519Group, Identity, Password, Spake2};
use std::fmt;
use thiserror::Error;
use uuid::Uuid;

/// How often a code can be tried. With a million codes, three guesses find it once in 333,333 codes shown.
pub const TRIES: u32 = 3;

/// The longest frame of a pairing: two names and change.
pub const PAIR_FRAME_CAP: usize = 1_024;

/// Digits of a code.
const DIGITS: usize = 6;

const TYPED: &[u8] = b"turnwise pairing 1: the one that types";
const SHOWED: &[u8] = b"turnwise pairing 1: the one that shows";

/// Why a pairing came to nothing. Nobody was paired.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum PairFault {
    /// What was typed is not six digits.
    #[error("a code has six digits")]
    BadCode,
    /// The other tablet shows no code.
    #[error("no code is shown on the other tablet")]
    NoCode,
    /// The code was shown for too long.
    #[error("the code is too old; show a new one")]
    CodeExpired,
    /// The code was tried too often.
    #[error("the code was tried too often; show a new one")]
    CodeUsedUp,
    /// The code is not the one that is shown, or somebody stands between the two.
    #[error("the code is not the one that is shown")]
    WrongCode,
    /// The other side said something that is no word of a pairing.
    #[error("the other side does not know how to pair")]
    Garbage,
    /// The other side took too long.
    #[error("the other side did not answer in time")]
    Late,
    /// The other side is this very device.
    #[error("a tablet cannot be paired with itself")]
    OwnDevice,
    /// The device is paired already under another key, or its key as another device.
    #[error("that tablet is known here under another key; forget it first")]
    KnownOtherwise,
    /// This side could not keep the pairing.
    #[error("the pairing could not be kept")]
    NotKept,
    /// Nobody answers at the address.
    #[error("no tablet answers at that address")]
    Unreachable,
    /// The connection ended.
    #[error("the connection was lost")]
    Lost,
    /// The links of this tablet are off.
    #[error("this tablet does not link with others now")]
    LinkOff,
}

impl PairFault {
    const ALL: [Self; 13] = [
        Self::BadCode,
        Self::NoCode,
        Self::CodeExpired,
        Self::CodeUsedUp,
        Self::WrongCode,
        Self::Garbage,
        Self::Late,
        Self::OwnDevice,
        Self::KnownOtherwise,
        Self::NotKept,
        Self::Unreachable,
        Self::Lost,
        Self::LinkOff,
    ];

    /// A stable code: also what the other side is told.
    pub fn code(self) -> &'static str {
        match self {
            Self::BadCode => "bad_code",
            Self::NoCode => "no_code",
            Self::CodeExpired => "code_expired",
            Self::CodeUsedUp => "code_used_up",
            Self::WrongCode => "wrong_code",
            Self::Garbage => "pair_garbage",
            Self::Late => "pair_late",
            Self::OwnDevice => "own_device",
            Self::KnownOtherwise => "known_otherwise",
            Self::NotKept => "not_kept",
            Self::Unreachable => "unreachable",
            Self::Lost => "lost",
            Self::LinkOff => "link_off",
        }
    }

    /// The fault behind a code that the other side gave. One that this version does not know is [`PairFault::Lost`].
    fn told(code: &str) -> Self {
        Self::ALL
            .into_iter()
            .find(|fault| fault.code() == code)
            .unwrap_or(Self::Lost)
    }
}

/// Who a side says it is, once it has proved that it knows the code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// The device.
    pub device: DeviceId,
    /// What people call it.
    pub name: String,
}

/// The connection that a pairing runs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Binding {
    /// The certificate of the one that types.
    pub typer: Fingerprint,
    /// The certificate of the one that shows.
    pub shower: Fingerprint,
    /// What TLS exports for this connection alone.
    pub exporter: [u8; 32],
}

/// A code that is shown.
#[derive(Clone, PartialEq, Eq)]
pub struct ShownCode {
    digits: String,
    tries_left: u32,
    dies_ms: u64,
}

impl fmt::Debug for ShownCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "ShownCode({} tries left)", self.tries_left)
    }
}

impl ShownCode {
    /// A new code out of random bytes, good from now for so long, in ms.
    pub fn new(random: [u8; 8], now_ms: u64, lives_ms: u64) -> Self {
        // Of 2^64 values a million-th part more or less falls on one code or the next: 5e-14 of its share.
        let number = u64::from_be_bytes(random) % 1_000_000;
        Self {
            digits: format!("{number:06}"),
            tries_left: TRIES,
            dies_ms: now_ms.saturating_add(lives_ms),
        }
    }

    /// What is to be read out.
    pub fn digits(&self) -> &str {
        &self.digits
    }

    /// How often it can still be tried.
    pub fn tries_left(&self) -> u32 {
        self.tries_left
    }

    /// When it dies of age, in ms of the clock that it was made by.
    pub fn dies_ms(&self) -> u64 {
        self.dies_ms
    }

    /// Whether it can be tried now.
    pub fn live(&self, now_ms: u64) -> Result<(), PairFault> {
        if now_ms >= self.dies_ms {
            Err(PairFault::CodeExpired)
        } else if self.tries_left == 0 {
            Err(PairFault::CodeUsedUp)
        } else {
            Ok(())
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum Word {
    Half {
        pake: ByteBuf,
    },
    Proof {
        mac: ByteArray<32>,
        device: ByteArray<16>,
        name: String,
    },
    No {
        code: String,
    },
}

impl Word {
    fn encode(&self) -> Vec<u8> {
        let mut frame = Vec::new();
        let written = ciborium::into_writer(self, &mut frame);
        // Writing to a vector fails only for what cannot be CBOR, and this can.
        debug_assert!(written.is_ok());
        frame
    }

    fn decode(frame: &[u8]) -> Result<Self, PairFault> {
        if frame.len() > PAIR_FRAME_CAP {
            return Err(PairFault::Garbage);
        }
        let mut rest = frame;
        let word = ciborium::from_reader(&mut rest).map_err(|_| PairFault::Garbage)?;
        if !rest.is_empty() {
            return Err(PairFault::Garbage);
        }
        match word {
            Self::No { code } => Err(PairFault::told(&code)),
            Self::Proof { name, .. } if name.len() > NAME_CAP => Err(PairFault::Garbage),
            word => Ok(word),
        }
    }
}

/// The frame that tells the other side why it is refused.
pub fn refusal(fault: PairFault) -> Vec<u8> {
    let code = fault.code().to_owned();
    Word::No { code }.encode()
}

/// The one that types, after its first word.
pub struct Typer {
    pake: Spake2<Ed25519Group>,
    binding: Binding,
    me: Card,
}

impl Typer {
    /// Begins with a code as it was typed; spaces and dashes do not count. The frame is the first word.
    pub fn begin(
        code: &str,
        me: Card,
        binding: Binding,
        random: [u8; 32],
    ) -> Result<(Self, Vec<u8>), PairFault> {
        let digits: String = code
            .chars()
            .filter(|digit| !digit.is_whitespace() && *digit != '-')
            .collect();
        if digits.len() != DIGITS || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
            return Err(PairFault::BadCode);
        }
        let (typer, shower) = binding.identities();
        let (pake, half) =
            Spake2::start_a_with_rng(&Password::new(digits), &typer, &shower, Stretched::new(random));
        let half = Word::Half {
            pake: ByteBuf::from(half),
        };
        Ok((Self { pake, binding, me }, half.encode()))
    }

    /// Takes the answer. The frame proves that this side knows the code.
    pub fn answered(self, frame: &[u8]) -> Result<(ProvedTyper, Vec<u8>), PairFault> {
        let Word::Half { pake } = Word::decode(frame)? else {
            return Err(PairFault::Garbage);
        };
        let key = self.pake.finish(&pake).map_err(|_| PairFault::Garbage)?;
        let key = Key::new(&key, self.binding);
        let proof = key.proof(TYPED, &self.me);
        Ok((ProvedTyper { key, me: self.me }, proof))
    }
}

/// The one that types, waiting for the other's proof.
pub struct ProvedTyper {
    key: Key,
    me: Card,
}

impl ProvedTyper {
    /// Takes the other side's proof. Who it is: the two are paired.
    pub fn finish(self, frame: &[u8]) -> Result<Card, PairFault> {
        self.key.check(SHOWED, &self.me, frame)
    }
}

/// The one that shows, after its answer.
pub struct Shower {
    key: Key,
    digits: String,
    dies_ms: u64,
    me: Card,
}

impl Shower {
    /// Takes the first word of somebody who wants to pair, and counts a try of the code. The frame is the answer.
    pub fn open(
        code: Option<&mut ShownCode>,
        now_ms: u64,
        me: Card,
        binding: Binding,
        random: [u8; 32],
        frame: &[u8],
    ) -> Result<(Self, Vec<u8>), PairFault> {
        let Word::Half { pake: theirs } = Word::decode(frame)? else {
            return Err(PairFault::Garbage);
        };
        let code = code.ok_or(PairFault::NoCode)?;
        code.live(now_ms)?;
        code.tries_left -= 1;
        let (typer, shower) = binding.identities();
        let (pake, half) = Spake2::<Ed25519Group>::start_b_with_rng(
            &Password::new(&code.digits),
            &typer,
            &shower,
            Stretched::new(random),
        );
        let key = pake.finish(&theirs).map_err(|_| PairFault::Garbage)?;
        let shower = Self {
            key: Key::new(&key, binding),
            digits: code.digits.clone(),
            dies_ms: code.dies_ms,
            me,
        };
        let half = Word::Half {
            pake: ByteBuf::from(half),
        };
        Ok((shower, half.encode()))
    }

    /// Takes the proof. Who typed the code, and the frame that proves this side to it. `code` is what is shown by now.
    pub fn proved(
        self,
        code: Option<&ShownCode>,
        now_ms: u64,
        frame: &[u8],
    ) -> Result<(Card, Vec<u8>), PairFault> {
        // Another may have used it meanwhile, or it was hidden.
        if code.is_none_or(|code| (&code.digits, code.dies_ms) != (&self.digits, self.dies_ms)) {
            return Err(PairFault::NoCode);
        }
        if now_ms >= self.dies_ms {
            return Err(PairFault::CodeExpired);
        }
        let card = self.key.check(TYPED, &self.me, frame)?;
        let proof = self.key.proof(SHOWED, &self.me);
        Ok((card, proof))
    }
}

impl Binding {
    fn identities(&self) -> (Identity, Identity) {
        (Identity::new(&self.typer.0), Identity::new(&self.shower.0))
    }
}

/// The key that both have if both have the code.
struct Key {
    key: hmac::Key,
    exporter: [u8; 32],
}

impl Key {
    fn new(shared: &[u8], binding: Binding) -> Self {
        Self {
            key: hmac::Key::new(hmac::HMAC_SHA256, shared),
            exporter: binding.exporter,
        }
    }

    fn said(&self, label: &[u8], device: &[u8; 16], name: &str) -> Vec<u8> {
        [label, &self.exporter, device, name.as_bytes()].concat()
    }

    fn proof(&self, label: &[u8], card: &Card) -> Vec<u8> {
        let device = card.device.0.into_bytes();
        let tag = hmac::sign(&self.key, &self.said(label, &device, &card.name));
        let mut mac = [0; 32];
        mac.copy_from_slice(tag.as_ref());
        let name = card.name.clone();
        Word::Proof {
            mac: ByteArray::new(mac),
            device: ByteArray::new(device),
            name,
        }
        .encode()
    }

    fn check(&self, label: &[u8], me: &Card, frame: &[u8]) -> Result<Card, PairFault> {
        let Word::Proof { mac, device, name } = Word::decode(frame)? else {
            return Err(PairFault::Garbage);
        };
        hmac::verify(&self.key, &self.said(label, &device, &name), mac.as_slice())
            .map_err(|_| PairFault::WrongCode)?;
        let device = DeviceId(Uuid::from_bytes(device.into_array()));
        if device == me.device {
            return Err(PairFault::OwnDevice);
        }
        Ok(Card { device, name })
    }
}

/// Random bytes made of the 32 that were passed in: SHA-256 over them and a count.
struct Stretched {
    seed: [u8; 32],
    count: u64,
}

impl Stretched {
    fn new(seed: [u8; 32]) -> Self {
        Self { seed, count: 0 }
    }
}

impl RngCore for Stretched {
    fn next_u32(&mut self) -> u32 {
        let mut bytes = [0; 4];
        self.fill_bytes(&mut bytes);
        u32::from_le_bytes(bytes)
    }

    fn next_u64(&mut self) -> u64 {
        let mut bytes = [0; 8];
        self.fill_bytes(&mut bytes);
        u64::from_le_bytes(bytes)
    }

    fn fill_bytes(&mut self, dest: &mut [u8]) {
        for piece in dest.chunks_mut(32) {
            let mut hash = Sha256::new();
            hash.update(b"turnwise pairing: random");
            hash.update(self.seed);
            hash.update(self.count.to_be_bytes());
            self.count += 1;
            piece.copy_from_slice(&hash.finalize()[..piece.len()]);
        }
    }

    fn try_fill_bytes(&mut self, dest: &mut [u8]) -> Result<(), rand_core::Error> {
        self.fill_bytes(dest);
        Ok(())
    }
}

impl CryptoRng for Stretched {}
