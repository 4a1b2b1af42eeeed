//! Keys: what a shop system, or a person, shows to be let in.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::db::Tx;
use crate::trail::revoked;
use crate::{By, Event, Happening, Made, Once, Result, ShopId, Store, sql};

/// A key to be kept. Its secret is not among it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewKey {
    /// The key.
    pub id: Uuid,
    /// What it is for.
    pub label: String,
    /// What it may do: words with a space between.
    pub scopes: String,
    /// The person it speaks for.
    pub person: Option<Uuid>,
    /// SHA-256 of its secret.
    pub secret_sha256: Vec<u8>,
    /// When it ends by itself.
    pub expires_at: Option<OffsetDateTime>,
}

/// A key that is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyRecord {
    /// Whose it is.
    pub shop: ShopId,
    /// The key.
    pub content: NewKey,
    /// When it was made.
    pub created_at: OffsetDateTime,
    /// Since when it opens nothing.
    pub revoked_at: Option<OffsetDateTime>,
}

impl Store {
    /// Keeps a key.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn keep_key(
        &self,
        shop: &ShopId,
        key: NewKey,
        by: &By,
        once: Option<&Once>,
    ) -> Result<Made<KeyRecord>> {
        let mut tx = self.write(shop).await?;
        if let Some(id) = self.made_before(&mut tx, shop, once).await? {
            let record = sql::keys::find(&mut tx, id).await?.ok_or(sqlx::Error::RowNotFound)?;
            return Ok(Made::Before(record));
        }
        let record = self.insert_key(&mut tx, shop, &key, by).await?;
        self.made_now(&mut tx, shop, once, key.id).await?;
        tx.commit().await?;
        Ok(Made::New(record))
    }

    /// Keeps a key if its shop has none of a scope that is still good; of several processes, one does.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn keep_first_key(&self, shop: &ShopId, scope: &str, key: NewKey, by: &By) -> Result<bool> {
        let mut tx = self.write(shop).await?;
        if sql::keys::any_with(&mut tx, shop, scope, self.clock.now_ms()).await? {
            return Ok(false);
        }
        self.insert_key(&mut tx, shop, &key, by).await?;
        tx.commit().await?;
        Ok(true)
    }

    async fn insert_key(&self, tx: &mut Tx, shop: &ShopId, key: &NewKey, by: &By) -> Result<KeyRecord> {
        sql::keys::insert(tx, shop, key, self.clock.now_ms()).await?;
        let note = Some(format!("{}: {}", key.label, key.scopes));
        let made = Happening { note, ..by.did(Event::KeyMade, format!("key {}", key.id)) };
        sql::audit::append(tx, shop, self.clock.now(), [made]).await?;
        Ok(sql::keys::find(tx, key.id).await?.ok_or(sqlx::Error::RowNotFound)?)
    }

    /// Whether a shop has a key of a scope that is still good.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn has_key(&self, shop: &ShopId, scope: &str) -> Result<bool> {
        sql::keys::any_with(&mut self.read().await?, shop, scope, self.clock.now_ms()).await
    }

    /// A key of any shop: it is what tells the shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn key(&self, id: Uuid) -> Result<Option<KeyRecord>> {
        sql::keys::find(&mut self.read().await?, id).await
    }

    /// All keys of a shop, in the order they were made.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn keys(&self, shop: &ShopId) -> Result<Vec<KeyRecord>> {
        sql::keys::list(&mut self.read().await?, shop).await
    }

    /// From now on a key opens nothing. False when the shop has no such key.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn revoke_key(&self, shop: &ShopId, id: Uuid, by: &By) -> Result<bool> {
        let mut tx = self.write(shop).await?;
        if !sql::keys::revoke(&mut tx, shop, id, self.clock.now_ms()).await? {
            let known = sql::keys::find(&mut tx, id).await?;
            return Ok(known.is_some_and(|key| key.shop == *shop));
        }
        sql::audit::append(&mut tx, shop, self.clock.now(), [revoked(by, id)]).await?;
        tx.commit().await?;
        Ok(true)
    }
}
