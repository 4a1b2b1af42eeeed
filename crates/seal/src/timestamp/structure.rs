//! The structures of RFC 3161, 2.4.

use der::Sequence;
use der::asn1::{Any, ObjectIdentifier, OctetString, Uint};
use x509_cert::spki::AlgorithmIdentifierOwned;

/// id-ct-TSTInfo: RFC 3161, 2.4.2.
pub(super) const INFORMATION: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.1.4");

/// TimeStampReq without the parts that are not sent.
#[derive(Sequence)]
pub(super) struct Request {
    pub(super) version: u8,
    pub(super) imprint: Imprint,
    pub(super) nonce: Uint,
    pub(super) wants_certificates: bool,
}

/// MessageImprint.
#[derive(Sequence)]
pub(super) struct Imprint {
    pub(super) algorithm: AlgorithmIdentifierOwned,
    pub(super) digest: OctetString,
}

/// TimeStampResp.
#[derive(Sequence)]
pub(super) struct Response {
    /// PKIStatusInfo, of which the first part is a number.
    pub(super) status: Any,
    pub(super) token: Option<Any>,
}
