//! What the rows promise, on a real file.

use crate::journal::{ActorId, BootId, ChangeHash, ChangeRow, Clock, DeviceId, JobId, Reach};
use crate::store::*;
use rusqlite::Connection;
use std::path::Path;
use uuid::Uuid;

fn device(number: u128) -> DeviceId {
    DeviceId(Uuid::from_u128(number))
}

fn job(number: u128) -> JobId {
    JobId(Uuid::from_u128(number))
}

fn row(actor: u8, seq: u64) -> ChangeRow {
    let mut hash = [actor; 32];
    hash[31] = u8::try_from(seq).unwrap();
    ChangeRow {
        hash: ChangeHash(hash),
        actor: ActorId([actor; 16]),
        seq,
        bytes: vec![actor; 40],
    }
}

fn open(dir: &Path) -> Store {
    Store::open(dir, device(1)).unwrap()
}

/// The file as a stranger sees it, with the store closed.
fn behind_its_back(dir: &Path) -> Connection {
    Connection::open(dir.join(DATABASE_FILE)).unwrap()
}

#[test]
fn what_is_kept_is_there_after_opening_again() {
    let dir = tempfile::tempdir().unwrap();
    let rows = [row(1, 1), row(1, 2), row(2, 1)];
    let mut store = open(dir.path());
    store.keep_changes(job(7), &rows, false, None).unwrap();
    drop(store);

    let store = open(dir.path());
    assert_eq!(store.jobs().unwrap(), [job(7)]);
    let kept = store.changes(job(7)).unwrap();
    assert_eq!(kept, rows.map(|row| (row.hash, row.bytes)));
}

#[test]
fn a_job_sees_only_its_own_changes() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
    store
        .keep_changes(job(2), &[row(1, 1), row(1, 2)], false, None)
        .unwrap();
    assert_eq!(store.changes(job(1)).unwrap().len(), 1);
    assert_eq!(store.changes(job(2)).unwrap().len(), 2);
    assert!(store.changes(job(3)).unwrap().is_empty());
    assert!(!store.has_job(job(3)).unwrap());
}

#[test]
fn the_same_change_kept_twice_is_kept_once_as_it_first_was() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
    let mut other = row(1, 1);
    other.bytes = b"something else".to_vec();
    store.keep_changes(job(1), &[other], false, None).unwrap();
    assert_eq!(
        store.changes(job(1)).unwrap(),
        [(row(1, 1).hash, row(1, 1).bytes)]
    );
}

#[test]
fn when_one_of_several_changes_cannot_be_kept_none_is() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let error = store
        .keep_changes(job(1), &[row(1, 1), row(1, 0)], false, None)
        .unwrap_err();
    assert_eq!(error.code(), "database");
    assert!(store.changes(job(1)).unwrap().is_empty());
    assert!(store.jobs().unwrap().is_empty());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
}

#[test]
fn the_file_itself_refuses_that_a_change_is_deleted_or_rewritten() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
    store.close().unwrap();
    let file = behind_its_back(dir.path());
    let deleted = file.execute("DELETE FROM change", []).unwrap_err();
    assert!(deleted.to_string().contains("never deleted"), "{deleted}");
    let rewritten = file.execute("UPDATE change SET bytes = x'00'", []).unwrap_err();
    assert!(rewritten.to_string().contains("never rewritten"), "{rewritten}");
}

#[test]
fn a_damaged_change_is_noted_as_found_and_replaced_only_by_the_same_change() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let mut damaged = row(1, 1);
    damaged.bytes[3] ^= 0x40;
    store
        .keep_changes(job(1), &[damaged.clone(), row(1, 2)], false, None)
        .unwrap();
    let bad = [(damaged.hash, "its hash is another".to_owned())];
    store.note_damage(job(1), &bad, true).unwrap();
    store.note_damage(job(1), &bad, true).unwrap();

    assert_eq!(
        store.changes(job(1)).unwrap().len(),
        2,
        "the row stays where it is"
    );
    store
        .keep_changes(job(1), &[row(1, 1), row(1, 2)], false, None)
        .unwrap();
    assert_eq!(
        store.changes(job(1)).unwrap(),
        [row(1, 1), row(1, 2)].map(|row| (row.hash, row.bytes))
    );
    assert_eq!(
        store.bad_changes(job(1)).unwrap(),
        [BadChange {
            hash: damaged.hash,
            bytes: damaged.bytes,
            reason: "its hash is another".to_owned(),
        }]
    );
}

#[test]
fn the_device_keeps_the_id_that_it_was_given_first() {
    let dir = tempfile::tempdir().unwrap();
    let store = Store::open(dir.path(), device(1)).unwrap();
    assert_eq!(store.device(), device(1));
    drop(store);
    let store = Store::open(dir.path(), device(2)).unwrap();
    assert_eq!(store.device(), device(1));
}

#[test]
fn a_second_opener_is_refused_until_the_first_has_gone() {
    let dir = tempfile::tempdir().unwrap();
    let first = open(dir.path());
    let error = Store::open(dir.path(), device(2)).unwrap_err();
    assert_eq!(error.code(), "already_open");
    drop(first);
    open(dir.path());
}

#[test]
fn a_database_of_a_newer_program_is_refused_and_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
    store.close().unwrap();
    let file = behind_its_back(dir.path());
    file.pragma_update(None, "user_version", 9_999).unwrap();
    drop(file);
    let before = std::fs::read(dir.path().join(DATABASE_FILE)).unwrap();

    let error = Store::open(dir.path(), device(1)).unwrap_err();
    assert_eq!(error.code(), "schema_newer");
    assert!(error.to_string().contains("9999"), "{error}");
    assert_eq!(std::fs::read(dir.path().join(DATABASE_FILE)).unwrap(), before);
}

#[test]
fn a_file_that_is_no_database_is_called_damaged_and_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let text = b"this was never a database".repeat(100);
    std::fs::write(dir.path().join(DATABASE_FILE), &text).unwrap();
    let error = Store::open(dir.path(), device(1)).unwrap_err();
    assert_eq!(error.code(), "corrupt");
    assert_eq!(std::fs::read(dir.path().join(DATABASE_FILE)).unwrap(), text);
}

#[test]
fn commits_wait_for_the_disk() {
    let dir = tempfile::tempdir().unwrap();
    let store = open(dir.path());
    let value = |pragma: &str| -> String {
        store
            .connection
            .pragma_query_value(None, pragma, |row| {
                row.get_ref(0).map(|value| match value {
                    rusqlite::types::ValueRef::Integer(number) => number.to_string(),
                    other => other.as_str().unwrap().to_owned(),
                })
            })
            .unwrap()
    };
    assert_eq!(value("synchronous"), "2", "2 is FULL");
    assert_eq!(value("journal_mode"), "wal");
    assert_eq!(value("locking_mode"), "exclusive");
    assert_eq!(value("foreign_keys"), "1");
}

#[test]
fn closing_leaves_one_file_and_no_log() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
    store.close().unwrap();
    assert!(!dir.path().join(format!("{DATABASE_FILE}-wal")).exists());
}

#[test]
fn the_log_does_not_grow_with_what_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let photograph = vec![7; 3 * 1024 * 1024];
    for number in 0..20u8 {
        let mut other = photograph.clone();
        other[0] = number;
        store.keep_blob(&other).unwrap();
    }
    let log = std::fs::metadata(dir.path().join(format!("{DATABASE_FILE}-wal")))
        .unwrap()
        .len();
    assert!(
        log < 20 * 1024 * 1024,
        "the log has {log} bytes after 60 MB were written"
    );
}

#[test]
fn a_blob_is_found_by_the_hash_of_its_bytes() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let hash = store.keep_blob(b"a photograph").unwrap();
    assert_eq!(store.keep_blob(b"a photograph").unwrap(), hash);
    assert_eq!(store.blob(hash).unwrap().unwrap(), b"a photograph");
    assert_eq!(hash.to_string().parse::<ContentHash>().unwrap(), hash);
    assert_eq!(store.blob(ContentHash::of(b"another")).unwrap(), None);
}

#[test]
fn a_blob_whose_bytes_have_changed_is_called_damaged() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let hash = store.keep_blob(b"a photograph").unwrap();
    store.close().unwrap();
    behind_its_back(dir.path())
        .execute("UPDATE blob SET bytes = x'00'", [])
        .unwrap();
    let error = open(dir.path()).blob(hash).unwrap_err();
    assert_eq!(error.code(), "corrupt");
}

#[test]
fn what_is_no_sha_256_is_not_read_as_one() {
    for text in ["", "abc", &"g".repeat(64), &"a".repeat(63), &"é".repeat(32)] {
        assert_eq!(text.parse::<ContentHash>(), Err(NotAContentHash), "{text}");
    }
}

#[test]
fn a_signed_record_comes_back_byte_for_byte() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store.keep_changes(job(1), &[row(1, 1)], false, None).unwrap();
    let text = r#"{"format":"a record"}"#.as_bytes();
    let digest = store.keep_signed_record(job(1), 1, text).unwrap();
    let apart = store.keep_signed_record(job(1), 1, b"signed elsewhere").unwrap();
    assert_eq!(store.keep_signed_record(job(1), 1, text).unwrap(), digest);

    let record = store.signed_record(digest).unwrap().unwrap();
    assert_eq!(
        (record.job, record.revision, record.bytes.as_slice()),
        (job(1), 1, text)
    );
    let mut digests: Vec<_> = store
        .signed_records(job(1))
        .unwrap()
        .into_iter()
        .map(|record| record.digest)
        .collect();
    digests.sort();
    let mut expected = [digest, apart];
    expected.sort();
    assert_eq!(digests, expected);
}

#[test]
fn a_signed_record_of_an_unknown_job_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let error = open(dir.path()).keep_signed_record(job(9), 1, b"{}").unwrap_err();
    assert_eq!(error.code(), "unknown_job");
}

fn clock<const N: usize>(reaches: [(u8, u64); N]) -> Clock {
    reaches
        .map(|(actor, seq)| {
            let row = row(actor, seq);
            (row.actor, Reach { seq, hash: row.hash })
        })
        .into()
}

#[test]
fn custody_follows_what_the_peer_said_last_even_when_it_is_less() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let rows = [row(1, 1), row(1, 2), row(1, 3), row(2, 1)];
    store.keep_changes(job(1), &rows, false, None).unwrap();
    let (more, less) = (clock([(1, 3), (2, 1)]), clock([(1, 2)]));
    store.keep_stored(device(2), job(1), &more).unwrap();
    store.keep_stored(device(3), job(1), &less).unwrap();
    assert_eq!(
        store.custody(job(1)).unwrap(),
        [(device(2), more.clone()), (device(3), less.clone())].into()
    );
    store.keep_stored(device(2), job(1), &less).unwrap();
    assert_eq!(store.custody(job(1)).unwrap()[&device(2)], less);
    store.keep_stored(device(2), job(1), &Clock::new()).unwrap();
    assert_eq!(store.custody(job(1)).unwrap(), [(device(3), less)].into());
}

#[test]
fn a_peers_word_counts_only_for_a_change_that_is_held_here_too() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    store
        .keep_changes(job(1), &[row(1, 1), row(2, 1)], false, None)
        .unwrap();
    let mut said = clock([(1, 1), (2, 1), (3, 7)]);
    said.get_mut(&ActorId([2; 16])).unwrap().hash = ChangeHash([9; 32]);
    store.keep_stored(device(2), job(1), &said).unwrap();
    assert_eq!(store.said_stored(device(2), job(1)).unwrap(), said);
    assert_eq!(
        store.custody(job(1)).unwrap(),
        [(device(2), clock([(1, 1)]))].into()
    );
}

#[test]
fn the_rows_say_how_far_each_writer_has_come_unless_there_are_gaps() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let rows = [row(1, 1), row(1, 2), row(2, 1), row(255, 1)];
    store.keep_changes(job(1), &rows, false, None).unwrap();
    store.keep_changes(job(2), &[row(1, 3)], true, None).unwrap();
    assert_eq!(
        store.clock(job(1)).unwrap(),
        Some(clock([(1, 2), (2, 1), (255, 1)]))
    );
    assert_eq!(store.clock(job(2)).unwrap(), None);
    assert_eq!(store.clock(job(3)).unwrap(), Some(Clock::new()));
    store
        .keep_changes(job(2), &[row(1, 2), row(1, 1)], false, None)
        .unwrap();
    assert_eq!(store.clock(job(2)).unwrap(), Some(clock([(1, 3)])));
}

#[test]
fn a_writers_id_is_used_once() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let boot = BootId(Uuid::from_u128(1));
    let own = Some((ActorId([1; 16]), boot));
    store.keep_changes(job(1), &[row(1, 1)], false, own).unwrap();
    assert!(store.has_used(ActorId([1; 16])).unwrap());
    assert!(!store.has_used(ActorId([2; 16])).unwrap());
    let error = store.keep_changes(job(1), &[row(1, 2)], false, own).unwrap_err();
    assert_eq!(error.code(), "actor_used");
    assert_eq!(store.changes(job(1)).unwrap().len(), 1);
}

#[test]
fn a_peer_is_kept_with_the_addresses_it_has_now() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    let mut peer = Peer {
        device: device(2),
        name: "topside".to_owned(),
        person: Some("Ines".to_owned()),
        office: true,
        addresses: vec!["127.0.0.1:1".to_owned(), "127.0.0.1:2".to_owned()],
        last_heard: None,
    };
    store.keep_peer(&peer).unwrap();
    peer.addresses = vec!["127.0.0.1:3".to_owned()];
    peer.last_heard = Some("2026-03-04T10:00:00+01:00".to_owned());
    store.keep_peer(&peer).unwrap();
    store.keep_stored(device(3), job(1), &Clock::new()).unwrap();
    assert_eq!(store.peer(device(2)).unwrap(), Some(peer.clone()));
    assert_eq!(store.peers().unwrap()[0], peer);
    assert_eq!(store.peer(device(4)).unwrap(), None);
}

#[test]
fn a_setting_is_the_one_that_was_set_last() {
    let dir = tempfile::tempdir().unwrap();
    let mut store = open(dir.path());
    assert_eq!(store.setting("me").unwrap(), None);
    store.set_setting("me", "Ann").unwrap();
    store.set_setting("me", "Bo").unwrap();
    drop(store);
    assert_eq!(open(dir.path()).setting("me").unwrap().as_deref(), Some("Bo"));
}
