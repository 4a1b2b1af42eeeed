//! The audit trail of a shop.

pub use headproof_trail::{Checkpoint, Event, Happening, Who};

use crate::{Result, ShopId, Store, sql};

/// Most lines read at once.
const LINES_AT_ONCE: u32 = 10_000;

impl Store {
    /// Adds to the trail what is not part of anything else that is stored.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn record(&self, shop: &ShopId, happening: Happening) -> Result<()> {
        let mut tx = self.write().await?;
        sql::audit::append(&mut tx, shop, self.clock.now(), [happening]).await?;
        tx.commit().await?;
        Ok(())
    }

    /// The lines of the trail after so many, some thousand at the most; none when there are no more.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn trail(&self, shop: &ShopId, after: u64) -> Result<Vec<Vec<u8>>> {
        sql::audit::lines(&mut *self.read().await?, shop, after, LINES_AT_ONCE).await
    }

    /// How far the trail reaches.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn checkpoint(&self, shop: &ShopId) -> Result<Checkpoint> {
        sql::audit::checkpoint(&mut *self.read().await?, shop).await
    }
}
