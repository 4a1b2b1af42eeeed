use const_oid::db::{rfc5911, rfc5912};
use der::asn1::OctetString;
use der::{Decode, Encode};
use time::macros::datetime;
use x509_cert::spki::AlgorithmIdentifierOwned;

use super::structure::{CONTENT_TYPE, DATA, Envelope, MESSAGE_DIGEST, SIGNED_DATA, SignedData, Signer};
use super::verify::Verdict;
use super::{Draft, Message};
use crate::Identity;
use crate::algorithm::Hash;
use crate::asn1::{Elements, attribute};

const CONTENT: &[u8] = b"what is signed";

fn person() -> Identity {
    let at = datetime!(2026-03-01 12:00 UTC);
    Identity::new_authority("Kopf", at).unwrap().issue("A", "", "Kopf", at).unwrap()
}

fn judge(der: &[u8]) -> Verdict<()> {
    Message::from_der(der)?.verify(DATA, &Hash::Sha256.of(&[CONTENT]))
}

/// A good message after it was changed.
fn changed(change: impl FnOnce(&mut SignedData, &mut Signer)) -> Verdict<()> {
    let draft = Draft::sign(&Hash::Sha256.of(&[CONTENT]), &person()).unwrap();
    let mut content = Envelope::from_der(&draft.to_der().unwrap()).unwrap().content;
    let mut signer = Signer::from_der(content.signers.single().unwrap()).unwrap();
    content.signers = Elements::default();
    change(&mut content, &mut signer);
    let mut signers: Vec<Vec<u8>> = content.signers.each().unwrap().into_iter().map(<[u8]>::to_vec).collect();
    signers.push(signer.to_der().unwrap());
    content.signers = Elements::new(signers);
    judge(&Envelope { kind: SIGNED_DATA, content }.to_der().unwrap())
}

/// A message whose signed attributes were chosen and then signed.
fn with_attributes(attributes: Vec<Vec<u8>>) -> Verdict<()> {
    let person = person();
    let draft = Draft::sign(&Hash::Sha256.of(&[CONTENT]), &person).unwrap();
    let mut content = Envelope::from_der(&draft.to_der().unwrap()).unwrap().content;
    let mut signer = Signer::from_der(content.signers.single().unwrap()).unwrap();
    let signed = Elements::new(attributes);
    signer.signature = OctetString::new(person.key().sign(&signed.to_der().unwrap()).unwrap()).unwrap();
    signer.signed = Some(signed);
    content.signers = Elements::new(vec![signer.to_der().unwrap()]);
    judge(&Envelope { kind: SIGNED_DATA, content }.to_der().unwrap())
}

#[test]
fn a_message_as_it_was_made_is_accepted() {
    assert_eq!(changed(|_, _| ()), Ok(()));
}

#[test]
fn a_message_has_one_signer() {
    let two = changed(|data, signer| {
        data.signers = {
            let mut other = signer.clone();
            other.unsigned = Some(Elements::default());
            Elements::new(vec![other.to_der().unwrap()])
        }
    });
    assert_eq!(two, Err("it has not one signer"));
}

#[test]
fn the_content_alone_is_not_enough_to_be_signed() {
    let unsigned = changed(|_, signer| signer.signed = None);
    assert_eq!(unsigned, Err("it has no signed attributes"));
}

#[test]
fn weak_and_contradicting_digests_are_refused() {
    let algorithm = |oid| AlgorithmIdentifierOwned { oid, parameters: None };
    for oid in [rfc5912::ID_SHA_1, rfc5912::ID_MD_5] {
        let weak = changed(|data, signer| {
            data.digest_algorithms = Elements::new(vec![algorithm(oid).to_der().unwrap()]);
            signer.digest_algorithm = algorithm(oid);
        });
        assert_eq!(weak, Err("its digest algorithm is not accepted"));
    }
    let other = changed(|data, _| {
        data.digest_algorithms = Elements::new(vec![algorithm(rfc5912::ID_SHA_512).to_der().unwrap()]);
    });
    assert_eq!(other, Err("its digest algorithms contradict each other"));
    let other = changed(|_, signer| signer.signature_algorithm = algorithm(rfc5912::ECDSA_WITH_SHA_384));
    assert_eq!(other, Err("its digest algorithms contradict each other"));
    let weak =
        changed(|_, signer| signer.signature_algorithm = algorithm(rfc5912::SHA_1_WITH_RSA_ENCRYPTION));
    assert_eq!(weak, Err("its algorithm is not accepted"));
    let other = changed(|_, signer| {
        signer.signature_algorithm = algorithm(rfc5912::SHA_256_WITH_RSA_ENCRYPTION);
    });
    assert_eq!(other, Err("its algorithm is not that of the key"));
}

#[test]
fn another_certificate_cannot_take_the_place_of_the_signer() {
    let other = person();
    let missing = changed(|data, _| {
        data.certificates = Some(Elements::new(vec![other.certificate().der().to_vec()]));
    });
    assert_eq!(missing, Err("the certificate of its signer is missing"));
    let more = changed(|data, _| {
        let certificates = data.certificates.clone().unwrap();
        let mut all: Vec<Vec<u8>> = certificates.each().unwrap().into_iter().map(<[u8]>::to_vec).collect();
        all.push(other.certificate().der().to_vec());
        data.certificates = Some(Elements::new(all));
    });
    assert_eq!(more, Err("it does not name the certificates that are in it"));
}

#[test]
fn the_signed_attributes_are_those_of_the_content() {
    let digest = OctetString::new(Hash::Sha256.of(&[CONTENT])).unwrap().to_der().unwrap();
    let digest = attribute(MESSAGE_DIGEST, digest).unwrap();
    let kind = attribute(CONTENT_TYPE, DATA.to_der().unwrap()).unwrap();
    let other = attribute(CONTENT_TYPE, rfc5911::ID_ENCRYPTED_DATA.to_der().unwrap()).unwrap();
    assert_eq!(with_attributes(vec![digest.clone()]), Err("its content type is missing"));
    assert_eq!(with_attributes(vec![digest.clone(), other]), Err("its content is of another type"));
    assert_eq!(with_attributes(vec![kind.clone()]), Err("its digest is missing"));
    let twice = vec![kind.clone(), digest.clone(), digest.clone()];
    assert_eq!(with_attributes(twice), Err("its digest is missing"));
    assert_eq!(with_attributes(vec![kind, digest]), Err("it does not name the certificates that are in it"));
}

#[test]
fn a_signature_of_another_value_does_not_verify() {
    let changed = changed(|_, signer| {
        let mut value = signer.signature.as_bytes().to_vec();
        *value.last_mut().unwrap() ^= 1;
        signer.signature = OctetString::new(value).unwrap();
    });
    assert_eq!(changed, Err("it does not verify"));
}
