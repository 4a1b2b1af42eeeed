//! What statistics need of one judged head.

use headproof_head::{
    CharacteristicId, Disposition, Evaluation, MeasurementSet, Row, Stage, Subject, TargetProfile, Verdict,
};
use headproof_quantity::{Exact, Kind, Rounded};

/// One judged head, without its documents.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ObservedHead {
    /// When in the job.
    pub stage: Stage,
    /// When it was measured, in milliseconds since 1970.
    pub measured_at: i64,
    /// Id of the profile it was held against.
    pub profile: String,
    /// What follows for it.
    pub disposition: Disposition,
    /// Code of the bench.
    pub bench: Option<String>,
    /// Code of the cutter.
    pub cutter: Option<String>,
    /// Code of the operator.
    pub operator: Option<String>,
    /// The gauges that rows name by their place here.
    pub gauges: Vec<String>,
    /// The pairs of limits that rows name by their place here, each lower and upper.
    pub limits: Vec<(Option<i64>, Option<i64>)>,
    /// Its rows that have a value or a verdict.
    pub rows: Vec<ObservedRow>,
}

/// One row of its evaluation. Amounts are whole counts of the grid of its dimension ([`Kind::grid_decimals`]).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ObservedRow {
    /// Which characteristic.
    pub characteristic: CharacteristicId,
    /// Dimension of its amounts.
    pub kind: Kind,
    /// Whose.
    pub subject: Subject,
    /// The judged value, that of the worst place; none where nothing was measured or only whether it is in order.
    pub value: Option<i64>,
    /// Its limits, as a place in the head's list.
    pub limits: Option<u16>,
    /// The verdict.
    pub verdict: Verdict,
    /// The gauge that most of its uncertainty comes from, as a place in the head's list.
    pub gauge: Option<u16>,
}

impl ObservedHead {
    /// Of a judged head.
    #[must_use]
    pub fn of(set: &MeasurementSet, profile: &TargetProfile, evaluation: &Evaluation) -> Self {
        let mut rows = Vec::new();
        let mut add = |subject, of: &[Row]| rows.extend(of.iter().filter_map(|row| observed(subject, row)));
        add(Subject::Head, &evaluation.head);
        for (cylinder, of) in &evaluation.cylinders {
            add(Subject::Cylinder(*cylinder), of);
        }
        for port in &evaluation.ports {
            add(Subject::Port(port.port), &port.rows);
        }
        let mut limits = vec![(None, None); profile.limits.len()];
        for row in &rows {
            let at = row.limits.map(usize::from);
            if let Some((limit, pair)) = at.and_then(|at| profile.limits.get(at).zip(limits.get_mut(at))) {
                *pair = (on_grid(limit.lower, row.kind), on_grid(limit.upper, row.kind));
            }
        }
        let job = &set.job;
        Self {
            stage: job.stage,
            measured_at: i64::try_from(job.measured_at.unix_timestamp_nanos() / 1_000_000)
                .unwrap_or_default(),
            profile: profile.id.clone(),
            disposition: evaluation.disposition,
            bench: job.bench.clone(),
            cutter: job.cutter.clone(),
            operator: job.operator.clone(),
            gauges: set.instruments.iter().map(|gauge| gauge.id.clone()).collect(),
            limits,
            rows,
        }
    }
}

fn on_grid(limit: Option<Exact>, kind: Kind) -> Option<i64> {
    Rounded::from_exact(limit?, kind).map(Rounded::count)
}

/// A row, if there is anything to count in it.
fn observed(subject: Subject, row: &Row) -> Option<ObservedRow> {
    let value = row.amount().map(Rounded::count);
    let is_empty = value.is_none() && matches!(row.verdict, Verdict::NoLimit | Verdict::NotMeasured);
    (!is_empty).then(|| ObservedRow {
        characteristic: row.characteristic,
        kind: row.kind,
        subject,
        value,
        limits: row.limit.and_then(|at| u16::try_from(at).ok()),
        verdict: row.verdict,
        gauge: row.gauge.map(|index| index.0),
    })
}
