//! Changes that are held and passed on although they make no sense: they are set aside in the fold, and stop
//! nobody.

use crate::craft::*;
use crate::support::*;
use automerge::legacy::{ElementId, Key, ObjectId, Op, OpId, OpType, SortedVec};
use automerge::{Author, ObjType, ScalarValue};
use turnwise_core::journal::limits::DEPS_LIMIT;
use turnwise_core::journal::*;

/// Takes a change in next to honest work, passes everything on to a second journal and from there to a third,
/// and returns what became of it.
fn set_aside(change: &[u8]) -> &'static str {
    let mut tablet = Tablet::new(1, "Ana");
    tablet.open();
    tablet.journal.intake(change).unwrap();
    // Enough that bundles are made.
    for number in 0..150 {
        tablet.say(note(&format!("note {number}")));
    }
    let mut other = Tablet::new(2, "Ben");
    other.hear(&tablet);
    other.say(note("goes on"));
    let mut third = Tablet::new(3, "Cruz");
    third.hear(&other);
    let state = third.journal.state();
    assert_eq!(state.entries.len(), 152);
    tablet.hear(&third);
    assert_eq!(tablet.journal.state().canonical(), state.canonical());
    assert_eq!(state.quarantine.len(), 1);
    assert_eq!(state.quarantine[0].hash, hash_of(change));
    state.quarantine[0].code
}

fn operation(action: OpType, obj: ObjectId, key: Key, insert: bool) -> Op {
    Op {
        action,
        obj,
        key,
        pred: SortedVec::new(),
        insert,
    }
}

fn key() -> Key {
    Key::Map(id(1).to_string().into())
}

fn text(entry: &Entry) -> String {
    serde_json::to_string(&entry.told).unwrap()
}

#[test]
fn what_puts_nothing_under_an_entrys_id_is_not_an_entry() {
    let entry = Tablet::new(9, "Cruz").entry_as(id(0xabcd), note("good"));
    let spelled = |id: &str| set_aside(&first(9, put(id, text(&entry))));
    assert_eq!(spelled("not an id"), "not_an_entry");
    assert_eq!(spelled(""), "not_an_entry");
    // An id has one spelling, or one entry could stand under several.
    assert_eq!(spelled(&entry.id.to_string().to_uppercase()), "not_an_entry");
    assert_eq!(spelled(&entry.id.0.simple().to_string()), "not_an_entry");
    assert_eq!(set_aside(&first(9, put(&id(1).to_string(), 7))), "not_an_entry");
    assert_eq!(
        set_aside(&first(
            9,
            put(&id(1).to_string(), ScalarValue::Bytes(vec![1, 2, 3]))
        )),
        "not_an_entry"
    );
    assert_eq!(set_aside(&bytes(expanded(9, vec![]))), "not_an_entry");
}

#[test]
fn what_does_something_else_with_the_document_is_not_an_entry() {
    let aside = |operation| assert_eq!(set_aside(&first(9, operation)), "not_an_entry");
    for kind in [ObjType::Map, ObjType::List, ObjType::Text, ObjType::Table] {
        aside(operation(OpType::Make(kind), ObjectId::Root, key(), false));
    }
    aside(operation(OpType::Delete, ObjectId::Root, key(), false));
    aside(operation(OpType::Increment(5), ObjectId::Root, key(), false));
    aside(operation(
        OpType::MarkEnd(true),
        ObjectId::Root,
        Key::Seq(ElementId::Head),
        true,
    ));
}

/// The library panics when it is asked to hold such a change.
fn breaks_the_library(change: &[u8]) -> bool {
    std::panic::catch_unwind(|| document(&[change.to_vec()])).is_err()
}

#[test]
fn a_change_on_which_the_library_panics_stops_nobody() {
    let nowhere = ObjectId::Id(OpId(40, automerge::ActorId::from([9; 16])));
    let put = OpType::Put(ScalarValue::Int(1));
    let change = first(9, operation(put.clone(), nowhere, key(), false));
    assert!(breaks_the_library(&change));
    assert_eq!(set_aside(&change), "not_an_entry");
    let stranger = ObjectId::Id(OpId(1, automerge::ActorId::from([77; 16])));
    let change = first(9, operation(put, stranger, key(), false));
    assert!(breaks_the_library(&change));
    assert_eq!(set_aside(&change), "not_an_entry");
}

#[test]
fn a_change_that_carries_more_than_its_entry_still_counts() {
    let entry = Tablet::new(9, "Cruz").entry(note("good"));
    let mut change = expanded(9, vec![put_entry(&entry)]);
    change.time = 1_772_000_000;
    change.message = Some("a message".to_owned());
    change.extra_bytes = vec![9; 20];
    let first = bytes(change);
    // An author named in any but the first change is more than the library can hold.
    let mut change = expanded(
        9,
        vec![put_entry(&Tablet::new(10, "Cruz").entry(note("also good")))],
    );
    change.seq = 2;
    change.start_op = 2.try_into().unwrap();
    change.deps = vec![automerge::ChangeHash(hash_of(&first).0)];
    change.extra_bytes = vec![1, 3, b'A', b'n', b'a'];
    let second = bytes(change);
    assert_eq!(
        automerge::Change::try_from(&second[..]).unwrap().author(),
        Some(Author::from(&b"Ana"[..]))
    );
    let mut tablet = Tablet::new(1, "Ana");
    tablet.journal.intake(&[first, second].concat()).unwrap();
    for number in 0..150 {
        tablet.say(note(&format!("note {number}")));
    }
    let mut other = Tablet::new(2, "Ben");
    other.hear(&tablet);
    assert_eq!(other.journal.state().entries.len(), 152);
}

#[test]
fn a_change_that_the_library_would_write_in_another_way_keeps_its_hash() {
    // A column that nobody knows, which the library drops when it writes the change again.
    let entry = Tablet::new(9, "Cruz").entry(note("good"));
    let spell = |text: &str| [unsigned_leb(text.len() as u64), text.as_bytes().to_vec()].concat();
    let value = text(&entry);
    let columns = [
        (0x15, run(1, &spell(&entry.id.to_string()))),
        (0x34, vec![1]),
        (0x42, run(1, &[1])),
        (0x56, run(1, &unsigned_leb((value.len() as u64) << 4 | 6))),
        (0x57, value.into_bytes()),
        (0x70, run(1, &[0])),
        (0x7f2, run(1, &[3])),
    ];
    let change = sealed(CHANGE, &change_of(&[9; 16], 1, 1, &columns));
    let mut tablet = Tablet::new(1, "Ana");
    tablet.journal.intake(&change).unwrap();
    for number in 0..150 {
        tablet.say(note(&format!("note {number}")));
    }
    let mut other = Tablet::new(2, "Ben");
    other.hear(&tablet);
    assert_eq!(other.journal.waiting(), 0);
    assert_eq!(
        other.journal.state().canonical(),
        tablet.journal.state().canonical()
    );
    assert_eq!(other.journal.state().entries.len(), 151);
}

#[test]
fn text_that_is_no_entry_is_malformed() {
    let told = |text: &str| set_aside(&first(9, put(&id(1).to_string(), text)));
    let good = text(&Tablet::new(9, "Cruz").entry(note("good")));
    assert_eq!(told(""), "malformed");
    assert_eq!(told("{}"), "malformed");
    assert_eq!(told(&good[..good.len() - 1]), "malformed");
    assert_eq!(told(&format!("{good} {good}")), "malformed");
    assert_eq!(told(&good.replace("\"note\"", "7")), "malformed");
    assert_eq!(told(&good.replace("\"text\"", "\"words\"")), "malformed");
    // Said twice, it says nothing.
    assert_eq!(
        told(&good.replace("{\"by\"", "{\"mono_ms\":3,\"by\"")),
        "malformed"
    );
    // Numbers that are none.
    for number in [
        "NaN",
        "Infinity",
        "-Infinity",
        "1e999",
        "-1",
        "1.5",
        "18446744073709551616",
    ] {
        assert_eq!(
            told(&good.replace("\"mono_ms\":1", &format!("\"mono_ms\":{number}"))),
            "malformed"
        );
    }
}

#[test]
fn a_figure_that_is_no_number_is_set_aside_with_its_entry() {
    let tablet = Tablet::new(9, "Cruz");
    for digits in [
        "NaN",
        "inf",
        "-Infinity",
        "1e999",
        "",
        " 5",
        "5 ",
        "5,5",
        "--5",
        "1/0",
        &"9".repeat(400),
    ] {
        let entry = tablet.entry(Body::SpeedControl(SpeedControl {
            asset: VALVE,
            control: "closing".to_owned(),
            open: psi(digits),
            replaces: vec![],
        }));
        assert_eq!(set_aside(&first(9, put_entry(&entry))), "bad_figure", "{digits}");
    }
}

#[test]
fn resolutions_inside_resolutions_are_not_followed_down() {
    let mut value = serde_json::to_string(&stands("block", Position::Open, vec![])).unwrap();
    while value.len() < 30_000 {
        value = format!(
            r#"{{"kind":"resolution","about":{{"register":{{"register":{{"of":"gauge","serial":""}},"replaces":[],"value":{value}}}}},"reason":""}}"#
        );
    }
    let good = text(&Tablet::new(9, "Cruz").entry(note("good")));
    let body = r#"{"kind":"note","text":"good"}"#;
    assert!(good.contains(body));
    let deep = good.replace(body, &value);
    assert_eq!(set_aside(&first(9, put(&id(1).to_string(), deep))), "malformed");
    // Neither are brackets without end.
    let deep = good.replace(
        body,
        &format!(r#"{{"kind":"novel","deep":{}}}"#, "[".repeat(20_000)),
    );
    assert_eq!(set_aside(&first(9, put(&id(1).to_string(), deep))), "malformed");
}

#[test]
fn a_clock_two_days_off_decides_nothing() {
    let play = |clocks: [&str; 3]| {
        let mut a = Tablet::new(1, "Ana");
        let mut b = Tablet::new(2, "Ben");
        let say = |tablet: &mut Tablet, at: &str, body| {
            let mut entry = tablet.entry(body);
            entry.told.at = at.to_owned();
            tablet.journal.append(&entry).unwrap();
            entry.id
        };
        let open = say(&mut a, clocks[0], stands("block", Position::Open, vec![]));
        b.hear(&a);
        let shut = say(&mut b, clocks[1], stands("block", Position::Shut, vec![open]));
        let late = say(&mut a, clocks[2], stands("bypass", Position::Shut, vec![]));
        meet(&mut a, &mut b);
        let state = b.journal.state();
        let standing = state.standing_ids(&register("block"));
        assert_eq!(standing, [shut]);
        let saw = |one, other| state.entry(one).unwrap().saw(state.entry(other).unwrap());
        assert!(saw(shut, open) && saw(late, open) && !saw(shut, late) && !saw(late, shut));
        state.entries.len()
    };
    let right = [
        "2026-03-04T09:30:00-08:00",
        "2026-03-04T09:31:00-08:00",
        "2026-03-04T09:32:00-08:00",
    ];
    let off = [
        "2026-03-06T09:30:00-08:00",
        "2026-03-04T09:31:00-08:00",
        "2026-03-02T09:32:00-08:00",
    ];
    assert_eq!(play(right), play(off));
    assert_eq!(play(right), play(["", "the day before", "9999-99-99T99:99:99Z"]));
}

#[test]
fn an_unknown_kind_is_kept_to_the_letter() {
    let body = r#"{"zeta":1.50e+02, "kind" : "sonar_sweep","alpha":[1,1.0,-0,12345678901234567890123],"é":"\u00e9"}"#;
    let good = text(&Tablet::new(9, "Cruz").entry(note("good")));
    let told = good.replace(r#"{"kind":"note","text":"good"}"#, body);
    let change = first(9, put(&id(1).to_string(), told.as_str()));
    let mut journal = fresh();
    journal.intake(&change).unwrap();
    let state = journal.state();
    let entry = &state.entries[0].entry;
    assert_eq!(
        entry.told.body,
        Body::Unknown(Unknown {
            kind: "sonar_sweep".to_owned(),
            raw: body.to_owned(),
        })
    );
    assert_eq!(serde_json::to_string(&entry.told).unwrap(), told);
    // And passed on as it came.
    assert_eq!(journal.missing(&Clock::new()), [change]);
}

#[test]
fn more_lines_of_work_side_by_side_than_an_entry_can_name_are_joined_by_the_entries_that_follow() {
    let mut tablet = Tablet::new(1, "Ana");
    tablet.say(note("before"));
    let stranger = Tablet::new(9, "Cruz");
    let count = DEPS_LIMIT * 2;
    for number in 0..count {
        let mut change = expanded(9, vec![put_entry(&stranger.entry(note("one of many")))]);
        let mut actor = [200; 16];
        actor[..8].copy_from_slice(&(number as u64).to_be_bytes());
        change.actor_id = automerge::ActorId::from(actor);
        tablet.journal.intake(&bytes(change)).unwrap();
    }
    assert_eq!(tablet.journal.heads().len(), count + 1);
    let first = tablet.say(note("after"));
    assert_eq!(tablet.journal.heads().len(), count + 2 - DEPS_LIMIT);
    tablet.say(note("after that"));
    let last = tablet.say(note("and that"));
    assert_eq!(tablet.journal.heads().len(), 1);
    let state = tablet.journal.state();
    let last = state.entry(last).unwrap();
    assert!(
        state
            .entries
            .iter()
            .all(|other| other.hash == last.hash || last.saw(other))
    );
    assert!(last.saw(state.entry(first).unwrap()));
}
