//! Certificates with their locked keys: the shop's own, and those of its people.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::db::Tx;
use crate::{By, Error, Event, Happening, Result, ShopId, Store, clock::unix_ms, sql};

/// A certificate to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewCertificate {
    /// What it is known by.
    pub fingerprint: String,
    /// It, and those that vouch for it, in DER.
    pub chain: Vec<Vec<u8>>,
    /// Its private key, locked by a secret that the store does not have.
    pub locked_key: Vec<u8>,
}

/// A certificate that is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CertificateRecord {
    /// The record of it.
    pub id: Uuid,
    /// Whose it is; the shop's own without one.
    pub person: Option<Uuid>,
    /// When it was kept.
    pub created_at: OffsetDateTime,
    /// The certificate.
    pub content: NewCertificate,
}

impl Store {
    /// Keeps a certificate; from now on it is the one in use.
    ///
    /// # Errors
    /// [`Error::CertificateKnown`] when it was kept before.
    pub async fn keep_certificate(
        &self,
        shop: &ShopId,
        person: Option<Uuid>,
        certificate: NewCertificate,
        by: &By,
    ) -> Result<()> {
        let mut tx = self.write(shop).await?;
        if sql::certificates::find(&mut tx, shop, &certificate.fingerprint).await?.is_some() {
            return Err(Error::CertificateKnown);
        }
        keep(&mut tx, shop, person, &certificate, by, self.clock.now()).await?;
        tx.commit().await?;
        Ok(())
    }

    /// Keeps a certificate of the shop itself, unless it has one; of several processes, one does.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn keep_first_certificate(
        &self,
        shop: &ShopId,
        certificate: NewCertificate,
        by: &By,
    ) -> Result<bool> {
        let mut tx = self.write(shop).await?;
        if sql::certificates::newest(&mut tx, shop, None).await?.is_some() {
            return Ok(false);
        }
        keep(&mut tx, shop, None, &certificate, by, self.clock.now()).await?;
        tx.commit().await?;
        Ok(true)
    }

    /// The certificate in use of a person, or of the shop itself.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn certificate(
        &self,
        shop: &ShopId,
        person: Option<Uuid>,
    ) -> Result<Option<CertificateRecord>> {
        sql::certificates::newest(&mut self.read().await?, shop, person).await
    }

    /// One of all certificates that are kept, if there is any, to see whether a secret opens its key.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn any_certificate(&self) -> Result<Option<CertificateRecord>> {
        sql::certificates::any(&mut self.read().await?).await
    }

    /// The certificate of a fingerprint.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn certificate_of(
        &self,
        shop: &ShopId,
        fingerprint: &str,
    ) -> Result<Option<CertificateRecord>> {
        sql::certificates::find(&mut self.read().await?, shop, fingerprint).await
    }

    /// The certificate of a record.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn certificate_by_id(&self, shop: &ShopId, id: Uuid) -> Result<Option<CertificateRecord>> {
        sql::certificates::by_id(&mut self.read().await?, shop, id).await
    }

    /// Every certificate of the shop itself that was ever in use, the newest first.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn shop_certificates(&self, shop: &ShopId) -> Result<Vec<CertificateRecord>> {
        sql::certificates::of_shop(&mut self.read().await?, shop).await
    }
}

/// Keeps a certificate within a transaction, and says so in the trail.
pub(crate) async fn keep(
    tx: &mut Tx,
    shop: &ShopId,
    person: Option<Uuid>,
    certificate: &NewCertificate,
    by: &By,
    now: OffsetDateTime,
) -> Result<()> {
    sql::certificates::insert(tx, shop, person, certificate, unix_ms(now)).await?;
    let to = person.map_or_else(|| "shop".to_owned(), |person| format!("person {person}"));
    let digest = Some(certificate.fingerprint.clone());
    let kept = Happening { digest, ..by.did(Event::CertificateKept, to) };
    sql::audit::append(tx, shop, now, [kept]).await
}
