use time::OffsetDateTime;
use time::macros::datetime;

use super::*;
use crate::{Certificate, Integrity, Trust, inspect_pdf};

/// What the authority of the timestamp was asked with.
const NONCE: [u8; 8] = *b"\0headpro";
/// What it answered: see the files of the tests.
const RESPONSE: &[u8] = include_bytes!("../../../tests/seal/data/response.tsr");
const IDENTITY: &[u8] = include_bytes!("../../../tests/seal/data/ec.pem");
const ROOT: &[u8] = include_bytes!("../../../tests/seal/data/root.pem");

fn file(identity: &Identity) -> PdfToSign {
    let zeros = "0".repeat(2 * room_for(identity, true));
    let ranges = "/ByteRange[0 0000000000 0000000000 0000000000]";
    PdfToSign::new(format!("1 0 obj\n<<{ranges}/Contents<{zeros}>>>\nendobj\n").into_bytes()).unwrap()
}

fn root() -> Certificate {
    let (_, der) = der::pem::decode_vec(ROOT).unwrap();
    Certificate::from_der(&der).unwrap()
}

/// The signature that the answer is for; the same each time, but for the nonce.
fn signature(nonce: [u8; 8]) -> (PdfToSign, Signature) {
    let identity = Identity::bring(IDENTITY, None).unwrap();
    let file = file(&identity);
    let signature = Signature { nonce, ..file.sign(&identity).unwrap() };
    (file, signature)
}

#[test]
fn a_timestamp_comes_into_the_file_and_is_read_there() {
    let (file, signature) = signature(NONCE);
    let signed = file.finish(signature.with_timestamp(RESPONSE).unwrap().0).unwrap();
    let seen = inspect_pdf(&signed).unwrap();
    assert_eq!(seen.integrity(), &Integrity::Intact);
    let timestamp = seen.timestamp().unwrap();
    assert_eq!(timestamp.authority().common_name().unwrap(), "Clock ec");
    assert_eq!(timestamp.time().year(), 2026);
    assert!(timestamp.trusted_by(&[root()]).is_trusted());
    assert!(!timestamp.trusted_by(&[]).is_trusted());
    assert!(seen.trusted_by(&[root()], timestamp.time()).is_trusted());
}

#[test]
fn an_answer_to_another_request_is_refused() {
    let (_, asked_otherwise) = signature(*b"\0headpru");
    let why = |error: Error| error.to_string();
    let error = asked_otherwise.with_timestamp(RESPONSE).map(|_| ()).map_err(why);
    assert_eq!(error, Err("timestamp: it is the answer to another request".to_owned()));
    let at = datetime!(2026-03-01 12:00 UTC);
    let (_, signer) = identities(at);
    let other = Signature { nonce: NONCE, ..file(&signer).sign(&signer).unwrap() };
    let error = other.with_timestamp(RESPONSE).map(|_| ()).map_err(why);
    assert_eq!(error, Err("timestamp: it is for another signature".to_owned()));
}

#[test]
fn no_damage_of_an_answer_makes_it_a_timestamp_of_another_time() {
    let (_, signature) = signature(NONCE);
    for length in (0..RESPONSE.len()).step_by(7) {
        assert!(signature.clone().with_timestamp(&RESPONSE[..length]).is_err(), "{length} bytes");
    }
    let told = |response: &[u8]| {
        let token = timestamp::token_of_response(response).ok()?;
        Some(Timestamp::verify(&token, signature.draft.value()).ok()?.time())
    };
    let time = told(RESPONSE).unwrap();
    for place in (0..RESPONSE.len()).step_by(3) {
        let mut other = RESPONSE.to_vec();
        other[place] ^= 1;
        assert!(told(&other).is_none_or(|told| told == time), "byte {place}");
    }
}

#[test]
fn a_timestamp_of_another_signature_makes_a_file_altered() {
    let (with, signature) = signature(NONCE);
    let with = with.finish(signature.with_timestamp(RESPONSE).unwrap().0).unwrap();
    let der = super::super::locate::locate(&with).unwrap().unwrap().der;
    let token = crate::cms::Message::from_der(&der).unwrap().timestamp().unwrap().unwrap();
    let (_, signer) = identities(datetime!(2026-03-01 12:00 UTC));
    let file = file(&signer);
    let mut signature = file.sign(&signer).unwrap();
    signature.draft.add_timestamp(token).unwrap();
    let seen = inspect_pdf(&file.finish(signature).unwrap()).unwrap();
    assert_eq!(seen.integrity(), &Integrity::Altered("the timestamp is not one of this signature"));
    assert!(seen.timestamp().is_none());
}

#[test]
fn a_signature_with_a_certificate_for_something_else_is_not_accepted() {
    let at = datetime!(2026-03-01 12:00 UTC);
    let (authority, _) = identities(at);
    let file = file(&authority);
    let end = file.place.contents.end;
    let digest = Hash::Sha256.of(&[&file.file[..file.place.contents.start], &file.file[end..]]);
    let draft = Draft::sign(&digest, &authority).unwrap();
    let seen = inspect_pdf(&file.finish(Signature { draft, nonce: NONCE }).unwrap()).unwrap();
    let why = Integrity::Altered("the certificate of the signer is not for signatures");
    assert_eq!(seen.integrity(), &why);
    let trust = seen.trusted_by(&[authority.certificate().clone()], at);
    assert_eq!(trust, Trust::Untrusted("the file is altered"));
}

fn identities(at: OffsetDateTime) -> (Identity, Identity) {
    let authority = Identity::new_authority("Kopf", at).unwrap();
    let person = authority.issue("A", "", "Kopf", at).unwrap();
    (authority, person)
}
