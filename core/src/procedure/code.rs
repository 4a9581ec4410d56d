//! The stable code of a condition: what an override names, and what reaches the record.

use super::condition::{
    After, AtmosphereIs, Condition, LineUpIs, ReadingIs, Sense, SetPointIs, Stance, ZeroCheck, ZoneLimitIs,
};
use crate::journal::{Duty, Position, Purpose, Water};

impl Condition {
    /// The stable code of this condition: what an override names, and what reaches the record.
    pub fn code(&self) -> String {
        match self {
            Self::Step { step } => format!("step:{step}"),
            Self::StepAt { step, procedure } => format!("step:{step}:at:{procedure}"),
            Self::SetPoint(set) => set.code(),
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
            Self::Particular { .. }
            | Self::PermitSpace
            | Self::Request
            | Self::SetPoint(_)
            | Self::ZoneLimit { .. } => "pre_job",
            Self::Gauge { .. } => "gauges",
            Self::Duty { .. } | Self::Attendant => "crew",
            Self::Move { .. } => "setting",
            Self::Photo { .. } | Self::Note { .. } => "notes",
            Self::Atmosphere { .. } => "atmosphere",
            Self::Agreed | Self::Initials | Self::Signed => "close_out",
            Self::Any(any) => return any.iter().find_map(Self::screen),
            Self::Step { .. } | Self::StepAt { .. } | Self::Choice { .. } | Self::Retrieval { .. } => {
                return None;
            }
        })
    }
}

impl SetPointIs {
    fn code(&self) -> String {
        let side = if self.above { "above" } else { "below" };
        let beside: Vec<&str> = self.of.iter().chain(&self.told).map(String::as_str).collect();
        let least = self.least.to_string().replace(' ', "_");
        format!("set_point:{side}:{}:{least}", beside.join("+"))
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
        let gauge = if self.names_gauge { ":gauge" } else { "" };
        format!(
            "reading:{}{}{water}{}{within}{request}{gauge}{}",
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
