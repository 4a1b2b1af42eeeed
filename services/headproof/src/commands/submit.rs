//! Posting heads.

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use headproof_client::IdempotencyKey;

use super::files::{bytes, print};
use super::service::{Place, block_on, refused};
use super::wait::{Patience, tell_job};

/// Posts each file as a job and prints its id and address; waits for all of them when asked to.
///
/// Exit code 0 when all were accepted (and, where it was waited, their sheets are there), 1 when one was not, 2 when the
/// service cannot be asked.
pub(crate) fn run(
    at: &Place,
    files: &[PathBuf],
    key: Option<IdempotencyKey>,
    patience: Option<Patience>,
) -> Result<ExitCode, Box<dyn Error>> {
    if key.is_some() && files.len() > 1 {
        return Err("--idempotency-key names one request: give one file".into());
    }
    block_on(async {
        let client = at.client()?;
        let (mut jobs, mut code) = (Vec::new(), ExitCode::SUCCESS);
        for file in files {
            let key = key.clone().unwrap_or_default();
            match client.submit_document(bytes(file)?, &key).await {
                Ok(job) => {
                    print(&format!("{} {}", job.id, client.url(&job.links.this)))?;
                    jobs.push(job);
                }
                Err(error) => code = refused(&named(file), error)?,
            }
        }
        let Some(patience) = patience else { return Ok(code) };
        for job in jobs {
            let job = client.wait(&job, patience.longest).await?;
            if !tell_job(&job)? {
                code = ExitCode::from(1);
            }
        }
        Ok(code)
    })
}

fn named(file: &Path) -> String {
    if file == Path::new("-") { "standard input".to_owned() } else { file.display().to_string() }
}
