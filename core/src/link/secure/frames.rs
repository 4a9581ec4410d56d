//! Frames on a stream of bytes: four bytes of length, most significant first, and as many bytes.

use crate::link::FRAME_CAP;
use std::io;
use thiserror::Error;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio_util::bytes::{Buf, BufMut, BytesMut};
use tokio_util::codec::{Decoder, Encoder, Framed};

/// Bytes of the length.
const LENGTH: usize = 4;

/// Why no frame can be had any more.
#[derive(Debug, Error)]
pub enum FrameError {
    /// The connection failed.
    #[error(transparent)]
    Io(#[from] io::Error),
    /// A frame is announced, or was to be sent, that is longer than the cap.
    #[error("a frame of {0} bytes is over the cap")]
    TooLong(usize),
}

impl FrameError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Io(_) => "lost",
            Self::TooLong(_) => "too_long",
        }
    }
}

/// Frames up to a cap. A longer one is refused when its length is read, before room is made for it.
#[derive(Clone, Copy, Debug)]
pub struct Frames {
    cap: usize,
}

impl Default for Frames {
    /// The link's own cap.
    fn default() -> Self {
        Self { cap: FRAME_CAP }
    }
}

impl Frames {
    /// Frames of at most this many bytes.
    pub fn up_to(cap: usize) -> Self {
        Self { cap }
    }

    /// A stream of bytes as a carriage of frames for [`crate::link::run`].
    pub fn over<S: AsyncRead + AsyncWrite>(self, stream: S) -> Framed<S, Self> {
        Framed::new(stream, self)
    }
}

impl Decoder for Frames {
    type Item = Vec<u8>;
    type Error = FrameError;

    fn decode(&mut self, src: &mut BytesMut) -> Result<Option<Vec<u8>>, FrameError> {
        let Some(length) = src.first_chunk::<LENGTH>() else {
            return Ok(None);
        };
        let length = usize::try_from(u32::from_be_bytes(*length)).unwrap_or(usize::MAX);
        if length > self.cap {
            return Err(FrameError::TooLong(length));
        }
        let whole = LENGTH + length;
        if src.len() < whole {
            src.reserve(whole - src.len());
            return Ok(None);
        }
        src.advance(LENGTH);
        Ok(Some(src.split_to(length).to_vec()))
    }
}

impl Encoder<Vec<u8>> for Frames {
    type Error = FrameError;

    fn encode(&mut self, frame: Vec<u8>, dst: &mut BytesMut) -> Result<(), FrameError> {
        let length = u32::try_from(frame.len())
            .ok()
            .filter(|_| frame.len() <= self.cap)
            .ok_or(FrameError::TooLong(frame.len()))?;
        dst.reserve(LENGTH + frame.len());
        dst.put_u32(length);
        dst.put_slice(&frame);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use futures_util::{SinkExt, StreamExt};
    use tokio::io::AsyncWriteExt;

    #[tokio::test]
    async fn what_goes_in_comes_out_frame_by_frame_however_it_is_cut() {
        let (near, mut far) = tokio::io::duplex(7);
        let frames = [vec![], vec![1], vec![2; 300], vec![3; FRAME_CAP]];
        let mut bytes = BytesMut::new();
        for frame in &frames {
            Frames::default().encode(frame.clone(), &mut bytes).unwrap();
        }
        let writing = tokio::spawn(async move {
            far.write_all(&bytes).await.unwrap();
        });
        let mut carriage = Frames::default().over(near);
        for frame in frames {
            assert_eq!(carriage.next().await.unwrap().unwrap(), frame);
        }
        writing.await.unwrap();
        assert!(carriage.next().await.is_none());
    }

    #[test]
    fn a_frame_over_the_cap_is_refused_by_its_length_alone() {
        let mut announced = BytesMut::from(u32::MAX.to_be_bytes().as_slice());
        let refused = Frames::default().decode(&mut announced).unwrap_err();
        assert_eq!(refused.code(), "too_long");
        assert!(announced.capacity() < FRAME_CAP, "no room was made for it");
        let mut one_more = BytesMut::from([0, 0, 0, 9].as_slice());
        assert_eq!(
            Frames::up_to(8).decode(&mut one_more).unwrap_err().code(),
            "too_long"
        );
    }

    #[tokio::test]
    async fn this_side_does_not_send_a_frame_over_the_cap() {
        let (near, _far) = tokio::io::duplex(64);
        let refused = Frames::up_to(8).over(near).send(vec![0; 9]).await.unwrap_err();
        assert_eq!(refused.code(), "too_long");
    }

    #[tokio::test]
    async fn a_frame_that_is_cut_off_is_an_error_and_not_an_end() {
        let (near, mut far) = tokio::io::duplex(64);
        far.write_all(&[0, 0, 0, 9, 1, 2]).await.unwrap();
        drop(far);
        assert_eq!(
            Frames::default()
                .over(near)
                .next()
                .await
                .unwrap()
                .unwrap_err()
                .code(),
            "lost"
        );
    }
}
