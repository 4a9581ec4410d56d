//! Tablets that share nothing but a cable: no default route, no server, no name that anybody hands out.
//!
//! Times are printed, for a person to read; none is asserted.

use anyhow::Result;
use std::io::Write;
use std::time::{Duration, Instant};
use turnwise_core::journal::JobId;
use turnwise_tests::network::{Cable, Place, Tablet, Wire};

const PROGRAM: &str = env!("CARGO_BIN_EXE_crew_tablet");

/// For how long the cable is out.
const PULLED: Duration = Duration::from_secs(8);

/// Past the test harness, which keeps what a passing test prints.
fn report(what: &str, took: Duration) {
    let line = format!("crew network: {what}: {} ms\n", took.as_millis());
    std::io::stderr().write_all(line.as_bytes()).ok();
}

struct Pair {
    job: JobId,
    ana: Tablet,
    ben: Tablet,
    cable: Cable,
    under: Place,
    above: Place,
    data: tempfile::TempDir,
}

/// Two on one cable, paired, with a job that both have.
fn pair() -> Result<Pair> {
    let (under, above) = (Place::new()?, Place::new()?);
    let cable = under.join("eth0", &above, "eth0")?;
    under.address("eth0", "10.77.0.1/24")?;
    above.address("eth0", "10.77.0.2/24")?;
    under.has_no_way_out()?;
    above.has_no_way_out()?;
    let data = tempfile::tempdir()?;
    let mut ana = Tablet::start(PROGRAM, &under, data.path().join("ana"), "Ana")?;
    let mut ben = Tablet::start(PROGRAM, &above, data.path().join("ben"), "Ben")?;
    let job = ana.opens_a_job()?;
    let began = Instant::now();
    ben.pairs_with(&mut ana)?;
    report("found, paired and linked", began.elapsed());
    ben.until_it_has(job, 1)?;
    Ok(Pair {
        job,
        ana,
        ben,
        cable,
        under,
        above,
        data,
    })
}

/// Both write, and both come to hold everything.
fn both_write(job: JobId, ana: &mut Tablet, ben: &mut Tablet) -> Result<()> {
    let before = ana.entries(job);
    for at in 0..5 {
        ana.notes(job, &format!("below, {at}"))?;
        ben.notes(job, &format!("above, {at}"))?;
    }
    ana.until_it_has(job, before + 10)?;
    ben.until_it_has(job, before + 10)?;
    nothing_is_only_here(job, ana)?;
    nothing_is_only_here(job, ben)
}

/// Each side has heard from the other that everything is durable there too.
fn nothing_is_only_here(job: JobId, tablet: &Tablet) -> Result<()> {
    tablet.until("all of it is with a crew mate", |view| {
        let card = view.jobs.iter().find(|card| card.job == job);
        card.is_some_and(|card| card.custody.only_here == 0)
    })?;
    Ok(())
}

#[test]
fn two_on_a_cable_find_each_other_pair_and_heal_what_happens_to_the_cable() -> Result<()> {
    let mut two = pair()?;
    let (job, ana, ben) = (two.job, &mut two.ana, &mut two.ben);

    let mut slowest = Duration::ZERO;
    for count in 2..22 {
        ana.notes(job, "62 psi at the outlet")?;
        slowest = slowest.max(ben.until_it_has(job, count)?);
    }
    report("slowest of 20 entries on the other screen", slowest);

    two.cable.pull()?;
    let pulled = Instant::now();
    ana.notes(job, "while the cable is out")?;
    ben.notes(job, "while the cable is out")?;
    ana.until_linked(ben, false)?;
    ben.until_linked(ana, false)?;
    report("cable out, noticed on both sides", pulled.elapsed());
    // The cable is out for as long as a person takes to find it.
    std::thread::sleep(PULLED.saturating_sub(pulled.elapsed()));
    two.cable.put_back()?;
    let back = Instant::now();
    ana.until_it_has(job, 23)?;
    ben.until_it_has(job, 23)?;
    report("cable back, both hold everything", back.elapsed());

    two.above.address("eth0", "10.77.0.99/24")?;
    let changed = Instant::now();
    both_write(job, ana, ben)?;
    report("address changed, both hold everything", changed.elapsed());
    two.above.has_no_way_out()?;

    // Ben's tablet dies while the cable is out: Ana's side of the connection stays open, and nobody is at the other end.
    two.cable.pull()?;
    two.ben = Tablet::start_again(&mut two.ben, PROGRAM, &two.above, two.data.path().join("ben"))?;
    two.cable.put_back()?;
    let began = Instant::now();
    both_write(job, &mut two.ana, &mut two.ben)?;
    report(
        "half-open connection given up, both hold everything",
        began.elapsed(),
    );
    two.under.has_no_way_out()?;
    Ok(())
}

#[test]
fn three_in_a_chain_pass_entries_on() -> Result<()> {
    let places = [Place::new()?, Place::new()?, Place::new()?];
    let [under, middle, above] = &places;
    under.join("eth0", middle, "eth0")?;
    middle.join("eth1", above, "eth0")?;
    under.address("eth0", "10.77.1.1/24")?;
    middle.address("eth0", "10.77.1.2/24")?;
    middle.address("eth1", "10.77.2.2/24")?;
    above.address("eth0", "10.77.2.1/24")?;
    for place in &places {
        place.has_no_way_out()?;
    }
    let data = tempfile::tempdir()?;
    let mut ana = Tablet::start(PROGRAM, under, data.path().join("ana"), "Ana")?;
    let mut ben = Tablet::start(PROGRAM, middle, data.path().join("ben"), "Ben")?;
    let mut cal = Tablet::start(PROGRAM, above, data.path().join("cal"), "Cal")?;
    let job = ana.opens_a_job()?;
    ben.pairs_with(&mut ana)?;
    cal.pairs_with(&mut ben)?;
    cal.until_it_has(job, 1)?;
    let began = Instant::now();
    cal.notes(job, "hydrant open")?;
    ana.until_it_has(job, 2)?;
    report(
        "an entry from one end of a chain of three to the other",
        began.elapsed(),
    );
    both_write(job, &mut ana, &mut cal)?;
    ben.until_it_has(job, 12)?;
    Ok(())
}

#[test]
fn over_a_wire_that_loses_every_tenth_frame_and_takes_300_ms_they_still_come_to_hold_everything() -> Result<()>
{
    let (under, above, between) = (Place::new()?, Place::new()?, Place::new()?);
    under.join("eth0", &between, "lower")?;
    above.join("eth0", &between, "upper")?;
    under.address("eth0", "10.77.3.1/24")?;
    above.address("eth0", "10.77.3.2/24")?;
    Wire::makes_plain(&under, "eth0")?;
    Wire::makes_plain(&above, "eth0")?;
    let mut wire = Wire::between(&between, &["lower", "upper"])?;
    let data = tempfile::tempdir()?;
    let mut ana = Tablet::start(PROGRAM, &under, data.path().join("ana"), "Ana")?;
    let mut ben = Tablet::start(PROGRAM, &above, data.path().join("ben"), "Ben")?;
    let job = ana.opens_a_job()?;
    ben.pairs_with(&mut ana)?;
    ben.until_it_has(job, 1)?;

    wire.loses(10, 300)?;
    let began = Instant::now();
    for _ in 0..3 {
        both_write(job, &mut ana, &mut ben)?;
    }
    report("30 entries over 10 % loss and 300 ms each way", began.elapsed());

    wire.loses(100, 0)?;
    ana.until_linked(&ben, false)?;
    ben.until_linked(&ana, false)?;
    wire.loses(10, 300)?;
    let began = Instant::now();
    both_write(job, &mut ana, &mut ben)?;
    report("linked again over 10 % loss and 300 ms each way", began.elapsed());
    Ok(())
}
