//! Lines from a source that may send anything.

use std::io::{self, BufRead, ErrorKind};

/// The longest line that is served, in bytes. A longer one is answered by an error and read past without
/// being kept: an hour of 10 Hz samples in one request has room, and a runaway writer fills no memory.
pub const LONGEST: usize = 4 * 1024 * 1024;

/// One line, without its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line<'a> {
    /// Its bytes.
    Bytes(&'a [u8]),
    /// It is longer than [`LONGEST`].
    TooLong,
}

/// Reads line by line, keeping one line at a time.
pub struct Lines<R> {
    input: R,
    line: Vec<u8>,
}

impl<R: BufRead> Lines<R> {
    /// Lines of `input`.
    pub fn new(input: R) -> Self {
        Self {
            input,
            line: Vec::new(),
        }
    }

    /// The next line, or none at the end of input. The last line needs no line feed; a carriage return before
    /// the feed is left off.
    ///
    /// # Errors
    /// What the input gives.
    pub fn next(&mut self) -> io::Result<Option<Line<'_>>> {
        self.line.clear();
        let mut too_long = false;
        let mut any = false;
        loop {
            let chunk = match self.input.fill_buf() {
                Ok(chunk) => chunk,
                Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            };
            if chunk.is_empty() && !any {
                return Ok(None);
            }
            any = true;
            let end = chunk.iter().position(|&b| b == b'\n');
            let part = &chunk[..end.unwrap_or(chunk.len())];
            too_long |= self.line.len() + part.len() > LONGEST;
            if !too_long {
                self.line.extend_from_slice(part);
            }
            let ended = end.is_some() || chunk.is_empty();
            let read = part.len() + usize::from(end.is_some());
            self.input.consume(read);
            if ended {
                break;
            }
        }
        if too_long {
            // What a huge line took is given back.
            self.line = Vec::new();
            return Ok(Some(Line::TooLong));
        }
        Ok(Some(Line::Bytes(
            self.line.strip_suffix(b"\r").unwrap_or(&self.line),
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::BufReader;

    fn all(input: &[u8], buffer: usize) -> Vec<Option<Vec<u8>>> {
        let mut lines = Lines::new(BufReader::with_capacity(buffer, input));
        let mut seen = Vec::new();
        while let Some(line) = lines.next().unwrap() {
            seen.push(match line {
                Line::Bytes(bytes) => Some(bytes.to_vec()),
                Line::TooLong => None,
            });
        }
        seen
    }

    #[test]
    fn every_line_is_read_however_the_buffer_cuts_it() {
        let expected = [b"one".as_slice(), b"", b"two \r x", b"three"].map(|l| Some(l.to_vec()));
        for buffer in 1..20 {
            assert_eq!(all(b"one\n\ntwo \r x\r\nthree", buffer), expected, "{buffer}");
            assert_eq!(all(b"one\n\ntwo \r x\r\nthree\n", buffer), expected, "{buffer}");
        }
        assert_eq!(all(b"", 8), []);
    }

    #[test]
    fn a_line_over_the_limit_is_read_past_and_the_next_one_stands() {
        let mut input = vec![b'x'; LONGEST];
        input.extend_from_slice(b"\n");
        input.extend(vec![b'x'; LONGEST + 1]);
        input.extend_from_slice(b"\nnext\n");
        let seen = all(&input, 8192);
        assert_eq!(seen[0].as_ref().map(Vec::len), Some(LONGEST));
        assert_eq!(seen[1..], [None, Some(b"next".to_vec())]);
    }
}
