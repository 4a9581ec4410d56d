//! What the entries of a valve come to, as the record says it.

use super::Making;
use crate::findings::gauges::{Basis, uncertainty_of};
use crate::findings::history::compare;
use crate::findings::verdict::{
    AsLeftVerdict, Creep, Droop, LockUp, PairVerdict, ReadingPair, Repeatability, as_left, droop, lock_up,
    pairs, repeatability,
};
use crate::journal::{AssetId, Folded, Reading};
use crate::quantity::{Figure, PressureDifference, Unit};
use crate::record::content::{
    AgreementFinding, AsLeftFinding, HistoryFinding, SpreadFinding, UncertaintyLine, ValveFindings,
};

/// The verdict on a spread that was measured, and for which no limit is set.
const MEASURED: &str = "measured";
/// The verdict on a spread of which there are too few readings.
const TOO_FEW: &str = "too_few";

impl Making<'_> {
    /// What the entries of a valve come to. None where they come to nothing yet.
    pub fn findings(&self, valve: AssetId, main: Option<&str>) -> Option<ValveFindings> {
        let main = main?;
        let found = ValveFindings {
            as_left: self.as_left_finding(valve, main),
            droop: droop(self.state, valve, main).map(of_droop),
            repeatability: repeatability(self.state, valve, main).map(of_repeatability),
            lock_up: lock_up(self.state, valve, main).map(of_lock_up),
            history: self.history_findings(valve),
            agreements: pairs(self.state, valve).iter().filter_map(of_pair).collect(),
            ..ValveFindings::default()
        };
        (found != ValveFindings::default()).then_some(found)
    }

    /// This visit beside the newest earlier one.
    fn history_findings(&self, valve: AssetId) -> Vec<HistoryFinding> {
        let Some(procedure) = self.procedure_of(valve) else {
            return Vec::new();
        };
        let found = compare(self.state, procedure, valve);
        let drift = found.drift.map(|drift| HistoryFinding {
            code: "as_left".to_owned(),
            earlier: drift.earlier,
            then: drift.left,
            now: Some(drift.found),
            verdict: drift.verdict.code().to_owned(),
        });
        let rate = found.rate.map(|rate| HistoryFinding {
            code: "learned_rate".to_owned(),
            earlier: rate.earlier,
            then: rate.then,
            now: rate.now,
            verdict: rate.verdict.code().to_owned(),
        });
        drift.into_iter().chain(rate).collect()
    }

    fn as_left_finding(&self, valve: AssetId, main: &str) -> Option<AsLeftFinding> {
        let found = as_left(self.state, valve, main);
        let mut warnings = found.because;
        warnings.extend(found.problems);
        Some(AsLeftFinding {
            verdict: match found.verdict {
                AsLeftVerdict::Inside => "within",
                AsLeftVerdict::Outside => "outside",
                AsLeftVerdict::CannotTell => "cannot_tell",
                AsLeftVerdict::NotRead | AsLeftVerdict::NoTarget => return None,
            }
            .to_owned(),
            reading: found.reading?,
            asked: found.target?,
            tolerance: found.tolerance?,
            difference: found.off?,
            uncertainty: found.uncertainty,
            warnings,
        })
    }

    /// How sure a reading is, by its gauge.
    pub fn uncertainty(&self, folded: &Folded, reading: &Reading) -> Option<UncertaintyLine> {
        let sure = uncertainty_of(self.state, reading, &folded.entry.told.at)?;
        Some(UncertaintyLine {
            standard: difference(sure.standard, reading.figure.unit)?,
            basis: match sure.basis {
                Basis::Gauge(_) => "gauge",
                Basis::Assumed => "assumed",
            }
            .to_owned(),
            problems: sure.problems.iter().map(|one| one.code().to_owned()).collect(),
        })
    }
}

/// A difference of pressures in the unit of a reading. None where the unit is none of pressure.
fn difference(of: PressureDifference, unit: Unit) -> Option<Figure> {
    Figure::computed(of.in_unit(unit).ok()?, unit).ok()
}

/// `measured`, unless there were too few readings to say how much.
fn measured(figure: Option<&Figure>) -> String {
    if figure.is_some() { MEASURED } else { TOO_FEW }.to_owned()
}

fn of_droop(found: Droop) -> SpreadFinding {
    SpreadFinding {
        verdict: measured(found.droop.as_ref()),
        readings: found.rows.iter().map(|row| row.reading).collect(),
        figure: found.droop,
        uncertainty: found.uncertainty,
        warnings: found.because,
    }
}

fn of_repeatability(found: Repeatability) -> SpreadFinding {
    SpreadFinding {
        verdict: measured(found.spread.as_ref()),
        figure: found.spread,
        uncertainty: found.uncertainty,
        readings: found.readings,
        warnings: found.because,
    }
}

fn of_lock_up(found: LockUp) -> SpreadFinding {
    SpreadFinding {
        verdict: match found.creep {
            Creep::Holds => "holds",
            Creep::Climbs => "climbs",
            Creep::Falls => "falls",
            Creep::OneReading => "one_reading",
        }
        .to_owned(),
        figure: found.above_flowing,
        uncertainty: found.uncertainty,
        readings: found.readings,
        warnings: found.because,
    }
}

fn of_pair(pair: &ReadingPair) -> Option<AgreementFinding> {
    Some(AgreementFinding {
        a: pair.first,
        b: pair.second,
        en: pair.en.clone()?,
        agree: pair.verdict != PairVerdict::Differs,
    })
}
