//! The way in for links of other devices.

use axum::extract::State;
use axum::extract::ws::{Message, WebSocketUpgrade};
use axum::response::Response;
use tokio::sync::watch;
use turnwise_core::link::ws::{Carriage, Received};
use turnwise_core::link::{FRAME_CAP, LinkHost, run};

/// What a link needs: whose journals it is about, and when it ends.
#[derive(Clone)]
pub struct Links<H> {
    /// The owner of the journals.
    pub host: H,
    /// Ends every link when it becomes true.
    pub stop: watch::Receiver<bool>,
}

/// Takes a link: one frame in one binary message, none longer than the link's cap.
pub async fn link<H: LinkHost>(State(links): State<Links<H>>, upgrade: WebSocketUpgrade) -> Response {
    upgrade
        .max_message_size(FRAME_CAP)
        .max_frame_size(FRAME_CAP)
        .on_upgrade(async move |socket| {
            let carriage = Carriage::new(
                socket,
                |frame| Message::Binary(frame.into()),
                |message| match message {
                    Message::Binary(frame) => Received::Frame(frame.into()),
                    // No message of a link: the peer is dropped.
                    Message::Text(_) => Received::Frame(Vec::new()),
                    Message::Close(_) => Received::End,
                    Message::Ping(_) | Message::Pong(_) => Received::Skip,
                },
            );
            let reason = run(links.host, carriage, links.stop).await;
            tracing::debug!(code = reason.code(), "a link ended: {reason}");
        })
}

/// A watch that is true whenever either of two is.
pub fn either(mut one: watch::Receiver<bool>, mut other: watch::Receiver<bool>) -> watch::Receiver<bool> {
    let (told, seen) = watch::channel(false);
    tokio::spawn(async move {
        loop {
            let now = *one.borrow_and_update() || *other.borrow_and_update();
            told.send_if_modified(|told| std::mem::replace(told, now) != now);
            let changed = tokio::select! {
                changed = one.changed() => changed,
                changed = other.changed() => changed,
                () = told.closed() => return,
            };
            if changed.is_err() {
                // One of the two is gone for good: so is whatever they switch. Dropping the sender says so.
                return;
            }
        }
    });
    seen
}
