//! Stored profiles.

use sqlx::{Row, SqliteConnection, query, sqlite::SqliteRow};

use super::time;
use crate::{NewProfile, ProfileRecord, ProfileSummary, Result, ShopId};

pub(crate) async fn insert(
    db: &mut SqliteConnection,
    shop: &ShopId,
    profile: &NewProfile,
    now: i64,
) -> Result<()> {
    query(
        "INSERT INTO profile (shop_id, id, revision, digest, created_at, document)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )
    .bind(shop.as_str())
    .bind(&profile.id)
    .bind(&profile.revision)
    .bind(&profile.digest)
    .bind(now)
    .bind(profile.document.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(
    db: &mut SqliteConnection,
    shop: &ShopId,
    id: &str,
    revision: &str,
) -> Result<Option<ProfileRecord>> {
    let row = query(
        "SELECT id, revision, digest, created_at, document FROM profile
         WHERE shop_id = ?1 AND id = ?2 AND revision = ?3",
    )
    .bind(shop.as_str())
    .bind(id)
    .bind(revision)
    .fetch_optional(db)
    .await?;
    let Some(row) = row else { return Ok(None) };
    Ok(Some(ProfileRecord { summary: summary(&row)?, document: row.try_get("document")? }))
}

pub(crate) async fn list(db: &mut SqliteConnection, shop: &ShopId) -> Result<Vec<ProfileSummary>> {
    let rows = query(
        "SELECT id, revision, digest, created_at FROM profile
         WHERE shop_id = ?1 ORDER BY id, created_at, revision",
    )
    .bind(shop.as_str())
    .fetch_all(db)
    .await?;
    Ok(rows.iter().map(summary).collect::<sqlx::Result<_>>()?)
}

fn summary(row: &SqliteRow) -> sqlx::Result<ProfileSummary> {
    Ok(ProfileSummary {
        id: row.try_get("id")?,
        revision: row.try_get("revision")?,
        digest: row.try_get("digest")?,
        created_at: time(row, "created_at")?,
    })
}
