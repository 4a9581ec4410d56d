//! Which signs speak for which cause: the fault-finder's table.
//!
//! Common practice, no source.

use super::{Cause, Sign, Symptom};

/// A sign, and whether it is so.
pub type Sighting = (Sign, bool);

/// One cause of a symptom.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// The cause.
    pub cause: Cause,
    /// What must all be seen before the cause may be named. The contrary of any one of them rules it out.
    pub shown_by: &'static [Sighting],
    /// What rules it out besides.
    pub ruled_out_by: &'static [Sighting],
}

impl Row {
    /// What one would see of a sign if this were the cause. None: it says nothing about it.
    pub fn expects(&self, sign: Sign) -> Option<bool> {
        let shown = self.shown_by.iter().find(|(of, _)| *of == sign);
        let against = self.ruled_out_by.iter().find(|(of, _)| *of == sign);
        shown.map(|(_, so)| *so).or_else(|| against.map(|(_, so)| !so))
    }

    /// Every sign that bears on this cause.
    pub fn signs(&self) -> impl Iterator<Item = Sign> {
        self.shown_by
            .iter()
            .chain(self.ruled_out_by)
            .map(|(sign, _)| *sign)
    }
}

const fn row(cause: Cause, shown_by: &'static [Sighting], ruled_out_by: &'static [Sighting]) -> Row {
    Row {
        cause,
        shown_by,
        ruled_out_by,
    }
}

/// The causes of a symptom, in the order in which one would suspect them.
pub fn rows(symptom: Symptom) -> &'static [Row] {
    match symptom {
        Symptom::DoesNotFollow => DOES_NOT_FOLLOW,
        Symptom::RateOff => RATE_OFF,
        Symptom::Hunting => HUNTING,
        Symptom::StaysOpen => STAYS_OPEN,
        Symptom::StaysClosed => STAYS_CLOSED,
        Symptom::OutletEqualsInletAtNoFlow => OUTLET_EQUALS_INLET,
        Symptom::Creep => CREEP,
        Symptom::GaugeDoesNotMove => GAUGE_DOES_NOT_MOVE,
    }
}

// A gauge behind a shut cock shows what was there before: whatever is read off it, it may be the gauge.
const GAUGE: Row = row(Cause::GaugeLine, &[(Sign::GaugeLineBlocked, true)], &[]);

const DOES_NOT_FOLLOW: &[Row] = &[
    row(
        Cause::NoFlowOrHeldOpen,
        &[(Sign::OutletEqualsInlet, true), (Sign::StemOpen, true)],
        &[],
    ),
    row(
        Cause::DeadEnd,
        &[(Sign::FallsWhenTapOpened, true)],
        &[(Sign::FlowProven, true)],
    ),
    row(
        Cause::MainValveBound,
        &[(Sign::FlowProven, true), (Sign::CoverFollowsScrew, true)],
        &[],
    ),
    row(
        Cause::ControlBlocked,
        &[(Sign::FlowProven, true), (Sign::CoverFollowsScrew, false)],
        &[],
    ),
    GAUGE,
];

const RATE_OFF: &[Row] = &[
    row(
        Cause::OtherSpring,
        &[(Sign::RateSteady, true)],
        &[(Sign::OnlyOnReversal, true), (Sign::ShrinksTowardInlet, true)],
    ),
    row(
        Cause::DeadBand,
        &[(Sign::OnlyOnReversal, true)],
        &[(Sign::RateSteady, true)],
    ),
    row(
        Cause::Starved,
        &[(Sign::ShrinksTowardInlet, true)],
        &[(Sign::RateSteady, true)],
    ),
];

const HUNTING: &[Row] = &[
    row(Cause::Upstream, &[(Sign::InletSwings, true)], &[]),
    row(Cause::Air, &[(Sign::StopsAfterBleeding, true)], &[]),
    row(Cause::TooFast, &[(Sign::StopsWhenSlowed, true)], &[]),
    row(Cause::Oversized, &[(Sign::OnlyBelowSomeFlow, true)], &[]),
    row(Cause::SetPointsTooClose, &[(Sign::BothValvesSwing, true)], &[]),
];

const DIAPHRAGM: Row = row(
    Cause::DiaphragmOrStemSeal,
    &[(Sign::VentRunsWithCoverCockShut, true)],
    &[],
);
const DEBRIS: Row = row(
    Cause::DebrisOrStemBound,
    &[(Sign::CoverAtInletPressure, true)],
    &[(Sign::SupplyAtCover, false)],
);

const STAYS_OPEN: &[Row] = &[
    row(
        Cause::SupplyBlocked,
        &[(Sign::SupplyAtCover, false)],
        &[(Sign::CoverAtInletPressure, true)],
    ),
    DEBRIS,
    DIAPHRAGM,
];

const STAYS_CLOSED: &[Row] = &[
    row(
        Cause::PilotShutOrDrainBlocked,
        &[(Sign::OpensWhenCoverVented, true)],
        &[],
    ),
    row(
        Cause::BoundOrNoDifferential,
        &[(Sign::OpensWhenCoverVented, false)],
        &[],
    ),
];

const OUTLET_EQUALS_INLET: &[Row] = &[
    row(Cause::Bypass, &[(Sign::BypassOpenOrPassing, true)], &[]),
    row(Cause::SettingAboveInlet, &[(Sign::SettingAboveInlet, true)], &[]),
    DEBRIS,
    DIAPHRAGM,
];

const CREEP: &[Row] = &[
    row(Cause::Warming, &[(Sign::FollowsTemperature, true)], &[]),
    row(Cause::PilotSeat, &[(Sign::StopsWithPilotIsolated, true)], &[]),
    row(
        Cause::BypassOrOtherFeed,
        &[
            (Sign::OtherFeedsProvenShut, false),
            (Sign::StopsWithPilotIsolated, false),
        ],
        &[],
    ),
    row(
        Cause::MainSeat,
        &[
            (Sign::OtherFeedsProvenShut, true),
            (Sign::StopsWithPilotIsolated, false),
        ],
        &[(Sign::FollowsTemperature, true)],
    ),
];

const GAUGE_DOES_NOT_MOVE: &[Row] = &[GAUGE];
