//! People.

use sqlx::{Row, SqliteConnection, query, sqlite::SqliteRow};
use uuid::Uuid;

use super::{id, optional_time, time};
use crate::{NewPerson, PersonRecord, Result, ShopId};

pub(crate) async fn insert(
    db: &mut SqliteConnection,
    shop: &ShopId,
    id: Uuid,
    person: &NewPerson,
    now: i64,
) -> Result<()> {
    query(
        "INSERT INTO person (id, shop_id, name, role, subject, created_at) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )
    .bind(id.to_string())
    .bind(shop.as_str())
    .bind(&person.name)
    .bind(&person.role)
    .bind(&person.subject)
    .bind(now)
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(db: &mut SqliteConnection, shop: &ShopId, id: Uuid) -> Result<Option<PersonRecord>> {
    let row = query("SELECT * FROM person WHERE shop_id = ?1 AND id = ?2")
        .bind(shop.as_str())
        .bind(id.to_string())
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn of_subject(
    db: &mut SqliteConnection,
    shop: &ShopId,
    subject: &str,
) -> Result<Option<PersonRecord>> {
    let row = query("SELECT * FROM person WHERE shop_id = ?1 AND subject = ?2 AND left_at IS NULL")
        .bind(shop.as_str())
        .bind(subject)
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn list(db: &mut SqliteConnection, shop: &ShopId) -> Result<Vec<PersonRecord>> {
    let rows = query("SELECT * FROM person WHERE shop_id = ?1 ORDER BY created_at, id")
        .bind(shop.as_str())
        .fetch_all(db)
        .await?;
    Ok(rows.iter().map(record).collect::<sqlx::Result<_>>()?)
}

/// False when there is no such person, or they have left already.
pub(crate) async fn leave(db: &mut SqliteConnection, shop: &ShopId, id: Uuid, now: i64) -> Result<bool> {
    let left = query("UPDATE person SET left_at = ?3 WHERE shop_id = ?1 AND id = ?2 AND left_at IS NULL")
        .bind(shop.as_str())
        .bind(id.to_string())
        .bind(now)
        .execute(db)
        .await?;
    Ok(left.rows_affected() == 1)
}

fn record(row: &SqliteRow) -> sqlx::Result<PersonRecord> {
    Ok(PersonRecord {
        id: id(row, "id")?,
        name: row.try_get("name")?,
        role: row.try_get("role")?,
        subject: row.try_get("subject")?,
        created_at: time(row, "created_at")?,
        left_at: optional_time(row, "left_at")?,
    })
}
