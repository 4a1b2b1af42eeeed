//! Statistics of what a store keeps: reads what was observed of many jobs, page by page, and has it gathered.
//!
//! Memory grows with the heads by some dozen bytes for each characteristic (a point of its chart), not with their
//! documents.

mod newest;

use std::mem::take;

use headproof_line::{Asked, Line, ObservedHead, Standing, SumOverflow};
use headproof_store::{ObservationsOf, ObservationsRecord, Page, Place, ShopId, Store};
use headproof_wire::statistics::{Selection, Statistics};
use headproof_wire::{Gathered, Stage, read_observations, statistics_document};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

pub use newest::{Newest, newest};

/// Jobs that are read at once.
const AT_ONCE: u32 = 200;

/// The most measurement sets that one survey reads: as many as five of the largest batches hold.
pub const MOST_HEADS: usize = 100_000;

/// The most points of all charts together: some dozen megabytes of them.
const MOST_POINTS: usize = 500_000;

/// Which heads are surveyed, and how.
#[derive(Debug, Clone)]
pub struct Survey {
    /// Which heads; its times go by the two below, and are written from them.
    pub of: Selection,
    /// Those measured at this time or later.
    pub from: Option<OffsetDateTime>,
    /// Those measured before this time.
    pub to: Option<OffsetDateTime>,
    /// How the values are looked at.
    pub asked: Asked,
    /// The most points of a chart, and signals, that are told.
    pub points: usize,
}

/// Why there is no survey.
#[derive(Debug, thiserror::Error)]
pub enum SurveyError {
    /// The store failed.
    #[error(transparent)]
    Store(#[from] headproof_store::Error),
    /// More heads than [`MOST_HEADS`].
    #[error("more than {MOST_HEADS} heads")]
    TooMany,
    /// Charts of more than [`MOST_POINTS`] points.
    #[error("more than {MOST_POINTS} points of charts")]
    TooManyPoints,
    /// Sums ran over: values that no head can have.
    #[error("the sums of the values run over")]
    Overflow,
    /// The thread that gathers came to its end.
    #[error("gathering was interrupted")]
    Interrupted,
}

impl From<SumOverflow> for SurveyError {
    fn from(_: SumOverflow) -> Self {
        Self::Overflow
    }
}

/// What is gathered so far.
#[derive(Default)]
struct Heads {
    line: Line,
    serials: Vec<String>,
    /// Sets that were read, also those that are not counted.
    read: usize,
    superseded: u64,
    unreadable: u64,
}

/// Surveys the heads of a shop.
///
/// # Errors
/// [`SurveyError`] says why it cannot.
pub async fn survey(store: &Store, shop: &ShopId, survey: &Survey) -> Result<Statistics, SurveyError> {
    let of = ObservationsOf {
        batch: survey.of.batch,
        from: survey.from,
        to: survey.to,
        stage: survey.of.stage.map(Stage::word),
        profile: survey.of.profile.as_deref(),
    };
    let (mut heads, mut after) = (Heads::default(), None);
    loop {
        let page = store.observations(shop, of, Page { after, most: AT_ONCE }).await?;
        let Some(last) = page.last() else { break };
        after = Some(Place { at: last.measured_at, id: last.job });
        let (mut so_far, wanted) = (take(&mut heads), survey.clone());
        let gathering = move || -> Result<Heads, SurveyError> {
            for record in page {
                so_far.take_in(&wanted, record)?;
            }
            Ok(so_far)
        };
        // Some milliseconds of sums, beside which other requests go on.
        heads = tokio::task::spawn_blocking(gathering).await.map_err(|_| SurveyError::Interrupted)??;
    }
    let without_values = store.jobs_without_observations(shop, of).await? + heads.unreadable;
    let (asked, points, selection) = (survey.asked, survey.points, selection(survey));
    if heads.line.series().count() * 2 * points.min(heads.serials.len()) > MOST_POINTS {
        return Err(SurveyError::TooManyPoints);
    }
    let document = move || {
        let Heads { line, serials, superseded, .. } = &heads;
        let superseded = *superseded;
        statistics_document(Gathered { line, serials, superseded, without_values, asked, points }, selection)
    };
    tokio::task::spawn_blocking(document).await.map_err(|_| SurveyError::Interrupted)
}

impl Heads {
    fn take_in(&mut self, wanted: &Survey, record: ObservationsRecord) -> Result<(), SurveyError> {
        self.read += 1;
        if self.read > MOST_HEADS {
            return Err(SurveyError::TooMany);
        }
        let mut head = match read_observations(&record.document) {
            Ok(head) => head,
            Err(error) => {
                tracing::warn!(job = %record.job, %error, "a job is left out of statistics");
                self.unreadable += 1;
                return Ok(());
            }
        };
        if !wanted.wants(&head) {
            return Ok(());
        }
        if let Some(characteristic) = &wanted.of.characteristic {
            head.rows.retain(|row| row.characteristic.as_str() == characteristic);
        }
        if record.revision == 1 {
            self.line.observe_first(&head);
        }
        if record.is_superseded {
            self.superseded += 1;
            return Ok(());
        }
        let id = u32::try_from(self.serials.len()).map_err(|_| SurveyError::TooMany)?;
        let standing = Standing { is_signed: record.signed > 0, with_concession: record.with_concession > 0 };
        self.line.observe(id, &head, standing)?;
        self.serials.push(record.head_reference);
        Ok(())
    }
}

impl Survey {
    /// Was it made where, with what and by whom it is asked of?
    fn wants(&self, head: &ObservedHead) -> bool {
        let of = &self.of;
        let codes = [(&of.bench, &head.bench), (&of.cutter, &head.cutter), (&of.operator, &head.operator)];
        codes.into_iter().all(|(wanted, code)| wanted.is_none() || wanted == code)
    }
}

fn selection(survey: &Survey) -> Selection {
    let text = |moment: Option<OffsetDateTime>| moment.and_then(|moment| moment.format(&Rfc3339).ok());
    Selection { from: text(survey.from), to: text(survey.to), ..survey.of.clone() }
}
