//! The stable names of checks, figures and remarks.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum CheckCode {
    /// The target well inside the spring's range.
    SpringRange,
    /// Inlet enough for target and minimum differential.
    MinDifferential,
    /// The drop below the one at which flow chokes.
    ChokedFlow,
    /// The cavitation index above the valve's own limit.
    Cavitation,
    /// The velocity in the valve at peak flow.
    Velocity,
    /// The share of its coefficient that the valve needs at peak flow.
    OpeningAtPeak,
    /// The share of its coefficient that the valve needs at the least flow.
    OpeningAtLeast,
    /// The least flow of the zone against the least flow of the manual.
    LeastFlow,
    /// The pressure at the zone's highest customer.
    HighestCustomer,
    /// The pressure at the zone's lowest customer.
    LowestCustomer,
    /// The still pressure inside the lowest building.
    BuildingStatic,
    /// The target below the zone's limit.
    ZoneLimit,
    /// How far the relief valve stands over the reducing set points.
    ReliefMargin,
    /// How far the low-flow valve stands over the large one.
    Stagger,
    /// Whether the request's tolerance is narrow enough for a stagger.
    StaggerTolerance,
    /// The gauge's scale against the reading and the inlet.
    GaugeRange,
    /// What a hydrant flow test says of the supply.
    FlowTest,
}

/// What a figure of a check is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum FigureName {
    /// The pressure asked for.
    Target,
    /// The spring's lowest setting.
    SpringLow,
    /// The spring's highest setting.
    SpringHigh,
    /// The lowest setting well inside the range.
    InsideFrom,
    /// The highest setting well inside the range.
    InsideTo,
    /// The lowest inlet pressure of the day.
    InletLow,
    /// The highest inlet pressure of the day.
    InletHigh,
    /// The inlet as it was read last.
    InletRead,
    /// The least difference by the manual.
    MinDifferential,
    /// What the inlet leaves over the target.
    Drop,
    /// The drop at which flow chokes.
    ChokedDrop,
    /// The recovery factor FL.
    Recovery,
    /// The cavitation index by the inlet pressure.
    Sigma,
    /// The least index that the manual allows.
    SigmaLimit,
    /// Inlet over outlet, absolute.
    PressureRatio,
    /// Nominal size.
    Size,
    /// The least flow of the zone.
    FlowLow,
    /// The most flow of the zone.
    FlowPeak,
    /// The least flow by the manual.
    MinFlow,
    /// The mean velocity.
    Velocity,
    /// The coefficient fully open.
    Coefficient,
    /// The coefficient that is needed.
    NeededCoefficient,
    /// The needed share of the full coefficient.
    Share,
    /// The elevation at which the request is meant.
    DatumElevation,
    /// The customer's elevation.
    CustomerElevation,
    /// The still pressure at the customer.
    CustomerPressure,
    /// The most the zone may see.
    ZoneLimit,
    /// The set point beside this one.
    Beside,
    /// How far the two are apart.
    Apart,
    /// The request's tolerance.
    Tolerance,
    /// The gauge's full scale.
    Span,
    /// What the gauge will read.
    Expected,
    /// The share of the scale that this is.
    ShareOfSpan,
    /// The flow of the test.
    TestFlow,
    /// The static pressure of the test.
    TestStatic,
    /// The residual pressure of the test.
    TestResidual,
    /// The pressure to keep.
    Keep,
    /// The flow available there.
    Available,
}

/// What to know when reading a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum CheckNote {
    /// The index is `(P1 - Pv) / (P1 - P2)`, absolute, water at 15 degC. A limit printed for
    /// `(P2 - Pv) / (P1 - P2)` is one less.
    SigmaByInlet,
    /// No limit of the valve's own is on record: only the ratio of the pressures was looked at.
    ByRatioOnly,
    /// The inlet is as it was read last; the lowest or highest of the day is not on record.
    InletAsRead,
    /// The nominal size was taken for the bore.
    NominalBore,
    /// A share of the coefficient, not of the stroke.
    ShareOfCoefficient,
    /// Still water: what friction takes at high flow is not in it.
    StillWater,
    /// The inlet is beyond the gauge's scale: it stays valved off until the valve is proven.
    KeepValvedOff,
    /// The law does not hold downstream of a regulating valve.
    NotBehindRegulatingValve,
    /// The test drew down less than a quarter of the static pressure.
    SmallDrop,
    /// The figures make no sense together: no drop, no range, nothing to reckon with.
    NoSense,
}

/// Where a rule is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Citation {
    /// Recommended Standards for Water Works (Ten States Standards), 8.2.1. The section number is from memory.
    TenStates,
    /// International Plumbing Code 604.8 and Uniform Plumbing Code 608.2. The section numbers are from memory.
    PlumbingCodes,
    /// IEC 60534-2-1 / ISA-75.01.01.
    Iec60534,
    /// ISA-RP75.23.
    IsaRp7523,
    /// NFPA 291.
    Nfpa291,
}
