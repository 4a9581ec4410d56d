//! Runs one session: frames from a carriage, answers from a host, and time.

use super::wire::{Event, Wire};
use super::{CloseReason, Effect, Hello, Input, IntakeError, LinkHost, Moment, PeerState, Session, Unable};
use crate::journal::{Clock, DeviceId, JobId};
use futures_util::future::BoxFuture;
use futures_util::stream::FuturesUnordered;
use futures_util::{Sink, Stream, StreamExt};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fmt::Display;
use std::time::Duration;
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::watch;
use tokio::time::{Instant, sleep_until, timeout};
use tracing::{debug, info, warn};

/// How long a parting word may take to leave.
const PARTING: Duration = Duration::from_secs(1);

/// Keeps one link over an open carriage until it ends, and says why it ended.
///
/// The carriage gives and takes whole frames; [`super::ws`] makes one of a WebSocket. The link ends when `stop`
/// becomes true or its sender is dropped. When this returns, the carriage has been dropped.
pub async fn run<H, C, E>(host: H, carriage: C, stop: watch::Receiver<bool>) -> CloseReason
where
    H: LinkHost,
    C: Stream<Item = Result<Vec<u8>, E>> + Sink<Vec<u8>, Error = E> + Unpin + Send,
    E: Display,
{
    keep(host, carriage, stop, Session::new).await
}

/// As [`run`], over a carriage whose other end has proved to be this tablet.
pub async fn run_with<H, C, E>(
    host: H,
    carriage: C,
    stop: watch::Receiver<bool>,
    proved: DeviceId,
) -> CloseReason
where
    H: LinkHost,
    C: Stream<Item = Result<Vec<u8>, E>> + Sink<Vec<u8>, Error = E> + Unpin + Send,
    E: Display,
{
    keep(host, carriage, stop, |me| Session::with(me, proved)).await
}

async fn keep<H, C, E>(
    host: H,
    carriage: C,
    mut stop: watch::Receiver<bool>,
    session: impl FnOnce(Hello) -> Session,
) -> CloseReason
where
    H: LinkHost,
    C: Stream<Item = Result<Vec<u8>, E>> + Sink<Vec<u8>, Error = E> + Unpin + Send,
    E: Display,
{
    // Before anything is asked of the host, so that no change falls between.
    let mut changes = host.changes();
    let mut me = host.me();
    let session = session(me.borrow_and_update().clone());
    let mut link = Link {
        session,
        wire: Wire::new(carriage),
        errands: Errands::new(host),
        began: Instant::now(),
        ended: None,
    };
    link.tell(Input::Opened);
    loop {
        if let Some(reason) = link.ended.take() {
            return link.part(reason).await;
        }
        let tick = link
            .session
            .next_tick()
            .map_or_else(Instant::now, |at| link.began + Duration::from_millis(at));
        tokio::select! {
            event = link.wire.next() => link.event(event),
            Some(done) = link.errands.next() => link.done(done),
            change = changes.recv() => match change {
                Ok(job) => link.changed(job),
                Err(RecvError::Lagged(_)) => link.changed_much(),
                Err(RecvError::Closed) => link.tell(Input::Stop),
            },
            told = me.changed() => match told {
                Ok(()) => link.tell(Input::Me(me.borrow_and_update().clone())),
                Err(_) => link.tell(Input::Stop),
            },
            _ = stop.wait_for(|stop| *stop) => link.tell(Input::Stop),
            () = sleep_until(tick) => link.tell(Input::Tick),
        }
    }
}

struct Link<H: LinkHost, C> {
    session: Session,
    wire: Wire<C>,
    errands: Errands<H>,
    began: Instant,
    ended: Option<CloseReason>,
}

impl<H, C, E> Link<H, C>
where
    H: LinkHost,
    C: Stream<Item = Result<Vec<u8>, E>> + Sink<Vec<u8>, Error = E> + Unpin + Send,
    E: Display,
{
    fn tell(&mut self, input: Input) {
        let now = Moment {
            mono_ms: u64::try_from(self.began.elapsed().as_millis()).unwrap_or(u64::MAX),
            wall_ms: jiff::Timestamp::now().as_millisecond(),
        };
        for effect in self.session.handle(now, input) {
            match effect {
                Effect::Send(frame) => self.wire.send(frame),
                Effect::Close(reason) => self.ended = Some(reason),
                effect => self.errands.run(effect),
            }
        }
    }

    fn event(&mut self, event: Event) {
        match event {
            Event::Frame(frame) => self.tell(Input::Frame(frame)),
            Event::Flushed(frames) => self.tell(Input::Flushed(frames)),
            Event::Ended(why) => {
                debug!(why, "the carriage ended");
                self.tell(Input::Closed);
            }
        }
    }

    fn done(&mut self, done: Done) {
        if let Some(input) = self.errands.done(done) {
            self.tell(input);
        }
    }

    fn changed(&mut self, job: JobId) {
        if self.session.peer().is_some() {
            self.errands.changed(job);
        }
    }

    fn changed_much(&mut self) {
        if let Some(peer) = self.session.peer() {
            let peer = peer.clone();
            self.errands.run(Effect::AskOffers(peer));
        }
    }

    /// Lets the last words out and closes the carriage; does not wait long for either.
    async fn part(mut self, reason: CloseReason) -> CloseReason {
        if reason != CloseReason::Lost {
            match timeout(PARTING, self.wire.finish()).await {
                Ok(Ok(())) => {}
                Ok(Err(error)) => debug!(%error, "the parting word was not sent"),
                Err(_) => debug!("the parting word was not taken in time"),
            }
        }
        let peer = self.errands.peer().map(|peer| peer.device);
        match &reason {
            CloseReason::Faulted(_) | CloseReason::Refused { .. } | CloseReason::Unable { .. } => {
                warn!(?peer, code = reason.code(), "link ended: {reason}");
            }
            _ => info!(?peer, code = reason.code(), "link ended: {reason}"),
        }
        reason
    }
}

/// What the host is asked to do for a link, and what of it is under way.
#[allow(
    clippy::struct_excessive_bools,
    reason = "three queues, each at work or not, and one look-up that is due"
)]
struct Errands<H: LinkHost> {
    host: H,
    peer: Option<Hello>,
    under_way: FuturesUnordered<BoxFuture<'static, Done>>,
    /// Bundles in the order in which they came; one is taken in at a time.
    intake: VecDeque<(JobId, Vec<u8>)>,
    taking_in: bool,
    /// The newest that the peer said of each job; one is written down at a time.
    stored: BTreeMap<JobId, Clock>,
    writing_down: bool,
    /// Whether all that the peer may see is to be looked up.
    offers_due: bool,
    /// Jobs that changed since.
    changed: BTreeSet<JobId>,
    /// One look-up at a time, of all or of one job, so that an older answer never comes after a newer one.
    looking_up: bool,
}

/// An errand that is done.
enum Done {
    Told(Option<Input>),
    TakenIn(Input),
    WrittenDown(Result<(), Unable>),
    LookedUp(Result<Input, Unable>),
}

impl<H: LinkHost> Errands<H> {
    fn new(host: H) -> Self {
        Self {
            host,
            peer: None,
            under_way: FuturesUnordered::new(),
            intake: VecDeque::new(),
            taking_in: false,
            stored: BTreeMap::new(),
            writing_down: false,
            offers_due: false,
            changed: BTreeSet::new(),
            looking_up: false,
        }
    }

    fn peer(&self) -> Option<&Hello> {
        self.peer.as_ref()
    }

    /// The next errand that is done; none while none is under way.
    async fn next(&mut self) -> Option<Done> {
        self.under_way.next().await
    }

    fn changed(&mut self, job: JobId) {
        self.changed.insert(job);
        self.look_up_next();
    }

    fn done(&mut self, done: Done) -> Option<Input> {
        match done {
            Done::Told(input) => input,
            Done::TakenIn(input) => {
                self.taking_in = false;
                self.take_in_next();
                Some(input)
            }
            Done::WrittenDown(written) => {
                self.writing_down = false;
                self.write_down_next();
                written.err().map(|Unable { code }| Input::Unable { code })
            }
            Done::LookedUp(found) => {
                self.looking_up = false;
                self.look_up_next();
                Some(found.unwrap_or_else(|Unable { code }| Input::Unable { code }))
            }
        }
    }

    fn run(&mut self, effect: Effect) {
        let host = self.host.clone();
        match effect {
            Effect::PeerSeen(peer) => {
                let state = if self.peer.is_some() {
                    PeerState::Changed
                } else {
                    PeerState::Here
                };
                self.host.peer_seen(&peer, state);
                self.peer = Some(peer);
            }
            Effect::AskOffers(_) => {
                self.offers_due = true;
                self.look_up_next();
            }
            Effect::AskAccepts(jobs) => {
                let Some(peer) = self.peer.clone() else { return };
                self.start(async move {
                    let mut accepted = BTreeMap::new();
                    for job in jobs {
                        match host.accepts(&peer, job).await {
                            Ok(Some(clock)) => drop(accepted.insert(job, clock)),
                            Ok(None) => {}
                            Err(Unable { code }) => return Done::Told(Some(Input::Unable { code })),
                        }
                    }
                    Done::Told(Some(Input::Accepts(accepted)))
                });
            }
            Effect::AskMissing { job, theirs } => self.start(async move {
                Done::Told(Some(match host.missing(job, &theirs).await {
                    Ok(missing) => Input::Bundles {
                        job,
                        clock: missing.clock,
                        bundles: missing.bundles,
                    },
                    Err(Unable { code }) => {
                        warn!(%job, code, "a job is left out of the link");
                        Input::Skipped { job }
                    }
                }))
            }),
            Effect::Intake { job, bytes } => {
                self.intake.push_back((job, bytes));
                self.take_in_next();
            }
            Effect::PeerStored { job, clock } => {
                self.stored.insert(job, clock);
                self.write_down_next();
            }
            Effect::ClockMeasured {
                offset_ms,
                round_trip_ms,
            } => {
                let Some(peer) = self.peer.as_ref().map(|peer| peer.device) else {
                    return;
                };
                self.start(async move {
                    host.clock_measured(peer, offset_ms, round_trip_ms).await;
                    Done::Told(None)
                });
            }
            // The link itself does these.
            Effect::Send(_) | Effect::Close(_) => {}
        }
    }

    fn take_in_next(&mut self) {
        let Some(from) = self.peer.as_ref().map(|peer| peer.device) else {
            return;
        };
        if self.taking_in {
            return;
        }
        let Some((job, bytes)) = self.intake.pop_front() else {
            return;
        };
        self.taking_in = true;
        let host = self.host.clone();
        self.start(async move {
            Done::TakenIn(match host.intake(from, job, bytes).await {
                Ok(clock) => Input::Committed { job, clock },
                Err(IntakeError::Refused { code }) => Input::Refused { job, code },
                Err(IntakeError::Unable(Unable { code })) => Input::Unable { code },
            })
        });
    }

    fn write_down_next(&mut self) {
        let Some(peer) = self.peer.as_ref().map(|peer| peer.device) else {
            return;
        };
        if self.writing_down {
            return;
        }
        let Some((job, clock)) = self.stored.pop_first() else {
            return;
        };
        self.writing_down = true;
        let host = self.host.clone();
        self.start(async move { Done::WrittenDown(host.peer_stored(peer, job, clock).await) });
    }

    fn look_up_next(&mut self) {
        let Some(peer) = self.peer.clone() else { return };
        if self.looking_up {
            return;
        }
        let host = self.host.clone();
        if std::mem::take(&mut self.offers_due) {
            self.looking_up = true;
            // Each job is looked up in its newest state, so what changed until now is covered.
            self.changed.clear();
            self.start(async move { Done::LookedUp(host.offers(&peer).await.map(Input::Offers)) });
            return;
        }
        let Some(job) = self.changed.pop_first() else {
            return;
        };
        self.looking_up = true;
        self.start(async move {
            Done::LookedUp(host.offer(&peer, job).await.map(|clock| match clock {
                Some(clock) => Input::LocalChange { job, clock },
                None => Input::Withdrawn { job },
            }))
        });
    }

    fn start(&mut self, errand: impl Future<Output = Done> + Send + 'static) {
        self.under_way.push(Box::pin(errand));
    }
}

impl<H: LinkHost> Drop for Errands<H> {
    /// However the link ends, the host hears that the peer is gone.
    fn drop(&mut self) {
        if let Some(peer) = &self.peer {
            self.host.peer_seen(peer, PeerState::Gone);
        }
    }
}
