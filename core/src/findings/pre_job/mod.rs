//! What to look at before going down: each check with its figures, its rule, who made the rule, and what is not
//! known.
//!
//! A check is made where the procedure asks for what it needs, or somebody told it. A figure that is missing makes
//! the check say which, never pass. The limits are defaults that an owner can change (see [`LimitName`]); the change
//! shows beside the default.

mod check;
mod companions;
mod customers;
mod draft;
mod facts;
mod gauges;
mod inlet;
mod limit;
mod names;
mod supply;
mod valve;

#[cfg(test)]
mod tests;

pub use check::{Check, CheckRule, NamedFigure, NotKnown, NotKnownBecause, RuleKind, Verdict};
pub use limit::{CheckLimit, LimitName, limits};
pub use names::{CheckCode, CheckNote, Citation, FigureName};

use crate::journal::{AssetId, JobState, particular};
use crate::procedure::{FlowSide, Procedure};
use draft::Draft;
use facts::Facts;

/// The particulars that are asked for because of the checks, beside those on the plate.
pub const FOR_CHECKS: &[&str] = &[
    particular::INLET_LOW,
    particular::INLET_HIGH,
    particular::FLOW_LOW,
    particular::FLOW_PEAK,
    particular::COEFFICIENT,
    particular::RECOVERY,
    particular::SIGMA_LIMIT,
    particular::DATUM_ELEVATION,
    particular::LOWEST_CUSTOMER,
    particular::HIGHEST_CUSTOMER,
    particular::RELIEF_OPENS_AT,
    particular::HIGHEST_REDUCING,
    particular::OTHER_SET_POINT,
    particular::TEST_SIDE,
    particular::TEST_FLOW,
    particular::TEST_STATIC,
    particular::TEST_RESIDUAL,
];

/// The checks of a valve, in the order in which one looks at them.
pub fn checks(state: &JobState, procedure: &Procedure, valve: AssetId) -> Vec<Check> {
    let facts = Facts::new(state, procedure, valve);
    let mut drafts = valve::springs(&facts);
    let side = procedure.screws.first().map(|screw| screw.flow);
    if side == Some(FlowSide::Downstream) {
        drafts.extend(inlet::differential(&facts));
        drafts.extend(valve::choked(&facts));
        drafts.extend(valve::cavitation(&facts));
        drafts.extend(valve::velocity(&facts));
        drafts.extend(valve::opening_at_peak(&facts));
        drafts.extend(valve::opening_at_least(&facts));
        drafts.extend(valve::least_flow(&facts));
        drafts.extend(customers::highest(&facts));
        drafts.extend(customers::lowest(&facts));
        drafts.extend(customers::buildings(&facts));
        drafts.extend(supply::flow_test(&facts));
    }
    if matches!(side, Some(FlowSide::Downstream | FlowSide::Outfall)) {
        drafts.push(companions::zone_limit(&facts));
    }
    drafts.extend(companions::beside(&facts));
    drafts.extend(gauges::ranges(&facts));
    drafts.into_iter().map(Draft::finished).collect()
}
