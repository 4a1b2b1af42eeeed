//! Certificates and their locked keys.

use uuid::Uuid;

use crate::db::{Row, Tx, query, unreadable};
use crate::{CertificateRecord, NewCertificate, Result, ShopId};

/// The columns are named one by one: a statement that is prepared outlives a column that is added.
macro_rules! select_certificates {
    ($condition:literal) => {
        concat!(
            "SELECT id, person_id, fingerprint, created_at, chain, locked_key FROM certificate ",
            $condition
        )
    };
}

pub(crate) async fn insert(
    db: &mut Tx,
    shop: &ShopId,
    person: Option<Uuid>,
    certificate: &NewCertificate,
    now: i64,
) -> Result<()> {
    let chain = joined(&certificate.chain);
    query(
        "INSERT INTO certificate (id, shop_id, person_id, fingerprint, created_at, chain, locked_key)
         VALUES ($1, $2, $3, $4, $5, $6, $7)",
    )
    .bind(Uuid::now_v7())
    .bind(shop.as_str())
    .bind(person)
    .bind(&certificate.fingerprint)
    .bind(now)
    .bind(chain.as_slice())
    .bind(certificate.locked_key.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

pub(crate) async fn any(db: &mut Tx) -> Result<Option<CertificateRecord>> {
    Ok(query(select_certificates!("ORDER BY created_at, id LIMIT 1")).optional(db, record).await?)
}

pub(crate) async fn newest(
    db: &mut Tx,
    shop: &ShopId,
    person: Option<Uuid>,
) -> Result<Option<CertificateRecord>> {
    Ok(query(select_certificates!(
        "WHERE shop_id = $1 AND person_id IS NOT DISTINCT FROM $2
         ORDER BY created_at DESC, id DESC LIMIT 1"
    ))
    .bind(shop.as_str())
    .bind(person)
    .optional(db, record)
    .await?)
}

pub(crate) async fn find(db: &mut Tx, shop: &ShopId, fingerprint: &str) -> Result<Option<CertificateRecord>> {
    Ok(query(select_certificates!("WHERE shop_id = $1 AND fingerprint = $2"))
        .bind(shop.as_str())
        .bind(fingerprint)
        .optional(db, record)
        .await?)
}

pub(crate) async fn by_id(db: &mut Tx, shop: &ShopId, id: Uuid) -> Result<Option<CertificateRecord>> {
    Ok(query(select_certificates!("WHERE shop_id = $1 AND id = $2"))
        .bind(shop.as_str())
        .bind(id)
        .optional(db, record)
        .await?)
}

pub(crate) async fn of_shop(db: &mut Tx, shop: &ShopId) -> Result<Vec<CertificateRecord>> {
    Ok(query(select_certificates!(
        "WHERE shop_id = $1 AND person_id IS NULL ORDER BY created_at DESC, id DESC"
    ))
    .bind(shop.as_str())
    .all(db, record)
    .await?)
}

fn record(row: &Row) -> sqlx::Result<CertificateRecord> {
    let chain: Vec<u8> = row.get("chain")?;
    Ok(CertificateRecord {
        id: row.get("id")?,
        person: row.get("person_id")?,
        created_at: row.get("created_at")?,
        content: NewCertificate {
            fingerprint: row.get("fingerprint")?,
            chain: parted(&chain).ok_or_else(|| unreadable("chain", "cut off"))?,
            locked_key: row.get("locked_key")?,
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
