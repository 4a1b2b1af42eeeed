//! Stored profiles.

use crate::db::{Row, Tx, query};

use crate::{NewProfile, ProfileRecord, ProfileSummary, Result, ShopId};

pub(crate) async fn insert(db: &mut Tx, shop: &ShopId, profile: &NewProfile, now: i64) -> Result<()> {
    query(
        "INSERT INTO profile (shop_id, id, revision, digest, created_at, document)
         VALUES ($1, $2, $3, $4, $5, $6)",
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
    db: &mut Tx,
    shop: &ShopId,
    id: &str,
    revision: &str,
) -> Result<Option<ProfileRecord>> {
    let row = query(
        "SELECT id, revision, digest, created_at, document FROM profile
         WHERE shop_id = $1 AND id = $2 AND revision = $3",
    )
    .bind(shop.as_str())
    .bind(id)
    .bind(revision)
    .fetch_optional(db)
    .await?;
    let Some(row) = row else { return Ok(None) };
    Ok(Some(ProfileRecord { summary: summary(&row)?, document: row.get("document")? }))
}

pub(crate) async fn list(db: &mut Tx, shop: &ShopId) -> Result<Vec<ProfileSummary>> {
    Ok(query(
        "SELECT id, revision, digest, created_at FROM profile
         WHERE shop_id = $1 ORDER BY id, created_at, revision",
    )
    .bind(shop.as_str())
    .all(db, summary)
    .await?)
}

fn summary(row: &Row) -> sqlx::Result<ProfileSummary> {
    Ok(ProfileSummary {
        id: row.get("id")?,
        revision: row.get("revision")?,
        digest: row.get("digest")?,
        created_at: row.get("created_at")?,
    })
}
