//! One item of the review.

use super::Code;
use crate::journal::{AssetId, EntryId, Register};
use crate::procedure::Text;

/// Something that stands between the job and a sound record, or that its reader should know.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What kind.
    pub code: Code,
    /// How much it weighs: its kind's weight, but for what is only work ahead while steps are still open.
    pub weight: Weight,
    /// What a settlement by words names as its code: the kind, and what it is about where entries alone would
    /// not tell two items apart.
    pub key: String,
    /// The valve it is about, where it is one's.
    pub valve: Option<AssetId>,
    /// The register it is about, where it is one's.
    pub register: Option<Register>,
    /// What it is about, as an id: a point, a screw, an element, a step, a gauge's serial, a person.
    pub about: Option<String>,
    /// The code of the condition that does not hold, where it is one's.
    pub condition: Option<String>,
    /// In the words of the procedure, where it has some.
    pub say: Option<Text>,
    /// What exactly, in the words of the procedure: what was unmet, which stops were gone over.
    pub details: Vec<Text>,
    /// The entries it is about, in fold order, but for a change's cause, which comes last.
    pub entries: Vec<EntryId>,
    /// How far two readings are apart, where it is about readings.
    pub apart: Option<Apart>,
    /// Where it is put right, where that is possible.
    pub place: Place,
    /// The entry that settled it, if one did: a person's words, or work that came after it.
    pub settled_by: Option<EntryId>,
}

/// How much an item weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Work that is still to be done.
    Missing,
    /// A person has to decide.
    Decide,
    /// Worth reading: it stays in the record and keeps nobody from signing.
    Read,
}

impl Weight {
    /// The stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Missing => "missing",
            Self::Decide => "decide",
            Self::Read => "read",
        }
    }
}

/// A way to settle an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Say how the register stands.
    Register,
    /// Do the work again, or for the first time, at the item's [`Place`].
    Again,
    /// Words, with a name and a reason.
    Words,
    /// Open the signed job again and sign another revision.
    ReOpen,
    /// Nothing here: a newer version of this program reads what this one cannot.
    Update,
}

/// Where something is put right.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The screen, as a code.
    pub screen: Option<&'static str>,
    /// The procedure of the step.
    pub procedure: Option<String>,
    /// The step.
    pub step: Option<String>,
}

/// How far two readings are apart, and how far apart their gauges let them be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// The normalized error En: 1 is as far as both expanded uncertainties together reach (ISO/IEC 17043).
    pub en: f64,
}

impl Item {
    /// An open item of this kind about these entries.
    pub(super) fn new(code: Code, entries: Vec<EntryId>) -> Self {
        Self {
            code,
            weight: code.weight(),
            key: code.as_str().to_owned(),
            valve: None,
            register: None,
            about: None,
            condition: None,
            say: None,
            details: Vec::new(),
            entries,
            apart: None,
            place: Place::default(),
            settled_by: None,
        }
    }

    /// Of one valve.
    pub(super) fn of(self, valve: AssetId) -> Self {
        Self {
            valve: Some(valve),
            ..self
        }
    }

    /// About something with an id.
    pub(super) fn about(self, id: &str) -> Self {
        Self {
            about: Some(id.to_owned()),
            ..self
        }
    }

    /// Put right on this screen.
    pub(super) fn at(mut self, screen: &'static str) -> Self {
        self.place.screen = Some(screen);
        self
    }

    /// Put right at this step.
    pub(super) fn at_step(mut self, procedure: &str, step: &str) -> Self {
        self.place.procedure = Some(procedure.to_owned());
        self.place.step = Some(step.to_owned());
        self
    }

    /// Said in these words.
    pub(super) fn saying(self, say: Text) -> Self {
        Self {
            say: Some(say),
            ..self
        }
    }

    /// Told apart from others of its kind by what it is about, since its entries may not: there may be none.
    pub(super) fn keyed(mut self, valve: AssetId, about: &str) -> Self {
        self.key = format!("{}:{valve}:{about}", self.code.as_str());
        self
    }

    /// Whether it still needs somebody: a decision or work.
    pub fn is_open(&self) -> bool {
        self.settled_by.is_none() && self.weight != Weight::Read
    }

    /// Whether it still needs a person's decision.
    pub fn needs_decision(&self) -> bool {
        self.settled_by.is_none() && self.weight == Weight::Decide
    }

    /// Whether it is work that is still to be done.
    pub fn is_missing(&self) -> bool {
        self.settled_by.is_none() && self.weight == Weight::Missing
    }
}
