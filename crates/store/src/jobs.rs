//! Jobs: what was measured, what it was judged by, and the judgement, accepted as one.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::{
    ArtifactKind, ArtifactRecord, By, Event, Happening, Made, Observations, Once, Origin, Page, Priority,
    Result, ShopId, Store, TaskState, TaskStatus, Who, sql,
};

/// One head's measurements with everything that belongs to them.
#[derive(Debug, Clone)]
pub struct JobContent {
    /// The shop's own reference of the head, its serial number for example.
    pub head_reference: String,
    /// The client's own reference of the job.
    pub client_reference: Option<String>,
    /// The stage of the work, as-received for example.
    pub stage: String,
    /// The earlier job of the same head that this one continues.
    pub follows: Option<Uuid>,
    /// The measurement set as it was judged.
    pub measurement_set: Vec<u8>,
    /// The full profile as it was applied.
    pub profile: Vec<u8>,
    /// The outcome.
    pub evaluation: NewEvaluation,
    /// What is to be done about it, where that was asked for.
    pub plan: Option<Plan>,
    /// What statistics over many heads need of it.
    pub observations: Observations,
    /// The paper of the sheet.
    pub paper: String,
    /// The language of the sheet.
    pub locale: String,
}

/// An evaluation to be stored with its job.
#[derive(Debug, Clone)]
pub struct NewEvaluation {
    /// The evaluation.
    pub document: Vec<u8>,
    /// Its digest.
    pub digest: String,
    /// Its disposition.
    pub disposition: String,
}

/// The rework plan of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// The plan.
    pub document: Vec<u8>,
    /// Its digest.
    pub digest: String,
}

/// A job to be accepted.
#[derive(Debug, Clone)]
pub struct NewJob {
    /// Whose job it is.
    pub shop: ShopId,
    /// Who brought it.
    pub who: Who,
    /// The request that brought it.
    pub origin: Origin,
    /// By what the request is known when it is sent again.
    pub once: Option<Once>,
    /// How soon its sheet is made.
    pub priority: Priority,
    /// What it consists of.
    pub content: JobContent,
}

/// Which jobs are asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct JobsOf<'a> {
    /// Those whose sheet is in this state.
    pub state: Option<TaskState>,
    /// Those of the head of this reference.
    pub head: Option<&'a str>,
    /// Those of this batch.
    pub batch: Option<Uuid>,
}

/// An accepted job, without its documents.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobRecord {
    /// The job.
    pub id: Uuid,
    /// The shop's own reference of the head.
    pub head_reference: String,
    /// The batch it came in.
    pub batch: Option<Uuid>,
    /// Its line within the batch.
    pub line: Option<u32>,
    /// The client's own reference.
    pub client_reference: Option<String>,
    /// The stage of the work.
    pub stage: String,
    /// 1 for the first job of this head and stage; each correction adds 1.
    pub revision: u32,
    /// The earlier job it continues.
    pub follows: Option<Uuid>,
    /// The paper of the sheet.
    pub paper: String,
    /// The language of the sheet.
    pub locale: String,
    /// The request that brought it.
    pub request_id: String,
    /// When it was accepted, to the millisecond.
    pub created_at: OffsetDateTime,
    /// The digest of its evaluation.
    pub digest: String,
    /// The disposition of its evaluation.
    pub disposition: String,
    /// The digest of its plan, if it has one.
    pub plan_digest: Option<String>,
    /// How far its sheet is.
    pub task: TaskStatus,
    /// Its sheet, once that is done.
    pub sheet: Option<ArtifactRecord>,
}

/// The documents of a job, byte for byte as they were accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobDocuments {
    /// The measurement set.
    pub measurement_set: Vec<u8>,
    /// The profile.
    pub profile: Vec<u8>,
    /// The evaluation.
    pub evaluation: Vec<u8>,
    /// The digest of the evaluation.
    pub digest: String,
    /// The plan, if one was made.
    pub plan: Option<Plan>,
}

impl Store {
    /// Accepts a job: when this returns, the job, its evaluation, its plan if it has one, and the task of its
    /// sheet are on disk.
    ///
    /// A further job of the same head and stage is a correction and gets the next revision.
    ///
    /// # Errors
    /// [`Error::NotEarlier`](crate::Error::NotEarlier) when `follows` names no job of this head,
    /// [`Error::KeyReused`](crate::Error::KeyReused) when the key came with another request.
    pub async fn submit_job(&self, job: NewJob) -> Result<Made<JobRecord>> {
        let NewJob { shop, who, origin, once, priority, content } = job;
        let mut tx = self.write(&shop).await?;
        if let Some(id) = self.made_before(&mut tx, &shop, once.as_ref()).await? {
            let record = sql::jobs::find(&mut tx, &shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
            return Ok(Made::Before(record));
        }
        let submission = self.submission(&shop, &origin, priority);
        sql::queue::enrol_shop(&mut tx, &shop).await?;
        let id = sql::jobs::insert(&mut tx, &submission, None, &content).await?;
        self.made_now(&mut tx, &shop, once.as_ref(), id).await?;
        let by = By { who, request: Some(origin.request_id.clone()) };
        let entries = accepted(&by, id, &content.evaluation.digest);
        sql::audit::append(&mut tx, &shop, self.clock.now(), entries).await?;
        let record = sql::jobs::find(&mut tx, &shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
        tx.commit().await?;
        Ok(Made::New(record))
    }

    /// Calls off the sheet of a job.
    ///
    /// # Errors
    /// [`Error::AlreadyOver`](crate::Error::AlreadyOver) when it is over.
    pub async fn cancel_job(&self, shop: &ShopId, id: Uuid, by: &By) -> Result<Option<JobRecord>> {
        let mut tx = self.write(shop).await?;
        if sql::jobs::find(&mut tx, shop, id).await?.is_none() {
            return Ok(None);
        }
        self.call_off(&mut tx, shop, id, ArtifactKind::Sheet, by).await?;
        let record = sql::jobs::find(&mut tx, shop, id).await?;
        tx.commit().await?;
        Ok(record)
    }

    /// Jobs of this shop, the oldest first.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn jobs(&self, shop: &ShopId, of: JobsOf<'_>, page: Page) -> Result<Vec<JobRecord>> {
        sql::jobs::list(&mut self.read().await?, shop, &of, &page).await
    }

    /// A job of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn job(&self, shop: &ShopId, id: Uuid) -> Result<Option<JobRecord>> {
        sql::jobs::find(&mut self.read().await?, shop, id).await
    }

    /// The documents of a job of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn job_documents(&self, shop: &ShopId, id: Uuid) -> Result<Option<JobDocuments>> {
        sql::jobs::documents(&mut self.read().await?, shop, id).await
    }

    pub(crate) fn submission<'a>(
        &self,
        shop: &'a ShopId,
        origin: &'a Origin,
        priority: Priority,
    ) -> sql::Submission<'a> {
        sql::Submission { shop, origin, priority, now: self.clock.now_ms(), max_attempts: self.max_attempts }
    }
}

/// What the audit trail says of an accepted job.
pub(crate) fn accepted(by: &By, job: Uuid, evaluation: &str) -> [Happening; 2] {
    let entry = |what| by.did(what, format!("job {job}"));
    let digest = Some(evaluation.to_owned());
    [entry(Event::Submitted), Happening { digest, ..entry(Event::Evaluated) }]
}
