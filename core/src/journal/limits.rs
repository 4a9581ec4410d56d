//! The journal's limits, each with its reason. They bound what one delivery can make this side do; a peer
//! that keeps within them can still fill a disk, slowly and in its own name.

/// The largest delivery that [`Journal::intake`](super::Journal::intake) takes and that
/// [`Journal::missing`](super::Journal::missing) makes, in bytes.
///
/// The library expands what it reads; a delivery that is small bounds that before anything else does.
pub const FRAME_LIMIT: usize = 64 * 1024;

/// The longest text of one entry, in bytes of JSON. A long note is some 2 KB; photographs and logger files
/// are blobs, not entries.
pub const ENTRY_LIMIT: usize = 32 * 1024;

/// The largest single change, in bytes: an entry of [`ENTRY_LIMIT`] that names [`DEPS_LIMIT`] ancestors, with
/// room for its envelope, and less than [`FRAME_LIMIT`], so that every change held can be passed on.
pub const CHANGE_LIMIT: usize = 56 * 1024;

/// The most direct ancestors that an entry made here names (16 KB of hashes). Where more lines of work stand
/// side by side, the rest is joined by the entries that follow.
pub const DEPS_LIMIT: usize = 512;

/// The most that the columns of one delivered bundle may come to when expanded, in bytes. 2,000 entries of
/// ordinary length come to 1 MB.
pub const EXPANDED_LIMIT: u64 = 4 * 1024 * 1024;

/// The most rows that a column of a delivered bundle may have.
pub const ROWS_LIMIT: u64 = 16 * 1024;

/// The most changes put into one bundle, so that with two ancestors each it stays far below [`ROWS_LIMIT`].
pub(super) const BUNDLE_CHANGES: usize = 2_000;

/// The most direct ancestors that the changes of one bundle name together.
pub(super) const BUNDLE_DEPS: usize = 8 * 1024;

/// The most bytes of single changes put into one bundle: below [`EXPANDED_LIMIT`] whatever they hold.
pub(super) const BUNDLE_BYTES: usize = 2 * 1024 * 1024;

/// Below this many bytes the missing changes go as they are. A bundle of so few saves little, and making one
/// means building the whole document.
pub(super) const PLAIN_BYTES: usize = 16 * 1024;
