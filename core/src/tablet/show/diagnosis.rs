//! The fault-finder's screen.

use super::Showing;
use crate::diagnosis::{Sighting, Sign, Symptom, diagnose, rows};
use crate::findings::observed::{SignSeen, answer_name, observations, seen, symptoms};
use crate::findings::verdict::OUTLET;
use crate::journal::Register;
use crate::tablet::view::{AskView, CauseView, DiagnosisView, SightingView, SignView, SymptomView};

/// What may be behind a symptom: the one asked for, else the first that the record shows.
pub fn diagnosis(showing: &Showing<'_>, asked: Option<Symptom>) -> DiagnosisView {
    let point = showing.set_point();
    let seen = seen(showing.state, showing.valve, point);
    let on_record = symptoms(showing.state, showing.valve, point, &seen);
    let symptom = asked.or_else(|| on_record.first().copied());
    let found = symptom.map(|symptom| diagnose(&observations(symptom, &seen)));
    let bears = |sign: Sign| {
        symptom.is_some_and(|symptom| rows(symptom).iter().any(|row| row.expects(sign).is_some()))
    };
    DiagnosisView {
        asset: showing.valve,
        reduces: point == OUTLET,
        symptoms: Symptom::ALL
            .iter()
            .map(|&symptom| SymptomView {
                symptom,
                on_record: on_record.contains(&symptom),
            })
            .collect(),
        symptom,
        nothing_fits: found
            .as_ref()
            .is_some_and(crate::diagnosis::Diagnosis::nothing_fits),
        next: found
            .as_ref()
            .and_then(|found| found.next_observation)
            .map(|sign| ask(showing, sign)),
        seen: seen
            .iter()
            .filter(|(sign, _)| bears(**sign))
            .map(|(&sign, seen)| sign_view(showing, sign, seen))
            .collect(),
        causes: found
            .into_iter()
            .flat_map(|found| found.causes)
            .map(|cause| CauseView {
                cause: cause.cause,
                standing: cause.standing,
                speaks_for: sightings(&cause.speaks_for),
                speaks_against: sightings(&cause.speaks_against),
            })
            .collect(),
    }
}

fn sightings(all: &[Sighting]) -> Vec<SightingView> {
    all.iter().map(|&(sign, so)| SightingView { sign, so }).collect()
}

fn ask(showing: &Showing<'_>, sign: Sign) -> AskView {
    let name = answer_name(sign);
    let register = Register::Particular {
        asset: showing.valve,
        name: name.clone(),
    };
    AskView {
        sign,
        name,
        replaces: showing.state.standing_ids(&register),
    }
}

fn sign_view(showing: &Showing<'_>, sign: Sign, seen: &SignSeen) -> SignView {
    let newest = seen.from.last().and_then(|&id| showing.state.entry(id));
    SignView {
        ask: ask(showing, sign),
        so: seen.so,
        answered: seen.answered,
        said: newest.map(|folded| showing.said(folded)),
    }
}
