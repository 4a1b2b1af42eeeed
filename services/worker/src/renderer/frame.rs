//! Frames on a pipe: four bytes of length, the most significant first, then as many bytes.

use std::io;

use tokio::io::{AsyncBufRead, AsyncBufReadExt, AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};

/// Longest frame: far above any document and any file the limits of the api let come about. A greater length is
/// no length.
pub(super) const LONGEST: u32 = 1 << 30;

/// Writes one frame; it may wait in a buffer until the writer is flushed.
///
/// # Errors
/// When the other side is gone, or the bytes are more than a frame may hold.
pub(super) async fn write(to: &mut (impl AsyncWrite + Unpin), bytes: &[u8]) -> io::Result<()> {
    let length = u32::try_from(bytes.len()).ok().filter(|length| *length <= LONGEST).ok_or_else(too_long)?;
    to.write_all(&length.to_be_bytes()).await?;
    to.write_all(bytes).await
}

/// Reads one frame. Room is made for what comes, never for what was only announced.
///
/// # Errors
/// When it is cut off or announces more than a frame may hold.
pub(super) async fn read(from: &mut (impl AsyncRead + Unpin)) -> io::Result<Vec<u8>> {
    let length = from.read_u32().await?;
    if length > LONGEST {
        return Err(too_long());
    }
    let mut bytes = Vec::new();
    from.take(u64::from(length)).read_to_end(&mut bytes).await?;
    if bytes.len() < length as usize {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    Ok(bytes)
}

/// Waits until a frame begins or the other side has closed the pipe; true when it has.
///
/// # Errors
/// When the pipe cannot be read.
pub(super) async fn is_at_end(from: &mut (impl AsyncBufRead + Unpin)) -> io::Result<bool> {
    Ok(from.fill_buf().await?.is_empty())
}

fn too_long() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, "a frame that is too long")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn frames_come_out_as_they_went_in() -> io::Result<()> {
        let frames = [&b"one"[..], b"", &[0xFF; 70_000], b"\0\0\0\x05"];
        let mut pipe = Vec::new();
        for frame in frames {
            write(&mut pipe, frame).await?;
        }
        let mut rest = &pipe[..];
        for frame in frames {
            assert!(!is_at_end(&mut rest).await?);
            assert_eq!(read(&mut rest).await?, frame);
        }
        assert!(is_at_end(&mut rest).await?);
        Ok(())
    }

    #[tokio::test]
    async fn a_frame_that_is_cut_off_is_an_error_wherever_it_is_cut() -> io::Result<()> {
        let mut whole = Vec::new();
        write(&mut whole, b"document").await?;
        for length in 0..whole.len() {
            let error = read(&mut &whole[..length]).await.unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::UnexpectedEof, "{length} bytes");
        }
        Ok(())
    }

    #[tokio::test]
    async fn a_length_no_frame_has_is_an_error_before_anything_is_read() {
        for length in [LONGEST + 1, u32::MAX] {
            let bytes = [&length.to_be_bytes()[..], b"rest"].concat();
            let error = read(&mut &bytes[..]).await.unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::InvalidData);
        }
        // A gigabyte is announced and four bytes come.
        let bytes = [&LONGEST.to_be_bytes()[..], b"rest"].concat();
        assert_eq!(read(&mut &bytes[..]).await.unwrap_err().kind(), io::ErrorKind::UnexpectedEof);
    }
}
