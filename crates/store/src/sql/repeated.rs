//! Requests that named a key, and what they made.

use uuid::Uuid;

use crate::db::{Tx, query};
use crate::{Error, Once, Result, ShopId};

/// What a request of the same key has made before.
pub(crate) async fn made(db: &mut Tx, shop: &ShopId, once: &Once) -> Result<Option<Uuid>> {
    let made = query(
        "SELECT fingerprint, resource_id FROM repeated WHERE shop_id = $1 AND operation = $2 AND key = $3",
    );
    let made = made.bind(shop.as_str()).bind(once.operation).bind(&once.key).fetch_optional(db).await?;
    let Some(row) = made else { return Ok(None) };
    if row.get::<String>("fingerprint")? != once.fingerprint {
        return Err(Error::KeyReused);
    }
    Ok(Some(row.get("resource_id")?))
}

/// Keeps what a request has made. To be called in the transaction that makes it.
pub(crate) async fn keep(db: &mut Tx, shop: &ShopId, once: &Once, resource: Uuid, now: i64) -> Result<()> {
    query(
        "INSERT INTO repeated (shop_id, operation, key, fingerprint, resource_id, created_at)
         VALUES ($1, $2, $3, $4, $5, $6)",
    )
    .bind(shop.as_str())
    .bind(once.operation)
    .bind(&once.key)
    .bind(&once.fingerprint)
    .bind(resource)
    .bind(now)
    .execute(db)
    .await?;
    Ok(())
}

/// Forgets what made this, so that the request can be made again.
pub(crate) async fn forget(db: &mut Tx, shop: &ShopId, resource: Uuid) -> Result<()> {
    let forgotten = query("DELETE FROM repeated WHERE shop_id = $1 AND resource_id = $2");
    forgotten.bind(shop.as_str()).bind(resource).execute(db).await?;
    Ok(())
}

/// Forgets what is older.
pub(crate) async fn forget_before(db: &mut Tx, limit: i64) -> Result<u64> {
    Ok(query("DELETE FROM repeated WHERE created_at < $1").bind(limit).execute(db).await?)
}
