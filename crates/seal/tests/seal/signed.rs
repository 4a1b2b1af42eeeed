//! A file that is signed and looked at again.

use headproof_seal::{Error, Integrity, PdfToSign, inspect_pdf, room_for};
use time::Duration;

use crate::bench::{NOON, identities, signed, unsigned};

#[test]
fn a_signed_file_is_intact_and_leads_to_its_authority() {
    let (authority, person) = identities();
    let file = signed(&person);
    let seen = inspect_pdf(&file).unwrap();
    assert_eq!(seen.integrity(), &Integrity::Intact);
    assert_eq!(seen.signer(), Some(person.certificate()));
    assert_eq!(seen.signer().unwrap().common_name().unwrap(), "Zoë Ångström");
    assert!(seen.timestamp().is_none());
    let anchors = [authority.certificate().clone()];
    assert!(seen.trusted_by(&anchors, NOON).is_trusted());
    assert!(
        seen.trusted_by(&[person.certificate().clone()], NOON).is_trusted(),
        "the signer itself is trusted"
    );
    assert!(!seen.trusted_by(&[], NOON).is_trusted());
    assert!(!seen.trusted_by(&anchors, NOON - Duration::HOUR).is_trusted(), "before it was issued");
    assert!(!seen.trusted_by(&anchors, NOON + Duration::days(3660)).is_trusted(), "after it ended");
    let (other, _) = identities();
    assert!(!seen.trusted_by(&[other.certificate().clone()], NOON).is_trusted(), "another of the same name");
}

#[test]
fn the_same_file_and_identity_give_the_same_signature() {
    let (_, person) = identities();
    assert!(signed(&person) == signed(&person));
}

#[test]
fn every_byte_of_a_file_counts() {
    let (_, person) = identities();
    let file = signed(&person);
    for place in 0..file.len() {
        for change in [0x01, 0x20] {
            let mut other = file.clone();
            other[place] ^= change;
            let seen = inspect_pdf(&other);
            let is_intact = seen.is_some_and(|seen| seen.is_intact());
            assert!(!is_intact, "byte {place} of {}, changed by {change}", file.len());
        }
    }
}

#[test]
fn what_is_missing_or_appended_is_found() {
    let (_, person) = identities();
    let file = signed(&person);
    for length in 0..file.len() {
        assert!(!inspect_pdf(&file[..length]).is_some_and(|seen| seen.is_intact()), "{length} bytes");
    }
    for more in ["\n", "%", "1 0 obj\n<<>>\nendobj\n"] {
        let seen = inspect_pdf(&[&file, more.as_bytes()].concat()).unwrap();
        assert_eq!(seen.integrity(), &Integrity::Altered("the signature does not cover the whole file"));
    }
}

#[test]
fn a_file_without_a_signature_has_none() {
    let (_, person) = identities();
    assert!(inspect_pdf(b"%PDF-1.7\n%%EOF\n").is_none());
    assert!(!inspect_pdf(&unsigned(64, 0)).unwrap().is_intact(), "a place that was not filled");
    let file = PdfToSign::new(unsigned(64, 0)).unwrap();
    let signature = file.sign(&person).unwrap();
    assert!(matches!(file.finish(signature), Err(Error::Room { room: 64, .. })));
}

#[test]
fn an_authority_does_not_sign_files_and_a_person_issues_no_certificates() {
    let (authority, person) = identities();
    let file = PdfToSign::new(unsigned(room_for(&authority, false), 0)).unwrap();
    assert!(matches!(file.sign(&authority), Err(Error::Certificate(_))));
    assert!(matches!(person.issue("A", "", "B", NOON), Err(Error::Authority(_))));
}

#[test]
fn the_room_is_enough_and_not_much_more() {
    let (_, person) = identities();
    let file = signed(&person);
    let zeros =
        file.windows(2).rev().skip_while(|pair| pair != b"0>").take_while(|pair| pair[0] == b'0').count();
    assert!((100..2000).contains(&zeros), "{zeros} digits are left");
    assert!(room_for(&person, false) < 2600, "{}", room_for(&person, false));
}
