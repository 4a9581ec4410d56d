//! Who may settle, sign and open again, and what the others' words do: nothing, in full view.

use super::scene::{Device, meet};
use crate::journal::{EntryId, PersonId, Role};
use crate::review::{Code, newest_sign_off, re_opened};

/// An office that made one person lead tech and another technician, and their devices. The third has no role.
fn crew() -> [Device; 4] {
    let mut office = Device::opens();
    let mut devices = [2, 3, 4].map(Device::new);
    office.grants(devices[0].person, Role::LeadTech);
    office.grants(devices[1].person, Role::Technician);
    for device in &mut devices {
        device.hears(&office);
    }
    let [lead, technician, other] = devices;
    [office, lead, technician, other]
}

fn without_effect(device: &mut Device) -> Vec<(EntryId, String)> {
    let items = device.items(Code::WithoutEffect);
    items
        .into_iter()
        .map(|item| (item.entries[0], item.condition.unwrap()))
        .collect()
}

#[test]
fn a_settlement_by_somebody_without_a_role_is_shown_and_settles_nothing() {
    let [mut office, mut lead, mut technician, mut other] = crew();
    lead.turns_by("1/8");
    technician.turns_by("-1/8");
    meet(&mut lead, &mut technician);
    meet(&mut lead, &mut other);
    let item = other.item(Code::TwoOnScrew);
    let words = other.settles(&item);
    meet(&mut lead, &mut other);
    meet(&mut lead, &mut office);
    for device in [&mut lead, &mut other, &mut office] {
        assert_eq!(device.open().len(), 1);
        assert_eq!(without_effect(device), [(words, "not_granted".to_owned())]);
    }
    let words = technician.settles(&item);
    meet(&mut lead, &mut technician);
    assert_eq!(lead.item(Code::TwoOnScrew).settled_by, Some(words));
}

#[test]
fn a_signature_and_an_opening_again_by_a_technician_are_shown_and_do_nothing() {
    let [_, mut lead, mut technician, _] = crew();
    let not_his = technician.signs(1);
    meet(&mut lead, &mut technician);
    assert_eq!(newest_sign_off(&lead.state()), None);
    let signed = lead.signs(1);
    meet(&mut lead, &mut technician);
    let nor_this = technician.re_opens(signed);
    meet(&mut lead, &mut technician);
    assert_eq!(re_opened(&lead.state(), signed), None);
    let refused = |entry| (entry, "not_granted".to_owned());
    assert_eq!(without_effect(&mut lead), [refused(not_his), refused(nor_this)]);

    let opened = lead.re_opens(signed);
    assert_eq!(re_opened(&lead.state(), signed), Some(opened));
}

#[test]
fn a_role_that_a_hostile_device_gives_itself_is_shown_and_gives_it_nothing() {
    let [mut office, mut lead, _, mut hostile] = crew();
    let granted = hostile.grants(hostile.person, Role::LeadTech);
    let signed = hostile.signs(1);
    meet(&mut office, &mut hostile);
    meet(&mut lead, &mut office);
    assert_eq!(newest_sign_off(&lead.state()), None);
    assert_eq!(
        without_effect(&mut lead),
        [
            (granted, "not_from_office".to_owned()),
            (signed, "not_granted".to_owned())
        ]
    );
    assert_eq!(lead.open(), []);
}

#[test]
fn a_person_whose_role_was_taken_away_settles_nothing_from_then_on() {
    let [mut office, mut lead, mut technician, _] = crew();
    lead.turns_by("1/8");
    technician.turns_by("-1/8");
    meet(&mut lead, &mut technician);
    meet(&mut lead, &mut office);
    let technician_is: PersonId = technician.person;
    office.grants(technician_is, Role::Reader);
    meet(&mut office, &mut technician);
    let item = technician.item(Code::TwoOnScrew);
    technician.settles(&item);
    meet(&mut lead, &mut technician);
    assert_eq!(lead.item(Code::TwoOnScrew).settled_by, None);
}
