//! How many rows a column holds, and what they come to, without expanding it.
//!
//! A column is a list of runs: 20 bytes can stand for more rows than a machine can hold. The library would
//! expand them before it says a word, so they are counted first.

use super::limits::EXPANDED_LIMIT;
use super::{Refusal, bytes::Bytes};
use std::io::Read as _;

/// What a column is, as the format numbers it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Spec(pub(super) u32);

/// The kinds of column, by the lowest three bits of its spec.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// How many rows of the columns beside it belong to one row.
    Group,
    /// Whole numbers: actors' places, differences, the type and length of a value.
    Number,
    /// True and false in turn.
    Boolean,
    /// Text.
    Text,
    /// The values' bytes.
    Value,
}

impl Spec {
    pub(super) fn kind(self) -> Kind {
        match self.0 & 7 {
            0 => Kind::Group,
            4 => Kind::Boolean,
            5 => Kind::Text,
            7 => Kind::Value,
            _ => Kind::Number,
        }
    }

    pub(super) fn id(self) -> u32 {
        self.0 >> 4
    }

    pub(super) fn is_deflated(self) -> bool {
        self.0 & 8 != 0
    }
}

/// How much a column holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Extent {
    /// Rows.
    pub(super) rows: u64,
    /// Bytes of text that the rows come to.
    pub(super) text: u64,
    /// The sum of a group column's rows.
    pub(super) grouped: u64,
}

/// The columns of one section: what each is, and its bytes as they lie there.
pub(super) fn section<'a>(input: &mut Bytes<'a>) -> Result<Vec<(Spec, &'a [u8])>, Refusal> {
    let count = input.unsigned()?;
    let mut heads = Vec::new();
    for _ in 0..count {
        let spec = u32::try_from(input.unsigned()?).map_err(|_| Refusal::unreadable("no such column"))?;
        heads.push((Spec(spec), input.unsigned()?));
    }
    heads
        .into_iter()
        .map(|(spec, length)| Ok((spec, input.take(length)?)))
        .collect()
}

/// Inflates a deflated column, to [`EXPANDED_LIMIT`] bytes at most.
pub(super) fn inflate(data: &[u8]) -> Result<Vec<u8>, Refusal> {
    let mut out = Vec::new();
    flate2::read::DeflateDecoder::new(data)
        .take(EXPANDED_LIMIT + 1)
        .read_to_end(&mut out)
        .map_err(|_| Refusal::unreadable("a column does not inflate"))?;
    if out.len() as u64 > EXPANDED_LIMIT {
        return Err(too_large());
    }
    Ok(out)
}

/// Counts a column. Sums that no column can hold saturate, so that every limit catches them.
pub(super) fn extent(kind: Kind, data: &[u8]) -> Result<Extent, Refusal> {
    let mut input = Bytes(data);
    let mut extent = Extent::default();
    match kind {
        // Values follow one another and never repeat: they come to what they are.
        Kind::Value => {}
        Kind::Boolean => {
            while !input.is_empty() {
                extent.rows = extent.rows.saturating_add(input.unsigned()?);
            }
        }
        _ => {
            while !input.is_empty() {
                run(kind, &mut input, &mut extent)?;
            }
        }
    }
    Ok(extent)
}

/// One run: a value and how often it comes, a count of values that differ, or a count of rows without one.
fn run(kind: Kind, input: &mut Bytes<'_>, extent: &mut Extent) -> Result<(), Refusal> {
    let count = input.signed()?;
    if count == 0 {
        extent.rows = extent.rows.saturating_add(input.unsigned()?);
        return Ok(());
    }
    let (values, times) = if count > 0 {
        (1, count.unsigned_abs())
    } else {
        (count.unsigned_abs(), 1)
    };
    extent.rows = extent.rows.saturating_add(count.unsigned_abs());
    for _ in 0..values {
        match kind {
            Kind::Text => {
                let length = input.prefixed()?.len() as u64;
                extent.text = extent.text.saturating_add(length.saturating_mul(times));
            }
            Kind::Group => {
                extent.grouped = extent
                    .grouped
                    .saturating_add(input.unsigned()?.saturating_mul(times));
            }
            // Signed and unsigned numbers are equally long.
            _ => {
                input.signed()?;
            }
        }
    }
    Ok(())
}

/// A column that comes to more than a delivery may.
pub(super) fn too_large() -> Refusal {
    Refusal::TooLarge {
        what: "what the delivery expands to",
        limit: EXPANDED_LIMIT,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_counts_as_often_as_it_comes() {
        // 100 times the text `ab`, then two texts that differ, then 5 rows without one.
        let data = [0xe4, 0, 2, b'a', b'b', 0x7e, 1, b'c', 1, b'd', 0, 5];
        assert_eq!(
            extent(Kind::Text, &data),
            Ok(Extent {
                rows: 107,
                text: 202,
                grouped: 0
            })
        );
    }

    #[test]
    fn a_run_of_more_rows_than_a_machine_holds_costs_nothing_to_count() {
        let data = [0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0, 1];
        assert_eq!(extent(Kind::Number, &data).unwrap().rows, i64::MAX.unsigned_abs());
    }

    #[test]
    fn sums_of_runs_never_wrap() {
        let run = [0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0, 1];
        assert_eq!(extent(Kind::Group, &run.repeat(5)).unwrap().rows, u64::MAX);
    }

    #[test]
    fn a_column_that_inflates_past_the_limit_is_refused() {
        use std::io::Write as _;
        let mut deflate = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
        deflate.write_all(&vec![0; 8 * 1024 * 1024]).unwrap();
        let data = deflate.finish().unwrap();
        assert!(data.len() < 16 * 1024);
        assert_eq!(inflate(&data).map(|out| out.len()), Err(too_large()));
    }
}
