//! Requests and resources of the service.

use std::str::FromStr;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::{Layout, MeasurementSet, ProfileSelector, TargetProfile, Units, Workshop};

/// A set to be judged now, with nothing stored. The profile is given inline or named.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvaluateRequest {
    /// The readings.
    pub measurement_set: MeasurementSet,
    /// The profile itself.
    pub profile: Option<TargetProfile>,
    /// A profile stored before.
    pub profile_ref: Option<ProfileSelector>,
    /// Shall each value that is worked out tell what its uncertainty is made of, and how sensitive it is to
    /// each reading?
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub budgets: bool,
}

/// A set for which a rework plan shall be made now, with nothing stored. The profile is given inline or
/// named.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanRequest {
    /// The readings.
    pub measurement_set: MeasurementSet,
    /// The profile itself.
    pub profile: Option<TargetProfile>,
    /// A profile stored before.
    pub profile_ref: Option<ProfileSelector>,
    /// What the shop can do and wants; its defaults when left out.
    pub workshop: Option<Workshop>,
}

/// A head that is about to be measured: what its blank worksheet is made from. The profile is given inline or
/// named.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WorksheetRequest {
    /// What kind of head. Terms of the compression ratio that it states are printed where they would be written.
    pub layout: Layout,
    /// The profile itself.
    pub profile: Option<TargetProfile>,
    /// A profile stored before.
    pub profile_ref: Option<ProfileSelector>,
    /// Units of the worksheet and of the numbers of `layout`; the profile states its own.
    pub units: Units,
    /// Serial of the head, where it is known; else there is room to write it.
    #[schema(min_length = 1, max_length = 200)]
    pub head_serial: Option<String>,
    /// The shop's job number, where there is one; else there is room to write it.
    #[schema(min_length = 1, max_length = 200)]
    pub job_number: Option<String>,
    /// How the worksheet shall look.
    #[serde(default)]
    pub sheet: SheetOptions,
}

/// A set to be judged, kept, and turned into a sheet.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct JobRequest {
    /// The readings.
    pub measurement_set: MeasurementSet,
    /// The profile itself.
    pub profile: Option<TargetProfile>,
    /// A profile stored before.
    pub profile_ref: Option<ProfileSelector>,
    /// What the shop can do and wants: when it is given, a rework plan is made and kept with the job.
    pub workshop: Option<Workshop>,
    /// How the sheet shall look.
    #[serde(default)]
    pub sheet: SheetOptions,
    /// Any reference of the client's own, given back unchanged.
    #[schema(max_length = 200)]
    pub client_reference: Option<String>,
    /// The earlier job of this head that this one follows.
    #[schema(format = "uuid")]
    pub follows: Option<String>,
    /// How soon its sheet is made, among those of the same shop; normal, or bulk in a batch, where nothing is said.
    pub priority: Option<Priority>,
}

/// How soon a sheet is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Priority {
    /// Before all others of the shop.
    Urgent,
    /// In its turn.
    Normal,
    /// When nothing else of the shop waits.
    Bulk,
}

/// How a sheet shall look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SheetOptions {
    /// Paper size.
    pub paper: Paper,
    /// Language of the pages; names, notes and what the profile says stay as they were posted.
    pub language: Language,
}

/// A language that pages can be written in, by its code in BCP 47.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Language {
    /// English.
    #[default]
    En,
    /// German.
    De,
}

impl From<Language> for headproof_texts::Language {
    fn from(language: Language) -> Self {
        match language {
            Language::En => Self::English,
            Language::De => Self::German,
        }
    }
}

/// Paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// ISO 216 A4.
    #[default]
    A4,
    /// US Letter, 8.5 in × 11 in.
    Letter,
}

impl FromStr for Language {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, &'static str> {
        match word {
            "en" => Ok(Self::En),
            "de" => Ok(Self::De),
            _ => Err("en or de"),
        }
    }
}

impl FromStr for Paper {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, &'static str> {
        match word {
            "a4" => Ok(Self::A4),
            "letter" => Ok(Self::Letter),
            _ => Err("a4 or letter"),
        }
    }
}

/// How far a piece of work is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TaskState {
    /// Waiting for a worker.
    Queued,
    /// A worker has it.
    Running,
    /// Its sheet can be pulled.
    Done,
    /// It could not be made; `reason` says why.
    Failed,
    /// Withdrawn before it was made.
    Cancelled,
}

/// The bytes of a file.
#[derive(Debug, ToSchema)]
#[schema(value_type = String, format = Binary)]
pub struct FileBytes(#[expect(dead_code, reason = "only its description is used")] Vec<u8>);

/// Where the parts of a resource are.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Links {
    /// The resource itself.
    #[serde(rename = "self")]
    pub this: String,
    /// Its evaluation.
    pub evaluation: Option<String>,
    /// Its measurement set.
    pub measurement_set: Option<String>,
    /// The profile it was judged by.
    pub profile: Option<String>,
    /// Its rework plan, where one was asked for.
    pub plan: Option<String>,
    /// Its sheet, once it is there.
    pub sheet: Option<String>,
    /// Its signed sheet, once it is there.
    pub signed_sheet: Option<String>,
    /// Its sign-offs.
    pub sign_offs: Option<String>,
    /// The job it belongs to.
    pub job: Option<String>,
    /// Its batch report, once it is there.
    pub report: Option<String>,
    /// What came of each line of it.
    pub lines: Option<String>,
    /// The jobs of it.
    pub jobs: Option<String>,
    /// Its sheets in one archive.
    pub archive: Option<String>,
    /// What was sent to it.
    pub deliveries: Option<String>,
}

impl Links {
    /// To a resource without parts.
    #[must_use]
    pub const fn to(this: String) -> Self {
        Self {
            this,
            evaluation: None,
            measurement_set: None,
            profile: None,
            plan: None,
            sheet: None,
            signed_sheet: None,
            sign_offs: None,
            job: None,
            report: None,
            lines: None,
            jobs: None,
            archive: None,
            deliveries: None,
        }
    }
}

/// One accepted measurement set and what became of it.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Job {
    /// Its id.
    pub id: Uuid,
    /// How far its sheet is.
    pub state: TaskState,
    /// Serial of the head.
    pub head_serial: String,
    /// When in the job the set was measured.
    pub stage: String,
    /// Which correction of that stage this is, from 1.
    pub revision: u32,
    /// The earlier job it follows.
    pub follows: Option<Uuid>,
    /// The batch it came in.
    pub batch: Option<Uuid>,
    /// The client's own reference.
    pub client_reference: Option<String>,
    /// What follows for the head.
    pub disposition: String,
    /// SHA-256 of the evaluation's canonical form, in hex.
    pub evaluation_digest: String,
    /// How often its sheet was tried.
    pub attempts: u32,
    /// Why it failed, or why the last try did.
    pub reason: Option<String>,
    /// When it was accepted.
    #[schema(format = "date-time")]
    pub created_at: String,
    /// Where its parts are.
    pub links: Links,
}

/// A profile as stored.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct StoredProfile {
    /// Its id.
    pub id: String,
    /// Its revision.
    pub revision: String,
    /// SHA-256 of its canonical form, in hex.
    pub digest: String,
    /// When it was stored.
    #[schema(format = "date-time")]
    pub created_at: String,
    /// Where it is.
    pub link: String,
}

/// A characteristic the service judges.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Characteristic {
    /// Stable name, as profiles and evaluations write it.
    pub id: String,
    /// Name for people.
    pub title: String,
    /// `head`, `cylinder` or `port`.
    pub belongs_to: String,
    /// Unit its results are stated in; absent where it is found in order or not.
    pub unit: Option<String>,
    /// The formula.
    pub formula: String,
    /// Where the formula comes from.
    pub source: String,
    /// How its uncertainty is found.
    pub uncertainty: String,
    /// What its sum is checked against outside this service.
    pub outside_check: String,
    /// When an evaluation shows it: `measured`, or `requested` where it has to be limited or named in
    /// `also_report` of the profile.
    pub shown_when: String,
    /// Does a limit of it have to name a window?
    pub needs_window: bool,
}
