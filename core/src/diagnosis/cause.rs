//! What may be behind it.

use super::coded::coded;

coded! {
    /// A cause, as far as one can tell it from outside.
    Cause {
        /// No water runs, or the valve is held open: find flow first.
        NoFlowOrHeldOpen = "no_flow_or_held_open",
        /// No water runs: a dead end.
        DeadEnd = "dead_end",
        /// The main valve is bound, or debris is in it.
        MainValveBound = "main_valve_bound",
        /// The pilot, its strainer or the restriction is blocked, or a cock is shut.
        ControlBlocked = "control_blocked",
        /// Another spring is fitted than recorded.
        OtherSpring = "other_spring",
        /// Friction: a dead band on reversal.
        DeadBand = "dead_band",
        /// Starved: the inlet is too low.
        Starved = "starved",
        /// Air in the control circuit.
        Air = "air",
        /// It answers too fast.
        TooFast = "too_fast",
        /// Oversized for that flow: use or add a low-flow valve.
        Oversized = "oversized",
        /// The set points of two valves are too close.
        SetPointsTooClose = "set_points_too_close",
        /// The cause is upstream.
        Upstream = "upstream",
        /// The diaphragm or the stem seal leaks.
        DiaphragmOrStemSeal = "diaphragm_or_stem_seal",
        /// No supply reaches the cover: strainer, restriction, inlet cock or cover cock.
        SupplyBlocked = "supply_blocked",
        /// Debris on the seat, or the stem bound.
        DebrisOrStemBound = "debris_or_stem_bound",
        /// The pilot is shut, or its drain path (the outlet cock) is blocked.
        PilotShutOrDrainBlocked = "pilot_shut_or_drain_blocked",
        /// The valve is bound, or there is no differential to move it.
        BoundOrNoDifferential = "bound_or_no_differential",
        /// The bypass is open, or passes.
        Bypass = "bypass",
        /// It is set above the inlet pressure.
        SettingAboveInlet = "setting_above_inlet",
        /// Trapped water warms.
        Warming = "warming",
        /// The pilot's seat leaks.
        PilotSeat = "pilot_seat",
        /// Bypass or another feed: to be proven shut before the main seat is blamed.
        BypassOrOtherFeed = "bypass_or_other_feed",
        /// The main valve's seat leaks.
        MainSeat = "main_seat",
        /// The gauge, its cock, snubber or line; not the valve.
        GaugeLine = "gauge_line",
    }
}
