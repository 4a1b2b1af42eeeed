//! Private keys.

use std::fmt;

use const_oid::db::rfc5912;
use der::Decode;
use der::asn1::Any;
use p256::ecdsa::SigningKey;
use p256::ecdsa::signature::Signer;
use pkcs8::{DecodePrivateKey, EncodePrivateKey, EncodePublicKey, SecretDocument};
use rsa::traits::PublicKeyParts;
use sha2::Sha256;
use x509_cert::spki::{AlgorithmIdentifierOwned, SubjectPublicKeyInfoOwned};
use zeroize::Zeroizing;

use crate::algorithm::LEAST_RSA_BITS;
use crate::{Error, Result};

/// The greatest modulus of an RSA key, in bits: a signature with it takes some milliseconds.
const GREATEST_RSA_BITS: u32 = 4096;

/// A private key; both kinds are overwritten when they are dropped.
#[derive(Clone)]
pub(crate) enum Key {
    P256(SigningKey),
    Rsa(Box<rsa::PrivateKey>),
}

impl Key {
    /// A new P-256 key.
    ///
    /// # Errors
    /// [`Error::Random`].
    pub(crate) fn generate() -> Result<Self> {
        let mut bytes = Zeroizing::new([0; 32]);
        // Once in 2³² the bytes are none of the numbers of the group (FIPS 186-5, A.2.2).
        for _ in 0..8 {
            getrandom::fill(bytes.as_mut_slice()).map_err(|_| Error::Random)?;
            if let Ok(key) = SigningKey::from_slice(bytes.as_slice()) {
                return Ok(Self::P256(key));
            }
        }
        Err(Error::Random)
    }

    /// A key as PKCS#8 (RFC 5958).
    ///
    /// # Errors
    /// [`Error::Key`] for a key of another kind or size.
    pub(crate) fn from_pkcs8(der: &[u8]) -> Result<Self> {
        if let Ok(key) = SigningKey::from_pkcs8_der(der) {
            return Ok(Self::P256(key));
        }
        let key = rsa::PrivateKey::from_pkcs8_der(der)
            .map_err(|_| Error::Key("neither P-256 nor RSA as PKCS#8".to_owned()))?;
        let bits = key.as_public_key().n().bit_width_vartime();
        if !(LEAST_RSA_BITS..=GREATEST_RSA_BITS).contains(&bits) {
            let wanted = format!("RSA of {bits} bits; {LEAST_RSA_BITS} to {GREATEST_RSA_BITS} are accepted");
            return Err(Error::Key(wanted));
        }
        Ok(Self::Rsa(Box::new(key)))
    }

    /// The key as PKCS#8.
    ///
    /// # Errors
    /// [`Error::Key`], a fault of the program.
    pub(crate) fn to_pkcs8(&self) -> Result<SecretDocument> {
        match self {
            Self::P256(key) => key.to_pkcs8_der(),
            Self::Rsa(key) => key.to_pkcs8_der(),
        }
        .map_err(|error| Error::Key(error.to_string()))
    }

    /// The public key.
    ///
    /// # Errors
    /// [`Error::Key`], a fault of the program.
    pub(crate) fn public(&self) -> Result<SubjectPublicKeyInfoOwned> {
        let document = match self {
            Self::P256(key) => key.verifying_key().to_public_key_der(),
            Self::Rsa(key) => key.as_public_key().to_public_key_der(),
        };
        let document = document.map_err(|error| Error::Key(error.to_string()))?;
        Ok(SubjectPublicKeyInfoOwned::from_der(document.as_bytes())?)
    }

    /// A signature with SHA-256; the same key and message give the same one: ECDSA by RFC 6979, or
    /// RSASSA-PKCS1-v1_5.
    ///
    /// # Errors
    /// [`Error::Key`], such as for an RSA key whose parts do not belong together.
    pub(crate) fn sign(&self, message: &[u8]) -> Result<Vec<u8>> {
        match self {
            Self::P256(key) => {
                let signature: Option<p256::ecdsa::Signature> = key.try_sign(message).ok();
                signature.map(|signature| signature.to_der().as_bytes().to_vec())
            }
            Self::Rsa(key) => key.pkcs1v15_sign::<Sha256>(message).ok(),
        }
        .ok_or_else(|| Error::Key("it does not sign".to_owned()))
    }

    /// What [`Self::sign`] does, as an identifier: RFC 5758, 3.2, and RFC 4055, 5.
    pub(crate) fn algorithm(&self) -> AlgorithmIdentifierOwned {
        match self {
            Self::P256(_) => AlgorithmIdentifierOwned { oid: rfc5912::ECDSA_WITH_SHA_256, parameters: None },
            Self::Rsa(_) => AlgorithmIdentifierOwned {
                oid: rfc5912::SHA_256_WITH_RSA_ENCRYPTION,
                parameters: Some(Any::null()),
            },
        }
    }

    /// The most bytes of a signature.
    pub(crate) fn signature_room(&self) -> usize {
        match self {
            // Two numbers of 32 bytes, each with a sign, in a sequence.
            Self::P256(_) => 72,
            Self::Rsa(key) => key.size(),
        }
    }
}

impl fmt::Debug for Key {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::P256(_) => "P256(..)",
            Self::Rsa(_) => "Rsa(..)",
        })
    }
}
