//! A column of numbers and its unit.

use crate::quantity::{Dimension, Unit};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A column of numbers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(rename = "LoggerColumn")]
pub struct Column {
    /// Which, counted from 0.
    pub at: u32,
    /// What the header calls it, or nothing.
    pub name: String,
    /// The unit that the header names, where it is one of a pressure or a flow.
    pub unit: Option<Unit>,
}

/// The unit that a header's cell names: `Pressure (psi)`, `P1 [kPa]`, `Inlet_bar`, `Druck / bar`. A unit of pressure comes
/// before one of flow; a single letter or a length alone is no unit of a logger's column.
pub fn unit_of(header: &str) -> Option<Unit> {
    let lower = header.trim().to_lowercase();
    let spelled = |name: &str| {
        let name = name.to_lowercase();
        lower.match_indices(&name).any(|(at, _)| {
            let before = lower[..at].chars().next_back();
            let after = lower[at + name.len()..].chars().next();
            let apart = |next: Option<char>| next.is_none_or(|next| !next.is_alphanumeric());
            // `psig` says that a gauge reads it; that is what is meant here anyway.
            apart(before) && (apart(after) || (after == Some('g') && name != "m"))
        })
    };
    [Dimension::Pressure, Dimension::Flow]
        .into_iter()
        .flat_map(|dimension| Unit::ALL.iter().filter(move |unit| unit.dimension() == dimension))
        .copied()
        .filter(|unit| spelled(unit.symbol()))
        // `m H2O` before `m`: the longest spelling that fits.
        .max_by_key(|unit| (unit.dimension() == Dimension::Pressure, unit.symbol().len()))
        .or_else(|| {
            let others: [(&str, Unit); 8] = [
                ("m³/h", Unit::CubicMetrePerHour),
                ("kg/cm2", Unit::KilogramForcePerSquareCentimetre),
                ("kg/cm²", Unit::KilogramForcePerSquareCentimetre),
                ("mh2o", Unit::MetreOfWater),
                ("mca", Unit::MetreOfWater),
                ("mwc", Unit::MetreOfWater),
                ("fth2o", Unit::FootOfWater),
                ("gal/min", Unit::GallonPerMinute),
            ];
            others
                .into_iter()
                .find(|(name, _)| spelled(name))
                .map(|(_, unit)| unit)
        })
}
