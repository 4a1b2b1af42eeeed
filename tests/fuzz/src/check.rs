//! One document through the service as a request to evaluate takes it.

use headproof_judge::{evaluate, evaluate_explained};
use headproof_wire::{
    At, EvaluateRequest, Fault, ReadError, evaluation_document, measurement_set, read, target_profile,
};

use crate::outline::Outline;
use crate::planned::plan_promises;
use crate::pointer::{Leads, follow};
use crate::promises::{evaluation_promises, reads_back, text_promises, without_budgets};

/// Evaluates a request and holds the answer against what any answer promises. Returns whether other documents
/// are to be made of this one: of those that are refused there would soon be little else.
///
/// # Panics
/// When a promise is broken: that is what the fuzzer looks for.
pub fn check(bytes: &[u8]) -> bool {
    let request: EvaluateRequest = match read(bytes) {
        Ok(request) => request,
        Err(ReadError::NotJson(_)) => return is_one_of(32, bytes),
        Err(ReadError::Faults(faults)) => {
            fault_promises(&outline(bytes), &faults);
            return is_one_of(32, bytes);
        }
    };
    let outline = outline(bytes);
    text_promises(&outline);
    let root = At::Root;
    let set = measurement_set(&request.measurement_set, &root.member("measurement_set"));
    let profile = request.profile.as_ref().map(|doc| target_profile(doc, &root.member("profile")));
    if let Err(faults) = &set {
        fault_promises(&outline, faults);
    }
    if let Some(Err(faults)) = &profile {
        fault_promises(&outline, faults);
    }
    let (Ok(set), Some(Ok(profile)), None) = (set, profile, &request.profile_ref) else {
        return is_one_of(32, bytes);
    };
    let judge_by = if request.budgets { evaluate_explained } else { evaluate };
    let judge = || evaluation_document(&judge_by(&set, &profile), &set, &profile);
    let evaluation = judge();
    let text = serde_json::to_vec(&evaluation).expect("an evaluation is JSON");
    evaluation_promises(&evaluation, &text, &outline);
    assert!(
        text == serde_json::to_vec(&judge()).expect("an evaluation is JSON"),
        "judged twice, two answers"
    );
    if request.budgets {
        let plain = evaluation_document(&evaluate(&set, &profile), &set, &profile);
        assert!(without_budgets(&evaluation) == plain, "asked for budgets, judged otherwise");
    }
    if is_one_of(16, bytes) {
        plan_promises(&set, &profile, request.measurement_set.units);
    }
    // It takes longer than all the rest.
    if is_one_of(8, bytes) {
        reads_back(&request.measurement_set);
        request.profile.iter().for_each(reads_back);
        reads_back(&evaluation);
    }
    true
}

/// Is it a document for what is not done with all? Always the same ones are.
fn is_one_of(many: u32, bytes: &[u8]) -> bool {
    bytes.iter().fold(0, |sum: u32, byte| sum.wrapping_add((*byte).into())).is_multiple_of(many)
}

fn outline(bytes: &[u8]) -> Outline<'_> {
    Outline::of(bytes).expect("what the service reads is JSON")
}

/// A refusal names faults, each where a client finds it.
fn fault_promises(outline: &Outline<'_>, faults: &[Fault]) {
    assert!(!faults.is_empty(), "refused without a fault");
    assert!(faults.len() <= 1000, "{} faults", faults.len());
    for fault in faults {
        assert!(!fault.detail.is_empty(), "a fault without a word: {fault:?}");
        let size = serde_json::to_vec(fault).expect("a fault is JSON").len();
        assert!(size <= 1024, "a fault of {size} bytes: {fault:?}");
        match follow(outline, &fault.pointer) {
            Leads::There => {}
            Leads::Beside => assert!(fault.value.is_none(), "a value where there is nothing: {fault:?}"),
            Leads::Nowhere => panic!("a fault of nothing: {fault:?}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use headproof_wire::Document;

    use super::*;

    /// What the fuzzer begins with is judged, but for one document, and one without a profile.
    #[test]
    fn the_documents_to_begin_with_are_of_the_right_form() {
        let directory = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/seeds")).unwrap();
        let mut names = Vec::new();
        for entry in directory.map(Result::unwrap) {
            let (name, text) = (entry.file_name(), std::fs::read(entry.path()).unwrap());
            check(&text);
            match read::<EvaluateRequest>(&text) {
                Ok(request) => assert_eq!(request.content_faults(), [], "{name:?}"),
                Err(error) => assert_eq!(name, "faulty.json", "{error:?}"),
            }
            names.push(name);
        }
        assert!(names.len() >= 6, "{names:?}");
    }

    #[test]
    fn a_fault_must_point_into_the_document() {
        let promised = |pointer: &str, value: Option<serde_json::Value>| {
            let fault = Fault::new(pointer.to_owned(), "is wrong".into(), value);
            std::panic::catch_unwind(|| fault_promises(&outline(br#"{"a": {"b": 1}}"#), &[fault])).is_ok()
        };
        assert!(promised("/a/b", Some(1.into())) && promised("/a/c", None) && promised("", None));
        assert!(!promised("/a/c", Some(1.into())) && !promised("/b/c", None) && !promised("/a/b/c", None));
    }
}
