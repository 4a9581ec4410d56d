//! Strangers at the port of a device that is linked to a crew mate.

use anyhow::{Context, Result};
use futures_util::{SinkExt, StreamExt};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message as Ws;
use tokio_tungstenite::{WebSocketStream, client_async};
use turnwise_core::journal::{BootId, Clock, DeviceId, JobId};
use turnwise_core::link::{
    Bundle, CloseReason, DeviceRole, Dialer, FRAME_CAP, Fault, Hello, Message, Offer, PROTOCOL, Ping,
};
use turnwise_tests::link::{Device, Served};
use uuid::Uuid;

/// A device with a crew mate on its one link, and a stranger's socket to it.
struct Scene {
    served: Device,
    port: Served,
    mate: Device,
    _dialer: Dialer,
    stranger: WebSocketStream<TcpStream>,
    job: JobId,
}

impl Scene {
    async fn set() -> Result<Self> {
        let (served, mate) = (Device::new("A"), Device::new("B"));
        let port = Served::start(&served).await?;
        let dialer = Dialer::start(mate.clone(), Served::url(port.address()));
        served.until(|held| held.is_here(mate.id())).await;
        let tcp = TcpStream::connect(port.address()).await?;
        let (stranger, _) = client_async(Served::url(port.address()), tcp).await?;
        Ok(Self {
            served,
            port,
            mate,
            _dialer: dialer,
            stranger,
            job: JobId(Uuid::now_v7()),
        })
    }

    /// The same, and the stranger has said a decent hello.
    async fn introduced() -> Result<Self> {
        let mut scene = Self::set().await?;
        scene.say(&Message::Hello(hello())).await?;
        Ok(scene)
    }

    async fn say(&mut self, message: &Message) -> Result<()> {
        self.send(Ws::Binary(message.encode().into())).await
    }

    async fn send(&mut self, message: Ws) -> Result<()> {
        self.stranger.send(message).await.context("the stranger speaks")
    }

    /// The stranger was dropped for this and told so; the crew mate's link lives on.
    async fn dropped_for(mut self, reason: CloseReason) -> Result<()> {
        assert_eq!(self.port.ended().await, Some(reason.clone()));
        let mut bye = None;
        while let Some(Ok(message)) = self.stranger.next().await {
            if let Ws::Binary(frame) = message
                && let Ok(Message::Bye(said)) = Message::decode(&frame)
            {
                bye = Some(said.code);
            }
        }
        assert_eq!(bye.as_deref(), Some(reason.code()));
        self.mate_is_still_linked().await
    }

    async fn mate_is_still_linked(&self) -> Result<()> {
        self.mate.note(self.job, "still here")?;
        self.served.until(|held| held.entries(self.job) == 1).await;
        assert!(self.served.held().is_here(self.mate.id()));
        Ok(())
    }
}

fn hello() -> Hello {
    let (device, boot) = (DeviceId(Uuid::now_v7()), BootId(Uuid::now_v7()));
    Hello::new(device, boot, DeviceRole::Tablet, "a stranger")
}

#[tokio::test]
async fn one_that_says_nothing_is_dropped() -> Result<()> {
    Scene::set()
        .await?
        .dropped_for(CloseReason::Faulted(Fault::HelloLate))
        .await
}

#[tokio::test]
async fn one_that_sends_garbage_is_dropped() -> Result<()> {
    let mut scene = Scene::introduced().await?;
    scene.send(Ws::Binary(vec![0xff; 100].into())).await?;
    scene.dropped_for(CloseReason::Faulted(Fault::Garbage)).await
}

#[tokio::test]
async fn one_that_sends_text_is_dropped() -> Result<()> {
    let mut scene = Scene::introduced().await?;
    scene.send(Ws::Text("{\"kind\":\"hello\"}".into())).await?;
    scene.dropped_for(CloseReason::Faulted(Fault::Garbage)).await
}

#[tokio::test]
async fn one_of_another_protocol_is_told_so() -> Result<()> {
    let mut scene = Scene::set().await?;
    let mut other = hello();
    other.protocol = PROTOCOL + 1;
    scene.say(&Message::Hello(other)).await?;
    scene
        .dropped_for(CloseReason::Faulted(Fault::ProtocolMismatch))
        .await
}

#[tokio::test]
async fn one_that_brings_what_nobody_asked_for_is_dropped() -> Result<()> {
    let mut scene = Scene::introduced().await?;
    let (job, clock, bytes) = (scene.job, Clock::new(), vec![1, 2, 3]);
    scene.say(&Message::Bundle(Bundle { job, clock, bytes })).await?;
    scene.dropped_for(CloseReason::Faulted(Fault::Unasked)).await
}

#[tokio::test]
async fn one_whose_changes_are_none_is_dropped_with_the_intakes_code() -> Result<()> {
    let mut scene = Scene::introduced().await?;
    let job = JobId(Uuid::now_v7());
    let jobs = vec![(job, [7; 16].into())];
    scene.say(&Message::Offer(Offer { jobs })).await?;
    loop {
        let Some(Ok(Ws::Binary(frame))) = scene.stranger.next().await else {
            continue;
        };
        if let Ok(Message::Want(_)) = Message::decode(&frame) {
            break;
        }
    }
    let (clock, bytes) = (Clock::new(), b"no change at all".to_vec());
    scene.say(&Message::Bundle(Bundle { job, clock, bytes })).await?;
    let reason = scene.port.ended().await.context("the link ended")?;
    assert!(matches!(reason, CloseReason::Refused { .. }), "{reason:?}");
    assert_eq!(scene.served.held().entries(job), 0);
    scene.mate_is_still_linked().await
}

#[tokio::test]
async fn a_message_over_the_cap_is_not_even_read() -> Result<()> {
    let mut scene = Scene::introduced().await?;
    // The other side may close before all of it is written.
    let _ = scene
        .stranger
        .send(Ws::Binary(vec![0; FRAME_CAP + 1].into()))
        .await;
    assert_eq!(scene.port.ended().await, Some(CloseReason::Lost));
    scene.mate_is_still_linked().await
}

#[tokio::test]
async fn one_that_talks_without_end_is_dropped() -> Result<()> {
    let mut scene = Scene::introduced().await?;
    let ping = Ws::Binary(Message::Ping(Ping {}).encode().into());
    // Until the other side has closed the socket.
    while scene.stranger.feed(ping.clone()).await.is_ok() {}
    assert_eq!(
        scene.port.ended().await,
        Some(CloseReason::Faulted(Fault::TooMuch))
    );
    scene.mate_is_still_linked().await
}
