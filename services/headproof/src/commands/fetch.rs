//! Fetching what was made.

use std::error::Error;
use std::io::{self, IsTerminal};
use std::path::Path;
use std::process::ExitCode;
use std::str::FromStr;

use headproof_client::ClientError;
use uuid::Uuid;

use super::service::{Place, Thing, block_on};
use super::wait::state;

/// A part of a job or a batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    /// The inspection sheet of a job.
    Sheet,
    /// The evaluation of a job.
    Evaluation,
    /// The rework plan of a job.
    Plan,
    /// The report of a batch.
    Report,
    /// All sheets of a batch.
    Archive,
}

impl What {
    const fn word(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Evaluation => "evaluation",
            Self::Plan => "plan",
            Self::Report => "report",
            Self::Archive => "archive",
        }
    }

    const fn is_text(self) -> bool {
        matches!(self, Self::Evaluation | Self::Plan)
    }
}

impl FromStr for What {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, Self::Err> {
        let all = [Self::Sheet, Self::Evaluation, Self::Plan, Self::Report, Self::Archive];
        all.into_iter().find(|what| what.word() == word).ok_or("sheet, evaluation, plan, report or archive")
    }
}

/// Fetches a part of a job or a batch into a file, or prints it.
///
/// Exit code 0, 1 when there is no such part (yet), 2 when the service cannot be asked.
pub(crate) fn run(
    at: &Place,
    id: Uuid,
    what: Option<What>,
    out: Option<&Path>,
) -> Result<ExitCode, Box<dyn Error>> {
    block_on(async {
        let client = at.client()?;
        let (what, link, now) = match Thing::find(&client, id).await? {
            Thing::Job(job) => {
                let (what, links) = (what.unwrap_or(What::Sheet), job.links);
                let link = match what {
                    What::Sheet => links.sheet,
                    What::Evaluation => links.evaluation,
                    What::Plan => links.plan,
                    What::Report | What::Archive => None,
                };
                (what, link, format!("job {id} ({})", state(job.state)))
            }
            Thing::Batch(batch) => {
                let (what, links) = (what.unwrap_or(What::Report), batch.links);
                let link = match what {
                    What::Report => links.report,
                    What::Archive => links.archive,
                    What::Sheet | What::Evaluation | What::Plan => None,
                };
                (what, link, format!("batch {id} ({})", state(batch.state)))
            }
        };
        let Some(link) = link else {
            eprintln!("{now} has no {}", what.word());
            return Ok(ExitCode::from(1));
        };
        match out {
            Some(path) => {
                client.fetch_file(&link, path).await?;
            }
            None if io::stdout().is_terminal() && !what.is_text() => {
                return Err(format!("the {} is no text: name a file with --out", what.word()).into());
            }
            None => match client.fetch_to(&link, &mut tokio::io::stdout()).await {
                // A reader that has seen enough of it.
                Err(ClientError::File { cause, .. }) if cause.kind() == io::ErrorKind::BrokenPipe => {}
                outcome => drop(outcome?),
            },
        }
        Ok(ExitCode::SUCCESS)
    })
}
