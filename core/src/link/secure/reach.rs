//! The side that connects: a paired tablet, wherever it may be, for as long as it is paired.

use super::Pinned;
use super::frames::Frames;
use super::host::CrewHost;
use super::shared::{HANDSHAKE, Shared, failure_of, no_welcome};
use super::tls::nobody;
use crate::journal::DeviceId;
use crate::link::{CloseReason, Fault};
use futures_util::StreamExt;
use futures_util::stream::FuturesUnordered;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::time::{Instant, sleep, timeout};
use tokio_rustls::TlsConnector;
use tokio_rustls::client::TlsStream;
use tokio_util::codec::Framed;

/// The first pause before another try.
const SHORTEST: Duration = Duration::from_millis(250);

/// The longest: a crew that is back in reach does not wait.
const LONGEST: Duration = Duration::from_secs(5);

/// A link that lasted this long was a good one: the pauses start small again.
const LASTED: Duration = Duration::from_secs(1);

/// The next address is tried so long after the one before it (common practice: RFC 8305, section 5, recommends 250 ms).
const STAGGER: Duration = Duration::from_millis(250);

/// Of two tablets the one with the greater id lets the other connect first, so that not both do.
const PATIENCE: Duration = Duration::from_secs(1);

/// Addresses tried at most.
const ADDRESSES: usize = 12;

/// Keeps a link with one tablet until it is forgotten.
pub(super) async fn keep<H: CrewHost>(shared: Arc<Shared<H>>, device: DeviceId) {
    let own = shared.host.me().borrow().device;
    let mut links = shared.links.subscribe();
    let mut state = shared.state.subscribe();
    let mut pause = SHORTEST;
    loop {
        if *shared.stop.borrow() {
            return;
        }
        if links
            .wait_for(|links| !links.contains_key(&device))
            .await
            .is_err()
        {
            return;
        }
        if own > device && patience_rewarded(&shared, device).await {
            continue;
        }
        state.mark_unchanged();
        let Some(pinned) = shared.pins.borrow().get(device).cloned() else {
            return;
        };
        let addresses = candidates(&pinned, &state.borrow().addresses(pinned.fingerprint));
        match first_of(&shared, &pinned, &addresses).await {
            Ok(_) if shared.is_linked(device) => {
                // It came to us meanwhile.
            }
            Ok((address, carriage)) => {
                shared.host.reached(device, address);
                let began = Instant::now();
                let reason = shared.hold(&pinned, None, carriage).await;
                let ours = matches!(reason, CloseReason::Lost | CloseReason::Faulted(Fault::Silent));
                if ours && began.elapsed() >= LASTED {
                    pause = SHORTEST;
                }
                tracing::debug!(%device, code = reason.code(), "link ended: {reason}");
            }
            Err(code) => tracing::debug!(%device, code, "not reached"),
        }
        let mut links = shared.links.subscribe();
        tokio::select! {
            () = sleep(jittered(pause)) => pause = (pause * 2).min(LONGEST),
            // It announces itself somewhere new.
            _ = state.wait_for(|state| !same(&addresses, &candidates(&pinned, &state.addresses(pinned.fingerprint)))) => {
                pause = SHORTEST;
            }
            // It came to us.
            _ = links.wait_for(|links| links.contains_key(&device)) => pause = SHORTEST,
        }
    }
}

/// Whether the other tablet connects while this one waits.
async fn patience_rewarded<H: CrewHost>(shared: &Shared<H>, device: DeviceId) -> bool {
    let mut links = shared.links.subscribe();
    tokio::select! {
        () = sleep(PATIENCE) => false,
        came = links.wait_for(|links| links.contains_key(&device)) => came.is_ok(),
    }
}

/// Where to try: the address that was good last, what is announced, and what else is known.
fn candidates(pinned: &Pinned, announced: &[SocketAddr]) -> Vec<SocketAddr> {
    let (last, others) = match pinned.addresses.split_first() {
        Some((last, others)) => (Some(*last), others),
        None => (None, &[][..]),
    };
    let mut all: Vec<SocketAddr> = Vec::new();
    for address in last.iter().chain(announced).chain(others) {
        if !all.contains(address) && all.len() < ADDRESSES {
            all.push(*address);
        }
    }
    all
}

fn same(some: &[SocketAddr], others: &[SocketAddr]) -> bool {
    some.iter().all(|address| others.contains(address)) && others.iter().all(|address| some.contains(address))
}

type Reached = (SocketAddr, Framed<TlsStream<TcpStream>, Frames>);

/// The first address where the tablet itself says welcome. Or why the last that failed did.
async fn first_of<H: CrewHost>(
    shared: &Shared<H>,
    pinned: &Pinned,
    addresses: &[SocketAddr],
) -> Result<Reached, &'static str> {
    let mut tries = FuturesUnordered::new();
    for (at, &address) in (0u32..).zip(addresses) {
        tries.push(async move {
            sleep(STAGGER * at).await;
            timeout(HANDSHAKE, connect(shared, pinned, address))
                .await
                .unwrap_or(Err("no_answer"))
                .map(|carriage| (address, carriage))
        });
    }
    let mut why = "no_address";
    while let Some(tried) = tries.next().await {
        match tried {
            Ok(reached) => return Ok(reached),
            Err(code) => why = code,
        }
    }
    Err(why)
}

async fn connect<H: CrewHost>(
    shared: &Shared<H>,
    pinned: &Pinned,
    address: SocketAddr,
) -> Result<Framed<TlsStream<TcpStream>, Frames>, &'static str> {
    let tcp = TcpStream::connect(address).await.map_err(|_| "unreachable")?;
    tcp.set_nodelay(true).map_err(|_| "lost")?;
    let config = shared
        .tls
        .to_link(pinned.fingerprint)
        .map_err(|error| error.code())?;
    let name = nobody().map_err(|error| error.code())?;
    let stream = TlsConnector::from(config)
        .connect(name, tcp)
        .await
        .map_err(|error| failure_of(&error))?;
    let mut carriage = Frames::default().over(stream);
    match carriage.next().await {
        Some(Ok(welcome)) if welcome.is_empty() => Ok(carriage),
        Some(Ok(_)) => Err("no_welcome"),
        Some(Err(error)) => Err(no_welcome(&error)),
        None => Err("lost"),
    }
}

/// Between half of the pause and all of it, so that a crew does not dial in step.
fn jittered(pause: Duration) -> Duration {
    // Without randomness the pause is merely not spread.
    let random = getrandom::u32().unwrap_or(u32::MAX);
    pause / 2 + (pause / 2).mul_f64(f64::from(random) / f64::from(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::link::secure::Fingerprint;
    use uuid::Uuid;

    fn address(at: u8) -> SocketAddr {
        SocketAddr::from(([10, 0, 0, at], 4700))
    }

    #[test]
    fn the_last_good_address_comes_first_then_what_is_announced_then_the_rest() {
        let pinned = Pinned {
            device: DeviceId(Uuid::from_u128(1)),
            fingerprint: Fingerprint([1; 32]),
            name: String::new(),
            addresses: vec![address(1), address(2)],
        };
        assert_eq!(
            candidates(&pinned, &[address(3), address(1)]),
            [address(1), address(3), address(2)]
        );
        let many: Vec<_> = (10..200).map(address).collect();
        assert_eq!(candidates(&pinned, &many).len(), ADDRESSES);
    }

    #[test]
    fn addresses_in_another_order_are_no_news() {
        assert!(same(&[address(1), address(2)], &[address(2), address(1)]));
        assert!(!same(&[address(1)], &[address(2), address(1)]));
        assert!(!same(&[address(1), address(2)], &[address(2)]));
    }
}
