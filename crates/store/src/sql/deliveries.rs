//! Deliveries of events to receivers.

use uuid::Uuid;

use super::queue::origin;
use crate::db::{Row, Tx, query};
use crate::deliveries::{Limits, Telling};
use crate::{DeliveryClaim, DeliveryRecord, DeliveryState, Message, Origin, Page, Result, ShopId};

/// The columns of a message and of how it goes, of a table of that name.
macro_rules! delivery_columns {
    () => {
        "delivery.id AS message_id, delivery.shop_id, delivery.event, delivery.owner_id, delivery.occurred_at,
         delivery.request_id, delivery.trace_parent, delivery.state AS delivery_state, delivery.attempt,
         delivery.not_before, delivery.status, delivery.reason AS delivery_reason, delivery.finished_at"
    };
}

/// Queues a message for each receiver of the shop that wants to be told of such.
pub(crate) async fn tell(
    db: &mut Tx,
    shop: &ShopId,
    telling: Telling,
    from: &Origin,
    now: i64,
) -> Result<()> {
    for receiver in wanting(db, shop, &telling.event).await? {
        insert(db, shop, receiver, &telling, from, now).await?;
    }
    Ok(())
}

/// The receivers of a shop that want to be told of such.
pub(crate) async fn wanting(db: &mut Tx, shop: &ShopId, event: &str) -> Result<Vec<Uuid>> {
    let receivers = query(
        "SELECT id FROM receiver
         WHERE shop_id = $1 AND state = 'enabled' AND (events = '' OR ' ' || events || ' ' LIKE '% ' || $2 || ' %')
         ORDER BY id",
    );
    Ok(receivers.bind(shop.as_str()).bind(event).all(db, |row| row.get("id")).await?)
}

/// Whether a receiver was or is to be told of this already.
pub(crate) async fn was_told(db: &mut Tx, receiver: Uuid, telling: &Telling) -> Result<bool> {
    let told = query("SELECT 1 FROM delivery WHERE owner_id = $1 AND receiver_id = $2 AND event = $3");
    Ok(told.bind(telling.owner).bind(receiver).bind(&telling.event).exists(db).await?)
}

pub(crate) async fn insert(
    db: &mut Tx,
    shop: &ShopId,
    receiver: Uuid,
    telling: &Telling,
    from: &Origin,
    now: i64,
) -> Result<Uuid> {
    let id = Uuid::now_v7();
    query(
        "INSERT INTO delivery (id, shop_id, receiver_id, event, owner_id, occurred_at, request_id, trace_parent,
                               state, not_before)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, 'queued', $6)",
    )
    .bind(id)
    .bind(shop.as_str())
    .bind(receiver)
    .bind(&telling.event)
    .bind(telling.owner)
    .bind(now)
    .bind(&from.request_id)
    .bind(&from.trace_parent)
    .execute(db)
    .await?;
    Ok(id)
}

/// The receivers that something is due for, in the order of their turns; none that has enough under way, or one
/// under way while it fails.
pub(crate) async fn due(db: &mut Tx, only: Option<Uuid>, now: i64, limits: Limits) -> Result<Vec<Uuid>> {
    let due = query(
        "SELECT receiver.id FROM receiver
         WHERE receiver.state = 'enabled' AND receiver.not_before <= $1 AND ($3 IS NULL OR receiver.id = $3)
           AND EXISTS (SELECT 1 FROM delivery
                       WHERE delivery.receiver_id = receiver.id
                         AND (delivery.state = 'queued' AND delivery.not_before <= $1
                              OR delivery.state = 'running' AND delivery.lease_until <= $1))
           AND (SELECT count(*) FROM delivery
                WHERE delivery.receiver_id = receiver.id AND delivery.state = 'running'
                  AND delivery.lease_until > $1)
               < CASE WHEN receiver.failures < $4 THEN $2 ELSE 1 END
         ORDER BY receiver.served, receiver.id LIMIT 8",
    );
    Ok(due
        .bind(now)
        .bind(limits.at_once)
        .bind(only)
        .bind(limits.failing)
        .all(db, |row| row.get("id"))
        .await?)
}

/// From now to the end of the transaction, no other worker takes anything for this receiver. False when one is just doing
/// so, or when nothing is due any more: what was counted before may have changed.
pub(crate) async fn hold(db: &mut Tx, receiver: Uuid, now: i64, limits: Limits) -> Result<bool> {
    let held = query(db.either(
        "SELECT 1 FROM receiver WHERE id = $1",
        // No stronger: whoever queues a message for it need not wait.
        "SELECT 1 FROM receiver WHERE id = $1 FOR NO KEY UPDATE SKIP LOCKED",
    ));
    Ok(held.bind(receiver).exists(db).await?
        && due(db, Some(receiver), now, limits).await?.contains(&receiver))
}

/// The message to be sent to a receiver next, if no other worker is just taking it.
pub(crate) async fn next(db: &mut Tx, receiver: Uuid, now: i64) -> Result<Option<Uuid>> {
    macro_rules! next {
        ($lock:literal) => {
            concat!(
                "SELECT id FROM delivery
                 WHERE receiver_id = $1 AND state IN ('queued', 'running')
                   AND (state = 'queued' AND not_before <= $2 OR state = 'running' AND lease_until <= $2)
                 ORDER BY not_before, id LIMIT 1 ",
                $lock
            )
        };
    }
    let next = query(db.either(next!(""), next!("FOR UPDATE SKIP LOCKED")));
    Ok(next.bind(receiver).bind(now).optional(db, |row| row.get("id")).await?)
}

/// Hands a message out, counts the attempt, and puts its receiver at the end of the order.
pub(crate) async fn take(db: &mut Tx, id: Uuid, lease_until: i64) -> Result<Option<DeliveryClaim>> {
    query(
        "UPDATE delivery SET state = 'running', attempt = attempt + 1, fence = fence + 1, lease_until = $2
         WHERE id = $1",
    )
    .bind(id)
    .bind(lease_until)
    .execute(db)
    .await?;
    query(
        "UPDATE receiver SET served = (SELECT max(served) + 1 FROM receiver)
         WHERE id = (SELECT receiver_id FROM delivery WHERE id = $1)",
    )
    .bind(id)
    .execute(db)
    .await?;
    let taken = query(concat!(
        "SELECT ",
        delivery_columns!(),
        ", delivery.fence, receiver.id, receiver.url, receiver.description, receiver.events, receiver.state, receiver.reason,
           receiver.created_at, receiver.failing_since, receiver.old_until, receiver.secret, receiver.old_secret
         FROM delivery JOIN receiver ON receiver.id = delivery.receiver_id WHERE delivery.id = $1"
    ));
    let read = |row: &Row| {
        let (message, receiver) = (message(row)?, super::receivers::record(row)?);
        Ok(DeliveryClaim { message, receiver, attempt: row.get("attempt")?, fence: row.get("fence")? })
    };
    Ok(taken.bind(id).optional(db, read).await?)
}

/// Brings a delivery to its end; false when the claim no longer holds.
pub(crate) async fn end(
    db: &mut Tx,
    claim: &DeliveryClaim,
    state: DeliveryState,
    status: Option<u16>,
    reason: Option<&str>,
    now: i64,
) -> Result<bool> {
    let ended = query(
        "UPDATE delivery SET state = $3, lease_until = NULL, status = $4, reason = $5, finished_at = $6
         WHERE id = $1 AND fence = $2 AND state = 'running'",
    );
    let ended = ended.bind(claim.message.id).bind(claim.fence).bind(state.as_str());
    let ended = ended.bind(status.map(i64::from)).bind(reason).bind(now);
    Ok(ended.execute(db).await? == 1)
}

/// Puts a delivery back; false when the claim no longer holds.
pub(crate) async fn requeue(
    db: &mut Tx,
    claim: &DeliveryClaim,
    status: Option<u16>,
    reason: &str,
    not_before: i64,
) -> Result<bool> {
    let requeued = query(
        "UPDATE delivery SET state = 'queued', lease_until = NULL, status = $3, reason = $4, not_before = $5
         WHERE id = $1 AND fence = $2 AND state = 'running'",
    );
    let requeued = requeued.bind(claim.message.id).bind(claim.fence);
    let requeued = requeued.bind(status.map(i64::from)).bind(reason).bind(not_before);
    Ok(requeued.execute(db).await? == 1)
}

/// Puts a delivery back as if it had not been taken; false when the claim no longer holds.
pub(crate) async fn put_back(db: &mut Tx, claim: &DeliveryClaim, not_before: i64) -> Result<bool> {
    let put_back = query(
        "UPDATE delivery SET state = 'queued', lease_until = NULL, attempt = attempt - 1, not_before = $3
         WHERE id = $1 AND fence = $2 AND state = 'running'",
    );
    Ok(put_back.bind(claim.message.id).bind(claim.fence).bind(not_before).execute(db).await? == 1)
}

/// Deliveries to a receiver, the oldest first.
pub(crate) async fn list(
    db: &mut Tx,
    shop: &ShopId,
    receiver: Uuid,
    state: Option<DeliveryState>,
    page: &Page,
) -> Result<Vec<DeliveryRecord>> {
    let list = query(concat!(
        "SELECT ",
        delivery_columns!(),
        " FROM delivery
         WHERE shop_id = $1 AND receiver_id = $2 AND ($3 IS NULL OR state = $3)
           AND (occurred_at > $4 OR occurred_at = $4 AND id > $5)
         ORDER BY occurred_at, id LIMIT $6"
    ));
    let list = list.bind(shop.as_str()).bind(receiver).bind(state.map(DeliveryState::as_str));
    Ok(list.bind(page.after_at()).bind(page.after_id()).bind(page.most).all(db, record).await?)
}

/// Queues messages anew that are over: one of them, or all that are dead.
pub(crate) async fn again(
    db: &mut Tx,
    shop: &ShopId,
    receiver: Uuid,
    one: Option<Uuid>,
    now: i64,
) -> Result<u64> {
    let again = query(
        "UPDATE delivery SET state = 'queued', attempt = 0, not_before = $4, finished_at = NULL
         WHERE shop_id = $1 AND receiver_id = $2
           AND (state = 'dead' AND $3 IS NULL OR state IN ('dead', 'delivered') AND id = $3)",
    );
    Ok(again.bind(shop.as_str()).bind(receiver).bind(one).bind(now).execute(db).await?)
}

pub(crate) async fn forget_before(db: &mut Tx, limit: i64) -> Result<u64> {
    Ok(query("DELETE FROM delivery WHERE finished_at < $1").bind(limit).execute(db).await?)
}

fn message(row: &Row) -> sqlx::Result<Message> {
    Ok(Message {
        id: row.get("message_id")?,
        shop: ShopId::new(row.get::<String>("shop_id")?),
        event: row.get("event")?,
        owner: row.get("owner_id")?,
        occurred_at: row.get("occurred_at")?,
        origin: origin(row)?,
    })
}

fn record(row: &Row) -> sqlx::Result<DeliveryRecord> {
    Ok(DeliveryRecord {
        message: message(row)?,
        state: row.named("delivery_state", DeliveryState::parse)?,
        attempt: row.get("attempt")?,
        not_before: row.get("not_before")?,
        status: row.get("status")?,
        reason: row.get("delivery_reason")?,
        finished_at: row.get("finished_at")?,
    })
}
