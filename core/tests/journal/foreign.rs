//! Bytes from outside that are refused at the door. Refusing them changes nothing.

use crate::craft::*;
use crate::support::*;
use automerge::ScalarValue;
use automerge::legacy::{Key, ObjectId, Op, OpId, OpType};
use turnwise_core::journal::limits::{ENTRY_LIMIT, FRAME_LIMIT};
use turnwise_core::journal::*;

/// A journal with some work in it, and its rows.
fn at_work() -> (Tablet, Vec<ChangeRow>) {
    let mut tablet = Tablet::new(1, "Ana");
    let rows = (0..5)
        .map(|number| {
            let entry = tablet.entry(note(&format!("note {number}")));
            tablet.journal.append(&entry).unwrap()
        })
        .collect();
    (tablet, rows)
}

/// Delivers bytes that have to be refused and checks that nothing came of it. Returns the code.
#[track_caller]
fn refused(delivery: &[u8]) -> &'static str {
    let (mut tablet, _) = at_work();
    let clock = tablet.journal.clock().clone();
    let text = tablet.journal.state().canonical();
    let code = tablet.journal.intake(delivery).unwrap_err().code();
    assert_eq!(tablet.journal.state().canonical(), text);
    assert_eq!((tablet.journal.clock(), tablet.journal.waiting()), (&clock, 0));
    // The work goes on, and others get it.
    tablet.say(note("after"));
    let mut other = Tablet::new(2, "Ben");
    other.hear(&tablet);
    assert_eq!(other.journal.state().entries.len(), 6);
    code
}

/// A change by a writer whom nobody knows yet.
fn good() -> Vec<u8> {
    first(9, put_entry(&Tablet::new(9, "Cruz").entry(note("good"))))
}

#[test]
fn a_delivery_that_ends_early_is_refused_wherever_it_ends() {
    let change = good();
    let bundle = bundle(&document(std::slice::from_ref(&change)), [hash_of(&change)]);
    for whole in [change, bundle] {
        for end in 1..whole.len() {
            let code = fresh().intake(&whole[..end]).unwrap_err().code();
            assert_eq!(code, "unreadable", "cut off at {end}");
        }
        fresh().intake(&whole).unwrap();
    }
}

#[test]
fn a_delivery_with_a_flipped_bit_is_refused_whichever_it_is() {
    let change = good();
    let bundle = bundle(&document(std::slice::from_ref(&change)), [hash_of(&change)]);
    for whole in [change, bundle] {
        for at in 0..whole.len() * 8 {
            let mut flipped = whole.clone();
            flipped[at / 8] ^= 1 << (at % 8);
            let code = fresh().intake(&flipped).unwrap_err().code();
            assert!(matches!(code, "unreadable" | "bad_checksum"), "bit {at}: {code}");
        }
    }
}

#[test]
fn what_is_not_a_change_or_a_bundle_is_refused() {
    assert_eq!(refused(b"GET / HTTP/1.1\r\n\r\n"), "unreadable");
    let change = good();
    // A whole document, a deflated change, and a kind that does not exist.
    let saved = document(std::slice::from_ref(&change)).save();
    assert_eq!(refused(&saved), "unreadable");
    let deflated_change = sealed_as(DEFLATED, &deflated(inside(&change)), CHANGE, inside(&change));
    assert_eq!(refused(&deflated_change), "bad_checksum");
    assert_eq!(
        refused(&sealed(DEFLATED, &deflated(inside(&change)))),
        "unreadable"
    );
    assert_eq!(refused(&sealed(200, inside(&change))), "unreadable");
    // Something behind it.
    assert_eq!(refused(&[good(), b"x".to_vec()].concat()), "unreadable");
}

#[test]
fn a_delivery_over_a_frame_is_refused_unread() {
    assert_eq!(refused(&vec![0; FRAME_LIMIT + 1]), "too_large");
}

#[test]
fn a_note_of_ten_megabytes_is_refused_however_it_comes() {
    let entry = Tablet::new(9, "Cruz").entry(note(&"x".repeat(10 * 1024 * 1024)));
    let change = first(9, put_entry(&entry));
    assert_eq!(refused(&change), "too_large");
    let bundle = bundle(&document(std::slice::from_ref(&change)), [hash_of(&change)]);
    assert!(
        bundle.len() < FRAME_LIMIT,
        "deflated it is {} bytes",
        bundle.len()
    );
    assert_eq!(refused(&bundle), "too_large");
}

#[test]
fn an_entry_just_over_its_limit_is_refused() {
    let entry = Tablet::new(9, "Cruz").entry(note(&"x".repeat(ENTRY_LIMIT)));
    assert_eq!(refused(&first(9, put_entry(&entry))), "too_large");
    // Of what is no entry, too, no more is held than can be passed on.
    assert_eq!(
        refused(&first(9, put("x", ScalarValue::Bytes(vec![0; 60_000])))),
        "too_large"
    );
}

#[test]
fn a_change_that_overwrites_is_refused_also_together_with_its_original() {
    let tablet = Tablet::new(9, "Cruz");
    let entry = tablet.entry(note("as it was"));
    let original = first(9, put_entry(&entry));
    let mut changed = entry.clone();
    changed.told.body = note("as somebody would have it");
    let mut overwrite = put_entry(&changed);
    overwrite.pred = vec![OpId(1, automerge::ActorId::from([9; 16]))].into();
    let mut change = expanded(9, vec![overwrite]);
    change.seq = 2;
    change.start_op = 2.try_into().unwrap();
    change.deps = vec![automerge::ChangeHash(hash_of(&original).0)];
    let overwrite = bytes(change);
    assert_eq!(
        refused(&[original.clone(), overwrite.clone()].concat()),
        "has_pred"
    );
    let both = [original, overwrite];
    let bundle = bundle(&document(&both), both.iter().map(|bytes| hash_of(bytes)));
    assert_eq!(refused(&bundle), "has_pred");
}

#[test]
fn a_change_with_two_operations_is_refused() {
    let tablet = Tablet::new(9, "Cruz");
    let two = (0..2)
        .map(|_| put_entry(&tablet.entry(note("two at once"))))
        .collect();
    let change = bytes(expanded(9, two));
    assert_eq!(refused(&change), "many_ops");
    let bundle = bundle(&document(std::slice::from_ref(&change)), [hash_of(&change)]);
    assert_eq!(refused(&bundle), "many_ops");
}

#[test]
fn a_deletion_that_names_what_it_deletes_is_refused() {
    let delete = Op {
        action: OpType::Delete,
        obj: ObjectId::Root,
        key: Key::Map(id(1).to_string().into()),
        pred: vec![OpId(1, automerge::ActorId::from([1; 16]))].into(),
        insert: false,
    };
    assert_eq!(refused(&first(9, delete)), "has_pred");
}

#[test]
fn a_writers_number_used_twice_refuses_the_whole_delivery() {
    let (mut tablet, rows) = at_work();
    let forged = first(1, put_entry(&Tablet::new(9, "Cruz").entry(note("not by Ana"))));
    let delivery = [good(), forged.clone()].concat();
    assert_eq!(
        tablet.journal.intake(&delivery).unwrap_err().code(),
        "duplicate_seq"
    );
    assert_eq!(tablet.journal.state().entries.len(), 5);
    // Also where neither is held yet, and where the first still waits for its ancestors.
    assert_eq!(
        fresh()
            .intake(&[rows[0].bytes.clone(), forged].concat())
            .unwrap_err()
            .code(),
        "duplicate_seq"
    );
    let mut waits = fresh();
    waits.intake(&rows[2].bytes).unwrap();
    let mut other = expanded(1, vec![put("x", 1)]);
    other.seq = 3;
    assert_eq!(waits.intake(&bytes(other)).unwrap_err().code(), "duplicate_seq");
    assert_eq!(waits.waiting(), 1);
}

#[test]
fn a_change_that_does_not_follow_from_its_ancestors_is_refused() {
    let mut gap = expanded(9, vec![put("x", 1)]);
    gap.seq = 2;
    assert_eq!(refused(&bytes(gap)), "out_of_sequence");
    let mut zero = expanded(9, vec![put("x", 1)]);
    zero.seq = 0;
    // The first number is 1; 0 is as good as used.
    assert_eq!(refused(&bytes(zero)), "duplicate_seq");
    let mut ahead = expanded(9, vec![put("x", 1)]);
    ahead.start_op = u64::from(u32::MAX).try_into().unwrap();
    assert_eq!(refused(&bytes(ahead)), "out_of_sequence");
    let mut far = expanded(9, vec![put("x", 1)]);
    far.start_op = u64::MAX.try_into().unwrap();
    assert_eq!(refused(&bytes(far)), "unreadable");
}

#[test]
fn a_change_found_not_to_follow_once_its_ancestors_come_stops_nobody() {
    let (_, rows) = at_work();
    let mut false_start = expanded(9, vec![put("x", 1)]);
    false_start.deps = vec![automerge::ChangeHash(rows[1].hash.0)];
    false_start.start_op = 77.try_into().unwrap();
    let false_start = bytes(false_start);
    let mut journal = fresh();
    journal.intake(&false_start).unwrap();
    assert_eq!(journal.waiting(), 1);
    // The honest sender of the ancestors is not refused for it.
    for row in &rows {
        journal.intake(&row.bytes).unwrap();
    }
    assert_eq!(journal.waiting(), 0);
    assert_eq!(journal.state().entries.len(), 5);
    assert_eq!(journal.state().quarantine, []);
    assert!(!journal.clock().contains_key(&ActorId([9; 16])));
    // Its number is still free for the writer whose name it bore.
    let honest = first(9, put_entry(&Tablet::new(9, "Cruz").entry(note("good"))));
    assert_eq!(journal.intake(&honest).unwrap().len(), 1);
    // A restart comes to the same.
    let kept = rows.iter().map(|row| (row.hash, row.bytes.clone()));
    let kept = kept.chain([&false_start, &honest].map(|bytes| (hash_of(bytes), bytes.clone())));
    let (mut loaded, bad) = Journal::load(JOB, ActorId([8; 16]), kept);
    assert_eq!((bad.len(), loaded.waiting()), (0, 0));
    assert_eq!(loaded.state().canonical(), journal.state().canonical());
}

#[test]
fn a_writers_id_of_another_length_is_refused() {
    let columns = [
        (0x15, run(1, b"\x01x")),
        (0x34, vec![1]),
        (0x42, run(1, &[1])),
        (0x56, run(1, &[0])),
        (0x70, run(1, &[0])),
    ];
    assert_eq!(
        fresh()
            .intake(&sealed(CHANGE, &change_of(&[7; 16], 1, 1, &columns)))
            .unwrap()
            .len(),
        1
    );
    assert_eq!(
        refused(&sealed(CHANGE, &change_of(&[7; 15], 1, 1, &columns))),
        "unreadable"
    );
    assert_eq!(
        refused(&sealed(CHANGE, &change_of(&vec![7; 40_000], 1, 1, &columns))),
        "unreadable"
    );
}

mod that_would_expand_without_end {
    //! Small chunks with the right checksum that stand for more than a machine holds. A caught panic would not
    //! help: the library would not panic but go on.

    use super::*;

    #[test]
    fn a_change_of_more_operations_than_can_be_counted() {
        let endless = [
            (0x34, vec![1]),
            (0x42, run(i64::MAX, &[1])),
            (0x56, run(i64::MAX, &[0])),
        ];
        assert_eq!(
            refused(&sealed(CHANGE, &change_of(&[7; 16], 1, 1, &endless))),
            "many_ops"
        );
        let nothing_at_all = [(0x42, [signed_leb(0), unsigned_leb(u64::MAX)].concat())];
        assert_eq!(
            refused(&sealed(CHANGE, &change_of(&[7; 16], 1, 1, &nothing_at_all))),
            "many_ops"
        );
        let predecessors = [(0x42, run(1, &[1])), (0x70, run(1, &unsigned_leb(u64::MAX)))];
        assert_eq!(
            refused(&sealed(CHANGE, &change_of(&[7; 16], 1, 1, &predecessors))),
            "has_pred"
        );
    }

    #[test]
    fn a_bundle_of_more_changes_than_can_be_counted() {
        let endless = run(i64::MAX, &[0]);
        let bundle = bundle_of(
            &[(0x01, endless.clone()), (0x03, endless.clone()), (0x13, endless)],
            &[],
        );
        assert_eq!(refused(&sealed(BUNDLE, &bundle)), "too_large");
    }

    #[test]
    fn a_bundle_of_a_change_with_more_ancestors_than_memory() {
        let one = |value: u64| run(1, &unsigned_leb(value));
        let changes = [
            (0x01, one(0)),
            (0x03, one(1)),
            (0x13, one(1)),
            (0x23, one(1)),
            (0x33, one(0)),
            (0x50, one(1 << 45)),
        ];
        assert_eq!(refused(&sealed(BUNDLE, &bundle_of(&changes, &[]))), "too_large");
    }

    #[test]
    fn a_bundle_that_inflates() {
        let zeros = deflated(&vec![0; 30 * 1024 * 1024]);
        let bundle = bundle_of(&[], &[(0x57 | 8, zeros)]);
        assert!(bundle.len() < FRAME_LIMIT);
        assert_eq!(refused(&sealed(BUNDLE, &bundle)), "too_large");
    }

    #[test]
    fn a_bundle_that_says_one_long_text_again_and_again() {
        let mut text = unsigned_leb(60_000);
        text.extend(vec![b'x'; 60_000]);
        let bundle = bundle_of(&[], &[(0x15 | 8, deflated(&run(10_000, &text)))]);
        assert_eq!(refused(&sealed(BUNDLE, &bundle)), "too_large");
    }

    #[test]
    fn a_bundle_whose_changes_hold_more_operations_than_it_does() {
        let one = |value: u64| run(1, &unsigned_leb(value));
        let two = |value: u64| run(2, &unsigned_leb(value));
        let changes = [
            (0x01, two(0)),
            (0x03, two(1)),
            (0x13, two(1)),
            (0x23, run(2, &signed_leb(i64::MAX / 2))),
            (0x33, two(0)),
            (0x50, two(0)),
        ];
        let operations = [(0x21, one(0)), (0x42, one(1)), (0x56, one(0)), (0x23, one(1))];
        assert_eq!(
            refused(&sealed(BUNDLE, &bundle_of(&changes, &operations))),
            "unreadable"
        );
    }
}
