//! Two tablets and an office write, part and meet again.

use crate::support::*;
use turnwise_core::journal::limits::{ENTRY_LIMIT, FRAME_LIMIT};
use turnwise_core::journal::*;

#[test]
fn two_tablets_that_met_say_the_same_and_keep_both_of_two_different_states() {
    let mut office = Tablet::new(1, "Office");
    let mut a = Tablet::new(2, "Ana");
    let mut b = Tablet::new(3, "Ben");
    office.open();
    a.hear(&office);
    b.hear(&office);
    let open = a.say(stands("downstream_block", Position::Open, vec![]));
    let shut = b.say(stands("downstream_block", Position::Shut, vec![]));
    meet(&mut a, &mut b);
    assert_eq!(a.journal.clock(), b.journal.clock());
    assert_eq!(a.journal.heads(), b.journal.heads());
    let state = a.journal.state();
    assert_eq!(state.canonical(), b.journal.state().canonical());
    let Stand::Disagreed(both) = state.position(VALVE, "downstream_block") else {
        panic!("the tablets differ and nobody was told");
    };
    assert_eq!(both.len(), 2);

    let replaces = state.standing_ids(&register("downstream_block"));
    assert!(replaces.contains(&open) && replaces.contains(&shut));
    a.say(settled("downstream_block", Position::Throttled, replaces));
    meet(&mut a, &mut b);
    assert_eq!(
        b.journal.state().position(VALVE, "downstream_block").agreed(),
        Some(&Some(Position::Throttled))
    );
    assert_eq!(a.journal.state().canonical(), b.journal.state().canonical());
}

#[test]
fn a_journal_loads_from_its_rows_in_any_order_and_goes_on() {
    let mut tablet = Tablet::new(1, "Ana");
    let mut rows = Vec::new();
    for number in 0..50 {
        let entry = tablet.entry(note(&format!("note {number}")));
        let row = tablet.journal.append(&entry).unwrap();
        assert_eq!(row.seq, number + 1);
        rows.push((row.hash, row.bytes));
    }
    rows.reverse();
    let (mut loaded, bad) = Journal::load(JOB, ActorId([9; 16]), rows);
    assert_eq!(bad, []);
    assert_eq!(loaded.waiting(), 0);
    assert_eq!(loaded.clock(), tablet.journal.clock());
    assert_eq!(loaded.state().canonical(), tablet.journal.state().canonical());
    let row = loaded.append(&tablet.entry(note("after the restart"))).unwrap();
    assert_eq!((row.actor, row.seq), (ActorId([9; 16]), 1));
}

#[test]
fn rows_that_cannot_be_read_come_back() {
    let mut tablet = Tablet::new(1, "Ana");
    let entry = tablet.entry(note("kept"));
    let good = tablet.journal.append(&entry).unwrap();
    let mut flipped = good.bytes.clone();
    *flipped.last_mut().unwrap() ^= 1;
    let other = ChangeHash([7; 32]);
    let (mut loaded, bad) = Journal::load(
        JOB,
        ActorId([9; 16]),
        [
            (other, good.bytes.clone()),
            (other, flipped),
            (other, b"nonsense".to_vec()),
            (good.hash, good.bytes),
        ],
    );
    let codes: Vec<_> = bad.iter().map(|row| row.why.code()).collect();
    assert_eq!(codes, ["bad_checksum", "bad_checksum", "unreadable"]);
    assert_eq!(loaded.state().entries.len(), 1);
}

#[test]
fn much_that_is_missing_goes_in_bundles_that_fit_a_frame_and_are_far_smaller() {
    let mut a = Tablet::new(1, "Ana");
    let mut rows = 0;
    for number in 0..3_000 {
        let entry = a.entry_as(id(number), note(&format!("the gauge shows {number} psi")));
        rows += a.journal.append(&entry).unwrap().bytes.len();
    }
    let mut b = Tablet::new(2, "Ben");
    let deliveries = a.journal.missing(b.journal.clock());
    let sent: usize = deliveries.iter().map(Vec::len).sum();
    assert!(deliveries.iter().all(|delivery| delivery.len() <= FRAME_LIMIT));
    assert!(sent * 4 < rows, "{sent} bytes sent for {rows}");
    for delivery in &deliveries {
        b.journal.intake(delivery).unwrap();
    }
    assert_eq!(a.journal.state().canonical(), b.journal.state().canonical());
    assert_eq!(a.journal.missing(b.journal.clock()), Vec::<Vec<u8>>::new());
    // The same again is nothing new.
    assert_eq!(b.journal.intake(&deliveries[0]), Ok(vec![]));
}

#[test]
fn long_entries_are_split_over_frames() {
    let mut a = Tablet::new(1, "Ana");
    for number in 0..40 {
        // Ids in hex do not deflate to nothing.
        let text: String = (0..600)
            .map(|at| PersonId::of_name(&format!("{number} {at}")).to_string())
            .collect();
        a.say(note(&text));
    }
    let mut b = Tablet::new(2, "Ben");
    let deliveries = a.journal.missing(b.journal.clock());
    assert!(deliveries.len() > 2);
    for delivery in &deliveries {
        assert!(delivery.len() <= FRAME_LIMIT);
        b.journal.intake(delivery).unwrap();
    }
    assert_eq!(a.journal.state().canonical(), b.journal.state().canonical());
}

#[test]
fn changes_whose_ancestors_are_missing_wait_for_them() {
    let mut a = Tablet::new(1, "Ana");
    let rows: Vec<_> = (0..10)
        .map(|number| {
            let entry = a.entry(note(&format!("note {number}")));
            a.journal.append(&entry).unwrap()
        })
        .collect();
    let mut b = Tablet::new(2, "Ben");
    for row in rows[1..].iter().rev() {
        assert_eq!(b.journal.intake(&row.bytes).unwrap(), std::slice::from_ref(row));
    }
    assert_eq!(b.journal.waiting(), 9);
    assert!(b.journal.clock().is_empty());
    assert!(b.journal.state().entries.is_empty());
    b.journal.intake(&rows[0].bytes).unwrap();
    assert_eq!(b.journal.waiting(), 0);
    assert_eq!(b.journal.state().canonical(), a.journal.state().canonical());
}

#[test]
fn a_clock_may_say_anything() {
    let mut a = Tablet::new(1, "Ana");
    a.say(note("one"));
    a.say(note("two"));
    let whole = a.journal.missing(&Clock::new());
    let reach = |seq, hash| Reach {
        seq,
        hash: ChangeHash(hash),
    };
    let clock = |actor, reach| Clock::from([(ActorId(actor), reach)]);
    // A writer unknown here, a hash that is not ours, a number that does not exist.
    assert_eq!(a.journal.missing(&clock([8; 16], reach(5, [1; 32]))), whole);
    assert_eq!(a.journal.missing(&clock([1; 16], reach(1, [1; 32]))), whole);
    assert_eq!(a.journal.missing(&clock([1; 16], reach(0, [1; 32]))), whole);
    // Ahead of us: nothing of ours is missing there.
    assert!(
        a.journal
            .missing(&clock([1; 16], reach(u64::MAX, [1; 32])))
            .is_empty()
    );
}

#[test]
fn an_entry_that_is_too_long_or_makes_no_sense_is_not_appended() {
    let mut a = Tablet::new(1, "Ana");
    a.open();
    let before = a.journal.state().canonical();
    let code = |a: &mut Tablet, entry: &Entry| a.journal.append(entry).unwrap_err().code();

    let long = a.entry(note(&"x".repeat(10 * 1024 * 1024)));
    assert_eq!(code(&mut a, &long), "entry_too_large");
    let just_over = a.entry(note(&"x".repeat(ENTRY_LIMIT)));
    assert_eq!(code(&mut a, &just_over), "entry_too_large");
    let again = a.entry_as(EntryId(JOB.0), opened());
    assert_eq!(code(&mut a, &again), "duplicate_id");
    let second = a.entry(opened());
    assert_eq!(code(&mut a, &second), "second_opening");
    let infinite = a.entry(Body::SpeedControl(SpeedControl {
        asset: VALVE,
        control: "closing".to_owned(),
        open: psi("inf"),
        replaces: vec![],
    }));
    assert_eq!(code(&mut a, &infinite), "bad_figure");

    assert_eq!(a.journal.state().canonical(), before);
    let fits = a.entry(note(&"x".repeat(ENTRY_LIMIT - 400)));
    a.journal.append(&fits).unwrap();
}

#[test]
fn of_two_kept_rows_that_use_one_number_of_a_writer_one_has_its_place() {
    // No door lets both in; a file put together from two could hold them.
    let row = |text: &str| {
        let mut tablet = Tablet::new(1, "Ana");
        let entry = tablet.entry(note(text));
        let row = tablet.journal.append(&entry).unwrap();
        (row.hash, row.bytes)
    };
    let (one, other) = (row("one"), row("other"));
    assert_ne!(one.0, other.0);
    let (mut journal, bad) = Journal::load(JOB, ActorId([9; 16]), [one.clone(), other]);
    assert_eq!((bad.len(), journal.waiting()), (0, 0));
    assert_eq!(journal.clock()[&ActorId([1; 16])], Reach { seq: 1, hash: one.0 });
    assert_eq!(journal.state().entries.len(), 1);
    assert_eq!(journal.state().quarantine, []);
}
