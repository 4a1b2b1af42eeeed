//! People.

use uuid::Uuid;

use crate::db::{Row, Tx, query};
use crate::{NewPerson, PersonRecord, Result, ShopId};

/// The columns are named one by one: a statement that is prepared outlives a column that is added.
macro_rules! select_people {
    ($condition:literal) => {
        concat!("SELECT id, name, role, subject, created_at, left_at FROM person ", $condition)
    };
}

pub(crate) async fn insert(db: &mut Tx, shop: &ShopId, id: Uuid, person: &NewPerson, now: i64) -> Result<()> {
    query(
        "INSERT INTO person (id, shop_id, name, role, subject, created_at) VALUES ($1, $2, $3, $4, $5, $6)",
    )
    .bind(id)
    .bind(shop.as_str())
    .bind(&person.name)
    .bind(&person.role)
    .bind(&person.subject)
    .bind(now)
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, id: Uuid) -> Result<Option<PersonRecord>> {
    Ok(query(select_people!("WHERE shop_id = $1 AND id = $2"))
        .bind(shop.as_str())
        .bind(id)
        .optional(db, record)
        .await?)
}

pub(crate) async fn of_subject(db: &mut Tx, shop: &ShopId, subject: &str) -> Result<Option<PersonRecord>> {
    Ok(query(select_people!("WHERE shop_id = $1 AND subject = $2 AND left_at IS NULL"))
        .bind(shop.as_str())
        .bind(subject)
        .optional(db, record)
        .await?)
}

pub(crate) async fn list(db: &mut Tx, shop: &ShopId) -> Result<Vec<PersonRecord>> {
    Ok(query(select_people!("WHERE shop_id = $1 ORDER BY created_at, id"))
        .bind(shop.as_str())
        .all(db, record)
        .await?)
}

/// False when there is no such person, or they have left already.
pub(crate) async fn leave(db: &mut Tx, shop: &ShopId, id: Uuid, now: i64) -> Result<bool> {
    let left = query("UPDATE person SET left_at = $3 WHERE shop_id = $1 AND id = $2 AND left_at IS NULL")
        .bind(shop.as_str())
        .bind(id)
        .bind(now)
        .execute(db)
        .await?;
    Ok(left == 1)
}

fn record(row: &Row) -> sqlx::Result<PersonRecord> {
    Ok(PersonRecord {
        id: row.get("id")?,
        name: row.get("name")?,
        role: row.get("role")?,
        subject: row.get("subject")?,
        created_at: row.get("created_at")?,
        left_at: row.get("left_at")?,
    })
}
