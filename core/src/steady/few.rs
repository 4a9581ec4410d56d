//! A handful of readings, keyed in by thumb.

use super::{Because, Sample, State, Verdict, plain};

/// Each change is at most this share of the one before where it slows down.
const SLOWER: f64 = 0.8;

/// Judges three to seven readings.
pub fn judge(readings: &[Sample], band: f64) -> Verdict {
    if level(readings, band) {
        return steady(readings);
    }
    let last_three = &readings[readings.len() - 3..];
    if level(last_three, band) {
        return steady(last_three);
    }
    let changes: Vec<f64> = readings
        .windows(2)
        .map(|pair| pair[1].psi - pair[0].psi)
        .collect();
    let rates: Vec<f64> = readings
        .windows(2)
        .zip(&changes)
        .map(|(pair, change)| change / (pair[1].at_s - pair[0].at_s))
        .collect();
    if one_way(&changes) {
        return if rates.windows(2).all(|two| two[1].abs() <= SLOWER * two[0].abs()) {
            plain(readings, State::Settling, Because::SlowingDown)
        } else {
            plain(readings, State::Drifting, Because::OneWay)
        };
    }
    if one_way(&changes[changes.len() - 2..]) {
        // It turned before; what counts is how it goes now.
        let [.., before, now] = rates.as_slice() else {
            return plain(readings, State::TooShort, Because::UpAndDown);
        };
        return if now.abs() <= SLOWER * before.abs() {
            plain(last_three, State::Settling, Because::SlowingDown)
        } else {
            plain(last_three, State::Drifting, Because::OneWay)
        };
    }
    let swings = changes.len() >= 4
        && changes.windows(2).all(|two| two[0] * two[1] < 0.0)
        && changes.iter().all(|change| change.abs() > band);
    if !swings {
        return plain(readings, State::TooShort, Because::UpAndDown);
    }
    if changes
        .windows(2)
        .all(|two| two[1].abs() <= SLOWER * two[0].abs())
    {
        return plain(readings, State::Settling, Because::SwingDiesAway);
    }
    swinging(readings, &changes)
}

/// More readings than this are a logger's, which finds a swing by its frequency.
const BY_THUMB: usize = 60;

/// Hunting, where every reading lies on the other side of the one before by more than twice the band: read at each turn of
/// a swing, it has no frequency that could be found.
pub fn to_and_fro(readings: &[Sample], band: f64) -> Option<Verdict> {
    if readings.len() > BY_THUMB {
        return None;
    }
    let changes: Vec<f64> = readings
        .windows(2)
        .map(|pair| pair[1].psi - pair[0].psi)
        .collect();
    let swings = changes.windows(2).all(|two| two[0] * two[1] < 0.0)
        && changes.iter().all(|change| change.abs() > 2.0 * band);
    swings.then(|| swinging(readings, &changes))
}

fn swinging(readings: &[Sample], changes: &[f64]) -> Verdict {
    let total: f64 = changes.iter().map(|change| change.abs()).sum();
    let span = readings[readings.len() - 1].at_s - readings[0].at_s;
    let count = super::line::count(changes.len());
    Verdict {
        period_s: Some(2.0 * span / count),
        amplitude_psi: Some(total / count / 2.0),
        ..plain(readings, State::Hunting, Because::Periodic)
    }
}

fn steady(readings: &[Sample]) -> Verdict {
    Verdict {
        settled_at_s: readings.first().map(|first| first.at_s),
        ..plain(readings, State::Steady, Because::WithinBand)
    }
}

/// Whether readings lie within the band either way of their middle and do not creep one way by more than the band.
fn level(readings: &[Sample], band: f64) -> bool {
    let (low, high) = readings
        .iter()
        .fold((f64::MAX, f64::MIN), |(low, high), reading| {
            (low.min(reading.psi), high.max(reading.psi))
        });
    let creeps = readings.windows(2).all(|pair| pair[1].psi >= pair[0].psi)
        || readings.windows(2).all(|pair| pair[1].psi <= pair[0].psi);
    high - low <= if creeps { band } else { 2.0 * band }
}

fn one_way(changes: &[f64]) -> bool {
    changes.iter().all(|&change| change > 0.0) || changes.iter().all(|&change| change < 0.0)
}
