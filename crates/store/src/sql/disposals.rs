//! The end of old jobs.

use uuid::Uuid;

use crate::db::{Row, Tx, query};
use crate::{DisposalRecord, Result, ShopId};

/// Heads of which the last job is older, none is signed, and no file is still to be made.
pub(crate) async fn quiet_heads(db: &mut Tx, shop: &ShopId, limit: i64, most: u32) -> Result<Vec<String>> {
    let heads = query(
        "SELECT head.id FROM head
         WHERE head.shop_id = $1
           AND NOT EXISTS (SELECT 1 FROM job WHERE job.head_id = head.id AND job.created_at >= $2)
           AND NOT EXISTS (SELECT 1 FROM sign_off WHERE sign_off.head_id = head.id)
           AND NOT EXISTS (
               SELECT 1 FROM job JOIN task ON task.owner_id = job.id OR task.owner_id = job.batch_id
               WHERE job.head_id = head.id AND task.state IN ('queued', 'running'))
           AND EXISTS (SELECT 1 FROM job WHERE job.head_id = head.id)
         ORDER BY head.id LIMIT $3",
    );
    Ok(heads.bind(shop.as_str()).bind(limit).bind(most).all(db, |row| row.get("id")).await?)
}

/// The jobs of a head with the digests of their evaluations, the last first: an earlier one may be named by a later.
pub(crate) async fn jobs_of(db: &mut Tx, head: &str) -> Result<Vec<(Uuid, String)>> {
    let jobs = query(
        "SELECT job.id, evaluation.digest FROM job JOIN evaluation ON evaluation.job_id = job.id
         WHERE job.head_id = $1 ORDER BY job.created_at DESC, job.id DESC",
    );
    Ok(jobs.bind(head).all(db, |row| Ok((row.get("id")?, row.get("digest")?))).await?)
}

/// Deletes a job with all that belongs to it; gives the names of its files.
pub(crate) async fn dispose(
    db: &mut Tx,
    shop: &ShopId,
    job: Uuid,
    digest: &str,
    now: i64,
) -> Result<Vec<String>> {
    query("INSERT INTO disposal (job_id, shop_id, digest, disposed_at) VALUES ($1, $2, $3, $4)")
        .bind(job)
        .bind(shop.as_str())
        .bind(digest)
        .bind(now)
        .execute(db)
        .await?;
    super::repeated::forget(db, shop, job).await?;
    let files = delete_files(db, job).await?;
    for table in [
        "DELETE FROM plan WHERE job_id = $1",
        "DELETE FROM evaluation WHERE job_id = $1",
        "DELETE FROM job WHERE id = $1",
    ] {
        query(table).bind(job).execute(db).await?;
    }
    Ok(files)
}

/// Deletes the batches of a shop that have ended and have no job left; gives the names of their files.
pub(crate) async fn dispose_batches(db: &mut Tx, shop: &ShopId) -> Result<Vec<String>> {
    let empty = query(
        "SELECT id FROM batch WHERE shop_id = $1 AND closed_at IS NOT NULL
           AND NOT EXISTS (SELECT 1 FROM job WHERE job.batch_id = batch.id)",
    );
    let empty: Vec<Uuid> = empty.bind(shop.as_str()).all(db, |row| row.get("id")).await?;
    let mut files = Vec::new();
    for batch in empty {
        super::repeated::forget(db, shop, batch).await?;
        files.extend(delete_files(db, batch).await?);
        super::batches::remove(db, batch).await?;
    }
    Ok(files)
}

async fn delete_files(db: &mut Tx, owner: Uuid) -> Result<Vec<String>> {
    query("DELETE FROM task WHERE owner_id = $1").bind(owner).execute(db).await?;
    let files = query("DELETE FROM artifact WHERE owner_id = $1 RETURNING path");
    Ok(files.bind(owner).all(db, |row| row.get("path")).await?)
}

pub(crate) async fn remove_head(db: &mut Tx, head: &str) -> Result<()> {
    query("DELETE FROM head WHERE id = $1").bind(head).execute(db).await?;
    Ok(())
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<DisposalRecord>> {
    let found = query("SELECT job_id, digest, disposed_at FROM disposal WHERE shop_id = $1 AND job_id = $2");
    let read = |row: &Row| {
        Ok(DisposalRecord {
            job: row.get("job_id")?,
            digest: row.get("digest")?,
            disposed_at: row.get("disposed_at")?,
        })
    };
    Ok(found.bind(shop.as_str()).bind(job).optional(db, read).await?)
}

pub(crate) async fn shops(db: &mut Tx) -> Result<Vec<ShopId>> {
    let shops = query("SELECT shop_id FROM shop_turn ORDER BY shop_id");
    Ok(shops.all(db, |row| Ok(ShopId::new(row.get::<String>("shop_id")?))).await?)
}
