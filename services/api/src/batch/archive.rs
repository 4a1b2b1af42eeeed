//! The sheets of a batch in one ZIP archive, written while it is read: one sheet is in memory at a time.

use std::io::{self, Write};

use actix_web::web::Bytes;
use futures_util::stream::{self, Stream, StreamExt};
use headproof_store::{JobRecord, ShopId, Store};
use tokio::runtime::Handle;
use tokio::sync::mpsc;
use uuid::Uuid;
use zip::write::{SimpleFileOptions, StreamWriter};
use zip::{CompressionMethod, ZipWriter};

use super::listing::lines;
use crate::ApiError;

/// Jobs that are looked up at once.
const AT_ONCE: u32 = 100;
/// Pieces that wait for the client.
const PIECES: usize = 8;
/// Bytes of a piece.
const PIECE: usize = 64 << 10;

/// The archive: a file for each sheet that is there, named by its line and the serial of its head, and `lines.ndjson`,
/// which says what came of every line.
pub(crate) fn archive(
    store: Store,
    shop: ShopId,
    batch: Uuid,
) -> impl Stream<Item = Result<Bytes, io::Error>> {
    let (sender, receiver) = mpsc::channel(PIECES);
    let handle = Handle::current();
    let span = tracing::Span::current();
    tokio::task::spawn_blocking(move || {
        let _span = span.entered();
        let writing =
            write(&store, &shop, batch, &handle, Pieces { sender: sender.clone(), piece: Vec::new() });
        if let Err(error) = writing {
            // The answer is cut off, so that nobody takes it for whole; or it was the client who went.
            tracing::warn!(%error, "an archive was not written to its end");
            let _ = sender.blocking_send(Err(io::Error::other("cut off")));
        }
    });
    stream::unfold(
        receiver,
        |mut receiver| async move { receiver.recv().await.map(|piece| (piece, receiver)) },
    )
}

fn write(
    store: &Store,
    shop: &ShopId,
    batch: Uuid,
    handle: &Handle,
    pieces: Pieces,
) -> Result<(), Box<dyn std::error::Error>> {
    // Sheets are deflated already; sizes beyond 4 GiB have to be announced beforehand.
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored).large_file(false);
    let mut archive = ZipWriter::new_stream(pieces);
    let mut after = 0;
    loop {
        let jobs = handle.block_on(store.jobs_of_batch(shop, batch, after, AT_ONCE))?;
        let Some(last) = jobs.last().and_then(|job| job.line) else { break };
        after = last;
        for job in &jobs {
            if let Some(sheet) = &job.sheet {
                let bytes = handle.block_on(store.read_artifact(sheet))?;
                archive.start_file(name(job), stored)?;
                archive.write_all(&bytes)?;
            }
        }
    }
    archive.start_file("lines.ndjson", stored)?;
    let mut lines = Box::pin(lines(store.clone(), shop.clone(), batch));
    while let Some(piece) = handle.block_on(lines.next()) {
        let piece: Result<Bytes, ApiError> = piece;
        archive.write_all(&piece?)?;
    }
    let mut pieces: StreamWriter<Pieces> = archive.finish()?;
    pieces.flush()?;
    Ok(())
}

/// A name that any system takes: letters, digits, hyphens and dots of the serial, the others as underscores.
fn name(job: &JobRecord) -> String {
    let safe = |c: char| if c.is_ascii_alphanumeric() || matches!(c, '-' | '.') { c } else { '_' };
    let serial: String = job.head_reference.chars().take(60).map(safe).collect();
    format!("{:05}-{serial}.pdf", job.line.unwrap_or_default())
}

/// Sends what is written on in pieces; fails when nobody takes them any more.
struct Pieces {
    sender: mpsc::Sender<io::Result<Bytes>>,
    piece: Vec<u8>,
}

impl Write for Pieces {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.piece.extend_from_slice(bytes);
        if self.piece.len() >= PIECE {
            self.flush()?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        let piece = Bytes::from(std::mem::take(&mut self.piece));
        if piece.is_empty() {
            return Ok(());
        }
        self.sender.blocking_send(Ok(piece)).map_err(|_| io::ErrorKind::BrokenPipe.into())
    }
}
