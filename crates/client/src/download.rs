//! What is behind a link: taken whole, or written while it is received.

use std::path::{Path, PathBuf};
use std::time::Duration;

use reqwest::Response;
use reqwest::header::{ETAG, HeaderMap};
use sha2::{Digest, Sha256};
use tokio::fs::{self, File};
use tokio::io::{AsyncWrite, AsyncWriteExt};
use uuid::Uuid;

use crate::call::{Call, LONGEST_TRANSFER, PATIENCE};
use crate::retry::{Again, Attempt, Failure, persist};
use crate::{Client, ClientError};

/// The longest line of what comes in lines, in bytes.
const LONGEST_LINE: usize = 16 << 20;

impl Client {
    /// The bytes behind a link of a resource (evaluation, sheet, report).
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn fetch(&self, link: &str) -> Result<Vec<u8>, ClientError> {
        let answer = Call::get(self, link).answer().await?;
        let mut check = Check::of(&answer.headers);
        check.take(&answer.body);
        check.end()?;
        Ok(answer.body)
    }

    /// Writes what is behind a link into a file, which is there once all of it is and not earlier; one that was there before
    /// is replaced. Where the service names the SHA-256 of it as its entity tag, that is checked. Gives the count of bytes.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn fetch_file(&self, link: &str, path: &Path) -> Result<u64, ClientError> {
        persist(self.retries, &mut ToFile { call: Call::get(self, link), path }).await
    }

    /// Writes what is behind a link while it is received; it is not begun anew when it breaks off. Gives the count of bytes.
    ///
    /// # Errors
    /// [`ClientError`]; part of it may have been written.
    pub async fn fetch_to(
        &self,
        link: &str,
        out: &mut (dyn AsyncWrite + Send + Unpin),
    ) -> Result<u64, ClientError> {
        let response = self.opened(link).await?;
        received(response, out, "output").await.map_err(|failure| failure.error)
    }

    /// Tells each line behind a link, without its end, while it is received.
    pub(crate) async fn each_line(
        &self,
        link: &str,
        mut tell: impl FnMut(&[u8]) -> Result<(), ClientError> + Send,
    ) -> Result<(), ClientError> {
        let mut response = self.opened(link).await?;
        let mut rest = Vec::new();
        while let Some(piece) = next(&mut response).await.map_err(|failure| failure.error)? {
            let mut lines = piece.split_inclusive(|byte| *byte == b'\n');
            for part in &mut lines {
                rest.extend_from_slice(part);
                if rest.len() > LONGEST_LINE {
                    return Err(ClientError::Unexpected(format!("a line of more than {LONGEST_LINE} bytes")));
                }
                if rest.pop_if(|last| *last == b'\n').is_some() {
                    if !rest.trim_ascii().is_empty() {
                        tell(&rest)?;
                    }
                    rest.clear();
                }
            }
        }
        if rest.trim_ascii().is_empty() { Ok(()) } else { tell(&rest) }
    }

    async fn opened(&self, link: &str) -> Result<Response, ClientError> {
        persist(self.retries, &mut Opened(Call::get(self, link))).await
    }
}

/// The head of an answer whose body follows.
struct Opened<'a>(Call<'a>);

impl Attempt for Opened<'_> {
    type Output = Response;

    async fn make(&mut self, left: Duration) -> Result<Response, Failure> {
        self.0.head(left, LONGEST_TRANSFER).await
    }
}

/// A download into a file, begun anew with each try.
struct ToFile<'a> {
    call: Call<'a>,
    path: &'a Path,
}

impl Attempt for ToFile<'_> {
    type Output = u64;

    async fn make(&mut self, left: Duration) -> Result<u64, Failure> {
        let response = self.call.head(left, LONGEST_TRANSFER).await?;
        let part = Part::beside(self.path)?;
        let named = |cause| ClientError::file(part.0.display().to_string(), cause);
        let mut file = File::create_new(&part.0).await.map_err(named)?;
        let count = received(response, &mut file, &part.0.display().to_string()).await?;
        file.sync_all().await.map_err(named)?;
        let renamed = fs::rename(&part.0, self.path).await;
        renamed.map_err(|cause| ClientError::file(self.path.display().to_string(), cause))?;
        Ok(count)
    }
}

/// What is not all there yet, beside where it will be; gone when it is dropped.
struct Part(PathBuf);

impl Part {
    fn beside(path: &Path) -> Result<Self, ClientError> {
        let name = path.file_name().ok_or(ClientError::Usage("a file to write needs a name"))?;
        Ok(Self(path.with_file_name(format!(".{}.{}.part", name.to_string_lossy(), Uuid::now_v7()))))
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        // After it was renamed it is not there, as it should be.
        let _ = std::fs::remove_file(&self.0);
    }
}

/// Writes the body of an answer.
async fn received(
    mut response: Response,
    out: &mut (dyn AsyncWrite + Send + Unpin),
    what: &str,
) -> Result<u64, Failure> {
    let mut check = Check::of(response.headers());
    let mut count = 0;
    while let Some(piece) = next(&mut response).await? {
        check.take(&piece);
        count += piece.len() as u64;
        out.write_all(&piece).await.map_err(|cause| ClientError::file(what, cause))?;
    }
    out.flush().await.map_err(|cause| ClientError::file(what, cause))?;
    check.end().map_err(|error| Failure { error, again: Again::Yes })?;
    Ok(count)
}

/// The next piece of a body; who sends nothing for too long is as good as gone.
async fn next(response: &mut Response) -> Result<Option<impl std::ops::Deref<Target = [u8]>>, Failure> {
    let stalled = || ClientError::Unexpected("nothing came for too long".to_owned());
    let piece = tokio::time::timeout(PATIENCE, response.chunk()).await;
    Ok(piece.map_err(|_| Failure { error: stalled(), again: Again::Yes })??)
}

/// Holds what is received against its entity tag.
struct Check {
    expected: Option<String>,
    sum: Sha256,
}

impl Check {
    /// An entity tag is a digest when it looks like one: 64 hex digits, as the service gives to what it keeps.
    fn of(headers: &HeaderMap) -> Self {
        let tag = headers.get(ETAG).and_then(|value| value.to_str().ok());
        let tag = tag.and_then(|tag| tag.strip_prefix('"')?.strip_suffix('"'));
        let is_digest = |tag: &&str| tag.len() == 64 && tag.bytes().all(|byte| byte.is_ascii_hexdigit());
        Self { expected: tag.filter(is_digest).map(str::to_ascii_lowercase), sum: Sha256::new() }
    }

    fn take(&mut self, piece: &[u8]) {
        if self.expected.is_some() {
            self.sum.update(piece);
        }
    }

    fn end(self) -> Result<(), ClientError> {
        let Some(expected) = self.expected else { return Ok(()) };
        let found: String = self.sum.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
        if found == expected {
            Ok(())
        } else {
            Err(ClientError::Unexpected("it was damaged on its way".to_owned()))
        }
    }
}
