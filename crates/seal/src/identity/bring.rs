//! Keys and certificates that somebody else made.

use zeroize::Zeroizing;

use super::{Identity, pem};
use crate::certificate::Certificate;
use crate::key::Key;
use crate::{Error, Result, pkcs12};

/// Bytes of a file with a key and its certificates at most.
const MOST_BYTES: usize = 1 << 18;
/// Certificates in it at most.
const MOST_CERTIFICATES: usize = 16;

/// What was found in a file.
#[derive(Default)]
pub(crate) struct Found {
    /// Keys as PKCS#8, decrypted.
    pub(crate) keys: Vec<Zeroizing<Vec<u8>>>,
    /// Certificates in DER.
    pub(crate) certificates: Vec<Vec<u8>>,
}

impl Identity {
    /// A key and its certificates from a file: PKCS#12 (RFC 7292, in DER or BER), or PEM (RFC 7468) with a key as PKCS#8,
    /// encrypted or not, and certificates in any order.
    ///
    /// P-256 and RSA keys of 2048 to 4096 bits are accepted. Certificates that do not stand above that of the
    /// key are left out. Neither is asked whether they are valid now ([`Certificate::is_valid_at`]), nor what for
    /// ([`Certificate::is_for_signatures`], [`Certificate::is_authority`]).
    ///
    /// # Errors
    /// [`Error::Password`] when it is missing or wrong; [`Error::Key`] without one key of these kinds;
    /// [`Error::Certificate`] when none belongs to the key.
    pub fn bring(bytes: &[u8], password: Option<&str>) -> Result<Self> {
        if bytes.len() > MOST_BYTES {
            return Err(Error::Key("the file is too large".to_owned()));
        }
        let found =
            if pem::is_pem(bytes) { pem::read(bytes, password)? } else { pkcs12::read(bytes, password)? };
        let key = match found.keys.as_slice() {
            [] => return Err(Error::Key("the file holds none".to_owned())),
            [key] => Key::from_pkcs8(key)?,
            _ => return Err(Error::Key("the file holds several".to_owned())),
        };
        if found.certificates.len() > MOST_CERTIFICATES {
            return Err(Error::Certificate(format!("more than {MOST_CERTIFICATES} in the file")));
        }
        let certificates: Result<Vec<_>> =
            found.certificates.iter().map(|der| Certificate::from_der(der)).collect();
        Self::assemble(key, certificates?)
    }
}
