//! What a hydrant flow test says of the supply.

use super::draft::{Draft, at_least, good_or};
use super::facts::Facts;
use super::{CheckCode, CheckNote, CheckRule, Citation, FigureName, NotKnownBecause, Verdict};
use crate::hydraulics::{self, AvailableFlowWarning};
use crate::journal::{ParticularValue, particular};
use crate::quantity::{Flow, GaugePressure, PressureDifference};

/// Where a flow test is on record: whether its law holds there, and whether the mains can give the peak flow and leave
/// the valve what it needs. Source: NFPA 291; that the law fails behind a regulating valve is common practice.
///
/// Example: 1061 gpm drew 80 psi down to 60 psi; 45 psi with 10 psi for the valve leave 1458 gpm.
pub(super) fn flow_test<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    let told = [
        particular::TEST_FLOW,
        particular::TEST_STATIC,
        particular::TEST_RESIDUAL,
    ];
    if !told.iter().any(|name| facts.is_told(name)) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::FlowTest, CheckRule::standard(Citation::Nfpa291));
    let flow: Option<Flow> = draft.particular(FigureName::TestFlow, particular::TEST_FLOW);
    let still: Option<GaugePressure> = draft.particular(FigureName::TestStatic, particular::TEST_STATIC);
    let residual: Option<GaugePressure> =
        draft.particular(FigureName::TestResidual, particular::TEST_RESIDUAL);
    draft.note(CheckNote::NotBehindRegulatingValve);
    let side = match facts.value(particular::TEST_SIDE) {
        Ok(ParticularValue::Text(side)) if side == "downstream" => {
            draft.rule(CheckRule::PRACTICE);
            return Some(draft.out(Some(Verdict::Outside)));
        }
        Ok(ParticularValue::Text(side)) if side == "upstream" => Some(()),
        Ok(_) => {
            draft.miss(particular::TEST_SIDE, NotKnownBecause::NoFigure);
            None
        }
        Err(because) => {
            draft.miss(particular::TEST_SIDE, because);
            None
        }
    };
    let target = draft.target();
    let least: Option<PressureDifference> =
        draft.particular(FigureName::MinDifferential, particular::MIN_DIFFERENTIAL);
    let peak: Option<Flow> = draft.particular(FigureName::FlowPeak, particular::FLOW_PEAK);
    let verdict = (|| {
        let keep = target? + least?;
        draft.reckon_pressure(FigureName::Keep, keep);
        let available = hydraulics::available_flow(flow?, still?, residual?, keep).ok()?;
        if available.warnings.contains(&AvailableFlowWarning::SmallDrop) {
            draft.note(CheckNote::SmallDrop);
        }
        let peak = peak?;
        let unit = facts.told(particular::FLOW_PEAK).ok()?.unit;
        draft.reckon(FigureName::Available, available.flow.in_unit(unit).ok()?, unit);
        side.map(|()| good_or(at_least(available.flow.in_gpm(), peak.in_gpm()), Verdict::Look))
    })();
    Some(draft.out(verdict))
}
