//! Batches.

use std::time::Duration;

use headproof_wire::{Batch, BatchLine, JobRequest, TaskState};
use uuid::Uuid;

use crate::call::{Call, Content};
use crate::jobs::is_over;
use crate::pages::{Page, with_query};
use crate::upload::Upload;
use crate::{Client, ClientError, IdempotencyKey};

/// The link of all batches.
const BATCHES: &str = "/v1/batches";

/// Which batches to list; all without a wish.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BatchesAsked {
    /// So many on a page.
    pub limit: Option<u32>,
}

impl Client {
    /// Posts several sets as one batch.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn submit_batch(&self, requests: &[JobRequest]) -> Result<Batch, ClientError> {
        let mut lines = Vec::new();
        for request in requests {
            lines.extend(crate::shop::json(request)?);
            lines.push(b'\n');
        }
        let lines = Content::Bytes(lines, "application/x-ndjson");
        Call::create(self, BATCHES, lines, &IdempotencyKey::new()).accepted().await
    }

    /// Posts a batch of any size without holding it; a file is opened again for each try.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn upload_batch(&self, upload: Upload, key: &IdempotencyKey) -> Result<Batch, ClientError> {
        Call::create(self, BATCHES, Content::Upload(upload), key).accepted().await
    }

    /// A batch as it stands.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn batch(&self, id: Uuid) -> Result<Batch, ClientError> {
        Call::get(self, format!("{BATCHES}/{id}")).document().await
    }

    /// Waits until a batch's report is there or has failed.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn wait_batch(&self, batch: &Batch, longest: Duration) -> Result<Batch, ClientError> {
        self.poll(&batch.links.this, longest, |batch: &Batch| is_over(batch.state), None).await
    }

    /// The same, telling how far it is every few seconds and in the end.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn watch_batch(
        &self,
        id: Uuid,
        longest: Duration,
        mut tell: impl FnMut(&Batch) + Send,
    ) -> Result<Batch, ClientError> {
        let link = format!("{BATCHES}/{id}");
        self.poll(&link, longest, |batch: &Batch| is_over(batch.state), Some(&mut tell)).await
    }

    /// What came of each line of a batch, told one by one, so that a batch may have any number of them.
    ///
    /// # Errors
    /// [`ClientError`]; what was told before stands.
    pub async fn lines(
        &self,
        batch: &Batch,
        mut tell: impl FnMut(BatchLine) + Send,
    ) -> Result<(), ClientError> {
        let Some(link) = &batch.links.lines else { return Ok(()) };
        self.each_line(link, |line| {
            tell(serde_json::from_slice(line).map_err(|error| ClientError::Unexpected(error.to_string()))?);
            Ok(())
        })
        .await
    }

    /// Withdraws what was not made yet of a batch. One that was withdrawn before is given as it is.
    ///
    /// # Errors
    /// [`ClientError`], among them the problem with status 409 when it is over.
    pub async fn cancel_batch(&self, id: Uuid) -> Result<Batch, ClientError> {
        let outcome = Call::post(self, format!("{BATCHES}/{id}/cancel"), Content::None).document().await;
        match outcome {
            // Perhaps by an earlier try of this, whose answer was lost.
            Err(ClientError::Problem(problem)) if problem.status == 409 => match self.batch(id).await {
                Ok(batch) if batch.state == TaskState::Cancelled => Ok(batch),
                _ => Err(ClientError::Problem(problem)),
            },
            outcome => outcome,
        }
    }

    /// The first page of a list of batches; [`Client::page`] gives the others.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn batches(&self, asked: &BatchesAsked) -> Result<Page<Batch>, ClientError> {
        let wishes = [("limit", asked.limit.map(|limit| limit.to_string()))];
        self.page(&with_query(BATCHES, &wishes)).await
    }
}
