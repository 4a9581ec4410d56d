//! The crew's link as it runs: it listens, keeps a link with each paired tablet, finds others and pairs.

use super::discover::{Discovery, Heard};
use super::door::Door;
use super::host::CrewHost;
use super::pairing::{PairFault, ShownCode};
use super::shared::Shared;
use super::state::{CrewState, Mark};
use super::tls::{Tls, TlsError};
use super::{Fingerprint, Identity, Pinned, listen, pair, reach};
use crate::journal::DeviceId;
use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::{mpsc, oneshot, watch};
use tokio::task::{AbortHandle, JoinHandle, JoinSet};
use tokio::time::{Instant, sleep, sleep_until, timeout};

/// How long links may take to say goodbye.
const PARTING: Duration = Duration::from_secs(1);

/// Where a listener cannot be had for the moment, it is tried again after this.
const LISTEN_AGAIN: Duration = Duration::from_secs(1);

/// Pairings that may wait for their turn.
const ORDERS: usize = 4;

/// How the crew's link is started.
#[derive(Clone, Debug)]
pub struct CrewOptions {
    /// Where to listen; port 0 takes a free one.
    pub listen: SocketAddr,
    /// Whether to look for other tablets and be found by them.
    pub discover: bool,
}

/// Why the crew's link did not start.
#[derive(Debug, Error)]
pub enum CrewError {
    /// The address cannot be listened on.
    #[error("cannot listen for crew mates on {address}: {source}")]
    Listen {
        /// Where.
        address: SocketAddr,
        /// Why.
        source: std::io::Error,
    },
    /// The identity is no good.
    #[error(transparent)]
    Tls(#[from] TlsError),
    /// The system gives no randomness.
    #[error("the system gives no randomness: {0}")]
    NoRandomness(#[from] getrandom::Error),
}

impl CrewError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Listen { .. } => "cannot_listen",
            Self::Tls(error) => error.code(),
            Self::NoRandomness(_) => "no_randomness",
        }
    }
}

/// The crew's link. Dropped, it ends at once and all its sockets are closed.
#[derive(Debug)]
pub struct CrewNet {
    control: CrewControl,
    address: SocketAddr,
    task: JoinHandle<()>,
}

/// What can be asked of the crew's link. Clones speak to the same; they do not keep it alive.
#[derive(Clone, Debug)]
pub struct CrewControl {
    orders: mpsc::Sender<Order>,
    state: watch::Sender<CrewState>,
    began: Instant,
}

#[derive(Debug)]
struct Order {
    code: String,
    address: SocketAddr,
    answer: oneshot::Sender<Result<Pinned, PairFault>>,
}

impl CrewNet {
    /// Starts it for a tablet: listens, and links with whoever is paired, while `stop` is false. While it is true no
    /// socket is open.
    ///
    /// Needs a tokio runtime around it.
    pub async fn start<H: CrewHost>(
        host: H,
        identity: Identity,
        options: CrewOptions,
        stop: watch::Receiver<bool>,
    ) -> Result<Self, CrewError> {
        let listener = bind(options.listen).await?;
        let address = listener.local_addr().map_err(|source| CrewError::Listen {
            address: options.listen,
            source,
        })?;
        let mark = Mark::of(identity.fingerprint(), getrandom::u64()?);
        let tls = Tls::new(identity, host.pins())?;
        let (orders, incoming) = mpsc::channel(ORDERS);
        let control = CrewControl {
            orders,
            state: watch::Sender::new(CrewState::default()),
            began: Instant::now(),
        };
        let shared = Shared::new(host, tls, control.state.clone(), stop, control.began);
        let net = Net {
            shared,
            orders: incoming,
            discover: options.discover,
            mark,
        };
        let task = tokio::spawn(net.run(listener, address));
        Ok(Self {
            control,
            address,
            task,
        })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// What can be asked of it.
    pub fn control(&self) -> &CrewControl {
        &self.control
    }
}

impl Drop for CrewNet {
    fn drop(&mut self) {
        self.task.abort();
    }
}

impl CrewControl {
    /// Shows a new code, made of these random bytes and good for so long, in place of the one before.
    ///
    /// # Errors
    /// [`PairFault::LinkOff`] while links are off: nobody could come.
    pub fn show_code(&self, random: [u8; 8], lives: Duration) -> Result<(), PairFault> {
        let now_ms = u64::try_from(self.began.elapsed().as_millis()).unwrap_or(u64::MAX);
        let lives_ms = u64::try_from(lives.as_millis()).unwrap_or(u64::MAX);
        let mut shown = Err(PairFault::LinkOff);
        self.state.send_if_modified(|state| {
            if state.listening.is_some() {
                state.code = Some(ShownCode::new(random, now_ms, lives_ms));
                state.here = here(state.listening);
                shown = Ok(());
            }
            shown.is_ok()
        });
        shown
    }

    /// Shows no code any more. One that was shown is dead.
    pub fn hide_code(&self) {
        self.state.send_if_modified(|state| {
            state.here.clear();
            state.code.take().is_some()
        });
    }

    /// Pairs with the tablet at an address by the code that it shows.
    ///
    /// # Errors
    /// Why nobody was paired.
    pub async fn pair(&self, code: &str, address: SocketAddr) -> Result<Pinned, PairFault> {
        let (answer, answered) = oneshot::channel();
        let order = Order {
            code: code.to_owned(),
            address,
            answer,
        };
        self.orders.send(order).await.map_err(|_| PairFault::LinkOff)?;
        answered.await.map_err(|_| PairFault::LinkOff)?
    }

    /// How it stands, now and from now on.
    pub fn state(&self) -> watch::Receiver<CrewState> {
        self.state.subscribe()
    }
}

async fn bind(address: SocketAddr) -> Result<TcpListener, CrewError> {
    TcpListener::bind(address)
        .await
        .map_err(|source| CrewError::Listen { address, source })
}

struct Net<H> {
    shared: Arc<Shared<H>>,
    orders: mpsc::Receiver<Order>,
    discover: bool,
    mark: Mark,
}

impl<H: CrewHost> Net<H> {
    async fn run(mut self, listener: TcpListener, address: SocketAddr) {
        let mut listener = Some(listener);
        let mut stop = self.shared.stop.clone();
        loop {
            let stopped = *stop.borrow_and_update();
            if stopped {
                listener = None;
                tokio::select! {
                    changed = stop.changed() => if changed.is_err() { return },
                    Some(order) = self.orders.recv() => {
                        // Whoever asked may have gone away.
                        let _ = order.answer.send(Err(PairFault::LinkOff));
                    }
                }
                continue;
            }
            let listening = match listener.take() {
                Some(listening) => listening,
                None => match bind(address).await {
                    Ok(listening) => listening,
                    Err(error) => {
                        tracing::warn!(code = error.code(), "{error}; tried again");
                        sleep(LISTEN_AGAIN).await;
                        continue;
                    }
                },
            };
            self.shared
                .state
                .send_modify(|state| state.listening = Some(address));
            let tasks = self.live(listening, address).await;
            self.shared
                .state
                .send_modify(|state| *state = CrewState::default());
            part(tasks).await;
        }
    }

    /// Until links are to be left. Gives back what is still to end.
    async fn live(&mut self, listener: TcpListener, address: SocketAddr) -> JoinSet<()> {
        let shared = Arc::clone(&self.shared);
        let discovery = self.discovery(address);
        let (mut stop, mut pins) = (shared.stop.clone(), shared.pins.clone());
        let mut state = shared.state.subscribe();
        let (mut tasks, door, mut dialers) = (JoinSet::new(), Door::default(), Dialers::default());
        let mut announced = None;
        loop {
            dialers.follow(&shared, &mut tasks);
            let (named, dies) = {
                let state = state.borrow_and_update();
                let dies = state.code.as_ref().map(ShownCode::dies_ms);
                (state.code.is_some(), dies)
            };
            if announced != Some(named) {
                announced = Some(named);
                self.announce(discovery.as_ref(), named);
            }
            let dies = dies.map(|dies_ms| shared.began + Duration::from_millis(dies_ms));
            tokio::select! {
                () = left(&mut stop) => {
                    dialers.leave(&shared);
                    return tasks;
                }
                accepted = listener.accept() => match accepted {
                    Ok((tcp, from)) => match door.place(from.ip()) {
                        Some(place) => drop(tasks.spawn(listen::serve(Arc::clone(&shared), tcp, from, place))),
                        None => shared.host.refused(from, "too_many_strangers"),
                    },
                    Err(error) => {
                        tracing::warn!(%error, "a connection could not be taken");
                        sleep(LISTEN_AGAIN).await;
                    }
                },
                Some(order) = self.orders.recv() => {
                    let shared = Arc::clone(&shared);
                    tasks.spawn(async move {
                        let paired = pair::enter(&shared, &order.code, order.address).await;
                        // Whoever asked may have gone away.
                        let _ = order.answer.send(paired);
                    });
                }
                heard = next(discovery.as_ref()) => {
                    shared.state.send_if_modified(|state| match heard {
                        Heard::Tablet(name, found) => state.heard(&name, found),
                        Heard::Gone(name) => state.found.remove(&name).is_some(),
                    });
                }
                _ = pins.changed() => {}
                _ = state.changed() => {}
                () = at(dies) => {
                    let now_ms = shared.now_ms();
                    shared.state.send_if_modified(|state| {
                        let dead = state.code.as_ref().is_some_and(|code| code.dies_ms() <= now_ms);
                        if dead {
                            state.code = None;
                        }
                        dead
                    });
                }
                Some(_) = tasks.join_next() => {}
            }
        }
    }

    fn discovery(&self, listening: SocketAddr) -> Option<Discovery> {
        if !self.discover || listening.ip().is_loopback() {
            return None;
        }
        match Discovery::start(listening, self.mark) {
            Ok(discovery) => Some(discovery),
            Err(error) => {
                tracing::warn!(%error, "tablets around cannot be found; addresses can be typed");
                None
            }
        }
    }

    fn announce(&self, discovery: Option<&Discovery>, by_name: bool) {
        let me = self.shared.host.me();
        let name = me.borrow().name.clone();
        let announced = discovery.map(|discovery| discovery.announce(by_name.then_some(name.as_str())));
        if let Some(Err(error)) = announced {
            tracing::warn!(%error, "this tablet cannot be found by others; its address can be typed");
        }
    }
}

/// One dialer for each paired tablet.
#[derive(Default)]
struct Dialers(BTreeMap<DeviceId, (Fingerprint, AbortHandle)>);

impl Dialers {
    /// Starts those that are missing and ends those of tablets that are paired no more.
    fn follow<H: CrewHost>(&mut self, shared: &Arc<Shared<H>>, tasks: &mut JoinSet<()>) {
        let pins = shared.pins.borrow().clone();
        self.0.retain(|device, (fingerprint, dialer)| {
            let kept = pins.holds(*device, *fingerprint) && !dialer.is_finished();
            if !kept {
                dialer.abort();
            }
            kept
        });
        for pinned in pins.iter() {
            self.0.entry(pinned.device).or_insert_with(|| {
                let dialer = tasks.spawn(reach::keep(Arc::clone(shared), pinned.device));
                (pinned.fingerprint, dialer)
            });
        }
    }

    /// Ends those that hold no link. The others hear of it by themselves and say goodbye.
    fn leave<H: CrewHost>(&self, shared: &Shared<H>) {
        for (device, (_, dialer)) in &self.0 {
            if !shared.is_linked(*device) {
                dialer.abort();
            }
        }
    }
}

/// Where this tablet can be reached, for somebody who types it.
fn here(listening: Option<SocketAddr>) -> Vec<SocketAddr> {
    let Some(listening) = listening else {
        return Vec::new();
    };
    if !listening.ip().is_unspecified() {
        return vec![listening];
    }
    let interfaces = match if_addrs::get_if_addrs() {
        Ok(interfaces) => interfaces,
        Err(error) => {
            tracing::warn!(%error, "the addresses of this tablet are not known");
            return Vec::new();
        }
    };
    let ips = interfaces.into_iter().map(|interface| interface.ip());
    // One that is good on one cable only cannot be typed elsewhere.
    let typed = ips.filter(|ip| !ip.is_loopback() && (ip.is_ipv4() || listening.is_ipv6()));
    let mut here: Vec<_> = typed
        .filter(|ip| !matches!(ip, IpAddr::V6(ip) if ip.is_unicast_link_local()))
        .map(|ip| SocketAddr::new(ip, listening.port()))
        .collect();
    here.sort_by_key(|address| (address.is_ipv6(), *address));
    here
}

/// Returns when links are to be left, or nobody can ask for them any more.
async fn left(stop: &mut watch::Receiver<bool>) {
    drop(stop.wait_for(|stop| *stop).await);
}

/// Lets links say goodbye, and ends what does not.
async fn part(mut tasks: JoinSet<()>) {
    let parted = timeout(PARTING, async { while tasks.join_next().await.is_some() {} }).await;
    tracing::debug!(all = parted.is_ok(), "links were left");
    tasks.shutdown().await;
}

async fn next(discovery: Option<&Discovery>) -> Heard {
    match discovery {
        Some(discovery) => discovery.next().await,
        None => std::future::pending().await,
    }
}

async fn at(moment: Option<Instant>) {
    match moment {
        Some(moment) => sleep_until(moment).await,
        None => std::future::pending().await,
    }
}
