//! What the zone's highest and lowest customer see, by elevation.

use super::draft::{Draft, at_least, good_or};
use super::facts::Facts;
use super::{CheckCode, CheckNote, CheckRule, Citation, FigureName, LimitName, Verdict};
use crate::hydraulics;
use crate::journal::particular;
use crate::quantity::{Density, GaugePressure};

/// The still pressure at a customer, from the request's own elevation.
///
/// Example: 60 psi at 100 ft; a customer at 150 ft sees 38.3 psi, one at 60 ft sees 77.3 psi.
fn at_customer(draft: &mut Draft<'_>, customer: &str) -> Option<GaugePressure> {
    let target = draft.target();
    let datum = draft.elevation(FigureName::DatumElevation, particular::DATUM_ELEVATION);
    let customer = draft.elevation(FigureName::CustomerElevation, customer);
    let there = hydraulics::pressure_at(target?, datum?, customer?, Density::CONVENTIONAL_WATER).ok()?;
    draft.reckon_pressure(FigureName::CustomerPressure, there);
    draft.note(CheckNote::StillWater);
    Some(there)
}

/// The highest customer keeps the least pressure at ground level, and better the normal one.
/// Source: Ten States Standards 8.2.1 (section number from memory).
pub(super) fn highest<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::HIGHEST_CUSTOMER]) {
        return None;
    }
    let mut draft = Draft::new(
        facts,
        CheckCode::HighestCustomer,
        CheckRule::standard(Citation::TenStates),
    );
    let there = at_customer(&mut draft, particular::HIGHEST_CUSTOMER);
    let least: Option<GaugePressure> = draft.limit(LimitName::GroundLow);
    let normal: Option<GaugePressure> = draft.limit(LimitName::NormalLow);
    let verdict = (|| {
        let there = there?.in_pa();
        Some(if at_least(there, least?.in_pa()) {
            good_or(at_least(there, normal?.in_pa()), Verdict::Look)
        } else {
            Verdict::Outside
        })
    })();
    Some(draft.out(verdict))
}

/// The lowest customer stays within the normal working pressure.
/// Source: Ten States Standards 8.2.1 (section number from memory).
pub(super) fn lowest<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::LOWEST_CUSTOMER]) {
        return None;
    }
    let mut draft = Draft::new(
        facts,
        CheckCode::LowestCustomer,
        CheckRule::standard(Citation::TenStates),
    );
    let there = at_customer(&mut draft, particular::LOWEST_CUSTOMER);
    let most: Option<GaugePressure> = draft.limit(LimitName::NormalHigh);
    let verdict = there
        .zip(most)
        .map(|(there, most)| good_or(at_least(most.in_pa(), there.in_pa()), Verdict::Look));
    Some(draft.out(verdict))
}

/// The lowest building bears the still pressure without a reducing valve of its own.
/// Source: plumbing codes (IPC 604.8, UPC 608.2; section numbers from memory).
pub(super) fn buildings<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::LOWEST_CUSTOMER]) {
        return None;
    }
    let mut draft = Draft::new(
        facts,
        CheckCode::BuildingStatic,
        CheckRule::code(Citation::PlumbingCodes),
    );
    let there = at_customer(&mut draft, particular::LOWEST_CUSTOMER);
    let most: Option<GaugePressure> = draft.limit(LimitName::BuildingStatic);
    let verdict = there
        .zip(most)
        .map(|(there, most)| good_or(at_least(most.in_pa(), there.in_pa()), Verdict::Outside));
    Some(draft.out(verdict))
}
