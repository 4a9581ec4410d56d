//! The cases of `fixtures/journal/fold.txt`, each folded and compared word by word, and put before the plain model
//! as well.

use crate::craft::{bytes, expanded, fresh, hash_of, put_entry};
use crate::naive::{model, summary};
use crate::support::*;
use std::collections::{BTreeMap, BTreeSet};
use std::num::NonZeroU64;
use turnwise_core::journal::*;
use uuid::Uuid;

const CASES: &str = include_str!("../../../fixtures/journal/fold.txt");

#[test]
fn every_case_folds_to_what_it_says() {
    let mut cases = 0;
    for case in CASES.split("\ncase ").skip(1) {
        let (title, lines) = case.split_once('\n').unwrap();
        let (expected, entries): (Vec<&str>, Vec<&str>) = lines
            .lines()
            .filter(|line| !line.trim().is_empty())
            .partition(|line| line.starts_with("->"));
        let mut scene = Scene::default();
        for line in entries {
            scene.write(line);
        }
        let mut journal = fresh();
        for change in scene.changes.iter().rev() {
            journal.intake(change).unwrap();
        }
        let state = journal.state();
        let expected: BTreeSet<String> = expected.iter().map(|line| line[2..].trim().to_owned()).collect();
        assert_eq!(scene.outcome(&state), expected, "{title}");
        assert_eq!(summary(&state), model(&scene.changes), "{title}");
        cases += 1;
    }
    assert_eq!(
        cases,
        CASES.lines().filter(|line| line.starts_with("case ")).count()
    );
}

/// The entries of a case, each by its own writer's own run of the program.
#[derive(Default)]
struct Scene {
    changes: Vec<Vec<u8>>,
    /// By name: its hash, the number of its operation, its id.
    named: BTreeMap<String, (ChangeHash, u64, EntryId)>,
}

impl Scene {
    /// `NAME WRITER sees A B: what it says`
    fn write(&mut self, line: &str) {
        let (head, says) = line.split_once(": ").unwrap();
        let mut words = head.split_whitespace();
        let (name, writer) = (words.next().unwrap(), words.next().unwrap());
        assert_eq!(words.next(), Some("sees"), "{line}");
        let deps: Vec<_> = words
            .filter(|word| *word != "nothing")
            .map(|word| self.named[word])
            .collect();
        let (under, says) = match says.strip_prefix("under ") {
            Some(rest) => rest.split_once(": ").unwrap(),
            None => (name, says),
        };
        let number = u8::try_from(self.changes.len() + 1).unwrap();
        let id = self.id(under);
        let tablet = Tablet::new(number, writer);
        let mut entry = tablet.entry_as(id, self.body(says));
        entry.told.device = DeviceId(Uuid::new_v5(&Uuid::NAMESPACE_OID, writer.as_bytes()));
        let start_op = 1 + deps.iter().map(|(_, op, _)| *op).max().unwrap_or(0);
        let mut change = expanded(number, vec![put_entry(&entry)]);
        change.deps = deps
            .iter()
            .map(|(hash, ..)| automerge::ChangeHash(hash.0))
            .collect();
        change.start_op = NonZeroU64::new(start_op).unwrap();
        let change = bytes(change);
        self.named
            .insert(name.to_owned(), (hash_of(&change), start_op, id));
        self.changes.push(change);
    }

    /// The id of an entry by its name, also before it is written.
    fn id(&self, name: &str) -> EntryId {
        match (name, self.named.get(name)) {
            ("job", _) => EntryId(JOB.0),
            (_, Some((.., id))) => *id,
            _ => EntryId(Uuid::new_v5(&Uuid::NAMESPACE_URL, name.as_bytes())),
        }
    }

    fn body(&self, says: &str) -> Body {
        let (says, replaces) = says.split_once(", replaces ").unwrap_or((says, ""));
        let replaces = replaces.split_whitespace().map(|name| self.id(name)).collect();
        let words: Vec<&str> = says.split_whitespace().collect();
        match words[..] {
            ["opened"] => opened(),
            ["signs"] => sign_off(),
            ["withdraws", name] => withdrawn(self.id(name)),
            ["grants", name, role] => grant(name, role_of(role), replaces),
            ["settles", "grant", name, role] => settles(
                Register::Grant {
                    person: PersonId::of_name(name),
                },
                grant(name, role_of(role), vec![]),
                replaces,
            ),
            ["settles", element, "with", other, position] => settles(
                register(element),
                stands(other, position_of(position), vec![]),
                replaces,
            ),
            ["settles", element, position] => settled(element, position_of(position), replaces),
            [element, position] => stands(element, position_of(position), replaces),
            _ => unreachable!("nobody says {says:?}"),
        }
    }

    /// What the fold says, as the cases put it.
    fn outcome(&self, state: &JobState) -> BTreeSet<String> {
        let name = |hash: ChangeHash| {
            let found = self.named.iter().find(|(_, (other, ..))| *other == hash);
            found.unwrap().0.clone()
        };
        let of_id = |id: EntryId| name(state.entry(id).unwrap().hash);
        let mut lines = BTreeSet::new();
        for aside in &state.quarantine {
            lines.insert(format!("{}: set aside, {}", name(aside.hash), aside.code));
        }
        for folded in &state.entries {
            if let Some(code) = folded.no_effect {
                lines.insert(format!("{}: {code}", name(folded.hash)));
            }
            if let Some(by) = folded.withdrawn_by {
                lines.insert(format!("{}: withdrawn by {}", name(folded.hash), of_id(by)));
            }
        }
        for (register, standing) in &state.registers {
            // The names in the order in which they are written, which is not that of their hashes.
            let names = |places: &[usize]| {
                let mut hashes: Vec<_> = places.iter().map(|&at| state.entries[at].hash).collect();
                hashes.sort_by_key(|hash| self.changes.iter().position(|bytes| hash_of(bytes) == *hash));
                hashes.into_iter().map(name).collect::<Vec<_>>().join(" ")
            };
            let stands = match (standing.stands.len(), standing.disagree) {
                (0, _) => "nothing known".to_owned(),
                (1, false) => format!("{} stands", names(&standing.stands)),
                (_, false) => format!("{} stand", names(&standing.stands)),
                (_, true) => format!("{} stand and differ", names(&standing.stands)),
            };
            let gone = match standing.gone.len() {
                0 => String::new(),
                _ => format!(", gone {}", names(&standing.gone)),
            };
            lines.insert(format!("{}: {stands}{gone}", name_of(register)));
        }
        lines
    }
}

fn settles(register: Register, value: Body, replaces: Vec<EntryId>) -> Body {
    Body::Resolution(Resolution {
        about: About::Register {
            register,
            replaces,
            value: Box::new(value),
        },
        reason: "asked".to_owned(),
    })
}

fn role_of(word: &str) -> Role {
    serde_json::from_value(word.into()).unwrap()
}

fn position_of(word: &str) -> Position {
    serde_json::from_value(word.into()).unwrap()
}

fn name_of(register: &Register) -> String {
    match register {
        Register::Position { element, .. } => element.clone(),
        Register::Grant { person } => {
            let name = ["ana", "ben"]
                .into_iter()
                .find(|name| PersonId::of_name(name) == *person);
            format!("grant {}", name.unwrap())
        }
        other => unreachable!("no case writes to {other:?}"),
    }
}
