//! Batches: many jobs under one label, with a report of their own. They come in piece by piece.

use std::time::Duration;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::clock::duration_ms;
use crate::db::Tx;
use crate::jobs::accepted;
use crate::{
    ArtifactKind, ArtifactRecord, By, Error, JobContent, JobRecord, Made, Once, Origin, Page, Priority,
    Result, ShopId, Store, TaskState, TaskStatus, Who, sql,
};

/// Whoever stores the lines of a batch is taken for gone when no line came for this long.
const GONE_AFTER: Duration = Duration::from_secs(60);

/// A batch that begins.
#[derive(Debug, Clone)]
pub struct NewBatch {
    /// Whose batch it is.
    pub shop: ShopId,
    /// Who brought it.
    pub who: Who,
    /// The request that brought it.
    pub origin: Origin,
    /// By what the request is known when it is sent again; its fingerprint is the digest of all lines.
    pub once: Once,
}

/// A batch that is coming in, in the hands of whoever stores its lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenBatch {
    /// The batch.
    pub id: Uuid,
    /// Lines up to this one are stored.
    pub last_line: u32,
    /// How many have begun or gone on with it; the fencing token.
    pub(crate) writer: u32,
}

/// A line of a batch.
#[derive(Debug, Clone)]
pub struct Line {
    /// Its number, from 1.
    pub number: u32,
    /// What came of it.
    pub outcome: LineContent,
}

/// What came of a line.
#[derive(Debug, Clone)]
pub enum LineContent {
    /// A job, and how soon it is done.
    Job(Box<JobContent>, Priority),
    /// Nothing.
    Refused(RefusedLine),
}

/// A line that was refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedLine {
    /// Its number, from 1.
    pub line: u32,
    /// The client's own reference.
    pub client_reference: Option<String>,
    /// Why, as a document.
    pub problem: Vec<u8>,
}

/// How many lines of a batch were refused, and how many of its sheets are in each state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// Lines that were refused.
    pub refused: u64,
    /// Sheets that wait.
    pub queued: u64,
    /// Sheets that are being made.
    pub running: u64,
    /// Sheets that are there.
    pub done: u64,
    /// Sheets that were given up.
    pub failed: u64,
    /// Sheets that were called off.
    pub cancelled: u64,
}

impl Progress {
    pub(crate) const fn of(&mut self, state: TaskState) -> &mut u64 {
        match state {
            TaskState::Queued => &mut self.queued,
            TaskState::Running => &mut self.running,
            TaskState::Done => &mut self.done,
            TaskState::Failed => &mut self.failed,
            TaskState::Cancelled => &mut self.cancelled,
        }
    }

    /// Lines that became jobs.
    #[must_use]
    pub const fn accepted(&self) -> u64 {
        self.queued + self.running + self.done + self.failed + self.cancelled
    }
}

/// A batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchRecord {
    /// The batch.
    pub id: Uuid,
    /// When it began, to the millisecond.
    pub created_at: OffsetDateTime,
    /// Whether all of its lines are stored.
    pub closed: bool,
    /// How far its report is.
    pub task: TaskStatus,
    /// Its report, once that is done.
    pub report: Option<ArtifactRecord>,
    /// How far its jobs are.
    pub progress: Progress,
}

impl Store {
    /// Begins a batch, or goes on with one that an earlier request of the same key began and did not end. One that
    /// was ended is given as it is.
    ///
    /// # Errors
    /// [`Error::KeyReused`] when the key came with other lines, [`Error::StillRunning`] when somebody else is
    /// storing its lines.
    pub async fn begin_batch(&self, new: &NewBatch) -> Result<Made<OpenBatch>, BatchRefused> {
        let NewBatch { shop, once, .. } = new;
        let now = self.clock.now_ms();
        let mut tx = self.write(shop).await?;
        let open = match sql::repeated::made(&mut tx, shop, once).await? {
            None => {
                let id = sql::batches::insert(&mut tx, shop, &once.fingerprint, now).await?;
                sql::repeated::keep(&mut tx, shop, once, id, now).await?;
                Made::New(OpenBatch { id, last_line: 0, writer: 1 })
            }
            Some(id) => {
                let standing = sql::batches::standing(&mut tx, shop, id).await?;
                let standing = standing.ok_or(sqlx::Error::RowNotFound).map_err(Error::from)?;
                if standing.closed {
                    let record = sql::batches::find(&mut tx, shop, id).await?;
                    let record = record.ok_or(sqlx::Error::RowNotFound).map_err(Error::from)?;
                    return Err(BatchRefused::Ended(Box::new(record)));
                }
                if standing.touched_at.saturating_add(duration_ms(GONE_AFTER)) > now {
                    return Err(Error::StillRunning.into());
                }
                let writer = sql::batches::go_on(&mut tx, id, now).await?;
                Made::Before(OpenBatch { id, last_line: standing.last_line, writer })
            }
        };
        tx.commit().await.map_err(Error::from)?;
        Ok(open)
    }

    /// Stores further lines of a batch, all or none.
    ///
    /// # Errors
    /// [`Error::StillRunning`] when somebody else has gone on with the batch; else as for [`Store::submit_job`].
    pub async fn add_lines(&self, new: &NewBatch, open: &mut OpenBatch, lines: &[Line]) -> Result<()> {
        let NewBatch { shop, who, origin, .. } = new;
        let Some(last) = lines.last() else { return Ok(()) };
        let mut tx = self.write(shop).await?;
        sql::batches::held(&mut tx, shop, open).await?;
        sql::queue::enrol_shop(&mut tx, shop).await?;
        let by = By { who: who.clone(), request: Some(origin.request_id.clone()) };
        let mut entries = Vec::with_capacity(2 * lines.len());
        for Line { number, outcome } in lines {
            match outcome {
                LineContent::Job(content, priority) => {
                    let submission = self.submission(shop, origin, *priority);
                    let at = Some((open.id, *number));
                    let job = sql::jobs::insert(&mut tx, &submission, at, content).await?;
                    entries.extend(accepted(&by, job, &content.evaluation.digest));
                }
                LineContent::Refused(line) => sql::batches::refuse(&mut tx, open.id, line).await?,
            }
        }
        let now = self.clock.now();
        sql::audit::append(&mut tx, shop, now, entries).await?;
        sql::batches::touch(&mut tx, open.id, last.number, crate::clock::unix_ms(now)).await?;
        tx.commit().await?;
        open.last_line = last.number;
        Ok(())
    }

    /// Ends a batch: its report is made once no sheet of it is pending. Nothing is left of one without any job.
    ///
    /// # Errors
    /// [`Error::StillRunning`] when somebody else has gone on with the batch.
    pub async fn end_batch(&self, new: &NewBatch, open: &OpenBatch) -> Result<Option<BatchRecord>> {
        let NewBatch { shop, origin, .. } = new;
        let mut tx = self.write(shop).await?;
        sql::batches::held(&mut tx, shop, open).await?;
        let record = self.end(&mut tx, shop, open.id, origin).await?;
        tx.commit().await?;
        Ok(record)
    }

    async fn end(
        &self,
        tx: &mut Tx,
        shop: &ShopId,
        batch: Uuid,
        origin: &Origin,
    ) -> Result<Option<BatchRecord>> {
        if sql::jobs::last_line(tx, batch).await? == 0 {
            sql::batches::remove(tx, batch).await?;
            sql::repeated::forget(tx, shop, batch).await?;
            return Ok(None);
        }
        let submission = self.submission(shop, origin, Priority::Normal);
        sql::batches::close(tx, batch, submission.now).await?;
        sql::queue::insert(tx, &submission, ArtifactKind::BatchReport, batch, None).await?;
        Ok(Some(sql::batches::find(tx, shop, batch).await?.ok_or(sqlx::Error::RowNotFound)?))
    }

    /// Ends batches that nobody has gone on with for so long: what came in of them gets its report. Their keys are
    /// forgotten, since they did not come in whole. Returns how many.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn end_left_batches(&self, age: Duration) -> Result<u64> {
        let limit = self.clock.now_ms().saturating_sub(duration_ms(age));
        let left = sql::batches::left(&mut self.read().await?, limit).await?;
        let mut ended = 0;
        for (shop, batch) in left {
            let mut tx = self.write(&shop).await?;
            let standing = sql::batches::standing(&mut tx, &shop, batch).await?;
            if standing.is_some_and(|standing| !standing.closed && standing.touched_at < limit) {
                let origin = Origin { request_id: "left".to_owned(), trace_parent: None };
                self.end(&mut tx, &shop, batch, &origin).await?;
                sql::repeated::forget(&mut tx, &shop, batch).await?;
                tx.commit().await?;
                ended += 1;
            }
        }
        Ok(ended)
    }

    /// Says that nobody is storing the lines of a batch just now, so that somebody else can go on with it at once.
    ///
    /// # Errors
    /// [`Error::StillRunning`] when somebody else has done so already.
    pub async fn let_go_of_batch(&self, new: &NewBatch, open: &OpenBatch) -> Result<()> {
        let mut tx = self.write(&new.shop).await?;
        sql::batches::held(&mut tx, &new.shop, open).await?;
        sql::batches::touch(&mut tx, open.id, open.last_line, 0).await?;
        tx.commit().await?;
        Ok(())
    }

    /// Calls off what is not over of a batch, its report too.
    ///
    /// # Errors
    /// [`Error::AlreadyOver`] when its report is over, [`Error::StillRunning`] while it comes in.
    pub async fn cancel_batch(&self, shop: &ShopId, id: Uuid, by: &By) -> Result<Option<BatchRecord>> {
        let mut tx = self.write(shop).await?;
        let Some(standing) = sql::batches::standing(&mut tx, shop, id).await? else { return Ok(None) };
        if !standing.closed {
            return Err(Error::StillRunning);
        }
        self.call_off(&mut tx, shop, id, ArtifactKind::BatchReport, by).await?;
        let now = self.clock.now_ms();
        for job in sql::queue::call_off_sheets(&mut tx, shop, id, now).await? {
            self.called_off(&mut tx, shop, job, ArtifactKind::Sheet, by).await?;
        }
        let record = sql::batches::find(&mut tx, shop, id).await?;
        tx.commit().await?;
        Ok(record)
    }

    /// A batch of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn batch(&self, shop: &ShopId, id: Uuid) -> Result<Option<BatchRecord>> {
        sql::batches::find(&mut self.read().await?, shop, id).await
    }

    /// Batches of this shop, the oldest first.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn batches(&self, shop: &ShopId, page: Page) -> Result<Vec<BatchRecord>> {
        sql::batches::list(&mut self.read().await?, shop, &page).await
    }

    /// The jobs of a batch after a line, in the order of their lines; so many at the most.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn jobs_of_batch(
        &self,
        shop: &ShopId,
        batch: Uuid,
        after: u32,
        most: u32,
    ) -> Result<Vec<JobRecord>> {
        sql::jobs::of_batch(&mut self.read().await?, shop, batch, after, most).await
    }

    /// The refused lines of a batch after a line, in their order; so many at the most.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn refused_lines(
        &self,
        shop: &ShopId,
        batch: Uuid,
        after: u32,
        most: u32,
    ) -> Result<Vec<RefusedLine>> {
        sql::batches::refused(&mut self.read().await?, shop, batch, after, most).await
    }
}

/// Why no lines are to be stored.
#[derive(Debug, thiserror::Error)]
pub enum BatchRefused {
    /// An earlier request of the same key has brought all of it.
    #[error("the batch was brought before")]
    Ended(Box<BatchRecord>),
    /// Something else.
    #[error(transparent)]
    Store(#[from] Error),
}
