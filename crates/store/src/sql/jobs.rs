//! Heads, jobs, evaluations and plans.

use sqlx::{Row, SqliteConnection, query, query_scalar, sqlite::SqliteRow};
use uuid::Uuid;

use super::artifacts::artifact_columns;
use super::queue::task_columns;
use super::{Submission, id, optional_id, time};
use crate::{ArtifactKind, Error, JobContent, JobDocuments, JobRecord, Plan, Result, ShopId};

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

/// Inserts a job with its evaluation, its plan and its task; returns its id.
pub(crate) async fn insert(
    db: &mut SqliteConnection,
    submission: &Submission<'_>,
    batch_line: Option<(Uuid, u32)>,
    content: &JobContent,
) -> Result<Uuid> {
    let shop = submission.shop.as_str();
    let head = head(db, shop, &content.head_reference).await?;
    if let Some(earlier) = content.follows {
        let known: bool =
            query_scalar("SELECT EXISTS (SELECT 1 FROM job WHERE id = ?1 AND shop_id = ?2 AND head_id = ?3)")
                .bind(earlier.to_string())
                .bind(shop)
                .bind(&head)
                .fetch_one(&mut *db)
                .await?;
        if !known {
            return Err(Error::NotEarlier(earlier));
        }
    }
    let job = Uuid::now_v7();
    query(
        "INSERT INTO job (id, shop_id, head_id, batch_id, line, client_reference, stage, revision, follows,
                          paper, locale, request_id, created_at, measurement_set, profile)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7,
                 (SELECT coalesce(max(revision), 0) + 1 FROM job WHERE head_id = ?3 AND stage = ?7),
                 ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
    )
    .bind(job.to_string())
    .bind(shop)
    .bind(&head)
    .bind(batch_line.map(|(batch, _)| batch.to_string()))
    .bind(batch_line.map(|(_, line)| line))
    .bind(content.client_reference.as_deref())
    .bind(&content.stage)
    .bind(content.follows.map(|earlier| earlier.to_string()))
    .bind(&content.paper)
    .bind(&content.locale)
    .bind(submission.request_id)
    .bind(submission.now)
    .bind(content.measurement_set.as_slice())
    .bind(content.profile.as_slice())
    .execute(&mut *db)
    .await?;
    query(
        "INSERT INTO evaluation (job_id, shop_id, digest, disposition, document) VALUES (?1, ?2, ?3, ?4, ?5)",
    )
    .bind(job.to_string())
    .bind(shop)
    .bind(&content.evaluation.digest)
    .bind(&content.evaluation.disposition)
    .bind(content.evaluation.document.as_slice())
    .execute(&mut *db)
    .await?;
    if let Some(plan) = &content.plan {
        query("INSERT INTO plan (job_id, shop_id, digest, document) VALUES (?1, ?2, ?3, ?4)")
            .bind(job.to_string())
            .bind(shop)
            .bind(&plan.digest)
            .bind(plan.document.as_slice())
            .execute(&mut *db)
            .await?;
    }
    let batch = batch_line.map(|(batch, _)| batch);
    super::queue::insert(db, submission, ArtifactKind::Sheet, job, batch).await?;
    Ok(job)
}

/// The id of the head the shop knows by this reference, new or not.
async fn head(db: &mut SqliteConnection, shop: &str, reference: &str) -> sqlx::Result<String> {
    query("INSERT INTO head (id, shop_id, reference) VALUES (?1, ?2, ?3) ON CONFLICT DO NOTHING")
        .bind(Uuid::now_v7().to_string())
        .bind(shop)
        .bind(reference)
        .execute(&mut *db)
        .await?;
    query_scalar("SELECT id FROM head WHERE shop_id = ?1 AND reference = ?2")
        .bind(shop)
        .bind(reference)
        .fetch_one(db)
        .await
}

pub(crate) async fn find(db: &mut SqliteConnection, shop: &ShopId, job: Uuid) -> Result<Option<JobRecord>> {
    let row = query(select_jobs!("WHERE job.id = ?1 AND job.shop_id = ?2"))
        .bind(job.to_string())
        .bind(shop.as_str())
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

/// The last job of the same head that was accepted after this one.
pub(crate) async fn last_after(
    db: &mut SqliteConnection,
    shop: &ShopId,
    job: Uuid,
) -> Result<Option<JobRecord>> {
    let row = query(select_jobs!(
        "JOIN job AS mine ON mine.id = ?1 AND mine.head_id = job.head_id
         WHERE job.shop_id = ?2 AND (job.created_at, job.id) > (mine.created_at, mine.id)
         ORDER BY job.created_at DESC, job.id DESC LIMIT 1"
    ))
    .bind(job.to_string())
    .bind(shop.as_str())
    .fetch_optional(db)
    .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

/// The newest revision of the stage of a job.
pub(crate) async fn newest_revision(
    db: &mut SqliteConnection,
    shop: &ShopId,
    job: Uuid,
) -> Result<Option<u32>> {
    let newest = query_scalar(
        "SELECT max(other.revision) FROM job JOIN job AS other ON other.head_id = job.head_id AND other.stage = job.stage
         WHERE job.id = ?1 AND job.shop_id = ?2",
    );
    Ok(newest.bind(job.to_string()).bind(shop.as_str()).fetch_one(db).await?)
}

pub(super) async fn of_batch(
    db: &mut SqliteConnection,
    shop: &ShopId,
    batch: Uuid,
) -> sqlx::Result<Vec<JobRecord>> {
    let rows = query(select_jobs!("WHERE job.batch_id = ?1 AND job.shop_id = ?2 ORDER BY job.line"))
        .bind(batch.to_string())
        .bind(shop.as_str())
        .fetch_all(db)
        .await?;
    rows.iter().map(record).collect()
}

pub(crate) async fn documents(
    db: &mut SqliteConnection,
    shop: &ShopId,
    job: Uuid,
) -> Result<Option<JobDocuments>> {
    let row = query(
        "SELECT job.measurement_set, job.profile, evaluation.document, evaluation.digest,
                plan.document AS plan, plan.digest AS plan_digest
         FROM job JOIN evaluation ON evaluation.job_id = job.id
         LEFT JOIN plan ON plan.job_id = job.id
         WHERE job.id = ?1 AND job.shop_id = ?2",
    )
    .bind(job.to_string())
    .bind(shop.as_str())
    .fetch_optional(db)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let plan = row.try_get::<Option<Vec<u8>>, _>("plan")?.zip(row.try_get("plan_digest")?);
    Ok(Some(JobDocuments {
        measurement_set: row.try_get("measurement_set")?,
        profile: row.try_get("profile")?,
        evaluation: row.try_get("document")?,
        digest: row.try_get("digest")?,
        plan: plan.map(|(document, digest)| Plan { document, digest }),
    }))
}

fn record(row: &SqliteRow) -> sqlx::Result<JobRecord> {
    Ok(JobRecord {
        id: id(row, "id")?,
        head_reference: row.try_get("head_reference")?,
        batch: optional_id(row, "batch_id")?,
        line: row.try_get("line")?,
        client_reference: row.try_get("client_reference")?,
        stage: row.try_get("stage")?,
        revision: row.try_get("revision")?,
        follows: optional_id(row, "follows")?,
        paper: row.try_get("paper")?,
        locale: row.try_get("locale")?,
        request_id: row.try_get("request_id")?,
        created_at: time(row, "created_at")?,
        digest: row.try_get("digest")?,
        disposition: row.try_get("disposition")?,
        plan_digest: row.try_get("plan_digest")?,
        task: super::queue::status(row)?,
        sheet: super::artifacts::optional_record(row)?,
    })
}
