//! People who sign.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::trail::revoked;
use crate::{By, Error, Event, Happening, Made, Once, Result, ShopId, Store, sql};

/// A person to be entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPerson {
    /// Their name.
    pub name: String,
    /// What they are in the shop.
    pub role: String,
    /// The subject of tokens that speak for them.
    pub subject: Option<String>,
}

/// A person who signs, or did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonRecord {
    /// The person.
    pub id: Uuid,
    /// Their name.
    pub name: String,
    /// What they are in the shop.
    pub role: String,
    /// The subject of tokens that speak for them.
    pub subject: Option<String>,
    /// When they were entered.
    pub created_at: OffsetDateTime,
    /// Since when they sign no longer.
    pub left_at: Option<OffsetDateTime>,
}

impl Store {
    /// Enters a person with a certificate.
    ///
    /// # Errors
    /// [`Error::SubjectTaken`] when tokens of that subject speak for somebody else already.
    pub async fn enter_person(
        &self,
        shop: &ShopId,
        id: Uuid,
        person: NewPerson,
        certificate: crate::NewCertificate,
        by: &By,
        once: Option<&Once>,
    ) -> Result<Made<PersonRecord>> {
        let now = self.clock.now();
        let mut tx = self.write(shop).await?;
        if let Some(id) = self.made_before(&mut tx, shop, once).await? {
            let record = sql::people::find(&mut tx, shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
            return Ok(Made::Before(record));
        }
        if let Some(subject) = &person.subject
            && sql::people::of_subject(&mut tx, shop, subject).await?.is_some()
        {
            return Err(Error::SubjectTaken);
        }
        sql::people::insert(&mut tx, shop, id, &person, self.clock.now_ms()).await?;
        let note = Some(format!("{}, {}", person.name, person.role));
        let entered = Happening { note, ..by.did(Event::PersonEntered, format!("person {id}")) };
        sql::audit::append(&mut tx, shop, now, [entered]).await?;
        crate::certificates::keep(&mut tx, shop, Some(id), &certificate, by, now).await?;
        self.made_now(&mut tx, shop, once, id).await?;
        let record = sql::people::find(&mut tx, shop, id).await?.ok_or(sqlx::Error::RowNotFound)?;
        tx.commit().await?;
        Ok(Made::New(record))
    }

    /// A person of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn person(&self, shop: &ShopId, id: Uuid) -> Result<Option<PersonRecord>> {
        sql::people::find(&mut self.read().await?, shop, id).await
    }

    /// The person for whom tokens of a subject speak.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn person_of_subject(&self, shop: &ShopId, subject: &str) -> Result<Option<PersonRecord>> {
        sql::people::of_subject(&mut self.read().await?, shop, subject).await
    }

    /// All people of this shop, in the order they were entered.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn people(&self, shop: &ShopId) -> Result<Vec<PersonRecord>> {
        sql::people::list(&mut self.read().await?, shop).await
    }

    /// A person signs no longer: their keys are revoked, their signatures stay. False when there is no such person.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn person_leaves(&self, shop: &ShopId, id: Uuid, by: &By) -> Result<bool> {
        let mut tx = self.write(shop).await?;
        let now = self.clock.now_ms();
        if !sql::people::leave(&mut tx, shop, id, now).await? {
            return Ok(sql::people::find(&mut tx, shop, id).await?.is_some());
        }
        let keys = sql::keys::revoke_of_person(&mut tx, shop, id, now).await?;
        let left = by.did(Event::PersonLeft, format!("person {id}"));
        let revoked = keys.into_iter().map(|key| revoked(by, key));
        let entries = std::iter::once(left).chain(revoked);
        sql::audit::append(&mut tx, shop, self.clock.now(), entries).await?;
        tx.commit().await?;
        Ok(true)
    }
}
