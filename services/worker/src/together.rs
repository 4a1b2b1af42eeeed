//! What the heads of a batch say together, for its report.

use headproof_line::{Asked, RuleSet};
use headproof_seal::canonical;
use headproof_store::{ShopId, Store};
use headproof_survey::{Survey, SurveyError, survey};
use headproof_wire::statistics::{Selection, Statistics};
use uuid::Uuid;

use crate::error::TaskError;
use crate::refusal::{Cause, Refusal};

/// One head says nothing together.
const FEWEST: u64 = 2;
/// Level of confidence of a report.
const CONFIDENCE: f64 = 0.95;
/// Points of its charts: what can be told from each other on paper.
const POINTS: usize = 100;

/// Statistics of a batch in their canonical form; none where there are too few heads, or where values make no statistics:
/// then the log says so, and the report does without.
pub(crate) async fn together(store: &Store, shop: &ShopId, batch: Uuid) -> Result<Option<String>, TaskError> {
    let wanted = Survey {
        of: Selection { batch: Some(batch), ..Selection::default() },
        from: None,
        to: None,
        asked: Asked { confidence: CONFIDENCE, rules: RuleSet::WesternElectric, chart: None, method: None },
        points: POINTS,
    };
    let statistics =
        if_sums_hold(survey(store, shop, &wanted).await, "the report is made without statistics")?;
    let Some(statistics) = statistics.filter(|statistics| statistics.heads.counted >= FEWEST) else {
        return Ok(None);
    };
    let damaged = |error: &dyn std::error::Error| Refusal::Stopped(Cause::of(error));
    let bytes = canonical(&statistics).map_err(|error| damaged(&error))?;
    Ok(Some(String::from_utf8(bytes).map_err(|error| damaged(&error))?))
}

/// What a survey gave; none where values make no sums, which no other try mends: then the log says so.
pub(crate) fn if_sums_hold<T>(given: Result<T, SurveyError>, so: &str) -> Result<Option<T>, TaskError> {
    match given {
        Ok(given) => Ok(Some(given)),
        Err(SurveyError::Store(error)) => Err(error.into()),
        Err(error @ (SurveyError::TooMany | SurveyError::TooManyPoints | SurveyError::Overflow)) => {
            tracing::warn!(%error, "{so}");
            Ok(None)
        }
        Err(error @ SurveyError::Interrupted) => Err(Refusal::Stopped(Cause::of(&error)).into()),
    }
}

/// What [`together`] has written, read again.
pub(crate) fn read_statistics(text: &str) -> Result<Statistics, Refusal> {
    serde_json::from_str(text)
        .map_err(|error| Refusal::Document { what: "statistics".to_owned(), cause: Cause::of(&error) })
}
