//! The digest as a code that a telephone can read, drawn by the template square by square.

use qrcode::{Color, EcLevel, QrCode};
use serde::Serialize;

/// The dark squares of a code, row by row, in runs: `[row, first column, how many]`.
#[derive(Serialize)]
pub(super) struct Squares {
    /// Squares a side, without the quiet border.
    pub side: usize,
    /// The dark runs.
    pub runs: Vec<[usize; 3]>,
}

/// The code of a text. None for a text that no code holds (a digest always fits).
pub(super) fn squares(text: &str) -> Option<Squares> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let side = code.width();
    let colors = code.to_colors();
    let mut runs: Vec<[usize; 3]> = Vec::new();
    for (at, color) in colors.iter().enumerate() {
        if *color == Color::Light {
            continue;
        }
        let (row, column) = (at / side, at % side);
        match runs.last_mut() {
            Some([last, from, many]) if *last == row && *from + *many == column => *many += 1,
            _ => runs.push([row, column, 1]),
        }
    }
    Some(Squares { side, runs })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_its_three_corner_marks() {
        let squares = squares("turnwise:0123456789abcdef").unwrap();
        let last = squares.side - 7;
        for (row, column) in [(0, 0), (0, last), (squares.side - 1, 0)] {
            assert!(
                squares.runs.contains(&[row, column, 7]),
                "no mark at {row}, {column}"
            );
        }
        let dark: usize = squares.runs.iter().map(|run| run[2]).sum();
        assert!(dark * 3 > squares.side * squares.side && dark * 3 < 2 * squares.side * squares.side);
    }
}
