//! Sign-offs.

use sqlx::{Row, SqliteConnection, query, sqlite::SqliteRow};
use uuid::Uuid;

use super::artifacts::artifact_columns;
use super::queue::task_columns;
use super::{id, optional_time, time};
use crate::sign_offs::{NewSignOff, SignOffRecord, Signing, SigningContext};
use crate::{PersonRecord, Result, ShopId, clock::unix_ms};

/// Sign-offs with job, person, task and sheet; to be completed by a condition.
macro_rules! select_sign_offs {
    ($condition:literal) => {
        concat!(
            "SELECT sign_off.id, sign_off.job_id, job.stage, job.revision, sign_off.certificate_id,
                    sign_off.meaning, sign_off.signed_at, sign_off.document, sign_off.digest, sign_off.code,
                    person.id AS person, person.name, person.role, person.subject,
                    person.created_at AS person_created_at, person.left_at,
                    ",
            task_columns!(),
            ", ",
            artifact_columns!(),
            "
             FROM sign_off
             JOIN job ON job.id = sign_off.job_id
             JOIN person ON person.id = sign_off.person_id
             JOIN task ON task.owner_id = sign_off.id AND task.kind = 'signed-sheet'
             LEFT JOIN artifact ON artifact.owner_id = sign_off.id AND artifact.kind = 'signed-sheet' ",
            $condition
        )
    };
}

pub(crate) async fn insert(
    db: &mut SqliteConnection,
    signing: &Signing,
    context: &SigningContext,
    content: &NewSignOff,
) -> Result<()> {
    query(
        "INSERT INTO sign_off (id, shop_id, job_id, head_id, person_id, certificate_id, meaning, code, digest,
                               signed_at, document)
         VALUES (?1, ?2, ?3, (SELECT head_id FROM job WHERE id = ?3), ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    )
    .bind(context.id.to_string())
    .bind(signing.shop.as_str())
    .bind(signing.job.to_string())
    .bind(signing.person.to_string())
    .bind(context.certificate.id.to_string())
    .bind(&signing.meaning)
    .bind(&content.code)
    .bind(&content.digest)
    .bind(unix_ms(context.at))
    .bind(content.document.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(
    db: &mut SqliteConnection,
    shop: &ShopId,
    sign_off: Uuid,
) -> Result<Option<SignOffRecord>> {
    let row = query(select_sign_offs!("WHERE sign_off.shop_id = ?1 AND sign_off.id = ?2"))
        .bind(shop.as_str())
        .bind(sign_off.to_string())
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn of_code(
    db: &mut SqliteConnection,
    shop: &ShopId,
    code: &str,
) -> Result<Option<SignOffRecord>> {
    let row = query(select_sign_offs!("WHERE sign_off.shop_id = ?1 AND sign_off.code = ?2"))
        .bind(shop.as_str())
        .bind(code)
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn of_job(
    db: &mut SqliteConnection,
    shop: &ShopId,
    job: Uuid,
) -> Result<Vec<SignOffRecord>> {
    let rows = query(select_sign_offs!(
        "WHERE sign_off.shop_id = ?1 AND sign_off.job_id = ?2 ORDER BY sign_off.signed_at, sign_off.id"
    ))
    .bind(shop.as_str())
    .bind(job.to_string())
    .fetch_all(db)
    .await?;
    Ok(rows.iter().map(record).collect::<sqlx::Result<_>>()?)
}

/// Sign-offs of jobs of the same head that were accepted before this job, and that no sign-off of a job
/// between has taken the place of.
pub(crate) async fn in_force_before(
    db: &mut SqliteConnection,
    shop: &ShopId,
    job: Uuid,
) -> Result<Vec<SignOffRecord>> {
    let rows = query(select_sign_offs!(
        "JOIN job AS mine ON mine.id = ?2 AND mine.head_id = sign_off.head_id
         WHERE sign_off.shop_id = ?1 AND (job.created_at, job.id) < (mine.created_at, mine.id)
           AND NOT EXISTS (
               SELECT 1 FROM sign_off AS later JOIN job AS its ON its.id = later.job_id
               WHERE later.head_id = sign_off.head_id
                 AND (its.created_at, its.id) > (job.created_at, job.id))
         ORDER BY sign_off.signed_at, sign_off.id"
    ))
    .bind(shop.as_str())
    .bind(job.to_string())
    .fetch_all(db)
    .await?;
    Ok(rows.iter().map(record).collect::<sqlx::Result<_>>()?)
}

/// The first sign-off of a job that was accepted later, of the same head.
pub(crate) async fn successor(
    db: &mut SqliteConnection,
    shop: &ShopId,
    job: Uuid,
) -> Result<Option<SignOffRecord>> {
    let row = query(select_sign_offs!(
        "JOIN job AS mine ON mine.id = ?2 AND mine.head_id = sign_off.head_id
         WHERE sign_off.shop_id = ?1 AND (job.created_at, job.id) > (mine.created_at, mine.id)
         ORDER BY sign_off.signed_at, sign_off.id LIMIT 1"
    ))
    .bind(shop.as_str())
    .bind(job.to_string())
    .fetch_optional(db)
    .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

fn record(row: &SqliteRow) -> sqlx::Result<SignOffRecord> {
    Ok(SignOffRecord {
        id: id(row, "id")?,
        job: id(row, "job_id")?,
        stage: row.try_get("stage")?,
        revision: row.try_get("revision")?,
        person: PersonRecord {
            id: id(row, "person")?,
            name: row.try_get("name")?,
            role: row.try_get("role")?,
            subject: row.try_get("subject")?,
            created_at: time(row, "person_created_at")?,
            left_at: optional_time(row, "left_at")?,
        },
        certificate: id(row, "certificate_id")?,
        meaning: row.try_get("meaning")?,
        signed_at: time(row, "signed_at")?,
        content: NewSignOff {
            document: row.try_get("document")?,
            digest: row.try_get("digest")?,
            code: row.try_get("code")?,
        },
        task: super::queue::status(row)?,
        sheet: super::artifacts::optional_record(row)?,
    })
}
