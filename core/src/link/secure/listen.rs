//! The side that listens: who comes, and whether they are let in.

use super::door::Place;
use super::frames::Frames;
use super::host::CrewHost;
use super::pair;
use super::pairing::PAIR_FRAME_CAP;
use super::shared::{HANDSHAKE, Shared, refusal_of};
use super::tls::Purpose;
use super::{Fingerprint, Pinned};
use futures_util::{SinkExt, StreamExt};
use std::net::SocketAddr;
use std::sync::Arc;
use tokio::net::TcpStream;
use tokio::time::timeout;
use tokio_rustls::LazyConfigAcceptor;
use tokio_rustls::rustls::server::Acceptor;
use tokio_rustls::server::TlsStream;
use tokio_util::codec::Framed;

/// Somebody who has come in.
enum Guest {
    /// A crew mate, with the first frame of the link.
    Mate {
        pinned: Pinned,
        first: Vec<u8>,
        carriage: Framed<TlsStream<TcpStream>, Frames>,
    },
    /// Somebody who wants to pair.
    Pairing {
        fingerprint: Fingerprint,
        carriage: Framed<TlsStream<TcpStream>, Frames>,
    },
}

/// Serves one connection from its first byte to its end.
pub(super) async fn serve<H: CrewHost>(
    shared: Arc<Shared<H>>,
    tcp: TcpStream,
    from: SocketAddr,
    place: Place,
) {
    let guest = match timeout(HANDSHAKE, let_in(&shared, tcp)).await {
        Ok(Ok(guest)) => guest,
        Ok(Err(code)) => return shared.host.refused(from, code),
        Err(_) => return shared.host.refused(from, "handshake_late"),
    };
    match guest {
        Guest::Mate {
            pinned,
            first,
            carriage,
        } => {
            drop(place);
            let reason = shared.hold(&pinned, Some(first), carriage).await;
            tracing::debug!(code = reason.code(), "a crew mate's link ended: {reason}");
        }
        Guest::Pairing {
            fingerprint,
            mut carriage,
        } => {
            // Keeps the place at the door: one that pairs is a stranger until it has.
            if let Err(fault) = pair::show(&shared, fingerprint, &mut carriage).await {
                shared.host.refused(from, fault.code());
            }
        }
    }
}

async fn let_in<H: CrewHost>(shared: &Shared<H>, tcp: TcpStream) -> Result<Guest, &'static str> {
    tcp.set_nodelay(true).map_err(|_| "lost")?;
    let hello = LazyConfigAcceptor::new(Acceptor::default(), tcp)
        .await
        .map_err(|error| refusal_of(&error))?;
    let purpose = hello.client_hello().alpn().and_then(Purpose::named);
    let purpose = purpose.ok_or("no_purpose")?;
    if purpose == Purpose::Pair && shared.state.borrow().code.is_none() {
        return Err("no_code");
    }
    let stream = hello
        .into_stream(shared.tls.server(purpose))
        .await
        .map_err(|error| refusal_of(&error))?;
    let fingerprint = shown_by(stream.get_ref().1.peer_certificates()).ok_or("no_certificate")?;
    if purpose == Purpose::Pair {
        let carriage = Frames::up_to(PAIR_FRAME_CAP).over(stream);
        return Ok(Guest::Pairing {
            fingerprint,
            carriage,
        });
    }
    // Forgotten while it shook hands.
    let pinned = shared.pins.borrow().by_fingerprint(fingerprint).cloned();
    let pinned = pinned.ok_or("unpaired")?;
    let mut carriage = Frames::default().over(stream);
    // An empty frame says welcome: the one that connects tries several addresses at once and goes on with the first that
    // says so. Only then does it speak, and only then is the link one.
    carriage.send(Vec::new()).await.map_err(|_| "lost")?;
    match carriage.next().await {
        Some(Ok(first)) => Ok(Guest::Mate {
            pinned,
            first,
            carriage,
        }),
        Some(Err(error)) => Err(error.code()),
        None => Err("lost"),
    }
}

/// The fingerprint of the certificate that the other side has shown and proved.
pub(super) fn shown_by(
    certificates: Option<&[tokio_rustls::rustls::pki_types::CertificateDer<'_>]>,
) -> Option<Fingerprint> {
    certificates?
        .first()
        .map(|certificate| Fingerprint::of(certificate))
}
