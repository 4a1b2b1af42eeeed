//! What a certificate may be used for: RFC 5280, 4.2.1.

use const_oid::db::rfc5280;
use der::asn1::ObjectIdentifier;
use x509_cert::ext::pkix::{BasicConstraints, ExtendedKeyUsage, KeyUsage, SubjectKeyIdentifier};

use super::Certificate;

/// Critical extensions that are heeded, or that say nothing about what is asked here.
const HEEDED: [ObjectIdentifier; 5] = [
    rfc5280::ID_CE_BASIC_CONSTRAINTS,
    rfc5280::ID_CE_KEY_USAGE,
    rfc5280::ID_CE_EXT_KEY_USAGE,
    rfc5280::ID_CE_SUBJECT_ALT_NAME,
    rfc5280::ID_CE_CERTIFICATE_POLICIES,
];

impl Certificate {
    /// Whether it is that of an authority: basic constraints (RFC 5280, 4.2.1.9) say so, and the use of its key,
    /// where it is told, includes the signing of certificates (4.2.1.3).
    #[must_use]
    pub fn is_authority(&self) -> bool {
        let signs_certificates = match self.key_usage() {
            Ok(usage) => usage.is_none_or(|usage| usage.key_cert_sign()),
            Err(_) => false,
        };
        signs_certificates && self.basic_constraints().is_some_and(|constraints| constraints.ca)
    }

    /// Whether documents may be signed with it: the use of its key is told and includes digital signatures or
    /// non-repudiation (RFC 5280, 4.2.1.3).
    #[must_use]
    pub fn is_for_signatures(&self) -> bool {
        matches!(self.key_usage(), Ok(Some(usage)) if usage.digital_signature() || usage.non_repudiation())
    }

    /// Whether it is for timestamps and nothing else: RFC 3161, 2.3.
    pub(crate) fn is_for_timestamps(&self) -> bool {
        let usage = self.parsed().tbs_certificate().get_extension::<ExtendedKeyUsage>();
        matches!(usage, Ok(Some((true, ExtendedKeyUsage(uses)))) if uses == [rfc5280::ID_KP_TIME_STAMPING])
    }

    /// How many certificates of authorities may stand below it; `None` without a limit.
    pub(crate) fn path_length(&self) -> Option<u8> {
        self.basic_constraints()?.path_len_constraint
    }

    /// Whether it holds a critical extension that is not heeded here, so that RFC 5280 (4.2) has it rejected.
    pub(crate) fn has_unheeded_extension(&self) -> bool {
        let extensions = self.parsed().tbs_certificate().extensions();
        extensions.is_some_and(|all| all.iter().any(|one| one.critical && !HEEDED.contains(&one.extn_id)))
    }

    /// The identifier of its key (RFC 5280, 4.2.1.2).
    pub(crate) fn key_identifier(&self) -> Option<Vec<u8>> {
        let identifier = self.parsed().tbs_certificate().get_extension::<SubjectKeyIdentifier>().ok()??.1;
        Some(identifier.0.into_bytes().into())
    }

    fn basic_constraints(&self) -> Option<BasicConstraints> {
        Some(self.parsed().tbs_certificate().get_extension().ok()??.1)
    }

    fn key_usage(&self) -> der::Result<Option<KeyUsage>> {
        Ok(self.parsed().tbs_certificate().get_extension()?.map(|(_, usage)| usage))
    }
}
