//! An authority of a shop, and certificates under it: RFC 5280.

use std::time::Duration as Seconds;

use const_oid::AssociatedOid;
use const_oid::db::rfc4519;
use der::asn1::{BitString, OctetString};
use der::{DateTime, Encode, Sequence};
use sha2::{Digest, Sha256};
use time::{Duration, OffsetDateTime};
use x509_cert::ext::pkix::{
    AuthorityKeyIdentifier, BasicConstraints, KeyUsage, KeyUsages, SubjectKeyIdentifier,
};
use x509_cert::ext::{Extension, Extensions};
use x509_cert::name::Name;
use x509_cert::serial_number::SerialNumber;
use x509_cert::spki::{AlgorithmIdentifierOwned, SubjectPublicKeyInfoOwned};
use x509_cert::time::{Time, Validity};

use super::Identity;
use crate::certificate::{Certificate, distinguished_name};
use crate::key::Key;
use crate::{Error, Result};

/// How long an authority is valid: 20 years.
const AUTHORITY: Duration = Duration::days(7305);
/// How long a certificate under it is valid at most: 10 years.
const PERSON: Duration = Duration::days(3652);
/// Clocks of others may be behind by this much.
const SKEW: Duration = Duration::minutes(5);
/// What keeps the name of an authority apart from those under it, which have no such part.
const AUTHORITY_UNIT: &str = "Certificate authority";

/// What an issuer signs: RFC 5280, 4.1.2.
#[derive(Sequence)]
struct Content {
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    version: u8,
    serial_number: SerialNumber,
    signature: AlgorithmIdentifierOwned,
    issuer: Name,
    validity: Validity,
    subject: Name,
    public_key: SubjectPublicKeyInfoOwned,
    #[asn1(context_specific = "3", tag_mode = "EXPLICIT")]
    extensions: Extensions,
}

#[derive(Sequence)]
struct Signed {
    content: Content,
    algorithm: AlgorithmIdentifierOwned,
    signature: BitString,
}

impl Identity {
    /// A new authority of an organisation: a P-256 key and a certificate signed by itself, for 20 years, for
    /// certificates of persons and no further authorities.
    ///
    /// # Errors
    /// [`Error::Name`] when the organisation cannot stand in a certificate; [`Error::Random`].
    ///
    /// ```
    /// let at = time::macros::datetime!(2026-03-01 08:00 UTC);
    /// let authority = headproof_seal::Identity::new_authority("Zylinderkopf Süd", at).unwrap();
    /// assert!(authority.certificate().is_authority());
    /// assert_eq!(authority.certificate().organisation().unwrap(), "Zylinderkopf Süd");
    /// ```
    pub fn new_authority(organisation: &str, at: OffsetDateTime) -> Result<Self> {
        let key = Key::generate()?;
        let subject = distinguished_name(&[
            (rfc4519::O, organisation),
            (rfc4519::OU, AUTHORITY_UNIT),
            (rfc4519::CN, organisation),
        ])?;
        let public_key = key.public()?;
        let identifier = key_identifier(&public_key)?;
        let content = Content {
            version: 2,
            serial_number: serial_number()?,
            signature: key.algorithm(),
            issuer: subject.clone(),
            validity: Validity::new(moment(at - SKEW)?, moment(at + AUTHORITY)?),
            subject,
            public_key,
            extensions: vec![
                extension(true, &BasicConstraints { ca: true, path_len_constraint: Some(0) })?,
                extension(true, &KeyUsage(KeyUsages::KeyCertSign | KeyUsages::CRLSign))?,
                extension(false, &SubjectKeyIdentifier(identifier))?,
            ],
        };
        let certificate = sign(content, &key)?;
        Ok(Self { key, certificate, above: Vec::new() })
    }

    /// A new identity of a person under this authority: a P-256 key and a certificate for signatures, for 10
    /// years or until the authority ends.
    ///
    /// An empty `role` is left out.
    ///
    /// # Errors
    /// [`Error::Authority`] when this is none or not valid at the time; [`Error::Name`] when a text cannot stand
    /// in a certificate; [`Error::Random`].
    pub fn issue(&self, name: &str, role: &str, organisation: &str, at: OffsetDateTime) -> Result<Self> {
        let issuer = &self.certificate;
        if !issuer.is_authority() {
            return Err(Error::Authority("not one"));
        }
        if !issuer.is_valid_at(at) {
            return Err(Error::Authority("not valid at this time"));
        }
        let mut parts = vec![(rfc4519::O, organisation)];
        if !role.is_empty() {
            parts.push((rfc4519::TITLE, role));
        }
        parts.push((rfc4519::CN, name));
        let key = Key::generate()?;
        let public_key = key.public()?;
        let identifier = key_identifier(&public_key)?;
        let authority_identifier = AuthorityKeyIdentifier {
            key_identifier: issuer.key_identifier().map(OctetString::new).transpose()?,
            ..AuthorityKeyIdentifier::default()
        };
        let from = (at - SKEW).max(issuer.not_before());
        let until = (at + PERSON).min(issuer.not_after());
        let content = Content {
            version: 2,
            serial_number: serial_number()?,
            signature: self.key.algorithm(),
            issuer: issuer.parsed().tbs_certificate().subject().clone(),
            validity: Validity::new(moment(from)?, moment(until)?),
            subject: distinguished_name(&parts)?,
            public_key,
            extensions: vec![
                extension(true, &BasicConstraints { ca: false, path_len_constraint: None })?,
                extension(true, &KeyUsage(KeyUsages::DigitalSignature | KeyUsages::NonRepudiation))?,
                extension(false, &SubjectKeyIdentifier(identifier))?,
                extension(false, &authority_identifier)?,
            ],
        };
        let certificate = sign(content, &self.key)?;
        Ok(Self { key, certificate, above: self.chain().cloned().collect() })
    }
}

fn sign(content: Content, key: &Key) -> Result<Certificate> {
    let signature = BitString::from_bytes(&key.sign(&content.to_der()?)?)?;
    Certificate::from_der(&Signed { content, algorithm: key.algorithm(), signature }.to_der()?)
}

/// 128 random bits as a positive number (RFC 5280, 4.1.2.2).
fn serial_number() -> Result<SerialNumber> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).map_err(|_| Error::Random)?;
    // None is zero, and all are of one length.
    bytes[0] = bytes[0] & 0x7F | 0x40;
    Ok(SerialNumber::new(&bytes)?)
}

/// The leftmost 160 bits of SHA-256 of the public key: RFC 7093, 2, method 1.
fn key_identifier(key: &SubjectPublicKeyInfoOwned) -> Result<OctetString> {
    let digest = Sha256::digest(key.subject_public_key.raw_bytes());
    Ok(OctetString::new(&digest[..20])?)
}

fn extension<T: Encode + AssociatedOid>(critical: bool, value: &T) -> Result<Extension> {
    Ok(Extension { extn_id: T::OID, critical, extn_value: OctetString::new(value.to_der()?)? })
}

/// A time of a certificate: UTCTime up to 2049, GeneralizedTime from then on (RFC 5280, 4.1.2.5).
fn moment(at: OffsetDateTime) -> Result<Time> {
    let seconds = u64::try_from(at.unix_timestamp()).map_err(|_| Error::Authority("before 1970"))?;
    let date = DateTime::from_unix_duration(Seconds::from_secs(seconds))?;
    if date.year() < 2050 {
        Ok(Time::UtcTime(der::asn1::UtcTime::from_date_time(date)?))
    } else {
        Ok(Time::GeneralTime(der::asn1::GeneralizedTime::from_date_time(date)))
    }
}
