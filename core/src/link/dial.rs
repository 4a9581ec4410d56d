//! The side that connects: one address, tried again for as long as it is wanted.

use super::{CloseReason, Fault, LinkHost, run, ws};
use std::time::Duration;
use thiserror::Error;
use tokio::net::TcpStream;
use tokio::sync::watch;
use tokio::time::{Instant, timeout};
use tokio_tungstenite::tungstenite::client::IntoClientRequest;
use tokio_tungstenite::{WebSocketStream, client_async_with_config, tungstenite};
use tracing::debug;

/// The first pause before another try.
const SHORTEST: Duration = Duration::from_millis(250);

/// The longest pause: a crew that is back in reach does not wait.
const LONGEST: Duration = Duration::from_secs(5);

/// How long a connection may take to stand.
const CONNECT: Duration = Duration::from_secs(5);

/// A link that lasted this long was a good one: the pauses start small again.
const LASTED: Duration = Duration::from_secs(1);

/// How a dialer stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DialState {
    /// Switched off: no socket is open.
    Off,
    /// Connecting.
    Dialing,
    /// The socket is open. Whether the peer has said hello is told to the host.
    Open,
    /// Between tries.
    Waiting {
        /// Why the last try or link ended, as a stable code.
        code: &'static str,
    },
}

/// Keeps one outgoing link alive: connects, and connects again after a pause that grows to five seconds.
///
/// Dropping it ends the link.
#[derive(Debug)]
pub struct Dialer {
    off: watch::Sender<bool>,
    state: watch::Receiver<DialState>,
}

impl Dialer {
    /// Starts dialing an address such as `ws://192.168.1.4:8701/link`.
    ///
    /// Needs a tokio runtime around it.
    pub fn start<H: LinkHost>(host: H, address: impl Into<String>) -> Self {
        let (off, off_seen) = watch::channel(false);
        let (state_told, state) = watch::channel(DialState::Dialing);
        tokio::spawn(keep(host, address.into(), off_seen, state_told));
        Self { off, state }
    }

    /// Dials again after [`Dialer::hang_up`].
    pub fn dial(&self) {
        self.off.send_replace(false);
    }

    /// Ends the link and stays away. When this returns, no socket is open.
    pub async fn hang_up(&self) {
        self.off.send_replace(true);
        // The other end of the channel lives until this dialer is dropped.
        let _ = self
            .state
            .clone()
            .wait_for(|state| *state == DialState::Off)
            .await;
    }

    /// How it stands, now and from now on.
    pub fn state(&self) -> watch::Receiver<DialState> {
        self.state.clone()
    }
}

/// Dials until the dialer is dropped.
async fn keep<H: LinkHost>(
    host: H,
    address: String,
    mut off: watch::Receiver<bool>,
    state: watch::Sender<DialState>,
) {
    let mut pause = SHORTEST;
    loop {
        if *off.borrow_and_update() {
            state.send_replace(DialState::Off);
            pause = SHORTEST;
            if off.wait_for(|off| !*off).await.is_err() {
                return;
            }
        }
        state.send_replace(DialState::Dialing);
        let attempt = tokio::select! {
            attempt = timeout(CONNECT, connect(&address)) => attempt.unwrap_or(Err(DialError::Slow)),
            gone = switched_off(&mut off) => if gone { return } else { continue },
        };
        let code = match attempt {
            Ok(socket) => {
                state.send_replace(DialState::Open);
                let began = Instant::now();
                let reason = run(host.clone(), ws::tungstenite(socket), off.clone()).await;
                let ours = matches!(reason, CloseReason::Lost | CloseReason::Faulted(Fault::Silent));
                if ours && began.elapsed() >= LASTED {
                    pause = SHORTEST;
                }
                reason.code()
            }
            Err(error) => {
                debug!(address, %error, "could not connect");
                error.code()
            }
        };
        if off.has_changed().is_err() {
            return;
        }
        if *off.borrow() {
            continue;
        }
        state.send_replace(DialState::Waiting { code });
        tokio::select! {
            () = tokio::time::sleep(jittered(pause)) => {}
            gone = switched_off(&mut off) => if gone { return },
        }
        pause = (pause * 2).min(LONGEST);
    }
}

/// Waits until the dialer is switched off (false) or dropped (true).
async fn switched_off(off: &mut watch::Receiver<bool>) -> bool {
    off.wait_for(|off| *off).await.is_err()
}

/// Between half of the pause and all of it, so that a crew does not dial in step.
fn jittered(pause: Duration) -> Duration {
    // Without randomness the pause is merely not spread.
    let random = getrandom::u32().unwrap_or(u32::MAX);
    pause / 2 + (pause / 2).mul_f64(f64::from(random) / f64::from(u32::MAX))
}

/// Why a connection did not come to stand.
#[derive(Debug, Error)]
enum DialError {
    #[error("the address is not one of a WebSocket on a plain connection")]
    Address,
    #[error("nobody answers there: {0}")]
    Unreachable(#[from] std::io::Error),
    #[error("no link there: {0}")]
    NoLink(#[from] tungstenite::Error),
    #[error("no answer in time")]
    Slow,
}

impl DialError {
    fn code(&self) -> &'static str {
        match self {
            Self::Address => "bad_address",
            Self::Unreachable(_) => "unreachable",
            Self::NoLink(_) => "no_link",
            Self::Slow => "no_answer",
        }
    }
}

async fn connect(address: &str) -> Result<WebSocketStream<TcpStream>, DialError> {
    let request = address.into_client_request().map_err(|_| DialError::Address)?;
    let uri = request.uri();
    let (Some("ws"), Some(host)) = (uri.scheme_str(), uri.host()) else {
        return Err(DialError::Address);
    };
    let host = host.trim_start_matches('[').trim_end_matches(']');
    let tcp = TcpStream::connect((host, uri.port_u16().unwrap_or(80))).await?;
    tcp.set_nodelay(true)?;
    let (socket, _) = client_async_with_config(request, tcp, Some(ws::config())).await?;
    Ok(socket)
}
