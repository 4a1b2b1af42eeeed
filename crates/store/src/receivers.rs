//! Receivers: addresses that are told of events.

use std::time::Duration;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::{By, Event, Happening, Made, Once, Result, ShopId, Store, clock::unix_ms, sql};

/// A receiver to be entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewReceiver {
    /// The address.
    pub url: String,
    /// What it is, for people.
    pub description: String,
    /// The names of the events it is told of, apart by spaces; empty for all.
    pub events: String,
    /// What messages to it are signed with, wrapped.
    pub secret: Vec<u8>,
}

/// Why a receiver is told of nothing, or that it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReceiverState {
    /// Whether it is told of events.
    pub enabled: bool,
    /// Why not, or what went wrong last.
    pub reason: Option<String>,
    /// Since when nothing has got through.
    pub failing_since: Option<OffsetDateTime>,
}

/// A receiver.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReceiverRecord {
    /// The receiver.
    pub id: Uuid,
    /// What it consists of.
    pub content: NewReceiver,
    /// A secret that is still signed with as well, and how long.
    pub old_secret: Option<(Vec<u8>, OffsetDateTime)>,
    /// When it was entered, to the millisecond.
    pub created_at: OffsetDateTime,
    /// How it is doing.
    pub state: ReceiverState,
}

impl Store {
    /// Enters a receiver.
    ///
    /// # Errors
    /// [`Error::KeyReused`](crate::Error::KeyReused) when the key came with another one.
    pub async fn enter_receiver(
        &self,
        shop: &ShopId,
        id: Uuid,
        receiver: NewReceiver,
        by: &By,
        once: Option<&Once>,
    ) -> Result<Made<ReceiverRecord>> {
        let mut tx = self.write(shop).await?;
        if let Some(id) = self.made_before(&mut tx, shop, once).await? {
            let record = sql::receivers::find(&mut tx, shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
            return Ok(Made::Before(record));
        }
        sql::receivers::insert(&mut tx, shop, id, &receiver, self.clock.now_ms()).await?;
        self.made_now(&mut tx, shop, once, id).await?;
        let entered = changed(by, id, format!("entered: {}", receiver.url));
        sql::audit::append(&mut tx, shop, self.clock.now(), [entered]).await?;
        let record = sql::receivers::find(&mut tx, shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
        tx.commit().await?;
        Ok(Made::New(record))
    }

    /// A receiver of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn receiver(&self, shop: &ShopId, id: Uuid) -> Result<Option<ReceiverRecord>> {
        sql::receivers::find(&mut self.read().await?, shop, id).await
    }

    /// The receivers of this shop, the oldest first.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn receivers(&self, shop: &ShopId) -> Result<Vec<ReceiverRecord>> {
        sql::receivers::list(&mut self.read().await?, shop).await
    }

    /// Removes a receiver, and what it was to be told; false when the shop has none of that id.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn remove_receiver(&self, shop: &ShopId, id: Uuid, by: &By) -> Result<bool> {
        self.change_receiver(shop, id, by, "removed", async |tx| sql::receivers::remove(tx, shop, id).await)
            .await
    }

    /// Gives a receiver a new secret; the one before it goes on signing for a while.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn renew_receiver_secret(
        &self,
        shop: &ShopId,
        id: Uuid,
        secret: &[u8],
        overlap: Duration,
        by: &By,
    ) -> Result<bool> {
        let until = unix_ms(self.clock.now() + overlap);
        let renew = async |tx: &mut _| sql::receivers::renew(tx, shop, id, secret, until).await;
        self.change_receiver(shop, id, by, "secret renewed", renew).await
    }

    /// Tells a receiver of events again that was disabled.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn enable_receiver(&self, shop: &ShopId, id: Uuid, by: &By) -> Result<bool> {
        let enable = async |tx: &mut _| sql::receivers::enable(tx, shop, id).await;
        self.change_receiver(shop, id, by, "enabled", enable).await
    }

    async fn change_receiver(
        &self,
        shop: &ShopId,
        id: Uuid,
        by: &By,
        how: &str,
        change: impl AsyncFnOnce(&mut crate::db::Tx) -> Result<bool>,
    ) -> Result<bool> {
        let mut tx = self.write(shop).await?;
        if !change(&mut tx).await? {
            return Ok(false);
        }
        sql::audit::append(&mut tx, shop, self.clock.now(), [changed(by, id, how.to_owned())]).await?;
        tx.commit().await?;
        Ok(true)
    }
}

fn changed(by: &By, id: Uuid, how: String) -> Happening {
    Happening { note: Some(how), ..by.did(Event::ReceiverChanged, format!("receiver {id}")) }
}
