//! Two devices over real sockets that are really closed, held up and opened again.

use anyhow::{Context, Result};
use tokio::net::TcpListener;
use tokio_tungstenite::accept_async;
use turnwise_core::journal::JobId;
use turnwise_core::link::{CloseReason, DialState, Dialer, Fault};
use turnwise_tests::link::{Cable, Device, Served};
use uuid::Uuid;

/// Two devices, the first dialing the second through a cable.
struct Crew {
    dialing: Device,
    served: Device,
    port: Served,
    cable: Cable,
    dialer: Dialer,
    job: JobId,
}

impl Crew {
    async fn linked() -> Result<Self> {
        let (dialing, served) = (Device::new("A"), Device::new("B"));
        let port = Served::start(&served).await?;
        let cable = Cable::to(port.address()).await?;
        let dialer = Dialer::start(dialing.clone(), Served::url(cable.address()));
        let crew = Self {
            dialing,
            served,
            port,
            cable,
            dialer,
            job: JobId(Uuid::now_v7()),
        };
        crew.in_reach().await;
        Ok(crew)
    }

    async fn in_reach(&self) {
        self.dialing.until(|held| held.is_here(self.served.id())).await;
        self.served.until(|held| held.is_here(self.dialing.id())).await;
    }

    async fn out_of_reach(&self) {
        self.dialing.until(|held| !held.is_here(self.served.id())).await;
        self.served.until(|held| !held.is_here(self.dialing.id())).await;
    }

    /// Both hold this many entries, and each believes it of the other.
    async fn both_hold(&self, entries: u64) {
        for (device, peer) in [(&self.dialing, &self.served), (&self.served, &self.dialing)] {
            device.until(|held| held.entries(self.job) == entries).await;
            let all = device.held().clock(self.job);
            device
                .until(|held| held.believes(peer.id(), self.job) == all)
                .await;
        }
    }
}

/// 8 KB of words that no bundle makes much smaller, so that they take many.
fn incompressible(seed: u32) -> String {
    let word = |at: u32| {
        Uuid::new_v5(
            &Uuid::NAMESPACE_OID,
            &[seed.to_be_bytes(), at.to_be_bytes()].concat(),
        )
    };
    (0..250).map(|at| word(at).simple().to_string()).collect()
}

#[tokio::test]
async fn a_change_made_while_linked_is_on_the_other_device() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.dialing.note(crew.job, "from the one that dials")?;
    crew.both_hold(1).await;
    crew.served.note(crew.job, "from the one that is dialed")?;
    crew.both_hold(2).await;
    Ok(())
}

#[tokio::test]
async fn what_was_made_while_the_sockets_were_closed_is_on_both_when_they_are_open_again() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.dialing.note(crew.job, "together")?;
    crew.both_hold(1).await;
    crew.cable.cut().await;
    crew.out_of_reach().await;
    for at in 0..20 {
        crew.dialing.note(crew.job, &format!("below, {at}"))?;
        crew.served.note(crew.job, &format!("above, {at}"))?;
    }
    assert_eq!(
        crew.served.held().entries(crew.job),
        21,
        "nothing crosses a cut cable"
    );
    crew.cable.mend().await;
    crew.both_hold(41).await;
    Ok(())
}

#[tokio::test]
async fn cut_in_the_middle_of_a_large_delivery_it_goes_on() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.cable.cut().await;
    crew.out_of_reach().await;
    for at in 0..80 {
        crew.dialing.note(crew.job, &incompressible(at))?;
    }
    crew.served.hold_commits();
    let mut there = 0;
    for _ in 0..3 {
        crew.cable.mend().await;
        crew.served.let_one_commit();
        crew.served.until(|held| held.entries(crew.job) > there).await;
        crew.cable.cut().await;
        crew.out_of_reach().await;
        there = crew.served.held().entries(crew.job);
        assert!(there < 80, "it was cut in the middle");
    }
    crew.served.let_commit();
    crew.cable.mend().await;
    crew.both_hold(80).await;
    Ok(())
}

#[tokio::test]
async fn hanging_up_closes_the_socket_and_dialing_again_links_again() -> Result<()> {
    let mut crew = Crew::linked().await?;
    crew.dialer.hang_up().await;
    assert_eq!(*crew.dialer.state().borrow(), DialState::Off);
    crew.out_of_reach().await;
    let left = CloseReason::PeerLeft {
        code: "stopped".to_owned(),
    };
    assert_eq!(crew.port.ended().await, Some(left));
    crew.dialing.note(crew.job, "alone")?;
    crew.served.note(crew.job, "alone as well")?;
    assert_eq!(crew.served.held().entries(crew.job), 1);
    crew.dialer.dial();
    crew.both_hold(2).await;
    Ok(())
}

#[tokio::test]
async fn after_hanging_up_the_other_side_reads_the_end_of_the_socket() -> Result<()> {
    use tokio::io::AsyncReadExt;
    let listener = TcpListener::bind("127.0.0.1:0").await?;
    let dialer = Dialer::start(Device::new("A"), Served::url(listener.local_addr()?));
    let (tcp, _) = listener.accept().await?;
    let mut socket = accept_async(tcp).await?;
    dialer.state().wait_for(|state| *state == DialState::Open).await?;
    dialer.hang_up().await;
    let mut rest = Vec::new();
    socket.get_mut().read_to_end(&mut rest).await?;
    Ok(())
}

#[tokio::test]
async fn dropping_the_dialer_ends_the_link() -> Result<()> {
    let mut crew = Crew::linked().await?;
    drop(crew.dialer);
    let left = CloseReason::PeerLeft {
        code: "stopped".to_owned(),
    };
    assert_eq!(crew.port.ended().await, Some(left));
    Ok(())
}

#[tokio::test]
async fn a_server_that_stops_is_dialed_until_it_is_back() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.port.stop();
    crew.out_of_reach().await;
    let mut state = crew.dialer.state();
    let waiting = |state: &DialState| matches!(state, DialState::Waiting { .. });
    state.wait_for(waiting).await?;
    Ok(())
}

#[tokio::test]
async fn nobody_at_the_address_is_no_reason_to_give_up() -> Result<()> {
    let (dialing, served) = (Device::new("A"), Device::new("B"));
    let port = Served::start(&served).await?;
    let cable = Cable::to(port.address()).await?;
    cable.cut().await;
    let dialer = Dialer::start(dialing.clone(), Served::url(cable.address()));
    let waiting = |state: &DialState| matches!(state, DialState::Waiting { .. });
    dialer.state().wait_for(waiting).await?;
    cable.mend().await;
    dialing.until(|held| held.is_here(served.id())).await;
    Ok(())
}

#[tokio::test]
async fn an_address_that_is_none_is_named_as_such() -> Result<()> {
    for address in [
        "",
        "http://127.0.0.1:1/link",
        "wss://127.0.0.1:1/link",
        "no address",
    ] {
        let dialer = Dialer::start(Device::new("A"), address);
        let mut state = dialer.state();
        let waiting = state
            .wait_for(|state| matches!(state, DialState::Waiting { .. }))
            .await?;
        assert_eq!(*waiting, DialState::Waiting { code: "bad_address" }, "{address}");
    }
    Ok(())
}

#[tokio::test]
async fn a_link_on_which_nothing_comes_is_dropped_by_both_sides_and_heals() -> Result<()> {
    let mut crew = Crew::linked().await?;
    crew.cable.silence().await;
    crew.dialing.note(crew.job, "into the void")?;
    crew.out_of_reach().await;
    assert_eq!(crew.port.ended().await, Some(CloseReason::Faulted(Fault::Silent)));
    assert!(
        crew.dialing
            .held()
            .believes(crew.served.id(), crew.job)
            .is_empty()
    );
    crew.cable.mend().await;
    crew.both_hold(1).await;
    Ok(())
}

#[tokio::test]
async fn a_receiver_killed_between_receipt_and_commit_is_not_believed_to_hold_anything() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.served.hold_commits();
    crew.dialing.note(crew.job, "received and not committed")?;
    crew.served.until(|held| held.received == 1).await;
    crew.port.kill();
    crew.out_of_reach().await;
    assert!(
        crew.dialing
            .held()
            .believes(crew.served.id(), crew.job)
            .is_empty()
    );
    assert_eq!(crew.served.held().entries(crew.job), 0);
    Ok(())
}

#[tokio::test]
async fn a_receipt_comes_after_the_commit() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.served.hold_commits();
    crew.dialing.note(crew.job, "received")?;
    crew.served.until(|held| held.received == 1).await;
    assert!(
        crew.dialing
            .held()
            .believes(crew.served.id(), crew.job)
            .is_empty()
    );
    crew.served.let_commit();
    crew.both_hold(1).await;
    Ok(())
}

#[tokio::test]
async fn three_in_a_chain_pass_entries_on() -> Result<()> {
    let crew = Crew::linked().await?;
    let third = Device::new("C");
    let _dialer = Dialer::start(third.clone(), Served::url(crew.port.address()));
    third.note(crew.job, "from the end of the chain")?;
    crew.both_hold(1).await;
    crew.dialing.note(crew.job, "from the other end")?;
    crew.both_hold(2).await;
    third.until(|held| held.entries(crew.job) == 2).await;
    assert_eq!(third.held().clock(crew.job), crew.dialing.held().clock(crew.job));
    Ok(())
}

#[tokio::test]
async fn clocks_are_compared_on_every_link() -> Result<()> {
    let crew = Crew::linked().await?;
    let (one, other) = (crew.dialing.id(), crew.served.id());
    crew.dialing
        .until(|held| held.measured.contains_key(&other))
        .await;
    crew.served.until(|held| held.measured.contains_key(&one)).await;
    Ok(())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn five_thousand_entries_apart_on_either_side_they_meet() -> Result<()> {
    let crew = Crew::linked().await?;
    crew.cable.cut().await;
    crew.out_of_reach().await;
    for at in 0..5_000 {
        crew.dialing.note(crew.job, &format!("below, {at}"))?;
        crew.served.note(crew.job, &format!("above, {at}"))?;
    }
    let before = crew.cable.carried();
    crew.cable.mend().await;
    crew.both_hold(10_000).await;
    assert_eq!(crew.dialing.folded(crew.job), (10_000, 0));
    let carried = crew.cable.carried() - before;
    println!("2 x 5,000 entries: {carried} bytes carried");
    Ok(())
}

#[tokio::test]
async fn a_link_to_oneself_is_refused() -> Result<()> {
    let device = Device::new("A");
    let mut port = Served::start(&device).await?;
    let _dialer = Dialer::start(device.clone(), Served::url(port.address()));
    let reason = port.ended().await.context("a link ended")?;
    let refused = CloseReason::Faulted(Fault::OwnDevice);
    let told = CloseReason::PeerLeft {
        code: "own_device".to_owned(),
    };
    assert!(reason == refused || reason == told, "{reason:?}");
    Ok(())
}
