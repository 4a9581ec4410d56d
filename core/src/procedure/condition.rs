//! The one language in which a procedure file says what a step needs, leaves behind, applies to and is
//! stopped by.

use crate::journal::{Duty, Position, Purpose, Water};

/// Something that holds or does not, judged from the journal alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Condition {
    /// A step is done. A step that does not apply asks for nothing.
    Step {
        /// Which.
        step: String,
    },
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

impl Condition {
    /// The stable code of this condition: what an override names, and what reaches the record.
    pub fn code(&self) -> String {
        match self {
            Self::Step { step } => format!("step:{step}"),
            Self::Choice { step, is } => format!("choice:{step}:{is}"),
            Self::Position { element, is } => format!("position:{element}:{}", is.code()),
            Self::LineUp { is } => format!("line_up:{}", is.code()),
            Self::Reading(reading) => reading.code(),
            Self::Zero { point, after } => format!("zero:{point}{}", after_code(after)),
            Self::Flow => "flow:proven".to_owned(),
            Self::Particular { name, is: None } => format!("particular:{name}"),
            Self::Particular { name, is: Some(is) } => format!("particular:{name}:{is}"),
            Self::Request => "request".to_owned(),
            Self::ZoneLimit {
                is: ZoneLimitIs::OnRecord,
            } => "zone_limit:on_record".to_owned(),
            Self::ZoneLimit {
                is: ZoneLimitIs::Within,
            } => "zone_limit".to_owned(),
            Self::Gauge { point, zero: None } => format!("gauge:{point}"),
            Self::Gauge {
                point,
                zero: Some(ZeroCheck::Before),
            } => format!("gauge:{point}:zero_before"),
            Self::Gauge {
                point,
                zero: Some(ZeroCheck::After),
            } => format!("gauge:{point}:zero_after"),
            Self::Duty { duty } => format!("duty:{}", duty_code(*duty)),
            Self::Move { screw, sense, after } => {
                format!("move:{screw}:{}{}", sense.code(), after_code(after))
            }
            Self::SpeedControl { control, after } => format!("speed_control:{control}{}", after_code(after)),
            Self::Photo { after } => format!("photo{}", after_code(after)),
            Self::Note { after } => format!("note{}", after_code(after)),
            Self::Atmosphere {
                is: AtmosphereIs::TestedAtTop,
            } => "atmosphere:top".to_owned(),
            Self::Atmosphere {
                is: AtmosphereIs::Tested,
            } => "atmosphere:tested".to_owned(),
            Self::Atmosphere {
                is: AtmosphereIs::BumpTested,
            } => "atmosphere:bump_tested".to_owned(),
            Self::Atmosphere {
                is: AtmosphereIs::WithinLimits,
            } => "atmosphere".to_owned(),
            Self::Attendant => "attendant".to_owned(),
            Self::Retrieval { .. } => "retrieval".to_owned(),
            Self::Vented { .. } => "pressure_vented".to_owned(),
            Self::PermitSpace => "permit_space".to_owned(),
            Self::Agreed => "disagreements".to_owned(),
            Self::Initials => "initials".to_owned(),
            Self::Signed => "signed".to_owned(),
            Self::Any(any) => any.iter().map(Self::code).collect::<Vec<_>>().join("|"),
        }
    }

    /// Whether this may stand among the hard stops: what hurts people or the zone, and nothing else.
    pub fn is_stop(&self) -> bool {
        matches!(
            self,
            Self::Atmosphere {
                is: AtmosphereIs::WithinLimits
            } | Self::Attendant
                | Self::Retrieval { .. }
                | Self::Vented { .. }
                | Self::ZoneLimit {
                    is: ZoneLimitIs::Within
                }
        )
    }

    /// The screen where it is met, as a code.
    pub fn screen(&self) -> Option<&'static str> {
        Some(match self {
            Self::Position { .. } | Self::LineUp { .. } | Self::SpeedControl { .. } => "line_up",
            Self::Reading(_)
            | Self::Zero { .. }
            | Self::Vented { .. }
            | Self::ZoneLimit {
                is: ZoneLimitIs::Within,
            } => "readings",
            Self::Flow => "flow",
            Self::Particular { .. } | Self::PermitSpace | Self::Request | Self::ZoneLimit { .. } => "pre_job",
            Self::Gauge { .. } => "gauges",
            Self::Duty { .. } | Self::Attendant => "crew",
            Self::Move { .. } => "setting",
            Self::Photo { .. } | Self::Note { .. } => "notes",
            Self::Atmosphere { .. } => "atmosphere",
            Self::Agreed | Self::Initials | Self::Signed => "close_out",
            Self::Any(any) => return any.iter().find_map(Self::screen),
            Self::Step { .. } | Self::Choice { .. } | Self::Retrieval { .. } => return None,
        })
    }
}

impl ReadingIs {
    fn code(&self) -> String {
        let water = match self.water {
            Some(Water::Flowing) => ":flowing",
            Some(Water::Still) => ":still",
            Some(Water::Unknown) | None => "",
        };
        let purpose = self.purpose.map(|purpose| format!(":{}", purpose_code(purpose)));
        let count = (self.count > 1).then(|| format!(":{}", self.count));
        let within = if self.within_limit { ":within_limit" } else { "" };
        let request = if self.names_request {
            ":standing_request"
        } else {
            ""
        };
        format!(
            "reading:{}{}{water}{}{within}{request}{}",
            self.point,
            purpose.unwrap_or_default(),
            count.unwrap_or_default(),
            after_code(&self.after)
        )
    }
}

impl Stance {
    fn code(self) -> &'static str {
        match self {
            Self::Is(Position::Open) => "open",
            Self::Is(Position::Shut) => "shut",
            Self::Is(Position::Throttled) => "throttled",
            Self::Normal => "normal",
            Self::NotShut => "not_shut",
            Self::Recorded => "recorded",
        }
    }
}

impl LineUpIs {
    fn code(self) -> &'static str {
        match self {
            Self::Recorded => "recorded",
            Self::Normal => "normal",
        }
    }
}

impl Sense {
    fn code(self) -> &'static str {
        match self {
            Self::In => "in",
            Self::Out => "out",
            Self::Any => "any",
        }
    }
}

fn after_code(after: &[After]) -> String {
    after
        .iter()
        .map(|after| match after {
            After::LastMove => ":after:last_move".to_owned(),
            After::Step(step) => format!(":after:{step}"),
        })
        .collect()
}

/// A purpose as it is written in files and codes.
pub(super) fn purpose_code(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::AsFound => "as_found",
        Purpose::Working => "working",
        Purpose::StaticSetting => "static_setting",
        Purpose::Baseline => "baseline",
        Purpose::LockUp => "lock_up",
        Purpose::AsLeft => "as_left",
    }
}

/// A duty as it is written in files and codes.
pub(super) fn duty_code(duty: Duty) -> &'static str {
    match duty {
        Duty::WrenchHand => "wrench_hand",
        Duty::TopsideHand => "topside_hand",
        Duty::Attendant => "attendant",
        Duty::EntrySupervisor => "entry_supervisor",
    }
}
