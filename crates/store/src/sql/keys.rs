//! Keys.

use sqlx::{Row, SqliteConnection, query, query_scalar, sqlite::SqliteRow};
use uuid::Uuid;

use super::{id, optional_id, optional_time, time};
use crate::{KeyRecord, NewKey, Result, ShopId, clock::unix_ms};

pub(crate) async fn insert(db: &mut SqliteConnection, shop: &ShopId, key: &NewKey, now: i64) -> Result<()> {
    query(
        "INSERT INTO access_key (id, shop_id, label, scopes, person_id, secret_sha256, created_at, expires_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )
    .bind(key.id.to_string())
    .bind(shop.as_str())
    .bind(&key.label)
    .bind(&key.scopes)
    .bind(key.person.map(|person| person.to_string()))
    .bind(key.secret_sha256.as_slice())
    .bind(now)
    .bind(key.expires_at.map(unix_ms))
    .execute(db)
    .await?;
    Ok(())
}

/// Whether a shop has a key of a scope that is still good.
pub(crate) async fn any_with(
    db: &mut SqliteConnection,
    shop: &ShopId,
    scope: &str,
    now: i64,
) -> Result<bool> {
    let any = query_scalar(
        "SELECT EXISTS (SELECT 1 FROM access_key
                        WHERE shop_id = ?1 AND ' ' || scopes || ' ' LIKE '% ' || ?2 || ' %'
                          AND revoked_at IS NULL AND (expires_at IS NULL OR expires_at > ?3))",
    );
    Ok(any.bind(shop.as_str()).bind(scope).bind(now).fetch_one(db).await?)
}

pub(crate) async fn find(db: &mut SqliteConnection, id: Uuid) -> Result<Option<KeyRecord>> {
    let row = query("SELECT * FROM access_key WHERE id = ?1").bind(id.to_string()).fetch_optional(db).await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn list(db: &mut SqliteConnection, shop: &ShopId) -> Result<Vec<KeyRecord>> {
    let rows = query("SELECT * FROM access_key WHERE shop_id = ?1 ORDER BY created_at, id")
        .bind(shop.as_str())
        .fetch_all(db)
        .await?;
    Ok(rows.iter().map(record).collect::<sqlx::Result<_>>()?)
}

/// False when the shop has no such key, or it is revoked already.
pub(crate) async fn revoke(db: &mut SqliteConnection, shop: &ShopId, id: Uuid, now: i64) -> Result<bool> {
    let revoked =
        query("UPDATE access_key SET revoked_at = ?3 WHERE shop_id = ?1 AND id = ?2 AND revoked_at IS NULL")
            .bind(shop.as_str())
            .bind(id.to_string())
            .bind(now)
            .execute(db)
            .await?;
    Ok(revoked.rows_affected() == 1)
}

/// Gives the keys that were revoked by it.
pub(crate) async fn revoke_of_person(
    db: &mut SqliteConnection,
    shop: &ShopId,
    person: Uuid,
    now: i64,
) -> Result<Vec<Uuid>> {
    let rows = query(
        "UPDATE access_key SET revoked_at = ?3 WHERE shop_id = ?1 AND person_id = ?2 AND revoked_at IS NULL
         RETURNING id",
    )
    .bind(shop.as_str())
    .bind(person.to_string())
    .bind(now)
    .fetch_all(db)
    .await?;
    Ok(rows.iter().map(|row| id(row, "id")).collect::<sqlx::Result<_>>()?)
}

fn record(row: &SqliteRow) -> sqlx::Result<KeyRecord> {
    Ok(KeyRecord {
        shop: ShopId::new(row.try_get::<String, _>("shop_id")?),
        content: NewKey {
            id: id(row, "id")?,
            label: row.try_get("label")?,
            scopes: row.try_get("scopes")?,
            person: optional_id(row, "person_id")?,
            secret_sha256: row.try_get("secret_sha256")?,
            expires_at: optional_time(row, "expires_at")?,
        },
        created_at: time(row, "created_at")?,
        revoked_at: optional_time(row, "revoked_at")?,
    })
}
