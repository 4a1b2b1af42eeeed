//! What must never be let pass, as a client would post it.

use headproof_wire::{
    At, Evaluation, MeasurementSet, TargetProfile, evaluation_document, measurement_set, target_profile,
};
use serde_json::{Value, json};

fn evaluate(rule: Value, limits: Value, set: Value) -> Evaluation {
    let profile: TargetProfile = serde_json::from_value(json!({
        "format": "headproof/target-profile/1", "id": "test", "revision": "1", "title": "test",
        "units": units(), "decision_rule": rule, "limits": limits,
    }))
    .expect("a profile");
    let set: MeasurementSet = serde_json::from_value(set).expect("a set");
    let (set, profile) = (
        measurement_set(&set, &At::Root).expect("a good set"),
        target_profile(&profile, &At::Root).expect("a good profile"),
    );
    evaluation_document(&headproof_judge::evaluate(&set, &profile), &set, &profile)
}

fn units() -> Value {
    json!({ "length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um" })
}

fn guarded() -> Value {
    json!({ "rule": "guarded", "conformance_probability": 0.95 })
}

fn simple() -> Value {
    json!({ "rule": "simple" })
}

/// A head of one cylinder with one intake port as given; the exhaust port conforms in its seat width.
fn head(intake: Value) -> Value {
    let exact = |value: f64| json!({ "value": value, "expanded_uncertainty": 0.001 });
    let mut intake = intake;
    intake["cylinder"] = json!(1);
    intake["service"] = json!("intake");
    intake["index"] = json!(1);
    json!({
        "format": "headproof/measurement-set/1", "units": units(),
        "head": { "serial": "T", "material": "cast-iron" },
        "job": { "number": "T", "stage": "final", "measured_by": "T", "measured_at": "2026-03-12T09:40:00Z" },
        "layout": { "camshaft": "pushrod", "lifter": "adjustable", "cylinders": 1,
                    "intake_per_cylinder": 1, "exhaust_per_cylinder": 1 },
        "ports": [intake, { "cylinder": 1, "service": "exhaust", "index": 1,
                            "seat": { "widths": [exact(1.5)] } }],
    })
}

fn limit(characteristic: &str, lower: Option<f64>, upper: Option<f64>, if_outside: &str) -> Value {
    json!({ "characteristic": characteristic, "use": "build", "lower": lower, "upper": upper,
            "if_outside": if_outside, "source": "common practice, no source" })
}

fn seat_width() -> Value {
    limit("seat-width", Some(1.0), Some(2.0), "rework")
}

fn verdict<'e>(evaluation: &'e Evaluation, characteristic: &str) -> &'e str {
    evaluation.ports[0]
        .rows
        .iter()
        .find(|row| row.characteristic == characteristic)
        .map_or("no row", |row| &row.verdict)
}

#[test]
fn a_gauge_too_coarse_for_its_tolerance_does_not_prove_the_contrary() {
    let coarse = |value: f64| json!({ "value": value, "expanded_uncertainty": 3.0 });
    let port = json!({ "guide": { "bores": { "middle": [coarse(8.0)] } },
                       "valve": { "stem": { "middle": coarse(7.955) } } });
    let limits = json!([seat_width(), limit("stem-to-guide-clearance", Some(0.025), Some(0.065), "reject")]);
    let evaluation = evaluate(guarded(), limits, head(port));
    assert_eq!(verdict(&evaluation, "stem-to-guide-clearance"), "not-proven");
    assert_ne!(evaluation.disposition, "reject");
}

#[test]
fn a_reading_far_outside_is_not_let_pass_for_want_of_an_uncertainty() {
    let port = json!({ "seat": { "runout": { "direction": "square", "readings": [0.0, 0.5, 1.0, 0.5] } } });
    let evaluation = evaluate(
        guarded(),
        json!([seat_width(), limit("seat-runout", None, Some(0.05), "reject")]),
        head(port),
    );
    assert_eq!(verdict(&evaluation, "seat-runout"), "not-proven");
    assert_eq!(evaluation.disposition, "incomplete");
}

#[test]
fn one_missing_sibling_does_not_hide_a_reading_that_is_out() {
    let springs = json!({ "spring_pack": { "installed_height": 40.0, "lift": 12.0,
                                           "springs": [{ "solid_height": 35.0 }, {}] } });
    let evaluation = evaluate(
        simple(),
        json!([seat_width(), limit("coil-bind-margin", Some(1.5), None, "reject")]),
        head(springs),
    );
    assert_eq!(
        (verdict(&evaluation, "coil-bind-margin"), &*evaluation.disposition),
        ("does-not-conform", "reject")
    );

    let fine = json!({ "spring_pack": { "installed_height": 40.0, "lift": 12.0,
                                        "springs": [{ "solid_height": 20.0 }, {}] } });
    let evaluation = evaluate(
        simple(),
        json!([seat_width(), limit("coil-bind-margin", Some(1.5), None, "reject")]),
        head(fine),
    );
    assert_eq!(verdict(&evaluation, "coil-bind-margin"), "not-measured");

    let contact =
        json!({ "contact": { "marks": [{ "from_edge": 0.5, "width": 9.0 }, { "from_edge": 0.5 }] } });
    let evaluation = evaluate(
        simple(),
        json!([seat_width(), limit("contact-width", None, Some(2.0), "rework")]),
        head(contact),
    );
    assert_eq!(verdict(&evaluation, "contact-width"), "does-not-conform");
}

#[test]
fn a_decay_that_rose_proves_no_seal() {
    let port = json!({ "leak": { "decay": { "start": 20.0, "end": 60.0, "seconds": 30.0, "volume": 500.0,
        "side": "port", "vacuum": true, "spring_fitted": true, "guide_sealed": true } } });
    let evaluation = evaluate(
        simple(),
        json!([seat_width(), limit("leak-rate", None, Some(0.001), "rework")]),
        head(port),
    );
    assert_eq!((verdict(&evaluation, "leak-rate"), &*evaluation.disposition), ("not-measured", "incomplete"));
    assert_eq!(evaluation.findings[0].code, "decay-rose");
    assert_eq!(evaluation.findings[0].pointers, ["/ports/0/leak/decay/start", "/ports/0/leak/decay/end"]);
}

#[test]
fn a_contact_band_over_the_inner_edge_of_the_face_is_no_contact_band() {
    let port = json!({ "valve": { "head_diameter": 34.0, "face_inner_diameter": 30.0, "face_angle": 45.0 },
                       "contact": { "marks": [{ "from_edge": 0.6, "width": 9.0 }] } });
    let evaluation =
        evaluate(simple(), json!([seat_width(), limit("overhang", Some(0.4), None, "rework")]), head(port));
    assert_eq!((verdict(&evaluation, "overhang"), &*evaluation.disposition), ("not-measured", "incomplete"));
}

#[test]
fn gaps_in_the_band_are_judged_and_none_can_be_said() {
    let gap_limit = || json!([seat_width(), limit("contact-gap", None, Some(5.0), "rework")]);
    for (gaps, expected) in
        [(json!([3.0, 4.0]), "does-not-conform"), (json!([3.0]), "conforms"), (json!([]), "conforms")]
    {
        let evaluation = evaluate(simple(), gap_limit(), head(json!({ "contact": { "gaps": gaps } })));
        assert_eq!(verdict(&evaluation, "contact-gap"), expected, "{gaps}");
    }
    let evaluation = evaluate(simple(), gap_limit(), head(json!({ "contact": {} })));
    assert_eq!(verdict(&evaluation, "contact-gap"), "not-measured");
}

#[test]
fn every_disposition_but_accept_has_a_reason() {
    let nothing = evaluate(simple(), json!([limit("lash", None, Some(0.4), "rework")]), head(json!({})));
    assert_eq!(nothing.disposition, "incomplete");
    assert_eq!(nothing.reasons[0].text, "nothing was measured that this profile limits");

    let mut without_a_port = head(json!({}));
    without_a_port["ports"].as_array_mut().unwrap().remove(0);
    let evaluation = evaluate(simple(), json!([seat_width()]), without_a_port);
    assert_eq!(evaluation.disposition, "incomplete");
    assert!(evaluation.reasons[0].text.contains("cylinder 1 intake 1"), "{:?}", evaluation.reasons);
}

#[test]
fn what_the_profile_does_not_limit_is_not_counted_as_missed() {
    let evaluation = evaluate(simple(), json!([seat_width()]), head(json!({ "seat": { "widths": [1.5] } })));
    assert_eq!((evaluation.tally.conforms, evaluation.tally.not_measured), (2, 0));
    assert_eq!(verdict(&evaluation, "seat-width-uniformity"), "no-limit");
}

#[test]
fn as_received_the_nominal_of_the_build_limit_stands_in() {
    let mut set = head(json!({ "valve": { "head_diameter": 34.0 }, "seat": { "outer_diameter": 33.0 } }));
    set["job"]["stage"] = json!("as-received");
    let mut build = limit("face-angle", Some(44.0), Some(46.0), "rework");
    build["nominal"] = json!(45.0);
    let mut wear = limit("face-angle", Some(43.0), Some(47.0), "rework");
    wear["use"] = json!("wear");
    let evaluation =
        evaluate(simple(), json!([build, wear, limit("overhang", Some(0.4), None, "rework")]), set);
    assert_eq!(verdict(&evaluation, "overhang"), "conforms");
}

/// The wire carries at most 15 significant digits: a record must be readable again.
#[test]
fn an_evaluation_of_odd_amounts_can_be_read_again() {
    let port = json!({ "leak": { "decay": { "start": 500.0, "end": 0.1, "seconds": 3.0, "volume": 1000.0,
        "side": "port", "vacuum": false, "spring_fitted": true, "guide_sealed": true } },
        "valve": { "margin": { "value": 0.3, "expanded_uncertainty": 1e-15, "coverage_factor": 7.0 } } });
    let limits = json!([
        limit("leak-rate", None, Some(0.333_333_333_333_333), "rework"),
        limit("margin", Some(0.1), None, "rework")
    ]);
    let evaluation = evaluate(guarded(), limits, head(port));
    let text = serde_json::to_vec(&evaluation).unwrap();
    assert_eq!(headproof_wire::read::<Evaluation>(&text).unwrap(), evaluation);
}
