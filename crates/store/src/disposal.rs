//! Old jobs are disposed of: heads that nothing was heard of for long, unless anybody has signed for them.

use std::time::Duration;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::clock::unix_ms;
use crate::{By, Event, Happening, Result, ShopId, Store, sql};

/// Heads that are disposed of under one lock.
const AT_ONCE: u32 = 20;

/// What is left of a job that was disposed of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DisposalRecord {
    /// The job.
    pub job: Uuid,
    /// The digest of its evaluation.
    pub digest: String,
    /// When it went, to the millisecond.
    pub disposed_at: OffsetDateTime,
}

impl Store {
    /// Disposes of all jobs of heads whose last job is of that age, is over, and of which none was signed: their
    /// documents and files go, the trail and a record of what went stay. Returns how many jobs went.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn dispose(&self, shop: &ShopId, age: Duration, by: &By) -> Result<u64> {
        let limit = unix_ms(self.clock.now() - age);
        let mut count = 0;
        loop {
            let mut tx = self.write(shop).await?;
            let heads = sql::disposals::quiet_heads(&mut tx, shop, limit, AT_ONCE).await?;
            if heads.is_empty() {
                break;
            }
            let (mut files, mut entries) = (Vec::new(), Vec::new());
            for head in &heads {
                for (job, digest) in sql::disposals::jobs_of(&mut tx, head).await? {
                    let disposed = by.did(Event::Disposed, format!("job {job}"));
                    entries.push(Happening { digest: Some(digest.clone()), ..disposed });
                    let now = self.clock.now_ms();
                    files.extend(sql::disposals::dispose(&mut tx, shop, job, &digest, now).await?);
                    count += 1;
                }
                sql::disposals::remove_head(&mut tx, head).await?;
            }
            files.extend(sql::disposals::dispose_batches(&mut tx, shop).await?);
            sql::audit::append(&mut tx, shop, self.clock.now(), entries).await?;
            tx.commit().await?;
            for file in files {
                self.objects.remove(&file).await;
            }
        }
        Ok(count)
    }

    /// What is left of a job that was disposed of.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn disposed(&self, shop: &ShopId, job: Uuid) -> Result<Option<DisposalRecord>> {
        sql::disposals::find(&mut self.read().await?, shop, job).await
    }

    /// All shops that have ever brought work.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn shops(&self) -> Result<Vec<ShopId>> {
        sql::disposals::shops(&mut self.read().await?).await
    }
}
