//! Artifacts.

use uuid::Uuid;

use crate::db::{Row, Tx, query, unreadable};
use crate::{ArtifactKind, ArtifactRecord, Claim, Result, ShopId, clock::unix_ms};

/// The columns of an artifact, as [`optional_record`] reads them.
macro_rules! artifact_columns {
    () => {
        "artifact.id AS artifact_id, artifact.owner_id AS artifact_owner, artifact.kind AS artifact_kind,
         artifact.path AS artifact_path, artifact.size AS artifact_size, artifact.sha256 AS artifact_sha256,
         artifact.created_at AS artifact_created_at"
    };
}
pub(super) use artifact_columns;

macro_rules! select_artifacts {
    ($condition:literal) => {
        concat!("SELECT ", artifact_columns!(), " FROM artifact ", $condition)
    };
}

pub(crate) async fn insert(db: &mut Tx, shop: &ShopId, artifact: &ArtifactRecord) -> Result<()> {
    let size = i64::try_from(artifact.size).map_err(|fault| unreadable("size", fault))?;
    query(
        "INSERT INTO artifact (id, shop_id, owner_id, kind, path, size, sha256, created_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
    )
    .bind(artifact.id)
    .bind(shop.as_str())
    .bind(artifact.owner)
    .bind(artifact.kind.as_str())
    .bind(&artifact.path)
    .bind(size)
    .bind(&artifact.sha256)
    .bind(unix_ms(artifact.created_at))
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn find(
    db: &mut Tx,
    shop: &ShopId,
    owner: Uuid,
    kind: ArtifactKind,
) -> Result<Option<ArtifactRecord>> {
    Ok(query(select_artifacts!("WHERE owner_id = $1 AND kind = $2 AND shop_id = $3"))
        .bind(owner)
        .bind(kind.as_str())
        .bind(shop.as_str())
        .optional(db, record)
        .await?)
}

pub(crate) async fn of_digest(db: &mut Tx, shop: &ShopId, sha256: &str) -> Result<Option<ArtifactRecord>> {
    Ok(query(select_artifacts!("WHERE shop_id = $1 AND sha256 = $2 LIMIT 1"))
        .bind(shop.as_str())
        .bind(sha256)
        .optional(db, record)
        .await?)
}

/// The artifact this very attempt has made, if the task ended by it.
pub(crate) async fn made_by(db: &mut Tx, claim: &Claim) -> Result<Option<ArtifactRecord>> {
    Ok(query(select_artifacts!(
        "JOIN task ON task.owner_id = artifact.owner_id AND task.kind = artifact.kind
         WHERE task.id = $1 AND task.attempt = $2 AND task.state = 'done'"
    ))
    .bind(claim.task)
    .bind(claim.attempt)
    .optional(db, record)
    .await?)
}

/// The names of files after one, in their order.
pub(crate) async fn names(db: &mut Tx, after: &str, most: u32) -> Result<Vec<String>> {
    let names = query("SELECT path FROM artifact WHERE path > $1 ORDER BY path LIMIT $2");
    Ok(names.bind(after).bind(most).all(db, |row| row.get("path")).await?)
}

/// Whether an artifact is kept in this file.
pub(crate) async fn is_named(db: &mut Tx, path: &str) -> Result<bool> {
    Ok(query("SELECT 1 FROM artifact WHERE path = $1").bind(path).exists(db).await?)
}

/// The artifact in a row that joins it, where there is one.
pub(super) fn optional_record(row: &Row) -> sqlx::Result<Option<ArtifactRecord>> {
    row.get::<Option<Uuid>>("artifact_id")?.map(|_| record(row)).transpose()
}

fn record(row: &Row) -> sqlx::Result<ArtifactRecord> {
    Ok(ArtifactRecord {
        id: row.get("artifact_id")?,
        owner: row.get("artifact_owner")?,
        kind: row.named("artifact_kind", ArtifactKind::parse)?,
        path: row.get("artifact_path")?,
        size: row.get("artifact_size")?,
        sha256: row.get("artifact_sha256")?,
        created_at: row.get("artifact_created_at")?,
    })
}
