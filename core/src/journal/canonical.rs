//! A folded journal as one text, to compare two of them byte for byte.

use super::refusal::hex;
use super::{Folded, JobState, Register};
use serde_json::{Value, json};
use std::collections::BTreeMap;

impl JobState {
    /// Everything that the journal says, as one deterministic text: a line of JSON for each entry, each change
    /// set aside and each register. Two journals that hold the same changes give the same bytes, in
    /// whatever order the changes came.
    pub fn canonical(&self) -> String {
        let mut lines = vec![json!({ "job": self.job })];
        lines.extend(self.entries.iter().map(|folded| self.entry_line(folded)));
        lines.extend(
            self.quarantine
                .iter()
                .map(|one| json!({ "aside": one.code, "hash": hex(&one.hash.0), "entry": one.entry })),
        );
        lines.extend(self.registers.iter().map(|(register, standing)| {
            json!({
                "register": register_text(register),
                "stands": self.ids(&standing.stands),
                "disagree": standing.disagree,
                "gone": self.ids(&standing.gone),
            })
        }));
        lines.iter().fold(String::new(), |mut text, line| {
            text.push_str(&line.to_string());
            text.push('\n');
            text
        })
    }

    fn entry_line(&self, folded: &Folded) -> Value {
        let actor = self.actors.get(folded.actor as usize);
        json!({
            "entry": folded.entry.id,
            "hash": hex(&folded.hash.0),
            "actor": actor.map(|actor| hex(&actor.0)),
            "seq": folded.seq,
            "seen": self.seen(folded),
            "told": serde_json::to_string(&folded.entry.told).unwrap_or_default(),
            "withdrawn_by": folded.withdrawn_by,
            "no_effect": folded.no_effect,
        })
    }

    /// What an entry's writer had seen, by the writers' ids: their order here is that of arrival.
    fn seen(&self, folded: &Folded) -> BTreeMap<String, u64> {
        self.actors
            .iter()
            .zip(folded.seen.iter())
            .filter(|&(_, &seq)| seq > 0)
            .map(|(actor, &seq)| (hex(&actor.0), seq))
            .collect()
    }

    fn ids(&self, places: &[usize]) -> Value {
        places
            .iter()
            .map(|&at| json!(self.entries[at].entry.id))
            .collect()
    }
}

/// A register as text: a register has no other spelling.
fn register_text(register: &Register) -> String {
    serde_json::to_string(register).unwrap_or_default()
}
