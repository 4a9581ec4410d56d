//! The crew screen.

use super::Showing;
use crate::journal::{Body, Register, Stand};
use crate::tablet::view::{CrewMember, CrewView};

/// Everybody who joined or was granted something, by name.
pub fn crew(showing: &Showing<'_>) -> CrewView {
    let people = showing.people().into_iter().map(|person| {
        let duty = Register::Duty { person: person.id };
        let duties = match showing.state.standing(&duty) {
            Stand::Agreed(Body::PersonJoined(joined), _) => joined.duties.clone(),
            _ => Vec::new(),
        };
        let theirs = showing
            .state
            .live()
            .filter(|folded| folded.entry.told.by == person.id);
        CrewMember {
            duties,
            replaces: showing.state.standing_ids(&duty),
            role: showing.state.role(person.id),
            entries: u32::try_from(theirs.count()).unwrap_or(u32::MAX),
            newest: showing
                .readings()
                .rev()
                .find(|(folded, _)| folded.entry.told.by == person.id)
                .map(|(folded, reading)| showing.reading(folded, reading)),
            person,
        }
    });
    CrewView {
        people: people.collect(),
    }
}
