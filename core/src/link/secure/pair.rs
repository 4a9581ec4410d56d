//! Pairing over a connection: the two sides of [`super::pairing`] with sockets and clocks.

use super::frames::Frames;
use super::host::CrewHost;
use super::listen::shown_by;
use super::pairing::{Binding, Card, PAIR_FRAME_CAP, PairFault, Shower, ShownCode, Typer, refusal};
use super::shared::{HANDSHAKE, Shared};
use super::tls::nobody;
use super::{Fingerprint, Pinned};
use futures_util::{SinkExt, StreamExt};
use std::net::SocketAddr;
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::TcpStream;
use tokio::time::timeout;
use tokio_rustls::{TlsConnector, client, server};
use tokio_util::codec::Framed;

/// How long the words of a pairing may take, after the handshake. Nobody types meanwhile.
const WORDS: Duration = Duration::from_secs(10);

/// What TLS exports for a pairing.
const EXPORTER: &[u8] = b"EXPORTER-turnwise-pairing-1";

/// The side that shows the code.
pub(super) async fn show<H: CrewHost>(
    shared: &Shared<H>,
    typer: Fingerprint,
    carriage: &mut Framed<server::TlsStream<TcpStream>, Frames>,
) -> Result<(), PairFault> {
    let exporter = carriage
        .get_ref()
        .get_ref()
        .1
        .export_keying_material([0; 32], EXPORTER, None)
        .map_err(|_| PairFault::Garbage)?;
    let binding = Binding {
        typer,
        shower: shared.tls.fingerprint(),
        exporter,
    };
    let shown = timeout(WORDS, showing(shared, binding, carriage)).await;
    let shown = shown.unwrap_or(Err(PairFault::Late));
    if let Err(fault) = shown {
        // It may be gone already, and what it is told it need not hear.
        let told = timeout(WORDS, carriage.send(refusal(fault))).await;
        tracing::debug!(?told, code = fault.code(), "a pairing was refused");
    }
    shown
}

async fn showing<H: CrewHost>(
    shared: &Shared<H>,
    binding: Binding,
    carriage: &mut Framed<server::TlsStream<TcpStream>, Frames>,
) -> Result<(), PairFault> {
    let first = heard(carriage).await?;
    let random = random()?;
    let (me, now_ms) = (card(shared), shared.now_ms());
    let mut opened = Err(PairFault::NoCode);
    shared.state.send_if_modified(|state| {
        let before = state.code.as_ref().map(ShownCode::tries_left);
        opened = Shower::open(state.code.as_mut(), now_ms, me, binding, random, &first);
        before != state.code.as_ref().map(ShownCode::tries_left)
    });
    let (shower, answer) = opened?;
    say(carriage, answer).await?;
    let proof = heard(carriage).await?;
    let now_ms = shared.now_ms();
    let mut proved = Err(PairFault::NoCode);
    // A code that has paired two is used up.
    shared.state.send_if_modified(|state| {
        proved = shower.proved(state.code.as_ref(), now_ms, &proof);
        proved.is_ok() && state.code.take().is_some()
    });
    let (card, proof) = proved?;
    keep(shared, card, binding.typer, None).await?;
    say(carriage, proof).await
}

/// The side that types the code, which it connects to.
pub(super) async fn enter<H: CrewHost>(
    shared: &Shared<H>,
    code: &str,
    address: SocketAddr,
) -> Result<Pinned, PairFault> {
    let stream = timeout(HANDSHAKE, connect(shared, address))
        .await
        .map_err(|_| PairFault::Late)??;
    let session = stream.get_ref().1;
    let shower = shown_by(session.peer_certificates()).ok_or(PairFault::Garbage)?;
    let exporter = session
        .export_keying_material([0; 32], EXPORTER, None)
        .map_err(|_| PairFault::Garbage)?;
    let binding = Binding {
        typer: shared.tls.fingerprint(),
        shower,
        exporter,
    };
    let mut carriage = Frames::up_to(PAIR_FRAME_CAP).over(stream);
    let words = async {
        let (typer, first) = Typer::begin(code, card(shared), binding, random()?)?;
        say(&mut carriage, first).await?;
        let (typer, proof) = typer.answered(&heard(&mut carriage).await?)?;
        say(&mut carriage, proof).await?;
        let card = typer.finish(&heard(&mut carriage).await?)?;
        keep(shared, card, shower, Some(address)).await
    };
    timeout(WORDS, words).await.map_err(|_| PairFault::Late)?
}

async fn connect<H: CrewHost>(
    shared: &Shared<H>,
    address: SocketAddr,
) -> Result<client::TlsStream<TcpStream>, PairFault> {
    let tcp = TcpStream::connect(address)
        .await
        .map_err(|_| PairFault::Unreachable)?;
    tcp.set_nodelay(true).map_err(|_| PairFault::Lost)?;
    let config = shared.tls.to_pair().map_err(|_| PairFault::Garbage)?;
    let name = nobody().map_err(|_| PairFault::Garbage)?;
    // A listener that shows no code hangs up here.
    TlsConnector::from(config)
        .connect(name, tcp)
        .await
        .map_err(|error| {
            tracing::debug!(%error, "no handshake for pairing");
            PairFault::NoCode
        })
}

/// Keeps a pairing that both sides have proved, unless it contradicts one that is kept.
async fn keep<H: CrewHost>(
    shared: &Shared<H>,
    card: Card,
    fingerprint: Fingerprint,
    address: Option<SocketAddr>,
) -> Result<Pinned, PairFault> {
    let pins = shared.pins.borrow().clone();
    let otherwise = pins
        .get(card.device)
        .is_some_and(|known| known.fingerprint != fingerprint)
        || pins
            .by_fingerprint(fingerprint)
            .is_some_and(|known| known.device != card.device);
    if otherwise {
        return Err(PairFault::KnownOtherwise);
    }
    let mut addresses: Vec<SocketAddr> = address.into_iter().collect();
    let known = pins.get(card.device).into_iter();
    addresses.extend(known.flat_map(|known| known.addresses.iter().copied()));
    addresses.dedup();
    let pinned = Pinned {
        device: card.device,
        fingerprint,
        name: card.name,
        addresses,
    };
    shared
        .host
        .paired(pinned.clone())
        .await
        .map_err(|_| PairFault::NotKept)?;
    Ok(pinned)
}

fn card<H: CrewHost>(shared: &Shared<H>) -> Card {
    let me = shared.host.me();
    let me = me.borrow();
    Card {
        device: me.device,
        name: me.name.clone(),
    }
}

fn random() -> Result<[u8; 32], PairFault> {
    let mut random = [0; 32];
    getrandom::fill(&mut random).map_err(|_| PairFault::NotKept)?;
    Ok(random)
}

async fn heard<S: AsyncRead + AsyncWrite + Unpin>(
    carriage: &mut Framed<S, Frames>,
) -> Result<Vec<u8>, PairFault> {
    match carriage.next().await {
        Some(Ok(frame)) => Ok(frame),
        Some(Err(error)) if error.code() == "too_long" => Err(PairFault::Garbage),
        Some(Err(_)) | None => Err(PairFault::Lost),
    }
}

async fn say<S: AsyncRead + AsyncWrite + Unpin>(
    carriage: &mut Framed<S, Frames>,
    frame: Vec<u8>,
) -> Result<(), PairFault> {
    carriage.send(frame).await.map_err(|_| PairFault::Lost)
}
