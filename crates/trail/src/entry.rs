//! One entry.

use serde::{Deserialize, Serialize};

/// What was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Event {
    /// A measurement set was taken in as a job.
    Submitted,
    /// It was judged; `digest` is that of the evaluation.
    Evaluated,
    /// A file was made; `digest` is that of its bytes.
    Rendered,
    /// A person signed; `digest` is that of the record of it.
    Signed,
    /// Somebody known to the service asked for what they may not do, or what cannot be.
    Refused,
    /// A file was given out; `digest` is that of its bytes.
    Downloaded,
    /// A profile was stored; `digest` is that of it.
    ProfileStored,
    /// A key was made.
    KeyMade,
    /// A key was revoked.
    KeyRevoked,
    /// A person was entered.
    PersonEntered,
    /// A person signs no longer.
    PersonLeft,
    /// A certificate was made or brought; `digest` is its fingerprint.
    CertificateKept,
    /// A job or batch was called off before it was over.
    Cancelled,
    /// Somebody to be told of events was entered, changed or removed.
    ReceiverChanged,
    /// An old job was disposed of; `digest` is that of its evaluation.
    Disposed,
}

/// Who did it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Who {
    /// `key`, `token`, `open` (a service that asks nobody who they are), `worker`, `operator` (at the machine itself).
    pub kind: String,
    /// The id of key, person or subject of a token.
    pub id: String,
    /// Its label, or the name of a person.
    pub name: String,
}

/// Something that happened, before it has its place in a trail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Happening {
    /// Who did it.
    pub who: Who,
    /// What was done.
    pub what: Event,
    /// What it was done to: `job 0190…`, `key 0190…`.
    pub to: String,
    /// The digest that names the document or file, where there is one.
    pub digest: Option<String>,
    /// A word on it, why it was refused for example.
    pub note: Option<String>,
    /// The request by which it came.
    pub request: Option<String>,
}

/// An entry of a trail.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Whose trail it is.
    pub shop: String,
    /// Its place in it, from 1.
    pub sequence: u64,
    /// When, by the clock of the service (RFC 3339).
    pub at: String,
    /// Who did it.
    pub who: Who,
    /// What was done.
    pub what: Event,
    /// What it was done to.
    pub to: String,
    /// The digest that names the document or file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub digest: Option<String>,
    /// A word on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// The request by which it came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request: Option<String>,
    /// The digest of the entry before it.
    pub previous: String,
}

impl Entry {
    /// An entry for what happened.
    #[must_use]
    pub fn new(shop: String, sequence: u64, at: String, happening: Happening, previous: String) -> Self {
        let Happening { who, what, to, digest, note, request } = happening;
        Self { shop, sequence, at, who, what, to, digest, note, request, previous }
    }

    /// Its line, without an end of line.
    ///
    /// # Errors
    /// Those of the library that writes it, which this type does not give cause for.
    pub fn line(&self) -> Result<Vec<u8>, serde_json::Error> {
        serde_jcs::to_vec(self)
    }
}
