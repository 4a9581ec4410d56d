//! The link's limits, each with its reason. Where no reason is given by a measurement or a source, it is a
//! choice made for crews of a few tablets on a weak local network.

use crate::journal::limits::FRAME_LIMIT;

/// The version of the protocol. Two sides talk only if it is the same.
pub const PROTOCOL: u32 = 1;

/// The largest bundle of changes, in bytes: what the journal's intake takes at once.
pub const BUNDLE_LIMIT: usize = FRAME_LIMIT;

/// The largest frame, in bytes: a bundle and what is said around it. A socket refuses longer ones unread.
pub const FRAME_CAP: usize = BUNDLE_LIMIT + 16 * 1024;

/// A peer says hello within this time, in ms, or is dropped.
pub const HELLO_WITHIN_MS: u64 = 5_000;

/// A side that has sent nothing for this long, in ms, sends a ping.
pub const HEARTBEAT_MS: u64 = 2_000;

/// A peer not heard for this long, in ms, is taken for gone: three heartbeats.
pub const DEAD_AFTER_MS: u64 = 6_000;

/// Bundles sent and not yet confirmed durable: what a slow receiver has to hold at most (1 MB).
pub const WINDOW: usize = 16;

/// Bytes handed to the socket and not yet taken by it before bundles wait. Short words are not held back.
pub const SEND_AHEAD: usize = 256 * 1024;

/// Bytes that may wait for the socket at all. A peer that asks and does not read is dropped here.
pub const UNSENT_CAP: usize = 8 * 1024 * 1024;

/// Jobs whose missing changes are being fetched or sent at one time: bounds what is held in memory.
pub const JOBS_AT_ONCE: usize = 4;

/// Jobs one link carries. A tablet holds 500.
pub const MAX_JOBS: usize = 5_000;

/// Reaches (one actor's newest change in one job) that a peer may make this side remember: 500 jobs of 200
/// program starts each.
pub const MAX_REACHES: usize = 100_000;

/// Words that a peer may send in a burst, beyond bundles and their confirmations.
pub const BURST: u32 = 16_384;

/// Words a second that it may go on with: several times what a store can commit.
pub const WORDS_PER_SECOND: u32 = 4_096;

/// Each started piece of this many bytes of a word counts as one more.
pub const WORD_BYTES: usize = 4_096;

/// The longest name in a hello, in bytes.
pub const NAME_CAP: usize = 256;

/// Clock probes in a row, of which the one with the shortest round trip counts.
pub const PROBES: u32 = 5;

/// After this time, in ms, the clocks are compared again.
pub const PROBE_AGAIN_MS: u64 = 60_000;

/// An answer to a probe later than this, in ms, is not waited for.
pub const PROBE_LATE_MS: u64 = 3_000;

/// With no more jobs than this the list is sent at once, without waiting to compare the one digest over all:
/// a round trip saved for a kilobyte.
pub const SHORT_LIST: usize = 32;

/// Job digests in one frame: 36 bytes each, 54 KB.
pub const OFFERS_A_FRAME: usize = 1_500;

/// Reaches in one frame: at most 59 bytes each, 47 KB.
pub const REACHES_A_FRAME: usize = 800;

/// Reaches that ride on a bundle; more go ahead of it in frames of their own.
pub const REACHES_A_BUNDLE: usize = 128;
