//! From bytes to characters: what loggers and spreadsheets write.

use super::{LoggerError, MAX_BYTES};
use std::borrow::Cow;

const UTF8_MARK: &[u8] = &[0xEF, 0xBB, 0xBF];

/// The text of a file: UTF-8 with or without its mark, UTF-16 with its mark, else Latin-1, in which a degree sign is one
/// byte.
///
/// # Errors
/// [`LoggerError::Empty`], [`LoggerError::TooLarge`].
pub fn text(bytes: &[u8]) -> Result<Cow<'_, str>, LoggerError> {
    if bytes.len() > MAX_BYTES {
        return Err(LoggerError::TooLarge);
    }
    let text = match bytes {
        [0xFF, 0xFE, rest @ ..] => Cow::Owned(wide(rest, u16::from_le_bytes)),
        [0xFE, 0xFF, rest @ ..] => Cow::Owned(wide(rest, u16::from_be_bytes)),
        _ => {
            let bytes = bytes.strip_prefix(UTF8_MARK).unwrap_or(bytes);
            std::str::from_utf8(bytes).map_or_else(
                |_| Cow::Owned(bytes.iter().copied().map(char::from).collect()),
                Cow::Borrowed,
            )
        }
    };
    if text.trim().is_empty() {
        return Err(LoggerError::Empty);
    }
    Ok(text)
}

fn wide(bytes: &[u8], join: fn([u8; 2]) -> u16) -> String {
    let units = bytes.chunks_exact(2).map(|pair| join([pair[0], pair[1]]));
    char::decode_utf16(units)
        .map(|read| read.unwrap_or(char::REPLACEMENT_CHARACTER))
        .collect()
}
