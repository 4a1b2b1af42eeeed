//! The structures of CMS (RFC 5652, 3 and 5), with sets as they were written.

use der::Sequence;
use der::asn1::{Any, ObjectIdentifier, OctetString};
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::asn1::Elements;

pub(super) const SIGNED_DATA: ObjectIdentifier = const_oid::db::rfc5911::ID_SIGNED_DATA;
pub(super) const DATA: ObjectIdentifier = const_oid::db::rfc5911::ID_DATA;
/// RFC 5652, 11.
pub(super) const CONTENT_TYPE: ObjectIdentifier = const_oid::db::rfc5911::ID_CONTENT_TYPE;
pub(super) const MESSAGE_DIGEST: ObjectIdentifier = const_oid::db::rfc5911::ID_MESSAGE_DIGEST;
/// signing-certificate: RFC 2634, 5.4.
pub(super) const SIGNING_CERTIFICATE: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.12");
/// signing-certificate-v2: RFC 5035, 3.
pub(super) const SIGNING_CERTIFICATE_V2: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.47");
/// id-aa-timeStampToken: RFC 3161, appendix A.
pub(super) const TIMESTAMP_TOKEN: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.14");

/// ContentInfo.
#[derive(Sequence)]
pub(super) struct Envelope {
    pub(super) kind: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    pub(super) content: SignedData,
}

/// SignedData.
#[derive(Sequence)]
pub(super) struct SignedData {
    pub(super) version: u8,
    pub(super) digest_algorithms: Elements,
    pub(super) content: Content,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", constructed = "true", optional = "true")]
    pub(super) certificates: Option<Elements>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", constructed = "true", optional = "true")]
    pub(super) revocations: Option<Elements>,
    pub(super) signers: Elements,
}

/// EncapsulatedContentInfo.
#[derive(Sequence)]
pub(super) struct Content {
    pub(super) kind: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT", optional = "true")]
    pub(super) content: Option<OctetString>,
}

/// SignerInfo.
#[derive(Debug, Clone, Sequence)]
pub(super) struct Signer {
    pub(super) version: u8,
    pub(super) certificate: Any,
    pub(super) digest_algorithm: AlgorithmIdentifierOwned,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", constructed = "true", optional = "true")]
    pub(super) signed: Option<Elements>,
    pub(super) signature_algorithm: AlgorithmIdentifierOwned,
    pub(super) signature: OctetString,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", constructed = "true", optional = "true")]
    pub(super) unsigned: Option<Elements>,
}
