//! What the pages are made from.

use headproof_texts::Say;
use headproof_wire::statistics::Statistics;
use headproof_wire::{Evaluation, MeasurementSet, Paper, ReworkPlan, SheetOptions, SignOff, TargetProfile};

use crate::HeadInIndex;

/// One judged head.
#[derive(Debug, Clone, Copy)]
pub struct SheetInput<'a> {
    /// The readings as posted: their units are the units of the sheet.
    pub set: &'a MeasurementSet,
    /// The limits they were held against, with their sources.
    pub profile: &'a TargetProfile,
    /// What came out.
    pub evaluation: &'a Evaluation,
    /// SHA-256 of the evaluation's canonical form, in hex: it names the record on every page.
    pub evaluation_digest: &'a str,
    /// The rework plan, where one is to be printed; without it the pages are those of the inspection alone.
    pub plan: Option<PlanInput<'a>>,
    /// The evaluation of an earlier stage of the same head, where one is to be set against this one.
    pub earlier: Option<EarlierInput<'a>>,
    /// The sign-off the file is made for: its pages say who answers for the head and what for, and the file has room
    /// for the signature. Without it the pages say that nobody signed. A report of a batch leaves it out.
    pub sign_off: Option<SignOffInput<'a>>,
    /// The same documents as they are attached to the pages.
    pub record: Record<'a>,
    /// Paper and language.
    pub look: SheetOptions,
}

impl SheetInput<'_> {
    /// Says things in the language of the sheet.
    pub(crate) fn say(&self) -> Say {
        Say::of(self.look.language.into())
    }
}

/// The documents of a judged head in their canonical form (RFC 8785): the bytes their digests are of. They go
/// into the file as they are, so that the sheet is its own record.
#[derive(Debug, Clone, Copy)]
pub struct Record<'a> {
    /// The measurement set.
    pub measurement_set: &'a [u8],
    /// The profile.
    pub profile: &'a [u8],
    /// The evaluation, whose SHA-256 is the digest on every page.
    pub evaluation: &'a [u8],
}

/// The evaluation of an earlier stage of a judged head.
#[derive(Debug, Clone, Copy)]
pub struct EarlierInput<'a> {
    /// The evaluation.
    pub evaluation: &'a Evaluation,
    /// SHA-256 of its canonical form, in hex.
    pub digest: &'a str,
    /// Its canonical form (RFC 8785), to be attached to the pages.
    pub canonical: &'a [u8],
}

/// The rework plan of a judged head.
#[derive(Debug, Clone, Copy)]
pub struct PlanInput<'a> {
    /// The plan. It belongs to the same set, profile and evaluation.
    pub plan: &'a ReworkPlan,
    /// SHA-256 of the plan's canonical form, in hex: it names the plan on paper.
    pub digest: &'a str,
    /// The plan in its canonical form (RFC 8785), to be attached to the pages.
    pub canonical: &'a [u8],
}

/// A sign-off of a judged head.
#[derive(Debug, Clone, Copy)]
pub struct SignOffInput<'a> {
    /// The record the file is signed for; those of the same evaluation before it stand in its `beside`.
    pub record: &'a SignOff,
    /// SHA-256 of its canonical form, in hex.
    pub digest: &'a str,
    /// Its canonical form (RFC 8785), to be attached to the pages.
    pub canonical: &'a [u8],
    /// The code to look it up by, as `7K2M-93QX-TB5D-8HZA`.
    pub code: &'a str,
    /// What the square code (QR, ISO/IEC 18004) says: an address where it can be looked up, or the code itself.
    pub address: &'a str,
    /// Bytes of signature (DER) to leave room for in the file.
    pub room: usize,
}

/// Many judged heads and their common index.
#[derive(Debug, Clone)]
pub struct BatchInput<'a> {
    /// The shop's name for the batch.
    pub batch_label: &'a str,
    /// The heads, in the order of the report. The paper and language of the batch go before theirs.
    pub sheets: Vec<SheetInput<'a>>,
    /// Heads without a sheet: serial and why.
    pub failed: Vec<(String, String)>,
    /// What the heads say together, where the report is to begin with it.
    pub statistics: Option<&'a Statistics>,
    /// The same in its canonical form (RFC 8785), where it is to be attached to the report.
    pub statistics_canonical: Option<&'a [u8]>,
    /// Paper and language.
    pub look: SheetOptions,
}

impl BatchInput<'_> {
    /// Says things in the language of the report.
    pub(crate) fn say(&self) -> Say {
        Say::of(self.look.language.into())
    }
}

/// Many judged heads without their sheets.
#[derive(Debug, Clone, Copy)]
pub struct IndexInput<'a> {
    /// The shop's name for the batch.
    pub batch_label: &'a str,
    /// The heads, in the order of their lines.
    pub heads: &'a [HeadInIndex],
    /// Heads without a sheet: serial and why.
    pub failed: &'a [(String, String)],
    /// Where the sheets are to be had, as `GET /v1/batches/7/sheets`.
    pub archive: &'a str,
    /// What the heads say together, where the report is to begin with it.
    pub statistics: Option<&'a Statistics>,
    /// The same in its canonical form (RFC 8785), where it is to be attached to the report.
    pub statistics_canonical: Option<&'a [u8]>,
    /// Paper and language.
    pub look: SheetOptions,
}

/// What many heads say together, of a time or of a filter rather than of a batch.
#[derive(Debug, Clone, Copy)]
pub struct StatisticsInput<'a> {
    /// The statistics.
    pub statistics: &'a Statistics,
    /// The same in their canonical form (RFC 8785), to be attached to the pages.
    pub canonical: &'a [u8],
    /// What the pages are called; what was asked for where nothing is given.
    pub title: Option<&'a str>,
    /// Paper and language.
    pub look: SheetOptions,
}

/// Width and height of a paper size in millimetres: ISO 216 A4; ANSI/ASME Y14.1 size A (Letter).
pub(crate) const fn paper_size(paper: Paper) -> (f32, f32) {
    match paper {
        Paper::A4 => (210.0, 297.0),
        Paper::Letter => (215.9, 279.4),
    }
}
