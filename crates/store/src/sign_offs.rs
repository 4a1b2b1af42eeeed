//! Sign-offs: a person answers for the evaluation of a job. They are added to, never changed.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::db::Tx;
use crate::{
    ArtifactKind, ArtifactRecord, By, CertificateRecord, Checkpoint, Error, Event, Happening, JobRecord,
    Made, Once, Origin, PersonRecord, Priority, Result, ShopId, Store, TaskStatus, Who,
    clock::to_the_millisecond, sql,
};

/// Who wants to sign what.
#[derive(Debug, Clone)]
pub struct Signing {
    /// Whose job it is.
    pub shop: ShopId,
    /// The job.
    pub job: Uuid,
    /// The person.
    pub person: Uuid,
    /// What the signature says: a word.
    pub meaning: String,
    /// Who it is to the audit trail.
    pub who: Who,
    /// The request that brought it.
    pub origin: Origin,
    /// By what the request is known when it is sent again.
    pub once: Option<Once>,
}

/// What the record of a sign-off is written from. Nothing of it changes until it is stored.
#[derive(Debug)]
pub struct SigningContext {
    /// The id it will have.
    pub id: Uuid,
    /// When it is signed, to the millisecond.
    pub at: OffsetDateTime,
    /// The person.
    pub person: PersonRecord,
    /// Their certificate in use.
    pub certificate: CertificateRecord,
    /// The newest revision of this stage of the head.
    pub newest_revision: u32,
    /// The last job of the head that was accepted after this one, whatever its stage.
    pub later: Option<JobRecord>,
    /// Sign-offs of the same job, oldest first.
    pub beside: Vec<SignOffRecord>,
    /// Sign-offs of earlier jobs of the head that nothing has taken the place of yet, oldest first.
    pub in_force: Vec<SignOffRecord>,
    /// How far the audit trail reaches.
    pub checkpoint: Checkpoint,
}

/// The record of a sign-off, to be stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewSignOff {
    /// The record.
    pub document: Vec<u8>,
    /// Its digest.
    pub digest: String,
    /// The code it is looked up by.
    pub code: String,
}

/// A sign-off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignOffRecord {
    /// The sign-off.
    pub id: Uuid,
    /// The job.
    pub job: Uuid,
    /// The stage of that.
    pub stage: String,
    /// The revision of that.
    pub revision: u32,
    /// Who signed.
    pub person: PersonRecord,
    /// The record of the certificate it was signed with.
    pub certificate: Uuid,
    /// What it says: a word.
    pub meaning: String,
    /// When, to the millisecond.
    pub signed_at: OffsetDateTime,
    /// The record, byte for byte as it was stored.
    pub content: NewSignOff,
    /// How far its signed sheet is.
    pub task: TaskStatus,
    /// Its signed sheet, once that is done.
    pub sheet: Option<ArtifactRecord>,
}

impl Store {
    /// Stores a sign-off and queues its signed sheet, unless the function that writes its record refuses.
    ///
    /// The function is called under the write lock: no revision, sign-off or entry of the trail comes between what
    /// it is told and what is stored.
    ///
    /// # Errors
    /// [`Error::NoSuchJob`], [`Error::NoSigner`] when the person is unknown, has left or has no certificate,
    /// [`Error::AlreadySigned`] when they have said the same of this job before; else what the function says.
    pub async fn sign<E: From<Error>>(
        &self,
        signing: Signing,
        write: impl FnOnce(&SigningContext) -> Result<NewSignOff, E>,
    ) -> Result<Made<SignOffRecord>, E> {
        let Signing { shop, once, .. } = &signing;
        let mut tx = self.write(shop).await?;
        if let Some(id) = self.made_before(&mut tx, shop, once.as_ref()).await? {
            let record = sql::sign_offs::find(&mut tx, shop, id).await?;
            return Ok(Made::Before(record.ok_or(sqlx::Error::RowNotFound).map_err(Error::from)?));
        }
        let context = self.signing_context(&mut tx, &signing).await?;
        let content = write(&context)?;
        Ok(Made::New(self.store_sign_off(tx, &signing, &context, content).await?))
    }

    async fn signing_context(
        &self,
        tx: &mut Tx,
        Signing { shop, job, person, meaning, .. }: &Signing,
    ) -> Result<SigningContext> {
        let at = to_the_millisecond(self.clock.now());
        let newest_revision = sql::jobs::newest_revision(tx, shop, *job).await?.ok_or(Error::NoSuchJob)?;
        let known = sql::people::find(tx, shop, *person).await?.filter(|known| known.left_at.is_none());
        let person = known.ok_or(Error::NoSigner)?;
        let certificate = sql::certificates::newest(tx, shop, Some(person.id)).await?;
        let certificate = certificate.ok_or(Error::NoSigner)?;
        let beside = sql::sign_offs::of_job(tx, shop, *job).await?;
        if beside.iter().any(|one| one.person.id == person.id && one.meaning == *meaning) {
            return Err(Error::AlreadySigned);
        }
        Ok(SigningContext {
            id: Uuid::now_v7(),
            at,
            person,
            certificate,
            newest_revision,
            later: sql::jobs::last_after(tx, shop, *job).await?,
            beside,
            in_force: sql::sign_offs::in_force_before(tx, shop, *job).await?,
            checkpoint: sql::audit::checkpoint(tx, shop).await?,
        })
    }

    async fn store_sign_off(
        &self,
        mut tx: Tx,
        signing: &Signing,
        context: &SigningContext,
        content: NewSignOff,
    ) -> Result<SignOffRecord> {
        let Signing { shop, job, meaning, who, origin, once, .. } = signing;
        sql::sign_offs::insert(&mut tx, signing, context, &content).await?;
        // Somebody stands at the counter for it.
        let submission = self.submission(shop, origin, Priority::Urgent);
        self.made_now(&mut tx, shop, once.as_ref(), context.id).await?;
        sql::queue::insert(&mut tx, &submission, ArtifactKind::SignedSheet, context.id, None).await?;
        let by = By { who: who.clone(), request: Some(origin.request_id.clone()) };
        let (digest, note) = (Some(content.digest), Some(meaning.clone()));
        let signed = Happening { digest, note, ..by.did(Event::Signed, format!("job {job}")) };
        sql::audit::append(&mut tx, shop, context.at, [signed]).await?;
        let record = sql::sign_offs::find(&mut tx, shop, context.id).await?;
        tx.commit().await?;
        Ok(record.ok_or(sqlx::Error::RowNotFound)?)
    }

    /// A sign-off of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn sign_off(&self, shop: &ShopId, id: Uuid) -> Result<Option<SignOffRecord>> {
        sql::sign_offs::find(&mut self.read().await?, shop, id).await
    }

    /// The sign-off of a code.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn sign_off_of_code(&self, shop: &ShopId, code: &str) -> Result<Option<SignOffRecord>> {
        sql::sign_offs::of_code(&mut self.read().await?, shop, code).await
    }

    /// The sign-offs of a job, oldest first.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn sign_offs(&self, shop: &ShopId, job: Uuid) -> Result<Vec<SignOffRecord>> {
        sql::sign_offs::of_job(&mut self.read().await?, shop, job).await
    }

    /// The first sign-off of a later job of the same head: it took the place of those of this job.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn successor(&self, shop: &ShopId, job: Uuid) -> Result<Option<SignOffRecord>> {
        sql::sign_offs::successor(&mut self.read().await?, shop, job).await
    }

    /// The last job of the same head that was accepted after this one.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn later_job(&self, shop: &ShopId, job: Uuid) -> Result<Option<JobRecord>> {
        sql::jobs::last_after(&mut self.read().await?, shop, job).await
    }

    /// The newest revision of the stage of a job.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn newest_revision(&self, shop: &ShopId, job: Uuid) -> Result<Option<u32>> {
        sql::jobs::newest_revision(&mut self.read().await?, shop, job).await
    }
}
