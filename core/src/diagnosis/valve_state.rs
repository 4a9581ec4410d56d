//! What a reducing valve is doing, from the pressures around it and the flow.

use crate::quantity::{Flow, GaugePressure, PressureDifference};

/// How far two pressures may be apart and still be called equal, where nobody said what the gauges can tell: 1 psi.
/// Common practice, no source: about the step of an ordinary gauge.
const USUAL_UNCERTAINTY: PressureDifference = PressureDifference::psi(1.0);

/// The minimum differential taken where the valve's manual gave none: 10 psi, the upper end of what is usual (5 to
/// 10 psi, from memory).
const USUAL_MIN_DIFFERENTIAL: PressureDifference = PressureDifference::psi(10.0);

/// A flow that counts as none: what a simulation leaves over, and less than any meter shows.
const NO_FLOW: Flow = Flow::litres_per_second(1e-3);

/// What was seen of a reducing valve at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Pressure before it.
    pub inlet: GaugePressure,
    /// Pressure behind it.
    pub outlet: GaugePressure,
    /// What it is set to hold.
    pub setting: GaugePressure,
    /// What flows through it, where that is known.
    pub flow: Option<Water>,
    /// The least difference it needs, by its manual.
    pub min_differential: Option<PressureDifference>,
    /// How far apart two of these pressures may be and still be called equal.
    pub uncertainty: Option<PressureDifference>,
}

/// What is known of the flow through a valve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Water {
    /// It runs the right way.
    Runs,
    /// It stands.
    Stands,
    /// It runs backwards.
    RunsBack,
}

impl Water {
    /// What a measured flow means.
    pub fn of(flow: Flow) -> Self {
        if flow.abs() <= NO_FLOW {
            Self::Stands
        } else if flow > Flow::ZERO {
            Self::Runs
        } else {
            Self::RunsBack
        }
    }
}

/// What a reducing valve is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ValveState {
    /// It holds its setting: while water runs, or, where nobody said so, by the pressures alone.
    Regulating,
    /// It stands wide open and reduces nothing: starved, or held open.
    WideOpen,
    /// It is shut.
    Closed,
    /// Outlet equals inlet: no water runs, or it stands wide open. A look at the flow tells.
    NoFlowOrWideOpen,
    /// What was seen does not tell.
    Unclear,
}

/// What speaks for a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Because {
    /// Water runs.
    Flow,
    /// No water runs.
    NoFlow,
    /// Water runs backwards.
    BackFlow,
    /// Nobody said whether water runs.
    FlowUnknown,
    /// The outlet is at the setting.
    OutletAtSetting,
    /// The outlet is above the setting.
    OutletAboveSetting,
    /// The outlet is below the setting.
    OutletBelowSetting,
    /// The outlet equals the inlet.
    OutletEqualsInlet,
    /// The outlet is above the inlet.
    OutletAboveInlet,
    /// The inlet is too low to hold the setting.
    InletTooLow,
    /// There is more difference across the valve than it needs.
    DifferentialLeft,
}

/// A state, and what speaks for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// What the valve is doing.
    pub state: ValveState,
    /// Why, in a fixed order.
    pub because: Vec<Because>,
}

impl ValveState {
    /// The stable code of this state.
    pub fn code(self) -> &'static str {
        match self {
            Self::Regulating => "regulating",
            Self::WideOpen => "wide_open",
            Self::Closed => "closed",
            Self::NoFlowOrWideOpen => "no_flow_or_wide_open",
            Self::Unclear => "unclear",
        }
    }
}

impl Because {
    /// The stable code of this reason.
    pub fn code(self) -> &'static str {
        match self {
            Self::Flow => "flow",
            Self::NoFlow => "no_flow",
            Self::BackFlow => "back_flow",
            Self::FlowUnknown => "flow_unknown",
            Self::OutletAtSetting => "outlet_at_setting",
            Self::OutletAboveSetting => "outlet_above_setting",
            Self::OutletBelowSetting => "outlet_below_setting",
            Self::OutletEqualsInlet => "outlet_equals_inlet",
            Self::OutletAboveInlet => "outlet_above_inlet",
            Self::InletTooLow => "inlet_too_low",
            Self::DifferentialLeft => "differential_left",
        }
    }
}

/// Where one pressure lies against another.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lies {
    Below,
    Equal,
    Above,
}

fn lies(difference: PressureDifference, within: PressureDifference) -> Lies {
    if difference > within {
        Lies::Above
    } else if difference < -within {
        Lies::Below
    } else {
        Lies::Equal
    }
}

/// What a reducing valve is doing.
///
/// The three states are those of a reducing valve in the EPANET 2.2 manual (active, open, closed); the rest is what a
/// person at a gauge cannot tell apart. Common practice, no source, for how they are told: a valve that holds its
/// setting while water runs regulates; one with its outlet below the setting and an inlet too low for it stands wide
/// open; one that passes no water and keeps its two sides apart is closed, and may in health stand above its
/// setting. Without word of the flow two things can still be said: an outlet at the setting, below an inlet that has
/// enough to spare, is held there by the pilot, whether much water runs or next to none ([`Because::FlowUnknown`] says
/// that nobody looked); and an outlet that equals the inlet is one of two things. The rest is left open.
pub fn valve_state(seen: &Seen) -> Judged {
    let equal = seen.uncertainty.unwrap_or(USUAL_UNCERTAINTY);
    let least = seen.min_differential.unwrap_or(USUAL_MIN_DIFFERENTIAL);
    let to_setting = lies(seen.outlet - seen.setting, equal);
    // What is left across the valve: is the outlet below, at, or above the inlet?
    let to_inlet = lies(seen.outlet - seen.inlet, equal);
    let starved = seen.inlet - seen.setting < least + equal;

    let state = match (seen.flow, to_inlet, to_setting) {
        (Some(Water::Stands) | None, Lies::Equal, _) => ValveState::NoFlowOrWideOpen,
        (Some(Water::Stands), _, _) => ValveState::Closed,
        (Some(Water::Runs), Lies::Below, Lies::Equal) => ValveState::Regulating,
        (None, Lies::Below, Lies::Equal) if !starved => ValveState::Regulating,
        (Some(Water::Runs), Lies::Below, Lies::Below) if starved => ValveState::WideOpen,
        (Some(Water::Runs), Lies::Equal, Lies::Below | Lies::Above) => ValveState::WideOpen,
        _ => ValveState::Unclear,
    };

    let mut because = vec![match seen.flow {
        Some(Water::Runs) => Because::Flow,
        Some(Water::Stands) => Because::NoFlow,
        Some(Water::RunsBack) => Because::BackFlow,
        None => Because::FlowUnknown,
    }];
    because.push(match to_setting {
        Lies::Below => Because::OutletBelowSetting,
        Lies::Equal => Because::OutletAtSetting,
        Lies::Above => Because::OutletAboveSetting,
    });
    match to_inlet {
        Lies::Equal => because.push(Because::OutletEqualsInlet),
        Lies::Above => because.push(Because::OutletAboveInlet),
        Lies::Below if !starved => because.push(Because::DifferentialLeft),
        Lies::Below => {}
    }
    if to_setting == Lies::Below && starved {
        because.push(Because::InletTooLow);
    }
    Judged { state, because }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Unit;

    fn metres(value: f64) -> GaugePressure {
        GaugePressure::from_unit(value, Unit::MetreOfWater).unwrap()
    }

    fn judged(inlet: f64, outlet: f64, setting: f64, flow: Option<f64>) -> (&'static str, Vec<&'static str>) {
        let Judged { state, because } = valve_state(&Seen {
            inlet: metres(inlet),
            outlet: metres(outlet),
            setting: metres(setting),
            flow: flow.map(|flow| Water::of(Flow::litres_per_second(flow))),
            min_differential: None,
            uncertainty: None,
        });
        (state.code(), because.into_iter().map(Because::code).collect())
    }

    /// Source: the EPANET 2.2 manual's states, computed with wntr 1.5.0 on a network of one valve: 500 m of 0.3 m feed,
    /// Hazen-Williams 130, valve 0.2 m, K 5, demand 30 L/s, set to 40 m.
    #[test]
    fn the_states_of_a_simulated_valve_are_told() {
        assert_eq!(
            judged(79.654, 40.0, 40.0, Some(30.0)),
            (
                "regulating",
                vec!["flow", "outlet_at_setting", "differential_left"]
            )
        );
        assert_eq!(
            judged(34.654, 34.422, 40.0, Some(30.0)),
            (
                "wide_open",
                vec![
                    "flow",
                    "outlet_below_setting",
                    "outlet_equals_inlet",
                    "inlet_too_low"
                ]
            )
        );
        assert_eq!(
            judged(80.0, 59.654, 40.0, Some(0.0)),
            (
                "closed",
                vec!["no_flow", "outlet_above_setting", "differential_left"]
            )
        );
    }

    #[test]
    fn the_gauges_alone_do_not_tell_a_dead_end_from_a_valve_that_stands_open() {
        assert_eq!(judged(60.0, 60.0, 40.0, None).0, "no_flow_or_wide_open");
        assert_eq!(judged(60.0, 60.0, 40.0, Some(0.0)).0, "no_flow_or_wide_open");
        assert_eq!(judged(60.0, 60.0, 40.0, Some(5.0)).0, "wide_open");
    }

    #[test]
    fn a_setting_that_is_held_is_named_without_word_of_the_flow_and_that_nobody_looked_is_said() {
        assert_eq!(
            judged(80.0, 40.0, 40.0, None),
            (
                "regulating",
                vec!["flow_unknown", "outlet_at_setting", "differential_left"]
            )
        );
        // Hardly more inlet than the setting: it may as well stand open.
        assert_eq!(judged(45.0, 40.0, 40.0, None).0, "unclear");
        // Above or below its setting, with nobody to say whether water runs.
        assert_eq!(judged(80.0, 60.0, 40.0, None).0, "unclear");
        assert_eq!(judged(80.0, 30.0, 40.0, None).0, "unclear");
    }

    #[test]
    fn what_contradicts_itself_is_unclear() {
        // Plenty of inlet, water running, and yet the outlet is low: overloaded or held back.
        assert_eq!(judged(80.0, 30.0, 40.0, Some(30.0)).0, "unclear");
        // Water runs past a valve that should have shut.
        assert_eq!(judged(80.0, 60.0, 40.0, Some(30.0)).0, "unclear");
        assert_eq!(judged(50.0, 60.0, 40.0, Some(30.0)).0, "unclear");
        assert_eq!(judged(80.0, 40.0, 40.0, Some(-3.0)).0, "unclear");
        // All three equal: it may just begin to regulate.
        assert_eq!(judged(40.0, 40.0, 40.0, Some(3.0)).0, "unclear");
    }

    #[test]
    fn a_minimum_differential_and_an_uncertainty_that_are_given_count() {
        let seen = Seen {
            inlet: GaugePressure::psi(70.0),
            outlet: GaugePressure::psi(52.0),
            setting: GaugePressure::psi(55.0),
            flow: Some(Water::Runs),
            min_differential: None,
            uncertainty: None,
        };
        let state = |seen| valve_state(&seen).state;
        assert_eq!(state(seen), ValveState::Unclear);
        assert_eq!(
            state(Seen {
                min_differential: Some(PressureDifference::psi(20.0)),
                ..seen
            }),
            ValveState::WideOpen
        );
        assert_eq!(
            state(Seen {
                uncertainty: Some(PressureDifference::psi(3.0)),
                ..seen
            }),
            ValveState::Regulating
        );
    }
}
