//! Sign-offs: a named person answers for one evaluation of a head.
//!
//! The fields that a reader needs to know who signed what and what for (printed name, date and time, meaning) are
//! those 21 CFR 11.50 asks for; compliance with it is not claimed.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::{Links, Stage, TaskState};

/// The format of the record.
pub const SIGN_OFF_FORMAT: &str = "headproof/sign-off/1";

/// What a signature says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Meaning {
    /// The record is what was found on the head, whatever came of it.
    Inspected,
    /// The head conforms and may leave.
    Released,
    /// The head may leave though it does not conform: each deviation is named with the reason it is accepted for.
    Concession,
}

/// A sign-off, as asked for. Which evaluation it is for, `If-Match` says.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SignOffRequest {
    /// What the signature says.
    pub meaning: Meaning,
    /// With a concession: every deviation that the evaluation names as a reason, none besides.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 5000)]
    pub concessions: Vec<Concession>,
    /// A word of the signer to whoever reads the sheet.
    #[schema(min_length = 1, max_length = 500)]
    pub note: Option<String>,
}

/// A deviation that is accepted.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Concession {
    /// What it is about, as the evaluation writes it: `head`, `cylinder 2`, `cylinder 2 exhaust 1`.
    #[schema(min_length = 1, max_length = 100)]
    pub subject: String,
    /// Which characteristic; absent for a doubt about the data of this subject.
    #[schema(min_length = 1, max_length = 100)]
    pub characteristic: Option<String>,
    /// Why it is accepted.
    #[schema(min_length = 1, max_length = 500)]
    pub reason: String,
}

/// A sign-off, as it is kept for good. Its canonical form (RFC 8785) goes into the signed sheet.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct SignOff {
    /// `headproof/sign-off/1`.
    pub format: String,
    /// Its id.
    pub id: Uuid,
    /// The shop it was signed in.
    pub shop: String,
    /// The job.
    pub job: Uuid,
    /// Serial of the head.
    pub head_serial: String,
    /// When in the job the set was measured.
    pub stage: Stage,
    /// Which correction of that stage.
    pub revision: u32,
    /// SHA-256 of the canonical form of the evaluation, in hex: what was signed.
    pub evaluation_digest: String,
    /// What the evaluation says follows for the head: `accept`, `rework`, `incomplete` or `reject`.
    pub disposition: String,
    /// What the signature says.
    pub meaning: Meaning,
    /// Who signed.
    pub signer: Signer,
    /// When, by the clock of the service.
    #[schema(format = "date-time")]
    pub signed_at: String,
    /// The deviations that are accepted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub concessions: Vec<Concession>,
    /// A word of the signer.
    pub note: Option<String>,
    /// Sign-offs of the same evaluation that were there before, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub beside: Vec<EarlierSignOff>,
    /// Sign-offs of earlier evaluations of this head that this one takes the place of, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub supersedes: Vec<EarlierSignOff>,
    /// The audit trail of the shop just before it was signed.
    pub checkpoint: Checkpoint,
}

/// Who signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Signer {
    /// The person.
    pub id: Uuid,
    /// Their name.
    pub name: String,
    /// What they are in the shop.
    pub role: String,
    /// SHA-256 of their certificate, in hex.
    pub certificate: String,
    /// SHA-256 of the certificate of who vouches for it, in hex: the shop's own, unless they brought one along.
    pub authority: String,
}

/// An earlier sign-off of a head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct EarlierSignOff {
    /// Its id.
    pub id: Uuid,
    /// SHA-256 of its canonical form, in hex.
    pub digest: String,
    /// The job it is of.
    pub job: Uuid,
    /// The stage of that.
    pub stage: Stage,
    /// The revision of that.
    pub revision: u32,
    /// What it says.
    pub meaning: Meaning,
    /// Who signed.
    pub signer: Uuid,
    /// Their name.
    pub name: String,
    /// What they are in the shop.
    pub role: String,
    /// When.
    #[schema(format = "date-time")]
    pub signed_at: String,
}

/// How far an audit trail reached: whoever holds it can tell whether anything before it was changed later.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Checkpoint {
    /// How many entries there were.
    pub size: u64,
    /// SHA-256 of the last of them, in hex; 64 zeros where there was none.
    pub head: String,
}

/// A sign-off and what became of it.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SignOffStatus {
    /// The sign-off itself.
    pub sign_off: SignOff,
    /// SHA-256 of its canonical form, in hex.
    pub digest: String,
    /// The code to look it up by, as it stands on the sheet.
    pub code: String,
    /// How far its signed sheet is.
    pub state: TaskState,
    /// Why that failed, or why the last try did.
    pub reason: Option<String>,
    /// The sign-off that took its place, if one did.
    pub superseded_by: Option<EarlierSignOff>,
    /// Where its parts are.
    pub links: Links,
}
