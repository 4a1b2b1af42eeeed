//! Artifacts.

use sqlx::{Row, SqliteConnection, query, query_scalar, sqlite::SqliteRow};
use uuid::Uuid;

use super::{id, named, optional_id, time, unreadable};
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

pub(crate) async fn insert(
    db: &mut SqliteConnection,
    shop: &ShopId,
    artifact: &ArtifactRecord,
) -> Result<()> {
    let size = i64::try_from(artifact.size).map_err(|fault| unreadable("size", fault))?;
    query(
        "INSERT INTO artifact (id, shop_id, owner_id, kind, path, size, sha256, created_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )
    .bind(artifact.id.to_string())
    .bind(shop.as_str())
    .bind(artifact.owner.to_string())
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
    db: &mut SqliteConnection,
    shop: &ShopId,
    owner: Uuid,
    kind: ArtifactKind,
) -> Result<Option<ArtifactRecord>> {
    let row = query(select_artifacts!("WHERE owner_id = ?1 AND kind = ?2 AND shop_id = ?3"))
        .bind(owner.to_string())
        .bind(kind.as_str())
        .bind(shop.as_str())
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn of_digest(
    db: &mut SqliteConnection,
    shop: &ShopId,
    sha256: &str,
) -> Result<Option<ArtifactRecord>> {
    let row = query(select_artifacts!("WHERE shop_id = ?1 AND sha256 = ?2 LIMIT 1"))
        .bind(shop.as_str())
        .bind(sha256)
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

/// The artifact this very attempt has made, if the task ended by it.
pub(crate) async fn made_by(db: &mut SqliteConnection, claim: &Claim) -> Result<Option<ArtifactRecord>> {
    let row = query(select_artifacts!(
        "JOIN task ON task.owner_id = artifact.owner_id AND task.kind = artifact.kind
         WHERE task.id = ?1 AND task.attempt = ?2 AND task.state = 'done'"
    ))
    .bind(claim.task.to_string())
    .bind(claim.attempt)
    .fetch_optional(db)
    .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

/// Whether an artifact is kept in this file.
pub(crate) async fn is_named(db: &mut SqliteConnection, path: &str) -> Result<bool> {
    let named = query_scalar("SELECT EXISTS (SELECT 1 FROM artifact WHERE path = ?1)").bind(path);
    Ok(named.fetch_one(db).await?)
}

/// The artifact in a row that joins it, where there is one.
pub(super) fn optional_record(row: &SqliteRow) -> sqlx::Result<Option<ArtifactRecord>> {
    optional_id(row, "artifact_id")?.map(|_| record(row)).transpose()
}

fn record(row: &SqliteRow) -> sqlx::Result<ArtifactRecord> {
    Ok(ArtifactRecord {
        id: id(row, "artifact_id")?,
        owner: id(row, "artifact_owner")?,
        kind: named(row, "artifact_kind", ArtifactKind::parse)?,
        path: row.try_get("artifact_path")?,
        size: row.try_get("artifact_size")?,
        sha256: row.try_get("artifact_sha256")?,
        created_at: time(row, "artifact_created_at")?,
    })
}
