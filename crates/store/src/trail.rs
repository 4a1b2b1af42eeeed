//! The audit trail of a shop.

pub use headproof_trail::{Checkpoint, Event, Happening, Who};

use uuid::Uuid;

use crate::{Result, ShopId, Store, sql};

/// By whom, and by which request, something is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct By {
    /// Who does it.
    pub who: Who,
    /// The request that brought it, where one did.
    pub request: Option<String>,
}

impl By {
    /// What they did, to something.
    #[must_use]
    pub fn did(&self, what: Event, to: String) -> Happening {
        let Self { who, request } = self.clone();
        Happening { who, what, to, digest: None, note: None, request }
    }
}

/// What is said of a revoked key.
pub(crate) fn revoked(by: &By, key: Uuid) -> Happening {
    by.did(Event::KeyRevoked, format!("key {key}"))
}

/// Most lines read at once.
const LINES_AT_ONCE: u32 = 10_000;

impl Store {
    /// Adds to the trail what is not part of anything else that is stored.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn record(&self, shop: &ShopId, happening: Happening) -> Result<()> {
        let mut tx = self.write(shop).await?;
        sql::audit::append(&mut tx, shop, self.clock.now(), [happening]).await?;
        tx.commit().await?;
        Ok(())
    }

    /// The lines of the trail after so many, some thousand at the most; none when there are no more.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn trail(&self, shop: &ShopId, after: u64) -> Result<Vec<Vec<u8>>> {
        sql::audit::lines(&mut self.read().await?, shop, after, LINES_AT_ONCE).await
    }

    /// How far the trail reaches.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn checkpoint(&self, shop: &ShopId) -> Result<Checkpoint> {
        sql::audit::checkpoint(&mut self.read().await?, shop).await
    }
}
