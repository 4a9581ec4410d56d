//! The limits of the checks: defaults, and what an owner put in their place.

use super::facts::Facts;
use crate::journal::{Body, JobState, ParticularValue, Particulars, Register, Stand};
use crate::quantity::{Figure, Unit};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The table of limits: name, the particular that an owner changes it by, and its default.
macro_rules! limits {
    ($($(#[$doc:meta])* $name:ident = $particular:literal, $digits:literal, $unit:ident;)*) => {
        /// A limit that an owner can change, by a particular of the chamber.
        /// In JSON each is the name of that particular.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
        pub enum LimitName {
            $($(#[$doc])* #[serde(rename = $particular)] $name,)*
        }

        impl LimitName {
            /// Every limit.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// The particular of the chamber that changes it.
            pub const fn particular(self) -> &'static str {
                match self {
                    $(Self::$name => $particular,)*
                }
            }

            /// The limit that a particular changes, if it is one that does.
            pub fn of_particular(name: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|limit| limit.particular() == name)
            }

            /// What holds where no owner says otherwise.
            pub fn default_figure(self) -> Figure {
                let (digits, unit) = match self {
                    $(Self::$name => ($digits, Unit::$unit),)*
                };
                Figure { digits: digits.to_owned(), unit }
            }
        }
    };
}

limits! {
    /// The share of a spring's range to keep off either end. Common practice, no source.
    SpringMargin = "limit_spring_margin", "10", Percent;
    /// Inlet over outlet, absolute, from which on cavitation is looked at closer. Common practice, no source.
    PressureRatio = "limit_pressure_ratio", "2.0", Ratio;
    /// The velocity in the valve, continuous. Common practice, no source.
    Velocity = "limit_velocity", "20", FootPerSecond;
    /// The largest share of the full coefficient at peak flow. Common practice, no source.
    ShareAtPeak = "limit_share_at_peak", "90", Percent;
    /// The smallest share of the full coefficient at the least flow. Common practice, no source.
    ShareAtLeast = "limit_share_at_least", "10", Percent;
    /// The least pressure at ground level, at all flows. Ten States Standards 8.2.1 (section from memory).
    GroundLow = "limit_ground_low", "20", Psi;
    /// The least normal working pressure. Ten States Standards 8.2.1 (section from memory).
    NormalLow = "limit_normal_low", "35", Psi;
    /// The most normal working pressure. Ten States Standards 8.2.1 (section from memory).
    NormalHigh = "limit_normal_high", "80", Psi;
    /// The most still pressure inside a building. Plumbing codes (IPC 604.8, UPC 608.2, numbers from memory).
    BuildingStatic = "limit_building_static", "80", Psi;
    /// How far a relief valve stands over the highest reducing set point. Common practice, no source.
    ReliefMargin = "limit_relief_margin", "15", Psi;
    /// How far the low-flow valve stands over the large one, at least. Common practice, no source.
    Stagger = "limit_stagger", "5", Psi;
    /// How far it stands over it, at most. Common practice, no source.
    StaggerMost = "limit_stagger_most", "10", Psi;
    /// The widest tolerance of a valve set in a stagger. Common practice, no source.
    StaggerTolerance = "limit_stagger_tolerance", "2", Psi;
    /// The lowest share of its scale that a gauge is well read at. Common practice, no source.
    GaugeLow = "limit_gauge_low", "25", Percent;
    /// The highest share. Common practice, no source.
    GaugeHigh = "limit_gauge_high", "75", Percent;
}

/// A limit and what became of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CheckLimit {
    /// Which.
    pub name: LimitName,
    /// What is in force.
    pub figure: Figure,
    /// The default, where an owner's figure stands in its place.
    pub instead_of: Option<Figure>,
    /// Whether two figures of the owner stand and differ: then the default is in force.
    pub disagreed: bool,
}

impl LimitName {
    /// The limit in force on this job. An owner's figure that is no amount above zero of the limit's own kind is
    /// no limit: the default is.
    pub(super) fn in_force(self, state: &JobState) -> CheckLimit {
        let default = self.default_figure();
        let plain = |figure, instead_of, disagreed| CheckLimit {
            name: self,
            figure,
            instead_of,
            disagreed,
        };
        let Some(opening) = state.opening() else {
            return plain(default, None, false);
        };
        let register = Register::Particular {
            asset: opening.station.id,
            name: self.particular().to_owned(),
        };
        match state.standing(&register) {
            Stand::Agreed(
                Body::Particulars(Particulars {
                    value: ParticularValue::Figure(figure),
                    ..
                }),
                _,
            ) if self.may_be(figure) => plain(figure.clone(), Some(default), false),
            Stand::Disagreed(_) => plain(default, None, true),
            _ => plain(default, None, false),
        }
    }

    fn may_be(self, figure: &Figure) -> bool {
        figure.unit.dimension() == self.default_figure().unit.dimension()
            && figure.value().is_ok_and(|value| value > 0.0)
    }
}

/// Every limit as it is in force on this job.
pub fn limits(state: &JobState) -> Vec<CheckLimit> {
    LimitName::ALL.iter().map(|name| name.in_force(state)).collect()
}

impl Facts<'_> {
    /// The limit in force, as a quantity. None only where the default itself is none, which a test rules out.
    pub(super) fn limit<Q: for<'f> TryFrom<&'f Figure>>(&self, name: LimitName) -> (CheckLimit, Option<Q>) {
        let limit = name.in_force(self.state);
        let quantity = Q::try_from(&limit.figure).ok();
        (limit, quantity)
    }
}
