//! An evaluation that comes back, to be set against a later one.

use headproof_head::Verdict;
use headproof_judge::characteristic;

use super::evaluation::verdict;
use crate::pointer::At;
use crate::{Evaluation, Fault, MeasurementSet, Row};

/// Far beyond every amount of a head, in any base unit.
const LARGEST: f64 = 1e9;
const VERDICTS: [Verdict; 5] =
    [Verdict::Conforms, Verdict::DoesNotConform, Verdict::NotProven, Verdict::NotMeasured, Verdict::NoLimit];

/// What keeps an evaluation from standing beside that of a set, with its JSON Pointer below `at`: another head, a
/// later stage, or rows that no judge of this edition wrote. Without a set only the rows are looked at.
#[must_use]
pub fn earlier_faults(doc: &Evaluation, set: Option<&MeasurementSet>, at: &At<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    if let Some(set) = set {
        if doc.head_serial != set.head.serial {
            let detail = format!("is not the head of the measurement set, {:?}", set.head.serial);
            let value = Some(doc.head_serial.as_str().into());
            faults.push(Fault::new(at.member("head_serial").pointer(), detail, value));
        }
        if doc.stage > set.job.stage {
            let detail = "is later than that of the measurement set".to_owned();
            faults.push(Fault::new(at.member("stage").pointer(), detail, None));
        }
    }
    faults.extend(row_faults(&doc.head, &at.member("head")));
    for (n, of) in doc.cylinders.iter().enumerate() {
        faults.extend(row_faults(&of.rows, &at.member("cylinders").element(n).member("rows")));
    }
    for (n, of) in doc.ports.iter().enumerate() {
        faults.extend(row_faults(&of.rows, &at.member("ports").element(n).member("rows")));
    }
    faults
}

fn row_faults(rows: &[Row], at: &At<'_>) -> Vec<Fault> {
    let fault = |(n, row): (usize, &Row)| {
        let (member, detail) = amiss(row)?;
        Some(Fault::new(at.element(n).member(member).pointer(), detail.to_owned(), None))
    };
    rows.iter().enumerate().filter_map(fault).collect()
}

/// Which member of a row makes no sense, and why.
fn amiss(row: &Row) -> Option<(&'static str, &'static str)> {
    let Some(known) = characteristic(&row.characteristic) else {
        return Some(("characteristic", "is none of this edition"));
    };
    let unit = row.measured.and(row.unit.as_deref());
    if unit.is_some_and(|unit| unit != known.kind().base_unit().code()) {
        return Some(("unit", "is not that of this characteristic"));
    }
    if row.measured.is_some_and(|measured| measured.abs() > LARGEST) {
        return Some(("measured", "is no amount of this world"));
    }
    (!VERDICTS.map(verdict).contains(&row.verdict.as_ref())).then_some(("verdict", "is none"))
}
