//! What can be looked at to tell causes apart.

use super::coded::coded;

coded! {
    /// One thing to look at, which is so or is not so. In the order in which one would rather look: what the gauges
    /// and the line-up show already, then what a hand can try from outside, then what takes the control circuit
    /// apart.
    Sign {
        /// The outlet reads what the inlet reads, as far as their gauges can tell.
        OutletEqualsInlet = "outlet_equals_inlet",
        /// The stem is off its seat.
        StemOpen = "stem_open",
        /// The inlet swings as well.
        InletSwings = "inlet_swings",
        /// Another valve of the station swings as well.
        BothValvesSwing = "both_valves_swing",
        /// What was set is not below the inlet pressure.
        SettingAboveInlet = "setting_above_inlet",
        /// The gauge's cock is shut, or its snubber or sensing line is plugged.
        GaugeLineBlocked = "gauge_line_blocked",
        /// The bypass is open or passes.
        BypassOpenOrPassing = "bypass_open_or_passing",
        /// Water is proven to run through the valve.
        FlowProven = "flow_proven",
        /// The outlet falls when a tap behind it is opened.
        FallsWhenTapOpened = "falls_when_tap_opened",
        /// The cover pressure changes when the screw is turned.
        CoverFollowsScrew = "cover_follows_screw",
        /// There is supply pressure at the cover.
        SupplyAtCover = "supply_at_cover",
        /// The cover stands at inlet pressure.
        CoverAtInletPressure = "cover_at_inlet_pressure",
        /// The rate is the same from move to move.
        RateSteady = "rate_steady",
        /// The rate is off on a reversal only.
        OnlyOnReversal = "only_on_reversal",
        /// The answer to a turn shrinks as the outlet comes near the inlet pressure.
        ShrinksTowardInlet = "shrinks_toward_inlet",
        /// It swings only below some flow.
        OnlyBelowSomeFlow = "only_below_some_flow",
        /// The climb follows the temperature.
        FollowsTemperature = "follows_temperature",
        /// It stops after air is bled.
        StopsAfterBleeding = "stops_after_bleeding",
        /// It stops when a speed control is closed in a little.
        StopsWhenSlowed = "stops_when_slowed",
        /// Bypass and every other feed are proven shut.
        OtherFeedsProvenShut = "other_feeds_proven_shut",
        /// The climb stops when the pilot is isolated and the cover pressurised.
        StopsWithPilotIsolated = "stops_with_pilot_isolated",
        /// With the downstream block shut, the valve opens when its cover is vented.
        OpensWhenCoverVented = "opens_when_cover_vented",
        /// With the downstream block **and the cover cock** shut, the cover's vent goes on running. With the cock open
        /// it runs on a healthy valve too and says nothing.
        VentRunsWithCoverCockShut = "vent_runs_with_cover_cock_shut",
    }
}
