//! Who may settle and sign, as it stood for the writer of an entry.

use super::{Body, Folded, JobState, PersonId, Role};

/// The grants met so far in fold order, all of them from the office.
#[derive(Default)]
pub(super) struct Grants {
    given: Vec<Given>,
}

/// One grant, by its place among the entries.
struct Given {
    at: usize,
    /// The entries that replaced or withdrew it.
    undone_by: Vec<usize>,
}

impl Grants {
    /// A grant takes effect.
    pub(super) fn given(&mut self, at: usize) {
        self.given.push(Given {
            at,
            undone_by: Vec::new(),
        });
    }

    /// An entry was replaced or withdrawn; it matters here if it was a grant.
    pub(super) fn undone(&mut self, target: usize, by: usize) {
        // Grants come in fold order.
        if let Ok(place) = self.given.binary_search_by_key(&target, |given| given.at) {
            self.given[place].undone_by.push(by);
        }
    }

    /// Whether the entry's person could settle disagreements when it was written.
    pub(super) fn may_settle(&self, state: &JobState, entry: &Folded) -> bool {
        match self.role(state, entry) {
            Known::NoOffice => true,
            Known::Role(role) => matches!(role, Some(Role::LeadTech | Role::Technician)),
        }
    }

    /// Whether the entry's person could sign when it was written.
    pub(super) fn may_sign(&self, state: &JobState, entry: &Folded) -> bool {
        match self.role(state, entry) {
            Known::NoOffice => true,
            Known::Role(role) => role == Some(Role::LeadTech),
        }
    }

    /// The role of an entry's person, by the grants that the writer had seen and nothing else. Where several
    /// stood, the least of them.
    fn role(&self, state: &JobState, entry: &Folded) -> Known {
        let saw = |at: usize| entry.saw(&state.entries[at]);
        let mut seen = self.given.iter().filter(|given| saw(given.at)).peekable();
        if seen.peek().is_none() {
            return Known::NoOffice;
        }
        let person = entry.entry.told.by;
        Known::Role(
            seen.filter(|given| !given.undone_by.iter().any(|&by| saw(by)))
                .filter_map(|given| role(state, given.at, person))
                // Roles are ordered from the most to the least.
                .max(),
        )
    }
}

/// What an entry's writer knew of its person's role.
enum Known {
    /// Not one grant: a job without an office, where everybody may do everything.
    NoOffice,
    /// What the person may do, if anything.
    Role(Option<Role>),
}

fn role(state: &JobState, at: usize, person: PersonId) -> Option<Role> {
    match state.entries[at].entry.told.body.found() {
        Body::Grant(grant) if grant.person == person => Some(grant.role),
        _ => None,
    }
}
