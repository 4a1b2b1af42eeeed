//! Posting many heads at once.

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use headproof_client::{BatchFormat, Client, IdempotencyKey, Upload};
use headproof_wire::{Batch, BatchLine};
use uuid::Uuid;

use super::files::{print, show};
use super::service::{Place, block_on, refused};
use super::wait::{Patience, code, it_goes_on, tell_batch, unless_interrupted, watch};

/// What is posted.
pub(crate) struct Posted {
    /// The file; `-` is standard input.
    pub(crate) file: PathBuf,
    /// Its format, where its name does not say it.
    pub(crate) format: Option<BatchFormat>,
    /// Shall it be compressed on its way?
    pub(crate) gzip: bool,
    /// What makes it the same when it is posted again.
    pub(crate) key: IdempotencyKey,
}

/// Posts a batch and prints its id and address; waits for it, says which lines were refused, and writes what was made when
/// asked to.
///
/// Exit code 0 when it was accepted (and, where it was waited, all sheets are there), 1 when it or one line was not, 2 when
/// the service cannot be asked, 130 when it was interrupted.
pub(crate) fn run(
    at: &Place,
    posted: Posted,
    patience: Option<Patience>,
    out: Option<&Path>,
) -> Result<ExitCode, Box<dyn Error>> {
    let upload = posted.upload()?;
    if let Some(directory) = out {
        fs::create_dir_all(directory).map_err(|error| format!("{}: {error}", directory.display()))?;
    }
    block_on(async {
        let client = at.client()?;
        let mut accepted = None;
        let how_to_go_on = || posted.how_to_post_it_again();
        let post = async {
            match client.upload_batch(upload, &posted.key).await {
                Ok(batch) => {
                    print(&format!("{} {}", batch.id, client.url(&batch.links.this)))?;
                    accepted = Some(batch.id);
                    Ok(ExitCode::SUCCESS)
                }
                Err(error) => refused(&posted.file.display().to_string(), error),
            }
        };
        let code = unless_interrupted(how_to_go_on, post).await?;
        let (Some(id), Some(patience)) = (accepted, patience) else { return Ok(code) };
        unless_interrupted(|| it_goes_on(id), finish(&client, id, patience, out)).await
    })
}

/// Waits for a batch, says which lines were refused, and writes what was made.
async fn finish(
    client: &Client,
    id: Uuid,
    patience: Patience,
    out: Option<&Path>,
) -> Result<ExitCode, Box<dyn Error>> {
    let batch = watch(client, id, patience).await?;
    client.lines(&batch, |line| tell_refusal(&line)).await?;
    if let Some(directory) = out {
        write(client, &batch, directory).await?;
    }
    Ok(code(tell_batch(&batch)?))
}

impl Posted {
    fn how_to_post_it_again(&self) -> String {
        format!(
            "The batch may or may not have been accepted. To go on without posting it twice: \
             headproof batch {} --idempotency-key '{}'",
            self.file.display(),
            self.key
        )
    }

    fn upload(&self) -> Result<Upload, Box<dyn Error>> {
        let format = self.format.or_else(|| BatchFormat::of(&self.file));
        let format = format.ok_or_else(|| {
            format!(
                "{}: the name does not say which format it has; say so with --format",
                self.file.display()
            )
        })?;
        let upload = if self.file == Path::new("-") {
            Upload::reader(tokio::io::stdin(), format)
        } else {
            Upload::file(&self.file, format)
        };
        Ok(if self.gzip { upload.compressed() } else { upload })
    }
}

/// Shows why a line was refused.
fn tell_refusal(line: &BatchLine) {
    let Some(problem) = &line.problem else { return };
    let reference = line.client_reference.as_ref().map(|text| format!(" ({text})")).unwrap_or_default();
    let what = format!("line {}{reference}", line.line);
    if problem.errors.is_empty() {
        let detail = problem.detail.as_ref().map(|detail| format!(": {detail}")).unwrap_or_default();
        eprintln!("{what}: {}{detail}", problem.title);
    }
    show(&what, &problem.errors);
}

/// Writes what was made.
async fn write(client: &Client, batch: &Batch, directory: &Path) -> Result<(), Box<dyn Error>> {
    let links = &batch.links;
    let parts =
        [(&links.archive, "archive.zip"), (&links.report, "report.pdf"), (&links.lines, "lines.ndjson")];
    for (link, name) in parts {
        if let Some(link) = link {
            client.fetch_file(link, &directory.join(name)).await?;
        }
    }
    Ok(())
}
