//! Whether a 95 % interval holds the truth 95 times in a hundred.

use super::{Screw, between, normal};
use crate::dice::Dice;
use anyhow::Result;
use serde::Serialize;
use turnwise_core::quantity::{PressureDifference, Rate, Turns};
use turnwise_core::setting::ClockwiseEffect;
use turnwise_core::setting::learn::{
    AtStart, DEAD_BAND_MOST, History, Move, RATE_SPREAD, Read, Seen, learn, reading_noise,
};

const PRINTED: f64 = 15.0;
const STEP: f64 = 1.0 / 16.0;

/// What the screws are really like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Truth {
    /// Rate and dead band as they are believed to be beforehand.
    AsBelieved,
    /// The rate evenly anywhere within 40 % of the printed one, the dead band evenly up to 0.15 turn.
    Evenly,
    /// The rate this many times the printed one, the dead band evenly up to 0.15 turn.
    Always(f64),
}

/// How often the intervals held the truth.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Coverage {
    /// How many screws.
    pub screws: usize,
    /// The share whose rate was in its interval.
    pub rate: f64,
    /// The share whose dead band was in its interval, among those that had reversed.
    pub dead_band: f64,
    /// The share whose next reading was in its band.
    pub next_reading: f64,
    /// The standard deviation that chance alone gives a share of 0.95 of so many.
    pub binomial_sd: f64,
    /// The interval's half width for the rate, as a part of the printed rate, on average.
    pub mean_half_width: f64,
}

/// Turns many screws, one to six moves each, and asks after the last.
///
/// # Errors
/// Where the engine refuses.
#[expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]
pub fn coverage(dice: &mut Dice, screws: usize, truth: Truth) -> Result<Coverage> {
    let (mut rates, mut bands, mut readings, mut reversed, mut widths) =
        (0_usize, 0_usize, 0_usize, 0_usize, 0.0);
    for _ in 0..screws {
        let (rate, band) = draw(dice, truth);
        let resolution = [0.5, 1.0, 2.0][usize::try_from(dice.below(3))?];
        let moves = 1 + dice.below(6);
        let mut screw: Option<Screw> = None;
        let mut made = Vec::new();
        for _ in 0..moves {
            let turns = turns(dice);
            // Whichever way the first move goes, its play is taken up.
            let taken_up = if turns > 0.0 { 1.0 } else { 0.0 };
            let screw = screw.get_or_insert_with(|| {
                Screw::new(rate, band, resolution, between(dice, 40.0, 80.0), taken_up)
            });
            let read = |screw: &Screw| Read::of(screw.read(), PressureDifference::psi(resolution));
            let before = read(screw);
            screw.turn(turns);
            made.push(Move {
                turns: Turns::of(turns),
                seen: Some(Seen {
                    before,
                    after: read(screw),
                }),
            });
        }
        let estimate = learn(&History {
            printed: Rate::psi_per_turn(PRINTED),
            clockwise: ClockwiseEffect::Raises,
            start: AtStart::TakenUp,
            moves: &made,
            now: None,
        })?;
        let [low, high] = estimate.interval().map(Rate::in_psi_per_turn);
        rates += usize::from((low..=high).contains(&rate));
        widths += (high - low) / 2.0 / PRINTED;
        if let Some(found) = estimate.dead_band() {
            reversed += 1;
            bands += usize::from((found.low.in_turns()..=found.high.in_turns()).contains(&band));
        }
        let next = turns(dice);
        let noise = reading_noise(PressureDifference::psi(resolution));
        if let (Some(expected), Some(screw)) = (estimate.expected(Turns::of(next), noise), screw.as_mut()) {
            screw.turn(next);
            let read = screw.read();
            readings += usize::from(expected.low <= read && read <= expected.high);
        }
    }
    let share = |of: usize, all: usize| of as f64 / all.max(1) as f64;
    Ok(Coverage {
        screws,
        rate: share(rates, screws),
        dead_band: share(bands, reversed),
        next_reading: share(readings, screws),
        binomial_sd: (0.95 * 0.05 / screws as f64).sqrt(),
        mean_half_width: widths / screws as f64,
    })
}

/// A sixteenth to half a turn, either way.
#[expect(clippy::cast_precision_loss, reason = "at most eight")]
fn turns(dice: &mut Dice) -> f64 {
    let size = (1 + dice.below(8)) as f64 * STEP;
    if dice.below(2) == 0 { -size } else { size }
}

/// A rate and a dead band.
fn draw(dice: &mut Dice, truth: Truth) -> (f64, f64) {
    let even_band = |dice: &mut Dice| between(dice, 0.0, 0.15);
    match truth {
        Truth::AsBelieved => {
            let rate = PRINTED * (1.0 + RATE_SPREAD * normal(dice));
            // Density falling in a straight line to nothing at the end, turned around.
            let band = DEAD_BAND_MOST * (1.0 - (1.0 - between(dice, 0.0, 1.0)).sqrt());
            (rate, band)
        }
        Truth::Evenly => (PRINTED * between(dice, 0.6, 1.4), even_band(dice)),
        Truth::Always(times) => (PRINTED * times, even_band(dice)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1,000 screws by fixed throws. Chance alone moves a share of 0.95 by 0.0069 (one standard deviation), so
    /// that 0.93 to 0.97 is 2.9 of those either way.
    #[test]
    fn the_95_percent_interval_holds_the_rate_in_93_to_97_of_100_screws() {
        let found = coverage(&mut Dice::of(20_240_229), 1_000, Truth::AsBelieved).unwrap();
        assert!((0.93..=0.97).contains(&found.rate), "{found:?}");
        assert!(found.binomial_sd < 0.007);
        // What it says is worth saying: beforehand the half width is 39 %.
        assert!(found.mean_half_width < 0.2, "{found:?}");
    }
}
