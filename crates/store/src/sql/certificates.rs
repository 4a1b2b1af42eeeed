//! Certificates and their locked keys.

use sqlx::{Row, SqliteConnection, query, sqlite::SqliteRow};
use uuid::Uuid;

use super::{id, optional_id, time, unreadable};
use crate::{CertificateRecord, NewCertificate, Result, ShopId};

pub(crate) async fn insert(
    db: &mut SqliteConnection,
    shop: &ShopId,
    person: Option<Uuid>,
    certificate: &NewCertificate,
    now: i64,
) -> Result<()> {
    query(
        "INSERT INTO certificate (id, shop_id, person_id, fingerprint, created_at, chain, locked_key)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )
    .bind(Uuid::now_v7().to_string())
    .bind(shop.as_str())
    .bind(person.map(|person| person.to_string()))
    .bind(&certificate.fingerprint)
    .bind(now)
    .bind(joined(&certificate.chain))
    .bind(certificate.locked_key.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn any(db: &mut SqliteConnection) -> Result<Option<CertificateRecord>> {
    let row = query("SELECT * FROM certificate ORDER BY created_at, id LIMIT 1").fetch_optional(db).await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn newest(
    db: &mut SqliteConnection,
    shop: &ShopId,
    person: Option<Uuid>,
) -> Result<Option<CertificateRecord>> {
    let row = query(
        "SELECT * FROM certificate WHERE shop_id = ?1 AND person_id IS ?2
         ORDER BY created_at DESC, id DESC LIMIT 1",
    )
    .bind(shop.as_str())
    .bind(person.map(|person| person.to_string()))
    .fetch_optional(db)
    .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn find(
    db: &mut SqliteConnection,
    shop: &ShopId,
    fingerprint: &str,
) -> Result<Option<CertificateRecord>> {
    let row = query("SELECT * FROM certificate WHERE shop_id = ?1 AND fingerprint = ?2")
        .bind(shop.as_str())
        .bind(fingerprint)
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn by_id(
    db: &mut SqliteConnection,
    shop: &ShopId,
    id: Uuid,
) -> Result<Option<CertificateRecord>> {
    let row = query("SELECT * FROM certificate WHERE shop_id = ?1 AND id = ?2")
        .bind(shop.as_str())
        .bind(id.to_string())
        .fetch_optional(db)
        .await?;
    Ok(row.as_ref().map(record).transpose()?)
}

pub(crate) async fn of_shop(db: &mut SqliteConnection, shop: &ShopId) -> Result<Vec<CertificateRecord>> {
    let rows = query(
        "SELECT * FROM certificate WHERE shop_id = ?1 AND person_id IS NULL ORDER BY created_at DESC, id DESC",
    )
    .bind(shop.as_str())
    .fetch_all(db)
    .await?;
    Ok(rows.iter().map(record).collect::<sqlx::Result<_>>()?)
}

fn record(row: &SqliteRow) -> sqlx::Result<CertificateRecord> {
    let chain: &[u8] = row.try_get("chain")?;
    Ok(CertificateRecord {
        id: id(row, "id")?,
        person: optional_id(row, "person_id")?,
        created_at: time(row, "created_at")?,
        content: NewCertificate {
            fingerprint: row.try_get("fingerprint")?,
            chain: parted(chain).ok_or_else(|| unreadable("chain", "cut off"))?,
            locked_key: row.try_get("locked_key")?,
        },
    })
}

/// Each preceded by its length.
fn joined(parts: &[Vec<u8>]) -> Vec<u8> {
    let mut all = Vec::new();
    for part in parts {
        all.extend_from_slice(&(part.len() as u32).to_be_bytes());
        all.extend_from_slice(part);
    }
    all
}

fn parted(mut all: &[u8]) -> Option<Vec<Vec<u8>>> {
    let mut parts = Vec::new();
    while !all.is_empty() {
        let (length, rest) = all.split_first_chunk::<4>()?;
        let (part, rest) = rest.split_at_checked(u32::from_be_bytes(*length) as usize)?;
        parts.push(part.to_vec());
        all = rest;
    }
    Some(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chain_is_read_back_or_found_to_be_cut_off() {
        let chain = vec![b"leaf".to_vec(), Vec::new(), vec![7; 300]];
        let stored = joined(&chain);
        assert_eq!(parted(&stored), Some(chain));
        assert_eq!(parted(&[]), Some(Vec::new()));
        for length in [1, 5, stored.len() - 1] {
            assert_eq!(parted(&stored[..length]), None, "{length}");
        }
    }
}
