//! The structures of PKCS#12 (RFC 7292, 4) and of encrypted keys (RFC 5958, 3).

use der::Sequence;
use der::asn1::{Any, ObjectIdentifier, OctetString};
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::asn1::Elements;

/// PFX.
#[derive(Sequence)]
pub(super) struct File {
    pub(super) version: u8,
    pub(super) content: Part,
    pub(super) check: Option<Check>,
}

/// ContentInfo (RFC 5652, 3).
#[derive(Sequence)]
pub(super) struct Part {
    pub(super) kind: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    pub(super) content: Any,
}

/// MacData.
#[derive(Sequence)]
pub(super) struct Check {
    pub(super) value: CheckValue,
    pub(super) salt: OctetString,
    #[asn1(default = "once")]
    pub(super) iterations: u32,
}

fn once() -> u32 {
    1
}

/// DigestInfo.
#[derive(Sequence)]
pub(super) struct CheckValue {
    pub(super) algorithm: AlgorithmIdentifierOwned,
    pub(super) digest: OctetString,
}

/// EncryptedData (RFC 5652, 8).
#[derive(Sequence)]
pub(super) struct EncryptedData {
    pub(super) version: u8,
    pub(super) content: EncryptedContent,
}

/// EncryptedContentInfo (RFC 5652, 6.1).
#[derive(Sequence)]
pub(super) struct EncryptedContent {
    pub(super) kind: ObjectIdentifier,
    pub(super) algorithm: AlgorithmIdentifierOwned,
    /// Under the tag [0], in one piece or in several.
    pub(super) data: Any,
}

/// SafeBag.
#[derive(Sequence)]
pub(super) struct Bag {
    pub(super) kind: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    pub(super) value: Any,
    pub(super) attributes: Option<Elements>,
}

/// CertBag.
#[derive(Sequence)]
pub(super) struct CertificateBag {
    pub(super) kind: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    pub(super) value: Any,
}

/// EncryptedPrivateKeyInfo.
#[derive(Sequence)]
pub(crate) struct EncryptedKey {
    pub(crate) algorithm: AlgorithmIdentifierOwned,
    pub(crate) data: OctetString,
}

/// The parameters of the older encryption with a password (RFC 7292, appendix C).
#[derive(Sequence)]
pub(super) struct OldParameters {
    pub(super) salt: OctetString,
    pub(super) iterations: u32,
}
