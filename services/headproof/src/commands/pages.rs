//! What commands that also write a sheet are asked for.

use std::path::Path;

use headproof_sheet::EarlierInput;
use headproof_wire::{At, Evaluation, MeasurementSet, SheetOptions, earlier_faults};

use super::bound::Sealed;
use super::files::{Refusal, document};

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
        let (evaluation, ()) =
            document::<Evaluation, _>(path, |evaluation| match earlier_faults(evaluation, set, &At::Root) {
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
