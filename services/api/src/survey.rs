//! What is asked of many heads together, by the parameters of a query.

use actix_web::HttpRequest;
use actix_web::error::QueryPayloadError;
use actix_web::web::Query;
use headproof_line as line;
use headproof_survey::{MOST_HEADS, Survey, SurveyError};
use headproof_wire::statistics::{CapabilityMethod, ChartKind, RuleSet, Selection};
use headproof_wire::{Language, Paper, SheetOptions, Stage};
use serde::Deserialize;
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use utoipa::IntoParams;
use uuid::Uuid;

use crate::{ApiError, ProblemKind};

/// Points of each chart, where nothing is said.
pub(crate) const USUAL_POINTS: u16 = 100;

/// Characters of a title.
const LONGEST_TITLE: usize = 120;

/// Which heads, and how they are looked at.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(crate) struct Asking {
    /// Those of this batch.
    batch: Option<Uuid>,
    /// Those measured at this time or later.
    #[param(format = "date-time")]
    from: Option<String>,
    /// Those measured before this time.
    #[param(format = "date-time")]
    to: Option<String>,
    /// Those of this stage.
    #[param(inline)]
    stage: Option<Stage>,
    /// Those held against the profile of this id.
    profile: Option<String>,
    /// Those of this bench.
    bench: Option<String>,
    /// Those of this cutter.
    cutter: Option<String>,
    /// Those of this operator.
    operator: Option<String>,
    /// This characteristic only.
    characteristic: Option<String>,
    /// Level of confidence of intervals and tests; 0.95 where nothing is said.
    #[param(minimum = 0.5, maximum = 0.999999)]
    confidence: Option<f64>,
    /// Run rules of the charts; western-electric where nothing is said.
    #[param(inline)]
    rules: Option<RuleSet>,
    /// Kind of the charts; the one that suits each where nothing is said.
    #[param(inline)]
    chart: Option<ChartKind>,
    /// The last so many points of each chart, and signals; 100 where nothing is said, and always in a report.
    #[param(minimum = 0, maximum = 10000)]
    points: Option<u16>,
    /// How capability is found; as the test of normality tells where nothing is said.
    #[param(inline)]
    method: Option<CapabilityMethod>,
    /// Paper of the report (PDF).
    #[param(inline)]
    paper: Option<Paper>,
    /// Language of the report.
    #[param(inline)]
    language: Option<Language>,
    /// What the report is called; what was asked for, where nothing is said.
    #[param(max_length = 120)]
    title: Option<String>,
}

/// What a request asks for.
pub(crate) struct Asked {
    /// Which heads, and how they are looked at.
    pub(crate) survey: Survey,
    /// Paper and language of a report.
    pub(crate) look: SheetOptions,
    /// What it is called.
    pub(crate) title: Option<String>,
}

/// What a request asks for.
///
/// # Errors
/// [`ProblemKind::BadRequest`] for a parameter that makes no sense.
pub(crate) fn asked(http: &HttpRequest) -> Result<Asked, ApiError> {
    let bad = |detail: String| ApiError::because(ProblemKind::BadRequest, detail);
    let asking = Query::<Asking>::from_query(http.query_string());
    let asking = asking.map_err(|error| bad(reason(http.query_string(), &error)))?.into_inner();
    let confidence = asking.confidence.unwrap_or(0.95);
    if !(0.5..=0.999_999).contains(&confidence) {
        return Err(bad("confidence must be a number from 0.5 to 0.999999".to_owned()));
    }
    if let Some(name) = &asking.characteristic
        && headproof_judge::characteristic(name).is_none()
    {
        return Err(bad("characteristic must be one of those that /v1/characteristics lists".to_owned()));
    }
    let points = asking.points.unwrap_or(USUAL_POINTS);
    if points > 10_000 {
        return Err(bad("points must be a number from 0 to 10000".to_owned()));
    }
    if asking.title.as_ref().is_some_and(|title| title.chars().count() > LONGEST_TITLE) {
        return Err(bad(format!("title must have at most {LONGEST_TITLE} characters")));
    }
    let survey = Survey {
        of: Selection {
            batch: asking.batch,
            stage: asking.stage,
            profile: asking.profile,
            bench: asking.bench,
            cutter: asking.cutter,
            operator: asking.operator,
            characteristic: asking.characteristic,
            ..Selection::default()
        },
        from: moment("from", asking.from.as_deref())?,
        to: moment("to", asking.to.as_deref())?,
        asked: line::Asked {
            confidence,
            rules: asking.rules.unwrap_or_default().into(),
            chart: asking.chart.map(Into::into),
            method: asking.method.map(Into::into),
        },
        points: points.into(),
    };
    let look = SheetOptions {
        paper: asking.paper.unwrap_or_default(),
        language: asking.language.unwrap_or_default(),
    };
    Ok(Asked { survey, look, title: asking.title })
}

/// The time a parameter names.
fn moment(parameter: &str, text: Option<&str>) -> Result<Option<OffsetDateTime>, ApiError> {
    let moment = text.map(|text| OffsetDateTime::parse(text, &Rfc3339)).transpose();
    moment.map_err(|_| {
        // In a query a bare + is a blank.
        let detail =
            format!("{parameter} must be a time as in RFC 3339: 2026-10-01T00:00:00Z; a + is written %2B");
        ApiError::because(ProblemKind::BadRequest, detail)
    })
}

/// What is wrong with a query, and with which of its parameters where one is wrong by itself.
fn reason(query: &str, error: &QueryPayloadError) -> String {
    let said = match error {
        QueryPayloadError::Deserialize(error) => error.to_string(),
        _ => "the query makes no sense".to_owned(),
    };
    let wrong = query.split('&').find(|pair| Query::<Asking>::from_query(pair).is_err());
    match wrong.and_then(|pair| pair.split_once('=')) {
        Some((name, _)) => format!("{name}: {said}"),
        None => said,
    }
}

impl From<SurveyError> for ApiError {
    fn from(error: SurveyError) -> Self {
        match error {
            SurveyError::Store(error) => error.into(),
            SurveyError::TooMany => {
                let detail = format!(
                    "there are more than {MOST_HEADS} measurement sets to look through; ask for a shorter time"
                );
                Self::because(ProblemKind::BadRequest, detail)
            }
            SurveyError::TooManyPoints => {
                let detail =
                    "the charts would have too many points; ask for fewer points or one characteristic";
                Self::because(ProblemKind::BadRequest, detail)
            }
            SurveyError::Overflow | SurveyError::Interrupted => Self::internal(&error),
        }
    }
}
