//! Heads, jobs, evaluations and plans.

use uuid::Uuid;

use super::Submission;
use super::artifacts::artifact_columns;
use super::queue::task_columns;
use crate::db::{Row, Tx, query};
use crate::{ArtifactKind, Error, JobContent, JobDocuments, JobRecord, JobsOf, Page, Plan, Result, ShopId};

/// Jobs with head, evaluation, digest of the plan, task and sheet; to be completed by a condition.
macro_rules! select_jobs {
    ($condition:literal) => {
        concat!(
            "SELECT job.id, head.reference AS head_reference, job.batch_id, job.line, job.client_reference,
                    job.stage, job.revision, job.follows, job.paper, job.locale, job.request_id,
                    job.created_at, evaluation.digest, evaluation.disposition, plan.digest AS plan_digest,
                    ",
            task_columns!(),
            ", ",
            artifact_columns!(),
            "
             FROM job
             JOIN head ON head.id = job.head_id
             JOIN evaluation ON evaluation.job_id = job.id
             LEFT JOIN plan ON plan.job_id = job.id
             JOIN task ON task.owner_id = job.id AND task.kind = 'sheet'
             LEFT JOIN artifact ON artifact.owner_id = job.id AND artifact.kind = 'sheet' ",
            $condition
        )
    };
}

/// Inserts a job with its evaluation, its plan and its task; returns its id. To be called with other writers of the
/// shop shut out.
pub(crate) async fn insert(
    db: &mut Tx,
    submission: &Submission<'_>,
    batch_line: Option<(Uuid, u32)>,
    content: &JobContent,
) -> Result<Uuid> {
    let shop = submission.shop.as_str();
    let head = head(db, shop, &content.head_reference).await?;
    if let Some(earlier) = content.follows {
        let known = query("SELECT 1 FROM job WHERE id = $1 AND shop_id = $2 AND head_id = $3");
        if !known.bind(earlier).bind(shop).bind(&head).exists(db).await? {
            return Err(Error::NotEarlier(earlier));
        }
    }
    let job = Uuid::now_v7();
    let batch = batch_line.map(|(batch, _)| batch);
    let accepted_at = after_the_last(db, &head, submission.now).await?;
    query(
        "INSERT INTO job (id, shop_id, head_id, batch_id, line, client_reference, stage, revision, follows,
                          paper, locale, request_id, created_at, measurement_set, profile)
         VALUES ($1, $2, $3, $4, $5, $6, $7,
                 (SELECT coalesce(max(revision), 0) + 1 FROM job WHERE head_id = $3 AND stage = $7),
                 $8, $9, $10, $11, $12, $13, $14)",
    )
    .bind(job)
    .bind(shop)
    .bind(&head)
    .bind(batch)
    .bind(batch_line.map(|(_, line)| line))
    .bind(&content.client_reference)
    .bind(&content.stage)
    .bind(content.follows)
    .bind(&content.paper)
    .bind(&content.locale)
    .bind(&submission.origin.request_id)
    .bind(accepted_at)
    .bind(content.measurement_set.as_slice())
    .bind(content.profile.as_slice())
    .execute(db)
    .await?;
    query(
        "INSERT INTO evaluation (job_id, shop_id, digest, disposition, document) VALUES ($1, $2, $3, $4, $5)",
    )
    .bind(job)
    .bind(shop)
    .bind(&content.evaluation.digest)
    .bind(&content.evaluation.disposition)
    .bind(content.evaluation.document.as_slice())
    .execute(db)
    .await?;
    if let Some(plan) = &content.plan {
        query("INSERT INTO plan (job_id, shop_id, digest, document) VALUES ($1, $2, $3, $4)")
            .bind(job)
            .bind(shop)
            .bind(&plan.digest)
            .bind(plan.document.as_slice())
            .execute(db)
            .await?;
    }
    super::observations::insert(db, shop, job, batch, &content.observations).await?;
    super::queue::insert(db, submission, ArtifactKind::Sheet, job, batch).await?;
    Ok(job)
}

/// The id of the head the shop knows by this reference, new or not.
async fn head(db: &mut Tx, shop: &str, reference: &str) -> sqlx::Result<String> {
    query("INSERT INTO head (id, shop_id, reference) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING")
        .bind(Uuid::now_v7())
        .bind(shop)
        .bind(reference)
        .execute(db)
        .await?;
    let known = query("SELECT id AS value FROM head WHERE shop_id = $1 AND reference = $2");
    known.bind(shop).bind(reference).value(db).await
}

/// The time, but later than that of the head's last job: the order of a head's jobs is that in which they were accepted,
/// whatever the clocks of several machines say.
async fn after_the_last(db: &mut Tx, head: &str, now: i64) -> sqlx::Result<i64> {
    let last: Option<i64> =
        query("SELECT max(created_at) AS value FROM job WHERE head_id = $1").bind(head).value(db).await?;
    Ok(last.map_or(now, |last| now.max(last + 1)))
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<JobRecord>> {
    let found = query(select_jobs!("WHERE job.id = $1 AND job.shop_id = $2"));
    Ok(found.bind(job).bind(shop.as_str()).optional(db, record).await?)
}

/// The last job of the same head that was accepted after this one.
pub(crate) async fn last_after(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<JobRecord>> {
    Ok(query(select_jobs!(
        "JOIN job AS mine ON mine.id = $1 AND mine.head_id = job.head_id
         WHERE job.shop_id = $2 AND (job.created_at, job.id) > (mine.created_at, mine.id)
         ORDER BY job.created_at DESC, job.id DESC LIMIT 1"
    ))
    .bind(job)
    .bind(shop.as_str())
    .optional(db, record)
    .await?)
}

/// The newest revision of the stage of a job.
pub(crate) async fn newest_revision(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<u32>> {
    let newest = query(
        "SELECT max(other.revision) AS value
         FROM job JOIN job AS other ON other.head_id = job.head_id AND other.stage = job.stage
         WHERE job.id = $1 AND job.shop_id = $2",
    );
    Ok(newest.bind(job).bind(shop.as_str()).value(db).await?)
}

/// Jobs that are so and so, the oldest first.
pub(crate) async fn list(db: &mut Tx, shop: &ShopId, of: &JobsOf<'_>, page: &Page) -> Result<Vec<JobRecord>> {
    let jobs = query(select_jobs!(
        "WHERE job.shop_id = $1
           AND (job.created_at > $2 OR job.created_at = $2 AND job.id > $3)
           AND ($4 IS NULL OR task.state = $4)
           AND ($5 IS NULL OR head.reference = $5)
           AND ($6 IS NULL OR job.batch_id = $6)
         ORDER BY job.created_at, job.id LIMIT $7"
    ));
    let jobs = jobs.bind(shop.as_str()).bind(page.after_at()).bind(page.after_id());
    let jobs = jobs.bind(of.state.map(crate::TaskState::as_str)).bind(of.head).bind(of.batch).bind(page.most);
    Ok(jobs.all(db, record).await?)
}

/// The jobs of a batch after a line, in the order of their lines.
pub(crate) async fn of_batch(
    db: &mut Tx,
    shop: &ShopId,
    batch: Uuid,
    after: u32,
    most: u32,
) -> Result<Vec<JobRecord>> {
    let jobs = query(select_jobs!(
        "WHERE job.batch_id = $1 AND job.shop_id = $2 AND job.line > $3 ORDER BY job.line LIMIT $4"
    ));
    Ok(jobs.bind(batch).bind(shop.as_str()).bind(after).bind(most).all(db, record).await?)
}

/// The last line of a batch that has a job; 0 for none.
pub(crate) async fn last_line(db: &mut Tx, batch: Uuid) -> Result<u32> {
    let last = query("SELECT coalesce(max(line), 0) AS value FROM job WHERE batch_id = $1");
    Ok(last.bind(batch).value(db).await?)
}

pub(crate) async fn documents(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<JobDocuments>> {
    let row = query(
        "SELECT job.measurement_set, job.profile, evaluation.document, evaluation.digest,
                plan.document AS plan, plan.digest AS plan_digest
         FROM job JOIN evaluation ON evaluation.job_id = job.id
         LEFT JOIN plan ON plan.job_id = job.id
         WHERE job.id = $1 AND job.shop_id = $2",
    )
    .bind(job)
    .bind(shop.as_str())
    .fetch_optional(db)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let plan = row.get::<Option<Vec<u8>>>("plan")?.zip(row.get("plan_digest")?);
    Ok(Some(JobDocuments {
        measurement_set: row.get("measurement_set")?,
        profile: row.get("profile")?,
        evaluation: row.get("document")?,
        digest: row.get("digest")?,
        plan: plan.map(|(document, digest)| Plan { document, digest }),
    }))
}

fn record(row: &Row) -> sqlx::Result<JobRecord> {
    Ok(JobRecord {
        id: row.get("id")?,
        head_reference: row.get("head_reference")?,
        batch: row.get("batch_id")?,
        line: row.get("line")?,
        client_reference: row.get("client_reference")?,
        stage: row.get("stage")?,
        revision: row.get("revision")?,
        follows: row.get("follows")?,
        paper: row.get("paper")?,
        locale: row.get("locale")?,
        request_id: row.get("request_id")?,
        created_at: row.get("created_at")?,
        digest: row.get("digest")?,
        disposition: row.get("disposition")?,
        plan_digest: row.get("plan_digest")?,
        task: super::queue::status(row)?,
        sheet: super::artifacts::optional_record(row)?,
    })
}
