//! Every fixed form that the documents have is taken apart, and comes together again.

use headproof_head::{
    Cause, CauseOf, CharacteristicId, Edge, Finding, FindingCode, MissingCause, Place, PortId, Position,
    Reason, Row, Service, Severity, Subject,
};
use headproof_texts::{Language, Say};
use headproof_wire::{At, Evaluation, evaluation_document, examples, measurement_set, read, target_profile};

use super::*;

const PORT: PortId = PortId { cylinder: 12, service: Service::Exhaust, index: 2 };
const INTAKE: PortId = PortId { cylinder: 1, service: Service::Intake, index: 1 };

/// Every kind of place; a new one has to be named here, because the match below asks for it.
fn places() -> Vec<Place> {
    let edges = [Edge::SeatOuter, Edge::SeatInner, Edge::FaceOuter, Edge::FaceInner, Edge::Everywhere];
    let heights = [Position::Top, Position::Middle, Position::Bottom];
    let mut places = vec![
        Place::Whole,
        Place::Around { position: 3, of: 8 },
        Place::Spring(1),
        Place::Entry(200),
        Place::Height(5),
        Place::Toward(125),
        Place::Toward(0),
        Place::Port(PORT),
        Place::Port(INTAKE),
    ];
    places.extend(heights.map(Place::Level));
    places.extend(heights.map(|position| Place::Along { position, axis: 2 }));
    places.extend(edges.map(Place::Touching));
    for place in &places {
        match place {
            Place::Whole
            | Place::Around { .. }
            | Place::Along { .. }
            | Place::Spring(_)
            | Place::Entry(_)
            | Place::Level(_)
            | Place::Height(_)
            | Place::Toward(_)
            | Place::Touching(_)
            | Place::Port(_) => {}
        }
    }
    places
}

const CODES: [FindingCode; 16] = [
    FindingCode::PortMissing,
    FindingCode::ChamberMissing,
    FindingCode::NegativeClearance,
    FindingCode::ContactOutsideFace,
    FindingCode::SeatDiametersCrossed,
    FindingCode::DecayRose,
    FindingCode::VacuumTooDeep,
    FindingCode::ValveTagRepeated,
    FindingCode::CalibrationOverdue,
    FindingCode::UncertaintyBelowResolution,
    FindingCode::UnitDoubtful,
    FindingCode::BoreAndStemSwapped,
    FindingCode::ReadingsPasted,
    FindingCode::ReadingsContradict,
    FindingCode::TemperatureOff,
    FindingCode::TemperatureDrift,
];

fn reasons() -> [Reason; 13] {
    let why = Box::new(headproof_head::Phrase::plain("sum-no-load"));
    [
        Reason::Inside,
        Reason::AboveUpper,
        Reason::BelowLower,
        Reason::InOrder,
        Reason::NotInOrder,
        Reason::GuardBand,
        Reason::GaugeTooCoarse,
        Reason::UncertaintyUnknown,
        Reason::NoLimit,
        Reason::Missing(MissingCause::Absent("absent-lift")),
        Reason::Missing(MissingCause::PortAbsent),
        Reason::Missing(MissingCause::NotComputable(why)),
        Reason::Missing(MissingCause::Blocked(FindingCode::DecayRose)),
    ]
}

/// A demo head whose rows of the head stand at every place or have every reason, with every finding and with
/// causes of every subject, as its document.
fn document() -> Evaluation {
    let (set, profile) = examples::HEADS[0];
    let set = measurement_set(&read(set.text.as_bytes()).expect("a demo set"), &At::Root).expect("good");
    let profile = read(profile.text.as_bytes()).expect("a demo profile");
    let profile = target_profile(&profile, &At::Root).expect("good");
    let mut judged = headproof_judge::evaluate(&set, &profile);
    let row = judged.head[0].clone();
    judged.head = places().into_iter().map(|place| Row { place, ..row.clone() }).collect();
    judged.head.extend(reasons().map(|reason| Row { reason, place: Place::Whole, ..row.clone() }));
    let finding = |code| Finding {
        code,
        severity: Severity::Blocking,
        at: Vec::new(),
        says: headproof_head::Phrase::plain("found-inches-as-millimetres"),
        touches: Vec::new(),
    };
    judged.findings = CODES.map(finding).into();
    let cause = |subject| Cause {
        disposition: judged.disposition,
        subject,
        what: CauseOf::Row { characteristic: CharacteristicId::new("lash"), reason: Reason::AboveUpper },
    };
    judged.causes = [Subject::Head, Subject::Cylinder(12), Subject::Port(PORT)].map(cause).into();
    evaluation_document(&judged, &set, &profile)
}

fn english() -> Say {
    Say::of(Language::English)
}

fn german() -> Say {
    Say::of(Language::German)
}

#[test]
fn every_place_and_subject_of_a_document_is_said_in_every_language() {
    let document = document();
    let places = document.head.iter().filter_map(|row| row.place.as_deref());
    let subjects = document.reasons.iter().map(|reason| reason.subject.as_str());
    let texts: Vec<&str> = places.chain(subjects).collect();
    assert_eq!(texts.len(), 22);
    for text in texts {
        assert_eq!(place(text, english()), text);
        assert_ne!(place(text, german()), text);
    }
}

#[test]
fn places_are_said_in_german() {
    for (text, said) in [
        ("position 3 of 8", "Stelle 3 von 8"),
        ("top, axis 2", "oben, Achse 2"),
        ("towards 12.5°", "Richtung 12,5°"),
        ("near deck point 5", "nahe Messpunkt 5"),
        ("cylinder 2 exhaust 1", "Zylinder 2, Auslass 1"),
        ("first at seat outer edge", "zuerst außen am Sitz"),
        ("head", "Kopf"),
    ] {
        assert_eq!(place(text, german()), said);
    }
}

#[test]
fn any_other_text_stays_as_it_is() {
    for text in
        ["", "position 3", "somewhere of 8", "cylinder two", "left, axis 2", "towards north", "spring -1"]
    {
        assert_eq!(place(text, german()), text);
    }
}

#[test]
fn every_code_of_a_document_has_a_title_in_german() {
    let document = document();
    for finding in &document.findings {
        assert_ne!(finding_title(&finding.code, german()), german().title(&finding.code));
        assert_eq!(finding_title(&finding.code, english()), english().title(&finding.code));
    }
    for row in &document.head[places().len()..] {
        assert_ne!(reason_title(&row.reason, german()), german().title(&row.reason));
        assert_eq!(reason_title(&row.reason, english()), english().title(&row.reason));
    }
    assert_eq!(finding_title("made-up-since", german()), "Made up since");
}

#[test]
fn a_sentence_without_a_phrase_stays_as_it_is() {
    let document = document();
    let reason = &document.reasons[0];
    assert_eq!(said(&reason.text, reason.says.as_ref(), german()), "Ventilspiel: über der oberen Grenze");
    assert_eq!(said(&reason.text, reason.says.as_ref(), english()), "Valve lash is above its upper limit");
    assert_eq!(said(&reason.text, None, german()), reason.text);
}

#[test]
fn what_this_edition_has_no_message_for_stays_as_it_was_written() {
    let say = Say::of(Language::German);
    let known = Phrase { id: "verdict-conforms".into(), values: [].into() };
    let unknown = Phrase { id: "of-another-edition".into(), values: [].into() };
    assert_eq!(said("conforms", Some(&known), say), "konform");
    assert_eq!(said("as written", Some(&unknown), say), "as written");
    let wants_more = Phrase { id: "several-times".into(), values: [].into() };
    assert_eq!(said("as written", Some(&wants_more), say), "as written");
    let inside = Phrase {
        id: "several-times".into(),
        values: [
            ("what".into(), headproof_wire::PhraseValue::Phrase(unknown)),
            ("count".into(), headproof_wire::PhraseValue::Count(2)),
        ]
        .into(),
    };
    assert_eq!(said("as written (2)", Some(&inside), say), "as written (2)");
}
