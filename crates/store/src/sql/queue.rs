//! Tasks. Whoever changes a running task names its attempt; no row changes for a lost one.

use sqlx::{Row, SqliteConnection, query, query_scalar, sqlite::SqliteRow};
use uuid::Uuid;

use super::{Submission, id, named, optional_time};
use crate::{ArtifactKind, Claim, Result, ShopId, TaskState, TaskStatus};

/// The columns of a task, as [`status`] reads them.
macro_rules! task_columns {
    () => {
        "task.state, task.attempt, task.max_attempts, task.reason, task.finished_at"
    };
}
pub(super) use task_columns;

/// Gives a shop its place in the order of service; a new one comes first.
pub(crate) async fn enrol_shop(db: &mut SqliteConnection, shop: &ShopId) -> Result<()> {
    query("INSERT INTO shop_turn (shop_id) VALUES (?1) ON CONFLICT DO NOTHING")
        .bind(shop.as_str())
        .execute(db)
        .await?;
    Ok(())
}

/// Queues a task; a sheet of a batch names it.
pub(crate) async fn insert(
    db: &mut SqliteConnection,
    submission: &Submission<'_>,
    kind: ArtifactKind,
    owner: Uuid,
    batch: Option<Uuid>,
) -> Result<()> {
    query(
        "INSERT INTO task (id, shop_id, kind, owner_id, batch_id, state, max_attempts, not_before,
                           request_id, created_at)
         VALUES (?1, ?2, ?3, ?4, ?5, 'queued', ?6, ?7, ?8, ?7)",
    )
    .bind(Uuid::now_v7().to_string())
    .bind(submission.shop.as_str())
    .bind(kind.as_str())
    .bind(owner.to_string())
    .bind(batch.map(|batch| batch.to_string()))
    .bind(submission.max_attempts)
    .bind(submission.now)
    .bind(submission.request_id)
    .execute(db)
    .await?;
    Ok(())
}

/// Whether a look under the write lock is worth while.
pub(crate) async fn anything_due(db: &mut SqliteConnection, now: i64) -> Result<bool> {
    let due = query_scalar(
        "SELECT EXISTS (SELECT 1 FROM task WHERE state = 'queued' AND not_before <= ?1)
             OR EXISTS (SELECT 1 FROM task WHERE state = 'running' AND lease_until <= ?1)",
    )
    .bind(now)
    .fetch_one(db)
    .await?;
    Ok(due)
}

/// Fails the tasks whose last worker has stopped; returns how many.
pub(crate) async fn give_up_exhausted(db: &mut SqliteConnection, now: i64) -> Result<u64> {
    let ended = query(
        "UPDATE task
         SET state = 'failed', lease_until = NULL, finished_at = ?1, stops = stops + 1,
             reason = 'the worker stopped ' || (stops + 1) || iif(stops = 0, ' time', ' times')
                      || ' while rendering'
         WHERE state = 'running' AND lease_until <= ?1 AND attempt >= max_attempts",
    )
    .bind(now)
    .execute(db)
    .await?;
    Ok(ended.rows_affected())
}

/// The task to be served next. Walks the shops in the order of their turns and stops at the first
/// that has one, so that a long queue of one shop costs the others nothing.
pub(crate) async fn next(db: &mut SqliteConnection, now: i64) -> Result<Option<Uuid>> {
    let row = query(
        "SELECT task.id FROM shop_turn
         JOIN task ON task.id = (
             SELECT open.id FROM task AS open
             WHERE open.shop_id = shop_turn.shop_id
               AND open.state IN ('queued', 'running')
               AND (open.state = 'queued' AND open.not_before <= ?1
                    OR open.state = 'running' AND open.lease_until <= ?1)
               AND (open.kind <> 'batch-report'
                    OR NOT EXISTS (SELECT 1 FROM task AS sheet
                                   WHERE sheet.batch_id = open.owner_id AND sheet.kind = 'sheet'
                                     AND sheet.state IN ('queued', 'running')))
             ORDER BY open.created_at, open.id LIMIT 1)
         ORDER BY shop_turn.served, shop_turn.shop_id LIMIT 1",
    )
    .bind(now)
    .fetch_optional(db)
    .await?;
    Ok(row.as_ref().map(|row| id(row, "id")).transpose()?)
}

/// Hands a task out and counts the attempt.
pub(crate) async fn take(db: &mut SqliteConnection, task: Uuid, lease_until: i64) -> Result<Claim> {
    let row = query(
        "UPDATE task
         SET stops = stops + (state = 'running'), state = 'running', attempt = attempt + 1, lease_until = ?2
         WHERE id = ?1
         RETURNING id, shop_id, kind, owner_id, attempt, max_attempts, request_id",
    )
    .bind(task.to_string())
    .bind(lease_until)
    .fetch_one(db)
    .await?;
    Ok(Claim {
        task: id(&row, "id")?,
        shop: ShopId::new(row.try_get::<String, _>("shop_id")?),
        kind: named(&row, "kind", ArtifactKind::parse)?,
        owner: id(&row, "owner_id")?,
        attempt: row.try_get("attempt")?,
        max_attempts: row.try_get("max_attempts")?,
        request_id: row.try_get("request_id")?,
    })
}

/// Puts a shop at the end of the order of service.
pub(crate) async fn serve_last(db: &mut SqliteConnection, shop: &ShopId) -> Result<()> {
    query("UPDATE shop_turn SET served = (SELECT max(served) + 1 FROM shop_turn) WHERE shop_id = ?1")
        .bind(shop.as_str())
        .execute(db)
        .await?;
    Ok(())
}

/// Moves the end of the lease; false when the claim no longer holds.
pub(crate) async fn renew(db: &mut SqliteConnection, claim: &Claim, lease_until: i64) -> Result<bool> {
    let renewed =
        query("UPDATE task SET lease_until = ?3 WHERE id = ?1 AND attempt = ?2 AND state = 'running'")
            .bind(claim.task.to_string())
            .bind(claim.attempt)
            .bind(lease_until)
            .execute(db)
            .await?;
    Ok(renewed.rows_affected() == 1)
}

/// Puts the task back into the queue, with more attempts if so wished; false when the claim no longer
/// holds.
pub(crate) async fn requeue(
    db: &mut SqliteConnection,
    claim: &Claim,
    reason: &str,
    not_before: i64,
    more_attempts: u32,
) -> Result<bool> {
    let requeued = query(
        "UPDATE task
         SET state = 'queued', lease_until = NULL, not_before = ?3, reason = ?4,
             max_attempts = max_attempts + ?5
         WHERE id = ?1 AND attempt = ?2 AND state = 'running'",
    )
    .bind(claim.task.to_string())
    .bind(claim.attempt)
    .bind(not_before)
    .bind(reason)
    .bind(more_attempts)
    .execute(db)
    .await?;
    Ok(requeued.rows_affected() == 1)
}

/// Brings the task to a terminal state; false when the claim no longer holds.
pub(crate) async fn end(
    db: &mut SqliteConnection,
    claim: &Claim,
    state: TaskState,
    reason: Option<&str>,
    now: i64,
) -> Result<bool> {
    let ended = query(
        "UPDATE task SET state = ?3, lease_until = NULL, reason = ?4, finished_at = ?5
         WHERE id = ?1 AND attempt = ?2 AND state = 'running'",
    )
    .bind(claim.task.to_string())
    .bind(claim.attempt)
    .bind(state.as_str())
    .bind(reason)
    .bind(now)
    .execute(db)
    .await?;
    Ok(ended.rows_affected() == 1)
}

/// The status of the task that makes this artifact.
pub(crate) async fn find(
    db: &mut SqliteConnection,
    shop: &ShopId,
    owner: Uuid,
    kind: ArtifactKind,
) -> Result<Option<TaskStatus>> {
    let row = query(concat!(
        "SELECT ",
        task_columns!(),
        " FROM task WHERE owner_id = ?1 AND kind = ?2 AND shop_id = ?3"
    ))
    .bind(owner.to_string())
    .bind(kind.as_str())
    .bind(shop.as_str())
    .fetch_optional(db)
    .await?;
    Ok(row.as_ref().map(status).transpose()?)
}

/// The status in a row that has the columns of a task.
pub(super) fn status(row: &SqliteRow) -> sqlx::Result<TaskStatus> {
    Ok(TaskStatus {
        state: named(row, "state", TaskState::parse)?,
        attempt: row.try_get("attempt")?,
        max_attempts: row.try_get("max_attempts")?,
        reason: row.try_get("reason")?,
        finished_at: optional_time(row, "finished_at")?,
    })
}
