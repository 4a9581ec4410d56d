//! Every kind of item: from entries to the list, in both orders of arrival, to settled by each of its ways.

use super::scene::{Device, VALVE, psi};
use super::steps::{at_the_question, finished};
use crate::journal::{
    About, Body, FlowProof, Journal, Level, Outcome, Position, Purpose, Resolution, Role, Unknown, Withdrawn,
};
use crate::procedure::tests::crew::Tablet;
use crate::procedure::tests::stages::to_as_found;
use crate::review::{Code, Way};

/// Two journals of one job, neither of which holds all of the other, that together come to an item of this kind.
fn scene(code: Code) -> (Journal, Journal) {
    let mut ana = Device::opens();
    let mut ben = Device::new(2);
    ben.hears(&ana);
    match code {
        Code::Disagreement => {
            ana.sets(Position::Shut);
            ben.sets(Position::Open);
        }
        Code::TwoRequests => {
            ana.requests("55");
            ben.requests("52");
        }
        Code::UnknownState => {
            let open = ana.sets(Position::Open);
            ana.say(Body::Withdrawn(Withdrawn {
                entry: open,
                reason: "wrong valve".to_owned(),
            }));
            ben.notes("by the lid");
        }
        Code::RequestChanged => {
            let first = ana.requests("55");
            ben.hears(&ana);
            ben.leaves("55.1", first);
            ana.requests("52");
        }
        Code::ReadingsDiffer | Code::ReadingsSeemToDiffer => {
            ana.gauge("G-1", |_| {});
            ana.gauge("G-2", |_| {});
            ben.hears(&ana);
            ana.reads_off("G-1", "62");
            let differs = code == Code::ReadingsDiffer;
            ben.reads_off("G-2", if differs { "66" } else { "63" });
        }
        Code::TwoOnScrew => {
            ana.turns_by("1/8");
            ben.turns_by("-1/8");
        }
        Code::StillAsFlowing => {
            let read = ana.reads_flowing("70", Purpose::Working);
            ana.turns_from(read);
            ben.flow(FlowProof::Stopped);
        }
        Code::GaugeOverSpan
        | Code::GaugeOutOfCalibration
        | Code::GaugeOffRange
        | Code::GaugeZeroOff
        | Code::GaugeNotKnown => {
            ana.gauge("G-1", |gauge| match code {
                Code::GaugeOverSpan => gauge.span = psi("60"),
                Code::GaugeOutOfCalibration => gauge.calibration_due = Some("2025-11-24".to_owned()),
                Code::GaugeZeroOff => gauge.zero_before = Some(psi("4")),
                Code::GaugeNotKnown => gauge.calibration_due = None,
                _ => {}
            });
            ben.reads_off("G-1", if code == Code::GaugeOffRange { "30" } else { "62" });
        }
        Code::WithoutEffect => {
            ben.grants(ben.person, Role::LeadTech);
        }
        Code::UnknownKind => {
            ben.say(Body::Unknown(Unknown {
                kind: "of_tomorrow".to_owned(),
                raw: r#"{"kind":"of_tomorrow","x":1}"#.to_owned(),
            }));
        }
        Code::UnknownProcedure => {
            ana = Device::opens_by("of_tomorrow");
            ben = Device::new(2);
            ben.hears(&ana);
            ben.notes("nobody here can walk it");
        }
        Code::LateEntries => {
            ben.notes("strainer basket bent");
            ana.signs(1);
        }
        _ => return walked(code),
    }
    (ana.into_journal(), ben.into_journal())
}

/// The same of the kinds that a walk through the procedure leaves.
fn walked(code: Code) -> (Journal, Journal) {
    let mut ana = match code {
        Code::StepRefused | Code::StepUnsaid | Code::StepOverridden | Code::StepNotDone => at_the_question(),
        Code::NotBled | Code::LockNutNotReRead | Code::LimitOnSetting => finished(),
        _ => Tablet::opens("reducing"),
    };
    if matches!(code, Code::StepRefused | Code::StepUnsaid) {
        ana.forces("entry.enter", Outcome::Done, &[], None);
    }
    let mut ben = Tablet::joins("reducing", "Beto", 2);
    ben.meets(&mut ana);
    let done = |tablet: &mut Tablet, step: &str| tablet.forces(step, Outcome::Done, &[], None);
    let chosen = |tablet: &mut Tablet, step: &str, answer: &str| {
        tablet.forces(step, Outcome::Chosen(answer.to_owned()), &[], None)
    };
    match code {
        Code::NotBled => {
            for point in ["inlet", "cover", "spool"] {
                ben.reads(point, "0");
            }
            done(&mut ben, "prepare.strainers");
        }
        Code::LockNutNotReRead => {
            ben.does("tune_and_prove.lock_nut");
        }
        Code::StepRefused => {
            ben.tests_air(Level::Bottom, "17.0", "0");
            done(&mut ben, "prepare.flush");
        }
        Code::StepUnsaid => {
            ben.tests_air(Level::Bottom, "17.0", "0");
            chosen(&mut ana, "set_flowing.flow_proof", "");
            chosen(&mut ana, "can_water_move.answer", "yes");
        }
        Code::StepOverridden => {
            let unmet = ["step:pre_job.discharge"];
            ben.forces(
                "set_flowing.demand",
                Outcome::Done,
                &unmet,
                Some("customers draw"),
            );
        }
        Code::StepNotDone => {
            ben.forces("pre_job.vault_card", Outcome::NotDone, &[], Some("no card"));
        }
        Code::StepOutOfOrder => {
            to_as_found(&mut ana);
            let unmet = ["step:prepare.lock_nut"];
            ana.forces("prepare.back_out", Outcome::Done, &unmet, Some("it was slack"));
            ben.meets(&mut ana);
            done(&mut ben, "prepare.lock_nut");
        }
        Code::LimitOnSetting => {
            chosen(&mut ben, "set_flowing.enough", "below_minimum");
        }
        Code::Initials => {
            ben.reads("outlet", "55");
        }
        // What is still ahead in a job that nobody has touched.
        _ => {}
    }
    ana.photographs();
    ben.photographs();
    (ana.into_journal(), ben.into_journal())
}

fn hearing(number: u128, one: &Journal, other: &Journal) -> Device {
    let mut device = Device::new(number);
    device.takes_in(one);
    device.takes_in(other);
    device
}

/// Whether an item of this kind and key still waits for somebody.
fn waits(device: &mut Device, code: Code, key: &str) -> bool {
    let items = device.items(code);
    items.iter().any(|item| item.key == key && item.is_open())
}

fn holds_from_entries_to_settled(code: Code) {
    let (a, b) = scene(code);
    let mut here = hearing(901, &a, &b);
    let mut there = hearing(902, &b, &a);
    assert_eq!(
        here.review(),
        there.review(),
        "{code:?} depends on who was heard first"
    );
    let items = here.items(code);
    let item = items.first().unwrap_or_else(|| panic!("no item of {code:?}"));
    for &way in code.ways() {
        let mut here = hearing(904, &a, &b);
        let mut there = hearing(905, &b, &a);
        match way {
            Way::Words => {
                let words = here.settles(item);
                there.hears(&here);
                let settled = there
                    .items(code)
                    .into_iter()
                    .find(|it| it.key == item.key)
                    .unwrap();
                assert_eq!(settled.settled_by, Some(words), "{code:?}");
                assert_eq!(settled.entries, item.entries, "{code:?} stays readable");
            }
            Way::Register => {
                let found = here
                    .state()
                    .entry(item.entries[0])
                    .unwrap()
                    .entry
                    .told
                    .body
                    .clone();
                here.say(Body::Resolution(Resolution {
                    about: About::Register {
                        register: item.register.clone().unwrap(),
                        replaces: item.entries.clone(),
                        value: Box::new(found),
                    },
                    reason: "looked at it together".to_owned(),
                }));
                there.hears(&here);
                assert!(!waits(&mut there, code, &item.key), "{code:?}");
                assert!(
                    there.items(code).iter().any(|it| it.settled_by.is_some()),
                    "{code:?}"
                );
            }
            Way::ReOpen => {
                let signed = crate::review::newest_sign_off(&here.state()).unwrap();
                here.re_opens(signed);
                here.signs(2);
                there.hears(&here);
                assert_eq!(there.items(code), [], "{code:?}");
            }
            Way::Update => {
                here.settles(item);
                assert!(
                    waits(&mut here, code, &item.key),
                    "{code:?}: words do not settle it"
                );
            }
            // What work does it again is each kind's own: the sentences beside this file say it.
            Way::Again => {}
        }
    }
    assert!(
        item.settled_by.is_some() || item.is_open() != code.ways().is_empty(),
        "{code:?}: whoever has to do something has a way"
    );
}

/// Kinds that only a walk through a whole procedure shows.
fn takes_a_walk(code: Code) -> bool {
    matches!(
        code,
        Code::NotBled
            | Code::LockNutNotReRead
            | Code::LimitOnSetting
            | Code::StepRefused
            | Code::StepUnsaid
            | Code::StepOverridden
            | Code::StepNotDone
            | Code::StepOutOfOrder
    )
}

#[test]
fn every_kind_of_a_walk_comes_to_the_list_in_both_orders_and_is_settled_by_each_of_its_ways() {
    let walks = Code::ALL.iter().copied().filter(|&code| takes_a_walk(code));
    walks.for_each(holds_from_entries_to_settled);
}

#[test]
fn every_other_kind_comes_to_the_list_in_both_orders_and_is_settled_by_each_of_its_ways() {
    let others = Code::ALL.iter().copied().filter(|&code| !takes_a_walk(code));
    others.for_each(holds_from_entries_to_settled);
}

#[test]
fn a_job_whose_opening_has_not_come_has_an_empty_list_and_no_other_has() {
    assert_eq!(Device::new(1).review(), [], "nothing has arrived");
    for procedure in super::scene::procedures().iter() {
        let mut untouched = Device::opens_by(&procedure.id);
        let ahead = untouched.review();
        assert!(!ahead.is_empty(), "{}: the work is ahead", procedure.id);
        assert!(
            ahead.iter().all(crate::review::Item::is_missing),
            "{}: {ahead:#?}",
            procedure.id
        );
        assert!(
            ahead
                .iter()
                .all(|item| item.valve == Some(VALVE) || item.valve.is_none())
        );
        assert_eq!(untouched.open(), [], "{}: nothing to decide yet", procedure.id);
    }
}
