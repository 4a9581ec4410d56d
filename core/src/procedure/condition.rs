//! The one language in which a procedure file says what a step needs, leaves behind, applies to and is
//! stopped by.

use crate::journal::{Duty, Position, Purpose, Water};
use crate::quantity::Figure;

/// Something that holds or does not, judged from the journal alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Condition {
    /// A step is done. A step that does not apply asks for nothing.
    Step {
        /// Which.
        step: String,
    },
    /// A step is marked done at another valve of the job: one that is worked by this procedure.
    StepAt {
        /// Which.
        step: String,
        /// The other valve's procedure.
        procedure: String,
    },
    /// What is asked of this valve lies so far from what is asked of the valves beside it.
    SetPoint(SetPointIs),
    /// A question was answered so.
    Choice {
        /// The question.
        step: String,
        /// The option.
        is: String,
    },
    /// An element of the line-up stands so, and nobody disagrees.
    Position {
        /// Which.
        element: String,
        /// How.
        is: Stance,
    },
    /// Every element of the line-up.
    LineUp {
        /// How.
        is: LineUpIs,
    },
    /// Readings at a point.
    Reading(ReadingIs),
    /// The newest reading at a point is zero: vented.
    Zero {
        /// Where.
        point: String,
        /// What its writer must have seen.
        after: Vec<After>,
    },
    /// Water is proven to move, and nobody has stopped it since.
    Flow,
    /// A particular is on record, and nobody disagrees.
    Particular {
        /// Its name.
        name: String,
        /// The word it must be, if one is wanted.
        is: Option<String>,
    },
    /// One request stands.
    Request,
    /// The zone's limit.
    ZoneLimit {
        /// What of it.
        is: ZoneLimitIs,
    },
    /// A gauge is on record for a point.
    Gauge {
        /// Where it is fitted.
        point: String,
        /// Its zero, where that was to be looked at.
        zero: Option<ZeroCheck>,
    },
    /// Somebody on the crew has this duty.
    Duty {
        /// Which.
        duty: Duty,
    },
    /// The screw was turned.
    Move {
        /// Which screw.
        screw: String,
        /// Which way.
        sense: Sense,
        /// What its writer must have seen.
        after: Vec<After>,
    },
    /// It is on record where a speed control stands.
    SpeedControl {
        /// Which.
        control: String,
        /// What its writer must have seen.
        after: Vec<After>,
    },
    /// A photograph was taken.
    Photo {
        /// What its writer must have seen.
        after: Vec<After>,
    },
    /// A note was written.
    Note {
        /// What its writer must have seen.
        after: Vec<After>,
    },
    /// The air of the chamber.
    Atmosphere {
        /// What of it.
        is: AtmosphereIs,
    },
    /// Somebody watches at the opening of a permit space.
    Attendant,
    /// The retrieval gear of a permit space is rigged: this step is done.
    Retrieval {
        /// The step that says so.
        step: String,
    },
    /// Every trapped volume behind a fitting that is about to be opened reads zero.
    Vented {
        /// The volumes.
        points: Vec<String>,
        /// What the readings' writers must have seen.
        after: Vec<After>,
    },
    /// The chamber is a permit space, or nobody has said that it is none.
    PermitSpace,
    /// Nobody disagrees about anything on this valve or its chamber.
    Agreed,
    /// Everybody with entries of their own stands by them.
    Initials,
    /// The record is signed, and not opened again since.
    Signed,
    /// At least one of these.
    Any(Vec<Condition>),
}

/// Readings at a point: so many of this kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadingIs {
    /// Where.
    pub point: String,
    /// What for. None: for anything.
    pub purpose: Option<Purpose>,
    /// Whether water moved. None: either.
    pub water: Option<Water>,
    /// What their writers must have seen.
    pub after: Vec<After>,
    /// How many at least.
    pub count: usize,
    /// Whether they must be at or under the zone's limit.
    pub within_limit: bool,
    /// Whether they must name the request that stands.
    pub names_request: bool,
    /// Whether they must name the gauge they were read off.
    pub names_gauge: bool,
}

/// What is asked of this valve, against what is asked of those beside it. With nothing on record to compare
/// with, it does not hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetPointIs {
    /// Whether it must lie above the others; else below.
    pub above: bool,
    /// The procedures that the valves beside it on this job are worked by.
    pub of: Vec<String>,
    /// The particular that tells a setting beside it where that valve is not on this job.
    pub told: Option<String>,
    /// By how much at least, a pressure.
    pub least: Figure,
}

/// What the writer of an entry must have seen when writing it. This is "after": no clock decides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum After {
    /// Every turn of a screw of this valve.
    LastMove,
    /// That this step was done.
    Step(String),
}

/// How an element is to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stance {
    /// So.
    Is(Position),
    /// As it normally does.
    Normal,
    /// Open or throttled.
    NotShut,
    /// Said by somebody, whatever it is.
    Recorded,
}

/// How the whole line-up is to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineUpIs {
    /// Every element said by somebody.
    Recorded,
    /// Every element in its normal position.
    Normal,
}

/// What is asked of the zone's limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ZoneLimitIs {
    /// The request that stands names one.
    OnRecord,
    /// No newest reading of the zone is over it. Without a limit on record: nothing to be over.
    Within,
}

/// When a gauge's zero was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ZeroCheck {
    /// Before the work.
    Before,
    /// After it.
    After,
}

/// Which way a screw was turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Clockwise.
    In,
    /// Counter-clockwise.
    Out,
    /// Either.
    Any,
}

/// What is asked of the air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AtmosphereIs {
    /// Tested under the lid, through the pick hole.
    TestedAtTop,
    /// Tested at every level, from the top down.
    Tested,
    /// The newest tests were made with a meter that was bump tested that day.
    BumpTested,
    /// Tested (in a permit space), and no newest test out of limits (anywhere).
    WithinLimits,
}
