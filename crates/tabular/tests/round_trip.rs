//! A head that is written as CSV and read again is the same head, and is judged alike.

use headproof_judge::evaluate;
use headproof_tabular::{Given, Head, columns, heads, write};
use headproof_wire::{
    At, JobRequest, MeasurementSet, SheetOptions, TargetProfile, evaluation_document, examples,
    measurement_set, read, target_profile,
};

/// Holds every member that a set can have.
const EVERY_FIELD: &str = include_str!("../../wire/tests/written_sets/every-field.json");

fn request(set: &str, profile: &TargetProfile) -> JobRequest {
    JobRequest {
        priority: None,
        measurement_set: read(set.as_bytes()).expect("a set"),
        profile: Some(profile.clone()),
        profile_ref: None,
        workshop: None,
        sheet: SheetOptions::default(),
        client_reference: Some("line\r\nbreaks, \"marks\" and ü".into()),
        follows: None,
    }
}

fn profile(text: &str) -> TargetProfile {
    read(text.as_bytes()).expect("a profile")
}

fn again(text: &str, profile: &TargetProfile) -> Vec<JobRequest> {
    let found = heads(text.as_bytes(), Given::Profile(profile)).expect("bytes");
    found.map(|head| head.expect("bytes").request.unwrap_or_else(|faults| panic!("{faults:#?}"))).collect()
}

fn judged(set: &MeasurementSet, profile: &TargetProfile) -> String {
    let set = measurement_set(set, &At::Root).expect("no faults");
    let profile = target_profile(profile, &At::Root).expect("no faults");
    let document = evaluation_document(&evaluate(&set, &profile), &set, &profile);
    serde_json::to_string(&document).expect("a document")
}

#[test]
fn the_demo_heads_come_back_as_they_are() {
    for (head, by) in examples::HEADS {
        let profile = profile(by.text);
        let request = request(head.text, &profile);
        let written = write(std::slice::from_ref(&request)).unwrap_or_else(|places| panic!("{places:?}"));
        let again = again(&written.text, &profile);
        assert_eq!(
            judged(&again[0].measurement_set, &profile),
            judged(&request.measurement_set, &profile),
            "{}",
            head.name
        );
        assert_eq!(again, [request], "{}", head.name);
    }
}

#[test]
fn several_heads_stand_in_one_file() {
    let profile = profile(examples::HEADS[0].1.text);
    let requests = examples::HEADS.map(|(head, _)| request(head.text, &profile));
    let written = write(&requests).unwrap_or_else(|places| panic!("{places:?}"));
    assert_eq!(again(&written.text, &profile), requests);
    let found: Vec<Head> = heads(written.text.as_bytes(), Given::Profile(&profile))
        .expect("bytes")
        .map(|head| head.expect("bytes"))
        .collect();
    let rows: Vec<String> = found.iter().map(|head| head.rows.to_string()).collect();
    assert_eq!(rows, ["rows 2 to 17", "rows 18 to 25", "rows 26 to 31"]);
    assert_eq!(found[1].serial.as_ref(), Some(&requests[1].measurement_set.head.serial));
    assert_eq!(found[1].client_reference, requests[1].client_reference);
}

/// Every member of a set has a column, but for what is said of a single height of the deck; and a
/// cylinder of which there is no port has no row.
#[test]
fn what_has_no_column_is_named() {
    let profile = profile(examples::HEADS[0].1.text);
    let mut request = request(EVERY_FIELD, &profile);
    let point = "0: /measurement_set/deck/heights/points/2/z";
    let chamber = "0: /measurement_set/chambers";
    let expected = [
        format!("{point}/instrument"),
        format!("{point}/value"),
        format!("{chamber}/0"),
        format!("{chamber}/1"),
    ];
    assert_eq!(write(std::slice::from_ref(&request)), Err(expected.to_vec()));
    let set = &mut request.measurement_set;
    set.chambers.truncate(1);
    set.chambers[0].cylinder = set.ports[0].cylinder;
    let heights =
        request.measurement_set.deck.as_mut().and_then(|deck| deck.heights.as_mut()).expect("heights");
    heights.points.retain(|point| matches!(point.z, headproof_wire::Reading::Plain(_)));
    let fourth = heights.points[0].clone();
    heights.points.resize(4, fourth);
    let written = write(std::slice::from_ref(&request)).unwrap_or_else(|places| panic!("{places:?}"));
    assert!(written.columns.len() > 200 && written.columns.len() < columns().len());
    assert_eq!(again(&written.text, &profile), [request]);
}
