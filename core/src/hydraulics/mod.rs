//! Water through valves, hydrants and pipes: closed formulas, each with its equation, its range and its source.
//!
//! Conventional water (1000 kg/m3 under 9.80665 m/s2) unless a temperature is given. Through valves the relative
//! density is 1: the standard's reference is water at 15 degC.

mod chebyshev;
mod elevation;
mod error;
mod hydrant;
mod opening;
mod surge;
mod valve;
mod velocity;
mod water;

pub use elevation::{head_pressure, pressure_at};
pub use error::HydraulicsError;
pub use hydrant::{AvailableFlow, AvailableFlowWarning, available_flow, hydrant_flow, usual_residual};
pub use opening::share_at_stroke;
pub use surge::{PipeWall, WATER_BULK_MODULUS, critical_time, surge_rise, wave_speed};
pub use valve::{
    Cavitation, Liquid, Passing, RequiredCoefficient, cavitation, choked_difference, critical_pressure_ratio,
    required_coefficient, valve_flow,
};
pub use velocity::velocity;
pub use water::{CRITICAL_PRESSURE, vapour_pressure, water_density};
