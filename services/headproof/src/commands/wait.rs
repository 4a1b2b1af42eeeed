//! Waiting for what was posted.

use std::error::Error;
use std::io;
use std::process::ExitCode;
use std::time::Duration;

use headproof_client::Client;
use headproof_wire::Batch;
use headproof_wire::{Job, TaskState};
use uuid::Uuid;

use super::files::print;
use super::progress::Progress;
use super::service::{Place, Thing, block_on};

/// Exit code of a command that was interrupted, as a shell gives it.
const INTERRUPTED: u8 = 130;

/// How long to wait.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Patience {
    /// At most so long.
    pub(crate) longest: Duration,
    /// Shall it be told meanwhile how far a batch is?
    pub(crate) tells: bool,
}

/// Waits for a job or a batch, and prints what came of it.
///
/// Exit code 0 when all sheets are there, 1 when one is not, 2 when it took too long or the service cannot be asked.
pub(crate) fn run(at: &Place, id: Uuid, patience: Patience) -> Result<ExitCode, Box<dyn Error>> {
    block_on(async {
        let client = at.client()?;
        let fine = match Thing::find(&client, id).await? {
            Thing::Job(job) => tell_job(&client.wait(&job, patience.longest).await?)?,
            Thing::Batch(_) => {
                let waited = async { Ok(code(tell_batch(&watch(&client, id, patience).await?)?)) };
                return unless_interrupted(|| it_goes_on(id), waited).await;
            }
        };
        Ok(code(fine))
    })
}

/// The exit code of what went well, or did not.
pub(super) fn code(fine: bool) -> ExitCode {
    if fine { ExitCode::SUCCESS } else { ExitCode::from(1) }
}

/// Waits for a batch and tells how far it is.
pub(super) async fn watch(client: &Client, id: Uuid, patience: Patience) -> Result<Batch, Box<dyn Error>> {
    let mut progress = Progress::new(patience.tells);
    Ok(client.watch_batch(id, patience.longest, |batch| progress.tell(&batch.progress)).await?)
}

/// Does something until it is done, or until the user interrupts it: then says how to go on.
pub(super) async fn unless_interrupted(
    how_to_go_on: impl FnOnce() -> String,
    work: impl Future<Output = Result<ExitCode, Box<dyn Error>>>,
) -> Result<ExitCode, Box<dyn Error>> {
    tokio::select! {
        outcome = work => outcome,
        signal = tokio::signal::ctrl_c() => {
            signal?;
            eprintln!("{}", how_to_go_on());
            Ok(ExitCode::from(INTERRUPTED))
        }
    }
}

/// What to say when waiting for a batch is interrupted.
pub(super) fn it_goes_on(id: Uuid) -> String {
    format!("The batch goes on without this. To wait for it again: headproof wait {id}")
}

/// Prints what came of a job; is its sheet there?
pub(super) fn tell_job(job: &Job) -> io::Result<bool> {
    print(&format!("{} {} {}", job.id, state(job.state), job.disposition))?;
    why(&job.id, job.reason.as_deref());
    Ok(job.state == TaskState::Done)
}

/// Prints what came of a batch; is every sheet of it there?
pub(super) fn tell_batch(batch: &Batch) -> io::Result<bool> {
    let progress = &batch.progress;
    print(&format!(
        "{} {}: {} lines, {} accepted, {} refused; {} sheets, {} failed, {} cancelled",
        batch.id,
        state(batch.state),
        progress.lines,
        progress.accepted,
        progress.refused,
        progress.done,
        progress.failed,
        progress.cancelled
    ))?;
    why(&batch.id, batch.reason.as_deref());
    Ok(batch.state == TaskState::Done && progress.refused + progress.failed + progress.cancelled == 0)
}

fn why(id: &Uuid, reason: Option<&str>) {
    if let Some(reason) = reason {
        eprintln!("{id}: {reason}");
    }
}

/// The word of a state.
pub(super) const fn state(state: TaskState) -> &'static str {
    match state {
        TaskState::Queued => "queued",
        TaskState::Running => "running",
        TaskState::Done => "done",
        TaskState::Failed => "failed",
        TaskState::Cancelled => "cancelled",
    }
}
