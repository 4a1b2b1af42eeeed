//! One row of the evaluation, from what was found.

use headproof_head::{Limit, Measured, MissingCause, Phrase, Place, Reason, Row, Verdict};
use headproof_quantity::{Kind, Rounded};

use crate::candidate::Candidate;
use crate::characteristic::{Characteristic, Telling};
use crate::verdict::{GridLimits, Judged};

/// A limit that applies, and its place in the profile's list.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Applied<'a> {
    pub(crate) at: usize,
    pub(crate) limit: &'a Limit,
    pub(crate) grid: GridLimits,
}

/// What a row contributes to the mark of its port: what need not be measured may be missing.
pub(crate) fn mark(row: &Row) -> Verdict {
    match row.verdict {
        Verdict::NotMeasured
            if !row.required && !matches!(row.reason, Reason::Missing(MissingCause::Blocked(_))) =>
        {
            Verdict::NoLimit
        }
        verdict => verdict,
    }
}

/// A row before anything is known of its value.
pub(crate) fn blank(row: &Characteristic, applied: Option<Applied<'_>>) -> Row {
    Row {
        characteristic: row.id,
        kind: row.kind(),
        place: Place::Whole,
        measured: None,
        limit: applied.map(|applied| applied.at),
        deviation: None,
        uncertainty: None,
        gauge: None,
        probability: None,
        budget: Vec::new(),
        required: applied.is_some_and(|applied| applied.limit.required),
        verdict: Verdict::NoLimit,
        reason: Reason::NoLimit,
    }
}

/// What the profile does not limit is not missed, but the reader learns why there is no value.
pub(crate) fn missing(blank: Row, cause: MissingCause) -> Row {
    let verdict = if blank.limit.is_some() { Verdict::NotMeasured } else { Verdict::NoLimit };
    Row { verdict, reason: Reason::Missing(cause), ..blank }
}

pub(crate) fn stated(blank: Row, in_order: bool, is_limited: bool) -> Row {
    let (verdict, reason) = match (is_limited, in_order) {
        (false, _) => (Verdict::NoLimit, Reason::NoLimit),
        (true, true) => (Verdict::Conforms, Reason::InOrder),
        (true, false) => (Verdict::DoesNotConform, Reason::NotInOrder),
    };
    Row { measured: Some(Measured::InOrder(in_order)), verdict, reason, ..blank }
}

pub(crate) fn limited(blank: Row, candidate: &Candidate, judged: Judged) -> Row {
    Row {
        place: candidate.place,
        measured: Some(Measured::Amount(judged.value)),
        deviation: Some(judged.deviation),
        uncertainty: candidate.uncertainty,
        gauge: candidate.gauge,
        budget: candidate.budget.clone(),
        probability: judged.probability,
        verdict: judged.verdict,
        reason: judged.reason,
        ..blank
    }
}

/// A value that has no place on the grid.
pub(crate) fn off_grid() -> MissingCause {
    MissingCause::NotComputable(Box::new(Phrase::plain("sum-off-grid")))
}

/// Without a limit the most telling value is shown.
pub(crate) fn unlimited(blank: Row, telling: Telling, candidates: &[Candidate]) -> Row {
    let Some((told, value)) = most_telling(telling, candidates, blank.kind) else {
        return missing(blank, off_grid());
    };
    Row {
        place: told.place,
        measured: Some(Measured::Amount(value)),
        uncertainty: told.uncertainty,
        gauge: told.gauge,
        budget: told.budget.clone(),
        ..blank
    }
}

/// The last of equally telling values; `None` when one has no place on the grid.
fn most_telling(telling: Telling, candidates: &[Candidate], kind: Kind) -> Option<(&Candidate, Rounded)> {
    let tells = |value: Rounded| match telling {
        Telling::Greatest => value.count(),
        Telling::Least => -value.count(),
        Telling::FarthestFromZero => value.count().abs(),
    };
    let mut most: Option<(&Candidate, Rounded)> = None;
    for candidate in candidates {
        let value = candidate.rounded(kind)?;
        if most.is_none_or(|(_, held)| tells(value) >= tells(held)) {
            most = Some((candidate, value));
        }
    }
    most
}
