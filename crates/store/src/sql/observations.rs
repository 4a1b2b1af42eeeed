//! What statistics over many heads are made of.

use uuid::Uuid;

use crate::clock::unix_ms;
use crate::db::{Row, Tx, query};
use crate::{Observations, ObservationsOf, ObservationsRecord, Page, Place, Result, ShopId};

/// Stores those of a job.
pub(crate) async fn insert(
    db: &mut Tx,
    shop: &str,
    job: Uuid,
    batch: Option<Uuid>,
    observed: &Observations,
) -> Result<()> {
    query(
        "INSERT INTO observation (job_id, shop_id, batch_id, measured_at, profile_id, document)
         VALUES ($1, $2, $3, $4, $5, $6)",
    )
    .bind(job)
    .bind(shop)
    .bind(batch)
    .bind(unix_ms(observed.measured_at))
    .bind(&observed.profile)
    .bind(observed.document.as_slice())
    .execute(db)
    .await?;
    Ok(())
}

/// Observations of a shop, as far as to what else is asked of them.
macro_rules! of_shop {
    () => {
        "SELECT job.id, head.reference AS head_reference, job.revision, observation.measured_at, observation.document,
                (SELECT count(*) FROM job AS later
                 WHERE later.head_id = job.head_id AND later.stage = job.stage
                   AND later.revision > job.revision) AS later,
                (SELECT count(*) FROM sign_off WHERE sign_off.job_id = job.id) AS signed,
                (SELECT count(*) FROM sign_off
                 WHERE sign_off.job_id = job.id AND sign_off.meaning = 'concession') AS conceded
         FROM observation
         JOIN job ON job.id = observation.job_id
         JOIN head ON head.id = job.head_id
         WHERE observation.shop_id = $1 AND "
    };
}

/// Observations that are so and so; a statement for each index that leads to them.
macro_rules! select_observations {
    ($among:literal) => {
        concat!(
            of_shop!(),
            $among,
            " AND (observation.measured_at > $3 OR observation.measured_at = $3 AND observation.job_id > $4)
               AND observation.measured_at >= $5 AND observation.measured_at < $6
               AND ($7 IS NULL OR job.stage = $7)
               AND ($8 IS NULL OR observation.profile_id = $8)
             ORDER BY observation.measured_at, observation.job_id LIMIT $9"
        )
    };
}

/// A page of them, in the order of measurement.
pub(crate) async fn list(
    db: &mut Tx,
    shop: &ShopId,
    of: &ObservationsOf<'_>,
    page: &Page,
) -> Result<Vec<ObservationsRecord>> {
    let observations = match of.batch {
        Some(_) => query(select_observations!("observation.batch_id = $2")),
        None => query(select_observations!("$2 IS NULL")),
    };
    let observations = observations.bind(shop.as_str()).bind(of.batch);
    let observations = observations.bind(page.after_at()).bind(page.after_id());
    let observations =
        observations.bind(of.from.map_or(i64::MIN, unix_ms)).bind(of.to.map_or(i64::MAX, unix_ms));
    let observations = observations.bind(of.stage).bind(of.profile).bind(page.most);
    Ok(observations.all(db, record).await?)
}

/// Those of a job.
pub(crate) async fn find(db: &mut Tx, shop: &ShopId, job: Uuid) -> Result<Option<ObservationsRecord>> {
    let found = query(concat!(of_shop!(), "observation.job_id = $2"));
    Ok(found.bind(shop.as_str()).bind(job).optional(db, record).await?)
}

/// The last ones up to a place, the latest first, without those that a later revision took the place of.
pub(crate) async fn up_to(
    db: &mut Tx,
    shop: &ShopId,
    stage: &str,
    profile: &str,
    last: Place,
    most: u32,
) -> Result<Vec<ObservationsRecord>> {
    let latest = query(concat!(
        of_shop!(),
        "observation.profile_id = $2 AND job.stage = $3 AND observation.measured_at <= $4
           AND (observation.measured_at < $4 OR observation.job_id <= $5)
           AND NOT EXISTS (SELECT 1 FROM job AS later
                           WHERE later.head_id = job.head_id AND later.stage = job.stage
                             AND later.revision > job.revision)
         ORDER BY observation.measured_at DESC, observation.job_id DESC LIMIT $6"
    ));
    let latest = latest.bind(shop.as_str()).bind(profile).bind(stage).bind(unix_ms(last.at)).bind(last.id);
    Ok(latest.bind(most).all(db, record).await?)
}

/// How many jobs have none.
pub(crate) async fn missing(db: &mut Tx, shop: &ShopId, of: &ObservationsOf<'_>) -> Result<u64> {
    let missing = query(
        "SELECT count(*) AS value FROM job
         WHERE job.shop_id = $1 AND ($2 IS NULL OR job.batch_id = $2)
           AND job.created_at >= $3 AND job.created_at < $4
           AND ($5 IS NULL OR job.stage = $5)
           AND NOT EXISTS (SELECT 1 FROM observation WHERE observation.job_id = job.id)",
    );
    let missing = missing.bind(shop.as_str()).bind(of.batch);
    let missing = missing.bind(of.from.map_or(i64::MIN, unix_ms)).bind(of.to.map_or(i64::MAX, unix_ms));
    Ok(missing.bind(of.stage).value(db).await?)
}

fn record(row: &Row) -> sqlx::Result<ObservationsRecord> {
    Ok(ObservationsRecord {
        job: row.get("id")?,
        head_reference: row.get("head_reference")?,
        revision: row.get("revision")?,
        is_superseded: row.get::<i64>("later")? > 0,
        signed: row.get("signed")?,
        with_concession: row.get("conceded")?,
        measured_at: row.get("measured_at")?,
        document: row.get("document")?,
    })
}
