//! Batches.

use sqlx::{SqliteConnection, query};
use uuid::Uuid;

use super::artifacts::artifact_columns;
use super::queue::task_columns;
use super::{Submission, id, time};
use crate::{BatchRecord, Result, ShopId};

/// Inserts a batch, still without jobs; returns its id.
pub(crate) async fn insert(db: &mut SqliteConnection, submission: &Submission<'_>) -> Result<Uuid> {
    let batch = Uuid::now_v7();
    query("INSERT INTO batch (id, shop_id, created_at) VALUES (?1, ?2, ?3)")
        .bind(batch.to_string())
        .bind(submission.shop.as_str())
        .bind(submission.now)
        .execute(db)
        .await?;
    Ok(batch)
}

pub(crate) async fn find(
    db: &mut SqliteConnection,
    shop: &ShopId,
    batch: Uuid,
) -> Result<Option<BatchRecord>> {
    let row = query(concat!(
        "SELECT batch.id, batch.created_at, ",
        task_columns!(),
        ", ",
        artifact_columns!(),
        " FROM batch
         JOIN task ON task.owner_id = batch.id AND task.kind = 'batch-report'
         LEFT JOIN artifact ON artifact.owner_id = batch.id AND artifact.kind = 'batch-report'
         WHERE batch.id = ?1 AND batch.shop_id = ?2"
    ))
    .bind(batch.to_string())
    .bind(shop.as_str())
    .fetch_optional(&mut *db)
    .await?;
    let Some(row) = row else { return Ok(None) };
    Ok(Some(BatchRecord {
        id: id(&row, "id")?,
        created_at: time(&row, "created_at")?,
        task: super::queue::status(&row)?,
        report: super::artifacts::optional_record(&row)?,
        jobs: super::jobs::of_batch(db, shop, batch).await?,
    }))
}
