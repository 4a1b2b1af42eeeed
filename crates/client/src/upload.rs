//! Bodies that are read while they are sent.

use std::fmt;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::pin::Pin;
use std::str::FromStr;
use std::sync::{Mutex, PoisonError};

use flate2::Compression;
use flate2::write::GzEncoder;
use futures_util::stream::{Stream, try_unfold};
use reqwest::header::{CONTENT_ENCODING, CONTENT_LENGTH, CONTENT_TYPE};
use reqwest::{Body, RequestBuilder};
use tokio::io::{AsyncRead, AsyncReadExt};

use crate::ClientError;

/// How many bytes are read at a time.
const PIECE: usize = 64 * 1024;

type Reader = Pin<Box<dyn AsyncRead + Send>>;

/// How a batch is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BatchFormat {
    /// One request a line, as JSON.
    Ndjson,
    /// An array of requests, as JSON.
    Json,
    /// A table (RFC 4180).
    Csv,
}

impl BatchFormat {
    /// The format of a file by the end of its name.
    ///
    /// ```
    /// use std::path::Path;
    ///
    /// use headproof_client::BatchFormat;
    ///
    /// assert_eq!(BatchFormat::of(Path::new("heads.CSV")), Some(BatchFormat::Csv));
    /// assert_eq!(BatchFormat::of(Path::new("heads.txt")), None);
    /// ```
    #[must_use]
    pub fn of(file: &Path) -> Option<Self> {
        match file.extension()?.to_str()?.to_ascii_lowercase().as_str() {
            "jsonl" => Some(Self::Ndjson),
            word => word.parse().ok(),
        }
    }

    const fn media_type(self) -> &'static str {
        match self {
            Self::Ndjson => "application/x-ndjson",
            Self::Json => "application/json",
            Self::Csv => "text/csv",
        }
    }
}

impl FromStr for BatchFormat {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, Self::Err> {
        match word {
            "ndjson" => Ok(Self::Ndjson),
            "json" => Ok(Self::Json),
            "csv" => Ok(Self::Csv),
            _ => Err("ndjson, json or csv"),
        }
    }
}

/// A batch that is read while it is sent.
#[derive(Debug)]
pub struct Upload {
    source: Source,
    format: BatchFormat,
    compressed: bool,
}

enum Source {
    /// Opened anew for each try.
    File(PathBuf),
    /// There is one try: what was read is gone.
    Reader(Mutex<Option<Reader>>),
}

impl fmt::Debug for Source {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(path) => formatter.debug_tuple("File").field(path).finish(),
            Self::Reader(_) => formatter.write_str("Reader(..)"),
        }
    }
}

impl Upload {
    /// Of a file.
    #[must_use]
    pub fn file(path: impl Into<PathBuf>, format: BatchFormat) -> Self {
        Self { source: Source::File(path.into()), format, compressed: false }
    }

    /// Of whatever can be read once, such as standard input: it is not tried again.
    #[must_use]
    pub fn reader(reader: impl AsyncRead + Send + 'static, format: BatchFormat) -> Self {
        let reader: Reader = Box::pin(reader);
        Self { source: Source::Reader(Mutex::new(Some(reader))), format, compressed: false }
    }

    /// The same, compressed on its way (gzip, RFC 1952).
    #[must_use]
    pub fn compressed(self) -> Self {
        Self { compressed: true, ..self }
    }

    pub(crate) const fn can_be_repeated(&self) -> bool {
        matches!(self.source, Source::File(_))
    }

    /// A request with this body.
    pub(crate) async fn put_into(&self, request: RequestBuilder) -> Result<RequestBuilder, ClientError> {
        let (reader, length) = self.open().await?;
        let request = request.header(CONTENT_TYPE, self.format.media_type());
        Ok(match length {
            _ if self.compressed => {
                let body =
                    Body::wrap_stream(pieces(reader, Some(GzEncoder::new(Vec::new(), Compression::fast()))));
                request.header(CONTENT_ENCODING, "gzip").body(body)
            }
            Some(length) => {
                // No more than was promised, should the file grow meanwhile.
                let body = Body::wrap_stream(pieces(Box::pin(reader.take(length)), None));
                request.header(CONTENT_LENGTH, length).body(body)
            }
            None => request.body(Body::wrap_stream(pieces(reader, None))),
        })
    }

    async fn open(&self) -> Result<(Reader, Option<u64>), ClientError> {
        match &self.source {
            Source::File(path) => {
                let named = |cause| ClientError::file(path.display().to_string(), cause);
                let file = tokio::fs::File::open(path).await.map_err(named)?;
                let about = file.metadata().await.map_err(named)?;
                // A pipe has no length that could be promised.
                Ok((Box::pin(file), about.is_file().then_some(about.len())))
            }
            Source::Reader(reader) => {
                let reader = reader.lock().unwrap_or_else(PoisonError::into_inner).take();
                Ok((reader.ok_or(ClientError::Usage("what was read once cannot be sent again"))?, None))
            }
        }
    }
}

/// What a reader gives, piece by piece.
fn pieces(
    reader: Reader,
    encoder: Option<GzEncoder<Vec<u8>>>,
) -> impl Stream<Item = std::io::Result<Vec<u8>>> {
    try_unfold(Some((reader, encoder)), async |state| {
        let Some((mut reader, mut encoder)) = state else { return Ok(None) };
        loop {
            let mut piece = vec![0; PIECE];
            let length = reader.read(&mut piece).await?;
            piece.truncate(length);
            let Some(mut gzip) = encoder.take() else {
                return Ok((length > 0).then_some((piece, Some((reader, None)))));
            };
            if length == 0 {
                return Ok(Some((gzip.finish()?, None)));
            }
            gzip.write_all(&piece)?;
            let ready = std::mem::take(gzip.get_mut());
            encoder = Some(gzip);
            if !ready.is_empty() {
                return Ok(Some((ready, Some((reader, encoder)))));
            }
        }
    })
}
