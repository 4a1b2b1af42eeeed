//! Batches and the lines of them that were refused.

use uuid::Uuid;

use super::artifacts::artifact_columns;
use super::queue::task_columns;
use crate::db::{Row, Tx, query};
use crate::{BatchRecord, Error, OpenBatch, Page, Progress, RefusedLine, Result, ShopId, TaskStatus};

/// Batches with the task of their report, and that; to be completed by a condition.
macro_rules! select_batches {
    ($condition:literal) => {
        concat!(
            "SELECT batch.id, batch.created_at, batch.last_line, batch.touched_at, batch.closed_at,
                    (SELECT count(*) FROM refused_line WHERE refused_line.batch_id = batch.id) AS refused,
                    task.id AS task_id, ",
            task_columns!(),
            ", ",
            artifact_columns!(),
            " FROM batch
             LEFT JOIN task ON task.owner_id = batch.id AND task.kind = 'batch-report'
             LEFT JOIN artifact ON artifact.owner_id = batch.id AND artifact.kind = 'batch-report' ",
            $condition
        )
    };
}

/// How far a batch has come in.
pub(crate) struct Standing {
    pub(crate) last_line: u32,
    pub(crate) touched_at: i64,
    pub(crate) closed: bool,
    pub(crate) writer: u32,
}

/// Inserts a batch, still without lines; returns its id.
pub(crate) async fn insert(db: &mut Tx, shop: &ShopId, digest: &str, now: i64) -> Result<Uuid> {
    let batch = Uuid::now_v7();
    query("INSERT INTO batch (id, shop_id, created_at, digest, touched_at) VALUES ($1, $2, $3, $4, $3)")
        .bind(batch)
        .bind(shop.as_str())
        .bind(now)
        .bind(digest)
        .execute(db)
        .await?;
    Ok(batch)
}

pub(crate) async fn standing(db: &mut Tx, shop: &ShopId, batch: Uuid) -> Result<Option<Standing>> {
    let standing =
        query("SELECT last_line, touched_at, closed_at, writer FROM batch WHERE id = $1 AND shop_id = $2");
    let read = |row: &Row| {
        Ok(Standing {
            last_line: row.get("last_line")?,
            touched_at: row.get("touched_at")?,
            closed: row.get::<Option<i64>>("closed_at")?.is_some(),
            writer: row.get("writer")?,
        })
    };
    Ok(standing.bind(batch).bind(shop.as_str()).optional(db, read).await?)
}

/// Shows that a batch is still in the hands of whoever holds it.
///
/// # Errors
/// [`Error::StillRunning`] when somebody else has gone on with it, or ended it.
pub(crate) async fn held(db: &mut Tx, shop: &ShopId, open: &OpenBatch) -> Result<()> {
    let held = standing(db, shop, open.id).await?.is_some_and(|standing| {
        !standing.closed && (standing.writer, standing.last_line) == (open.writer, open.last_line)
    });
    if held { Ok(()) } else { Err(Error::StillRunning) }
}

/// Gives a batch into other hands; tells which these are.
pub(crate) async fn go_on(db: &mut Tx, batch: Uuid, now: i64) -> Result<u32> {
    let next = query(
        "UPDATE batch SET writer = writer + 1, touched_at = $2 WHERE id = $1 RETURNING writer AS value",
    );
    Ok(next.bind(batch).bind(now).value(db).await?)
}

/// Says that the lines up to this one are stored.
pub(crate) async fn touch(db: &mut Tx, batch: Uuid, last_line: u32, now: i64) -> Result<()> {
    let touched = query("UPDATE batch SET last_line = $2, touched_at = $3 WHERE id = $1");
    touched.bind(batch).bind(last_line).bind(now).execute(db).await?;
    Ok(())
}

/// No more lines come.
pub(crate) async fn close(db: &mut Tx, batch: Uuid, now: i64) -> Result<()> {
    query("UPDATE batch SET closed_at = $2, touched_at = $2 WHERE id = $1")
        .bind(batch)
        .bind(now)
        .execute(db)
        .await?;
    Ok(())
}

/// Batches that came in so far and no further before this time.
pub(crate) async fn left(db: &mut Tx, limit: i64) -> Result<Vec<(ShopId, Uuid)>> {
    let left = query(
        "SELECT shop_id, id FROM batch WHERE closed_at IS NULL AND touched_at < $1 ORDER BY id LIMIT 100",
    );
    let read = |row: &Row| Ok((ShopId::new(row.get::<String>("shop_id")?), row.get("id")?));
    Ok(left.bind(limit).all(db, read).await?)
}

/// Removes a batch without jobs.
pub(crate) async fn remove(db: &mut Tx, batch: Uuid) -> Result<()> {
    query("DELETE FROM refused_line WHERE batch_id = $1").bind(batch).execute(db).await?;
    query("DELETE FROM batch WHERE id = $1").bind(batch).execute(db).await?;
    Ok(())
}

pub(crate) async fn refuse(db: &mut Tx, batch: Uuid, line: &RefusedLine) -> Result<()> {
    query("INSERT INTO refused_line (batch_id, line, client_reference, problem) VALUES ($1, $2, $3, $4)")
        .bind(batch)
        .bind(line.line)
        .bind(&line.client_reference)
        .bind(line.problem.as_slice())
        .execute(db)
        .await?;
    Ok(())
}

/// The refused lines of a batch after a line.
pub(crate) async fn refused(
    db: &mut Tx,
    shop: &ShopId,
    batch: Uuid,
    after: u32,
    most: u32,
) -> Result<Vec<RefusedLine>> {
    let lines = query(
        "SELECT refused_line.line, client_reference, problem
         FROM refused_line JOIN batch ON batch.id = refused_line.batch_id
         WHERE batch.id = $1 AND batch.shop_id = $2 AND refused_line.line > $3
         ORDER BY refused_line.line LIMIT $4",
    );
    let read = |row: &Row| {
        Ok(RefusedLine {
            line: row.get("line")?,
            client_reference: row.get("client_reference")?,
            problem: row.get("problem")?,
        })
    };
    Ok(lines.bind(batch).bind(shop.as_str()).bind(after).bind(most).all(db, read).await?)
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, batch: Uuid) -> Result<Option<BatchRecord>> {
    let found = query(select_batches!("WHERE batch.id = $1 AND batch.shop_id = $2"));
    let Some(mut record) = found.bind(batch).bind(shop.as_str()).optional(db, record).await? else {
        return Ok(None);
    };
    count(db, shop, &mut record).await?;
    Ok(Some(record))
}

/// Batches, the oldest first.
pub(crate) async fn list(db: &mut Tx, shop: &ShopId, page: &Page) -> Result<Vec<BatchRecord>> {
    let found = query(select_batches!(
        "WHERE batch.shop_id = $1 AND (batch.created_at > $2 OR batch.created_at = $2 AND batch.id > $3)
         ORDER BY batch.created_at, batch.id LIMIT $4"
    ));
    let found = found.bind(shop.as_str()).bind(page.after_at()).bind(page.after_id()).bind(page.most);
    let mut records = found.all(db, record).await?;
    for one in &mut records {
        count(db, shop, one).await?;
    }
    Ok(records)
}

async fn count(db: &mut Tx, shop: &ShopId, record: &mut BatchRecord) -> Result<()> {
    for (state, sheets) in super::queue::of_batch(db, shop, record.id).await? {
        *record.progress.of(state) = sheets;
    }
    Ok(())
}

fn record(row: &Row) -> sqlx::Result<BatchRecord> {
    let task: Option<Uuid> = row.get("task_id")?;
    Ok(BatchRecord {
        id: row.get("id")?,
        created_at: row.get("created_at")?,
        closed: row.get::<Option<i64>>("closed_at")?.is_some(),
        task: match task {
            Some(_) => super::queue::status(row)?,
            None => TaskStatus::waiting(),
        },
        report: super::artifacts::optional_record(row)?,
        progress: Progress { refused: row.get("refused")?, ..Progress::default() },
    })
}
