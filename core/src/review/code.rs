//! The kinds of items, how much each weighs, and the ways to settle it.

use super::{Way, Weight};

macro_rules! codes {
    ($($(#[$doc:meta])* $kind:ident = $code:literal, $weight:ident, [$($way:ident),*];)*) => {
        /// The kinds of items.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $($(#[$doc])* $kind,)*
        }

        impl Code {
            /// Every kind, in the order of this list.
            pub const ALL: &'static [Self] = &[$(Self::$kind),*];

            /// The stable code, as views and settlements carry it.
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$kind => $code,)* }
            }

            /// How much an item of this kind weighs.
            pub fn weight(self) -> Weight {
                match self { $(Self::$kind => Weight::$weight,)* }
            }

            /// The ways to settle it. Empty: nobody needs to.
            pub fn ways(self) -> &'static [Way] {
                match self { $(Self::$kind => &[$(Way::$way),*],)* }
            }
        }
    };
}

codes! {
    /// Two entries that stand in one register and differ.
    Disagreement = "disagreement", Decide, [Register];
    /// Two requests for one valve that stand and differ.
    TwoRequests = "two_requests", Decide, [Register];
    /// A register whose entries were taken back: nothing is known.
    UnknownState = "unknown_state", Decide, [Register];
    /// The request that stands is not the one the valve was set to.
    RequestChanged = "request_changed", Decide, [Again, Words];
    /// Readings of the same thing, beside one another, that differ by more than their gauges allow.
    ReadingsDiffer = "readings_differ", Decide, [Again, Words];
    /// Readings of the same thing, beside one another, whose figures differ by no more than their gauges allow.
    ReadingsSeemToDiffer = "readings_seem_to_differ", Read, [];
    /// Two people turned one screw, neither knowing of the other's turn.
    TwoOnScrew = "two_on_screw", Decide, [Words];
    /// A turn was planned from, or the valve left by, a reading for which nobody had shown that water moved.
    StillAsFlowing = "still_as_flowing", Decide, [Again, Words];
    /// A reading beyond the end of its gauge's scale.
    GaugeOverSpan = "gauge_over_span", Decide, [Words];
    /// Readings off a gauge whose calibration had run out.
    GaugeOutOfCalibration = "gauge_out_of_calibration", Decide, [Again, Words];
    /// Readings near an end of their gauge's scale.
    GaugeOffRange = "gauge_off_range", Read, [];
    /// A gauge that did not rest at zero when vented.
    GaugeZeroOff = "gauge_zero_off", Read, [];
    /// A gauge of whose scale, accuracy or calibration too little is on record.
    GaugeNotKnown = "gauge_not_known", Read, [];
    /// The control circuit was opened and its air not bled afterwards.
    NotBled = "not_bled", Decide, [Again, Words];
    /// An element does not stand as it should at the end.
    NotNormal = "not_normal", Decide, [Again, Words];
    /// The valve was left by a reading whose reader did not know that the lock nut had been tightened.
    LockNutNotReRead = "lock_nut_not_re_read", Decide, [Again, Words];
    /// A step that nobody settled.
    StepOpen = "step_open", Missing, [Again];
    /// A step marked over a hard stop: the mark has no effect.
    StepRefused = "step_refused", Missing, [Again];
    /// A step marked without what it needs, and the mark does not say so.
    StepUnsaid = "step_unsaid", Missing, [Again];
    /// Something that must hold at the end does not.
    NotMet = "not_met", Missing, [Again, Words];
    /// Somebody has not initialled all of their entries.
    Initials = "initials", Missing, [Again];
    /// A step done with something unmet, for a reason on record.
    StepOverridden = "step_overridden", Read, [];
    /// A step left out, for a reason on record.
    StepNotDone = "step_not_done", Read, [];
    /// A step done before one that it needs.
    StepOutOfOrder = "step_out_of_order", Read, [];
    /// What the setting is worth is limited, by an answer that somebody gave.
    LimitOnSetting = "limit_on_setting", Read, [];
    /// A settlement, a signature, a role or the like by somebody who may not: without effect.
    WithoutEffect = "without_effect", Read, [];
    /// An entry of a kind that this version does not know.
    UnknownKind = "unknown_kind", Decide, [Update];
    /// A valve whose procedure this version does not have.
    UnknownProcedure = "unknown_procedure", Decide, [Update];
    /// Entries that came after the signature.
    LateEntries = "late_entries", Decide, [ReOpen, Words];
}

impl Code {
    /// Whether a person can settle it with a reason alone, without saying how a register stands. An entry
    /// that nobody here can read is not settled by words: the app has to be updated.
    pub fn settled_by_words(self) -> bool {
        self.ways().contains(&Way::Words)
    }
}
