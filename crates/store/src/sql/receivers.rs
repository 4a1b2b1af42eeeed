//! Receivers of events.

use uuid::Uuid;

use crate::db::{Row, Tx, query};
use crate::{NewReceiver, ReceiverRecord, ReceiverState, Result, ShopId};

/// The columns are named one by one: a statement that is prepared outlives a column that is added.
macro_rules! select_receivers {
    ($condition:literal) => {
        concat!(
            "SELECT id, url, description, events, state, reason, created_at, failing_since, old_until, secret,
                    old_secret
             FROM receiver ",
            $condition
        )
    };
}

pub(crate) async fn insert(
    db: &mut Tx,
    shop: &ShopId,
    id: Uuid,
    receiver: &NewReceiver,
    now: i64,
) -> Result<()> {
    query(
        "INSERT INTO receiver (id, shop_id, url, description, events, state, created_at, secret)
         VALUES ($1, $2, $3, $4, $5, 'enabled', $6, $7)",
    )
    .bind(id)
    .bind(shop.as_str())
    .bind(&receiver.url)
    .bind(&receiver.description)
    .bind(&receiver.events)
    .bind(now)
    .bind(receiver.secret.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, id: Uuid) -> Result<Option<ReceiverRecord>> {
    let found = query(select_receivers!("WHERE shop_id = $1 AND id = $2"));
    Ok(found.bind(shop.as_str()).bind(id).optional(db, record).await?)
}

pub(crate) async fn list(db: &mut Tx, shop: &ShopId) -> Result<Vec<ReceiverRecord>> {
    let found = query(select_receivers!("WHERE shop_id = $1 ORDER BY created_at, id"));
    Ok(found.bind(shop.as_str()).all(db, record).await?)
}

pub(crate) async fn remove(db: &mut Tx, shop: &ShopId, id: Uuid) -> Result<bool> {
    query("DELETE FROM delivery WHERE shop_id = $1 AND receiver_id = $2")
        .bind(shop.as_str())
        .bind(id)
        .execute(db)
        .await?;
    super::repeated::forget(db, shop, id).await?;
    let removed = query("DELETE FROM receiver WHERE shop_id = $1 AND id = $2");
    Ok(removed.bind(shop.as_str()).bind(id).execute(db).await? == 1)
}

pub(crate) async fn renew(db: &mut Tx, shop: &ShopId, id: Uuid, secret: &[u8], until: i64) -> Result<bool> {
    let renewed = query(
        "UPDATE receiver SET old_secret = secret, old_until = $4, secret = $3 WHERE shop_id = $1 AND id = $2",
    );
    Ok(renewed.bind(shop.as_str()).bind(id).bind(secret).bind(until).execute(db).await? == 1)
}

pub(crate) async fn enable(db: &mut Tx, shop: &ShopId, id: Uuid) -> Result<bool> {
    let enabled = query(
        "UPDATE receiver SET state = 'enabled', reason = NULL, failing_since = NULL, failures = 0, not_before = 0
         WHERE shop_id = $1 AND id = $2",
    );
    Ok(enabled.bind(shop.as_str()).bind(id).execute(db).await? == 1)
}

/// A message got through: whatever waited because others did not may go now.
pub(crate) async fn got_through(db: &mut Tx, id: Uuid, now: i64) -> Result<()> {
    let failed = query(
        "UPDATE receiver SET failing_since = NULL, failures = 0, not_before = 0, reason = NULL
         WHERE id = $1 AND failing_since IS NOT NULL",
    );
    if failed.bind(id).execute(db).await? == 1 {
        query("UPDATE delivery SET not_before = $2 WHERE receiver_id = $1 AND state = 'queued'")
            .bind(id)
            .bind(now)
            .execute(db)
            .await?;
    }
    Ok(())
}

/// A message did not get through: for a while the receiver is let be, the longer the more often. Says since when it
/// fails, and how often it has.
pub(crate) async fn did_not(db: &mut Tx, id: Uuid, reason: &str, now: i64) -> Result<Option<(i64, u32)>> {
    let failing = query(
        "UPDATE receiver SET failing_since = coalesce(failing_since, $2), failures = failures + 1, reason = $3
         WHERE id = $1 RETURNING failing_since, failures",
    );
    let read = |row: &Row| Ok((row.get("failing_since")?, row.get("failures")?));
    Ok(failing.bind(id).bind(now).bind(reason).optional(db, read).await?)
}

pub(crate) async fn let_be(db: &mut Tx, id: Uuid, until: i64) -> Result<()> {
    query("UPDATE receiver SET not_before = $2 WHERE id = $1").bind(id).bind(until).execute(db).await?;
    Ok(())
}

pub(crate) async fn disable(db: &mut Tx, id: Uuid, reason: &str) -> Result<()> {
    query("UPDATE receiver SET state = 'disabled', reason = $2 WHERE id = $1")
        .bind(id)
        .bind(reason)
        .execute(db)
        .await?;
    Ok(())
}

pub(super) fn record(row: &Row) -> sqlx::Result<ReceiverRecord> {
    Ok(ReceiverRecord {
        id: row.get("id")?,
        content: NewReceiver {
            url: row.get("url")?,
            description: row.get("description")?,
            events: row.get("events")?,
            secret: row.get("secret")?,
        },
        old_secret: row.get::<Option<Vec<u8>>>("old_secret")?.zip(row.get("old_until")?),
        created_at: row.get("created_at")?,
        state: ReceiverState {
            enabled: row.get::<String>("state")? == "enabled",
            reason: row.get("reason")?,
            failing_since: row.get("failing_since")?,
        },
    })
}
