//! The verification of a signed message: RFC 5652, 5.6.

use const_oid::ObjectIdentifier;
use der::asn1::OctetString;
use der::{Decode, Encode};
use x509_cert::spki::AlgorithmIdentifierOwned;

use super::reference;
use super::structure::{
    CONTENT_TYPE, DATA, Envelope, MESSAGE_DIGEST, SIGNED_DATA, SIGNING_CERTIFICATE, SIGNING_CERTIFICATE_V2,
    SignedData, Signer, TIMESTAMP_TOKEN,
};
use crate::algorithm::{self, Hash};
use crate::asn1::{Elements, all_of, single_value};
use crate::certificate::Certificate;

/// Certificates in a message at most; a chain has two to four.
const MOST_CERTIFICATES: usize = 16;

/// What is not right with a message, in words.
pub(crate) type Verdict<T> = Result<T, &'static str>;

/// A message with one signer and the certificates that came with it. Nothing of it is verified yet.
pub(crate) struct Message {
    data: SignedData,
    signer: Signer,
    signed: Elements,
    hash: Hash,
    certificates: Vec<Certificate>,
    of_signer: Certificate,
}

impl Message {
    /// Reads a message.
    ///
    /// # Errors
    /// What is missing or more than once: a signature has one signer (ISO 19005-3, 6.4.2, for PDF/A, from
    /// memory) with signed attributes, and its certificate comes with it.
    pub(crate) fn from_der(der: &[u8]) -> Verdict<Self> {
        let envelope = Envelope::from_der(der).map_err(|_| "it cannot be read")?;
        let data = envelope.content;
        if envelope.kind != SIGNED_DATA {
            return Err("it is not signed data");
        }
        if data.revocations.is_some() {
            // Nothing covers them.
            return Err("it brings revocations");
        }
        let signer = data.signers.single().ok_or("it has not one signer")?;
        let signer = Signer::from_der(signer).map_err(|_| "its signer cannot be read")?;
        let hash = Hash::named(&signer.digest_algorithm).ok_or("its digest algorithm is not accepted")?;
        let algorithms = data.digest_algorithms.single().map(AlgorithmIdentifierOwned::from_der);
        if !matches!(algorithms, Some(Ok(one)) if Hash::named(&one) == Some(hash)) {
            return Err("its digest algorithms contradict each other");
        }
        let signed = signer.signed.clone().ok_or("it has no signed attributes")?;
        let certificates = read_certificates(data.certificates.as_ref())?;
        let of_signer = certificates.iter().find(|certificate| is_of(certificate, &signer)).cloned();
        let of_signer = of_signer.ok_or("the certificate of its signer is missing")?;
        Ok(Self { data, signer, signed, hash, certificates, of_signer })
    }

    /// The certificate that the signer names.
    pub(crate) fn signer(&self) -> &Certificate {
        &self.of_signer
    }

    /// All certificates that came with it.
    pub(crate) fn certificates(&self) -> &[Certificate] {
        &self.certificates
    }

    /// The digest algorithm of the content.
    pub(crate) fn hash(&self) -> Hash {
        self.hash
    }

    /// The value of the signature.
    pub(crate) fn value(&self) -> &[u8] {
        self.signer.signature.as_bytes()
    }

    /// The content that stands in the message.
    pub(crate) fn content(&self) -> Option<&[u8]> {
        self.data.content.content.as_ref().map(OctetString::as_bytes)
    }

    /// The token of a timestamp on the signature.
    ///
    /// # Errors
    /// When there are unsigned attributes other than one timestamp, which nothing protects.
    pub(crate) fn timestamp(&self) -> Verdict<Option<Vec<u8>>> {
        let Some(unsigned) = &self.signer.unsigned else { return Ok(None) };
        let of_others = unsigned.each().map_err(|_| "its unsigned attributes cannot be read")?.len() != 1;
        match single_value(unsigned, TIMESTAMP_TOKEN) {
            Some(token) if !of_others => Ok(Some(token)),
            _ => Err("its unsigned attributes are more than one timestamp"),
        }
    }

    /// Verifies that the signer signed content of a kind with this digest.
    ///
    /// # Errors
    /// Why not.
    pub(crate) fn verify(&self, kind: ObjectIdentifier, digest: &[u8]) -> Verdict<()> {
        // RFC 5652, 5.1.
        let version = if self.data.content.kind == DATA && self.signer.version == 1 { 1 } else { 3 };
        if self.data.version != version {
            return Err("its version is not that of its content");
        }
        let told = single_value(&self.signed, CONTENT_TYPE).ok_or("its content type is missing")?;
        if self.data.content.kind != kind || ObjectIdentifier::from_der(&told) != Ok(kind) {
            return Err("its content is of another type");
        }
        let told = single_value(&self.signed, MESSAGE_DIGEST).ok_or("its digest is missing")?;
        if OctetString::from_der(&told).ok().is_none_or(|told| told.as_bytes() != digest) {
            return Err("the content is not the one that was signed");
        }
        if !self.names_its_certificate() {
            return Err("it does not name the certificates that are in it");
        }
        let signed = self.signed.to_der().map_err(|_| "its signed attributes cannot be read")?;
        let key = self.signer().public_key();
        let algorithm = &self.signer.signature_algorithm;
        algorithm::verify(key, algorithm, Some(self.hash), &signed, self.value())
    }

    /// Whether the signed attributes name the certificate of the signer.
    fn names_its_certificate(&self) -> bool {
        let older = all_of(&self.signed, SIGNING_CERTIFICATE).unwrap_or_default();
        let newer = all_of(&self.signed, SIGNING_CERTIFICATE_V2).unwrap_or_default();
        match (newer.as_slice(), older.as_slice()) {
            ([one], _) => one
                .values
                .single()
                .is_some_and(|value| reference::names(value, self.signer(), &self.certificates)),
            ([], [one]) => {
                one.values.single().is_some_and(|value| reference::names_by_sha_1(value, self.signer()))
            }
            _ => false,
        }
    }

    /// Whether the certificate is named by the newer attribute, which PAdES asks for, and not by SHA-1.
    pub(crate) fn has_newer_reference(&self) -> bool {
        all_of(&self.signed, SIGNING_CERTIFICATE_V2).is_some_and(|all| !all.is_empty())
    }
}

fn read_certificates(set: Option<&Elements>) -> Verdict<Vec<Certificate>> {
    let all = set.ok_or("it holds no certificate")?.each().map_err(|_| "its certificates cannot be read")?;
    if all.len() > MOST_CERTIFICATES {
        return Err("it holds too many certificates");
    }
    let all: Result<Vec<_>, _> = all.into_iter().map(Certificate::from_der).collect();
    all.map_err(|_| "a certificate in it cannot be read")
}

/// Whether a signer names this certificate: by issuer and serial number, or by the identifier of its key
/// (RFC 5652, 5.3).
fn is_of(certificate: &Certificate, signer: &Signer) -> bool {
    let named = &signer.certificate;
    if signer.version == 3 {
        return certificate.key_identifier().is_some_and(|identifier| identifier == named.value());
    }
    signer.version == 1 && certificate.issuer_and_serial().ok() == named.to_der().ok()
}
