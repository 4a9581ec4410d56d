//! Enough inlet.

use super::draft::{Draft, Hard, at_least, good_or};
use super::facts::Facts;
use super::{CheckCode, CheckRule, FigureName, Verdict};
use crate::journal::particular;
use crate::quantity::PressureDifference;

/// The target with the valve's minimum differential stays under the lowest inlet pressure. By the valve's manual.
///
/// Example: 60 psi asked, inlet down to 68 psi, 10 psi by the manual: 8 psi left, outside.
pub(super) fn differential<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::MIN_DIFFERENTIAL]) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::MinDifferential, CheckRule::MANUAL);
    let (target, inlet) = (draft.target(), draft.inlet(Hard::Low));
    let told = facts.told(particular::MIN_DIFFERENTIAL);
    let least = draft.take_if(
        FigureName::MinDifferential,
        particular::MIN_DIFFERENTIAL,
        told,
        |least: &PressureDifference| *least >= PressureDifference::ZERO,
    );
    let verdict = (|| {
        let left = inlet? - target?;
        draft.reckon_difference(FigureName::Drop, left);
        Some(good_or(at_least(left.in_pa(), least?.in_pa()), Verdict::Outside))
    })();
    Some(draft.out(verdict))
}
