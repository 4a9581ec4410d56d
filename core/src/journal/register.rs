//! Registers: the things of which one state stands at a time, unless people disagree.

use super::{AssetId, PersonId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Which register. Ordered, so that whatever lists registers lists them alike on every device.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema)]
#[serde(tag = "of", rename_all = "snake_case")]
pub enum Register {
    /// What the customer asked of a valve.
    Request {
        /// The valve.
        valve: AssetId,
    },
    /// One particular of a valve or station.
    Particular {
        /// The valve or station.
        asset: AssetId,
        /// Its name.
        name: String,
    },
    /// The state of one cock, block valve, vent or bypass.
    Position {
        /// The valve or station.
        asset: AssetId,
        /// The element.
        element: String,
    },
    /// Where a speed control stands.
    SpeedControl {
        /// The valve.
        asset: AssetId,
        /// The control.
        control: String,
    },
    /// What became of a step.
    Step {
        /// The valve.
        asset: AssetId,
        /// The procedure file.
        procedure: String,
        /// The step.
        step: String,
    },
    /// A gauge.
    Gauge {
        /// Its serial.
        serial: String,
    },
    /// A person's duty.
    Duty {
        /// The person.
        person: PersonId,
    },
    /// A person's role.
    Grant {
        /// The person.
        person: PersonId,
    },
}
