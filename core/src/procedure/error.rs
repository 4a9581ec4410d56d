//! Why a procedure file is refused.

use thiserror::Error;

/// A procedure file is refused: where and why. Nothing of it is used.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{file}, line {line}: {fault}")]
pub struct ProcedureError {
    /// Which of the files: `procedure`, or the shared one that it takes from, `common` or `regulating`.
    pub file: &'static str,
    /// The line, from 1.
    pub line: usize,
    /// What is wrong there.
    pub fault: Fault,
}

impl ProcedureError {
    /// The stable code of what is wrong.
    pub fn code(&self) -> &'static str {
        self.fault.code()
    }
}

/// What is wrong with a procedure file.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Fault {
    /// It is larger than any procedure that people can work by.
    #[error("the file is larger than {} bytes", super::Procedure::MAX_BYTES)]
    TooLarge,
    /// It is no TOML, or a key is missing, unknown or of the wrong kind.
    #[error("{0}")]
    Syntax(String),
    /// A text is missing in one of the languages, or empty.
    #[error("no text in {language} for {of}")]
    MissingText {
        /// `English` or `Spanish`.
        language: &'static str,
        /// The text it would be.
        of: String,
    },
    /// Two things of one kind have the same id.
    #[error("{what} `{id}` is there twice")]
    DuplicateId {
        /// What kind of thing.
        what: &'static str,
        /// The id.
        id: String,
    },
    /// Something is named that is not in the file.
    #[error("there is no {what} `{id}`")]
    Unknown {
        /// What kind of thing.
        what: &'static str,
        /// The id.
        id: String,
    },
    /// A condition that nobody can judge.
    #[error("not a condition: {0}")]
    Condition(String),
    /// A condition among the hard stops that is none.
    #[error("`{0}` is not a hard stop")]
    NotAStop(String),
    /// Steps that need one another.
    #[error("`{step}` needs `{needs}`, which needs `{step}`")]
    Cycle {
        /// The first of them.
        step: String,
        /// The one it needs.
        needs: String,
    },
    /// A step that waits for one further down.
    #[error("`{step}` refers to `{later}`, which is not before it")]
    LaterStep {
        /// The step.
        step: String,
        /// The one further down.
        later: String,
    },
    /// A step whose id does not begin with its phase's.
    #[error("`{step}` does not begin with `{phase}.`")]
    OutsidePhase {
        /// The step.
        step: String,
        /// The phase.
        phase: String,
    },
    /// A question with fewer than two answers.
    #[error("the question `{0}` needs at least two answers")]
    TooFewAnswers(String),
}

impl Fault {
    /// The stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::TooLarge => "too_large",
            Self::Syntax(_) => "syntax",
            Self::MissingText { .. } => "missing_text",
            Self::DuplicateId { .. } => "duplicate_id",
            Self::Unknown { what, .. } => match *what {
                "step" => "unknown_step",
                "answer" => "unknown_answer",
                "element" => "unknown_element",
                "point" => "unknown_point",
                "screw" => "unknown_screw",
                "speed control" => "unknown_speed_control",
                "particular" => "unknown_particular",
                "phase" => "unknown_phase",
                _ => "unknown_name",
            },
            Self::Condition(_) => "unknown_condition",
            Self::NotAStop(_) => "not_a_stop",
            Self::Cycle { .. } => "cycle",
            Self::LaterStep { .. } => "later_step",
            Self::OutsidePhase { .. } => "outside_phase",
            Self::TooFewAnswers(_) => "too_few_answers",
        }
    }
}
