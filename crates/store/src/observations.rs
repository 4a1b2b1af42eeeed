//! What statistics over many heads are made of.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::{Page, Place, Result, ShopId, Store, sql};

/// What statistics need of a job, to be stored with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Observations {
    /// When the head was measured.
    pub measured_at: OffsetDateTime,
    /// Id of the profile it was held against.
    pub profile: String,
    /// Its values.
    pub document: Vec<u8>,
}

/// Which jobs statistics are asked of.
#[derive(Debug, Clone, Copy, Default)]
pub struct ObservationsOf<'a> {
    /// Those of this batch.
    pub batch: Option<Uuid>,
    /// Those measured at this time or later.
    pub from: Option<OffsetDateTime>,
    /// Those measured before this time.
    pub to: Option<OffsetDateTime>,
    /// Those of this stage.
    pub stage: Option<&'a str>,
    /// Those held against the profile of this id.
    pub profile: Option<&'a str>,
}

/// What is known of a job for statistics.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ObservationsRecord {
    /// The job.
    pub job: Uuid,
    /// The shop's own reference of the head.
    pub head_reference: String,
    /// 1 for the first job of this head and stage.
    pub revision: u32,
    /// A later revision took its place.
    pub is_superseded: bool,
    /// Sign-offs of it.
    pub signed: u32,
    /// Those of them with a concession.
    pub with_concession: u32,
    /// When the head was measured, to the millisecond.
    pub measured_at: OffsetDateTime,
    /// Its values.
    pub document: Vec<u8>,
}

impl Store {
    /// What statistics need of the jobs of this shop, in the order they were measured in.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn observations(
        &self,
        shop: &ShopId,
        of: ObservationsOf<'_>,
        page: Page,
    ) -> Result<Vec<ObservationsRecord>> {
        sql::observations::list(&mut self.read().await?, shop, &of, &page).await
    }

    /// What statistics need of a job of this shop; none of one that an earlier edition of the program judged.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn observations_of_job(&self, shop: &ShopId, job: Uuid) -> Result<Option<ObservationsRecord>> {
        sql::observations::find(&mut self.read().await?, shop, job).await
    }

    /// The same of the last jobs of a stage and a profile, up to this place of measurement and including it, in the order
    /// they were measured in; without those that a later revision took the place of.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn observations_up_to(
        &self,
        shop: &ShopId,
        stage: &str,
        profile: &str,
        last: Place,
        most: u32,
    ) -> Result<Vec<ObservationsRecord>> {
        let db = &mut self.read().await?;
        let mut latest = sql::observations::up_to(db, shop, stage, profile, last, most).await?;
        latest.reverse();
        Ok(latest)
    }

    /// Jobs of this shop without any: those of a batch or, without one, those accepted in the time asked for.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn jobs_without_observations(&self, shop: &ShopId, of: ObservationsOf<'_>) -> Result<u64> {
        sql::observations::missing(&mut self.read().await?, shop, &of).await
    }
}
