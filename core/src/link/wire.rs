//! Frames on their way in and out of one carriage, without either waiting for the other.

use futures_util::{Sink, Stream};
use std::collections::VecDeque;
use std::fmt::Display;
use std::future::poll_fn;
use std::pin::Pin;
use std::task::{Context, Poll};

/// A carriage and the frames that it has not yet taken.
///
/// The queue has no bound of its own: the session hands out only so much before it hears that frames have left.
pub(super) struct Wire<C> {
    carriage: C,
    queue: VecDeque<Vec<u8>>,
    /// Frames that the carriage has taken and not yet flushed.
    taken: usize,
}

/// What a wire has to say.
#[derive(Debug)]
pub(super) enum Event {
    /// A frame came.
    Frame(Vec<u8>),
    /// This many frames have left.
    Flushed(usize),
    /// The carriage has ended, or failed as the text says.
    Ended(Option<String>),
}

impl<C, E> Wire<C>
where
    C: Stream<Item = Result<Vec<u8>, E>> + Sink<Vec<u8>, Error = E> + Unpin,
    E: Display,
{
    pub(super) fn new(carriage: C) -> Self {
        Self {
            carriage,
            queue: VecDeque::new(),
            taken: 0,
        }
    }

    pub(super) fn send(&mut self, frame: Vec<u8>) {
        self.queue.push_back(frame);
    }

    /// The next thing that happens. Nothing is lost if the future is dropped before it is done.
    pub(super) async fn next(&mut self) -> Event {
        poll_fn(|cx| self.poll_next(cx)).await
    }

    /// Sends what is still queued and closes the carriage.
    pub(super) async fn finish(&mut self) -> Result<(), E> {
        poll_fn(|cx| match self.poll_write(cx) {
            Poll::Ready(Ok(())) => Pin::new(&mut self.carriage).poll_close(cx),
            other => other,
        })
        .await
    }

    fn poll_next(&mut self, cx: &mut Context<'_>) -> Poll<Event> {
        if self.taken > 0 || !self.queue.is_empty() {
            match self.poll_write(cx) {
                Poll::Ready(Ok(())) => return Poll::Ready(Event::Flushed(std::mem::take(&mut self.taken))),
                Poll::Ready(Err(error)) => return Poll::Ready(Event::Ended(Some(error.to_string()))),
                Poll::Pending => {}
            }
        }
        Pin::new(&mut self.carriage).poll_next(cx).map(|item| match item {
            Some(Ok(frame)) => Event::Frame(frame),
            Some(Err(error)) => Event::Ended(Some(error.to_string())),
            None => Event::Ended(None),
        })
    }

    /// Ready once the queue is empty and flushed.
    fn poll_write(&mut self, cx: &mut Context<'_>) -> Poll<Result<(), E>> {
        while !self.queue.is_empty() {
            match Pin::new(&mut self.carriage).poll_ready(cx) {
                Poll::Ready(Ok(())) => {}
                other => return other,
            }
            if let Some(frame) = self.queue.pop_front() {
                Pin::new(&mut self.carriage).start_send(frame)?;
                self.taken += 1;
            }
        }
        Pin::new(&mut self.carriage).poll_flush(cx)
    }
}
