//! Deflate at a middling level: nearly as small as the best, several times as fast.

use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Dictionary, Object, Stream};

use crate::SheetError;

/// Deflates one stream after the other; what it works in (some 300 kB) is made once.
pub(crate) struct Deflater(Compress);

impl Deflater {
    /// One at level 6.
    pub(crate) fn new() -> Self {
        Self(Compress::new(Compression::new(6), true))
    }

    /// One at level 2, for what repeats itself all over: it becomes small whatever is done, and looking for the very
    /// longest repetition takes three times as long.
    pub(crate) fn quick() -> Self {
        Self(Compress::new(Compression::new(2), true))
    }

    /// zlib stream of some bytes (RFC 1950), as the filter `FlateDecode` wants it.
    ///
    /// # Errors
    /// [`SheetError::Write`], which compressing into memory does not give.
    pub(crate) fn deflate(&mut self, bytes: &[u8]) -> Result<Vec<u8>, SheetError> {
        self.0.reset();
        let mut deflated = Vec::with_capacity(bytes.len() / 2 + 64);
        loop {
            let read = usize::try_from(self.0.total_in()).unwrap_or(usize::MAX);
            let rest = bytes.get(read..).unwrap_or_default();
            let status = self.0.compress_vec(rest, &mut deflated, FlushCompress::Finish);
            match status.map_err(|error| SheetError::Write(error.to_string()))? {
                Status::StreamEnd => return Ok(deflated),
                Status::Ok | Status::BufError => deflated.reserve(deflated.len() / 2 + 64),
            }
        }
    }

    /// A stream object of some bytes, deflated.
    ///
    /// # Errors
    /// As [`Self::deflate`].
    pub(crate) fn stream(&mut self, mut dictionary: Dictionary, bytes: &[u8]) -> Result<Stream, SheetError> {
        dictionary.set("Filter", Object::Name(b"FlateDecode".to_vec()));
        Ok(Stream::new(dictionary, self.deflate(bytes)?).with_compression(false))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_stream_after_the_other_comes_back_as_it_was() {
        let mut deflater = Deflater::new();
        let mut state = 1_u32;
        let mut noise = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 24) as u8
        };
        let noise: Vec<u8> = (0..100_000).map(|_| noise()).collect();
        for bytes in [&b""[..], b"a", &noise, &[7; 300_000], &noise[..1_000]] {
            let stream = deflater.stream(Dictionary::new(), bytes).unwrap();
            assert!(stream.decompressed_content().unwrap() == bytes, "{} bytes", bytes.len());
            assert_eq!(deflater.deflate(bytes).unwrap(), stream.content, "nothing stays from before");
        }
    }
}
