//! Requests that are sent again make nothing again.

use std::time::Duration;

use uuid::Uuid;

use crate::{Result, ShopId, Store, clock::unix_ms, db::Tx, sql};

/// By what a repeated request is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Once {
    /// What is asked for: keys of different operations are apart.
    pub operation: &'static str,
    /// The key that the client chose.
    pub key: String,
    /// The digest of what it sent with it.
    pub fingerprint: String,
}

/// What a request has made, now or before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Made<T> {
    /// Just now.
    New(T),
    /// An earlier request of the same key did.
    Before(T),
}

impl<T> Made<T> {
    /// It, whenever it was made.
    pub fn into_inner(self) -> T {
        match self {
            Self::New(made) | Self::Before(made) => made,
        }
    }
}

impl Store {
    /// What an earlier request of the same key has made.
    pub(crate) async fn made_before(
        &self,
        tx: &mut Tx,
        shop: &ShopId,
        once: Option<&Once>,
    ) -> Result<Option<Uuid>> {
        match once {
            Some(once) => sql::repeated::made(tx, shop, once).await,
            None => Ok(None),
        }
    }

    /// Keeps for later requests of the same key what this one makes.
    pub(crate) async fn made_now(
        &self,
        tx: &mut Tx,
        shop: &ShopId,
        once: Option<&Once>,
        resource: Uuid,
    ) -> Result<()> {
        match once {
            Some(once) => sql::repeated::keep(tx, shop, once, resource, self.clock.now_ms()).await,
            None => Ok(()),
        }
    }

    /// Forgets the keys of requests that are older. Returns how many.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn forget_keys(&self, age: Duration) -> Result<u64> {
        let limit = unix_ms(self.clock.now() - age);
        let mut tx = self.begin().await?;
        let forgotten = sql::repeated::forget_before(&mut tx, limit).await?;
        tx.commit().await?;
        Ok(forgotten)
    }
}
