//! The service that a command talks to.

use std::error::Error;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use headproof_client::{Client, ClientError, Retries, is_address, is_safe_address};
use headproof_wire::Job;
use uuid::Uuid;

use super::files::show;
use super::serve::runtime;
use crate::config::{KEY_FILE, SERVICE};

/// Where a service listens unless something else is said.
const DEFAULT: &str = "http://127.0.0.1:8080";

/// Which service, and what to show there.
pub(crate) struct Place {
    service: String,
    key_file: Option<PathBuf>,
    retries: Retries,
}

impl Place {
    /// What is named, else what the environment names. What may pass is tried again for so long.
    pub(crate) fn new(service: Option<String>, key_file: Option<PathBuf>, longest: Duration) -> Self {
        let named = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
        let service = service.or_else(|| named(SERVICE).map(|value| value.to_string_lossy().into_owned()));
        Self {
            service: service.unwrap_or_else(|| DEFAULT.to_owned()),
            key_file: key_file.or_else(|| named(KEY_FILE).map(PathBuf::from)),
            retries: Retries { longest, attempts: u32::MAX, ..Retries::default() },
        }
    }

    /// A client of it.
    pub(super) fn client(&self) -> Result<Client, Box<dyn Error>> {
        if !is_address(&self.service) {
            return Err(format!("{}: no address of a service, such as {DEFAULT}", self.service).into());
        }
        let client = Client::new(&self.service)?.with_retries(self.retries);
        let Some(path) = &self.key_file else { return Ok(client) };
        let key = key(path).map_err(|problem| format!("{}: {problem}", path.display()))?;
        if !is_safe_address(&self.service) {
            eprintln!("headproof: the key goes to {} without encryption", self.service);
        }
        Ok(client.with_key(key))
    }
}

/// The key in a file.
fn key(path: &Path) -> Result<String, String> {
    let mode = fs::metadata(path).map_err(|error| error.to_string())?.permissions().mode();
    if mode & 0o007 != 0 {
        return Err("may be read or written by everybody on this machine (chmod o=)".to_owned());
    }
    let text = fs::read_to_string(path).map_err(|error| error.to_string())?;
    let key = text.trim();
    if key.is_empty() || !key.bytes().all(|byte| byte.is_ascii_graphic()) {
        return Err("holds no key".to_owned());
    }
    Ok(key.to_owned())
}

/// Runs what talks to a service. A read of standard input that nobody ends does not keep the program from ending.
pub(super) fn block_on<T>(
    work: impl Future<Output = Result<T, Box<dyn Error>>>,
) -> Result<T, Box<dyn Error>> {
    let runtime = runtime()?;
    let outcome = runtime.block_on(work);
    runtime.shutdown_background();
    outcome
}

/// Shows why a document was refused, and gives exit code 1; any other error is handed on.
pub(super) fn refused(what: &str, error: ClientError) -> Result<ExitCode, Box<dyn Error>> {
    match error {
        ClientError::Problem(problem) if matches!(problem.status, 400 | 409 | 413 | 415 | 422) => {
            if problem.errors.is_empty() {
                let detail = problem.detail.map(|detail| format!(": {detail}")).unwrap_or_default();
                eprintln!("{what}: {}{detail}", problem.title);
            }
            show(what, &problem.errors);
            Ok(ExitCode::from(1))
        }
        other => Err(other.into()),
    }
}

/// What an id may stand for.
pub(super) enum Thing {
    Job(Box<Job>),
    Batch(Box<headproof_wire::Batch>),
}

impl Thing {
    /// Finds it.
    pub(super) async fn find(client: &Client, id: Uuid) -> Result<Self, Box<dyn Error>> {
        match client.job(id).await {
            Err(ClientError::Problem(problem)) if problem.status == 404 => {}
            outcome => return Ok(Self::Job(Box::new(outcome?))),
        }
        match client.batch(id).await {
            Err(ClientError::Problem(problem)) if problem.status == 404 => {
                Err(format!("{id} is neither a job nor a batch").into())
            }
            outcome => Ok(Self::Batch(Box::new(outcome?))),
        }
    }
}
