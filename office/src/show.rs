//! A job as the page shows it, from its folded journal alone.

use crate::api::{CrewLine, OfficeJob, OfficeRecord, OfficeValve};
use crate::signed;
use std::collections::BTreeMap;
use turnwise_core::findings::history::{compare, main_point};
use turnwise_core::journal::{
    Body, DeviceId, Folded, JobState, OFFICE_NAME, PersonId, Purpose, Register, Request, ValveOnJob,
};
use turnwise_core::procedure::Procedures;
use turnwise_core::quantity::Figure;
use turnwise_core::review::{Code, Item, open_items, request_changed, review};
use turnwise_core::tablet::view::{JobStatus, Safe, Said, SaidValue};

/// A job as the page shows it. None: its opening has not come.
///
/// `office` is the device that looks.
pub(crate) fn job(
    state: &JobState,
    procedures: &Procedures,
    office: DeviceId,
    record_matches: bool,
) -> Option<OfficeJob> {
    let opening = state.opening()?;
    let opened = state.entry(turnwise_core::journal::EntryId(state.job.0))?;
    let people = People::of(state);
    let reviewed = review(state, procedures);
    Some(OfficeJob {
        job: state.job,
        number: opening.number.clone(),
        customer: opening.customer.clone(),
        site: opening.site.clone(),
        station: opening.station.name.clone(),
        valves: opening
            .valves
            .iter()
            .map(|known| valve(state, procedures, &people, office, known))
            .collect(),
        crew: crew(state),
        status: status(state, opened),
        opened_at: opened.entry.told.at.clone(),
        entries: count(state.entries.len()),
        open_items: count(open_items(&reviewed).count()),
        missing: count(reviewed.iter().filter(|item| item.is_missing()).count()),
        newest_at: state.entries.last().map(|newest| newest.entry.told.at.clone()),
        record: record(state, &reviewed, &people, record_matches),
    })
}

fn valve(
    state: &JobState,
    procedures: &Procedures,
    people: &People,
    office: DeviceId,
    valve: &ValveOnJob,
) -> OfficeValve {
    let register = Register::Request { valve: valve.id };
    let requests = state
        .registers
        .get(&register)
        .map(|standing| standing.stands.as_slice())
        .unwrap_or_default()
        .iter()
        .filter_map(|&at| {
            let folded = state.entries.get(at)?;
            match folded.entry.told.body.found() {
                Body::Request(request) => Some(SaidValue::<Request> {
                    value: request.clone(),
                    said: people.said(folded, office),
                }),
                _ => None,
            }
        })
        .collect();
    let procedure = procedures.get(&valve.procedure);
    let outlet = procedure.and_then(main_point);
    OfficeValve {
        id: valve.id,
        name: valve.name.clone(),
        requests,
        as_left: as_left(state, valve, outlet),
        procedure: valve.procedure.clone(),
        procedure_owner: procedure.and_then(|procedure| procedure.owner.clone()),
        history: procedure
            .map(|procedure| compare(state, procedure, valve.id))
            .unwrap_or_default(),
        request_changed: request_changed(state, valve.id).is_some(),
    }
}

/// The newest as-left reading of the valve's main point.
fn as_left(state: &JobState, valve: &ValveOnJob, outlet: Option<&str>) -> Option<Figure> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::Reading(read)
                if read.asset == valve.id
                    && read.purpose == Purpose::AsLeft
                    && outlet.is_none_or(|outlet| read.point == outlet) =>
            {
                Some(read.figure.clone())
            }
            _ => None,
        })
}

/// Who goes and what they may, by the grants that stand, leads first.
fn crew(state: &JobState) -> Vec<CrewLine> {
    let mut crew: Vec<_> = state
        .registers
        .iter()
        .filter_map(|(register, standing)| {
            let Register::Grant { person } = register else {
                return None;
            };
            let &at = standing.stands.last()?;
            match state.entries.get(at)?.entry.told.body.found() {
                Body::Grant(grant) => Some(CrewLine {
                    name: grant.name.clone(),
                    role: state.role(*person)?,
                }),
                _ => None,
            }
        })
        .collect();
    crew.sort_by(|a, b| (a.role, &a.name).cmp(&(b.role, &b.name)));
    crew
}

/// How far a job is: in work as soon as anybody but its opener has written to it.
fn status(state: &JobState, opened: &Folded) -> JobStatus {
    if let Some((sign_off, _)) = signed::newest(state) {
        let opened_again = state.live().any(
            |folded| matches!(&folded.entry.told.body, Body::ReOpened(again) if again.sign_off == sign_off),
        );
        return if opened_again {
            JobStatus::ReOpened
        } else {
            JobStatus::Signed
        };
    }
    let worked = |folded: &Folded| match folded.entry.told.body {
        Body::Reading(_) | Body::ScrewMove(_) | Body::StepMark(_) | Body::LineUp(_) => true,
        _ => folded.entry.told.device != opened.entry.told.device,
    };
    if state.live().any(worked) {
        JobStatus::InWork
    } else {
        JobStatus::New
    }
}

fn record(state: &JobState, reviewed: &[Item], people: &People, matches: bool) -> Option<OfficeRecord> {
    let (id, sign_off) = signed::newest(state)?;
    let told = &state.entry(id)?.entry.told;
    let late = reviewed
        .iter()
        .filter(|item| item.code == Code::LateEntries)
        .map(|item| item.entries.len())
        .sum();
    Some(OfficeRecord {
        digest: sign_off.digest,
        signed_by: people.name(told.by),
        signed_at: told.at.clone(),
        revision: sign_off.revision,
        late: count(late),
        matches,
    })
}

/// The names of the people on a job, as they write them.
struct People(BTreeMap<PersonId, String>);

impl People {
    fn of(state: &JobState) -> Self {
        let mut names = BTreeMap::from([(PersonId::office(), OFFICE_NAME.to_owned())]);
        for folded in state.live() {
            match &folded.entry.told.body {
                Body::Grant(grant) => {
                    names.entry(grant.person).or_insert_with(|| grant.name.clone());
                }
                Body::PersonJoined(joined) => {
                    names.insert(joined.person, joined.name.clone());
                }
                _ => {}
            }
        }
        Self(names)
    }

    /// A name, or the start of the id of somebody who never gave one.
    fn name(&self, person: PersonId) -> String {
        self.0
            .get(&person)
            .cloned()
            .unwrap_or_else(|| person.to_string().chars().take(8).collect())
    }

    fn said(&self, folded: &Folded, office: DeviceId) -> Said {
        let told = &folded.entry.told;
        Said {
            entry: folded.entry.id,
            person: told.by,
            by: self.name(told.by),
            keyed_by: told.keyed_by.map(|person| self.name(person)),
            here: told.device == office,
            at: told.at.clone(),
            safe: Safe::AtOffice,
        }
    }
}

fn count(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}
