//! The file itself in less room: gzip, which anybody can undo without this program.

use super::{LoggerError, MAX_BYTES};
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use std::io::{Read, Write};

/// The largest packed file that is kept.
pub const MAX_PACKED: usize = 32 * 1024 * 1024;

/// Packs a file. The same bytes always make the same packed bytes: no time and no name go in.
///
/// # Errors
/// [`LoggerError::TooLarge`].
pub fn pack(bytes: &[u8]) -> Result<Vec<u8>, LoggerError> {
    if bytes.len() > MAX_BYTES {
        return Err(LoggerError::TooLarge);
    }
    let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
    let packed = encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map_err(|_| LoggerError::Damaged)?;
    if packed.len() > MAX_PACKED {
        return Err(LoggerError::TooLarge);
    }
    Ok(packed)
}

/// Unpacks a file. What came from elsewhere may inflate without limit: it is cut off at [`MAX_BYTES`].
///
/// # Errors
/// [`LoggerError::TooLarge`], [`LoggerError::Damaged`].
pub fn unpack(packed: &[u8]) -> Result<Vec<u8>, LoggerError> {
    if packed.len() > MAX_PACKED {
        return Err(LoggerError::TooLarge);
    }
    let most = u64::try_from(MAX_BYTES).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    GzDecoder::new(packed)
        .take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(|_| LoggerError::Damaged)?;
    if bytes.len() > MAX_BYTES {
        return Err(LoggerError::TooLarge);
    }
    Ok(bytes)
}
