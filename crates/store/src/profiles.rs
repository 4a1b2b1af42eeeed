//! Target profiles a shop has stored under an id and a revision.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::{By, Error, Event, Happening, Once, Result, ShopId, Store, sql};

/// A profile to be stored.
#[derive(Debug, Clone)]
pub struct NewProfile {
    /// Its id within the shop.
    pub id: String,
    /// Its revision.
    pub revision: String,
    /// The profile.
    pub document: Vec<u8>,
    /// The digest that tells two documents apart.
    pub digest: String,
}

/// What storing a profile came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PutProfile {
    /// It is new.
    Stored,
    /// The same document was there before.
    AlreadyThere,
}

/// A stored profile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProfileRecord {
    /// What it is known by.
    pub summary: ProfileSummary,
    /// The profile, byte for byte as it was stored.
    pub document: Vec<u8>,
}

/// A stored profile without its document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProfileSummary {
    /// Its id within the shop.
    pub id: String,
    /// Its revision.
    pub revision: String,
    /// The digest of its document.
    pub digest: String,
    /// When it was stored, to the millisecond.
    pub created_at: OffsetDateTime,
}

impl Store {
    /// Stores a profile for good: an id and revision once given never names another document.
    ///
    /// # Errors
    /// [`Error::Conflict`] when id and revision are taken by a document of another digest, [`Error::KeyReused`] when the
    /// key came with another one.
    pub async fn put_profile(
        &self,
        shop: &ShopId,
        profile: NewProfile,
        by: &By,
        once: Option<&Once>,
    ) -> Result<PutProfile> {
        let mut tx = self.write(shop).await?;
        // A profile is known by its content; of the key it only matters that it does not name two.
        let keyed = self.made_before(&mut tx, shop, once).await?.is_some();
        if let Some(stored) = sql::profiles::find(&mut tx, shop, &profile.id, &profile.revision).await? {
            let stored = stored.summary.digest;
            if stored == profile.digest {
                if !keyed {
                    self.made_now(&mut tx, shop, once, Uuid::now_v7()).await?;
                    tx.commit().await?;
                }
                return Ok(PutProfile::AlreadyThere);
            }
            let NewProfile { id, revision, digest, .. } = profile;
            return Err(Error::Conflict { id, revision, stored, offered: digest });
        }
        sql::profiles::insert(&mut tx, shop, &profile, self.clock.now_ms()).await?;
        let to = format!("profile {} revision {}", profile.id, profile.revision);
        let stored = Happening { digest: Some(profile.digest), ..by.did(Event::ProfileStored, to) };
        sql::audit::append(&mut tx, shop, self.clock.now(), [stored]).await?;
        self.made_now(&mut tx, shop, once, Uuid::now_v7()).await?;
        tx.commit().await?;
        Ok(PutProfile::Stored)
    }

    /// A stored profile of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn profile(&self, shop: &ShopId, id: &str, revision: &str) -> Result<Option<ProfileRecord>> {
        sql::profiles::find(&mut self.read().await?, shop, id, revision).await
    }

    /// All stored profiles of this shop, by id and then by age.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn profiles(&self, shop: &ShopId) -> Result<Vec<ProfileSummary>> {
        sql::profiles::list(&mut self.read().await?, shop).await
    }
}
