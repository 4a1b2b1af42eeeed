//! The target profile, as posted.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::openapi::schema::AdditionalProperties;
use utoipa::openapi::{RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

use crate::{Service, Units};

/// Limits for one kind of head, as one immutable revision.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TargetProfile {
    /// `headproof/target-profile/1`.
    pub format: String,
    /// The shop's name of it: letters, digits, hyphens, dots and underscores, a letter or digit first.
    #[schema(min_length = 1, max_length = 80, pattern = "^[A-Za-z0-9][A-Za-z0-9._-]*$")]
    pub id: String,
    /// Its revision, of the same letters.
    #[schema(min_length = 1, max_length = 40, pattern = "^[A-Za-z0-9][A-Za-z0-9._-]*$")]
    pub revision: String,
    /// What it is for.
    #[schema(min_length = 1, max_length = 200)]
    pub title: String,
    /// A notice that must stand wherever the profile is used.
    pub notice: Option<String>,
    /// Units of every number in this document.
    pub units: Units,
    /// How a reading and its uncertainty become a verdict.
    pub decision_rule: DecisionRule,
    /// The limits.
    #[schema(min_items = 1, max_items = 400)]
    pub limits: Vec<Limit>,
    /// Names of characteristics that shall be worked out and shown though nothing limits them; those that are
    /// shown whenever they were measured need not be named.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 200)]
    pub also_report: Vec<String>,
    /// What is asked of sign-offs of heads that are held against this profile.
    pub sign_off: Option<SignOffRule>,
}

/// What is asked of sign-offs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SignOffRule {
    /// Must another person have signed as inspected before a head is released or conceded?
    pub two_persons: bool,
    /// May a head that does not conform be released by a concession?
    pub concessions: bool,
}

impl Default for SignOffRule {
    fn default() -> Self {
        Self { two_persons: false, concessions: true }
    }
}

/// How a reading and its uncertainty become a verdict.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "rule", rename_all = "kebab-case", from = "PostedRule")]
pub enum DecisionRule {
    /// Inside the limits conforms; the uncertainty is only shown.
    Simple,
    /// Conforms when proven with this probability.
    Guarded {
        /// At least 0.5 and less than 1; 0.95 is usual.
        conformance_probability: f64,
    },
}

/// How a reading and its uncertainty become a verdict.
// As it is read: a tagged variant without braces would let any field beside the tag pass.
#[derive(Deserialize, ToSchema)]
#[serde(tag = "rule", rename_all = "kebab-case", deny_unknown_fields)]
enum PostedRule {
    /// Inside the limits conforms; the uncertainty is only shown.
    Simple {},
    /// Conforms when proven with this probability.
    Guarded {
        /// At least 0.5 and less than 1; 0.95 is usual.
        #[schema(minimum = 0.5, exclusive_maximum = 1)]
        conformance_probability: f64,
    },
}

impl From<PostedRule> for DecisionRule {
    fn from(posted: PostedRule) -> Self {
        match posted {
            PostedRule::Simple {} => Self::Simple,
            PostedRule::Guarded { conformance_probability } => Self::Guarded { conformance_probability },
        }
    }
}

impl PartialSchema for DecisionRule {
    fn schema() -> RefOr<Schema> {
        let mut schema = PostedRule::schema();
        // The derive forbids unknown fields of structs only.
        if let RefOr::T(Schema::OneOf(forms)) = &mut schema {
            for form in &mut forms.items {
                if let RefOr::T(Schema::Object(form)) = form {
                    form.additional_properties = Some(Box::new(AdditionalProperties::FreeForm(false)));
                }
            }
        }
        schema
    }
}

impl ToSchema for DecisionRule {}

/// One limit.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// Name of the characteristic.
    pub characteristic: String,
    /// For which ports; both when left out.
    pub service: Option<Service>,
    /// When it applies.
    #[serde(rename = "use")]
    pub limit_use: LimitUse,
    /// Least amount that conforms.
    pub lower: Option<f64>,
    /// Greatest amount that conforms.
    pub upper: Option<f64>,
    /// What is aimed for.
    pub nominal: Option<f64>,
    /// The part of the deck that is looked at at a time, for `deck-flatness-local` only.
    pub window: Option<Window>,
    /// Must it be measured?
    #[serde(default)]
    pub required: bool,
    /// What being outside means for the head.
    pub if_outside: IfOutside,
    /// Where the limit comes from: a manual and page, a drawing, common practice.
    #[schema(min_length = 1, max_length = 300)]
    pub source: String,
}

/// A part of the deck, moved all over it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Window {
    /// Along the head.
    #[schema(exclusive_minimum = 0)]
    pub length: f64,
    /// Across the head.
    #[schema(exclusive_minimum = 0)]
    pub width: f64,
}

/// When a limit applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LimitUse {
    /// After rework and at hand-over; also as received where no wear limit is given.
    Build,
    /// As received only.
    Wear,
}

/// What being outside a limit means for the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum IfOutside {
    /// It can be put right.
    Rework,
    /// Not acceptable at these limits; a repair may exist.
    Reject,
}

/// A profile stored before.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProfileSelector {
    /// Its id.
    pub id: String,
    /// Its revision.
    pub revision: String,
}
