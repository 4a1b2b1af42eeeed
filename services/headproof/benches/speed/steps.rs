//! Where a judgement's time goes.

use std::error::Error;

use headproof_wire::{At, EvaluateRequest, evaluation_document, measurement_set, read, target_profile};

use super::{median_time, microseconds};

const CALLS: usize = 2000;

/// Prints the median time of each step of `POST /v1/evaluate`.
pub(crate) fn report(body: &[u8]) -> Result<(), Box<dyn Error>> {
    let request: EvaluateRequest = read(body)?;
    let profile_doc = request.profile.as_ref().ok_or("the request carries its profile")?;
    let root = At::Root;
    let faults = |faults| format!("{faults:?}");
    let set = measurement_set(&request.measurement_set, &root).map_err(faults)?;
    let profile = target_profile(profile_doc, &root).map_err(faults)?;
    let evaluation = headproof_judge::evaluate(&set, &profile);
    let document = evaluation_document(&evaluation, &set, &profile);

    let steps = [
        (
            "read (typed, with the check for long numbers)",
            median_time(CALLS, || read::<EvaluateRequest>(body)),
        ),
        (
            "read with serde_json alone",
            median_time(CALLS, || serde_json::from_slice::<EvaluateRequest>(body)),
        ),
        ("set to the domain", median_time(CALLS, || measurement_set(&request.measurement_set, &root))),
        ("profile to the domain", median_time(CALLS, || target_profile(profile_doc, &root))),
        ("judge", median_time(CALLS, || headproof_judge::evaluate(&set, &profile))),
        ("evaluation as a document", median_time(CALLS, || evaluation_document(&evaluation, &set, &profile))),
        ("write JSON", median_time(CALLS, || serde_json::to_vec(&document))),
    ];
    println!("steps, median of {CALLS}:");
    for (name, time) in steps {
        println!("  {:7.1} µs  {name}", microseconds(time));
    }
    Ok(())
}
