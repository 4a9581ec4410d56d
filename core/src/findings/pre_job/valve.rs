//! What the valve itself bears: its spring, the drop across it, the flow through it.

use super::draft::{Draft, Hard, at_least, good_or};
use super::facts::{Facts, Plain};
use super::{CheckCode, CheckNote, CheckRule, Citation, FigureName, LimitName, Verdict};
use crate::hydraulics::{self, Liquid};
use crate::journal::particular;
use crate::quantity::{
    AbsolutePressure, Flow, FlowCoefficient, GaugePressure, Length, Speed, Temperature, Unit,
};
use crate::setting::{Place, SpringRange};

/// For each screw: what it is to be set to, well inside its spring's range.
///
/// Example: 30-300 psi, 10 % kept off either end: 57 to 273 psi is well inside.
pub(super) fn springs<'a>(facts: &'a Facts<'a>) -> Vec<Draft<'a>> {
    let several = facts.procedure.screws.len() > 1;
    let mut drafts = Vec::new();
    for screw in &facts.procedure.screws {
        let (low, high) = (
            screw.spring_particular(particular::SPRING_LOW),
            screw.spring_particular(particular::SPRING_HIGH),
        );
        if !facts.asks(&[&low, &high]) {
            continue;
        }
        let mut draft = Draft::new(facts, CheckCode::SpringRange, CheckRule::PRACTICE);
        if several {
            draft = draft.about(screw.label.clone());
        }
        let target = match &screw.target {
            None => draft.target(),
            Some(name) => draft.particular(FigureName::Target, name),
        };
        let low: Option<GaugePressure> = draft.particular(FigureName::SpringLow, &low);
        let high: Option<GaugePressure> = draft.particular(FigureName::SpringHigh, &high);
        let share: Option<Plain> = draft.limit(LimitName::SpringMargin);
        let verdict = (|| {
            let (range, Plain(share)) = (SpringRange::new(low?, high?).ok()?, share?);
            let margin = (range.high() - range.low()) * share;
            draft.reckon_pressure(FigureName::InsideFrom, range.low() + margin);
            draft.reckon_pressure(FigureName::InsideTo, range.high() - margin);
            Some(match range.place_by(target?, share) {
                Place::Inside => Verdict::Good,
                Place::NearLow | Place::NearHigh => Verdict::Look,
                Place::Below | Place::Above => {
                    draft.rule(CheckRule::MANUAL);
                    Verdict::Outside
                }
            })
        })();
        drafts.push(draft.out(verdict));
    }
    drafts
}

fn water() -> Option<Liquid> {
    Liquid::water(Temperature::USUAL_WATER).ok()
}

fn absolute(pressure: GaugePressure) -> Option<AbsolutePressure> {
    pressure.to_absolute(AbsolutePressure::USUAL_ATMOSPHERE).ok()
}

/// FL, if it is one.
fn recovery(draft: &mut Draft<'_>) -> Option<Plain> {
    let told = draft.facts.told(particular::RECOVERY);
    draft.take_if(FigureName::Recovery, particular::RECOVERY, told, |fl: &Plain| {
        fl.0 > 0.0 && fl.0 <= 1.0
    })
}

fn coefficient(draft: &mut Draft<'_>) -> Option<FlowCoefficient> {
    let told = draft.facts.told(particular::COEFFICIENT);
    draft.take_if(
        FigureName::Coefficient,
        particular::COEFFICIENT,
        told,
        |full: &FlowCoefficient| full.in_cv() > 0.0,
    )
}

fn flow(draft: &mut Draft<'_>, name: FigureName, particular: &str) -> Option<Flow> {
    let told = draft.facts.told(particular);
    draft.take_if(name, particular, told, |flow: &Flow| *flow > Flow::ZERO)
}

/// The drop at the highest inlet stays below the one at which flow chokes. Source: IEC 60534-2-1.
pub(super) fn choked<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::RECOVERY]) {
        return None;
    }
    let mut draft = Draft::new(
        facts,
        CheckCode::ChokedFlow,
        CheckRule::standard(Citation::Iec60534),
    );
    let (target, inlet) = (draft.target(), draft.inlet(Hard::High));
    let recovery = recovery(&mut draft);
    let verdict = (|| {
        let (inlet, target) = (inlet?, target?);
        let drop = inlet - target;
        draft.reckon_difference(FigureName::Drop, drop);
        let choked = hydraulics::choked_difference(absolute(inlet)?, recovery?.0, &water()?).ok()?;
        draft.reckon_difference(FigureName::ChokedDrop, choked);
        (target < inlet).then(|| good_or(drop < choked, Verdict::Outside))
    })();
    Some(draft.out(verdict))
}

/// The cavitation index by the inlet pressure against the valve's own limit; without one, only the ratio of the
/// pressures is looked at. Sources: the valve's manual, the index ISA-RP75.23; the ratio common practice.
pub(super) fn cavitation<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::SIGMA_LIMIT]) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::Cavitation, CheckRule::PRACTICE);
    let (target, inlet) = (draft.target(), draft.inlet(Hard::High));
    let limit: Option<Plain> = if facts.is_told(particular::SIGMA_LIMIT) {
        draft.rule(CheckRule {
            cites: Some(Citation::IsaRp7523),
            ..CheckRule::MANUAL
        });
        draft.note(CheckNote::SigmaByInlet);
        draft.particular(FigureName::SigmaLimit, particular::SIGMA_LIMIT)
    } else {
        None
    };
    let by_ratio = !facts.is_told(particular::SIGMA_LIMIT);
    let verdict = (|| {
        let (inlet, target) = (absolute(inlet?)?, absolute(target?)?);
        let sigma = hydraulics::cavitation(inlet, target, &water()?).ok()??;
        draft.reckon(FigureName::Sigma, sigma.isa, Unit::Ratio);
        draft.note(CheckNote::SigmaByInlet);
        if !by_ratio {
            return Some(good_or(at_least(sigma.isa, limit?.0), Verdict::Outside));
        }
        let ratio = inlet.in_pa() / target.in_pa();
        draft.reckon(FigureName::PressureRatio, ratio, Unit::Ratio);
        draft.note(CheckNote::ByRatioOnly);
        let most: Plain = draft.limit(LimitName::PressureRatio)?;
        Some(good_or(!at_least(ratio, most.0), Verdict::Look))
    })();
    Some(draft.out(verdict))
}

/// The velocity at peak flow. Common practice, no source.
///
/// Example: 1200 gpm through 6 in: 13.6 ft/s.
pub(super) fn velocity<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::FLOW_PEAK]) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::Velocity, CheckRule::PRACTICE);
    let peak = flow(&mut draft, FigureName::FlowPeak, particular::FLOW_PEAK);
    let size: Option<Length> = draft.particular(FigureName::Size, particular::SIZE);
    let most: Option<Speed> = draft.limit(LimitName::Velocity);
    let unit = draft.unit_of(LimitName::Velocity);
    let verdict = (|| {
        let speed = hydraulics::velocity(peak?, size?).ok()?.in_unit(unit).ok()?;
        draft.reckon(FigureName::Velocity, speed, unit);
        draft.note(CheckNote::NominalBore);
        Some(good_or(
            at_least(most?.in_unit(unit).ok()?, speed),
            Verdict::Outside,
        ))
    })();
    Some(draft.out(verdict))
}

/// The share of its full coefficient that the valve needs for a flow, with the inlet at its hard end.
fn share(draft: &mut Draft<'_>, flow_name: FigureName, particular: &str, hard: Hard) -> Option<f64> {
    let flow = flow(draft, flow_name, particular);
    let (target, inlet) = (draft.target(), draft.inlet(hard));
    let (full, recovery) = (coefficient(draft), recovery(draft));
    let (inlet, target) = (absolute(inlet?)?, absolute(target?)?);
    let needed = hydraulics::required_coefficient(flow?, inlet, target, recovery?.0, &water()?);
    let (needed, full) = (needed.ok()?.coefficient, full?);
    draft.reckon(FigureName::NeededCoefficient, needed.in_cv(), Unit::Cv);
    let share = needed.in_cv() / full.in_cv();
    draft.reckon(FigureName::Share, share * 100.0, Unit::Percent);
    draft.note(CheckNote::ShareOfCoefficient);
    Some(share)
}

/// Enough opening left at peak flow and the lowest inlet. More than all of it: the valve stands wide open and does
/// not regulate. Common practice, no source.
pub(super) fn opening_at_peak<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::COEFFICIENT]) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::OpeningAtPeak, CheckRule::PRACTICE);
    let share = share(&mut draft, FigureName::FlowPeak, particular::FLOW_PEAK, Hard::Low);
    let most: Option<Plain> = draft.limit(LimitName::ShareAtPeak);
    let verdict = share.zip(most).map(|(share, Plain(most))| {
        if at_least(most, share) {
            Verdict::Good
        } else if at_least(1.0, share) {
            Verdict::Look
        } else {
            Verdict::Outside
        }
    });
    Some(draft.out(verdict))
}

/// Not too near its seat at the least flow and the highest inlet. Common practice, no source.
pub(super) fn opening_at_least<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::COEFFICIENT]) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::OpeningAtLeast, CheckRule::PRACTICE);
    let share = share(&mut draft, FigureName::FlowLow, particular::FLOW_LOW, Hard::High);
    let least: Option<Plain> = draft.limit(LimitName::ShareAtLeast);
    let verdict = share
        .zip(least)
        .map(|(share, Plain(least))| good_or(at_least(share, least), Verdict::Look));
    Some(draft.out(verdict))
}

/// The zone draws at least what the manual wants. By the valve's manual.
pub(super) fn least_flow<'a>(facts: &'a Facts<'a>) -> Option<Draft<'a>> {
    if !facts.asks(&[particular::FLOW_LOW]) {
        return None;
    }
    let mut draft = Draft::new(facts, CheckCode::LeastFlow, CheckRule::MANUAL);
    let drawn: Option<Flow> = draft.particular(FigureName::FlowLow, particular::FLOW_LOW);
    let least: Option<Flow> = draft.particular(FigureName::MinFlow, particular::MIN_FLOW);
    let verdict = drawn
        .zip(least)
        .map(|(drawn, least)| good_or(at_least(drawn.in_gpm(), least.in_gpm()), Verdict::Outside));
    Some(draft.out(verdict))
}
