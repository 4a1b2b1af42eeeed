//! Whom a signature leads to.

use headproof_seal::{Certificate, Identity, Trust, inspect_pdf};
use time::macros::datetime;
use time::{Duration, OffsetDateTime};

use crate::bench::{data, signed};

const AT: OffsetDateTime = datetime!(2027-01-01 00:00 UTC);

#[track_caller]
fn trust(file: &str, anchor: &Certificate, at: OffsetDateTime) -> Trust {
    let identity = Identity::bring(&data(file), None).expect("an identity");
    inspect_pdf(&signed(&identity)).expect("a signature").trusted_by(std::slice::from_ref(anchor), at)
}

/// The certificate of the person, the one above it, and the root.
fn chain() -> Vec<Certificate> {
    Identity::bring(&data("ec.pem"), None).expect("an identity").chain().cloned().collect()
}

#[test]
fn every_certificate_of_the_chain_may_be_the_one_that_is_trusted() {
    for anchor in chain() {
        assert_eq!(trust("ec.pem", &anchor, AT), Trust::Trusted(Box::new(anchor)));
    }
}

#[test]
fn a_certificate_that_no_authority_issued_is_not_trusted() {
    let why = Trust::Untrusted("its issuer may not issue it");
    for anchor in chain() {
        assert_eq!(trust("false.pem", &anchor, AT), why, "{anchor:?}");
    }
}

#[test]
fn all_certificates_are_valid_at_the_time() {
    let chain = chain();
    let root = chain.last().unwrap();
    let late = chain[0].not_after() + Duration::SECOND;
    let why = Trust::Untrusted("a certificate is not valid at the time");
    assert!(trust("ec.pem", root, chain[0].not_after()).is_trusted());
    assert_eq!(trust("ec.pem", root, late), why);
    assert_eq!(trust("ec.pem", root, chain[0].not_before() - Duration::SECOND), why);
}

#[test]
fn a_namesake_of_the_issuer_is_not_the_issuer() {
    let chain = chain();
    let mut der = chain[1].der().to_vec();
    // The last byte of its signature: another certificate, which is trusted itself.
    *der.last_mut().unwrap() ^= 1;
    let namesake = Certificate::from_der(&der).unwrap();
    assert!(trust("ec.pem", &namesake, AT).is_trusted(), "its key is the same");
    let stranger = Identity::new_authority("Kopf GmbH", AT).unwrap();
    assert!(!trust("ec.pem", stranger.certificate(), AT).is_trusted());
}
