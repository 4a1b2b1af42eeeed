//! The signatures of tokens (RFC 7518, 3), checked by the library that checks those of TLS: jsonwebtoken leaves open which
//! one does, and its own choice would bring each algorithm a second time.

use std::sync::Once;

use jsonwebtoken::crypto::{CryptoProvider, JwtVerifier, KeyUtils};
use jsonwebtoken::errors::{Error, ErrorKind};
use jsonwebtoken::{Algorithm, AlgorithmFamily, DecodingKey, DecodingKeyKind};
use ring::signature::{
    ECDSA_P256_SHA256_FIXED, ED25519, RSA_PKCS1_2048_8192_SHA256, RSA_PSS_2048_8192_SHA256, RsaParameters,
    RsaPublicKeyComponents, UnparsedPublicKey, VerificationAlgorithm,
};
use signature::Verifier;

static PROVIDER: CryptoProvider = CryptoProvider {
    signer_factory: |_, _| Err(ErrorKind::InvalidAlgorithm.into()),
    verifier_factory: verifier,
    key_utils: KeyUtils::new_unimplemented(),
};

/// Has tokens of this process checked here; once is enough, and more do no harm.
pub(super) fn install() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let _ = PROVIDER.install_default();
    });
}

/// A key that checks by one algorithm.
struct Checked {
    algorithm: Algorithm,
    key: DecodingKey,
}

fn verifier(algorithm: &Algorithm, key: &DecodingKey) -> Result<Box<dyn JwtVerifier>, Error> {
    let family = match algorithm {
        Algorithm::ES256 => AlgorithmFamily::Ec,
        Algorithm::RS256 | Algorithm::PS256 => AlgorithmFamily::Rsa,
        Algorithm::EdDSA => AlgorithmFamily::Ed,
        _ => return Err(ErrorKind::InvalidAlgorithm.into()),
    };
    if key.family() != family {
        return Err(ErrorKind::InvalidKeyFormat.into());
    }
    Ok(Box::new(Checked { algorithm: *algorithm, key: key.clone() }))
}

impl Verifier<Vec<u8>> for Checked {
    fn verify(&self, message: &[u8], signature: &Vec<u8>) -> Result<(), signature::Error> {
        let rsa = |parameters: &RsaParameters| match self.key.kind() {
            DecodingKeyKind::RsaModulusExponent { n, e } => {
                RsaPublicKeyComponents { n, e }.verify(parameters, message, signature)
            }
            DecodingKeyKind::SecretOrDer(_) => Err(ring::error::Unspecified),
        };
        let plain = |by: &'static dyn VerificationAlgorithm| match self.key.kind() {
            DecodingKeyKind::SecretOrDer(key) => UnparsedPublicKey::new(by, key).verify(message, signature),
            DecodingKeyKind::RsaModulusExponent { .. } => Err(ring::error::Unspecified),
        };
        let outcome = match self.algorithm {
            Algorithm::ES256 => plain(&ECDSA_P256_SHA256_FIXED),
            Algorithm::EdDSA => plain(&ED25519),
            Algorithm::RS256 => rsa(&RSA_PKCS1_2048_8192_SHA256),
            Algorithm::PS256 => rsa(&RSA_PSS_2048_8192_SHA256),
            _ => Err(ring::error::Unspecified),
        };
        outcome.map_err(|_| signature::Error::new())
    }
}

impl JwtVerifier for Checked {
    fn algorithm(&self) -> Algorithm {
        self.algorithm
    }
}
