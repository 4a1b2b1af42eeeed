//! Whether a certificate leads to one that is trusted: RFC 5280, 6, without policies, name constraints and
//! revocation.

use time::OffsetDateTime;

use crate::certificate::Certificate;

/// Certificates of authorities on the way at most.
const DEEPEST: usize = 6;
/// Signatures that are verified on the search at most: what came in a file must not keep a processor busy.
const MOST_VERIFICATIONS: usize = 48;

/// Whether a certificate leads to one of those that are trusted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trust {
    /// It leads to this one.
    Trusted(Box<Certificate>),
    /// It does not, for the reason told.
    Untrusted(&'static str),
}

impl Trust {
    /// Whether it does.
    #[must_use]
    pub fn is_trusted(&self) -> bool {
        matches!(self, Self::Trusted(_))
    }
}

/// Looks for a way from a certificate to one of the anchors. Every certificate on it is valid at the time, and
/// every issuer on it is an authority that may have that many others below it.
pub(crate) fn find(
    certificate: &Certificate,
    others: &[Certificate],
    anchors: &[Certificate],
    at: OffsetDateTime,
) -> Trust {
    let mut search = Search { others, anchors, at, verifications: 0, why: "its issuer is not trusted" };
    match search.from(certificate, 0, 0) {
        Some(anchor) => Trust::Trusted(Box::new(anchor)),
        None => Trust::Untrusted(search.why),
    }
}

struct Search<'a> {
    others: &'a [Certificate],
    anchors: &'a [Certificate],
    at: OffsetDateTime,
    verifications: usize,
    /// Why the last way ended.
    why: &'static str,
}

impl Search<'_> {
    /// The way up from a certificate that has `depth` others below it, of which `authorities` count for the
    /// length of a path (RFC 5280, 4.2.1.9: those that did not issue themselves).
    fn from(&mut self, certificate: &Certificate, depth: usize, authorities: u8) -> Option<Certificate> {
        if !self.is_usable(certificate) {
            return None;
        }
        if self.anchors.contains(certificate) {
            return Some(certificate.clone());
        }
        if depth >= DEEPEST {
            self.why = "too many certificates stand above it";
            return None;
        }
        let (anchors, others) = (self.anchors, self.others);
        for issuer in anchors.iter().chain(others) {
            if issuer == certificate || !certificate.names_as_issuer(issuer) {
                continue;
            }
            if !issuer.is_authority() || issuer.path_length().is_some_and(|most| authorities > most) {
                self.why = "its issuer may not issue it";
                continue;
            }
            if self.verifications == MOST_VERIFICATIONS {
                self.why = "too many certificates claim to be above it";
                return None;
            }
            self.verifications += 1;
            if certificate.verify_issued_by(issuer).is_err() {
                self.why = "the signature of its issuer does not verify";
                continue;
            }
            let below = authorities.saturating_add(u8::from(!issuer.is_self_issued()));
            if let Some(anchor) = self.from(issuer, depth + 1, below) {
                return Some(anchor);
            }
        }
        None
    }

    fn is_usable(&mut self, certificate: &Certificate) -> bool {
        if !certificate.is_valid_at(self.at) {
            self.why = "a certificate is not valid at the time";
            false
        } else if certificate.has_unheeded_extension() {
            self.why = "a certificate has conditions that are not known";
            false
        } else {
            true
        }
    }
}
