//! From stored documents to bytes.

use headproof_sheet::{
    BatchInput, EarlierInput, HeadInIndex, IndexInput, PlanInput, Record, Rendered, SheetInput, SignOffInput,
    batch_index, batch_report, inspection_sheet,
};
use headproof_store::{JobDocuments, Plan};
use headproof_wire::{Evaluation, MeasurementSet, ReworkPlan, SheetOptions, SignOff, TargetProfile, read};
use serde::{Deserialize, Serialize};

use crate::refusal::Refusal;

/// What is to be made of the documents of some heads.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Order {
    /// The kind of pages.
    pub(crate) work: Work,
    /// Paper and language.
    pub(crate) look: SheetOptions,
}

/// A kind of pages.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Work {
    /// The sheet of one head.
    Sheet,
    /// The report of a batch.
    Report {
        /// Its name.
        label: String,
        /// Heads without a sheet: serial and why.
        failed: Vec<(String, String)>,
    },
    /// The report of a batch without the sheets. The order has all there is to say: no documents come with it.
    Index {
        /// The name of the batch.
        label: String,
        /// Its heads, in the order of their lines.
        heads: Vec<HeadInIndex>,
        /// Heads without a sheet: serial and why.
        failed: Vec<(String, String)>,
    },
}

impl Work {
    /// What clients call it.
    pub(crate) const fn name(&self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Report { .. } | Self::Index { .. } => "report",
        }
    }
}

/// Makes what was ordered.
pub(crate) fn render(order: Order, heads: Vec<Head>) -> Result<Rendered, Refusal> {
    let documents = heads.into_iter().map(Documents::read).collect::<Result<Vec<_>, _>>()?;
    let mut sheets = documents.iter().map(|documents| documents.input(order.look));
    let made = match (order.work, sheets.next()) {
        (Work::Sheet, Some(sheet)) => inspection_sheet(&sheet),
        (Work::Sheet, None) => return Err(Refusal::Stopped("a sheet of no head".to_owned().into())),
        (Work::Report { label, failed }, first) => {
            let sheets = first.into_iter().chain(sheets).collect();
            batch_report(&BatchInput {
                batch_label: &label,
                sheets,
                failed,
                statistics: None,
                statistics_canonical: None,
                look: order.look,
            })
        }
        (Work::Index { label, heads, failed }, _) => batch_index(&IndexInput {
            batch_label: &label,
            heads: &heads,
            failed: &failed,
            archive: &format!("GET /v1/batches/{label}/sheets"),
            statistics: None,
            statistics_canonical: None,
            look: order.look,
        }),
    };
    Ok(made?)
}

/// What an index says of the head on a line of a batch.
pub(crate) fn in_index(line: u32, stored: &JobDocuments) -> Result<HeadInIndex, Refusal> {
    let (set, evaluation) = set_and_evaluation(stored)?;
    Ok(HeadInIndex::of(line, &set, &evaluation, &stored.digest))
}

/// What is kept of one head.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Head {
    /// The documents of the job.
    pub(crate) stored: JobDocuments,
    /// The evaluation of the job it follows, where it follows one.
    pub(crate) earlier: Option<Earlier>,
    /// The sign-off the pages are made for, where they are to be signed.
    pub(crate) sign_off: Option<SignedFor>,
}

/// A sign-off that pages are made for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SignedFor {
    /// The canonical form of its record.
    pub(crate) document: Vec<u8>,
    /// What else the pages say of it.
    pub(crate) on_pages: OnPages,
}

/// What pages say of a sign-off beside its record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct OnPages {
    /// The digest of the record.
    pub(crate) digest: String,
    /// The code to look it up by.
    pub(crate) code: String,
    /// What the square code says.
    pub(crate) address: String,
    /// Bytes of signature to leave room for.
    pub(crate) room: usize,
}

/// The evaluation of an earlier job.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Earlier {
    /// Its canonical form.
    pub(crate) document: Vec<u8>,
    /// The digest of that.
    pub(crate) digest: String,
}

/// The documents of one head, read.
struct Documents {
    set: MeasurementSet,
    profile: TargetProfile,
    evaluation: Evaluation,
    plan: Option<ReworkPlan>,
    earlier: Option<Evaluation>,
    sign_off: Option<SignOff>,
    /// As they were stored, to be attached to the pages.
    head: Head,
}

impl Documents {
    /// Reads what the store gave, and checks that the record is what it says it is.
    fn read(head: Head) -> Result<Self, Refusal> {
        let stored = &head.stored;
        let (set, evaluation) = set_and_evaluation(stored)?;
        Ok(Self {
            set,
            profile: read(&stored.profile).map_err(Refusal::unreadable("profile"))?,
            evaluation,
            plan: stored.plan.as_ref().map(rework_plan).transpose()?,
            earlier: head.earlier.as_ref().map(earlier_evaluation).transpose()?,
            sign_off: head.sign_off.as_ref().map(sign_off).transpose()?,
            head,
        })
    }

    fn input(&self, look: SheetOptions) -> SheetInput<'_> {
        let Head { stored, earlier, sign_off } = &self.head;
        let plan = self.plan.as_ref().zip(stored.plan.as_ref());
        SheetInput {
            set: &self.set,
            profile: &self.profile,
            evaluation: &self.evaluation,
            evaluation_digest: &stored.digest,
            plan: plan.map(|(plan, stored)| PlanInput {
                plan,
                digest: &stored.digest,
                canonical: &stored.document,
            }),
            earlier: self.earlier.as_ref().zip(earlier.as_ref()).map(|(evaluation, stored)| EarlierInput {
                evaluation,
                digest: &stored.digest,
                canonical: &stored.document,
            }),
            sign_off: self.sign_off.as_ref().zip(sign_off.as_ref()).map(|(record, kept)| SignOffInput {
                record,
                digest: &kept.on_pages.digest,
                canonical: &kept.document,
                code: &kept.on_pages.code,
                address: &kept.on_pages.address,
                room: kept.on_pages.room,
            }),
            record: Record {
                measurement_set: &stored.measurement_set,
                profile: &stored.profile,
                evaluation: &stored.evaluation,
            },
            look,
        }
    }
}

/// The readings of a job and what came out, if that is what its digest names.
fn set_and_evaluation(stored: &JobDocuments) -> Result<(MeasurementSet, Evaluation), Refusal> {
    sealed("evaluation", &stored.evaluation, &stored.digest)?;
    let set = read(&stored.measurement_set).map_err(Refusal::unreadable("measurement set"))?;
    Ok((set, read(&stored.evaluation).map_err(Refusal::unreadable("evaluation"))?))
}

/// The plan of a job, if it is what its digest names.
fn rework_plan(stored: &Plan) -> Result<ReworkPlan, Refusal> {
    sealed("rework plan", &stored.document, &stored.digest)?;
    read(&stored.document).map_err(Refusal::unreadable("rework plan"))
}

/// The record of a sign-off, if it is what its digest names.
fn sign_off(kept: &SignedFor) -> Result<SignOff, Refusal> {
    sealed("sign-off", &kept.document, &kept.on_pages.digest)?;
    read(&kept.document).map_err(Refusal::unreadable("sign-off"))
}

/// The evaluation of an earlier job, if it is what its digest names.
fn earlier_evaluation(stored: &Earlier) -> Result<Evaluation, Refusal> {
    sealed("earlier evaluation", &stored.document, &stored.digest)?;
    read(&stored.document).map_err(Refusal::unreadable("earlier evaluation"))
}

/// Checks that a document is the one its digest names.
fn sealed(what: &str, document: &[u8], digest: &str) -> Result<(), Refusal> {
    if headproof_seal::digest(document) == digest { Ok(()) } else { Err(Refusal::Digest(what.to_owned())) }
}
