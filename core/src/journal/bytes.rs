//! Reading Automerge's storage format far enough to know how much it holds.
//!
//! The format is published: <https://automerge.org/automerge-binary-format-spec/>.

use super::Refusal;

/// A place in a run of bytes. Every read checks that the bytes are there.
#[derive(Clone, Copy)]
pub(super) struct Bytes<'a>(pub(super) &'a [u8]);

impl<'a> Bytes<'a> {
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn take(&mut self, count: u64) -> Result<&'a [u8], Refusal> {
        let count = usize::try_from(count).map_err(|_| ends_early())?;
        let (head, tail) = self.0.split_at_checked(count).ok_or_else(ends_early)?;
        self.0 = tail;
        Ok(head)
    }

    pub(super) fn byte(&mut self) -> Result<u8, Refusal> {
        let (&head, tail) = self.0.split_first().ok_or_else(ends_early)?;
        self.0 = tail;
        Ok(head)
    }

    /// An unsigned LEB128 number.
    pub(super) fn unsigned(&mut self) -> Result<u64, Refusal> {
        let mut value = 0_u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            if shift == 63 && bits > 1 {
                return Err(no_number());
            }
            value |= bits << shift;
            if byte & 0x80 == 0 {
                return Ok(value);
            }
        }
        Err(no_number())
    }

    /// A signed LEB128 number.
    pub(super) fn signed(&mut self) -> Result<i64, Refusal> {
        let mut value = 0_i64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = i64::from(byte & 0x7f);
            if shift == 63 && bits != 0 && bits != 0x7f {
                return Err(no_number());
            }
            value |= bits << shift;
            if byte & 0x80 == 0 {
                if shift < 57 && byte & 0x40 != 0 {
                    value |= -1 << (shift + 7);
                }
                return Ok(value);
            }
        }
        Err(no_number())
    }

    /// Bytes behind their length.
    pub(super) fn prefixed(&mut self) -> Result<&'a [u8], Refusal> {
        let count = self.unsigned()?;
        self.take(count)
    }
}

fn ends_early() -> Refusal {
    Refusal::unreadable("the bytes end early")
}

fn no_number() -> Refusal {
    Refusal::unreadable("a number is too long")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn unsigned(mut value: u64) -> Vec<u8> {
        let mut out = Vec::new();
        loop {
            let byte = u8::try_from(value & 0x7f).unwrap();
            value >>= 7;
            if value == 0 {
                out.push(byte);
                return out;
            }
            out.push(byte | 0x80);
        }
    }

    fn signed(mut value: i64) -> Vec<u8> {
        let mut out = Vec::new();
        loop {
            let byte = u8::try_from(value & 0x7f).unwrap();
            value >>= 7;
            if (value == 0 && byte & 0x40 == 0) || (value == -1 && byte & 0x40 != 0) {
                out.push(byte);
                return out;
            }
            out.push(byte | 0x80);
        }
    }

    proptest! {
        #[test]
        fn numbers_read_as_they_were_written(u: u64, i: i64, small in -70_i64..70) {
            prop_assert_eq!(Bytes(&unsigned(u)).unsigned(), Ok(u));
            prop_assert_eq!(Bytes(&signed(i)).signed(), Ok(i));
            prop_assert_eq!(Bytes(&signed(small)).signed(), Ok(small));
        }
    }

    #[test]
    fn a_number_that_never_ends_is_refused() {
        assert_eq!(Bytes(&[0xff; 20]).unsigned(), Err(no_number()));
        assert_eq!(Bytes(&[0xff; 20]).signed(), Err(no_number()));
        assert_eq!(Bytes(&[0xff; 3]).unsigned(), Err(ends_early()));
    }
}
