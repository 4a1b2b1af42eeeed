//! What the signature of a file is worth.

use time::OffsetDateTime;

use super::locate::{Located, locate};
use crate::certificate::Certificate;
use crate::cms::Message;
use crate::timestamp::Timestamp;
use crate::trust::{self, Trust};

/// Whether a file is as it was signed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Integrity {
    /// Every byte is as it was signed.
    Intact,
    /// It was changed, or never signed like this, for the reason told.
    Altered(&'static str),
}

/// A signature in a file.
///
/// What it says of the signer stands firm only for an intact file, and only for a signer who is trusted: anybody
/// can sign under any name.
#[derive(Debug, Clone)]
pub struct SignedPdf {
    integrity: Integrity,
    signer: Option<Certificate>,
    certificates: Vec<Certificate>,
    timestamp: Option<Timestamp>,
}

impl SignedPdf {
    /// Whether the file is as it was signed.
    #[must_use]
    pub fn integrity(&self) -> &Integrity {
        &self.integrity
    }

    /// Whether it is [`Integrity::Intact`].
    #[must_use]
    pub fn is_intact(&self) -> bool {
        self.integrity == Integrity::Intact
    }

    /// The certificate of the one it says to be signed by; none when it cannot be read.
    #[must_use]
    pub fn signer(&self) -> Option<&Certificate> {
        self.signer.as_ref()
    }

    /// All certificates that came with the signature, in no order.
    #[must_use]
    pub fn certificates(&self) -> &[Certificate] {
        &self.certificates
    }

    /// The timestamp. One that does not verify is none: the file is altered then.
    #[must_use]
    pub fn timestamp(&self) -> Option<&Timestamp> {
        self.timestamp.as_ref()
    }

    /// Whether the file is intact and its signer leads to one of some authorities, all certificates being valid
    /// at the time. The certificate of the signer may be one of those that are trusted itself.
    ///
    /// Source: RFC 5280, 6. Revocation is not asked for.
    #[must_use]
    pub fn trusted_by(&self, anchors: &[Certificate], at: OffsetDateTime) -> Trust {
        match (&self.integrity, &self.signer) {
            (Integrity::Intact, Some(signer)) => trust::find(signer, &self.certificates, anchors, at),
            _ => Trust::Untrusted("the file is altered"),
        }
    }
}

/// Looks at the signature of a file; `None` when it has none.
///
/// A signature is accepted when it covers every byte of the file but itself, has one signer, names its
/// certificates by SHA-256 or better (signing-certificate-v2, RFC 5035), is made with ECDSA (P-256, P-384) or
/// RSASSA-PKCS1-v1_5 and SHA-256 or better, and its certificate is one for signatures.
///
/// Nothing covers the certificates above the authority of a timestamp: a change of them shows when trust is
/// asked for, and not before.
///
/// Bytes that were appended count as a change, even those that could be a further revision.
#[must_use]
pub fn inspect_pdf(bytes: &[u8]) -> Option<SignedPdf> {
    let mut signed =
        SignedPdf { integrity: Integrity::Intact, signer: None, certificates: Vec::new(), timestamp: None };
    if let Err(why) = locate(bytes)?.and_then(|located| judge(bytes, &located, &mut signed)) {
        signed.integrity = Integrity::Altered(why);
    }
    Some(signed)
}

fn judge(bytes: &[u8], located: &Located, signed: &mut SignedPdf) -> Result<(), &'static str> {
    let message = Message::from_der(&located.der)?;
    signed.signer = Some(message.signer().clone());
    signed.certificates = message.certificates().to_vec();
    if message.content().is_some() {
        return Err("the signature brings its own content");
    }
    if !message.signer().is_for_signatures() {
        return Err("the certificate of the signer is not for signatures");
    }
    if !message.has_newer_reference() {
        return Err("the signature does not name its certificate");
    }
    let before = bytes.get(..located.contents.start).unwrap_or_default();
    let behind = bytes.get(located.contents.end..).unwrap_or_default();
    message.verify(const_oid::db::rfc5911::ID_DATA, &message.hash().of(&[before, behind]))?;
    if let Some(token) = message.timestamp()? {
        let timestamp = Timestamp::verify(&token, message.value());
        signed.timestamp = Some(timestamp.map_err(|_| "the timestamp is not one of this signature")?);
    }
    Ok(())
}
