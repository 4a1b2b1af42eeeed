//! Deflate at a middling level: nearly as small as the best, several times as fast.

use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use crate::SheetError;

/// zlib stream of some bytes (RFC 1950), as the filter `FlateDecode` wants it.
///
/// # Errors
/// [`SheetError::Write`], which writing into memory does not give.
pub(crate) fn deflate(bytes: &[u8]) -> Result<Vec<u8>, SheetError> {
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(bytes.len() / 2), Compression::new(6));
    encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map_err(|error| SheetError::Write(error.to_string()))
}
