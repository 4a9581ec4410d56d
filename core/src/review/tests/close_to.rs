//! Requests, what came after the signature, and what nobody here can read.

use super::scene::{Device, meet};
use crate::journal::{Body, Unknown};
use crate::review::{Code, Weight};

#[test]
fn two_requests_stand_until_somebody_writes_which() {
    let mut office = Device::opens();
    let mut crew = Device::new(2);
    crew.hears(&office);
    let one = office.requests("55");
    let other = crew.requests("52");
    meet(&mut crew, &mut office);
    let item = crew.item(Code::TwoRequests);
    assert!(item.needs_decision());
    assert!(item.entries.contains(&one) && item.entries.contains(&other));
    assert_eq!(crew.items(Code::Disagreement), []);

    let found = crew.requests("52");
    meet(&mut crew, &mut office);
    let settled = office.item(Code::TwoRequests);
    assert_eq!((settled.settled_by, settled.entries), (Some(found), item.entries));
    assert_eq!(office.open(), []);

    office.requests("60");
    crew.requests("58");
    meet(&mut crew, &mut office);
    assert_eq!(crew.open().len(), 1, "two other requests are another matter");
}

#[test]
fn an_entry_that_nobody_here_can_read_waits_for_a_newer_version() {
    let mut crew = Device::opens();
    let mut newer = Device::new(2);
    newer.hears(&crew);
    let entry = newer.say(Body::Unknown(Unknown {
        kind: "of_tomorrow".to_owned(),
        raw: r#"{"kind":"of_tomorrow","x":1}"#.to_owned(),
    }));
    meet(&mut crew, &mut newer);
    assert_eq!(crew.open(), [(Code::UnknownKind, vec![entry])]);
    let item = crew.item(Code::UnknownKind);
    crew.settles(&item);
    assert_eq!(crew.open().len(), 1, "no words settle what nobody has read");
}

#[test]
fn late_entries_are_left_as_an_addendum_by_words_until_another_comes() {
    let mut crew = Device::opens();
    let mut mate = Device::new(2);
    mate.hears(&crew);
    let one = mate.notes("strainer basket bent");
    crew.signs(1);
    meet(&mut crew, &mut mate);
    assert_eq!(crew.open(), [(Code::LateEntries, vec![one])]);
    let item = crew.item(Code::LateEntries);
    let words = crew.settles(&item);
    meet(&mut crew, &mut mate);
    assert_eq!(mate.open(), []);
    assert_eq!(mate.item(Code::LateEntries).settled_by, Some(words));
    let another = mate.notes("and its gasket");
    assert_eq!(mate.open(), [(Code::LateEntries, vec![one, another])]);
}

#[test]
fn signing_again_covers_what_was_late() {
    let mut crew = Device::opens();
    let mut mate = Device::new(2);
    mate.hears(&crew);
    mate.notes("strainer basket bent");
    let signed = crew.signs(1);
    meet(&mut crew, &mut mate);
    crew.re_opens(signed);
    crew.signs(2);
    meet(&mut crew, &mut mate);
    assert_eq!(crew.items(Code::LateEntries), []);
}

#[test]
fn every_kind_has_a_code_of_its_own_and_what_needs_a_decision_has_a_way() {
    let mut codes: Vec<_> = Code::ALL.iter().map(|code| code.as_str()).collect();
    codes.sort_unstable();
    codes.dedup();
    assert_eq!(codes.len(), Code::ALL.len());
    for code in Code::ALL {
        assert_eq!(code.ways().is_empty(), code.weight() == Weight::Read, "{code:?}");
    }
}
