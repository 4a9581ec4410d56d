//! What somebody sees that ought not to be.

use super::coded::coded;

coded! {
    /// What is wrong, as it is seen before anything is known of the cause.
    Symptom {
        /// The outlet does not follow the screw.
        DoesNotFollow = "does_not_follow",
        /// A turn does far more or far less than the printed rate.
        RateOff = "rate_off",
        /// The pressure swings to and fro.
        Hunting = "hunting",
        /// The valve stays open.
        StaysOpen = "stays_open",
        /// The valve stays closed.
        StaysClosed = "stays_closed",
        /// The outlet equals the inlet while no water runs: never healthy on a reducing valve.
        OutletEqualsInletAtNoFlow = "outlet_equals_inlet_at_no_flow",
        /// The pressure creeps up while no water runs.
        Creep = "creep",
        /// A gauge does not move at all.
        GaugeDoesNotMove = "gauge_does_not_move",
    }
}
