//! The audit trail.

use crate::db::{Tx, query, unreadable};
use headproof_trail::{BEGINNING, Checkpoint, Entry, Happening, digest};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

use crate::clock::to_the_millisecond;
use crate::{Error, Result, ShopId};

/// Adds entries. To be called under the write lock, so that no two get the same place.
pub(crate) async fn append(
    db: &mut Tx,
    shop: &ShopId,
    now: OffsetDateTime,
    happenings: impl IntoIterator<Item = Happening>,
) -> Result<()> {
    let now = to_the_millisecond(now).format(&Rfc3339).map_err(|fault| unreadable("at", fault))?;
    let Checkpoint { mut size, mut head } = checkpoint(db, shop).await?;
    for happening in happenings {
        size += 1;
        let entry = Entry::new(shop.as_str().to_owned(), size, now.clone(), happening, head);
        let line = entry.line().map_err(|fault| Error::Other(fault.into()))?;
        head = digest(&line);
        query("INSERT INTO audit (shop_id, sequence, digest, line) VALUES ($1, $2, $3, $4)")
            .bind(shop.as_str())
            .bind(i64::try_from(size).map_err(|fault| unreadable("sequence", fault))?)
            .bind(&head)
            .bind(line.as_slice())
            .execute(db)
            .await?;
    }
    Ok(())
}

pub(crate) async fn checkpoint(db: &mut Tx, shop: &ShopId) -> Result<Checkpoint> {
    let row = query("SELECT sequence, digest FROM audit WHERE shop_id = $1 ORDER BY sequence DESC LIMIT 1")
        .bind(shop.as_str())
        .fetch_optional(db)
        .await?;
    let Some(row) = row else { return Ok(Checkpoint { size: 0, head: BEGINNING.to_owned() }) };
    Ok(Checkpoint { size: row.get("sequence")?, head: row.get("digest")? })
}

pub(crate) async fn lines(db: &mut Tx, shop: &ShopId, after: u64, most: u32) -> Result<Vec<Vec<u8>>> {
    let lines =
        query("SELECT line FROM audit WHERE shop_id = $1 AND sequence > $2 ORDER BY sequence LIMIT $3");
    let after = i64::try_from(after).unwrap_or(i64::MAX);
    Ok(lines.bind(shop.as_str()).bind(after).bind(most).all(db, |row| row.get("line")).await?)
}
