//! Certificates that are issued here.

use headproof_seal::{Certificate, Error, Identity};
use time::Duration;
use time::macros::datetime;

use crate::bench::{NOON, identities};

#[test]
fn an_authority_is_one_for_twenty_years() {
    let (authority, _) = identities();
    let certificate = authority.certificate();
    assert!(certificate.is_authority() && !certificate.is_for_signatures());
    assert!(certificate.verify_issued_by(certificate).is_ok());
    assert_eq!(certificate.not_before(), NOON - Duration::minutes(5));
    assert_eq!(certificate.not_after(), datetime!(2046-03-01 12:00 UTC));
    assert!(
        certificate.is_valid_at(certificate.not_after()) && !certificate.is_valid_at(NOON - Duration::HOUR)
    );
    assert_eq!(certificate.fingerprint(), headproof_seal::digest(certificate.der()));
}

#[test]
fn a_person_is_below_it_and_nobody_elses() {
    let (authority, person) = identities();
    let certificate = person.certificate();
    assert!(certificate.is_for_signatures() && !certificate.is_authority());
    assert!(certificate.verify_issued_by(authority.certificate()).is_ok());
    assert!(authority.certificate().verify_issued_by(certificate).is_err());
    assert!(certificate.verify_issued_by(identities().0.certificate()).is_err(), "a namesake");
    assert_eq!(certificate.common_name().unwrap(), "Zoë Ångström");
    assert_eq!(certificate.title().unwrap(), "Inspector");
    assert_eq!(certificate.not_after(), NOON + Duration::days(3652));
    assert_eq!(person.chain().count(), 2);
}

#[test]
fn no_certificate_outlives_its_authority() {
    let (authority, _) = identities();
    let late = datetime!(2044-01-01 00:00 UTC);
    let person = authority.issue("検査員", "", "Kopf", late).unwrap();
    assert_eq!(person.certificate().not_after(), authority.certificate().not_after());
    assert_eq!(
        (person.certificate().title(), person.certificate().common_name().unwrap()),
        (None, "検査員".into())
    );
    let later = authority.issue("A", "", "B", datetime!(2047-01-01 00:00 UTC));
    assert_eq!(later.unwrap_err(), Error::Authority("not valid at this time"));
}

#[test]
fn times_beyond_2049_are_read_as_they_were_meant() {
    let at = datetime!(2035-06-01 00:00 UTC);
    let authority = Identity::new_authority("Kopf", at).unwrap();
    assert_eq!(authority.certificate().not_after(), at + Duration::days(7305));
    assert_eq!(authority.certificate().not_after().year(), 2055);
}

#[test]
fn a_certificate_is_read_whole_or_not_at_all() {
    let (authority, _) = identities();
    let der = authority.certificate().der();
    assert!(Certificate::from_der(der).unwrap() == *authority.certificate());
    assert!(authority.certificate().to_pem().starts_with("-----BEGIN CERTIFICATE-----\nMII"));
    for length in 0..der.len() {
        assert!(Certificate::from_der(&der[..length]).is_err());
    }
    assert!(Certificate::from_der(&[der, &[0]].concat()).is_err());
    for place in 0..der.len() {
        let mut other = der.to_vec();
        other[place] ^= 1;
        let issued = Certificate::from_der(&other).is_ok_and(|one| one.verify_issued_by(&one).is_ok());
        assert!(!issued, "byte {place}");
    }
}
