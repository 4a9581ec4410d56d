//! From what was seen to causes in order, and to the next thing to look at.

use super::coded::coded;
use super::{Cause, Row, Sighting, Sign, Symptom, rows};
use std::collections::BTreeMap;

/// What was seen of a valve that does not do what it should.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Observations {
    /// What is wrong.
    pub symptom: Symptom,
    /// What was looked at, and whether it is so. What is not here was not looked at: that is not the same as a no.
    pub signs: BTreeMap<Sign, bool>,
}

coded! {
    /// How a cause stands after what was seen.
    #[ts(rename = "CauseStanding")]
    Standing {
        /// Everything that shows it was seen, and every other cause of the symptom is ruled out.
        Found = "found",
        /// Everything that shows it was seen; something else may be behind it as well.
        Fits = "fits",
        /// Nothing speaks against it, and not everything that would show it was looked at.
        Possible = "possible",
        /// Something that was seen speaks against it.
        RuledOut = "ruled_out",
    }
}

/// A cause, and what speaks for and against it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CauseFound {
    /// Which.
    pub cause: Cause,
    /// How it stands.
    pub standing: Standing,
    /// What was seen that speaks for it.
    pub speaks_for: Vec<Sighting>,
    /// What was seen that speaks against it.
    pub speaks_against: Vec<Sighting>,
    /// What was not looked at and would show it or rule it out.
    pub not_seen: Vec<Sign>,
}

/// What may be wrong, and what to look at next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnosis {
    /// Every cause of the symptom, the likeliest first, those that are ruled out last.
    pub causes: Vec<CauseFound>,
    /// The one thing that would tell the causes that are left apart best. None: nothing on the list would, or one is
    /// found, or none is left.
    pub next_observation: Option<Sign>,
    /// What was seen that bears on the symptom.
    pub because: Vec<Sighting>,
}

impl Diagnosis {
    /// The cause that is found, if one is.
    pub fn found(&self) -> Option<Cause> {
        let first = self.causes.first()?;
        (first.standing == Standing::Found).then_some(first.cause)
    }

    /// Whether everything on the list is ruled out: the cause is something else, or something was seen wrongly.
    pub fn nothing_fits(&self) -> bool {
        self.causes
            .iter()
            .all(|cause| cause.standing == Standing::RuledOut)
    }
}

/// Ranks the causes of a symptom by what was seen, and names the next thing to look at.
///
/// Order: found, fits, possible, ruled out; among equals the one that more was seen of, then the table's order. The next
/// observation is the one whose worse outcome leaves the fewest causes (an outcome that completes what shows a cause
/// leaves one), then the one whose outcomes together leave the fewest, then the one that is easier to make.
///
/// Source of the table: common practice, no source. Source of the choice: plain minimax over a decision table.
///
/// ```
/// use std::collections::BTreeMap;
/// use turnwise_core::diagnosis::{Cause, Observations, Sign, Symptom, diagnose};
/// let mut seen = Observations { symptom: Symptom::StaysClosed, signs: BTreeMap::new() };
/// assert_eq!(diagnose(&seen).found(), None);
/// assert_eq!(diagnose(&seen).next_observation, Some(Sign::OpensWhenCoverVented));
/// seen.signs.insert(Sign::OpensWhenCoverVented, true);
/// assert_eq!(diagnose(&seen).found(), Some(Cause::PilotShutOrDrainBlocked));
/// ```
pub fn diagnose(observations: &Observations) -> Diagnosis {
    let table = rows(observations.symptom);
    let seen = &observations.signs;
    let mut causes: Vec<CauseFound> = table.iter().map(|row| judged(row, seen)).collect();
    if let [only] = left(&mut causes).as_mut_slice()
        && only.standing == Standing::Fits
    {
        only.standing = Standing::Found;
    }
    // The sort is stable: among equals the table's order stays.
    causes.sort_by_key(|cause| (cause.standing, std::cmp::Reverse(cause.speaks_for.len())));
    let because = seen
        .iter()
        .filter(|(sign, _)| table.iter().any(|row| row.expects(**sign).is_some()))
        .map(|(sign, so)| (*sign, *so))
        .collect();
    Diagnosis {
        causes,
        next_observation: next(table, seen),
        because,
    }
}

fn left(causes: &mut [CauseFound]) -> Vec<&mut CauseFound> {
    causes
        .iter_mut()
        .filter(|cause| cause.standing != Standing::RuledOut)
        .collect()
}

fn judged(row: &Row, seen: &BTreeMap<Sign, bool>) -> CauseFound {
    let (mut speaks_for, mut speaks_against, mut not_seen) = (Vec::new(), Vec::new(), Vec::new());
    for sign in row.signs() {
        match (seen.get(&sign), row.expects(sign)) {
            (Some(&so), Some(expected)) if so == expected => speaks_for.push((sign, so)),
            (Some(&so), _) => speaks_against.push((sign, so)),
            (None, _) => not_seen.push(sign),
        }
    }
    CauseFound {
        cause: row.cause,
        standing: standing(row, seen),
        speaks_for,
        speaks_against,
        not_seen,
    }
}

fn standing(row: &Row, seen: &BTreeMap<Sign, bool>) -> Standing {
    let against = row.signs().any(|sign| {
        seen.get(&sign)
            .zip(row.expects(sign))
            .is_some_and(|(so, expected)| *so != expected)
    });
    if against {
        Standing::RuledOut
    } else if row.shown_by.iter().all(|(sign, so)| seen.get(sign) == Some(so)) {
        Standing::Fits
    } else {
        Standing::Possible
    }
}

/// The thing to look at next.
fn next(table: &[Row], seen: &BTreeMap<Sign, bool>) -> Option<Sign> {
    let left: Vec<&Row> = table
        .iter()
        .filter(|row| standing(row, seen) != Standing::RuledOut)
        .collect();
    if let [only] = left.as_slice()
        && standing(only, seen) == Standing::Fits
    {
        return None;
    }
    Sign::ALL
        .iter()
        .copied()
        .filter(|sign| !seen.contains_key(sign))
        .filter(|&sign| left.iter().any(|row| row.expects(sign).is_some()))
        .min_by_key(|&sign| {
            let outcomes = [true, false].map(|so| remaining(&left, seen, (sign, so)));
            (outcomes[0].max(outcomes[1]), outcomes[0] + outcomes[1])
        })
}

/// How many causes one is left with after this outcome: one where it completes what shows a cause.
fn remaining(left: &[&Row], seen: &BTreeMap<Sign, bool>, (sign, so): Sighting) -> usize {
    let mut then = seen.clone();
    then.insert(sign, so);
    let standings = left.iter().map(|row| (standing(row, seen), standing(row, &then)));
    let mut count = 0;
    for (before, after) in standings {
        if before != Standing::Fits && after == Standing::Fits {
            return 1;
        }
        count += usize::from(after != Standing::RuledOut);
    }
    count
}
