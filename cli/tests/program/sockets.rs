//! The two sockets: the one that tells a page to look again, and the way in for links.

use crate::support::Program;
use futures_util::{SinkExt, StreamExt};
use tokio_tungstenite::connect_async;
use tokio_tungstenite::tungstenite::{Error, Message};

#[tokio::test]
async fn a_page_is_told_a_higher_revision_when_something_changes() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = Program::tablet(dir.path());
    let url = format!("ws://{}/api/changes?token={}", tablet.address, tablet.token);
    let (mut socket, _) = connect_async(url).await.unwrap();
    let mut next = async || -> u64 {
        let message = socket.next().await.unwrap().unwrap();
        message.to_text().unwrap().parse().unwrap()
    };
    let first = next().await;
    let answer = tablet
        .ask("POST", "/api/command", r#"{"set_me":{"name":"Ben Cole"}}"#)
        .unwrap();
    assert_eq!(answer.status, 200, "{answer:?}");
    assert!(next().await > first);
}

#[tokio::test]
async fn a_page_without_the_token_is_told_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = Program::tablet(dir.path());
    let refused = connect_async(format!("ws://{}/api/changes?token=0", tablet.address)).await;
    let Err(Error::Http(answer)) = refused else {
        panic!("the socket was opened");
    };
    assert_eq!(answer.status(), 401);
}

#[tokio::test]
async fn who_does_not_speak_the_links_language_is_dropped_and_the_tablet_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let tablet = Program::tablet(dir.path());
    let (mut socket, _) = connect_async(format!("ws://{}/link", tablet.address))
        .await
        .unwrap();
    socket.send(Message::text("let me in")).await.unwrap();
    // The tablet's own hello may come first; then the socket ends.
    while let Some(Ok(message)) = socket.next().await {
        assert!(message.is_binary() || message.is_close(), "{message:?}");
    }
    assert_eq!(tablet.ask("POST", "/api/view", "\"home\"").unwrap().status, 200);
}
