//! What stands beside this valve: the zone's limit, the relief valve, the valve in parallel.

use super::draft::{Draft, at_least, good_or};
use super::facts::Facts;
use super::{CheckCode, CheckRule, FigureName, LimitName, NotKnownBecause, Verdict};
use crate::procedure::{Condition, FlowSide, SetPointIs};
use crate::quantity::{GaugePressure, PressureDifference};

/// The target below the most that the zone may see.
pub(super) fn zone_limit<'a>(facts: &'a Facts<'a>) -> Draft<'a> {
    let mut draft = Draft::new(facts, CheckCode::ZoneLimit, CheckRule::PRACTICE);
    let target = draft.target();
    let limit = facts
        .request(facts.valve)
        .and_then(|request| request.zone_limit.as_ref().ok_or(NotKnownBecause::NotSaid));
    let limit: Option<GaugePressure> = draft.take(FigureName::ZoneLimit, "zone_limit", limit);
    let verdict = target
        .zip(limit)
        .map(|(target, limit)| good_or(target < limit, Verdict::Outside));
    draft.out(verdict)
}

/// What the procedure wants of the set points beside this one: a relief valve over the reducing ones, a low-flow
/// valve over the large one.
pub(super) fn beside<'a>(facts: &'a Facts<'a>) -> Vec<Draft<'a>> {
    let steps = facts.procedure.steps();
    let wanted = steps
        .flat_map(|step| step.needs.iter().chain(&step.evidence))
        .filter_map(|condition| match condition {
            Condition::SetPoint(wanted) => Some(wanted),
            _ => None,
        });
    let mut seen: Vec<&SetPointIs> = Vec::new();
    for each in wanted {
        if !seen.contains(&each) {
            seen.push(each);
        }
    }
    let outfall = facts
        .procedure
        .screws
        .first()
        .is_some_and(|screw| screw.flow == FlowSide::Outfall);
    let mut drafts = Vec::new();
    for wanted in seen {
        if outfall || wanted.of.iter().any(|of| of == "relief") {
            drafts.push(relief(facts, wanted));
        } else {
            drafts.push(stagger(facts, wanted));
            drafts.push(stagger_tolerance(facts));
        }
    }
    drafts
}

/// The own set point and how far it is from the nearest one beside it, towards the side that is wanted.
fn apart(draft: &mut Draft<'_>, wanted: &SetPointIs) -> Option<PressureDifference> {
    let own = draft.target();
    let mut nearest: Option<PressureDifference> = None;
    let mut unknown = false;
    let facts = draft.facts;
    let mut take = |draft: &mut Draft<'_>, missing: &str, told| {
        let other: Option<GaugePressure> = draft.take(FigureName::Beside, missing, told);
        let apart = own
            .zip(other)
            .map(|(own, other)| if wanted.above { own - other } else { other - own });
        match apart {
            None => unknown = true,
            Some(apart) => {
                nearest = Some(match nearest {
                    Some(least) if least < apart => least,
                    _ => apart,
                });
            }
        }
    };
    let valves = facts.beside(&wanted.of);
    for (valve, _) in &valves {
        let asked = facts.request(*valve).map(|request| &request.pressure);
        take(draft, "request_beside", asked);
    }
    if let Some(told) = &wanted.told
        && (valves.is_empty() || facts.is_told(told))
    {
        take(draft, told, facts.told(told));
    }
    let nearest = nearest.filter(|_| !unknown)?;
    draft.reckon_difference(FigureName::Apart, nearest);
    Some(nearest)
}

/// The relief valve far enough above the highest reducing set point. Common practice, no source.
fn relief<'a>(facts: &'a Facts<'a>, wanted: &SetPointIs) -> Draft<'a> {
    let mut draft = Draft::new(facts, CheckCode::ReliefMargin, CheckRule::PRACTICE);
    let apart = apart(&mut draft, wanted);
    let least: Option<PressureDifference> = draft.limit(LimitName::ReliefMargin);
    let verdict = apart
        .zip(least)
        .map(|(apart, least)| good_or(at_least(apart.in_pa(), least.in_pa()), Verdict::Outside));
    draft.out(verdict)
}

/// The low-flow valve far enough above the large one, and not further than it need be. Common practice, no source.
fn stagger<'a>(facts: &'a Facts<'a>, wanted: &SetPointIs) -> Draft<'a> {
    let mut draft = Draft::new(facts, CheckCode::Stagger, CheckRule::PRACTICE);
    let apart = apart(&mut draft, wanted);
    let least: Option<PressureDifference> = draft.limit(LimitName::Stagger);
    let most: Option<PressureDifference> = draft.limit(LimitName::StaggerMost);
    let verdict = (|| {
        let apart = apart?.in_pa();
        Some(if at_least(apart, least?.in_pa()) {
            good_or(at_least(most?.in_pa(), apart), Verdict::Look)
        } else {
            Verdict::Outside
        })
    })();
    draft.out(verdict)
}

/// A tolerance narrow enough that the two cannot change places. Common practice, no source.
fn stagger_tolerance<'a>(facts: &'a Facts<'a>) -> Draft<'a> {
    let mut draft = Draft::new(facts, CheckCode::StaggerTolerance, CheckRule::PRACTICE);
    let told = facts
        .request(facts.valve)
        .and_then(|request| request.tolerance.as_ref().ok_or(NotKnownBecause::NotSaid));
    let tolerance: Option<PressureDifference> = draft.take(FigureName::Tolerance, "tolerance", told);
    let most: Option<PressureDifference> = draft.limit(LimitName::StaggerTolerance);
    let verdict = tolerance
        .zip(most)
        .map(|(tolerance, most)| good_or(at_least(most.in_pa(), tolerance.in_pa()), Verdict::Look));
    draft.out(verdict)
}
