//! Crew, initials, signatures, and what came late.

use super::Making;
use crate::journal::{Body, Duty, Folded, PersonId};
use crate::procedure::own_entries;
use crate::record::content::{
    ClockLine, CrewLine, DutyLine, InitialsLine, LateLine, ReOpenedLine, SignatureLine,
};
use crate::review::settles_item;
use std::collections::{BTreeMap, BTreeSet};

impl Making<'_> {
    /// Everybody who joined or was granted something, by name.
    pub fn crew(&self) -> Vec<CrewLine> {
        let mut people: BTreeSet<PersonId> = BTreeSet::new();
        let mut joined: BTreeMap<PersonId, Vec<DutyLine>> = BTreeMap::new();
        for folded in self.state.live() {
            match folded.entry.told.body.found() {
                Body::PersonJoined(told) => {
                    people.insert(told.person);
                    joined.entry(told.person).or_default().push(DutyLine {
                        said: self.said(folded),
                        duties: told.duties.clone(),
                    });
                }
                Body::Grant(grant) => {
                    people.insert(grant.person);
                }
                _ => {}
            }
        }
        let mut crew: Vec<_> = people
            .into_iter()
            .map(|person| {
                let said = joined.remove(&person).unwrap_or_default();
                let duties: BTreeSet<Duty> = said.iter().flat_map(|line| &line.duties).copied().collect();
                CrewLine {
                    person,
                    name: self.name(person),
                    role: self.state.role(person),
                    duties: duties.into_iter().collect(),
                    said,
                }
            })
            .collect();
        crew.sort_by(|a, b| (&a.name, a.person).cmp(&(&b.name, b.person)));
        crew
    }

    /// Clocks compared between devices.
    pub fn clocks(&self) -> Vec<ClockLine> {
        self.told(|body| match body {
            Body::ClockCheck(check) => Some(check),
            _ => None,
        })
        .into_iter()
        .map(|(folded, check)| ClockLine {
            said: self.said(folded),
            with: check.with,
            offset_ms: check.offset_ms.to_string(),
        })
        .collect()
    }

    /// Whose initials stand for what, by name.
    pub fn initials(&self) -> Vec<InitialsLine> {
        let given = self.told(|body| match body {
            Body::Initials(initials) => Some(initials),
            _ => None,
        });
        let mut lines: Vec<_> = own_entries(self.state)
            .into_iter()
            .map(|(person, own)| {
                let open = own
                    .entries
                    .iter()
                    .filter(|id| !own.initialled.contains(id))
                    .copied()
                    .collect();
                InitialsLine {
                    person,
                    name: self.name(person),
                    entries: u32::try_from(own.entries.len()).unwrap_or(u32::MAX),
                    initialled: own.initialled,
                    open,
                    said: given
                        .iter()
                        .filter(|(folded, _)| folded.entry.told.by == person)
                        .map(|(folded, _)| self.said(folded))
                        .collect(),
                }
            })
            .collect();
        lines.sort_by(|a, b| (&a.name, a.person).cmp(&(&b.name, b.person)));
        lines
    }

    /// The number of the revision that a signature made now would have.
    pub fn revision(&self) -> u32 {
        u32::try_from(self.sign_offs().len()).map_or(u32::MAX, |signed| signed.saturating_add(1))
    }

    /// Earlier signatures.
    pub fn signatures(&self) -> Vec<SignatureLine> {
        let re_opened = self.told(|body| match body {
            Body::ReOpened(re_opened) => Some(re_opened),
            _ => None,
        });
        self.sign_offs()
            .into_iter()
            .map(|(folded, signed)| SignatureLine {
                said: self.said(folded),
                revision: signed.revision,
                digest: signed.digest.clone(),
                heads: signed.heads.clone(),
                key: signed.key.clone(),
                signed_at: signed.signed_at.clone(),
                signature: signed.signature.clone(),
                re_opened: re_opened
                    .iter()
                    .filter(|(_, opened)| opened.sign_off == folded.entry.id)
                    .map(|(again, opened)| ReOpenedLine {
                        said: self.said(again),
                        reason: opened.reason.clone(),
                    })
                    .collect(),
            })
            .collect()
    }

    /// What each earlier signature does not cover.
    pub fn late(&self) -> Vec<LateLine> {
        self.sign_offs()
            .into_iter()
            .map(|(signed, sign_off)| LateLine {
                sign_off: signed.entry.id,
                revision: sign_off.revision,
                entries: self
                    .state
                    .live()
                    .filter(|folded| !signed.saw(folded) && says_something(signed, folded))
                    .map(|folded| folded.entry.id)
                    .collect(),
            })
            .filter(|line| !line.entries.is_empty())
            .collect()
    }

    fn sign_offs(&self) -> Vec<(&Folded, &crate::journal::SignOff)> {
        self.told(|body| match body {
            Body::SignOff(signed) => Some(signed),
            _ => None,
        })
    }
}

/// Whether an entry says something that a signature should have covered.
fn says_something(signed: &Folded, folded: &Folded) -> bool {
    let body = &folded.entry.told.body;
    folded.entry.id != signed.entry.id
        && !matches!(body, Body::SignOff(_) | Body::ReOpened(_) | Body::Initials(_))
        && !settles_item(body)
}
