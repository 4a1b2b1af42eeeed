//! What the control charts say of the newest head.

use headproof_line::{ENOUGH_GROUPS, Line, ObservedHead, RuleSet, Standing};
use headproof_store::{ObservationsRecord, Place, ShopId, Store};
use headproof_wire::{HeadSignal, Stage, read_observations, signals_of_head};
use uuid::Uuid;

use crate::SurveyError;

/// Heads that a chart is made of: it is to find what changed lately, and a look at it is to stay cheap.
const HEADS: u32 = 100;

/// A head, and what signals with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Newest {
    /// When in the job.
    pub stage: Stage,
    /// Id of the profile it was held against.
    pub profile: String,
    /// The rules of Western Electric that are broken with it.
    pub signals: Vec<HeadSignal>,
}

/// What signals with the head of a job, on charts of the heads of the same stage and profile that were measured last, up to
/// and including it. Nothing does with one that a later revision took the place of. None where nothing is kept of the job
/// for statistics.
///
/// # Errors
/// [`SurveyError`] says why it cannot be told.
pub async fn newest(store: &Store, shop: &ShopId, job: Uuid) -> Result<Option<Newest>, SurveyError> {
    let Some(record) = store.observations_of_job(shop, job).await? else { return Ok(None) };
    let Some(head) = readable(&record) else { return Ok(None) };
    let (stage, profile) = (Stage::from(head.stage), head.profile);
    let mut signals = Vec::new();
    if !record.is_superseded {
        let last = Place { at: record.measured_at, id: job };
        let records = store.observations_up_to(shop, stage.word(), &profile, last, HEADS).await?;
        // Some milliseconds of sums, beside which other work goes on.
        let gathering = tokio::task::spawn_blocking(move || signals_at(&records, job));
        signals = gathering.await.map_err(|_| SurveyError::Interrupted)??;
    }
    Ok(Some(Newest { stage, profile, signals }))
}

fn readable(record: &ObservationsRecord) -> Option<ObservedHead> {
    let unreadable = |error: &_| tracing::warn!(job = %record.job, %error, "a job is left out of charts");
    read_observations(&record.document).inspect_err(unreadable).ok()
}

fn signals_at(records: &[ObservationsRecord], job: Uuid) -> Result<Vec<HeadSignal>, SurveyError> {
    let (mut line, mut place) = (Line::default(), None);
    for (id, record) in (0..).zip(records) {
        let Some(head) = readable(record) else { continue };
        line.observe(id, &head, Standing::default())?;
        place = if record.job == job { Some(id) } else { place };
    }
    Ok(place.map_or_else(Vec::new, |id| {
        signals_of_head(&line, id, RuleSet::WesternElectric, ENOUGH_GROUPS.into())
    }))
}
