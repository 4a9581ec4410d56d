//! Anything at all at the journal's door: bytes as they come, and changes and bundles bent and sealed again with the
//! checksum that belongs to them. Whatever was taken or refused, the journal must go on, read the same from its rows,
//! and pass everything on.

#![no_main]

#[allow(dead_code, reason = "shared with the tests of the journal")]
#[path = "../../../core/tests/journal/craft.rs"]
mod craft;
#[allow(dead_code, reason = "shared with the tests of the journal")]
#[path = "../../../core/tests/journal/support.rs"]
mod support;

use craft::*;
use libfuzzer_sys::fuzz_target;
use std::sync::OnceLock;
use support::*;
use turnwise_core::journal::limits::FRAME_LIMIT;
use turnwise_core::journal::*;

/// Honest work to begin with.
struct Scene {
    journal: Journal,
    rows: Vec<ChangeRow>,
    /// Changes and bundles that others could send.
    deliveries: Vec<Vec<u8>>,
}

fn scene() -> &'static Scene {
    static SCENE: OnceLock<Scene> = OnceLock::new();
    SCENE.get_or_init(|| {
        let mut office = Tablet::new(1, "Office");
        let mut rows = Vec::new();
        for entry in [
            office.entry_as(EntryId(JOB.0), opened()),
            office.entry(grant("Ana", Role::Technician, vec![])),
            office.entry(stands("block", Position::Open, vec![])),
        ] {
            rows.push(office.journal.append(&entry).unwrap());
        }
        let journal = office.journal.clone();
        let mut ana = Tablet::new(2, "Ana");
        ana.hear(&office);
        let mut others = Vec::new();
        for body in [
            stands("block", Position::Shut, vec![]),
            settled("block", Position::Shut, vec![id(1001), id(1002), id(2001)]),
            withdrawn(id(2001)),
            note("words"),
            sign_off(),
        ] {
            let entry = ana.entry(body);
            others.push(ana.journal.append(&entry).unwrap().bytes);
        }
        let all: Vec<Vec<u8>> = rows.iter().map(|row| row.bytes.clone()).chain(others.clone()).collect();
        let document = document(&all);
        let mut deliveries = others.clone();
        deliveries.push(first(9, put("x", 1)));
        for some in [&others[..], &others[2..], &others[..1], &all[..]] {
            deliveries.push(bundle(&document, some.iter().map(|bytes| hash_of(bytes))));
        }
        Scene { journal, rows, deliveries }
    })
}

/// Bytes used up from the front.
struct Input<'a>(&'a [u8]);

impl<'a> Input<'a> {
    fn byte(&mut self) -> u8 {
        let Some((&byte, rest)) = self.0.split_first() else {
            return 0;
        };
        self.0 = rest;
        byte
    }

    fn place(&mut self, within: usize) -> usize {
        (usize::from(self.byte()) << 8 | usize::from(self.byte())) % (within + 1)
    }

    fn some(&mut self) -> &'a [u8] {
        let (some, rest) = self.0.split_at(self.place(self.0.len()));
        self.0 = rest;
        some
    }
}

/// Bends what is inside a chunk and seals it again.
fn bent(chunk: &[u8], input: &mut Input<'_>) -> Vec<u8> {
    let kind = chunk[8];
    let mut data = inside(chunk).to_vec();
    for _ in 0..input.byte() % 8 {
        let at = input.place(data.len());
        match input.byte() % 5 {
            0 => data.insert(at, input.byte()),
            1 if at < data.len() => drop(data.remove(at)),
            2 if at < data.len() => data[at] ^= input.byte(),
            3 if at < data.len() => data[at] = input.byte(),
            4 => {
                let piece = input.some();
                data.splice(at..at, piece.iter().copied());
            }
            _ => {}
        }
    }
    sealed(kind, &data)
}

/// Columns of any kind and content.
fn any_columns(input: &mut Input<'_>) -> Vec<(u32, Vec<u8>)> {
    let specs = [0x01, 0x02, 0x11, 0x13, 0x15, 0x34, 0x42, 0x56, 0x57, 0x70, 0x71, 0x73, 0x94, 0xa5, 0x53, 0x60, 0x67];
    let mut columns: Vec<(u32, Vec<u8>)> = (0..input.byte() % 12)
        .map(|_| {
            let spec = specs[usize::from(input.byte()) % specs.len()];
            match input.byte() % 3 {
                0 => (spec, input.some().to_vec()),
                1 => (spec, run(i64::from(input.byte() as i8), input.some())),
                _ => (spec | 8, deflated(input.some())),
            }
        })
        .collect();
    columns.sort_by_key(|(spec, _)| spec & !8);
    columns
}

fn delivery(input: &mut Input<'_>) -> Vec<u8> {
    let deliveries = &scene().deliveries;
    match input.byte() % 6 {
        0 => input.some().to_vec(),
        1 => sealed(CHANGE, input.some()),
        2 => sealed(BUNDLE, input.some()),
        3 => {
            let columns = any_columns(input);
            sealed(CHANGE, &change_of(&[input.byte(); 16], u64::from(input.byte()), 1, &columns))
        }
        4 => {
            let changes = any_columns(input);
            sealed(BUNDLE, &bundle_of(&changes, &any_columns(input)))
        }
        _ => {
            let chosen = &deliveries[usize::from(input.byte()) % deliveries.len()];
            bent(chosen, input)
        }
    }
}

/// What an honest journal needs to go on with the rows that it was given.
fn check(mut journal: Journal, mut rows: Vec<ChangeRow>) {
    let clock = journal.clock().clone();
    let entry = Tablet::new(7, "Office").entry(note("goes on"));
    rows.push(journal.append(&entry).expect("the journal goes on"));
    let state = journal.state();
    assert!(state.entry(entry.id).is_some(), "what was appended counts");
    let text = state.canonical();

    let kept = rows.iter().rev().map(|row| (row.hash, row.bytes.clone()));
    let (mut loaded, bad) = Journal::load(JOB, ActorId([0xab; 16]), kept);
    assert_eq!(bad, [], "every row is read again");
    assert_eq!(loaded.clock(), journal.clock());
    assert_eq!(loaded.waiting(), journal.waiting());
    assert_eq!(loaded.state().canonical(), text);

    let mut other = fresh();
    for delivery in journal.missing(&Clock::new()) {
        assert!(delivery.len() <= FRAME_LIMIT);
        other.intake(&delivery).expect("what is passed on is taken");
    }
    assert_eq!(other.clock(), journal.clock());
    assert_eq!(other.state().canonical(), text);
    assert!(journal.missing(other.clock()).is_empty());
    assert_ne!(journal.clock(), &clock);
}

fuzz_target!(
    init: {
        // The fuzzer aborts on every panic; the library's are caught and refused. A panic that nobody catches still
        // ends the run, and says where it was.
        std::panic::set_hook(Box::new(|panic| {
            let ours = panic.location().is_some_and(|at| !at.file().contains("/registry/"));
            if ours {
                eprintln!("{panic}");
            }
        }));
    },
    |data: &[u8]| {
        let mut input = Input(data);
        let mut journal = scene().journal.clone();
        let mut rows = scene().rows.clone();
        for _ in 0..=input.byte() % 3 {
            let text = journal.state().canonical();
            match journal.intake(&delivery(&mut input)) {
                Ok(new) => rows.extend(new),
                Err(refusal) => {
                    assert!(!refusal.code().is_empty());
                    assert_eq!(journal.state().canonical(), text, "refusing changes nothing");
                }
            }
        }
        check(journal, rows);
    }
);
