//! Each gauge's scale against what it will read and what it may meet.

use super::draft::{Draft, Hard, at_least, good_or};
use super::facts::{Facts, Plain};
use super::{CheckCode, CheckNote, CheckRule, FigureName, LimitName, NotKnownBecause, Verdict};
use crate::journal::Gauge;
use crate::procedure::Text;
use crate::quantity::{GaugePressure, PressureDifference, Unit};

/// One check a gauge. Without a gauge on record, one that says so. Common practice, no source.
pub(super) fn ranges<'a>(facts: &'a Facts<'a>) -> Vec<Draft<'a>> {
    let new = || Draft::new(facts, CheckCode::GaugeRange, CheckRule::PRACTICE);
    let (gauges, differ) = facts.gauges();
    let differ = differ.into_iter().map(|serial| {
        let mut draft = new().about(same(serial));
        draft.miss("gauge", NotKnownBecause::Disagreed);
        draft.out(None)
    });
    let mut drafts: Vec<_> = gauges
        .into_iter()
        .map(|gauge| range(new().about(same(&gauge.serial)), gauge))
        .chain(differ)
        .collect();
    if drafts.is_empty() {
        let mut draft = new();
        draft.miss("gauge", NotKnownBecause::NotSaid);
        drafts.push(draft.out(None));
    }
    drafts
}

/// A serial is the same in every language.
fn same(serial: &str) -> Text {
    Text {
        en: serial.to_owned(),
        es: serial.to_owned(),
    }
}

/// The reading between a quarter and three quarters of the scale, and the scale above the inlet unless the gauge stays
/// valved off until the valve is proven.
///
/// Example: 0-100 psi, 60 psi to read, inlet 120 psi: 60 % of the scale, but outside: the inlet is beyond it.
fn range<'a>(mut draft: Draft<'a>, gauge: &Gauge) -> Draft<'a> {
    let at_inlet = gauge.point.as_deref() == Some("inlet");
    let span = draft.take_if(
        FigureName::Span,
        "gauge",
        Ok(&gauge.span),
        |span: &PressureDifference| *span > PressureDifference::ZERO,
    );
    let target = if at_inlet { None } else { draft.target() };
    let inlet = draft.inlet(Hard::High);
    let expected: Option<GaugePressure> = if at_inlet { inlet } else { target };
    let low: Option<Plain> = draft.limit(LimitName::GaugeLow);
    let high: Option<Plain> = draft.limit(LimitName::GaugeHigh);
    let verdict = (|| {
        let span = span?.in_pa();
        let share = expected?.in_pa() / span;
        draft.reckon(FigureName::ShareOfSpan, share * 100.0, Unit::Percent);
        let inlet = inlet?.in_pa();
        if !at_least(span, inlet) {
            draft.note(CheckNote::KeepValvedOff);
            return Some(Verdict::Outside);
        }
        let within = at_least(share, low?.0) && at_least(high?.0, share);
        Some(good_or(within, Verdict::Look))
    })();
    draft.out(verdict)
}
