//! Tasks. Whoever changes a running task names its attempt; no row changes for a lost one.

use uuid::Uuid;

use super::Submission;
use crate::db::{Row, Tx, query};
use crate::{ArtifactKind, Backlog, Claim, Origin, Result, ShopId, TaskState, TaskStatus};

/// The columns of a task, as [`status`] reads them.
macro_rules! task_columns {
    () => {
        "task.state, task.attempt, task.max_attempts, task.reason, task.finished_at"
    };
}
pub(super) use task_columns;

/// Gives a shop its place in the order of service; a new one comes first.
pub(crate) async fn enrol_shop(db: &mut Tx, shop: &ShopId) -> Result<()> {
    query("INSERT INTO shop_turn (shop_id) VALUES ($1) ON CONFLICT DO NOTHING")
        .bind(shop.as_str())
        .execute(db)
        .await?;
    Ok(())
}

/// Queues a task; a sheet of a batch names it.
pub(crate) async fn insert(
    db: &mut Tx,
    submission: &Submission<'_>,
    kind: ArtifactKind,
    owner: Uuid,
    batch: Option<Uuid>,
) -> Result<()> {
    query(
        "INSERT INTO task (id, shop_id, kind, owner_id, batch_id, state, max_attempts, not_before,
                           request_id, created_at, priority, trace_parent)
         VALUES ($1, $2, $3, $4, $5, 'queued', $6, $7, $8, $7, $9, $10)",
    )
    .bind(Uuid::now_v7())
    .bind(submission.shop.as_str())
    .bind(kind.as_str())
    .bind(owner)
    .bind(batch)
    .bind(submission.max_attempts)
    .bind(submission.now)
    .bind(&submission.origin.request_id)
    .bind(submission.priority.rank())
    .bind(submission.origin.trace_parent.as_deref())
    .execute(db)
    .await?;
    Ok(())
}

/// Whether a look under the write lock is worth while.
pub(crate) async fn anything_due(db: &mut Tx, now: i64) -> Result<bool> {
    let queued = query("SELECT 1 FROM task WHERE state = 'queued' AND not_before <= $1 LIMIT 1").bind(now);
    if queued.exists(db).await? {
        return Ok(true);
    }
    let left = query("SELECT 1 FROM task WHERE state = 'running' AND lease_until <= $1 LIMIT 1").bind(now);
    Ok(left.exists(db).await?)
}

/// Fails the tasks whose last worker has stopped, and tells which.
pub(crate) async fn give_up_exhausted(db: &mut Tx, now: i64) -> Result<Vec<Claim>> {
    macro_rules! give_up {
        ($lock:literal) => {
            concat!(
                "UPDATE task
                 SET state = 'failed', lease_until = NULL, finished_at = $1, stops = stops + 1,
                     reason = 'the worker stopped ' || (stops + 1)
                              || CASE stops WHEN 0 THEN ' time' ELSE ' times' END || ' while rendering'
                 WHERE id IN (SELECT id FROM task
                              WHERE state = 'running' AND lease_until <= $1 AND attempt >= max_attempts ",
                $lock,
                ")
                 RETURNING id, shop_id, kind, owner_id, attempt, max_attempts, request_id, trace_parent"
            )
        };
    }
    // One that somebody is just ending is not waited for.
    let ended = query(db.either(give_up!(""), give_up!("FOR UPDATE SKIP LOCKED")));
    Ok(ended.bind(now).all(db, claim).await?)
}

/// The shops that have a task to be served, in the order of their turns. Stops after some, so that many shops with a
/// long queue cost no more than few.
pub(crate) async fn shops_due(db: &mut Tx, now: i64) -> Result<Vec<ShopId>> {
    let shops = query(
        "SELECT shop_turn.shop_id FROM shop_turn
         WHERE EXISTS (
             SELECT 1 FROM task AS open
             WHERE open.shop_id = shop_turn.shop_id
               AND open.state IN ('queued', 'running')
               AND (open.state = 'queued' AND open.not_before <= $1
                    OR open.state = 'running' AND open.lease_until <= $1)
               AND (open.kind <> 'batch-report'
                    OR NOT EXISTS (SELECT 1 FROM task AS sheet
                                   WHERE sheet.batch_id = open.owner_id AND sheet.kind = 'sheet'
                                     AND sheet.state IN ('queued', 'running'))))
         ORDER BY shop_turn.served, shop_turn.shop_id LIMIT 8",
    );
    Ok(shops.bind(now).all(db, |row| Ok(ShopId::new(row.get::<String>("shop_id")?))).await?)
}

/// The task of a shop to be served next, if no other worker is just taking it.
pub(crate) async fn next(db: &mut Tx, shop: &ShopId, now: i64) -> Result<Option<Uuid>> {
    macro_rules! next {
        ($lock:literal) => {
            concat!(
                "SELECT open.id FROM task AS open
                 WHERE open.shop_id = $2
                   AND open.state IN ('queued', 'running')
                   AND (open.state = 'queued' AND open.not_before <= $1
                        OR open.state = 'running' AND open.lease_until <= $1)
                   AND (open.kind <> 'batch-report'
                        OR NOT EXISTS (SELECT 1 FROM task AS sheet
                                       WHERE sheet.batch_id = open.owner_id AND sheet.kind = 'sheet'
                                         AND sheet.state IN ('queued', 'running')))
                 ORDER BY open.priority DESC, open.created_at, open.id LIMIT 1 ",
                $lock
            )
        };
    }
    let next = query(db.either(next!(""), next!("FOR UPDATE SKIP LOCKED")));
    Ok(next.bind(now).bind(shop.as_str()).optional(db, |row| row.get("id")).await?)
}

/// Hands a task out and counts the attempt.
pub(crate) async fn take(db: &mut Tx, task: Uuid, lease_until: i64) -> Result<Claim> {
    let row = query(
        "UPDATE task
         SET stops = stops + CASE state WHEN 'running' THEN 1 ELSE 0 END,
             state = 'running', attempt = attempt + 1, lease_until = $2
         WHERE id = $1
         RETURNING id, shop_id, kind, owner_id, attempt, max_attempts, request_id, trace_parent",
    )
    .bind(task)
    .bind(lease_until)
    .fetch_one(db)
    .await?;
    Ok(claim(&row)?)
}

fn claim(row: &Row) -> sqlx::Result<Claim> {
    Ok(Claim {
        task: row.get("id")?,
        shop: ShopId::new(row.get::<String>("shop_id")?),
        kind: row.named("kind", ArtifactKind::parse)?,
        owner: row.get("owner_id")?,
        attempt: row.get("attempt")?,
        max_attempts: row.get("max_attempts")?,
        origin: origin(row)?,
    })
}

/// Where something comes from, in a row that says so.
pub(super) fn origin(row: &Row) -> sqlx::Result<Origin> {
    Ok(Origin { request_id: row.get("request_id")?, trace_parent: row.get("trace_parent")? })
}

/// Puts a shop at the end of the order of service.
pub(crate) async fn serve_last(db: &mut Tx, shop: &ShopId) -> Result<()> {
    query("UPDATE shop_turn SET served = (SELECT max(served) + 1 FROM shop_turn) WHERE shop_id = $1")
        .bind(shop.as_str())
        .execute(db)
        .await?;
    Ok(())
}

/// Moves the end of the lease; false when the claim no longer holds.
pub(crate) async fn renew(db: &mut Tx, claim: &Claim, lease_until: i64) -> Result<bool> {
    let renewed =
        query("UPDATE task SET lease_until = $3 WHERE id = $1 AND attempt = $2 AND state = 'running'")
            .bind(claim.task)
            .bind(claim.attempt)
            .bind(lease_until)
            .execute(db)
            .await?;
    Ok(renewed == 1)
}

/// Puts the task back into the queue, with more attempts if so wished; false when the claim no longer
/// holds.
pub(crate) async fn requeue(
    db: &mut Tx,
    claim: &Claim,
    reason: &str,
    not_before: i64,
    more_attempts: u32,
) -> Result<bool> {
    let requeued = query(
        "UPDATE task
         SET state = 'queued', lease_until = NULL, not_before = $3, reason = $4,
             max_attempts = max_attempts + $5
         WHERE id = $1 AND attempt = $2 AND state = 'running'",
    )
    .bind(claim.task)
    .bind(claim.attempt)
    .bind(not_before)
    .bind(reason)
    .bind(more_attempts)
    .execute(db)
    .await?;
    Ok(requeued == 1)
}

/// Brings the task to a terminal state; false when the claim no longer holds.
pub(crate) async fn end(
    db: &mut Tx,
    claim: &Claim,
    state: TaskState,
    reason: Option<&str>,
    now: i64,
) -> Result<bool> {
    let ended = query(
        "UPDATE task SET state = $3, lease_until = NULL, reason = $4, finished_at = $5
         WHERE id = $1 AND attempt = $2 AND state = 'running'",
    )
    .bind(claim.task)
    .bind(claim.attempt)
    .bind(state.as_str())
    .bind(reason)
    .bind(now)
    .execute(db)
    .await?;
    Ok(ended == 1)
}

/// The status of the task that makes this artifact.
pub(crate) async fn find(
    db: &mut Tx,
    shop: &ShopId,
    owner: Uuid,
    kind: ArtifactKind,
) -> Result<Option<TaskStatus>> {
    let found = query(concat!(
        "SELECT ",
        task_columns!(),
        " FROM task WHERE owner_id = $1 AND kind = $2 AND shop_id = $3"
    ));
    Ok(found.bind(owner).bind(kind.as_str()).bind(shop.as_str()).optional(db, status).await?)
}

/// Calls off the task that makes this artifact; false when it is over, or there is none.
pub(crate) async fn call_off(
    db: &mut Tx,
    shop: &ShopId,
    owner: Uuid,
    kind: ArtifactKind,
    now: i64,
) -> Result<bool> {
    let cancelled = query(
        "UPDATE task SET state = 'cancelled', lease_until = NULL, finished_at = $4
         WHERE owner_id = $1 AND kind = $2 AND shop_id = $3 AND state IN ('queued', 'running')",
    );
    let cancelled = cancelled.bind(owner).bind(kind.as_str()).bind(shop.as_str()).bind(now);
    Ok(cancelled.execute(db).await? == 1)
}

/// Calls off the sheets of a batch that are not over, and tells whose.
pub(crate) async fn call_off_sheets(db: &mut Tx, shop: &ShopId, batch: Uuid, now: i64) -> Result<Vec<Uuid>> {
    let cancelled = query(
        "UPDATE task SET state = 'cancelled', lease_until = NULL, finished_at = $3
         WHERE batch_id = $1 AND shop_id = $2 AND kind = 'sheet' AND state IN ('queued', 'running')
         RETURNING owner_id",
    );
    Ok(cancelled.bind(batch).bind(shop.as_str()).bind(now).all(db, |row| row.get("owner_id")).await?)
}

/// How many sheets of a batch are in each state.
pub(crate) async fn of_batch(db: &mut Tx, shop: &ShopId, batch: Uuid) -> Result<Vec<(TaskState, u64)>> {
    let counts = query(
        "SELECT state, count(*) AS value FROM task
         WHERE batch_id = $1 AND shop_id = $2 AND kind = 'sheet' GROUP BY state",
    );
    let count = |row: &Row| Ok((row.named("state", TaskState::parse)?, row.get("value")?));
    Ok(counts.bind(batch).bind(shop.as_str()).all(db, count).await?)
}

/// How many tasks of a shop are open, but no further counted than to `most`.
pub(crate) async fn open_up_to(db: &mut Tx, shop: &ShopId, most: u32) -> Result<u64> {
    let open = query(
        "SELECT count(*) AS value FROM (
             SELECT 1 FROM task WHERE shop_id = $1 AND state IN ('queued', 'running') LIMIT $2) AS open",
    );
    Ok(open.bind(shop.as_str()).bind(most).value(db).await?)
}

/// How many tasks are in each open state, and since when the oldest that is due has been.
pub(crate) async fn backlog(db: &mut Tx, now: i64) -> Result<Backlog> {
    let row = query(
        "SELECT (SELECT count(*) FROM task WHERE state = 'queued') AS queued,
                (SELECT count(*) FROM task WHERE state = 'running') AS running,
                (SELECT min(not_before) FROM task WHERE state = 'queued' AND not_before <= $1) AS oldest,
                (SELECT count(*) FROM delivery WHERE state IN ('queued', 'running')) AS deliveries",
    );
    let row = row.bind(now).fetch_one(db).await?;
    let oldest: Option<i64> = row.get("oldest")?;
    let age = oldest.map_or(0, |oldest| now.saturating_sub(oldest));
    Ok(Backlog {
        queued: row.get("queued")?,
        running: row.get("running")?,
        age: std::time::Duration::from_millis(age.unsigned_abs()),
        deliveries: row.get("deliveries")?,
    })
}

/// The status in a row that has the columns of a task.
pub(super) fn status(row: &Row) -> sqlx::Result<TaskStatus> {
    Ok(TaskStatus {
        state: row.named("state", TaskState::parse)?,
        attempt: row.get("attempt")?,
        max_attempts: row.get("max_attempts")?,
        reason: row.get("reason")?,
        finished_at: row.get("finished_at")?,
    })
}
