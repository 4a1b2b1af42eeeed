//! What a posted PDF file turns out to be.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::{EarlierSignOff, SignOff};

/// What a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Authenticity {
    /// A sheet that was made here and signed by a person of the shop, and every byte is as it was then.
    Genuine,
    /// Signed with a certificate of the shop, but no file that was made here.
    Unknown,
    /// Made here and not signed; every byte is as it was then.
    Unsigned,
    /// It has a signature, but not every byte is as it was signed; by whom, may not be told any longer.
    Altered,
    /// Nothing shows that it comes from this shop.
    Foreign,
}

/// What a file turned out to be.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Verification {
    /// What it is.
    pub authenticity: Authenticity,
    /// In words.
    pub detail: String,
    /// SHA-256 of the file, in hex.
    pub sha256: String,
    /// What kind of file: `sheet`, `signed-sheet` or `batch-report`; where the shop still has it.
    pub kind: Option<String>,
    /// The job or batch it was made of.
    pub made_of: Option<Uuid>,
    /// The certificate that signed it.
    pub signature: Option<SignatureSeen>,
    /// The sign-off it was signed for.
    pub sign_off: Option<SignOff>,
    /// The code to look that up by.
    pub code: Option<String>,
    /// The sign-off that took its place, if one did: the file is genuine, but no longer the last word on its head.
    pub superseded_by: Option<EarlierSignOff>,
    /// The newest revision of the same stage, where that is not the one in the file.
    pub newest_revision: Option<u32>,
    /// The last job of the same head that was accepted after the one in the file, whatever its stage.
    pub later_job: Option<LaterJob>,
}

/// A job that came after another of the same head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct LaterJob {
    /// The job.
    pub job: Uuid,
    /// Its stage.
    pub stage: String,
    /// Its revision.
    pub revision: u32,
    /// What follows for the head.
    pub disposition: String,
}

/// A signature found in a file.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct SignatureSeen {
    /// The name in the signer's certificate.
    pub signer: String,
    /// SHA-256 of that certificate, in hex.
    pub certificate: String,
    /// When a timestamp authority saw the signature, where one was asked.
    #[schema(format = "date-time")]
    pub timestamp: Option<String>,
    /// Who that was.
    pub timestamp_by: Option<String>,
    /// Is it one whose timestamps this installation believes (`signing.timestamp_authority`)?
    pub timestamp_believed: Option<bool>,
}
