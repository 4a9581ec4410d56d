//! Conditions as a procedure file writes them: inline tables, one key that says what is meant and a few beside
//! it that say which.

use super::condition::{
    After, AtmosphereIs, Condition, LineUpIs, ReadingIs, Sense, SetPointIs, Stance, ZeroCheck, ZoneLimitIs,
};
use crate::journal::{Duty, Position, Purpose, Water};
use crate::quantity::{Figure, PressureDifference};
use serde::Deserialize;

/// Every key that a condition can have.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Written {
    step: Option<String>,
    choice: Option<String>,
    position: Option<String>,
    line_up: Option<LineUpWord>,
    reading: Option<String>,
    zero: Option<String>,
    flow: Option<FlowWord>,
    particular: Option<String>,
    request: Option<True>,
    zone_limit: Option<ZoneLimitWord>,
    gauge: Option<String>,
    duty: Option<Duty>,
    #[serde(rename = "move")]
    screw: Option<String>,
    speed_control: Option<String>,
    photo: Option<True>,
    note: Option<True>,
    atmosphere: Option<AtmosphereWord>,
    attendant: Option<True>,
    retrieval: Option<String>,
    vented: Option<Vec<String>>,
    permit_space: Option<True>,
    disagreements: Option<DisagreementsWord>,
    initials: Option<InitialsWord>,
    signed: Option<True>,
    any: Option<Vec<Written>>,
    set_point: Option<SetPointWord>,

    // Beside those:
    at: Option<String>,
    of: Option<Vec<String>>,
    told: Option<String>,
    least: Option<String>,
    is: Option<String>,
    purpose: Option<Purpose>,
    water: Option<Water>,
    after: Option<OneOrMany>,
    count: Option<u8>,
    within: Option<WithinWord>,
    names: Option<Vec<NamesWord>>,
    checked: Option<CheckedWord>,
    sense: Option<SenseWord>,
}

macro_rules! words {
    ($($name:ident { $($word:ident),* })*) => {
        $(
            #[derive(Clone, Copy, Debug, Deserialize)]
            #[serde(rename_all = "snake_case")]
            enum $name { $($word),* }
        )*
    };
}

words! {
    LineUpWord { Recorded, Normal }
    FlowWord { Proven }
    ZoneLimitWord { OnRecord, Within }
    AtmosphereWord { Top, Tested, BumpTested, WithinLimits }
    InitialsWord { Everybody }
    DisagreementsWord { Settled }
    WithinWord { ZoneLimit }
    NamesWord { StandingRequest, Gauge }
    CheckedWord { Before, After }
    SenseWord { In, Out, Any }
    SetPointWord { Above, Below }
}

/// `true`, and nothing else: a condition is there or it is not.
#[derive(Debug, Deserialize)]
#[serde(try_from = "bool")]
struct True;

impl TryFrom<bool> for True {
    type Error = &'static str;

    fn try_from(value: bool) -> Result<Self, Self::Error> {
        if value {
            Ok(Self)
        } else {
            Err("a condition is asked with `true`, or not at all")
        }
    }
}

#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum OneOrMany {
    One(String),
    Many(Vec<String>),
}

/// Takes the first of these keys that is there.
macro_rules! first {
    ($written:ident: $($key:ident => |$value:pat_param| $condition:expr,)*) => {
        $(if let Some($value) = $written.$key.take() { $condition } else)*
        { return Err("it names nothing to look at".to_owned()); }
    };
}

/// The keys that are still there.
macro_rules! left {
    ($written:ident: $($key:ident $(as $name:literal)?),*) => {
        [$(($written.$key.is_some(), left!(@name $key $($name)?))),*]
            .into_iter()
            .find_map(|(there, name)| there.then_some(name))
    };
    (@name $key:ident) => { stringify!($key) };
    (@name $key:ident $name:literal) => { $name };
}

impl Written {
    /// The condition, or why it is none.
    pub(super) fn condition(mut self) -> Result<Condition, String> {
        let condition = first! { self:
            step => |step| match self.at.take() {
                None => Condition::Step { step },
                Some(procedure) => Condition::StepAt { step, procedure },
            },
            set_point => |is| Condition::SetPoint(SetPointIs {
                above: matches!(is, SetPointWord::Above),
                of: self.of.take().unwrap_or_default(),
                told: self.told.take(),
                least: difference(self.least.take().as_deref())?,
            }),
            choice => |step| Condition::Choice { step, is: self.word()? },
            position => |element| Condition::Position { element, is: stance(&self.word()?)? },
            line_up => |is| Condition::LineUp {
                is: match is {
                    LineUpWord::Recorded => LineUpIs::Recorded,
                    LineUpWord::Normal => LineUpIs::Normal,
                },
            },
            reading => |point| self.reading(point),
            zero => |point| Condition::Zero { point, after: self.after() },
            flow => |_| Condition::Flow,
            particular => |name| Condition::Particular { name, is: self.is.take() },
            request => |_| Condition::Request,
            zone_limit => |is| Condition::ZoneLimit {
                is: match is {
                    ZoneLimitWord::OnRecord => ZoneLimitIs::OnRecord,
                    ZoneLimitWord::Within => ZoneLimitIs::Within,
                },
            },
            gauge => |point| Condition::Gauge {
                point,
                zero: self.checked.take().map(|checked| match checked {
                    CheckedWord::Before => ZeroCheck::Before,
                    CheckedWord::After => ZeroCheck::After,
                }),
            },
            duty => |duty| Condition::Duty { duty },
            screw => |screw| Condition::Move {
                screw,
                sense: match self.sense.take() {
                    Some(SenseWord::In) => Sense::In,
                    Some(SenseWord::Out) => Sense::Out,
                    Some(SenseWord::Any) | None => Sense::Any,
                },
                after: self.after(),
            },
            speed_control => |control| Condition::SpeedControl { control, after: self.after() },
            photo => |_| Condition::Photo { after: self.after() },
            note => |_| Condition::Note { after: self.after() },
            atmosphere => |is| Condition::Atmosphere {
                is: match is {
                    AtmosphereWord::Top => AtmosphereIs::TestedAtTop,
                    AtmosphereWord::Tested => AtmosphereIs::Tested,
                    AtmosphereWord::BumpTested => AtmosphereIs::BumpTested,
                    AtmosphereWord::WithinLimits => AtmosphereIs::WithinLimits,
                },
            },
            attendant => |_| Condition::Attendant,
            retrieval => |step| Condition::Retrieval { step },
            vented => |points| Condition::Vented { points, after: self.after() },
            permit_space => |_| Condition::PermitSpace,
            disagreements => |_| Condition::Agreed,
            initials => |_| Condition::Initials,
            signed => |_| Condition::Signed,
            any => |any| Condition::Any(any.into_iter().map(Self::condition).collect::<Result<_, _>>()?),
        };
        match self.left() {
            Some(key) => Err(format!("`{key}` means nothing in `{}`", condition.code())),
            None => nothing_empty(condition),
        }
    }

    fn reading(&mut self, point: String) -> Condition {
        let names = self.names.take().unwrap_or_default();
        Condition::Reading(ReadingIs {
            point,
            purpose: self.purpose.take(),
            water: self.water.take(),
            after: self.after(),
            count: self.count.take().map_or(1, usize::from),
            within_limit: self.within.take().is_some(),
            names_request: names
                .iter()
                .any(|name| matches!(name, NamesWord::StandingRequest)),
            names_gauge: names.iter().any(|name| matches!(name, NamesWord::Gauge)),
        })
    }

    fn word(&mut self) -> Result<String, String> {
        self.is.take().ok_or_else(|| "it lacks `is`".to_owned())
    }

    fn after(&mut self) -> Vec<After> {
        let names = match self.after.take() {
            None => Vec::new(),
            Some(OneOrMany::One(name)) => vec![name],
            Some(OneOrMany::Many(names)) => names,
        };
        names
            .into_iter()
            .map(|name| {
                if name == "last_move" {
                    After::LastMove
                } else {
                    After::Step(name)
                }
            })
            .collect()
    }

    fn left(&self) -> Option<&'static str> {
        left!(self: step, choice, position, line_up, reading, zero, flow, particular, request, zone_limit,
            gauge, duty, screw as "move", speed_control, photo, note, atmosphere, attendant, retrieval, vented,
            permit_space, disagreements, initials, signed, any, set_point, at, of, told, least, is, purpose, water, after, count, within, names, checked, sense)
    }
}

/// A condition over nothing would always hold, or never.
fn nothing_empty(condition: Condition) -> Result<Condition, String> {
    let empty = match &condition {
        Condition::Any(any) => any.is_empty(),
        Condition::Vented { points, .. } => points.is_empty(),
        Condition::Reading(reading) => reading.count == 0,
        Condition::SetPoint(set) => set.of.is_empty() && set.told.is_none(),
        _ => false,
    };
    if empty {
        Err("it asks for nothing".to_owned())
    } else {
        Ok(condition)
    }
}

/// A difference of pressure, as `"5 psi"`.
fn difference(words: Option<&str>) -> Result<Figure, String> {
    let words = words.ok_or_else(|| "it lacks `least`".to_owned())?;
    let figure: Figure = words.parse().map_err(|error| format!("`{words}`: {error}"))?;
    match PressureDifference::try_from(&figure) {
        Ok(_) => Ok(figure),
        Err(error) => Err(format!("`{words}`: {error}")),
    }
}

fn stance(word: &str) -> Result<Stance, String> {
    Ok(match word {
        "open" => Stance::Is(Position::Open),
        "shut" => Stance::Is(Position::Shut),
        "throttled" => Stance::Is(Position::Throttled),
        "normal" => Stance::Normal,
        "not_shut" => Stance::NotShut,
        "recorded" => Stance::Recorded,
        other => return Err(format!("`{other}` is no position")),
    })
}
