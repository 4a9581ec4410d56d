//! What a tablet or an office gives the link.

use super::Hello;
use crate::journal::{Clock, DeviceId, JobId};
use std::collections::BTreeMap;
use thiserror::Error;
use tokio::sync::{broadcast, watch};

/// This side could not do its own part: the store failed. Not the peer's doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("this side could not go on: {code}")]
pub struct Unable {
    /// The store's code.
    pub code: &'static str,
}

impl Unable {
    /// The store's stable code.
    pub fn code(&self) -> &'static str {
        self.code
    }
}

/// Why changes that a peer brought were not taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum IntakeError {
    /// They are not acceptable, whoever brings them. The peer is dropped.
    #[error("the changes were refused: {code}")]
    Refused {
        /// The intake's code.
        code: &'static str,
    },
    /// They could not be made durable. The link ends and is tried again later.
    #[error(transparent)]
    Unable(#[from] Unable),
}

impl IntakeError {
    /// A stable code: the intake's or the store's.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Refused { code } => code,
            Self::Unable(unable) => unable.code,
        }
    }
}

/// What a peer lacks of one job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Missing {
    /// What the job's journal holds: where the peer stands once it has the bundles.
    pub clock: Clock,
    /// The changes, each bundle at most [`super::BUNDLE_LIMIT`] bytes.
    pub bundles: Vec<Vec<u8>>,
}

/// Whether a peer is linked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PeerState {
    /// It has said hello on a new link.
    Here,
    /// It said hello anew on a link, because something in it changed.
    Changed,
    /// The link ended. Follows every link that was `Here`, once.
    Gone,
}

/// The owner of the journals, as the link sees it. One host serves every link of its device.
///
/// A future of this trait may be dropped before it is done (the link ended meanwhile): what it set in motion may
/// still happen, and nobody is told.
pub trait LinkHost: Clone + Send + Sync + 'static {
    /// Who this device is. When it changes (another person takes the tablet) every linked peer is told.
    fn me(&self) -> watch::Receiver<Hello>;

    /// The jobs in whose journal something changed, whoever made the change, each named after the change is
    /// durable. A reader that falls behind asks for [`LinkHost::offers`] again.
    fn changes(&self) -> broadcast::Receiver<JobId>;

    /// The jobs that this peer may see, with what is durably held of each. What a peer may see it may also add
    /// to. At most [`super::MAX_JOBS`]: of more, the newest ids are offered.
    fn offers(&self, peer: &Hello) -> impl Future<Output = Result<BTreeMap<JobId, Clock>, Unable>> + Send;

    /// The same for one job: `None` if it is not for this peer.
    fn offer(&self, peer: &Hello, job: JobId) -> impl Future<Output = Result<Option<Clock>, Unable>> + Send;

    /// Whether this peer may bring changes of a job that is not offered to it (one that is not here yet, as a
    /// rule): what is held of it, an empty clock for nothing, `None` to decline.
    fn accepts(&self, peer: &Hello, job: JobId)
    -> impl Future<Output = Result<Option<Clock>, Unable>> + Send;

    /// What somebody who holds `theirs` lacks of a job. An error leaves this job out of the link, no more.
    fn missing(&self, job: JobId, theirs: &Clock) -> impl Future<Output = Result<Missing, Unable>> + Send;

    /// Takes in what a peer brought. `Ok` is what the job's journal then holds, and is returned only once all of
    /// it is durable: the peer is told so.
    fn intake(
        &self,
        from: DeviceId,
        job: JobId,
        bundle: Vec<u8>,
    ) -> impl Future<Output = Result<Clock, IntakeError>> + Send;

    /// A peer said what it has made durable of a job: all of it, so this replaces what it said before and may be
    /// less. The hashes are the peer's word: compare them with the own changes before relying on them.
    fn peer_stored(
        &self,
        peer: DeviceId,
        job: JobId,
        clock: Clock,
    ) -> impl Future<Output = Result<(), Unable>> + Send;

    /// By how much the peer's wall clock is ahead of this one, and the round trip of the best probe, in ms.
    fn clock_measured(
        &self,
        peer: DeviceId,
        offset_ms: i64,
        round_trip_ms: u64,
    ) -> impl Future<Output = ()> + Send;

    /// A peer came, changed its hello, or went. Two links to one device give two of each.
    fn peer_seen(&self, peer: &Hello, state: PeerState);
}
