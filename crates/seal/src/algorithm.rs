//! Signature algorithms that are accepted, and the verification of a signature.

use const_oid::db::rfc5912;
use der::Encode;
use der::asn1::ObjectIdentifier;
use p256::ecdsa::signature::hazmat::PrehashVerifier;
use pkcs8::DecodePublicKey;
use rsa::traits::PublicKeyParts;
use sha2::{Digest, Sha256, Sha384, Sha512};
use x509_cert::spki::{AlgorithmIdentifierOwned, SubjectPublicKeyInfoOwned};

/// The least modulus of an RSA key that is accepted, in bits.
pub(crate) const LEAST_RSA_BITS: u32 = 2048;

/// A digest algorithm that is accepted (FIPS 180-4). MD5 and SHA-1 are not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hash {
    Sha256,
    Sha384,
    Sha512,
}

impl Hash {
    /// The algorithm that an identifier names.
    pub(crate) fn named(algorithm: &AlgorithmIdentifierOwned) -> Option<Self> {
        // RFC 5754, 2: without parameters, or with NULL.
        if algorithm.parameters.as_ref().is_some_and(|parameters| !parameters.is_null()) {
            return None;
        }
        match algorithm.oid {
            rfc5912::ID_SHA_256 => Some(Self::Sha256),
            rfc5912::ID_SHA_384 => Some(Self::Sha384),
            rfc5912::ID_SHA_512 => Some(Self::Sha512),
            _ => None,
        }
    }

    /// The digest of some bytes, one after the other.
    pub(crate) fn of(self, parts: &[&[u8]]) -> Vec<u8> {
        fn of<D: Digest>(parts: &[&[u8]]) -> Vec<u8> {
            let mut digest = D::new();
            parts.iter().for_each(|part| digest.update(part));
            digest.finalize().to_vec()
        }
        match self {
            Self::Sha256 => of::<Sha256>(parts),
            Self::Sha384 => of::<Sha384>(parts),
            Self::Sha512 => of::<Sha512>(parts),
        }
    }
}

/// SHA-256 as an identifier, without parameters (RFC 5754, 2.2).
pub(crate) fn sha_256() -> AlgorithmIdentifierOwned {
    AlgorithmIdentifierOwned { oid: rfc5912::ID_SHA_256, parameters: None }
}

/// Verifies a signature; the error says why it is none.
///
/// `digest` is the digest algorithm where it is told beside the signature algorithm, as in CMS; the two must
/// agree. ECDSA with P-256 and P-384 (FIPS 186-5, 6) and RSASSA-PKCS1-v1_5 (RFC 8017, 8.2) are known.
pub(crate) fn verify(
    key: &SubjectPublicKeyInfoOwned,
    algorithm: &AlgorithmIdentifierOwned,
    digest: Option<Hash>,
    message: &[u8],
    signature: &[u8],
) -> Result<(), &'static str> {
    let (is_rsa, hash) = match algorithm.oid {
        rfc5912::ECDSA_WITH_SHA_256 => (false, Some(Hash::Sha256)),
        rfc5912::ECDSA_WITH_SHA_384 => (false, Some(Hash::Sha384)),
        rfc5912::ECDSA_WITH_SHA_512 => (false, Some(Hash::Sha512)),
        rfc5912::SHA_256_WITH_RSA_ENCRYPTION => (true, Some(Hash::Sha256)),
        rfc5912::SHA_384_WITH_RSA_ENCRYPTION => (true, Some(Hash::Sha384)),
        rfc5912::SHA_512_WITH_RSA_ENCRYPTION => (true, Some(Hash::Sha512)),
        // CMS lets the digest algorithm be told beside it alone (RFC 3370, 3.2).
        rfc5912::RSA_ENCRYPTION => (true, digest),
        _ => return Err("its algorithm is not accepted"),
    };
    let hash = hash.ok_or("its digest algorithm is not accepted")?;
    if digest.is_some_and(|digest| digest != hash) {
        return Err("its digest algorithms contradict each other");
    }
    let digest = hash.of(&[message]);
    let verified = match (is_rsa, key.algorithm.oid) {
        (true, rfc5912::RSA_ENCRYPTION) => verify_rsa(key, hash, &digest, signature),
        (false, rfc5912::ID_EC_PUBLIC_KEY) => verify_ecdsa(key, &digest, signature),
        _ => return Err("its algorithm is not that of the key"),
    };
    verified.ok_or("it does not verify")
}

fn verify_ecdsa(key: &SubjectPublicKeyInfoOwned, digest: &[u8], signature: &[u8]) -> Option<()> {
    let curve: ObjectIdentifier = key.algorithm.parameters.as_ref()?.decode_as().ok()?;
    let point = key.subject_public_key.as_bytes()?;
    match curve {
        rfc5912::SECP_256_R_1 => {
            let key = p256::ecdsa::VerifyingKey::from_sec1_bytes(point).ok()?;
            key.verify_prehash(digest, &p256::ecdsa::Signature::from_der(signature).ok()?).ok()
        }
        rfc5912::SECP_384_R_1 => {
            let key = p384::ecdsa::VerifyingKey::from_sec1_bytes(point).ok()?;
            key.verify_prehash(digest, &p384::ecdsa::Signature::from_der(signature).ok()?).ok()
        }
        _ => None,
    }
}

fn verify_rsa(key: &SubjectPublicKeyInfoOwned, hash: Hash, digest: &[u8], signature: &[u8]) -> Option<()> {
    let key = rsa::PublicKey::from_public_key_der(&key.to_der().ok()?).ok()?;
    if key.n_bits_precision() < LEAST_RSA_BITS {
        return None;
    }
    match hash {
        Hash::Sha256 => key.pkcs1v15_verify_prehash::<Sha256>(digest, signature),
        Hash::Sha384 => key.pkcs1v15_verify_prehash::<Sha384>(digest, signature),
        Hash::Sha512 => key.pkcs1v15_verify_prehash::<Sha512>(digest, signature),
    }
    .ok()
}
