//! Tablets that pair and link over TLS, and those that must be turned away.

use anyhow::{Context, Result};
use std::net::{Ipv4Addr, SocketAddr};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use turnwise_core::journal::JobId;
use turnwise_core::link::secure::pairing::{PairFault, TRIES};
use turnwise_core::link::secure::{Pins, STRANGERS_AN_ADDRESS};
use turnwise_tests::link::{Device, Mate, Recorder, random};
use uuid::Uuid;

/// Two tablets, one of which holds a job.
async fn two() -> Result<(Mate, Mate, JobId)> {
    let (ana, ben) = (Mate::new("Ana's tablet").await?, Mate::new("Ben's tablet").await?);
    let job = JobId(Uuid::now_v7());
    ana.device.note(job, "62 psi at the outlet")?;
    Ok((ana, ben, job))
}

async fn linked(one: &Mate, other: &Mate) {
    one.device.until(|held| held.is_here(other.device.id())).await;
    other.device.until(|held| held.is_here(one.device.id())).await;
}

/// Nothing of a job has reached a device, and nobody was ever linked to it.
fn holds_nothing(device: &Device, job: JobId) {
    let held = device.held();
    assert_eq!((held.entries(job), held.received), (0, 0));
}

fn wrong(code: &str) -> String {
    let number: u32 = code.parse().unwrap_or(0);
    format!("{:06}", (number + 1) % 1_000_000)
}

#[tokio::test]
async fn two_that_pair_by_a_code_are_linked_by_themselves_and_bring_each_other_up_to_date() -> Result<()> {
    let (ana, ben, job) = two().await?;
    let pinned = ben.pairs_with(&ana).await?;
    assert_eq!(
        (pinned.device, pinned.name.as_str()),
        (ana.device.id(), "Ana's tablet")
    );
    linked(&ana, &ben).await;
    ben.device.until(|held| held.entries(job) == 1).await;
    ben.device.note(job, "turned a quarter in")?;
    ana.device.until(|held| held.entries(job) == 2).await;
    let state = ana.net.control().state();
    assert!(
        state.borrow().code.is_none(),
        "a code that has paired two is gone"
    );
    Ok(())
}

#[tokio::test]
async fn three_in_a_chain_pass_entries_on() -> Result<()> {
    let (ana, ben, job) = two().await?;
    let cal = Mate::new("Cal's tablet").await?;
    ben.pairs_with(&ana).await?;
    cal.pairs_with(&ben).await?;
    cal.device.until(|held| held.entries(job) == 1).await;
    cal.device.note(job, "hydrant open")?;
    ana.device.until(|held| held.entries(job) == 2).await;
    assert!(
        !ana.device.held().is_here(cal.device.id()),
        "these two were never paired"
    );
    Ok(())
}

#[tokio::test]
async fn a_link_that_was_left_is_taken_up_again() -> Result<()> {
    let (ana, ben, job) = two().await?;
    ben.pairs_with(&ana).await?;
    linked(&ana, &ben).await;
    ana.leaves(true);
    ben.device.until(|held| !held.is_here(ana.device.id())).await;
    ana.net
        .control()
        .state()
        .wait_for(|state| state.listening.is_none())
        .await?;
    assert!(
        TcpStream::connect(ana.net.address()).await.is_err(),
        "its port is closed"
    );
    ben.device.note(job, "while away")?;
    ana.leaves(false);
    ana.device.until(|held| held.entries(job) == 2).await;
    Ok(())
}

#[tokio::test]
async fn a_tablet_that_was_never_paired_is_turned_away_and_hears_nothing() -> Result<()> {
    let (ana, stranger, job) = two().await?;
    stranger.pins_blindly(ana.device.id(), ana.key, ana.net.address())?;
    ana.has_refused("unpaired").await;
    holds_nothing(&stranger.device, job);
    assert!(!ana.device.held().is_here(stranger.device.id()));
    Ok(())
}

#[tokio::test]
async fn a_tablet_that_was_forgotten_is_a_stranger_at_once() -> Result<()> {
    let (ana, ben, job) = two().await?;
    ben.pairs_with(&ana).await?;
    ben.device.until(|held| held.entries(job) == 1).await;
    ana.forgets_all();
    ben.device.until(|held| !held.is_here(ana.device.id())).await;
    ana.device.note(job, "after that")?;
    ana.has_refused("unpaired").await;
    assert_eq!(ben.device.held().entries(job), 1);
    Ok(())
}

#[tokio::test]
async fn a_wrong_code_pairs_nobody_and_three_of_them_kill_the_code() -> Result<()> {
    let (ana, stranger, job) = two().await?;
    let code = ana.shows_a_code()?;
    for _ in 0..TRIES {
        let guessed = stranger.types(&wrong(&code), ana.net.address()).await;
        assert_eq!(guessed, Err(PairFault::WrongCode));
    }
    let dead = stranger.types(&code, ana.net.address()).await;
    assert_eq!(dead, Err(PairFault::CodeUsedUp));
    ana.has_refused("wrong_code").await;
    ana.has_refused("code_used_up").await;
    assert_eq!(*ana.pins.borrow(), Pins::default());
    assert_eq!(*stranger.pins.borrow(), Pins::default());
    holds_nothing(&stranger.device, job);
    Ok(())
}

#[tokio::test]
async fn without_a_code_on_its_screen_a_tablet_pairs_with_nobody() -> Result<()> {
    let (ana, stranger, _) = two().await?;
    let guessed = stranger.types("123456", ana.net.address()).await;
    assert_eq!(guessed, Err(PairFault::NoCode));
    ana.has_refused("no_code").await;
    Ok(())
}

#[tokio::test]
async fn a_code_that_is_too_old_pairs_nobody() -> Result<()> {
    let (ana, ben, _) = two().await?;
    ana.net.control().show_code([1; 8], std::time::Duration::ZERO)?;
    ana.net
        .control()
        .state()
        .wait_for(|state| state.code.is_none())
        .await?;
    assert_eq!(
        ben.types("123456", ana.net.address()).await,
        Err(PairFault::NoCode)
    );
    Ok(())
}

/// Somebody who stands between two tablets with certificates of their own.
#[tokio::test]
async fn a_code_typed_to_somebody_in_between_pairs_nobody() -> Result<()> {
    let (ana, ben, job) = two().await?;
    let between = Mate::new("In between").await?;
    let code = ana.shows_a_code()?;
    between
        .net
        .control()
        .show_code([0; 8], std::time::Duration::from_mins(1))?;
    // Ben's words end at the one in between, who does not know the code and can only guess it against Ana.
    let typed = ben.types(&code, between.net.address()).await;
    assert_eq!(typed, Err(PairFault::WrongCode));
    assert_eq!(*ben.pins.borrow(), Pins::default());
    holds_nothing(&between.device, job);
    Ok(())
}

/// The tablet was set up anew: it is the same device with another key.
#[tokio::test]
async fn the_key_that_a_tablet_had_before_is_turned_away() -> Result<()> {
    let (ana, old, job) = two().await?;
    let new = Mate::with_key(&old.device, random()).await?;
    new.pairs_with(&ana).await?;
    linked(&ana, &new).await;
    old.pins_blindly(ana.device.id(), ana.key, ana.net.address())?;
    ana.has_refused("unpaired").await;
    assert!(ana.pins.borrow().get(old.device.id()).is_some());
    assert_eq!(new.device.held().entries(job), 1);
    Ok(())
}

/// Otherwise whoever is paired could take the place of another crew mate.
#[tokio::test]
async fn a_device_that_is_paired_is_not_paired_again_under_another_key_until_it_is_forgotten() -> Result<()> {
    let (ana, ben, _) = two().await?;
    ben.pairs_with(&ana).await?;
    let other = Mate::with_key(&ben.device, random()).await?;
    assert_eq!(other.pairs_with(&ana).await, Err(PairFault::KnownOtherwise));
    ana.has_refused("known_otherwise").await;
    ana.forgets_all();
    other.pairs_with(&ana).await?;
    Ok(())
}

/// Its certificate was paired as one device, and its hello names another.
#[tokio::test]
async fn a_hello_in_another_devices_name_ends_the_link_before_anything_is_said() -> Result<()> {
    let (ana, spoofer, job) = two().await?;
    let paired_as = Device::new("Ben's tablet").id();
    spoofer.pins_blindly(ana.device.id(), ana.key, ana.net.address())?;
    ana.pins_blindly(paired_as, spoofer.key, spoofer.net.address())?;
    spoofer.device.until(|held| held.is_here(ana.device.id())).await;
    spoofer.device.until(|held| !held.is_here(ana.device.id())).await;
    assert!(!ana.device.held().is_here(spoofer.device.id()) && !ana.device.held().is_here(paired_as));
    holds_nothing(&spoofer.device, job);
    Ok(())
}

#[tokio::test]
async fn a_session_said_again_word_for_word_is_turned_away() -> Result<()> {
    let (ana, ben, job) = two().await?;
    ben.device.note(job, "pilot bled")?;
    let recorder = Recorder::to(ana.net.address()).await?;
    ana.pins_blindly(
        ben.device.id(),
        ben.key,
        SocketAddr::from((Ipv4Addr::LOCALHOST, 1)),
    )?;
    ben.pins_blindly(ana.device.id(), ana.key, recorder.address)?;
    ana.device.until(|held| held.entries(job) == 2).await;
    let said = recorder
        .said
        .borrow()
        .first()
        .cloned()
        .context("a session was recorded")?;
    let before = ana.refused.borrow().clone();
    assert_eq!(before, Vec::<&str>::new());

    let mut replay = TcpStream::connect(ana.net.address()).await?;
    // Its first record is the hello. What followed was said after the answer to it.
    let length = said.get(3..5).context("a record was recorded")?;
    let (hello, rest) = said.split_at(5 + usize::from(u16::from_be_bytes([length[0], length[1]])));
    replay.write_all(hello).await?;
    let mut heard = vec![0; 1];
    replay.read_exact(&mut heard).await?;
    replay.write_all(rest).await?;
    ana.has_refused("no_tls").await;
    // The answer to the recorded hello, sealed with keys that only its author has; then the end.
    replay.read_to_end(&mut heard).await.ok();
    assert!(!contains(&heard, b"62 psi"));
    assert_eq!(ana.device.held().entries(job), 2);
    Ok(())
}

fn contains(all: &[u8], part: &[u8]) -> bool {
    all.windows(part.len()).any(|window| window == part)
}

/// What travels is sealed: nothing of a job can be read on the way.
#[tokio::test]
async fn nothing_that_is_said_can_be_read_on_the_way() -> Result<()> {
    let (ana, ben, job) = two().await?;
    ben.device.note(job, "the words on the way")?;
    let recorder = Recorder::to(ana.net.address()).await?;
    ana.pins_blindly(
        ben.device.id(),
        ben.key,
        SocketAddr::from((Ipv4Addr::LOCALHOST, 1)),
    )?;
    ben.pins_blindly(ana.device.id(), ana.key, recorder.address)?;
    ana.device.until(|held| held.entries(job) == 2).await;
    let said = recorder.said.borrow().concat();
    assert!(said.len() > 500, "a session went through");
    assert!(!contains(&said, b"the words on the way") && !contains(&said, b"Ben's tablet"));
    Ok(())
}

#[tokio::test]
async fn strangers_that_say_nothing_are_few_and_are_dropped_and_the_crew_comes_in_meanwhile() -> Result<()> {
    let (ana, ben, job) = two().await?;
    let mut silent = Vec::new();
    for _ in 0..STRANGERS_AN_ADDRESS {
        silent.push(TcpStream::connect(ana.net.address()).await?);
    }
    let mut one_more = TcpStream::connect(ana.net.address()).await?;
    ana.has_refused("too_many_strangers").await;
    let mut nothing = Vec::new();
    assert_eq!(one_more.read_to_end(&mut nothing).await.unwrap_or(0), 0);
    // Ana dials: nobody at her door keeps her in.
    ana.pins_blindly(ben.device.id(), ben.key, ben.net.address())?;
    ben.pins_blindly(
        ana.device.id(),
        ana.key,
        SocketAddr::from((Ipv4Addr::LOCALHOST, 1)),
    )?;
    ben.device.until(|held| held.entries(job) == 1).await;
    ana.has_refused("handshake_late").await;
    Ok(())
}

#[tokio::test]
async fn bytes_that_are_no_handshake_are_turned_away() -> Result<()> {
    let (ana, _ben, _) = two().await?;
    let mut stranger = TcpStream::connect(ana.net.address()).await?;
    stranger
        .write_all(b"GET / HTTP/1.1\r\nHost: tablet\r\n\r\n")
        .await?;
    ana.has_refused("no_tls").await;
    let mut heard = Vec::new();
    stranger.read_to_end(&mut heard).await.ok();
    assert!(heard.len() < 16, "an alert at most");
    Ok(())
}
