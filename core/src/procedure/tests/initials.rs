//! Whose entries want initials.

use super::crew::{Tablet, figure};
use crate::journal::{Body, Grant, ParticularValue, PersonId, Role};
use crate::procedure::own_entries;
use crate::quantity::Unit;

#[test]
fn what_the_office_wrote_is_nobodys_to_initial() {
    let mut office = Tablet::opens("reducing");
    let rate = figure("13.5", Unit::PsiPerTurn);
    office.knows("spring_rate", ParticularValue::Figure(rate));
    office.say(Body::Grant(Grant {
        person: PersonId::of_name("Ben"),
        name: "Ben".to_owned(),
        role: Role::LeadTech,
        replaces: Vec::new(),
    }));
    let mut ben = Tablet::joins("reducing", "Ben", 2);
    office.meets(&mut ben);
    ben.knows_word("plate", "as seen");
    let own = own_entries(&ben.state());
    assert_eq!(own.keys().collect::<Vec<_>>(), [&ben.person]);
    assert_eq!(own[&ben.person].entries.len(), 1);
}
