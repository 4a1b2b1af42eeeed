//! What commands that also write a sheet are asked for.

use std::path::Path;

use headproof_sheet::EarlierInput;
use headproof_wire::{Evaluation, Fault, MeasurementSet, Row, SheetOptions};

use super::bound::Sealed;
use super::files::{Refusal, document};

/// Far beyond every amount of a head, in any base unit.
const LARGEST: f64 = 1e9;

/// The wished-for sheet.
#[derive(Clone, Copy)]
pub(crate) struct Pages<'a> {
    /// Where to write it, if at all.
    pub(crate) sheet: Option<&'a Path>,
    /// Evaluation of an earlier stage, to be set against this one.
    pub(crate) earlier: Option<&'a Path>,
    /// Paper and language.
    pub(crate) look: SheetOptions,
}

/// The evaluation of an earlier stage, in its canonical form too.
pub(super) struct Earlier {
    evaluation: Evaluation,
    sealed: Sealed,
}

impl Pages<'_> {
    /// Reads the evaluation of the earlier stage.
    ///
    /// # Errors
    /// A refusal when it cannot be read, has faults, or is about another head than the set.
    pub(super) fn earlier(&self, set: Option<&MeasurementSet>) -> Result<Option<Earlier>, Refusal> {
        let Some(path) = self.earlier else { return Ok(None) };
        let (evaluation, ()) = document::<Evaluation, _>(path, |evaluation| match faults(evaluation, set) {
            faults if faults.is_empty() => Ok(()),
            faults => Err(faults),
        })?;
        let sealed = Sealed::of(&evaluation).map_err(Refusal::Other)?;
        Ok(Some(Earlier { evaluation, sealed }))
    }
}

impl Earlier {
    /// As it goes onto the pages.
    pub(super) fn input(&self) -> EarlierInput<'_> {
        EarlierInput {
            evaluation: &self.evaluation,
            digest: &self.sealed.digest,
            canonical: &self.sealed.canonical,
        }
    }
}

/// What keeps an evaluation from standing beside that of a set: another head, a later stage, or rows that no judge of
/// this edition wrote.
fn faults(evaluation: &Evaluation, set: Option<&MeasurementSet>) -> Vec<Fault> {
    let mut faults = Vec::new();
    if let Some(set) = set {
        if evaluation.head_serial != set.head.serial {
            let detail = format!("is not the head of the measurement set, {:?}", set.head.serial);
            let value = Some(evaluation.head_serial.as_str().into());
            faults.push(Fault::new("/head_serial".into(), detail, value));
        }
        if evaluation.stage as u8 > set.job.stage as u8 {
            faults.push(Fault::new(
                "/stage".into(),
                "is later than that of the measurement set".into(),
                None,
            ));
        }
    }
    let cylinders = evaluation.cylinders.iter().enumerate();
    let ports = evaluation.ports.iter().enumerate();
    let parts = std::iter::once(("/head".to_owned(), evaluation.head.as_slice()))
        .chain(cylinders.map(|(n, of)| (format!("/cylinders/{n}/rows"), of.rows.as_slice())))
        .chain(ports.map(|(n, of)| (format!("/ports/{n}/rows"), of.rows.as_slice())));
    for (part, rows) in parts {
        faults.extend(rows.iter().enumerate().filter_map(|(n, row)| row_fault(&format!("{part}/{n}"), row)));
    }
    faults
}

fn row_fault(at: &str, row: &Row) -> Option<Fault> {
    let fault =
        |member: &str, detail: &str| Some(Fault::new(format!("{at}/{member}"), detail.to_owned(), None));
    let Some(known) = headproof_judge::characteristic(&row.characteristic) else {
        return fault("characteristic", "is none of this edition");
    };
    let unit = row.measured.map(|_| known.kind().base_unit().code());
    if row.unit.is_some() && unit.is_some() && row.unit.as_deref() != unit {
        return fault("unit", "is not that of this characteristic");
    }
    if row.measured.is_some_and(|measured| measured.abs() > LARGEST) {
        return fault("measured", "is no amount of this world");
    }
    let verdicts = ["conforms", "does-not-conform", "not-proven", "not-measured", "no-limit"];
    if verdicts.contains(&row.verdict.as_ref()) { None } else { fault("verdict", "is none") }
}
