//! Water through a valve, and how near it is to boiling there.

use super::{CRITICAL_PRESSURE, HydraulicsError, vapour_pressure};
use crate::quantity::{AbsolutePressure, Flow, FlowCoefficient, PressureDifference, Temperature, Unit};

/// The liquid in the valve, as the equations need it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liquid {
    /// Density over that of water at 15 degC.
    pub relative_density: f64,
    /// Its vapour pressure.
    pub vapour_pressure: AbsolutePressure,
    /// Its critical pressure.
    pub critical_pressure: AbsolutePressure,
}

impl Liquid {
    /// Water at a temperature, with a relative density of 1.
    ///
    /// # Errors
    /// As [`vapour_pressure`].
    pub fn water(temperature: Temperature) -> Result<Self, HydraulicsError> {
        Ok(Self {
            relative_density: 1.0,
            vapour_pressure: vapour_pressure(temperature)?,
            critical_pressure: AbsolutePressure::from_unit(CRITICAL_PRESSURE, Unit::Pascal)
                .map_err(|_| HydraulicsError::NotFinite)?,
        })
    }
}

/// What passes a valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passing {
    /// How much.
    pub flow: Flow,
    /// The difference from which on a lower outlet pressure brings no more flow.
    pub choked_difference: PressureDifference,
    /// Whether the difference reaches it.
    pub choked: bool,
}

/// The flow coefficient a valve needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RequiredCoefficient {
    /// How much it must let through.
    pub coefficient: FlowCoefficient,
    /// Whether the flow is choked there: then a larger outlet pressure would pass as much.
    pub choked: bool,
}

/// The two published cavitation indices. The first is always the second plus one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cavitation {
    /// By the inlet pressure, ISA-RP75.23: `(P1 - Pv) / (P1 - P2)`.
    pub isa: f64,
    /// By the outlet pressure, Tullis: `(P2 - Pv) / (P1 - P2)`.
    pub downstream: f64,
}

/// The critical pressure ratio factor FF: how far below its vapour pressure the water is when flow chokes.
///
/// Equation: `FF = 0.96 - 0.28 sqrt(Pv / Pc)`, absolute pressures. Range: liquids of one component at equilibrium.
/// Source: IEC 60534-2-1:2011 / ISA-75.01.01, equation for FF.
/// Example: Pv 70.1 kPa, Pc 22 120 kPa: 0.944238.
pub fn critical_pressure_ratio(liquid: &Liquid) -> f64 {
    0.96 - 0.28 * (liquid.vapour_pressure.in_pa() / liquid.critical_pressure.in_pa()).sqrt()
}

/// The difference at which the flow chokes.
///
/// Equation: `dP = FL^2 (P1 - FF Pv)`, absolute pressures. Range: a valve of the pipe's own size, without fittings.
/// Source: IEC 60534-2-1:2011 / ISA-75.01.01.
/// Example: P1 680 kPa, FL 0.90, Pv 70.1 kPa, FF 0.944238: 497.185 kPa.
///
/// # Errors
/// [`HydraulicsError::RecoveryOutOfRange`], [`HydraulicsError::InletBoils`].
pub fn choked_difference(
    inlet: AbsolutePressure,
    recovery: f64,
    liquid: &Liquid,
) -> Result<PressureDifference, HydraulicsError> {
    if !(recovery > 0.0 && recovery <= 1.0) {
        return Err(HydraulicsError::RecoveryOutOfRange);
    }
    let pressure = inlet.in_pa();
    if pressure <= liquid.vapour_pressure.in_pa() {
        return Err(HydraulicsError::InletBoils);
    }
    let over = pressure - critical_pressure_ratio(liquid) * liquid.vapour_pressure.in_pa();
    Ok(PressureDifference::pa(recovery * recovery * over))
}

/// The difference that drives the flow, whether it is choked, and the choked difference.
fn driving(
    inlet: AbsolutePressure,
    outlet: AbsolutePressure,
    recovery: f64,
    liquid: &Liquid,
) -> Result<(PressureDifference, bool, PressureDifference), HydraulicsError> {
    let difference = inlet - outlet;
    if difference < PressureDifference::ZERO {
        return Err(HydraulicsError::OutletAboveInlet);
    }
    let choked_at = choked_difference(inlet, recovery, liquid)?;
    let choked = difference >= choked_at;
    Ok((if choked { choked_at } else { difference }, choked, choked_at))
}

/// What a valve of this coefficient passes.
///
/// Equation: `Q = Cv sqrt(dP / SG)` (gpm, psi), `dP` at most [`choked_difference`]. Range: turbulent flow of a liquid
/// through a valve of the pipe's own size. Source: IEC 60534-2-1:2011 / ISA-75.01.01.
/// Example: 100 to 50 psi gauge, Cv 400, FL 0.90, water at 15 degC under 14.696 psi: 2828.43 gpm, not choked.
///
/// # Errors
/// An outlet above the inlet, a coefficient or recovery factor that no valve has, an inlet below the vapour pressure,
/// an overflow.
pub fn valve_flow(
    coefficient: FlowCoefficient,
    inlet: AbsolutePressure,
    outlet: AbsolutePressure,
    recovery: f64,
    liquid: &Liquid,
) -> Result<Passing, HydraulicsError> {
    if !(coefficient.in_cv() > 0.0 && coefficient.is_finite()) {
        return Err(HydraulicsError::CoefficientNotPositive);
    }
    let (driving, choked, choked_difference) = driving(inlet, outlet, recovery, liquid)?;
    let flow = Flow::gpm(coefficient.in_cv() * (driving.in_psi() / liquid.relative_density).sqrt());
    if !flow.is_finite() {
        return Err(HydraulicsError::NotFinite);
    }
    Ok(Passing {
        flow,
        choked_difference,
        choked,
    })
}

/// The coefficient that passes this flow.
///
/// Equation: `Cv = Q sqrt(SG / dP)` (gpm, psi), `dP` at most [`choked_difference`]. Range and source: as
/// [`valve_flow`].
/// Example: 360 m3/h, 680 to 220 kPa absolute, FL 0.90, density 965.4 kg/m3, Pv 70.1 kPa: Kv 164.995.
///
/// # Errors
/// As [`valve_flow`]; also no difference between inlet and outlet, and a negative flow.
pub fn required_coefficient(
    flow: Flow,
    inlet: AbsolutePressure,
    outlet: AbsolutePressure,
    recovery: f64,
    liquid: &Liquid,
) -> Result<RequiredCoefficient, HydraulicsError> {
    if flow < Flow::ZERO {
        return Err(HydraulicsError::NegativeFlow);
    }
    let (driving, choked, _) = driving(inlet, outlet, recovery, liquid)?;
    if driving <= PressureDifference::ZERO {
        return Err(HydraulicsError::NoDifference);
    }
    let coefficient =
        FlowCoefficient::cv(flow.in_gpm() * (liquid.relative_density / driving.in_psi()).sqrt());
    if !coefficient.is_finite() {
        return Err(HydraulicsError::NotFinite);
    }
    Ok(RequiredCoefficient { coefficient, choked })
}

/// How near the water in a valve is to boiling: both published indices. None where there is no difference, and so no
/// flow to cavitate.
///
/// Equation: `sigma = (P1 - Pv) / (P1 - P2)` and `sigma2 = (P2 - Pv) / (P1 - P2)`, absolute pressures. A small index
/// is near; what a valve bears is in its own manual. Source: ISA-RP75.23 for the first, Tullis, *Hydraulics of
/// Pipelines*, for the second.
/// Example: 1.0 to 0.8 MPa, Pv 0.2 MPa: 4.0 and 3.0.
///
/// # Errors
/// [`HydraulicsError::OutletAboveInlet`], [`HydraulicsError::NotFinite`].
pub fn cavitation(
    inlet: AbsolutePressure,
    outlet: AbsolutePressure,
    liquid: &Liquid,
) -> Result<Option<Cavitation>, HydraulicsError> {
    let difference = (inlet - outlet).in_pa();
    if difference < 0.0 {
        return Err(HydraulicsError::OutletAboveInlet);
    }
    if difference == 0.0 {
        return Ok(None);
    }
    let index = |pressure: AbsolutePressure| (pressure - liquid.vapour_pressure).in_pa() / difference;
    let found = Cavitation {
        isa: index(inlet),
        downstream: index(outlet),
    };
    if found.isa.is_finite() && found.downstream.is_finite() {
        Ok(Some(found))
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::GaugePressure;

    fn kpa(value: f64) -> AbsolutePressure {
        AbsolutePressure::from_unit(value, Unit::Kilopascal).unwrap()
    }

    fn psig(value: f64) -> AbsolutePressure {
        GaugePressure::psi(value)
            .to_absolute(AbsolutePressure::USUAL_ATMOSPHERE)
            .unwrap()
    }

    fn at_15() -> Liquid {
        Liquid::water(Temperature::USUAL_WATER).unwrap()
    }

    /// The liquid of the standard's worked examples. Its density is over that of water at 15 degC, 999.103 kg/m3.
    fn of_the_standard() -> Liquid {
        Liquid {
            relative_density: 965.4 / 999.103_290_757,
            vapour_pressure: kpa(70.1),
            critical_pressure: kpa(22_120.0),
        }
    }

    fn near(found: f64, printed: f64, step: f64) {
        assert!(
            (found - printed).abs() <= step / 2.0 * (1.0 + 1e-9),
            "{found}, printed {printed}"
        );
    }

    /// Source: the worked examples of IEC 60534-2-1, recomputed with fluids 1.3.1.
    #[test]
    fn the_worked_examples_of_the_standard_come_out() {
        let liquid = of_the_standard();
        near(critical_pressure_ratio(&liquid), 0.944_238, 1e-6);
        let flow = Flow::cubic_metres_per_hour(360.0);
        for (recovery, choked_kpa, choked, kv) in
            [(0.90, 497.185, false, 164.995), (0.60, 220.971, true, 238.058)]
        {
            let limit = choked_difference(kpa(680.0), recovery, &liquid).unwrap();
            near(limit.in_kpa(), choked_kpa, 1e-3);
            let needed = required_coefficient(flow, kpa(680.0), kpa(220.0), recovery, &liquid).unwrap();
            assert_eq!(needed.choked, choked);
            near(needed.coefficient.in_kv(), kv, 1e-3);
            let passed = valve_flow(needed.coefficient, kpa(680.0), kpa(220.0), recovery, &liquid).unwrap();
            assert!((passed.flow.in_gpm() / flow.in_gpm() - 1.0).abs() < 1e-12);
        }
    }

    /// Source: fluids 1.3.1 with the vapour pressure of IAPWS-95 at 15 degC.
    #[test]
    fn the_field_rows_come_out() {
        let water = at_15();
        near(water.vapour_pressure.in_psi(), 0.247_40, 1e-5);
        near(critical_pressure_ratio(&water), 0.957_538, 1e-6);
        for (inlet, outlet, cv, recovery, choked_psi, gpm, choked, isa, downstream) in [
            (100.0, 50.0, 400.0, 0.90, 92.71, 2828.43, false, 2.2890, 1.2890),
            (150.0, 20.0, 200.0, 0.85, 118.82, 2180.11, true, 1.2650, 0.2650),
            (80.0, 75.0, 800.0, 0.90, 76.51, 1788.85, false, 18.8897, 17.8897),
        ] {
            let (inlet, outlet) = (psig(inlet), psig(outlet));
            let passing = valve_flow(FlowCoefficient::cv(cv), inlet, outlet, recovery, &water).unwrap();
            near(passing.choked_difference.in_psi(), choked_psi, 0.01);
            near(passing.flow.in_gpm(), gpm, 0.01);
            assert_eq!(passing.choked, choked);
            let sigma = cavitation(inlet, outlet, &water).unwrap().unwrap();
            near(sigma.isa, isa, 1e-4);
            near(sigma.downstream, downstream, 1e-4);
        }
    }

    /// Source: fluids 1.3.1 (`cavitation_index`), the example of its documentation.
    #[test]
    fn the_cavitation_indices_are_one_apart() {
        let liquid = Liquid {
            vapour_pressure: kpa(200.0),
            ..at_15()
        };
        let sigma = cavitation(kpa(1000.0), kpa(800.0), &liquid).unwrap().unwrap();
        near(sigma.isa, 4.0, 1e-12);
        near(sigma.downstream, 3.0, 1e-12);
        assert_eq!(cavitation(kpa(800.0), kpa(800.0), &liquid), Ok(None));
    }

    #[test]
    fn a_lower_outlet_brings_no_more_water_once_the_flow_is_choked() {
        let water = at_15();
        let flow = |outlet| {
            valve_flow(
                FlowCoefficient::cv(200.0),
                psig(150.0),
                psig(outlet),
                0.85,
                &water,
            )
            .unwrap()
            .flow
        };
        assert_eq!(flow(30.0), flow(10.0));
        assert!(flow(40.0) < flow(31.2));
        assert_eq!(flow(150.0), Flow::ZERO);
    }

    #[test]
    fn what_no_valve_can_be_asked_is_refused() {
        let water = at_15();
        let cv = FlowCoefficient::cv(400.0);
        let flow = |cv, inlet, outlet, recovery| {
            valve_flow(cv, inlet, outlet, recovery, &water)
                .unwrap_err()
                .code()
        };
        assert_eq!(flow(cv, psig(50.0), psig(60.0), 0.9), "outlet_above_inlet");
        assert_eq!(
            flow(FlowCoefficient::cv(0.0), psig(60.0), psig(50.0), 0.9),
            "coefficient_not_positive"
        );
        for recovery in [0.0, -0.9, 1.01, f64::NAN] {
            assert_eq!(flow(cv, psig(60.0), psig(50.0), recovery), "fl_out_of_range");
        }
        assert_eq!(flow(cv, kpa(1.0), kpa(0.5), 0.9), "inlet_below_vapour_pressure");
        let needed = |flow, outlet| {
            required_coefficient(flow, psig(60.0), psig(outlet), 0.9, &water)
                .unwrap_err()
                .code()
        };
        assert_eq!(needed(Flow::gpm(100.0), 60.0), "no_difference");
        assert_eq!(needed(Flow::gpm(-100.0), 50.0), "negative_flow");
        assert_eq!(needed(Flow::gpm(100.0), 61.0), "outlet_above_inlet");
    }
}
