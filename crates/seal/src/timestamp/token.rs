//! The token of a timestamp: a signed message that tells a digest and a time.

use der::asn1::{AnyRef, ObjectIdentifier};
use der::{Decode, Reader, SliceReader, Tag, Tagged};
use time::macros::format_description;
use time::{Duration, OffsetDateTime, PrimitiveDateTime};

use super::structure::{INFORMATION, Imprint};
use crate::algorithm::Hash;
use crate::certificate::Certificate;
use crate::cms::Message;
use crate::trust::{self, Trust};

/// A timestamp whose own signature verifies and that is for the signature it stands at.
#[derive(Debug, Clone)]
pub struct Timestamp {
    time: OffsetDateTime,
    nonce: Option<Vec<u8>>,
    authority: Certificate,
    certificates: Vec<Certificate>,
}

impl Timestamp {
    /// When the authority saw the signature.
    #[must_use]
    pub fn time(&self) -> OffsetDateTime {
        self.time
    }

    /// The certificate of the authority that says so.
    #[must_use]
    pub fn authority(&self) -> &Certificate {
        &self.authority
    }

    /// Whether that certificate leads to one of some authorities, all being valid at the time it tells.
    #[must_use]
    pub fn trusted_by(&self, anchors: &[Certificate]) -> Trust {
        trust::find(&self.authority, &self.certificates, anchors, self.time)
    }

    /// The nonce of the request, as a number without leading zeros.
    pub(crate) fn nonce(&self) -> Option<&[u8]> {
        self.nonce.as_deref()
    }

    /// Reads a token and verifies it: RFC 3161, 2.4.2.
    ///
    /// # Errors
    /// What is not right with it.
    pub(crate) fn verify(token: &[u8], value: &[u8]) -> Result<Self, &'static str> {
        let message = Message::from_der(token)?;
        let content = message.content().ok_or("it is empty")?;
        message.verify(INFORMATION, &message.hash().of(&[content]))?;
        if !message.signer().is_for_timestamps() {
            return Err("the certificate of its authority is not for timestamps");
        }
        let information = Information::read(content).ok_or("it cannot be read")?;
        let hash =
            Hash::named(&information.imprint.algorithm).ok_or("its digest algorithm is not accepted")?;
        if information.imprint.digest.as_bytes() != hash.of(&[value]) {
            return Err("it is for another signature");
        }
        let authority = message.signer().clone();
        if !authority.is_valid_at(information.time) {
            return Err("the certificate of its authority was not valid");
        }
        let certificates = message.certificates().to_vec();
        Ok(Self { time: information.time, nonce: information.nonce, authority, certificates })
    }
}

/// What is used of TSTInfo.
struct Information {
    imprint: Imprint,
    time: OffsetDateTime,
    nonce: Option<Vec<u8>>,
}

impl Information {
    fn read(der: &[u8]) -> Option<Self> {
        let whole = AnyRef::from_der(der).ok().filter(|whole| whole.tag() == Tag::Sequence)?;
        let mut reader = SliceReader::new(whole.value()).ok()?;
        if reader.decode::<u8>().ok()? != 1 {
            return None;
        }
        let _policy: ObjectIdentifier = reader.decode().ok()?;
        let imprint = reader.decode().ok()?;
        let _serial_number: AnyRef<'_> = reader.decode().ok()?;
        let time: AnyRef<'_> = reader.decode().ok()?;
        let time =
            if time.tag() == Tag::GeneralizedTime { generalized_time(time.value())? } else { return None };
        let mut nonce = None;
        // Accuracy, ordering, nonce, the name of the authority and extensions, each of another type.
        while !reader.is_finished() {
            let part: AnyRef<'_> = reader.decode().ok()?;
            if part.tag() == Tag::Integer {
                nonce = Some(significant(part.value()).to_vec());
            }
        }
        Some(Self { imprint, time, nonce })
    }
}

/// A number without leading zeros.
pub(crate) fn significant(number: &[u8]) -> &[u8] {
    let zeros = number.iter().take_while(|byte| **byte == 0).count();
    number.get(zeros..).unwrap_or_default()
}

/// A GeneralizedTime of RFC 3161, 2.4.2: in UTC, with a fraction of a second or without.
fn generalized_time(text: &[u8]) -> Option<OffsetDateTime> {
    let text = str::from_utf8(text).ok()?.strip_suffix('Z')?;
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    if whole.len() != 14
        || !(1..=9).contains(&fraction.len())
        || !fraction.bytes().all(|b| b.is_ascii_digit())
    {
        return None;
    }
    let format = format_description!("[year][month][day][hour][minute][second]");
    let whole = PrimitiveDateTime::parse(whole, format).ok()?.assume_utc();
    let nanoseconds: i64 = format!("{fraction:0<9}").parse().ok()?;
    Some(whole + Duration::nanoseconds(nanoseconds))
}

#[cfg(test)]
mod tests {
    use time::macros::datetime;

    use super::*;

    #[test]
    fn times_of_timestamps_have_fractions_of_seconds_or_none() {
        assert_eq!(generalized_time(b"20260301080000Z"), Some(datetime!(2026-03-01 08:00 UTC)));
        assert_eq!(generalized_time(b"20260301080000.25Z"), Some(datetime!(2026-03-01 08:00:00.25 UTC)));
        for wrong in
            ["20260301080000", "202603010800Z", "20260301080000.Z", "20260301080000.+1Z", "20261301080000Z"]
        {
            assert_eq!(generalized_time(wrong.as_bytes()), None, "{wrong}");
        }
    }
}
