//! A table as CSV (RFC 4180) that a sheet program opens as it is meant.
//!
//! - UTF-8 with a byte order mark: without one, common sheet programs take the letters for those of another table.
//! - Commas, a decimal point, lines ended by CR LF, a header.
//! - A cell that a sheet program would take for a formula, a date or a number, and is none, begins with an apostrophe:
//!   `-1/4` (turns) would be read as a date, a note that begins with `=` would be computed. Common practice, no source.
//! - `As read` has the digits as they were typed; `Number` has what they are worth, for charts.

use super::lines::Line;
use super::{Language, lines};
use crate::quantity::Figure;
use crate::record::content::Document;

/// The byte order mark.
const MARK: char = '\u{feff}';

/// The columns, English and Spanish.
const COLUMNS: [[&str; 2]; 20] = [
    ["Job", "Trabajo"],
    ["Revision", "Revisión"],
    ["No.", "N.º"],
    ["Time", "Hora"],
    ["By", "Por"],
    ["Keyed by", "Tecleado por"],
    ["Valve or chamber", "Válvula o cámara"],
    ["Kind", "Clase"],
    ["What", "Qué"],
    ["As read", "Como se leyó"],
    ["Unit", "Unidad"],
    ["Number", "Número"],
    ["Gauge", "Manómetro"],
    ["Standard uncertainty", "Incertidumbre típica"],
    ["Purpose", "Propósito"],
    ["Water", "Agua"],
    ["Turns in all", "Vueltas en total"],
    ["Words", "Palabras"],
    ["State", "Estado"],
    ["Entry", "Anotación"],
];

/// A record as CSV, a line an entry.
pub fn csv(document: &Document, language: Language) -> String {
    let column = match language {
        Language::English => 0,
        Language::Spanish => 1,
    };
    let mut text = String::from(MARK);
    row(&mut text, COLUMNS.iter().map(|names| words(names[column])));
    for line in lines(document) {
        row(&mut text, cells(document, &line, language));
    }
    text
}

fn cells(document: &Document, line: &Line, language: Language) -> impl Iterator<Item = String> {
    let pick = |text| words(language.pick(text));
    let figure = |figure: &Option<Figure>| figure.as_ref().map(number).unwrap_or_default();
    [
        words(&document.job.opening.number),
        document.job.revision.to_string(),
        line.number.to_string(),
        words(&line.at),
        words(&line.by),
        words(&line.keyed_by),
        words(&line.asset),
        pick(&line.kind_words),
        pick(&line.what),
        line.figure.as_ref().map(as_read).unwrap_or_default(),
        line.figure
            .as_ref()
            .map(|figure| words(figure.unit.symbol()))
            .unwrap_or_default(),
        figure(&line.figure),
        words(&line.gauge),
        figure(&line.uncertainty),
        pick(&line.purpose),
        pick(&line.water),
        figure(&line.total),
        pick(&line.says),
        pick(&line.state),
        words(&line.entry.to_string()),
    ]
    .into_iter()
}

/// The digits as they were typed, where a sheet program keeps them for a number; else as words.
fn as_read(figure: &Figure) -> String {
    if is_decimal(&figure.digits) {
        figure.digits.clone()
    } else {
        words(&figure.digits)
    }
}

/// What a figure is worth. Empty where its digits make no sense.
fn number(figure: &Figure) -> String {
    figure.value().map(|value| value.to_string()).unwrap_or_default()
}

/// A plain decimal number.
fn is_decimal(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, decimals) = digits.split_once('.').unwrap_or((digits, "0"));
    let all_digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    all_digits(whole) && all_digits(decimals)
}

/// A cell of words: one that a sheet program would take for something else begins with an apostrophe.
fn words(text: &str) -> String {
    let starts = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    let number_like = text.starts_with(|letter: char| letter.is_ascii_digit())
        && text
            .chars()
            .all(|letter| letter.is_ascii_digit() || " /-.:,eE+".contains(letter));
    if starts || number_like {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

fn row(text: &mut String, cells: impl Iterator<Item = String>) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            text.push(',');
        }
        let quoted = cell.contains([',', '"', '\r', '\n']) || cell.starts_with(' ') || cell.ends_with(' ');
        if quoted {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(&cell);
        }
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Unit;

    fn written(cells: &[&str]) -> String {
        let mut text = String::new();
        row(&mut text, cells.iter().map(|cell| words(cell)));
        text
    }

    /// RFC 4180, section 2, rules 6 and 7.
    #[test]
    fn commas_quotes_and_line_breaks_are_quoted_as_rfc_4180_has_it() {
        assert_eq!(
            written(&["aaa", "b\r\nbb", "c,cc", "d\"dd"]),
            "aaa,\"b\r\nbb\",\"c,cc\",\"d\"\"dd\"\r\n"
        );
    }

    #[test]
    fn no_cell_of_words_begins_like_a_formula() {
        for formula in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "＝1"] {
            assert_eq!(words(formula), format!("'{formula}"));
        }
    }

    #[test]
    fn a_serial_or_a_fraction_is_no_date_and_no_number() {
        for text in ["3-12", "1/4", "1 1/8", "007", "12E3", "2026-05-04"] {
            assert_eq!(words(text), format!("'{text}"));
        }
        for text in ["G-117", "2026-05-04T09:12:03+02:00", "psi", ""] {
            assert_eq!(words(text), text);
        }
    }

    #[test]
    fn digits_stay_as_they_were_typed_and_the_number_is_beside_them() {
        let figure = |digits, unit| Figure::new(digits, unit).unwrap();
        assert_eq!(as_read(&figure("60.0", Unit::Psi)), "60.0");
        assert_eq!(as_read(&figure("-0.5", Unit::Psi)), "-0.5");
        let turn = figure("-1 1/8", Unit::Turn);
        assert_eq!(
            (as_read(&turn), number(&turn)),
            ("'-1 1/8".to_owned(), "-1.125".to_owned())
        );
    }
}
