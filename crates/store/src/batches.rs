//! Batches: many jobs accepted as one, with a report over them.

use std::collections::BTreeMap;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::jobs::accepted;
use crate::{
    ArtifactKind, ArtifactRecord, By, JobContent, JobRecord, Result, ShopId, Store, TaskStatus, Who, sql,
};

/// Jobs to be accepted together.
#[derive(Debug, Clone)]
pub struct NewBatch {
    /// Whose jobs they are.
    pub shop: ShopId,
    /// Who brought them.
    pub who: Who,
    /// The request that brought them.
    pub request_id: String,
    /// The jobs by their line in the request.
    pub jobs: BTreeMap<u32, JobContent>,
}

/// An accepted batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchRecord {
    /// The batch.
    pub id: Uuid,
    /// When it was accepted, to the millisecond.
    pub created_at: OffsetDateTime,
    /// How far its report is.
    pub task: TaskStatus,
    /// Its report, once that is done.
    pub report: Option<ArtifactRecord>,
    /// Its jobs in the order of their lines.
    pub jobs: Vec<JobRecord>,
}

impl Store {
    /// Accepts all jobs of a batch or none. The report waits until no sheet of it is pending.
    ///
    /// # Errors
    /// As for [`Store::submit_job`]; nothing of the batch is kept then.
    pub async fn submit_batch(&self, batch: NewBatch) -> Result<BatchRecord> {
        let NewBatch { shop, who, request_id, jobs } = batch;
        let mut tx = self.write().await?;
        let submission = self.submission(&shop, &request_id);
        sql::queue::enrol_shop(&mut tx, &shop).await?;
        let id = sql::batches::insert(&mut tx, &submission).await?;
        let by = By { who, request: Some(request_id.clone()) };
        let mut entries = Vec::with_capacity(2 * jobs.len());
        for (line, content) in &jobs {
            let job = sql::jobs::insert(&mut tx, &submission, Some((id, *line)), content).await?;
            entries.extend(accepted(&by, job, &content.evaluation.digest));
        }
        sql::audit::append(&mut tx, &shop, self.clock.now(), entries).await?;
        sql::queue::insert(&mut tx, &submission, ArtifactKind::BatchReport, id, None).await?;
        let record = sql::batches::find(&mut tx, &shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
        tx.commit().await?;
        Ok(record)
    }

    /// A batch of this shop with its jobs.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn batch(&self, shop: &ShopId, id: Uuid) -> Result<Option<BatchRecord>> {
        sql::batches::find(&mut *self.read().await?, shop, id).await
    }
}
