//! Sign-offs.

use uuid::Uuid;

use super::artifacts::artifact_columns;
use super::queue::task_columns;
use crate::db::{Row, Tx, query};
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
    db: &mut Tx,
    signing: &Signing,
    context: &SigningContext,
    content: &NewSignOff,
) -> Result<()> {
    query(
        "INSERT INTO sign_off (id, shop_id, job_id, head_id, person_id, certificate_id, meaning, code, digest,
                               signed_at, document)
         VALUES ($1, $2, $3, (SELECT head_id FROM job WHERE id = $3), $4, $5, $6, $7, $8, $9, $10)",
    )
    .bind(context.id)
    .bind(signing.shop.as_str())
    .bind(signing.job)
    .bind(signing.person)
    .bind(context.certificate.id)
    .bind(&signing.meaning)
    .bind(&content.code)
    .bind(&content.digest)
    .bind(unix_ms(context.at))
    .bind(content.document.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, sign_off: Uuid) -> Result<Option<SignOffRecord>> {
    Ok(query(select_sign_offs!("WHERE sign_off.shop_id = $1 AND sign_off.id = $2"))
        .bind(shop.as_str())
        .bind(sign_off)
        .optional(db, record)
        .await?)
}

pub(crate) async fn of_code(db: &mut Tx, shop: &ShopId, code: &str) -> Result<Option<SignOffRecord>> {
    Ok(query(select_sign_offs!("WHERE sign_off.shop_id = $1 AND sign_off.code = $2"))
        .bind(shop.as_str())
        .bind(code)
        .optional(db, record)
        .await?)
}

pub(crate) async fn of_job(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Vec<SignOffRecord>> {
    Ok(query(select_sign_offs!(
        "WHERE sign_off.shop_id = $1 AND sign_off.job_id = $2 ORDER BY sign_off.signed_at, sign_off.id"
    ))
    .bind(shop.as_str())
    .bind(job)
    .all(db, record)
    .await?)
}

/// Sign-offs of jobs of the same head that were accepted before this job, and that no sign-off of a job
/// between has taken the place of.
pub(crate) async fn in_force_before(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Vec<SignOffRecord>> {
    Ok(query(select_sign_offs!(
        "JOIN job AS mine ON mine.id = $2 AND mine.head_id = sign_off.head_id
         WHERE sign_off.shop_id = $1 AND (job.created_at, job.id) < (mine.created_at, mine.id)
           AND NOT EXISTS (
               SELECT 1 FROM sign_off AS later JOIN job AS its ON its.id = later.job_id
               WHERE later.head_id = sign_off.head_id
                 AND (its.created_at, its.id) > (job.created_at, job.id))
         ORDER BY sign_off.signed_at, sign_off.id"
    ))
    .bind(shop.as_str())
    .bind(job)
    .all(db, record)
    .await?)
}

/// The first sign-off of a job that was accepted later, of the same head.
pub(crate) async fn successor(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<SignOffRecord>> {
    Ok(query(select_sign_offs!(
        "JOIN job AS mine ON mine.id = $2 AND mine.head_id = sign_off.head_id
         WHERE sign_off.shop_id = $1 AND (job.created_at, job.id) > (mine.created_at, mine.id)
         ORDER BY sign_off.signed_at, sign_off.id LIMIT 1"
    ))
    .bind(shop.as_str())
    .bind(job)
    .optional(db, record)
    .await?)
}

fn record(row: &Row) -> sqlx::Result<SignOffRecord> {
    Ok(SignOffRecord {
        id: row.get("id")?,
        job: row.get("job_id")?,
        stage: row.get("stage")?,
        revision: row.get("revision")?,
        person: PersonRecord {
            id: row.get("person")?,
            name: row.get("name")?,
            role: row.get("role")?,
            subject: row.get("subject")?,
            created_at: row.get("person_created_at")?,
            left_at: row.get("left_at")?,
        },
        certificate: row.get("certificate_id")?,
        meaning: row.get("meaning")?,
        signed_at: row.get("signed_at")?,
        content: NewSignOff {
            document: row.get("document")?,
            digest: row.get("digest")?,
            code: row.get("code")?,
        },
        task: super::queue::status(row)?,
        sheet: super::artifacts::optional_record(row)?,
    })
}
