//! Keys and people: who may do what.

use std::fmt;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::Fault;
use crate::convert::{LONGEST, texts_in};

/// The longest name and title that a certificate takes (X.520, ub-common-name and ub-title; RFC 5280, A.1).
const LONGEST_IN_CERTIFICATE: usize = 64;

/// What a key may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Scope {
    /// Post heads; judge, plan, draw worksheets.
    Submit,
    /// Read jobs, sheets and profiles; verify files.
    Read,
    /// Sign, as the person the key speaks for.
    Sign,
    /// Store profiles, make keys, enter people, read the audit trail.
    Admin,
}

impl Scope {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Submit, Self::Read, Self::Sign, Self::Admin];

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Submit => "submit",
            Self::Read => "read",
            Self::Sign => "sign",
            Self::Admin => "admin",
        }
    }

    /// The scope of a word.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|scope| scope.word() == word)
    }
}

/// A key to be made.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct KeyRequest {
    /// What it is for.
    #[schema(min_length = 1, max_length = 200)]
    pub label: String,
    /// What it may do. One that may sign has to speak for a person.
    #[schema(min_items = 1, max_items = 4)]
    pub scopes: Vec<Scope>,
    /// The person it speaks for.
    #[schema(format = "uuid")]
    pub person: Option<String>,
    /// When it ends by itself.
    #[schema(format = "date-time")]
    pub expires_at: Option<String>,
}

/// A key, without its secret.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Key {
    /// The key.
    pub id: Uuid,
    /// What it is for.
    pub label: String,
    /// What it may do.
    pub scopes: Vec<Scope>,
    /// The person it speaks for.
    pub person: Option<Uuid>,
    /// When it was made.
    #[schema(format = "date-time")]
    pub created_at: String,
    /// When it ends by itself.
    #[schema(format = "date-time")]
    pub expires_at: Option<String>,
    /// Since when it opens nothing.
    #[schema(format = "date-time")]
    pub revoked_at: Option<String>,
}

/// A key that was just made.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct MadeKey {
    /// What to send as `Authorization: Bearer …`. It is shown this once: only its digest is kept.
    pub secret: String,
    /// The key.
    pub key: Key,
}

impl fmt::Debug for MadeKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Its secret belongs into no log.
        f.debug_struct("MadeKey").field("key", &self.key).finish_non_exhaustive()
    }
}

/// A person to be entered.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PersonRequest {
    /// Their name, as it shall stand on sheets.
    #[schema(min_length = 1, max_length = 64)]
    pub name: String,
    /// What they are in the shop.
    #[schema(min_length = 1, max_length = 64)]
    pub role: String,
    /// The subject (`sub`) of the identity provider's tokens that speak for them.
    #[schema(min_length = 1, max_length = 200)]
    pub subject: Option<String>,
}

/// A person who signs, or did.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Person {
    /// The person.
    pub id: Uuid,
    /// Their name.
    pub name: String,
    /// What they are in the shop.
    pub role: String,
    /// The subject of tokens that speak for them.
    pub subject: Option<String>,
    /// SHA-256 of the certificate they sign with, in hex.
    pub certificate: Option<String>,
    /// When they were entered.
    #[schema(format = "date-time")]
    pub created_at: String,
    /// Since when they sign no longer.
    #[schema(format = "date-time")]
    pub left_at: Option<String>,
}

/// Every fault of a key that is wished for, with its JSON Pointer.
pub(crate) fn key_faults(request: &KeyRequest) -> Vec<Fault> {
    let mut faults = texts_in(&[("label", &request.label, LONGEST)]);
    if request.scopes.is_empty() {
        faults.push(Fault::new("/scopes".to_owned(), "must not be empty".to_owned(), None));
    }
    faults
}

/// Every fault of a person who is to be entered, with its JSON Pointer.
pub(crate) fn person_faults(request: &PersonRequest) -> Vec<Fault> {
    let subject = request.subject.as_ref().map(|subject| ("subject", subject, LONGEST));
    let always =
        [("name", &request.name, LONGEST_IN_CERTIFICATE), ("role", &request.role, LONGEST_IN_CERTIFICATE)];
    let mut faults = texts_in(&always.into_iter().chain(subject).collect::<Vec<_>>());
    for (member, text) in [("name", &request.name), ("role", &request.role)] {
        if let Some(c) = text.chars().find(|c| means_nothing(*c)) {
            let detail = format!("must not hold U+{:04X}, which stands for nothing", u32::from(c));
            faults.push(Fault::new(format!("/{member}"), detail, None));
        }
    }
    faults
}

/// Private use and non-characters (Unicode, 23.5 and 23.7): whoever compares the names in certificates as RFC 5280, 7.1, and
/// RFC 4518, 2.4, ask for, refuses them.
const fn means_nothing(c: char) -> bool {
    matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{FDD0}'..='\u{FDEF}' | '\u{F0000}'..)
        || (c as u32) & 0xFFFE == 0xFFFE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_no_certificate_takes_is_a_fault() {
        let faults = |name: &str| {
            let role = "inspector".to_owned();
            person_faults(&PersonRequest { name: name.to_owned(), role, subject: None }).len()
        };
        for name in ["Þórdís Dæmisdóttir", "検査員", &"x".repeat(64)] {
            assert_eq!(faults(name), 0, "{name}");
        }
        for name in ["", " ", "a\u{202e}b", "a\u{E000}", "a\u{FFFF}", "a\u{10FFFE}", &"x".repeat(65)] {
            assert!(faults(name) > 0, "{name}");
        }
    }
}
