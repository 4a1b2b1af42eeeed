//! What an evaluation allows to be signed.

use std::collections::BTreeMap;

use headproof_head::Instruments;

use super::block::Conversion;
use crate::pointer::At;
use crate::{Concession, EarlierSignOff, Evaluation, Fault, Meaning, SignOffRequest, SignOffRule, Units};

/// Longest note or reason.
const LONGEST: usize = 500;
/// Characters of all reasons together: what is signed has to go on paper.
const LONGEST_TOGETHER: usize = 100_000;

/// What keeps a sign-off from being made, each with its JSON Pointer into the request.
///
/// A head is released only where the evaluation accepts it. Where it does not, a concession names every reason
/// the evaluation gives, by subject and characteristic, and says why it is accepted: none may be missing, none may be
/// made up, and there is none where nothing was judged. What the profile asks beyond that (`rule`) is kept to as well;
/// `beside` holds the sign-offs of the same evaluation so far, and `signer` is the person who is about to sign.
/// Source: common practice, no source; the concession is that of ISO 9000, 3.12.5 (from memory).
#[must_use]
pub fn sign_off_faults(
    request: &SignOffRequest,
    evaluation: &Evaluation,
    rule: SignOffRule,
    beside: &[EarlierSignOff],
    signer: uuid::Uuid,
) -> Vec<Fault> {
    let meaning = |detail: &str| Fault::new(At::Root.member("meaning").pointer(), detail.to_owned(), None);
    let mut faults = Vec::new();
    let accepted = evaluation.disposition == "accept";
    match request.meaning {
        Meaning::Inspected => {}
        Meaning::Released if accepted => {}
        Meaning::Released => {
            faults.push(meaning("the head does not conform: only a concession can release it"));
        }
        Meaning::Concession if accepted => {
            faults.push(meaning("the head conforms: there is nothing to concede"))
        }
        Meaning::Concession if !rule.concessions => {
            faults.push(meaning("the profile allows no concession"));
        }
        Meaning::Concession if evaluation.tally.limited() == 0 => {
            faults.push(meaning("nothing was judged: there is nothing to concede"));
        }
        Meaning::Concession => faults.extend(deviation_faults(&request.concessions, evaluation)),
    }
    if request.meaning != Meaning::Concession && !request.concessions.is_empty() {
        let pointer = At::Root.member("concessions").pointer();
        faults.push(Fault::new(pointer, "belong to a concession only".to_owned(), None));
    }
    let by_another = |one: &EarlierSignOff| one.meaning == Meaning::Inspected && one.signer != signer;
    if rule.two_persons && request.meaning != Meaning::Inspected && !beside.iter().any(by_another) {
        faults.push(meaning("the profile wants another person to have signed as inspected before"));
    }
    faults
}

/// Deviations that are named twice, that the evaluation does not know, or that are missing.
fn deviation_faults(concessions: &[Concession], evaluation: &Evaluation) -> Vec<Fault> {
    let reasons = evaluation.reasons.iter();
    let mut open: BTreeMap<(&str, Option<&str>), bool> =
        reasons.map(|reason| ((reason.subject.as_str(), reason.characteristic.as_deref()), false)).collect();
    let list = At::Root.member("concessions");
    let mut faults = Vec::new();
    for (n, concession) in concessions.iter().enumerate() {
        let key = (concession.subject.as_str(), concession.characteristic.as_deref());
        let detail = match open.get_mut(&key) {
            None => "is no reason of the evaluation",
            Some(named) if *named => "is named twice",
            Some(named) => {
                *named = true;
                continue;
            }
        };
        faults.push(Fault::new(list.element(n).pointer(), detail.to_owned(), None));
    }
    for ((subject, characteristic), _) in open.iter().filter(|(_, named)| !**named) {
        let what = characteristic.unwrap_or("the data");
        faults.push(Fault::new(list.pointer(), format!("{subject}, {what}: is not named"), None));
    }
    faults
}

/// Every fault of the texts of a request, with its JSON Pointer.
pub(crate) fn text_faults(request: &SignOffRequest) -> Vec<Fault> {
    let none = Instruments::default();
    let mut texts = Conversion { faults: Vec::new(), units: Units::BASE, instruments: &none };
    if let Some(note) = &request.note {
        texts.filled(&At::Root.member("note"), note, LONGEST);
    }
    for (n, concession) in request.concessions.iter().enumerate() {
        let list = At::Root.member("concessions");
        texts.filled(&list.element(n).member("reason"), &concession.reason, LONGEST);
    }
    let together: usize = request.concessions.iter().map(|one| one.reason.chars().count()).sum();
    if together > LONGEST_TOGETHER {
        let detail = format!("the reasons must not be longer than {LONGEST_TOGETHER} characters together");
        texts.fault(&At::Root.member("concessions"), detail, None);
    }
    texts.faults
}
