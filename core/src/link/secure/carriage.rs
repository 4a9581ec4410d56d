//! A carriage whose first frame was read ahead.

use futures_util::{Sink, Stream};
use std::pin::Pin;
use std::task::{Context, Poll};

/// Gives the frame that was read ahead, then what the carriage gives.
pub(super) struct Ahead<C> {
    first: Option<Vec<u8>>,
    carriage: C,
}

impl<C> Ahead<C> {
    pub(super) fn new(first: Option<Vec<u8>>, carriage: C) -> Self {
        Self { first, carriage }
    }
}

impl<C, E> Stream for Ahead<C>
where
    C: Stream<Item = Result<Vec<u8>, E>> + Unpin,
{
    type Item = Result<Vec<u8>, E>;

    fn poll_next(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        match self.first.take() {
            Some(first) => Poll::Ready(Some(Ok(first))),
            None => Pin::new(&mut self.carriage).poll_next(cx),
        }
    }
}

impl<C: Sink<Vec<u8>> + Unpin> Sink<Vec<u8>> for Ahead<C> {
    type Error = C::Error;

    fn poll_ready(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Result<(), C::Error>> {
        Pin::new(&mut self.carriage).poll_ready(cx)
    }

    fn start_send(mut self: Pin<&mut Self>, frame: Vec<u8>) -> Result<(), C::Error> {
        Pin::new(&mut self.carriage).start_send(frame)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Result<(), C::Error>> {
        Pin::new(&mut self.carriage).poll_flush(cx)
    }

    fn poll_close(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Result<(), C::Error>> {
        Pin::new(&mut self.carriage).poll_close(cx)
    }
}
