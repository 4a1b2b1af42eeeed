//! Signing a file: PAdES baseline B-B, and B-T with a timestamp (ETSI EN 319 142-1, 6, from memory).

use super::placeholder::Placeholder;
use crate::algorithm::Hash;
use crate::cms::Draft;
use crate::identity::Identity;
use crate::timestamp::{self, Timestamp};
use crate::{Error, Result, hex};

/// Bytes of a signature beside certificates, names and what grows with the number of certificates.
const FRAME: usize = 640;
/// Bytes of a reference to a certificate.
const REFERENCE: usize = 40;
/// Bytes of a timestamp; usual ones have three to seven thousand.
const TIMESTAMP: usize = 8 << 10;

/// Bytes to leave room for in a file that this identity will sign. In the file they are twice as many hexadecimal
/// digits.
#[must_use]
pub fn room_for(identity: &Identity, with_timestamp: bool) -> usize {
    let certificates: usize = identity.chain().map(|one| one.der().len() + REFERENCE).sum();
    let named = identity.certificate().issuer_and_serial().map_or(0, |name| name.len());
    let timestamp = if with_timestamp { TIMESTAMP } else { 0 };
    FRAME + certificates + named + identity.key().signature_room() + timestamp
}

/// A file with a place for a signature.
///
/// The place is one object in plain bytes: `/ByteRange[0 0000000000 0000000000 0000000000]`, and behind it
/// `/Contents<00…00>` with an even number of zeros. The last such object counts.
#[derive(Debug, Clone)]
pub struct PdfToSign {
    file: Vec<u8>,
    place: Placeholder,
}

impl PdfToSign {
    /// Finds the place and tells in it which bytes are signed: all but the signature itself.
    ///
    /// # Errors
    /// [`Error::Placeholder`].
    pub fn new(mut bytes: Vec<u8>) -> Result<Self> {
        let place = Placeholder::find(&bytes)?;
        place.fill_ranges(&mut bytes)?;
        Ok(Self { file: bytes, place })
    }

    /// Signs the file. The same file and identity give the same signature.
    ///
    /// Source: a detached signature of CMS (RFC 5652) as ETSI.CAdES.detached wants it, with SHA-256.
    ///
    /// # Errors
    /// [`Error::Certificate`] when the certificate is not one for signatures; [`Error::Key`]; [`Error::Random`].
    pub fn sign(&self, identity: &Identity) -> Result<Signature> {
        if !identity.certificate().is_for_signatures() {
            return Err(Error::Certificate("it is not for signatures".to_owned()));
        }
        let before = self.file.get(..self.place.contents.start).unwrap_or_default();
        let behind = self.file.get(self.place.contents.end..).unwrap_or_default();
        let draft = Draft::sign(&Hash::Sha256.of(&[before, behind]), identity)?;
        let mut nonce = [0; 8];
        getrandom::fill(&mut nonce).map_err(|_| Error::Random)?;
        Ok(Signature { draft, nonce })
    }

    /// The file with the signature in its place; what is left of the place stays zeros.
    ///
    /// # Errors
    /// [`Error::Room`] when it does not fit.
    pub fn finish(mut self, signature: Signature) -> Result<Vec<u8>> {
        let der = signature.draft.to_der()?;
        let room = self.place.room();
        if der.len() > room {
            return Err(Error::Room { needed: der.len(), room });
        }
        let digits = hex::encode(&der);
        let start = self.place.contents.start + 1;
        if let Some(place) = self.file.get_mut(start..start + digits.len()) {
            place.copy_from_slice(digits.as_bytes());
        }
        Ok(self.file)
    }
}

/// A signature that is not in its file yet, so that a timestamp can be fetched for it before.
#[derive(Debug, Clone)]
pub struct Signature {
    draft: Draft,
    nonce: [u8; 8],
}

impl Signature {
    /// What to send to a timestamping authority, as `application/timestamp-query` (RFC 3161, 3.4).
    ///
    /// # Errors
    /// [`Error::Encoding`], a fault of the program.
    pub fn timestamp_request(&self) -> Result<Vec<u8>> {
        timestamp::request(self.draft.value(), &self.nonce)
    }

    /// The signature with the timestamp of an answer (`application/timestamp-reply`), which makes it B-T.
    ///
    /// It comes with the signature: whether its authority is to be trusted ([`Timestamp::trusted_by`]) and whether its time
    /// can be ([`Timestamp::time`]) is left to the caller.
    ///
    /// # Errors
    /// [`Error::Timestamp`] when it was not granted, is for something else, or does not verify.
    pub fn with_timestamp(mut self, response: &[u8]) -> Result<(Self, Timestamp)> {
        let token = timestamp::token_of_response(response)?;
        let timestamp =
            Timestamp::verify(&token, self.draft.value()).map_err(|why| Error::Timestamp(why.to_owned()))?;
        if timestamp.nonce() != Some(timestamp::significant(&self.nonce)) {
            return Err(Error::Timestamp("it is the answer to another request".to_owned()));
        }
        self.draft.add_timestamp(token)?;
        Ok((self, timestamp))
    }
}

#[cfg(test)]
mod tests;
