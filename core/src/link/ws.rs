//! Frames in a WebSocket: one binary message each.
//!
//! Whoever opens the socket sets its largest message to [`FRAME_CAP`] ([`config`] does), and `TCP_NODELAY`: a live
//! entry is a short message and must not wait for the next.

use super::FRAME_CAP;
use futures_util::{Sink, Stream};
use std::pin::Pin;
use std::task::{Context, Poll, ready};
use tokio_tungstenite::tungstenite::{self, protocol::WebSocketConfig};

/// What a message of a WebSocket is to the link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Received {
    /// A frame: a binary message.
    Frame(Vec<u8>),
    /// The socket's own business, such as its pings.
    Skip,
    /// The other side closes.
    End,
}

/// A WebSocket of any library as a carriage for [`super::run`].
///
/// With axum, whose `Message` has the same cases as tungstenite's, on a socket whose upgrade was given
/// `max_message_size(FRAME_CAP)`:
///
/// ```text
/// Carriage::new(
///     socket,
///     |frame| Message::Binary(frame.into()),
///     |message| match message {
///         Message::Binary(frame) => Received::Frame(frame.into()),
///         Message::Text(_) => Received::Frame(Vec::new()), // no message of the link: the peer is dropped
///         Message::Close(_) => Received::End,
///         Message::Ping(_) | Message::Pong(_) => Received::Skip,
///     },
/// )
/// ```
#[derive(Debug)]
pub struct Carriage<S, M> {
    socket: S,
    wrap: fn(Vec<u8>) -> M,
    unwrap: fn(M) -> Received,
}

impl<S, M> Carriage<S, M> {
    /// A carriage over an open socket; the two functions go between frames and the library's messages.
    pub fn new(socket: S, wrap: fn(Vec<u8>) -> M, unwrap: fn(M) -> Received) -> Self {
        Self { socket, wrap, unwrap }
    }
}

impl<S, M, E> Stream for Carriage<S, M>
where
    S: Stream<Item = Result<M, E>> + Unpin,
{
    type Item = Result<Vec<u8>, E>;

    fn poll_next(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        loop {
            let Some(message) = ready!(Pin::new(&mut self.socket).poll_next(cx)) else {
                return Poll::Ready(None);
            };
            match message.map(self.unwrap) {
                Ok(Received::Frame(frame)) => return Poll::Ready(Some(Ok(frame))),
                Ok(Received::Skip) => {}
                Ok(Received::End) => return Poll::Ready(None),
                Err(error) => return Poll::Ready(Some(Err(error))),
            }
        }
    }
}

impl<S, M> Sink<Vec<u8>> for Carriage<S, M>
where
    S: Sink<M> + Unpin,
{
    type Error = S::Error;

    fn poll_ready(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Result<(), S::Error>> {
        Pin::new(&mut self.socket).poll_ready(cx)
    }

    fn start_send(mut self: Pin<&mut Self>, frame: Vec<u8>) -> Result<(), S::Error> {
        let message = (self.wrap)(frame);
        Pin::new(&mut self.socket).start_send(message)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Result<(), S::Error>> {
        Pin::new(&mut self.socket).poll_flush(cx)
    }

    fn poll_close(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Result<(), S::Error>> {
        Pin::new(&mut self.socket).poll_close(cx)
    }
}

/// A socket of tokio-tungstenite, either side, as a carriage.
pub fn tungstenite<S>(socket: S) -> Carriage<S, tungstenite::Message> {
    Carriage::new(
        socket,
        |frame| tungstenite::Message::Binary(frame.into()),
        |message| match message {
            tungstenite::Message::Binary(frame) => Received::Frame(frame.into()),
            tungstenite::Message::Text(_) => Received::Frame(Vec::new()),
            tungstenite::Message::Close(_) => Received::End,
            tungstenite::Message::Ping(_)
            | tungstenite::Message::Pong(_)
            | tungstenite::Message::Frame(_) => Received::Skip,
        },
    )
}

/// The settings of a tokio-tungstenite socket that carries a link: no message longer than a frame.
pub fn config() -> WebSocketConfig {
    WebSocketConfig::default()
        .max_message_size(Some(FRAME_CAP))
        .max_frame_size(Some(FRAME_CAP))
}
