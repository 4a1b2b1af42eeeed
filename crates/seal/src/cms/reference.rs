//! The attributes that name the certificate of a signer, so that it cannot be put in place of another with the
//! same key: RFC 5035, and RFC 2634 for older timestamps.

use der::asn1::OctetString;
use der::{Decode, Encode, Sequence};
use sha1::{Digest, Sha1};
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::algorithm::Hash;
use crate::asn1::sequence;
use crate::certificate::Certificate;

/// References to certificates at most; a chain has two to four.
const MOST_REFERENCES: usize = 16;

/// ESSCertIDv2 with the default digest algorithm and without issuer and serial number, which the digest makes
/// needless (ETSI EN 319 122-1, 5.2.2.3, from memory).
#[derive(Sequence)]
struct Reference {
    digest: OctetString,
}

/// SigningCertificateV2 of a chain of certificates.
///
/// All are named and not the first alone, so that none of them can be exchanged (RFC 5035, 4).
pub(super) fn write<'a>(chain: impl Iterator<Item = &'a Certificate>) -> der::Result<Vec<u8>> {
    let references: der::Result<Vec<_>> = chain
        .map(|certificate| {
            let digest = Hash::Sha256.of(&[certificate.der()]);
            Ok(Reference { digest: OctetString::new(digest)? })
        })
        .collect();
    // SigningCertificateV2 is a sequence of that sequence and optional policies.
    vec![references?].to_der()
}

/// Whether a SigningCertificateV2 names the certificate of the signer first, and among the others, if there are
/// any, every one of some more.
pub(super) fn names(value: &[u8], signer: &Certificate, others: &[Certificate]) -> bool {
    let Some(references) = references(value) else { return false };
    let Some((first, rest)) = references.split_first() else { return false };
    let is_named = |certificate: &Certificate| {
        references.iter().any(|reference| refers(reference, certificate) == Some(true))
    };
    refers(first, signer) == Some(true) && (rest.is_empty() || others.iter().all(is_named))
}

/// Whether a SigningCertificate of RFC 2634 names the certificate first. It knows SHA-1 alone, which still tells
/// a certificate from another that nobody could choose freely.
pub(super) fn names_by_sha_1(value: &[u8], signer: &Certificate) -> bool {
    let first = references(value).and_then(|references| references.first().copied());
    let digest = first.and_then(|first| sequence(first).ok()?.first().copied());
    let digest = digest.and_then(|digest| OctetString::from_der(digest).ok());
    digest.is_some_and(|digest| digest.as_bytes() == Sha1::digest(signer.der()).as_slice())
}

fn references(value: &[u8]) -> Option<Vec<&[u8]>> {
    let all = sequence(sequence(value).ok()?.first()?).ok()?;
    // Each takes a digest of a certificate, before anything is known of who wrote them.
    (all.len() <= MOST_REFERENCES).then_some(all)
}

/// Whether an ESSCertIDv2 refers to a certificate; `None` when it cannot be read.
fn refers(reference: &[u8], certificate: &Certificate) -> Option<bool> {
    let parts = sequence(reference).ok()?;
    let (hash, digest) = match parts.as_slice() {
        [algorithm, digest, ..] if algorithm.first() == Some(&0x30) => {
            (Hash::named(&AlgorithmIdentifierOwned::from_der(algorithm).ok()?)?, digest)
        }
        [digest, ..] => (Hash::Sha256, digest),
        [] => return None,
    };
    Some(OctetString::from_der(digest).ok()?.as_bytes() == hash.of(&[certificate.der()]))
}
