//! Keys.

use uuid::Uuid;

use crate::db::{Row, Tx, query};
use crate::{KeyRecord, NewKey, Result, ShopId, clock::unix_ms};

/// The columns are named one by one: a statement that is prepared outlives a column that is added.
macro_rules! select_keys {
    ($condition:literal) => {
        concat!("SELECT id, shop_id, label, scopes, person_id, secret_sha256, created_at, expires_at, revoked_at FROM access_key ", $condition)
    };
}

pub(crate) async fn insert(db: &mut Tx, shop: &ShopId, key: &NewKey, now: i64) -> Result<()> {
    query(
        "INSERT INTO access_key (id, shop_id, label, scopes, person_id, secret_sha256, created_at, expires_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
    )
    .bind(key.id)
    .bind(shop.as_str())
    .bind(&key.label)
    .bind(&key.scopes)
    .bind(key.person)
    .bind(key.secret_sha256.as_slice())
    .bind(now)
    .bind(key.expires_at.map(unix_ms))
    .execute(db)
    .await?;
    Ok(())
}

/// Whether a shop has a key of a scope that is still good.
pub(crate) async fn any_with(db: &mut Tx, shop: &ShopId, scope: &str, now: i64) -> Result<bool> {
    let any = query(
        "SELECT 1 FROM access_key
         WHERE shop_id = $1 AND ' ' || scopes || ' ' LIKE '% ' || $2 || ' %'
           AND revoked_at IS NULL AND (expires_at IS NULL OR expires_at > $3) LIMIT 1",
    );
    Ok(any.bind(shop.as_str()).bind(scope).bind(now).exists(db).await?)
}

pub(crate) async fn find(db: &mut Tx, id: Uuid) -> Result<Option<KeyRecord>> {
    Ok(query(select_keys!("WHERE id = $1")).bind(id).optional(db, record).await?)
}

pub(crate) async fn list(db: &mut Tx, shop: &ShopId) -> Result<Vec<KeyRecord>> {
    Ok(query(select_keys!("WHERE shop_id = $1 ORDER BY created_at, id"))
        .bind(shop.as_str())
        .all(db, record)
        .await?)
}

/// False when the shop has no such key, or it is revoked already.
pub(crate) async fn revoke(db: &mut Tx, shop: &ShopId, id: Uuid, now: i64) -> Result<bool> {
    let revoked =
        query("UPDATE access_key SET revoked_at = $3 WHERE shop_id = $1 AND id = $2 AND revoked_at IS NULL")
            .bind(shop.as_str())
            .bind(id)
            .bind(now)
            .execute(db)
            .await?;
    Ok(revoked == 1)
}

/// Gives the keys that were revoked by it.
pub(crate) async fn revoke_of_person(
    db: &mut Tx,
    shop: &ShopId,
    person: Uuid,
    now: i64,
) -> Result<Vec<Uuid>> {
    let rows = query(
        "UPDATE access_key SET revoked_at = $3 WHERE shop_id = $1 AND person_id = $2 AND revoked_at IS NULL
         RETURNING id",
    )
    .bind(shop.as_str())
    .bind(person)
    .bind(now)
    .fetch_all(db)
    .await?;
    Ok(rows.iter().map(|row| row.get("id")).collect::<sqlx::Result<_>>()?)
}

fn record(row: &Row) -> sqlx::Result<KeyRecord> {
    Ok(KeyRecord {
        shop: ShopId::new(row.get::<String>("shop_id")?),
        content: NewKey {
            id: row.get("id")?,
            label: row.get("label")?,
            scopes: row.get("scopes")?,
            person: row.get("person_id")?,
            secret_sha256: row.get("secret_sha256")?,
            expires_at: row.get("expires_at")?,
        },
        created_at: row.get("created_at")?,
        revoked_at: row.get("revoked_at")?,
    })
}
