//! The valve of the scripted job: what its gauges show. A straight line with its own rate, which is not quite the
//! printed one; inlet and flow are the network's.

use super::scenario::{Network, figure};
use turnwise_core::journal::Purpose;
use turnwise_core::quantity::{Figure, Unit};

/// Where the valve was left by whoever was here before, psi. Invented.
const AS_FOUND_PSI: f64 = 61.4;
/// What a turn is really worth, psi. Invented, near the printed 13.5.
const REAL_RATE_PSI: f64 = 14.2;
/// By how much the outlet stands above the setting when nothing flows, psi. Invented.
const LOCK_UP_PSI: f64 = 2.6;

/// What there is to read.
#[derive(Debug)]
pub struct Valve {
    inlet: Figure,
    flow: Figure,
    turns: f64,
}

impl Valve {
    /// The valve as it is found.
    pub fn of(network: &Network) -> Option<Self> {
        let hour = network.hours.first()?;
        Some(Self {
            inlet: figure(&hour.inlet_psi, Unit::Psi),
            flow: figure(&hour.flow_gpm, Unit::GallonPerMinute),
            turns: 0.0,
        })
    }

    /// The screw is turned, clockwise positive.
    pub fn turn(&mut self, turns: f64) {
        self.turns += turns;
    }

    /// The flow that the meter shows.
    pub fn flow(&self) -> Figure {
        self.flow.clone()
    }

    /// What a gauge shows. Points in the zone stand a little lower or higher, as elevation has it (invented).
    pub fn shows(&self, point: &str, purpose: Purpose) -> Figure {
        let setting = AS_FOUND_PSI + REAL_RATE_PSI * self.turns;
        let psi = match point {
            "inlet" => return self.inlet.clone(),
            "stem" => return figure("0.4", Unit::Inch),
            "cover" => setting + 31.0,
            "zone_low" => setting + 6.5,
            "zone_high" | "hydrant" => setting - 9.0,
            _ if purpose == Purpose::LockUp => setting + LOCK_UP_PSI,
            _ => setting,
        };
        figure(&format!("{psi:.1}"), Unit::Psi)
    }
}
