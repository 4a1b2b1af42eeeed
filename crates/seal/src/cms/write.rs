//! A signature that is being made.

use der::asn1::{Any, OctetString};
use der::{Decode, Encode};

use super::reference;
use super::structure::{
    CONTENT_TYPE, Content, DATA, Envelope, MESSAGE_DIGEST, SIGNED_DATA, SIGNING_CERTIFICATE_V2, SignedData,
    Signer, TIMESTAMP_TOKEN,
};
use crate::algorithm::sha_256;
use crate::asn1::{Elements, attribute};
use crate::identity::Identity;
use crate::{Error, Result};

/// A signature of one signer on content that stands elsewhere.
///
/// Source: RFC 5652, 5; CAdES baseline, ETSI EN 319 122-1, 6 (from memory). There is no signing-time: PAdES has
/// it in the dictionary of the file (ETSI EN 319 142-1, 6.3, from memory).
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    certificates: Elements,
    signer: Signer,
}

impl Draft {
    /// Signs the SHA-256 digest of some content.
    ///
    /// # Errors
    /// [`Error::Key`] when the key does not sign; [`Error::Encoding`].
    pub(crate) fn sign(digest: &[u8], identity: &Identity) -> Result<Self> {
        let signed = Elements::new(vec![
            attribute(CONTENT_TYPE, DATA.to_der()?)?,
            attribute(MESSAGE_DIGEST, OctetString::new(digest)?.to_der()?)?,
            attribute(SIGNING_CERTIFICATE_V2, reference::write(identity.chain())?)?,
        ]);
        // RFC 5652, 5.4: they are signed as a SET and not under the tag they stand under.
        let signature = identity.key().sign(&signed.to_der()?)?;
        let signer = Signer {
            version: 1,
            certificate: Any::from_der(&identity.certificate().issuer_and_serial()?)?,
            digest_algorithm: sha_256(),
            signed: Some(signed),
            signature_algorithm: identity.key().algorithm(),
            signature: OctetString::new(signature)?,
            unsigned: None,
        };
        let certificates = identity.chain().map(|certificate| certificate.der().to_vec()).collect();
        Ok(Self { certificates: Elements::new(certificates), signer })
    }

    /// The value of the signature, which a timestamp is for.
    pub(crate) fn value(&self) -> &[u8] {
        self.signer.signature.as_bytes()
    }

    /// Adds the token of a timestamp.
    ///
    /// # Errors
    /// [`Error::Encoding`].
    pub(crate) fn add_timestamp(&mut self, token: Vec<u8>) -> Result<()> {
        self.signer.unsigned = Some(Elements::new(vec![attribute(TIMESTAMP_TOKEN, token)?]));
        Ok(())
    }

    /// The whole message.
    ///
    /// # Errors
    /// [`Error::Encoding`].
    pub(crate) fn to_der(&self) -> Result<Vec<u8>, Error> {
        let content = SignedData {
            version: 1,
            digest_algorithms: Elements::new(vec![sha_256().to_der()?]),
            content: Content { kind: DATA, content: None },
            certificates: Some(self.certificates.clone()),
            revocations: None,
            signers: Elements::new(vec![self.signer.to_der()?]),
        };
        Ok(Envelope { kind: SIGNED_DATA, content }.to_der()?)
    }
}
