//! Certificates: RFC 5280.

mod extensions;
mod name;
mod pem;

use std::fmt;

use const_oid::db::rfc4519;
use der::asn1::ObjectIdentifier;
use der::pem::{self as text, LineEnding};
use der::{Decode, Encode, Tag};
use time::OffsetDateTime;
use x509_cert::spki::SubjectPublicKeyInfoOwned;

pub(crate) use name::distinguished_name;

use crate::{Error, Result, algorithm, asn1, digest};

/// Bytes of a certificate at most; a usual one has one or two thousand.
const MOST_BYTES: usize = 1 << 16;
/// The tag of the version: [0], explicit (RFC 5280, 4.1).
const VERSION: u8 = 0xA0;

/// An X.509 certificate.
///
/// Source: RFC 5280.
#[derive(Clone, PartialEq, Eq)]
pub struct Certificate {
    der: Vec<u8>,
    parsed: x509_cert::Certificate,
}

impl Certificate {
    /// Reads one certificate.
    ///
    /// # Errors
    /// [`Error::Certificate`] for anything else, and for bytes behind it.
    pub fn from_der(der: &[u8]) -> Result<Self> {
        if der.len() > MOST_BYTES {
            return Err(Error::Certificate("too large".to_owned()));
        }
        let parsed = x509_cert::Certificate::from_der(der)
            .map_err(|error| Error::Certificate(format!("not to be read: {error}")))?;
        // RFC 5280, 4.1.1.2: what says how it is signed is signed, too.
        if parsed.signature_algorithm() != parsed.tbs_certificate().signature() {
            return Err(Error::Certificate("its two signature algorithms differ".to_owned()));
        }
        Ok(Self { der: der.to_vec(), parsed })
    }

    /// Its DER.
    #[must_use]
    pub fn der(&self) -> &[u8] {
        &self.der
    }

    /// The same as text (RFC 7468, 5).
    #[must_use]
    pub fn to_pem(&self) -> String {
        // Only a buffer that is too small makes this fail, and this one grows.
        text::encode_string("CERTIFICATE", LineEnding::LF, &self.der).unwrap_or_default()
    }

    /// SHA-256 of its DER in lower-case hex.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        digest(&self.der)
    }

    /// The common name of its subject; none when it has none that can be read.
    #[must_use]
    pub fn common_name(&self) -> Option<String> {
        self.subject_part(rfc4519::CN)
    }

    /// The organisation of its subject.
    #[must_use]
    pub fn organisation(&self) -> Option<String> {
        self.subject_part(rfc4519::O)
    }

    /// The title of its subject: what a person is in the organisation.
    #[must_use]
    pub fn title(&self) -> Option<String> {
        self.subject_part(rfc4519::TITLE)
    }

    fn subject_part(&self, kind: ObjectIdentifier) -> Option<String> {
        name::part(self.parsed.tbs_certificate().subject(), kind)
    }

    /// The first moment it is valid at.
    #[must_use]
    pub fn not_before(&self) -> OffsetDateTime {
        moment(self.parsed.tbs_certificate().validity().not_before)
    }

    /// The last moment it is valid at.
    #[must_use]
    pub fn not_after(&self) -> OffsetDateTime {
        moment(self.parsed.tbs_certificate().validity().not_after)
    }

    /// Whether a moment lies in its time: RFC 5280, 4.1.2.5, both ends included.
    #[must_use]
    pub fn is_valid_at(&self, at: OffsetDateTime) -> bool {
        (self.not_before()..=self.not_after()).contains(&at)
    }

    /// Whether another certificate issued this one: its subject is the issuer of this one, and its key made the
    /// signature.
    ///
    /// Whether the other may issue certificates, and when, is another question.
    ///
    /// # Errors
    /// [`Error::Certificate`], with the reason.
    pub fn verify_issued_by(&self, issuer: &Self) -> Result<()> {
        if !self.names_as_issuer(issuer) {
            return Err(Error::Certificate("issued under another name".to_owned()));
        }
        let signed = self.signed_part()?;
        let signature = self.parsed.signature().as_bytes().unwrap_or_default();
        algorithm::verify(issuer.public_key(), self.parsed.signature_algorithm(), None, signed, signature)
            .map_err(|why| Error::Certificate(format!("the signature of its issuer: {why}")))
    }

    /// Whether the subject of the other is the issuer of this one.
    pub(crate) fn names_as_issuer(&self, issuer: &Self) -> bool {
        self.parsed.tbs_certificate().issuer() == issuer.parsed.tbs_certificate().subject()
    }

    /// Whether issuer and subject have one name (RFC 5280, 3.2: self-issued).
    pub(crate) fn is_self_issued(&self) -> bool {
        self.names_as_issuer(self)
    }

    /// The bytes that its issuer signed, as they stand in it.
    fn signed_part(&self) -> Result<&[u8]> {
        let parts = asn1::sequence(&self.der)?;
        parts.first().copied().ok_or_else(|| Error::Certificate("empty".to_owned()))
    }

    /// Its public key.
    pub(crate) fn public_key(&self) -> &SubjectPublicKeyInfoOwned {
        self.parsed.tbs_certificate().subject_public_key_info()
    }

    /// What it says beyond the older parts of certificates.
    pub(crate) fn parsed(&self) -> &x509_cert::Certificate {
        &self.parsed
    }

    /// Its issuer and serial number, as CMS names a certificate (RFC 5652, 10.2.4).
    ///
    /// # Errors
    /// [`Error::Encoding`], a fault of the program.
    pub(crate) fn issuer_and_serial(&self) -> Result<Vec<u8>> {
        let parts = asn1::sequence(self.signed_part()?)?;
        // A version that is told stands before the serial number, under a tag of its own.
        let has_version = parts.first().and_then(|part| part.first()) == Some(&VERSION);
        // The serial number, the signature algorithm, the issuer.
        match parts.get(usize::from(has_version)..).unwrap_or_default() {
            [serial, _, issuer, ..] => {
                let content = [*issuer, *serial].concat();
                Ok(der::asn1::AnyRef::new(Tag::Sequence, &content)?.to_der()?)
            }
            _ => Err(Error::Certificate("without an issuer".to_owned())),
        }
    }
}

impl fmt::Debug for Certificate {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.common_name().unwrap_or_default();
        write!(formatter, "Certificate({name:?}, {})", self.fingerprint())
    }
}

/// A time of a certificate: whole seconds since 1970, up to the year 9999, all of which can be told.
fn moment(time: x509_cert::time::Time) -> OffsetDateTime {
    let seconds = i64::try_from(time.to_unix_duration().as_secs()).unwrap_or(i64::MAX);
    OffsetDateTime::from_unix_timestamp(seconds).unwrap_or(OffsetDateTime::UNIX_EPOCH)
}
