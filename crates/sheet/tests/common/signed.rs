//! Sign-offs of specimen heads, by invented people.

use headproof_sheet::{SheetInput, SignOffInput};
use headproof_wire::{Evaluation, Meaning, SignOff};
use serde_json::{Value, json};

use crate::common::DIGEST;

/// The digest every specimen sign-off is printed with.
pub(crate) const SIGN_OFF_DIGEST: &str = "51c0de12c4d0e85b7760a1c2d3e4f5061728394a5b6c7d8e9f00112233445566";
/// What is attached as the record of every sign-off.
pub(crate) const CANONICAL: &[u8] = b"{\"is\":\"sign-off\"}";
/// Bytes left for a signature.
pub(crate) const ROOM: usize = 9000;

/// What a specimen sign-off is like.
#[derive(Clone)]
pub(crate) struct Signed {
    /// What it says.
    pub(crate) meaning: Meaning,
    /// Who signed.
    pub(crate) name: String,
    /// What they are.
    pub(crate) role: String,
    /// A word of the signer.
    pub(crate) note: Option<String>,
    /// Signatures beside it, as many.
    pub(crate) beside: usize,
    /// Signatures it takes the place of, as many.
    pub(crate) supersedes: usize,
    /// Why each deviation is accepted.
    pub(crate) reason: String,
}

impl Default for Signed {
    fn default() -> Self {
        Self {
            meaning: Meaning::Released,
            name: "Demo Foreman".into(),
            role: "workshop foreman".into(),
            note: None,
            beside: 0,
            supersedes: 0,
            reason: "Runs cold and slow in the pump of well 3; the customer was told and agrees.".into(),
        }
    }
}

impl Signed {
    /// With a meaning.
    pub(crate) fn meaning(meaning: Meaning) -> Self {
        Self { meaning, ..Self::default() }
    }

    /// The record, for an evaluation.
    pub(crate) fn record(&self, evaluation: &Evaluation) -> SignOff {
        let concessions: Vec<Value> = if self.meaning == Meaning::Concession {
            let reasons = evaluation.reasons.iter();
            reasons
                .map(|reason| {
                    let subject = &reason.subject;
                    match &reason.characteristic {
                        Some(id) => json!({"subject": subject, "characteristic": id, "reason": self.reason}),
                        None => json!({"subject": subject, "reason": self.reason}),
                    }
                })
                .collect()
        } else {
            Vec::new()
        };
        let earlier = |n: usize, revision: u32| {
            let meaning = if n % 3 == 2 { "released" } else { "inspected" };
            json!({
                "id": "00000000-0000-4000-8000-000000000003", "digest": DIGEST,
                "job": "00000000-0000-4000-8000-000000000004", "stage": "as-received", "revision": revision,
                "meaning": meaning, "signer": "00000000-0000-4000-8000-000000000005",
                "name": if n.is_multiple_of(2) { "Demo Measurer" } else { &self.name },
                "role": if n.is_multiple_of(2) { "measurer" } else { &self.role },
                "signed_at": format!("2026-03-{:02}T08:{:02}:09Z", 3 + n / 60, n % 60),
            })
        };
        serde_json::from_value(json!({
            "format": "headproof/sign-off/1",
            "id": "00000000-0000-4000-8000-000000000001",
            "shop": "Invented Co-operative Workshop",
            "job": "00000000-0000-4000-8000-000000000002",
            "head_serial": evaluation.head_serial, "stage": evaluation.stage, "revision": 2,
            "evaluation_digest": DIGEST,
            "disposition": evaluation.disposition,
            "meaning": self.meaning,
            "signer": {
                "id": "00000000-0000-4000-8000-000000000005", "name": self.name, "role": self.role,
                "certificate": DIGEST.chars().rev().collect::<String>(), "authority": SIGN_OFF_DIGEST,
            },
            "signed_at": "2026-03-05T15:20:31Z",
            "concessions": concessions,
            "note": self.note,
            "beside": (0..self.beside).map(|n| earlier(n, 2)).collect::<Vec<_>>(),
            "supersedes": (0..self.supersedes).map(|n| earlier(n, 1)).collect::<Vec<_>>(),
            "checkpoint": {"size": 4711, "head": DIGEST},
        }))
        .expect("the specimen is a valid document")
    }
}

/// A head with its sign-off.
pub(crate) fn signed<'a>(input: SheetInput<'a>, record: &'a SignOff) -> SheetInput<'a> {
    let sign_off = SignOffInput {
        record,
        digest: SIGN_OFF_DIGEST,
        canonical: CANONICAL,
        code: "7K2M-93QX-TB5D-8HZA",
        address: "https://heads.example/look-up/7K2M-93QX-TB5D-8HZA",
        room: ROOM,
    };
    SheetInput { sign_off: Some(sign_off), ..input }
}
