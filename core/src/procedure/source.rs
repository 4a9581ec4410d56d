//! Where something stands in a procedure file, for the errors about it.

use super::{Fault, ProcedureError};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// One of the files a procedure is made from: its own, or one that several procedures share.
#[derive(Clone, Copy, Debug)]
pub(super) struct Source<'a> {
    pub name: &'static str,
    pub text: &'a str,
}

impl<'a> Source<'a> {
    /// A place in it.
    pub(super) fn at(self, at: usize) -> Place<'a> {
        Place { source: self, at }
    }

    /// The file, if it is one of ours by its grammar.
    pub(super) fn read<T: for<'de> Deserialize<'de>>(self) -> Result<T, ProcedureError> {
        if self.text.len() > super::Procedure::MAX_BYTES {
            return Err(self.at(0).error(Fault::TooLarge));
        }
        toml::from_str(self.text).map_err(|error| {
            let at = error.span().map_or(0, |span| span.start);
            self.at(at).error(Fault::Syntax(error.message().to_owned()))
        })
    }
}

/// A place in a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place<'a> {
    source: Source<'a>,
    at: usize,
}

impl Place<'_> {
    /// The fault here.
    pub(super) fn error(self, fault: Fault) -> ProcedureError {
        let text = self.source.text;
        let at = text.floor_char_boundary(self.at);
        ProcedureError {
            file: self.source.name,
            line: 1 + text[..at].matches('\n').count(),
            fault,
        }
    }

    /// A key that is needed here and not there.
    pub(super) fn missing(self, key: &str) -> ProcedureError {
        self.error(Fault::Syntax(format!("missing field `{key}`")))
    }
}

/// The ids that stand in for others in everything that is taken from a shared file.
#[derive(Debug, Default)]
pub(super) struct Instead {
    names: BTreeMap<String, String>,
    used: BTreeSet<String>,
}

impl Instead {
    pub(super) fn new(names: BTreeMap<String, String>) -> Self {
        Self {
            names,
            used: BTreeSet::new(),
        }
    }

    /// Puts the id that stands in for this one in its place.
    pub(super) fn put(&mut self, id: &mut String) {
        if let Some(other) = self.names.get(id) {
            self.used.insert(std::mem::replace(id, other.clone()));
        }
    }

    /// An id that stood nowhere.
    pub(super) fn unused(&self) -> Option<&str> {
        self.names
            .keys()
            .find(|id| !self.used.contains(*id))
            .map(String::as_str)
    }
}
