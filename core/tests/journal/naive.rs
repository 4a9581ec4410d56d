//! A second fold, slow and plain: who saw what is found by walking the graph, and everything else by looking at
//! every entry. It shares nothing with the fold but the types of what is written and `same_value`.

use crate::support::JOB;
use automerge::legacy::{Key, ObjectId, OpType};
use automerge::{Change, ScalarValue};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use turnwise_core::journal::*;

/// A change and all that came before it.
struct Seen {
    hash: ChangeHash,
    start_op: u64,
    /// Every change that its writer had seen, found by walking.
    ancestors: BTreeSet<ChangeHash>,
    /// The id it is filed under, if it puts something under an id.
    id: Option<EntryId>,
    /// What it says, or why that is nothing.
    told: Result<Told, &'static str>,
}

/// Reads changes and says what they come to, in the form of [`summary`].
pub fn model(changes: &[Vec<u8>]) -> String {
    let all = read(changes);
    let times = |id| all.iter().filter(|one| one.id == Some(id)).count();
    let mut text = String::new();
    let mut counts: Vec<&Seen> = Vec::new();
    for one in &all {
        let code = match (&one.told, one.id) {
            (_, Some(id)) if times(id) > 1 => "duplicate_id",
            (Err(code), _) => code,
            (Ok(_), _) => {
                counts.push(one);
                continue;
            }
        };
        writeln!(text, "aside {:?} {:?} {code}", one.hash, one.id).unwrap();
    }

    // What an entry does depends on what came before it, and fold order puts that first.
    let mut effect: BTreeMap<ChangeHash, Option<&str>> = BTreeMap::new();
    for one in &counts {
        let code = effect_of(one, &counts, &effect);
        effect.insert(one.hash, code);
    }
    let effective: Vec<&Seen> = counts
        .iter()
        .copied()
        .filter(|one| effect[&one.hash].is_none())
        .collect();
    for one in &counts {
        let by = effective
            .iter()
            .find(|other| withdraws(other, one))
            .and_then(|other| other.id);
        let saw: Vec<_> = counts
            .iter()
            .filter(|other| one.ancestors.contains(&other.hash))
            .map(|other| other.id)
            .collect();
        writeln!(
            text,
            "entry {:?} {:?} saw {saw:?} withdrawn {by:?} effect {:?}",
            one.hash, one.id, effect[&one.hash]
        )
        .unwrap();
    }
    let registers: BTreeSet<Register> = effective.iter().filter_map(|one| body(one).register()).collect();
    for register in registers {
        let here: Vec<_> = effective
            .iter()
            .filter(|one| body(one).register().as_ref() == Some(&register))
            .collect();
        let (stands, gone): (Vec<&Seen>, Vec<&Seen>) = here.iter().copied().partition(|one| {
            !effective
                .iter()
                .any(|other| replaces(other, one) || withdraws(other, one))
        });
        let disagree = stands.iter().any(|a| {
            stands
                .iter()
                .any(|b| !body(a).found().same_value(body(b).found()))
        });
        let ids = |of: Vec<&Seen>| of.iter().map(|one| one.id).collect::<Vec<_>>();
        writeln!(text, "{register:?} {:?} {disagree} {:?}", ids(stands), ids(gone)).unwrap();
    }
    text
}

/// What the journal says, in the same form.
pub fn summary(state: &JobState) -> String {
    let mut text = String::new();
    for one in &state.quarantine {
        writeln!(text, "aside {:?} {:?} {}", one.hash, one.entry, one.code).unwrap();
    }
    for one in &state.entries {
        let saw: Vec<_> = state
            .entries
            .iter()
            .filter(|other| one.saw(other))
            .map(|other| Some(other.entry.id))
            .collect();
        writeln!(
            text,
            "entry {:?} {:?} saw {saw:?} withdrawn {:?} effect {:?}",
            one.hash,
            Some(one.entry.id),
            one.withdrawn_by,
            one.no_effect
        )
        .unwrap();
    }
    for (register, standing) in &state.registers {
        let ids = |places: &[usize]| {
            places
                .iter()
                .map(|&at| Some(state.entries[at].entry.id))
                .collect::<Vec<_>>()
        };
        writeln!(
            text,
            "{register:?} {:?} {} {:?}",
            ids(&standing.stands),
            standing.disagree,
            ids(&standing.gone)
        )
        .unwrap();
    }
    text
}

fn read(changes: &[Vec<u8>]) -> Vec<Seen> {
    let changes: BTreeMap<ChangeHash, Change> = changes
        .iter()
        .map(|bytes| Change::try_from(bytes.as_slice()).unwrap())
        .map(|change| (ChangeHash(change.hash().0), change))
        .collect();
    let mut all: Vec<Seen> = changes
        .iter()
        .map(|(hash, change)| {
            let mut ancestors = BTreeSet::new();
            let mut walk: Vec<ChangeHash> = change.deps().iter().map(|dep| ChangeHash(dep.0)).collect();
            while let Some(next) = walk.pop() {
                if ancestors.insert(next) {
                    walk.extend(changes[&next].deps().iter().map(|dep| ChangeHash(dep.0)));
                }
            }
            let (id, told) = filed(change);
            Seen {
                hash: *hash,
                start_op: change.start_op().get(),
                ancestors,
                id,
                told,
            }
        })
        .collect();
    all.sort_by_key(|one| (one.start_op, one.hash));
    all
}

fn filed(change: &Change) -> (Option<EntryId>, Result<Told, &'static str>) {
    let operations = change.decode().operations;
    let Some(operation) = operations.first() else {
        return (None, Err("not_an_entry"));
    };
    let (OpType::Put(value), ObjectId::Root, Key::Map(key)) =
        (&operation.action, &operation.obj, &operation.key)
    else {
        return (None, Err("not_an_entry"));
    };
    let Ok(id) = key.parse::<EntryId>() else {
        return (None, Err("not_an_entry"));
    };
    let ScalarValue::Str(text) = value else {
        return (Some(id), Err("not_an_entry"));
    };
    let told = match serde_json::from_str::<Told>(text) {
        Err(_) => Err("malformed"),
        Ok(told) => match (&told.body, id.0 == JOB.0) {
            (Body::JobOpened(_), false) => Err("second_opening"),
            (Body::JobOpened(_), true) | (_, false) => Ok(told),
            (_, true) => Err("not_the_opening"),
        },
    };
    (Some(id), told)
}

fn told(one: &Seen) -> &Told {
    one.told.as_ref().unwrap()
}

fn body(one: &Seen) -> &Body {
    &told(one).body
}

fn saw(one: &Seen, other: &Seen) -> bool {
    one.ancestors.contains(&other.hash)
}

/// Whether `one`, if it has effect, takes the place of `other`.
fn replaces(one: &Seen, other: &Seen) -> bool {
    saw(one, other)
        && body(one).register().is_some()
        && body(one).register() == body(other).register()
        && other.id.is_some_and(|id| body(one).replaces().contains(&id))
}

/// Whether `one`, if it has effect, takes `other` back.
fn withdraws(one: &Seen, other: &Seen) -> bool {
    matches!(body(one), Body::Withdrawn(withdrawn) if Some(withdrawn.entry) == other.id)
}

fn is_about_a_grant(body: &Body) -> bool {
    matches!(body.register(), Some(Register::Grant { .. }))
}

fn effect_of(
    one: &Seen,
    counts: &[&Seen],
    effect: &BTreeMap<ChangeHash, Option<&'static str>>,
) -> Option<&'static str> {
    let opening = counts.iter().find(|other| other.id == Some(EntryId(JOB.0)));
    let is_office = opening.is_some_and(|opening| told(opening).device == told(one).device);
    match body(one) {
        Body::Withdrawn(withdrawn) => {
            let Some(target) = counts.iter().find(|other| other.id == Some(withdrawn.entry)) else {
                return Some("unknown_entry");
            };
            if !saw(one, target) {
                Some("not_seen")
            } else if matches!(
                body(target),
                Body::Withdrawn(_) | Body::SignOff(_) | Body::JobOpened(_)
            ) {
                Some("cannot_be_withdrawn")
            } else if is_about_a_grant(body(target)) && !is_office {
                Some("not_from_office")
            } else {
                None
            }
        }
        Body::SignOff(_) => match roles(one, counts, effect) {
            None => None,
            Some(roles) if roles == [Role::LeadTech] => None,
            Some(_) => Some("not_granted"),
        },
        Body::Resolution(Resolution {
            about: About::Register { register, value, .. },
            ..
        }) if value.register().as_ref() != Some(register) => Some("wrong_register"),
        other if is_about_a_grant(other) => (!is_office).then_some("not_from_office"),
        Body::Resolution(_) => match roles(one, counts, effect) {
            None => None,
            Some(roles) if !roles.is_empty() && !roles.contains(&Role::Reader) => None,
            Some(_) => Some("not_granted"),
        },
        _ => None,
    }
}

/// The roles that stood for an entry's person in what its writer had seen, each once. None if the writer had
/// seen no grant at all.
fn roles(
    one: &Seen,
    counts: &[&Seen],
    effect: &BTreeMap<ChangeHash, Option<&'static str>>,
) -> Option<Vec<Role>> {
    let seen: Vec<&Seen> = counts
        .iter()
        .copied()
        .filter(|other| saw(one, other) && effect[&other.hash].is_none())
        .collect();
    let grants: Vec<&Seen> = seen
        .iter()
        .copied()
        .filter(|other| is_about_a_grant(body(other)))
        .collect();
    if grants.is_empty() {
        return None;
    }
    let roles: BTreeSet<Role> = grants
        .iter()
        .filter(|grant| {
            !seen
                .iter()
                .any(|other| replaces(other, grant) || withdraws(other, grant))
        })
        .filter_map(|grant| match body(grant).found() {
            Body::Grant(grant) if grant.person == told(one).by => Some(grant.role),
            _ => None,
        })
        .collect();
    Some(roles.into_iter().collect())
}
