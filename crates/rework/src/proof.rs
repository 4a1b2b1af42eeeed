//! The plan judged as if it had been carried out.

use headproof_head::{
    Bound, CharacteristicId, Evaluation, MeasurementSet, PortId, Proof, Row, Subject, TargetProfile, Verdict,
};
use headproof_judge::evaluate;

use crate::affine::CUTS;
use crate::case::{Case, Worked};
use crate::cure::{Cure, cure, is_bad};
use crate::moved::{HAIR, Moved, Zone, row_of};

/// What a plan cannot foresee: it is found by measuring once the work is done.
pub(crate) fn is_unpredictable(id: CharacteristicId) -> bool {
    cure(id) == Some(Cure::Proof)
}

/// The profile as a prediction can be held against it: what only a measurement can show is not asked for.
fn foreseeable(profile: &TargetProfile) -> (TargetProfile, Vec<CharacteristicId>) {
    let mut foreseeable = profile.clone();
    let mut left_out = Vec::new();
    for limit in &mut foreseeable.limits {
        if is_unpredictable(limit.characteristic) {
            limit.required = false;
            if !left_out.contains(&limit.characteristic) {
                left_out.push(limit.characteristic);
            }
        }
    }
    (foreseeable, left_out)
}

/// Judges a predicted set.
pub(crate) fn prove(predicted: MeasurementSet, profile: &TargetProfile) -> Proof {
    let (profile, unpredictable) = foreseeable(profile);
    let evaluation = evaluate(&predicted, &profile);
    Proof { predicted, evaluation, unpredictable }
}

fn rows(evaluation: &Evaluation, port: PortId) -> &[Row] {
    evaluation.ports.iter().find(|rows| rows.port == port).map_or(&[], |rows| &rows.rows)
}

/// What the judge did not let pass of a planned port is put right for the next try: a zone that turned out
/// narrower than foreseen is drawn in; a course that leaves something else wrong is not taken again. Says
/// of which ports there was something.
pub(crate) fn learn<'a>(
    proof: &Proof,
    profile: &TargetProfile,
    cases: &mut [Case<'a>],
    chosen: &[Worked<'a>],
) -> Vec<usize> {
    let mut learned = Vec::new();
    for (index, (case, worked)) in cases.iter_mut().zip(chosen).enumerate() {
        let rows = rows(&proof.evaluation, case.port.id);
        for row in rows.iter().filter(|row| is_bad(row)) {
            learned.push(index);
            match shortage(row, profile, worked) {
                Some(short) => short.draw_in(case),
                None => {
                    case.banned.push((worked.model.course, row.characteristic));
                    break;
                }
            }
        }
    }
    learned
}

/// Draws in the zones of planned ports that conform as planned and not when their cuts miss. Says which ports these
/// are.
///
/// `missed` are the same plans judged at the ends of what their cuts may miss by: several gauges may read one size,
/// and what a gauge brings may be more there.
pub(crate) fn learn_misses(
    planned: &Evaluation,
    missed: &[Evaluation],
    profile: &TargetProfile,
    cases: &mut [Case<'_>],
    chosen: &[Worked<'_>],
) -> Vec<usize> {
    let mut learned = Vec::new();
    for (index, (case, worked)) in cases.iter_mut().zip(chosen).enumerate() {
        if !worked.model.course.cuts_seat() {
            continue;
        }
        let conform = rows(planned, case.port.id).iter().filter(|row| row.verdict == Verdict::Conforms);
        for id in conform.map(|row| row.characteristic) {
            let at_ends = missed.iter().filter_map(|evaluation| {
                shortage(row_of(rows(evaluation, case.port.id), id)?, profile, worked)
            });
            let most = at_ends.reduce(|most, own| if own.by() > most.by() { own } else { most });
            if let Some(short) = most.filter(|short| short.by() > SHORT) {
                learned.push(index);
                short.draw_in(case);
            }
        }
    }
    learned
}

/// What is short by more is short: a solver's own tolerance is far less, and half of what is kept clear is left.
const SHORT: f64 = 0.5 * HAIR;

/// A value before the judge, against the zone that it has to be in for its gauge to prove it.
#[derive(Debug, Clone, Copy)]
struct Shortage {
    moved: Moved,
    zone: Zone,
    /// How far it is below and above; negative where it is inside.
    below: f64,
    above: f64,
}

impl Shortage {
    fn by(&self) -> f64 {
        self.below.max(self.above)
    }

    /// Draws the zone of the case in at the end where the value is short: to where that end has to be, and where it is
    /// that already, by what is short.
    fn draw_in(&self, case: &mut Case<'_>) {
        let by = self.by().max(SHORT);
        let Some(own) = case.zones.get(self.moved) else { return };
        let raised = |own: f64, wanted: f64| if wanted > own + SHORT { wanted } else { own + by };
        let end = |own: Option<f64>, wanted: Option<f64>, sign: f64| {
            let own = own?;
            Some(sign * raised(sign * own, sign * wanted.unwrap_or(own)))
        };
        let zone = if self.below >= self.above {
            Zone { least: end(own.least, self.zone.least, 1.0), ..own }
        } else {
            Zone { greatest: end(own.greatest, self.zone.greatest, -1.0), ..own }
        };
        case.zones.put(self.moved, zone);
    }
}

/// These plans judged with every cut at an end of what it may miss by, in every combination.
pub(crate) fn as_missed<'a>(
    chosen: &[Worked<'a>],
    judged: impl Fn(&[Worked<'a>]) -> Evaluation,
) -> Vec<Evaluation> {
    let at = |corner| {
        let missed = |worked: &Worked<'a>| {
            let mut missed = worked.clone();
            missed.model.miss(corner);
            missed
        };
        judged(&chosen.iter().map(missed).collect::<Vec<_>>())
    };
    corners(chosen).into_iter().map(at).collect()
}

/// Every combination of ends, for the cuts whose misses move anything; none where nothing can miss.
fn corners(chosen: &[Worked<'_>]) -> Vec<[f64; CUTS]> {
    let can_miss = |cut: &usize| chosen.iter().any(|worked| worked.model.can_miss(*cut));
    let cuts: Vec<usize> = (0..CUTS).filter(can_miss).collect();
    let mut corners = if cuts.is_empty() { Vec::new() } else { vec![[0.0; CUTS]] };
    for cut in cuts {
        let ends = |corner: &[f64; CUTS]| {
            [-1.0, 1.0].map(|end| {
                let mut corner = *corner;
                corner[cut] = end;
                corner
            })
        };
        corners = corners.iter().flat_map(ends).collect();
    }
    corners
}

/// A row of a planned port, where rules hold its value inside a zone.
fn shortage(row: &Row, profile: &TargetProfile, worked: &Worked<'_>) -> Option<Shortage> {
    let moved = Moved::ALL.iter().copied().find(|moved| moved.id() == row.characteristic)?;
    let id = moved.id();
    let is_ruled = worked.model.rules.iter().any(|rule| {
        matches!(rule.bound, Some(Bound::Lower(own) | Bound::Upper(own)) if own == id)
            && !rule.terms.is_empty()
    });
    if !is_ruled || row.verdict == Verdict::NotMeasured {
        return None;
    }
    let value = row.amount()?.to_f64();
    let limit = row.limit.map(|at| &profile.limits[at])?;
    let zone = Zone::of(limit, profile.rule, row.uncertainty);
    if zone.too_coarse {
        return None;
    }
    Some(Shortage { moved, zone, below: zone.below(value), above: zone.above(value) })
}

/// What of the head as a whole would still not be as it should be.
pub(crate) fn still_bad_of_the_head(evaluation: &Evaluation) -> Vec<(Subject, CharacteristicId)> {
    let of_head = evaluation.head.iter().map(|row| (Subject::Head, row));
    let of_cylinders = evaluation
        .cylinders
        .iter()
        .flat_map(|(cylinder, rows)| rows.iter().map(|row| (Subject::Cylinder(*cylinder), row)));
    let bad = of_head.chain(of_cylinders).filter(|(_, row)| is_bad(row));
    bad.map(|(subject, row)| (subject, row.characteristic)).collect()
}
