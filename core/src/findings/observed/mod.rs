//! What was seen of a valve, as the fault-finder wants it: from what is on record anyway, and from what people
//! answered when they were asked to look.
//!
//! An answer is an entry like any other: a particular of the valve whose name is [`ANSWER`] and the sign's code,
//! with the words `yes` or `no`. It can be replaced, disagreed on and taken back.

mod signs;
mod symptoms;

pub use symptoms::symptoms;

use crate::diagnosis::{Observations, Sign, Symptom};
use crate::journal::{AssetId, Body, EntryId, JobState, ParticularValue, Register, Stand};
use std::collections::BTreeMap;

/// What the name of an answer begins with.
pub const ANSWER: &str = "seen.";
/// It is so.
pub const YES: &str = "yes";
/// It is not so.
pub const NO: &str = "no";

/// A sign as it was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignSeen {
    /// Whether it is so.
    pub so: bool,
    /// The entries it comes from, oldest first: one answer, or what is on record anyway.
    pub from: Vec<EntryId>,
    /// Whether somebody was asked and answered.
    pub answered: bool,
}

/// The name of the particular that holds the answer on a sign.
pub fn answer_name(sign: Sign) -> String {
    format!("{ANSWER}{}", sign.code())
}

/// Everything that was seen of a valve. `point` is where the pressure is read that its screw sets.
///
/// Where an answer and the record say different things, the answer counts if whoever gave it knew of all that the
/// record says it from; else the record, which is newer. An answer on which people disagree counts as none.
pub fn seen(state: &JobState, valve: AssetId, point: &str) -> BTreeMap<Sign, SignSeen> {
    Sign::ALL
        .iter()
        .filter_map(|&sign| {
            let on_record = signs::on_record(state, valve, point, sign);
            let answered = answer(state, valve, sign);
            let newer = |answered: &SignSeen| {
                let by = answered.from.first().and_then(|&id| state.entry(id))?;
                let known = on_record
                    .iter()
                    .flat_map(|seen| &seen.from)
                    .filter_map(|&id| state.entry(id));
                Some(known.into_iter().all(|entry| by.saw(entry)))
            };
            let counts = answered.filter(|answered| newer(answered) == Some(true));
            Some((sign, counts.or(on_record)?))
        })
        .collect()
}

/// The same for the fault-finder.
pub fn observations(symptom: Symptom, seen: &BTreeMap<Sign, SignSeen>) -> Observations {
    Observations {
        symptom,
        signs: seen.iter().map(|(&sign, seen)| (sign, seen.so)).collect(),
    }
}

fn answer(state: &JobState, valve: AssetId, sign: Sign) -> Option<SignSeen> {
    let register = Register::Particular {
        asset: valve,
        name: answer_name(sign),
    };
    let Stand::Agreed(Body::Particulars(told), by) = state.standing(&register) else {
        return None;
    };
    let ParticularValue::Text(words) = &told.value else {
        return None;
    };
    let so = match words.as_str() {
        YES => true,
        NO => false,
        _ => return None,
    };
    Some(SignSeen {
        so,
        from: vec![by.entry.id],
        answered: true,
    })
}

#[cfg(test)]
mod tests;
