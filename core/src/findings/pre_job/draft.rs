//! A check while it is made: it remembers every figure it looked at and every one it missed.

use super::facts::{Facts, Told};
use super::{
    Check, CheckCode, CheckNote, CheckRule, FigureName, LimitName, NamedFigure, NotKnown, NotKnownBecause,
    Verdict,
};
use crate::journal::particular;
use crate::procedure::Text;
use crate::quantity::{Elevation, Figure, GaugePressure, PressureDifference, Unit};

/// Which end of the day's inlet pressures is the hard one.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Hard {
    /// The lowest: too little is left.
    Low,
    /// The highest: the drop is the largest.
    High,
}

/// A check while it is made.
pub(super) struct Draft<'a> {
    pub(super) facts: &'a Facts<'a>,
    check: Check,
}

impl<'a> Draft<'a> {
    pub(super) fn new(facts: &'a Facts<'a>, code: CheckCode, rule: CheckRule) -> Self {
        Self {
            facts,
            check: Check {
                code,
                about: None,
                verdict: Verdict::NotKnown,
                figures: Vec::new(),
                not_known: Vec::new(),
                limits: Vec::new(),
                rule,
                notes: Vec::new(),
            },
        }
    }

    /// The same about one of several.
    pub(super) fn about(mut self, which: Text) -> Self {
        self.check.about = Some(which);
        self
    }

    /// A figure that was told, as a quantity; remembered as missing where it is none.
    pub(super) fn take<Q: for<'f> TryFrom<&'f Figure>>(
        &mut self,
        name: FigureName,
        missing: &str,
        told: Told<'_>,
    ) -> Option<Q> {
        self.take_if(name, missing, told, |_| true)
    }

    /// The same where not every such quantity makes sense.
    pub(super) fn take_if<Q: for<'f> TryFrom<&'f Figure>>(
        &mut self,
        name: FigureName,
        missing: &str,
        told: Told<'_>,
        makes_sense: impl Fn(&Q) -> bool,
    ) -> Option<Q> {
        let quantity = |figure| Q::try_from(figure).ok().filter(&makes_sense);
        match told.and_then(|figure| Ok((figure, quantity(figure).ok_or(NotKnownBecause::NoFigure)?))) {
            Ok((figure, quantity)) => {
                self.show(name, figure);
                Some(quantity)
            }
            Err(because) => {
                self.miss(missing, because);
                None
            }
        }
    }

    /// A particular's figure, as a quantity.
    pub(super) fn particular<Q: for<'f> TryFrom<&'f Figure>>(
        &mut self,
        name: FigureName,
        particular: &str,
    ) -> Option<Q> {
        let told = self.facts.told(particular);
        self.take(name, particular, told)
    }

    /// What is asked of this valve.
    pub(super) fn target(&mut self) -> Option<GaugePressure> {
        let asked = self.facts.request(self.facts.valve);
        self.take_if(
            FigureName::Target,
            "request",
            asked.map(|request| &request.pressure),
            |asked: &GaugePressure| asked.in_pa() > 0.0,
        )
    }

    /// The inlet at its hard end: as told, else as it was read last.
    pub(super) fn inlet(&mut self, hard: Hard) -> Option<GaugePressure> {
        let (name, particular) = match hard {
            Hard::Low => (FigureName::InletLow, particular::INLET_LOW),
            Hard::High => (FigureName::InletHigh, particular::INLET_HIGH),
        };
        let told = self.facts.told(particular);
        match (&told, self.facts.inlet_read()) {
            (Err(NotKnownBecause::NotSaid), Some(read)) => {
                self.note(CheckNote::InletAsRead);
                self.take(FigureName::InletRead, particular, Ok(read))
            }
            _ => self.take(name, particular, told),
        }
    }

    /// An elevation.
    pub(super) fn elevation(&mut self, name: FigureName, particular: &str) -> Option<Elevation> {
        self.particular(name, particular)
    }

    /// The limit in force.
    pub(super) fn limit<Q: for<'f> TryFrom<&'f Figure>>(&mut self, name: LimitName) -> Option<Q> {
        let (limit, quantity) = self.facts.limit(name);
        self.check.limits.push(limit);
        quantity
    }

    /// The unit of a limit in force.
    pub(super) fn unit_of(&self, name: LimitName) -> Unit {
        name.in_force(self.facts.state).figure.unit
    }

    /// A figure as it was told.
    pub(super) fn show(&mut self, name: FigureName, figure: &Figure) {
        self.check.figures.push(NamedFigure {
            name,
            figure: figure.clone(),
            reckoned: false,
        });
    }

    /// A figure that was reckoned. One that no gauge could show is left out.
    pub(super) fn reckon(&mut self, name: FigureName, value: f64, unit: Unit) {
        if let Ok(figure) = Figure::computed(value, unit) {
            self.check.figures.push(NamedFigure {
                name,
                figure,
                reckoned: true,
            });
        }
    }

    /// A pressure that was reckoned, in the request's unit.
    pub(super) fn reckon_pressure(&mut self, name: FigureName, pressure: GaugePressure) {
        let unit = self.facts.pressure_unit();
        if let Ok(value) = pressure.in_unit(unit) {
            self.reckon(name, value, unit);
        }
    }

    /// A difference that was reckoned, in the request's unit.
    pub(super) fn reckon_difference(&mut self, name: FigureName, difference: PressureDifference) {
        let unit = self.facts.pressure_unit();
        if let Ok(value) = difference.in_unit(unit) {
            self.reckon(name, value, unit);
        }
    }

    /// Something that is not known.
    pub(super) fn miss(&mut self, name: &str, because: NotKnownBecause) {
        let missed = NotKnown {
            name: name.to_owned(),
            because,
        };
        if !self.check.not_known.contains(&missed) {
            self.check.not_known.push(missed);
        }
    }

    pub(super) fn note(&mut self, note: CheckNote) {
        if !self.check.notes.contains(&note) {
            self.check.notes.push(note);
        }
    }

    /// Another rule than the one it began with.
    pub(super) fn rule(&mut self, rule: CheckRule) {
        self.check.rule = rule;
    }

    /// How it comes out; none where the figures did not suffice.
    pub(super) fn out(mut self, verdict: Option<Verdict>) -> Self {
        self.check.verdict = verdict.unwrap_or(Verdict::NotKnown);
        if self.check.verdict == Verdict::NotKnown {
            if self.check.not_known.is_empty() {
                self.note(CheckNote::NoSense);
            }
        } else {
            self.check.not_known.clear();
        }
        self
    }

    pub(super) fn finished(self) -> Check {
        self.check
    }
}

/// Good where it holds, else the other.
pub(super) fn good_or(holds: bool, otherwise: Verdict) -> Verdict {
    if holds { Verdict::Good } else { otherwise }
}

/// Whether one amount is at least another, up to what arithmetic leaves over.
pub(super) fn at_least(value: f64, least: f64) -> bool {
    value >= least - 1e-9 * least.abs().max(value.abs())
}
