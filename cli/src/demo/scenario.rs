//! What the demo is about. People, places and the valve's own data are invented; inlet, set point, size and flow
//! are those of a valve in an open network, which the fixture names with its source.

use serde::Deserialize;
use turnwise_core::journal::{ParticularValue, Role, particular};
use turnwise_core::quantity::{Figure, Unit};
use turnwise_office::api::{Asked, CrewLine, HandOut, HandedParticular};

/// The lead tech, who turns the screw.
pub const LEAD: &str = "Ana Ruiz";
/// The technician at the lid.
pub const MATE: &str = "Ben Cole";
/// What the customer asks for while the crew is away, psi.
pub const CHANGED_TO_PSI: &str = "52";

/// The hours of the valve, as the fixture has them.
#[derive(Debug, Deserialize)]
pub struct Network {
    /// What it is and where it comes from.
    pub source: Source,
    /// The valve's name in the network.
    pub valve: String,
    /// Its size, inches.
    pub size_in: String,
    /// What it is set to, psi.
    pub set_point_psi: String,
    /// Hour by hour.
    pub hours: Vec<Hour>,
}

/// Where the figures come from.
#[derive(Debug, Deserialize)]
pub struct Source {
    /// The file.
    pub network: String,
    /// Who made the network.
    pub origin: String,
}

/// One hour.
#[derive(Debug, Deserialize)]
pub struct Hour {
    /// Inlet, psi.
    pub inlet_psi: String,
    /// Outlet, psi.
    pub outlet_psi: String,
    /// Flow, gpm.
    pub flow_gpm: String,
}

impl Network {
    /// The valve that the demo brings into service.
    pub fn read() -> serde_json::Result<Self> {
        serde_json::from_str(include_str!("../../../fixtures/net6_valve_3891.json"))
    }
}

/// A figure.
pub fn figure(digits: &str, unit: Unit) -> Figure {
    Figure {
        digits: digits.to_owned(),
        unit,
    }
}

/// The job as the office hands it out.
pub fn job(network: &Network) -> HandOut {
    HandOut {
        number: "D-1".to_owned(),
        customer: "Pine Hollow Water (invented)".to_owned(),
        site: "Mill Road".to_owned(),
        station: "Vault 7".to_owned(),
        valve: network.valve.clone(),
        procedure: "reducing".to_owned(),
        size: Some(figure(&network.size_in, Unit::Inch)),
        request: asked(&network.set_point_psi),
        spring_low: Some(figure("20", Unit::Psi)),
        spring_high: Some(figure("105", Unit::Psi)),
        spring_rate: Some(figure("13.5", Unit::PsiPerTurn)),
        known: None,
        beside: Vec::new(),
        particulars: for_the_checks(),
        crew: vec![
            CrewLine {
                name: LEAD.to_owned(),
                role: Role::LeadTech,
            },
            CrewLine {
                name: MATE.to_owned(),
                role: Role::Technician,
            },
        ],
    }
}

/// What the office of the demo knows for the checks before the work. Invented.
fn for_the_checks() -> Vec<HandedParticular> {
    let told = |name: &str, digits, unit| HandedParticular {
        name: name.to_owned(),
        value: ParticularValue::Figure(figure(digits, unit)),
    };
    vec![
        told(particular::INLET_LOW, "118", Unit::Psi),
        told(particular::INLET_HIGH, "134", Unit::Psi),
        told(particular::FLOW_LOW, "35", Unit::GallonPerMinute),
        told(particular::FLOW_PEAK, "420", Unit::GallonPerMinute),
        told(particular::COEFFICIENT, "440", Unit::Cv),
        told(particular::RECOVERY, "0.85", Unit::Ratio),
        told(particular::DATUM_ELEVATION, "812", Unit::Foot),
        told(particular::LOWEST_CUSTOMER, "776", Unit::Foot),
        told(particular::HIGHEST_CUSTOMER, "851", Unit::Foot),
    ]
}

/// What the customer asks for.
pub fn asked(psi: &str) -> Asked {
    Asked {
        pressure: figure(psi, Unit::Psi),
        tolerance: Some(figure("1", Unit::Psi)),
        datum: "at the valve's outlet".to_owned(),
        asked_by: "the duty operator".to_owned(),
        zone_limit: Some(figure("80", Unit::Psi)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demo_valve_is_the_one_of_the_network() {
        let network = Network::read().unwrap();
        assert_eq!(network.valve, "VALVE-3891");
        assert_eq!(
            (network.size_in.as_str(), network.set_point_psi.as_str()),
            ("6", "55")
        );
        // Net6 as shipped with wntr 1.5.0, hour 0.
        assert_eq!(network.hours[0].inlet_psi, "131.59");
        assert_eq!(network.hours[0].flow_gpm, "156.35");
    }
}
