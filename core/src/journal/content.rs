//! What one change says, judged on its own: an entry, or why it is none.

use super::{Body, Entry, EntryId, JobId, Told};
use automerge::ScalarValue;
use automerge::legacy::{Key, ObjectId, Op, OpType};
use std::sync::Arc;

/// What a change says.
#[derive(Clone, Debug)]
pub(super) enum Content {
    /// An entry that makes sense as far as one can tell without the others.
    Entry(Arc<Entry>),
    /// Something else.
    Aside {
        /// The id it was filed under, if it was filed under one.
        entry: Option<EntryId>,
        /// Why it does not count, as a stable code.
        code: &'static str,
    },
}

impl Content {
    /// Judges the operations of a change, of which there is at most one.
    pub(super) fn of(job: JobId, operations: &[Op]) -> Self {
        let Some((id, value)) = filed(operations) else {
            return Self::Aside {
                entry: None,
                code: "not_an_entry",
            };
        };
        let judged = match value {
            ScalarValue::Str(text) => entry(job, id, text),
            _ => Err("not_an_entry"),
        };
        match judged {
            Ok(entry) => Self::Entry(Arc::new(entry)),
            Err(code) => Self::Aside {
                entry: Some(id),
                code,
            },
        }
    }

    /// The id it was filed under.
    pub(super) fn id(&self) -> Option<EntryId> {
        match self {
            Self::Entry(entry) => Some(entry.id),
            Self::Aside { entry, .. } => *entry,
        }
    }
}

/// The one value put at the root of the document under an entry's id, spelled as ids are spelled here.
pub(super) fn filed(operations: &[Op]) -> Option<(EntryId, &ScalarValue)> {
    let [
        Op {
            action: OpType::Put(value),
            obj: ObjectId::Root,
            key: Key::Map(key),
            insert: false,
            ..
        },
    ] = operations
    else {
        return None;
    };
    let id: EntryId = key.parse().ok()?;
    (id.to_string() == key.as_str()).then_some((id, value))
}

/// Reads an entry's text.
pub(super) fn entry(job: JobId, id: EntryId, text: &str) -> Result<Entry, &'static str> {
    let told: Told = serde_json::from_str(text).map_err(|_| "malformed")?;
    let is_opening = matches!(told.body, Body::JobOpened(_));
    if is_opening != (id.0 == job.0) {
        return Err(if is_opening {
            "second_opening"
        } else {
            "not_the_opening"
        });
    }
    if told.body.figures().iter().any(|figure| figure.check().is_err()) {
        return Err("bad_figure");
    }
    Ok(Entry { id, told })
}
