//! What the journals over the store promise, on a real file.

use crate::journal::{
    ActorId, Asset, AssetId, Body, BootId, ChangeHash, Clock, DeviceId, Entry, EntryId, JobId, JobOpened,
    Note, PersonId, Told, ValveOnJob,
};
use crate::store::*;
use rusqlite::Connection;
use std::path::Path;
use uuid::Uuid;

fn seed(number: u8) -> Seed {
    Seed {
        key: KeySeed([number; 32]),
        actor: ActorId([number; 16]),
        boot: BootId(Uuid::from_u128(number.into())),
        device: DeviceId(Uuid::from_u128(number.into())),
    }
}

fn job() -> JobId {
    JobId(id(0))
}

/// A UUIDv7 by number.
fn id(number: u64) -> Uuid {
    uuid::Builder::from_unix_timestamp_millis(1_700_000_000_000 + number, &[7; 10]).into_uuid()
}

fn entry(number: u64, body: Body) -> Entry {
    Entry {
        id: EntryId(id(number)),
        told: Told {
            by: PersonId::of_name("Ann"),
            keyed_by: None,
            device: DeviceId(Uuid::from_u128(1)),
            boot: BootId(Uuid::from_u128(1)),
            mono_ms: number,
            at: "2026-03-04T10:00:00+01:00".to_owned(),
            body,
        },
    }
}

fn opening() -> Entry {
    entry(
        0,
        Body::JobOpened(JobOpened {
            number: "1".to_owned(),
            customer: "a town".to_owned(),
            site: "a street".to_owned(),
            station: Asset {
                id: AssetId(Uuid::from_u128(1)),
                name: "the vault".to_owned(),
            },
            valves: vec![ValveOnJob {
                id: AssetId(Uuid::from_u128(2)),
                name: "the valve".to_owned(),
                procedure: "reducing".to_owned(),
                size: None,
            }],
        }),
    )
}

fn note(number: u64) -> Entry {
    entry(
        number,
        Body::Note(Note {
            text: format!("note {number}"),
            about: None,
        }),
    )
}

fn open(dir: &Path, number: u8) -> JournalStore {
    JournalStore::open(dir, seed(number)).unwrap()
}

/// A store with a job of an opening and so many notes, written by the writer of this number.
fn with_job(dir: &Path, number: u8, notes: u64) -> JournalStore {
    let mut store = open(dir, number);
    store.append(job(), &opening()).unwrap();
    for number in 1..=notes {
        store.append(job(), &note(number)).unwrap();
    }
    store
}

fn entries(store: &mut JournalStore) -> Vec<Entry> {
    let state = store.state(job()).unwrap();
    state
        .entries
        .iter()
        .map(|folded| (*folded.entry).clone())
        .collect()
}

fn behind_its_back(dir: &Path) -> Connection {
    Connection::open(dir.join(DATABASE_FILE)).unwrap()
}

/// Carries what `to` lacks from one store to the other.
fn carry(from: &mut JournalStore, to: &mut JournalStore) {
    let theirs = to.clock(job()).unwrap();
    for delivery in from.missing(job(), &theirs).unwrap() {
        to.intake(job(), &delivery).unwrap();
    }
}

#[test]
fn what_was_appended_is_there_after_a_restart() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = with_job(dir.path(), 1, 3);
    let before = entries(&mut store);
    drop(store);
    let mut store = open(dir.path(), 2);
    assert_eq!(store.jobs().unwrap(), [job()]);
    assert_eq!(entries(&mut store), before);
    assert_eq!(before, [opening(), note(1), note(2), note(3)]);
}

#[test]
fn what_was_taken_in_is_there_after_a_restart() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut a = with_job(here.path(), 1, 3);
    let mut b = open(there.path(), 2);
    carry(&mut a, &mut b);
    drop(b);
    let mut b = open(there.path(), 3);
    assert_eq!(entries(&mut b), entries(&mut a));
    assert_eq!(b.clock(job()).unwrap(), a.clock(job()).unwrap());
}

#[test]
fn taking_in_the_same_again_brings_nothing_new() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut a = with_job(here.path(), 1, 3);
    let mut b = open(there.path(), 2);
    let deliveries = a.missing(job(), &Clock::new()).unwrap();
    let counts = |b: &mut JournalStore| -> usize {
        deliveries
            .iter()
            .map(|delivery| b.intake(job(), delivery).unwrap())
            .sum()
    };
    assert_eq!(counts(&mut b), 4);
    assert_eq!(counts(&mut b), 0);
}

#[test]
fn a_delivery_that_is_refused_leaves_nothing_behind_not_even_a_job() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path(), 1);
    let error = store.intake(job(), b"no changes at all").unwrap_err();
    assert!(matches!(error, IntakeError::Refused(_)), "{error}");
    assert!(store.jobs().unwrap().is_empty());
    assert_eq!(store.state(job()).unwrap_err().code(), "unknown_job");
}

#[test]
fn an_entry_that_the_journal_does_not_take_leaves_it_as_it_was() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = with_job(dir.path(), 1, 1);
    let error = store.append(job(), &note(1)).unwrap_err();
    assert_eq!(error.code(), "duplicate_id");
    store.append(job(), &note(2)).unwrap();
    assert_eq!(entries(&mut store).len(), 3);
}

#[test]
fn of_several_entries_all_are_kept_or_none() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path(), 1);
    let refused = store
        .append_all(job(), &[opening(), note(1), note(1)])
        .unwrap_err();
    assert_eq!(refused.code(), "duplicate_id");
    assert!(store.jobs().unwrap().is_empty());

    assert_eq!(
        store
            .append_all(job(), &[opening(), note(1), note(2)])
            .unwrap()
            .len(),
        3
    );
    store.append_all(job(), &[note(3), note(2)]).unwrap_err();
    assert_eq!(entries(&mut store), [opening(), note(1), note(2)]);
    drop(store);
    let mut store = open(dir.path(), 2);
    assert_eq!(entries(&mut store), [opening(), note(1), note(2)]);
}

#[test]
fn when_the_commit_fails_memory_is_what_the_disk_is_and_work_goes_on_under_another_id() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = with_job(dir.path(), 1, 1);
    // A commit that fails for a reason of the database's own: the table refuses the row.
    store
        .store()
        .connection
        .execute_batch(
            "CREATE TEMP TRIGGER refuse BEFORE INSERT ON change BEGIN SELECT RAISE(ABORT, 'refused'); END",
        )
        .unwrap();
    assert_eq!(store.append(job(), &note(2)).unwrap_err().code(), "database");
    assert_eq!(entries(&mut store), [opening(), note(1)]);

    store
        .store()
        .connection
        .execute_batch("DROP TRIGGER refuse")
        .unwrap();
    store.append(job(), &note(3)).unwrap();
    store.append(job(), &note(2)).unwrap();
    let clock = store.clock(job()).unwrap();
    assert_eq!(
        clock.len(),
        2,
        "the id whose commit failed is not written under again"
    );
    assert_eq!(clock[&ActorId([1; 16])].seq, 2);
    assert_eq!(entries(&mut store), [opening(), note(1), note(3), note(2)]);
    drop(store);
    assert_eq!(entries(&mut open(dir.path(), 2)).len(), 4);
}

#[test]
fn the_rows_and_the_journal_agree_on_how_far_each_writer_has_come() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut a = with_job(here.path(), 1, 4);
    let mut b = open(there.path(), 2);
    carry(&mut a, &mut b);
    b.append(job(), &note(10)).unwrap();
    a.append(job(), &note(11)).unwrap();
    carry(&mut b, &mut a);
    assert_eq!(a.store().clock(job()).unwrap().unwrap(), a.clock(job()).unwrap());
    assert_eq!(a.clock(job()).unwrap().len(), 2);
}

#[test]
fn a_row_with_flipped_bytes_is_set_aside_and_the_rest_loads() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = with_job(dir.path(), 1, 3);
    let whole = store.missing(job(), &Clock::new()).unwrap();
    let before = entries(&mut store);
    drop(store);
    let file = behind_its_back(dir.path());
    let (hash, mut bytes): ([u8; 32], Vec<u8>) = file
        .query_row("SELECT hash, bytes FROM change WHERE seq = 4", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x10;
    file.execute_batch("DROP TRIGGER change_is_never_rewritten")
        .unwrap();
    file.execute("UPDATE change SET bytes = ?1 WHERE seq = 4", [&bytes])
        .unwrap();
    drop(file);

    let mut store = open(dir.path(), 2);
    assert_eq!(entries(&mut store), before[..3]);
    let bad = store.store().bad_changes(job()).unwrap();
    assert_eq!(bad.len(), 1);
    assert_eq!((bad[0].hash, &bad[0].bytes), (ChangeHash(hash), &bytes));
    assert_eq!(store.clock(job()).unwrap()[&ActorId([1; 16])].seq, 3);

    // A peer has the change whole: it comes back like any other that is missing.
    let new: usize = whole
        .iter()
        .map(|delivery| store.intake(job(), delivery).unwrap())
        .sum();
    assert_eq!(new, 1);
    assert_eq!(entries(&mut store), before);
    drop(store);
    let mut store = open(dir.path(), 3);
    assert_eq!(entries(&mut store), before);
    assert_eq!(
        store.store().clock(job()).unwrap(),
        Some(store.clock(job()).unwrap())
    );
    assert_eq!(
        store.store().bad_changes(job()).unwrap().len(),
        1,
        "what was found is kept"
    );
}

#[test]
fn with_a_damaged_row_in_the_middle_what_builds_on_it_waits() {
    let dir = tempfile::tempdir().unwrap();
    drop(with_job(dir.path(), 1, 3));
    let file = behind_its_back(dir.path());
    file.execute_batch("DROP TRIGGER change_is_never_rewritten")
        .unwrap();
    file.execute("UPDATE change SET bytes = x'00' WHERE seq = 2", [])
        .unwrap();
    drop(file);
    let mut store = open(dir.path(), 2);
    assert_eq!(entries(&mut store), [opening()]);
    assert_eq!(store.waiting(job()).unwrap(), 2);
    drop(store);
    // Not from memory this time: the rows alone would say 4.
    let mut store = open(dir.path(), 3);
    assert_eq!(store.clock(job()).unwrap()[&ActorId([1; 16])].seq, 1);
}

#[test]
fn a_store_put_back_from_a_copy_writes_under_another_id_and_still_meets_the_original() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    drop(with_job(here.path(), 1, 2));
    for file in std::fs::read_dir(here.path()).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), there.path().join(file.file_name())).unwrap();
    }
    let mut original = open(here.path(), 2);
    let mut copy = open(there.path(), 3);
    original.append(job(), &note(10)).unwrap();
    copy.append(job(), &note(20)).unwrap();
    carry(&mut original, &mut copy);
    carry(&mut copy, &mut original);
    assert_eq!(entries(&mut original), entries(&mut copy));
    assert_eq!(original.clock(job()).unwrap().len(), 3);
}

#[test]
fn a_seed_that_has_been_used_on_this_device_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    drop(with_job(dir.path(), 1, 0));
    assert_eq!(
        JournalStore::open(dir.path(), seed(1)).unwrap_err().code(),
        "actor_used"
    );
    open(dir.path(), 2);
}

#[test]
fn two_drawn_seeds_have_nothing_in_common() {
    let (one, other) = (Seed::draw().unwrap(), Seed::draw().unwrap());
    assert_ne!(one.actor, other.actor);
    assert_ne!(one.boot, other.boot);
    assert_ne!(one.device, other.device);
}
