//! Keys and certificates as text: RFC 7468.

use der::Decode;
use der::pem;
use zeroize::Zeroizing;

use super::bring::Found;
use crate::pkcs12::{EncryptedKey, decrypt};
use crate::{Error, Result};

const BEGIN: &str = "-----BEGIN ";
const END: &str = "-----END ";
const DASHES: &str = "-----";

/// Whether a file is text with at least one block.
pub(super) fn is_pem(bytes: &[u8]) -> bool {
    memchr::memmem::find(bytes, BEGIN.as_bytes()).is_some()
}

/// All keys and certificates of a file; what stands between the blocks is not read.
///
/// # Errors
/// [`Error::Password`]; [`Error::Key`] for a block that is broken, or a key that is not PKCS#8.
pub(crate) fn read(bytes: &[u8], password: Option<&str>) -> Result<Found> {
    let text = str::from_utf8(bytes).map_err(|_| Error::Key("the file is not text".to_owned()))?;
    let mut found = Found::default();
    let mut rest = text;
    while let Some((_, block)) = rest.split_once(BEGIN) {
        let (label, _) = block.split_once(DASHES).ok_or_else(broken)?;
        let end = format!("{END}{label}{DASHES}");
        let (content, behind) = block.split_once(end.as_str()).ok_or_else(broken)?;
        rest = behind;
        let der = || decode(&format!("{BEGIN}{content}{end}\n"));
        match label {
            "CERTIFICATE" => found.certificates.push(der()?.to_vec()),
            "PRIVATE KEY" => found.keys.push(der()?),
            "ENCRYPTED PRIVATE KEY" => {
                let der = der()?;
                let encrypted = EncryptedKey::from_der(&der).map_err(|_| broken())?;
                let password = password.ok_or(Error::Password)?;
                found.keys.push(decrypt(&encrypted.algorithm, encrypted.data.as_bytes(), password)?);
            }
            "RSA PRIVATE KEY" | "EC PRIVATE KEY" => {
                return Err(Error::Key(format!("“{label}” is an older form; PKCS#8 is read")));
            }
            _ => {}
        }
    }
    Ok(found)
}

fn decode(block: &str) -> Result<Zeroizing<Vec<u8>>> {
    let (_, der) = pem::decode_vec(block.as_bytes()).map_err(|_| broken())?;
    Ok(Zeroizing::new(der))
}

fn broken() -> Error {
    Error::Key("a block of the file is broken".to_owned())
}
