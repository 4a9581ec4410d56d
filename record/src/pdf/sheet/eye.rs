//! How things look on paper: figures with the units asked for beside, names, times, words.

use crate::pdf::world::covers;
use crate::pdf::{Lang, Options, words};
use serde::Serialize;
use std::collections::HashMap;
use turnwise_core::journal::{AssetId, EntryId};
use turnwise_core::procedure::Text;
use turnwise_core::quantity::{Dimension, Figure, Unit};
use turnwise_core::record::content::{Document, Said};

/// The most characters of an unbroken word before a line may break inside it.
const UNBROKEN: usize = 22;

/// A figure as it was read, and in the unit asked for where that is another one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(in crate::pdf) struct Fig {
    pub read: String,
    pub shown: Option<String>,
}

/// What shows a record in one language and set of units.
pub(in crate::pdf) struct Eye<'a> {
    pub options: Options,
    pub document: &'a Document,
    /// Where each entry is, from 1.
    numbers: HashMap<EntryId, usize>,
    /// The offset that most times were told with: those are printed without it.
    pub offset: String,
}

impl<'a> Eye<'a> {
    pub fn new(document: &'a Document, options: Options) -> Self {
        let mut counts: Vec<(&str, usize)> = Vec::new();
        for entry in &document.entries {
            let offset = split_time(&entry.at).2;
            match counts.iter_mut().find(|(known, _)| *known == offset) {
                Some((_, count)) => *count += 1,
                None => counts.push((offset, 1)),
            }
        }
        let offset = counts.iter().max_by_key(|(_, count)| *count);
        Self {
            options,
            document,
            numbers: (1..)
                .zip(&document.entries)
                .map(|(n, entry)| (entry.id, n))
                .collect(),
            offset: offset.map(|(offset, _)| (*offset).to_owned()).unwrap_or_default(),
        }
    }

    /// The words of a code.
    pub fn code(&self, kind: &str, code: &str) -> String {
        words::of(self.options.lang, kind, code)
    }

    /// The words of the page.
    pub fn page(&self, name: &str) -> String {
        words::page(self.options.lang, name)
    }

    /// The words of anything that serialises as a code.
    pub fn coded(&self, kind: &str, value: impl Serialize) -> String {
        match serde_json::to_value(value) {
            Ok(serde_json::Value::String(code)) => self.code(kind, &code),
            _ => String::new(),
        }
    }

    /// Words of a procedure in the language asked for.
    pub fn text(&self, text: &Text) -> String {
        printable(match self.options.lang {
            Lang::En => &text.en,
            Lang::Es => &text.es,
        })
    }

    /// A figure as read, and beside.
    pub fn figure(&self, figure: &Figure) -> Fig {
        let shown = self
            .options
            .units
            .beside(figure.unit)
            .and_then(|unit| figure.shown_in(unit).ok())
            .map(|shown| self.with_unit(&shown));
        Fig {
            read: self.with_unit(figure),
            shown,
        }
    }

    /// A figure in one line: as read, and in brackets beside.
    pub fn line(&self, figure: &Figure) -> String {
        let Fig { read, shown } = self.figure(figure);
        shown.map_or(read.clone(), |shown| format!("{shown} ({read})"))
    }

    /// Digits and unit in words.
    fn with_unit(&self, figure: &Figure) -> String {
        format!(
            "{}\u{a0}{}",
            printable(&figure.digits),
            self.unit(figure.unit).replace(' ', "\u{a0}")
        )
    }

    /// A unit as it is written.
    pub fn unit(&self, unit: Unit) -> String {
        self.code("unit", unit.symbol())
    }

    /// The unit of pressure that a chart is drawn in: the one asked for, else that of the first figure.
    pub fn chart_unit<'f>(&self, figures: impl IntoIterator<Item = &'f Figure>) -> Option<Unit> {
        self.options.units.pressure().or_else(|| {
            figures
                .into_iter()
                .map(|figure| figure.unit)
                .find(|unit| unit.dimension() == Dimension::Pressure)
        })
    }

    /// When, as it was told; with its offset only where that is another one than the rest of the record's.
    pub fn when(&self, at: &str) -> String {
        let (day, time, offset) = split_time(at);
        if time.is_empty() {
            return printable(at);
        }
        let mut text = format!("{day} {}", time.get(..8).unwrap_or(time));
        if offset != self.offset {
            text.push(' ');
            text.push_str(offset);
        }
        printable(&text)
    }

    /// Who, and who typed it.
    pub fn who(&self, said: &Said) -> String {
        let name = printable(&said.name);
        match &said.keyed_by {
            Some(other) => format!("{name}; {} {}", self.page("keyed_by"), printable(other)),
            None => name,
        }
    }

    /// Who and when, in one line.
    pub fn said(&self, said: &Said) -> String {
        format!("{}, {}", self.who(said), self.when(&said.at))
    }

    /// The number of an entry in this record, from 1, as text; empty for one that is not there.
    pub fn number(&self, id: EntryId) -> String {
        self.numbers.get(&id).map(ToString::to_string).unwrap_or_default()
    }

    /// An entry by its number, such as `entry 12`, kept on one line.
    pub fn entry(&self, id: EntryId) -> String {
        format!("{}\u{a0}{}", self.page("entry"), self.number(id))
    }

    /// The numbers of these entries, such as `4, 7`.
    pub fn list(&self, ids: &[EntryId]) -> String {
        let all: Vec<String> = ids
            .iter()
            .map(|id| self.number(*id))
            .filter(|n| !n.is_empty())
            .collect();
        all.join(", ")
    }

    /// The name of a valve or of the station.
    pub fn asset(&self, asset: AssetId) -> String {
        let station = &self.document.station.asset;
        if station.id == asset {
            return printable(&station.name);
        }
        match self.document.valves.iter().find(|valve| valve.id == asset) {
            Some(valve) => printable(&valve.name),
            None => asset.to_string().chars().take(8).collect(),
        }
    }
}

/// Day, time and offset of an RFC 3339 text.
fn split_time(at: &str) -> (&str, &str, &str) {
    let Some((day, rest)) = at.split_once('T') else {
        return (at, "", "");
    };
    let cut = rest.find(['Z', '+', '-']).unwrap_or(rest.len());
    let (time, offset) = rest.split_at(cut);
    (day, time, offset)
}

/// Text in which every character has a shape in the fonts (another stands as its code point, `[U+1F600]`; the
/// record itself keeps it), and every long unbroken word may break.
pub(in crate::pdf) fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut unbroken = 0;
    for letter in text.trim().chars() {
        if letter.is_whitespace() {
            unbroken = 0;
            out.push(if letter == '\u{a0}' || letter == '\n' {
                letter
            } else {
                ' '
            });
            continue;
        }
        if unbroken >= UNBROKEN {
            unbroken = 0;
            out.push('\u{200b}');
        }
        unbroken += 1;
        if !letter.is_control() && covers(letter) {
            out.push(letter);
        } else {
            use std::fmt::Write as _;
            unbroken += 8;
            // Writing to a String cannot fail.
            let _ = write!(out, "[U+{:04X}]", u32::from(letter));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_fonts_cannot_show_stands_as_its_code_point() {
        assert_eq!(printable("Válvula ½ ≥ 3 µm"), "Válvula ½ ≥ 3 µm");
        assert_eq!(printable("ok 👍"), "ok [U+1F44D]");
        assert_eq!(printable("a\u{7}b"), "a[U+0007]b");
    }

    #[test]
    fn a_long_word_may_break_and_keeps_its_letters() {
        let word = "x".repeat(90);
        let shown = printable(&word);
        assert_eq!(shown.replace('\u{200b}', ""), word);
        assert!(shown.split('\u{200b}').all(|part| part.len() <= UNBROKEN));
    }

    #[test]
    fn a_time_is_taken_apart_as_it_was_told() {
        assert_eq!(
            split_time("2026-05-04T09:12:03.25-07:00"),
            ("2026-05-04", "09:12:03.25", "-07:00")
        );
        assert_eq!(
            split_time("2026-05-04T09:12:03Z"),
            ("2026-05-04", "09:12:03", "Z")
        );
        assert_eq!(split_time("yesterday"), ("yesterday", "", ""));
    }
}
