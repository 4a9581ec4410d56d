//! What people disagreed on, what was settled, taken back, and said beside.

use super::{Making, body};
use crate::journal::{About, Body, EntryId};
use crate::record::RecordError;
use crate::record::content::{
    HistoryLine, NoteLine, PhotoLine, ReviewLine, SettledLine, SettlementLine, SideLine, WithdrawnLine,
};
use crate::review::{Code, review};

impl Making<'_> {
    /// Every item of the review, settled ones too.
    pub fn review(&self) -> Vec<ReviewLine> {
        review(self.state, self.procedures)
            .into_iter()
            .map(|item| ReviewLine {
                code: item.code.as_str().to_owned(),
                weight: item.weight.code().to_owned(),
                about: item.say.clone().or_else(|| {
                    item.register
                        .as_ref()
                        .map(|register| self.register_words(register))
                }),
                register: item.register,
                entries: item.entries,
                settled: item.settled_by.and_then(|id| self.settled(id)),
            })
            .collect()
    }

    fn settled(&self, id: EntryId) -> Option<SettledLine> {
        let folded = self.state.entry(id)?;
        match &folded.entry.told.body {
            Body::Resolution(resolution) => Some(SettledLine {
                said: self.said(folded),
                reason: resolution.reason.clone(),
            }),
            // Work that came after it: the entry itself says what.
            _ => Some(SettledLine {
                said: self.said(folded),
                reason: String::new(),
            }),
        }
    }

    /// Everything that a person settled, with what stood side by side.
    pub fn settlements(&self) -> Result<Vec<SettlementLine>, RecordError> {
        self.told(|body| match body {
            Body::Resolution(resolution) => Some(resolution),
            _ => None,
        })
        .into_iter()
        .map(|(folded, resolution)| {
            let (code, register, entries, found) = match &resolution.about {
                About::Register {
                    register,
                    replaces,
                    value,
                } => (
                    Code::Disagreement.as_str().to_owned(),
                    Some(register.clone()),
                    replaces,
                    Some(body(value)?),
                ),
                About::Item { code, entries } => (code.clone(), None, entries, None),
            };
            Ok(SettlementLine {
                said: self.said(folded),
                reason: resolution.reason.clone(),
                code,
                about: register.as_ref().map(|register| self.register_words(register)),
                register,
                sides: self.sides(entries)?,
                found,
            })
        })
        .collect()
    }

    fn sides(&self, entries: &[EntryId]) -> Result<Vec<SideLine>, RecordError> {
        entries
            .iter()
            .filter_map(|&id| self.state.entry(id))
            .map(|folded| {
                Ok(SideLine {
                    said: self.said(folded),
                    body: body(folded.entry.told.body.found())?,
                })
            })
            .collect()
    }

    /// Entries taken back.
    pub fn withdrawn(&self) -> Vec<WithdrawnLine> {
        self.told(|body| match body {
            Body::Withdrawn(withdrawn) => Some(withdrawn),
            _ => None,
        })
        .into_iter()
        .map(|(folded, withdrawn)| WithdrawnLine {
            said: self.said(folded),
            entry: withdrawn.entry,
            reason: withdrawn.reason.clone(),
        })
        .collect()
    }

    /// Free words.
    pub fn notes(&self) -> Vec<NoteLine> {
        self.told(|body| match body {
            Body::Note(note) => Some(note),
            _ => None,
        })
        .into_iter()
        .map(|(folded, note)| NoteLine {
            said: self.said(folded),
            text: note.text.clone(),
            about: note.about,
        })
        .collect()
    }

    /// Photographs.
    pub fn photographs(&self) -> Vec<PhotoLine> {
        self.told(|body| match body {
            Body::Photo(photo) => Some(photo),
            _ => None,
        })
        .into_iter()
        .map(|(folded, photo)| PhotoLine {
            said: self.said(folded),
            sha256: photo.sha256.clone(),
            size: photo.size,
            caption: photo.caption.clone(),
            about: photo.about,
        })
        .collect()
    }

    /// Earlier visits.
    pub fn history(&self) -> Vec<HistoryLine> {
        self.told(|body| match body {
            Body::History(history) => Some(history),
            _ => None,
        })
        .into_iter()
        .map(|(folded, history)| HistoryLine {
            said: self.said(folded),
            history: history.clone(),
        })
        .collect()
    }
}
