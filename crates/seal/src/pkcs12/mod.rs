//! Files with a key and its certificates: PKCS#12, RFC 7292. Only reading.

mod ber;
mod derive;
mod encryption;
mod integrity;
mod structure;

use der::asn1::{Any, ObjectIdentifier, OctetString};
use der::{Encode, Tag, Tagged};
use zeroize::Zeroizing;

pub(crate) use encryption::decrypt;
pub(crate) use structure::EncryptedKey;

use crate::identity::Found;
use crate::{Error, Result};
use structure::{Bag, CertificateBag, EncryptedData, File, Part};

/// Parts of a file, and bags of a part, at most.
const MOST: usize = 64;

/// RFC 7292, 4.2.
const KEY: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.12.10.1.1");
const SHROUDED_KEY: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.12.10.1.2");
const CERTIFICATE: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.12.10.1.3");
/// RFC 5652, 4 and 8.
const DATA: ObjectIdentifier = const_oid::db::rfc5911::ID_DATA;
const ENCRYPTED_DATA: ObjectIdentifier = const_oid::db::rfc5911::ID_ENCRYPTED_DATA;

/// All keys and certificates of a file.
///
/// # Errors
/// [`Error::Password`] when the check value does not fit the password; [`Error::Key`] for a file that is none.
pub(crate) fn read(bytes: &[u8], password: Option<&str>) -> Result<Found> {
    let password = password.unwrap_or_default();
    let file: File = ber::read(bytes).ok_or_else(|| strange("neither PEM nor PKCS#12"))?;
    if file.version != 3 || file.content.kind != DATA {
        return Err(strange("PKCS#12 of another version, or signed"));
    }
    let content: OctetString = file.content.content.decode_as().map_err(|_| unreadable())?;
    if let Some(check) = &file.check {
        integrity::check(check, content.as_bytes(), password)?;
    }
    let parts: Vec<Part> = ber::read(content.as_bytes()).ok_or_else(unreadable)?;
    let mut found = Found::default();
    for part in parts.into_iter().take(MOST) {
        let bags = match part.kind {
            DATA => {
                let bags: OctetString = part.content.decode_as().map_err(|_| unreadable())?;
                Zeroizing::new(bags.into_bytes().into())
            }
            ENCRYPTED_DATA => {
                let data: EncryptedData = part.content.decode_as().map_err(|_| unreadable())?;
                let content = encrypted(&data.content.data)?;
                decrypt(&data.content.algorithm, &content, password)?
            }
            _ => return Err(strange("encrypted for a certificate, not with a password")),
        };
        let bags: Vec<Bag> = ber::read(&bags).ok_or_else(unreadable)?;
        for bag in bags.iter().take(MOST) {
            open(bag, password, &mut found)?;
        }
    }
    Ok(found)
}

fn open(bag: &Bag, password: &str, found: &mut Found) -> Result<()> {
    match bag.kind {
        KEY => found.keys.push(Zeroizing::new(bag.value.to_der()?)),
        SHROUDED_KEY => {
            let key: EncryptedKey = bag.value.decode_as().map_err(|_| unreadable())?;
            found.keys.push(decrypt(&key.algorithm, key.data.as_bytes(), password)?);
        }
        CERTIFICATE => {
            let bag: CertificateBag = bag.value.decode_as().map_err(|_| unreadable())?;
            let certificate: OctetString = bag.value.decode_as().map_err(|_| unreadable())?;
            found.certificates.push(certificate.into_bytes().into());
        }
        _ => {}
    }
    Ok(())
}

/// The bytes of an implicitly tagged string, in one piece or, in BER, in several.
fn encrypted(data: &Any) -> Result<Vec<u8>> {
    if !data.tag().is_constructed() {
        return Ok(data.value().to_vec());
    }
    let pieces = Any::new(Tag::Sequence, data.value())?.decode_as::<Vec<Any>>().map_err(|_| unreadable())?;
    let pieces: der::Result<Vec<_>> = pieces.iter().map(Encode::to_der).collect();
    ber::joined(&pieces?).ok_or_else(unreadable)
}

fn unreadable() -> Error {
    strange("PKCS#12 that cannot be read")
}

fn strange(what: &str) -> Error {
    Error::Key(what.to_owned())
}

#[cfg(test)]
mod tests {
    use der::TagNumber;

    use super::*;

    #[test]
    fn encrypted_bytes_stand_in_one_piece_or_in_several() {
        let tag = |constructed| Tag::ContextSpecific { constructed, number: TagNumber(0) };
        let one = Any::new(tag(false), [0xAA, 0xBB]).unwrap();
        let several = Any::new(tag(true), [4, 1, 0xAA, 4, 1, 0xBB]).unwrap();
        assert_eq!(encrypted(&one), Ok(vec![0xAA, 0xBB]));
        assert_eq!(encrypted(&several), Ok(vec![0xAA, 0xBB]));
        assert!(encrypted(&Any::new(tag(true), [4, 2, 0xAA]).unwrap()).is_err());
    }
}
