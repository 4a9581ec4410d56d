//! The socket that tells a page to look again.

use axum::extract::ws::{Message, WebSocket};
use futures_util::StreamExt;
use tokio::sync::watch;

/// Sends the revision at once and then whenever it moves, until the page leaves or the server stops. What
/// moves while a page is slow is told once.
pub async fn changes(
    mut socket: WebSocket,
    mut revisions: watch::Receiver<u64>,
    mut stopping: watch::Receiver<bool>,
) {
    revisions.mark_changed();
    loop {
        tokio::select! {
            moved = revisions.changed() => {
                if moved.is_err() {
                    break;
                }
                let revision = *revisions.borrow_and_update();
                if socket.send(Message::text(revision.to_string())).await.is_err() {
                    break;
                }
            }
            heard = socket.next() => match heard {
                // A page has nothing to say here; pings are answered below this.
                Some(Ok(Message::Ping(_) | Message::Pong(_))) => {}
                _ => break,
            },
            () = stopped(&mut stopping) => break,
        }
    }
    // The page may be gone already; there is nobody to tell.
    let _ = socket.send(Message::Close(None)).await;
}

/// Returns when the server stops, or is gone.
async fn stopped(stopping: &mut watch::Receiver<bool>) {
    // An error means that the server is gone.
    let _ = stopping.wait_for(|stopping| *stopping).await;
}
