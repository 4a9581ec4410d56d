//! A device with a link to its crew over real sockets and real TLS, and a list of whom it turned away.

use super::Device;
use std::collections::BTreeMap;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{broadcast, watch};
use turnwise_core::journal::{Clock, DeviceId, JobId};
use turnwise_core::link::secure::pairing::PairFault;
use turnwise_core::link::secure::{CrewHost, CrewNet, CrewOptions, Identity, Pinned, Pins};
use turnwise_core::link::{Hello, IntakeError, LinkHost, Missing, PeerState, Unable};
use uuid::Uuid;

/// For how long codes are shown in tests, unless a test is about that.
const LIVES: Duration = Duration::from_mins(10);

/// The host of a [`Mate`]. Clones are the same.
#[derive(Clone, Debug)]
pub struct Host {
    device: Device,
    pins: watch::Sender<Pins>,
    refused: watch::Sender<Vec<&'static str>>,
}

/// A device with a link to its crew.
#[derive(Debug)]
pub struct Mate {
    /// The device.
    pub device: Device,
    /// Who is paired with it.
    pub pins: watch::Sender<Pins>,
    /// The codes of those whom it turned away, in order.
    pub refused: watch::Sender<Vec<&'static str>>,
    /// What runs.
    pub net: CrewNet,
    /// Its private key.
    pub key: [u8; 32],
    stop: watch::Sender<bool>,
}

impl Mate {
    /// A device of this name, listening on the loopback, with a key of its own.
    pub async fn new(name: &str) -> anyhow::Result<Self> {
        Self::with_key(&Device::new(name), random()).await
    }

    /// The same with this device and key.
    pub async fn with_key(device: &Device, key: [u8; 32]) -> anyhow::Result<Self> {
        let host = Host {
            device: device.clone(),
            pins: watch::Sender::new(Pins::default()),
            refused: watch::Sender::new(Vec::new()),
        };
        let (stop, stop_seen) = watch::channel(false);
        let options = CrewOptions {
            listen: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
            discover: false,
        };
        let net = CrewNet::start(host.clone(), Identity::make(key)?, options, stop_seen).await?;
        net.control()
            .state()
            .wait_for(|state| state.listening.is_some())
            .await?;
        Ok(Self {
            device: device.clone(),
            pins: host.pins,
            refused: host.refused,
            net,
            key,
            stop,
        })
    }

    /// Shows a code and says which.
    pub fn shows_a_code(&self) -> Result<String, PairFault> {
        let mut bytes = [0; 8];
        bytes.copy_from_slice(&random()[..8]);
        self.net.control().show_code(bytes, LIVES)?;
        let state = self.net.control().state();
        let code = state.borrow().code.as_ref().map(|code| code.digits().to_owned());
        code.ok_or(PairFault::NoCode)
    }

    /// Types a code for the tablet at an address.
    pub async fn types(&self, code: &str, at: SocketAddr) -> Result<Pinned, PairFault> {
        self.net.control().pair(code, at).await
    }

    /// Pairs with another by the code that the other shows.
    pub async fn pairs_with(&self, other: &Self) -> Result<Pinned, PairFault> {
        self.types(&other.shows_a_code()?, other.net.address()).await
    }

    /// Takes this for the pairing of a device, without asking anybody.
    pub fn pins_blindly(&self, device: DeviceId, key: [u8; 32], at: SocketAddr) -> anyhow::Result<()> {
        let pinned = Pinned {
            device,
            fingerprint: Identity::make(key)?.fingerprint(),
            name: String::new(),
            addresses: vec![at],
        };
        self.pins.send_replace(Pins::of([pinned]));
        Ok(())
    }

    /// Forgets everybody.
    pub fn forgets_all(&self) {
        self.pins.send_replace(Pins::default());
    }

    /// Leaves its links, or takes them up again.
    pub fn leaves(&self, leaves: bool) {
        self.stop.send_replace(leaves);
    }

    /// Waits until somebody was turned away for this.
    pub async fn has_refused(&self, code: &str) {
        // The sender lives as long as this does.
        let _ = self
            .refused
            .subscribe()
            .wait_for(|refused| refused.contains(&code))
            .await;
    }
}

/// 32 bytes that nobody has used before.
pub fn random() -> [u8; 32] {
    let mut random = [0; 32];
    random[..16].copy_from_slice(Uuid::new_v4().as_bytes());
    random[16..].copy_from_slice(Uuid::new_v4().as_bytes());
    random
}

impl CrewHost for Host {
    fn pins(&self) -> watch::Receiver<Pins> {
        self.pins.subscribe()
    }

    async fn paired(&self, pinned: Pinned) -> Result<(), Unable> {
        let known = self.pins.borrow().clone();
        let others = known.iter().filter(|known| known.device != pinned.device);
        let all: Vec<_> = others.cloned().chain([pinned.clone()]).collect();
        self.pins.send_replace(Pins::of(all));
        Ok(())
    }

    fn reached(&self, _device: DeviceId, _address: SocketAddr) {}

    fn refused(&self, _from: SocketAddr, code: &'static str) {
        self.refused.send_modify(|refused| refused.push(code));
    }
}

impl LinkHost for Host {
    fn me(&self) -> watch::Receiver<Hello> {
        self.device.me()
    }

    fn changes(&self) -> broadcast::Receiver<JobId> {
        self.device.changes()
    }

    async fn offers(&self, peer: &Hello) -> Result<BTreeMap<JobId, Clock>, Unable> {
        self.device.offers(peer).await
    }

    async fn offer(&self, peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        self.device.offer(peer, job).await
    }

    async fn accepts(&self, peer: &Hello, job: JobId) -> Result<Option<Clock>, Unable> {
        self.device.accepts(peer, job).await
    }

    async fn missing(&self, job: JobId, theirs: &Clock) -> Result<Missing, Unable> {
        self.device.missing(job, theirs).await
    }

    async fn intake(&self, from: DeviceId, job: JobId, bundle: Vec<u8>) -> Result<Clock, IntakeError> {
        self.device.intake(from, job, bundle).await
    }

    async fn peer_stored(&self, peer: DeviceId, job: JobId, clock: Clock) -> Result<(), Unable> {
        self.device.peer_stored(peer, job, clock).await
    }

    async fn clock_measured(&self, peer: DeviceId, offset_ms: i64, round_trip_ms: u64) {
        self.device.clock_measured(peer, offset_ms, round_trip_ms).await;
    }

    fn peer_seen(&self, peer: &Hello, state: PeerState) {
        self.device.peer_seen(peer, state);
    }
}

/// A stretch of network that keeps what the side that connects has said.
#[derive(Debug)]
pub struct Recorder {
    /// Where it begins.
    pub address: SocketAddr,
    /// What was said through it, connection by connection.
    pub said: Arc<watch::Sender<Vec<Vec<u8>>>>,
}

impl Recorder {
    /// A recorder in front of an address.
    pub async fn to(target: SocketAddr) -> std::io::Result<Self> {
        let listener = tokio::net::TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await?;
        let address = listener.local_addr()?;
        let said = Arc::new(watch::Sender::new(Vec::new()));
        let keeps = Arc::clone(&said);
        tokio::spawn(async move {
            while let Ok((near, _)) = listener.accept().await {
                let keeps = Arc::clone(&keeps);
                let at = keeps.borrow().len();
                keeps.send_modify(|said: &mut Vec<Vec<u8>>| said.push(Vec::new()));
                tokio::spawn(async move {
                    // A connection that ends is what happens to connections.
                    let _ = record(near, target, &keeps, at).await;
                });
            }
        });
        Ok(Self { address, said })
    }
}

async fn record(
    near: tokio::net::TcpStream,
    target: SocketAddr,
    said: &watch::Sender<Vec<Vec<u8>>>,
    at: usize,
) -> std::io::Result<()> {
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    let far = tokio::net::TcpStream::connect(target).await?;
    let ((mut from_near, mut to_near), (mut from_far, mut to_far)) = (near.into_split(), far.into_split());
    let there = async {
        let mut chunk = vec![0; 16 * 1024];
        loop {
            let read = from_near.read(&mut chunk).await?;
            if read == 0 {
                return Ok::<_, std::io::Error>(());
            }
            to_far.write_all(&chunk[..read]).await?;
            said.send_modify(|said| said[at].extend_from_slice(&chunk[..read]));
        }
    };
    let back = async {
        tokio::io::copy(&mut from_far, &mut to_near).await?;
        Ok(())
    };
    tokio::select! {
        ended = there => ended,
        ended = back => ended,
    }
}
