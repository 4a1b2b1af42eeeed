//! Private keys at rest.

use der::Encode;
use der::asn1::OctetString;
use pkcs8::pkcs5::EncryptionScheme;
use pkcs8::pkcs5::pbes2::Parameters;
use zeroize::Zeroizing;

use super::Identity;
use crate::certificate::Certificate;
use crate::key::Key;
use crate::pkcs12::{EncryptedKey, decrypt};
use crate::{Error, Result, Secret};

/// An identity whose key cannot be used without the secret.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Locked {
    /// The private key: DER of an EncryptedPrivateKeyInfo of PKCS#8 (RFC 5958, 3).
    pub key: Vec<u8>,
    /// The certificates in DER, its own first, each issued by the next.
    pub chain: Vec<Vec<u8>>,
}

impl Identity {
    /// Locks it.
    ///
    /// Source: PBES2 of RFC 8018, 6.2, with scrypt (RFC 7914: N 2¹⁴, r 8, p 1) and AES-256-CBC. The password is
    /// the text of the secret, so that common tools open the key, too. The cost is small since the secret
    /// cannot be guessed.
    ///
    /// # Errors
    /// [`Error::Random`].
    pub fn lock(&self, secret: &Secret) -> Result<Locked> {
        let scheme = Parameters::generate_scrypt(&mut getrandom::SysRng).map_err(|_| Error::Random)?;
        let key = self.key.to_pkcs8()?;
        let encrypted = scheme
            .encrypt(secret.to_text().as_bytes(), key.as_bytes())
            .map_err(|error| Error::Key(error.to_string()))?;
        let scheme = EncryptionScheme::from(scheme).to_der()?;
        let algorithm = der::Decode::from_der(&scheme)?;
        let key = EncryptedKey { algorithm, data: OctetString::new(encrypted)? }.to_der()?;
        Ok(Locked { key, chain: self.chain().map(|certificate| certificate.der().to_vec()).collect() })
    }

    /// Unlocks one.
    ///
    /// # Errors
    /// [`Error::Secret`] for another secret; [`Error::Certificate`] when the certificates do not belong to it.
    pub fn unlock(locked: &Locked, secret: &Secret) -> Result<Self> {
        let encrypted: EncryptedKey = der::Decode::from_der(&locked.key)
            .map_err(|_| Error::Key("not an encrypted key of PKCS#8".to_owned()))?;
        let text = secret.to_text();
        let key: Zeroizing<Vec<u8>> = decrypt(&encrypted.algorithm, encrypted.data.as_bytes(), &text)
            .map_err(|error| if error == Error::Password { Error::Secret } else { error })?;
        let key = Key::from_pkcs8(&key).map_err(|_| Error::Secret)?;
        let chain: Result<Vec<_>> = locked.chain.iter().map(|der| Certificate::from_der(der)).collect();
        Self::assemble(key, chain?)
    }
}
